//! The site: what is on a yard, how big it is, and what is built or planted wrongly on it.
//!
//! A yard comes in as a map (GeoJSON, RFC 7946, with our own property names: `docs/map-format.md`), is checked feature by
//! feature, and is then measured on the ellipsoid. Everything here is pure: text and numbers in, numbers and words out.
//!
//! # What is where
//!
//! Reading and writing
//! - [`yard`]: the types: areas, edges, trees, structures, plants in beds, patches of poor turf, water.
//! - [`read`]: GeoJSON text to a [`yard::Yard`], with every fault of the map named by its feature, value and remedy.
//! - [`mod@write`]: a [`yard::Yard`] back to GeoJSON, the same.
//! - [`map_fault`]: how a fault of a map is told.
//!
//! Measuring
//! - [`measure`]: areas, perimeters, lengths and distances on the ellipsoid; the local frame in metres.
//! - [`schedule`]: the list of areas and edges with their sizes, and how near water is.
//! - [`offsets`]: areas from hand measures: offsets from a line, radii from a point, corners by co-ordinates.
//! - [`zones`]: the core of a patch, its margin and the sound turf round it; spread-out seeded sample points.
//!
//! Judging
//! - [`faults`]: what is built or planted wrongly, why it matters, what to do and how much of it.
//!
//! # From a map to its faults
//! ```
//! use groundlore_site::{faults, measure, read};
//! let map = r#"{"type": "FeatureCollection", "name": "Corner lot", "features": [
//!   {"type": "Feature", "id": "front", "properties": {"kind": "lawn", "mower_width": "21 in"},
//!    "geometry": {"type": "Polygon", "coordinates": [[[-88.0, 43.0], [-87.9998, 43.0], [-87.9998, 43.0001],
//!      [-88.0, 43.0001], [-88.0, 43.0]]]}},
//!   {"type": "Feature", "id": "kerb", "properties": {"kind": "edge", "edging": "block", "show": "3 in", "beside": ["front"]},
//!    "geometry": {"type": "LineString", "coordinates": [[-88.0, 43.0], [-87.9998, 43.0]]}}]}"#;
//! let reading = read::read_map(map, "corner.geojson", false).unwrap();
//! let lawn = &reading.yard.areas[0];
//! assert!((measure::area_m2(&lawn.polygon) - 181.1).abs() < 0.1);
//! let found = faults::find(&reading.yard, &|_| None);
//! assert_eq!(found[0].kind, faults::FaultKind::ProudEdging);
//! ```

pub mod faults;
pub mod map_fault;
pub mod measure;
pub mod offsets;
pub mod read;
pub mod schedule;
pub mod write;
pub mod yard;
pub mod zones;

pub use map_fault::{MapErrors, MapFault, MapRemark, Skipped};
pub use measure::LocalFrame;
pub use read::{MapReading, read_map};
pub use yard::Yard;
