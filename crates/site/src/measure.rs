//! Areas, perimeters, lengths and distances on the ellipsoid, and the local frame in metres.
//!
//! Lengths and areas are geodesic on WGS 84 after Karney, C. F. F. (2013), Algorithms for geodesics, *Journal of Geodesy*
//! 87, 43–55. Whatever needs plane geometry (distances to a polygon, bands, cutting one shape from another) is done in a
//! [`LocalFrame`] about the yard's middle.

use crate::yard::Yard;
use geo::algorithm::line_measures::{Bearing, Destination, Distance, Geodesic, Length};
use geo::{Centroid, Coord, Euclidean, GeodesicArea, LineString, MapCoords, Point, Polygon};

/// Area of a polygon, square metres, holes taken off. Winding does not matter.
///
/// `polygon` is in longitude and latitude, degrees. Smaller than half the earth.
///
/// # Source
/// Karney (2013), section 6.
///
/// # Example
/// ```
/// # use geo::polygon;
/// # use groundlore_site::measure::area_m2;
/// // A thousandth of a degree each way at 43° N.
/// let square = polygon![(x: -88.0, y: 43.0), (x: -87.999, y: 43.0), (x: -87.999, y: 43.001), (x: -88.0, y: 43.001)];
/// assert!((area_m2(&square) - 9_058.54).abs() < 0.01); // geographiclib 2.1
/// ```
pub fn area_m2(polygon: &Polygon<f64>) -> f64 {
    let ring = |r: &LineString<f64>| Polygon::new(r.clone(), vec![]).geodesic_area_signed().abs();
    ring(polygon.exterior()) - polygon.interiors().iter().map(ring).sum::<f64>()
}

/// Length of the outline of a polygon and of all its holes, metres.
pub fn perimeter_m(polygon: &Polygon<f64>) -> f64 {
    length_m(polygon.exterior()) + polygon.interiors().iter().map(length_m).sum::<f64>()
}

/// Length of the outer outline alone, metres.
pub fn outer_perimeter_m(polygon: &Polygon<f64>) -> f64 {
    length_m(polygon.exterior())
}

/// Length of a line in longitude and latitude, metres, along geodesics between its points.
///
/// # Example
/// ```
/// # use geo::line_string;
/// # use groundlore_site::measure::length_m;
/// // One degree of latitude from the equator is 110.574 km on WGS 84.
/// let up = line_string![(x: 0.0, y: 0.0), (x: 0.0, y: 1.0)];
/// assert!((length_m(&up) - 110_574.39).abs() < 0.01);
/// ```
pub fn length_m(line: &LineString<f64>) -> f64 {
    Geodesic.length(line)
}

/// Distance between two places, metres, along the geodesic.
pub fn distance_m(a: Point<f64>, b: Point<f64>) -> f64 {
    Geodesic.distance(a, b)
}

/// Distance from a place to the nearest part of a polygon, metres; 0 inside it, measured to the hole's edge in a hole.
///
/// Done in a [`LocalFrame`] about the place itself, where straight distances from the middle are exact.
pub fn distance_to_polygon_m(place: Point<f64>, polygon: &Polygon<f64>) -> f64 {
    let frame = LocalFrame::about(place);
    Euclidean.distance(&frame.point_to_m(place), &frame.polygon_to_m(polygon))
}

/// Distance from a place to the nearest part of a line, metres.
pub fn distance_to_line_m(place: Point<f64>, line: &LineString<f64>) -> f64 {
    let frame = LocalFrame::about(place);
    Euclidean.distance(&frame.point_to_m(place), &frame.line_to_m(line))
}

/// A plane in metres about one place: x east, y north, azimuthal equidistant on the ellipsoid.
///
/// Distances and directions from the middle are exact (Karney's inverse and direct problems). Across the line of sight
/// lengths are stretched by about r²/6R² at r metres from the middle (R the earth's radius): 4 parts in 10⁹ at 1 km and 1
/// part in 10⁶ at 15 km, so below anything measured on a yard. Source of the stretch: Snyder, J. P. (1987), *Map
/// Projections: A Working Manual*, USGS Professional Paper 1395, section 25 (`memory`; tested here against geodesic areas).
///
/// # Example
/// ```
/// # use geo::Point;
/// # use groundlore_site::measure::LocalFrame;
/// let frame = LocalFrame::about(Point::new(-88.0, 43.0));
/// let north = frame.point_to_m(Point::new(-88.0, 43.001));
/// assert!(north.x().abs() < 1e-6 && (north.y() - 111.1).abs() < 0.1);
/// let back = frame.point_to_lonlat(north);
/// assert!((back.y() - 43.001).abs() < 1e-12);
/// ```
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LocalFrame {
    middle: Point<f64>,
}

impl LocalFrame {
    /// A frame about a place in longitude and latitude.
    pub fn about(middle: Point<f64>) -> Self {
        LocalFrame { middle }
    }

    /// A frame about a yard's middle; `None` on an empty yard.
    pub fn of(yard: &Yard) -> Option<Self> {
        yard.centre().map(Self::about)
    }

    /// A frame about a polygon's centroid; `None` on an empty polygon.
    pub fn of_polygon(polygon: &Polygon<f64>) -> Option<Self> {
        polygon.centroid().map(Self::about)
    }

    /// The place with x = 0 and y = 0, longitude and latitude.
    pub fn middle(&self) -> Point<f64> {
        self.middle
    }

    /// Any shape from longitude and latitude to metres.
    pub fn to_m<G: MapCoords<f64, f64>>(&self, shape: &G) -> G::Output {
        shape.map_coords(|c| self.coord_to_m(c))
    }

    /// Any shape from metres to longitude and latitude.
    pub fn to_lonlat<G: MapCoords<f64, f64>>(&self, shape: &G) -> G::Output {
        shape.map_coords(|c| self.coord_to_lonlat(c))
    }

    /// A place to metres.
    pub fn point_to_m(&self, place: Point<f64>) -> Point<f64> {
        self.coord_to_m(place.0).into()
    }

    /// A place in metres to longitude and latitude.
    pub fn point_to_lonlat(&self, place_m: Point<f64>) -> Point<f64> {
        self.coord_to_lonlat(place_m.0).into()
    }

    /// A polygon to metres.
    pub fn polygon_to_m(&self, polygon: &Polygon<f64>) -> Polygon<f64> {
        self.to_m(polygon)
    }

    /// A polygon in metres to longitude and latitude.
    pub fn polygon_to_lonlat(&self, polygon_m: &Polygon<f64>) -> Polygon<f64> {
        self.to_lonlat(polygon_m)
    }

    /// A line to metres.
    pub fn line_to_m(&self, line: &LineString<f64>) -> LineString<f64> {
        self.to_m(line)
    }

    /// A line in metres to longitude and latitude.
    pub fn line_to_lonlat(&self, line_m: &LineString<f64>) -> LineString<f64> {
        self.to_lonlat(line_m)
    }

    fn coord_to_m(&self, place: Coord<f64>) -> Coord<f64> {
        let place = Point::from(place);
        if place == self.middle {
            return Coord { x: 0.0, y: 0.0 };
        }
        let range = Geodesic.distance(self.middle, place);
        let (sin, cos) = Geodesic.bearing(self.middle, place).to_radians().sin_cos();
        Coord { x: range * sin, y: range * cos }
    }

    fn coord_to_lonlat(&self, place_m: Coord<f64>) -> Coord<f64> {
        let range = place_m.x.hypot(place_m.y);
        if range == 0.0 {
            return self.middle.0;
        }
        let bearing = place_m.x.atan2(place_m.y).to_degrees();
        Geodesic.destination(self.middle, bearing, range).0
    }
}
