//! Areas from hand measures against handbook examples. Rows ARE-01 to ARE-13; S33 to S39 are the source numbers of the shared
//! reference list (extension bulletins on measuring turf, and surveying texts), whose figures were read there.

use groundlore_site::offsets::{
    Ending, RadiiRule, by_coordinates, circle, ellipse, mean_ordinate, oval_by_rule, panel, perimeter_by_coordinates, radii, rectangle,
    simpson, trapezoid,
};

const RADII_FT: [f64; 16] = [7.1, 8.9, 9.7, 10.9, 12.4, 11.7, 11.8, 9.9, 6.8, 8.2, 9.7, 10.4, 12.0, 11.4, 8.9, 8.0];
const NINE: [f64; 9] = [3.15, 4.3, 8.2, 5.6, 6.85, 7.6, 4.2, 5.6, 4.3];
const SEVEN: [f64; 7] = [3.6, 5.0, 6.5, 5.5, 7.3, 6.0, 4.0];
const EIGHT: [f64; 8] = [0.0, 2.65, 3.80, 3.75, 4.65, 3.60, 5.00, 5.80];
const THREE: [f64; 3] = [19.4, 39.6, 54.8];
const CORNERS: [(f64, f64); 5] = [(0.0, 0.0), (110.0, 0.0), (150.0, 60.0), (40.0, 95.0), (-20.0, 50.0)];

#[test]
fn areas_agree_with_the_handbooks_rule_by_rule() {
    let rows: Vec<(&str, &str, f64, f64, f64)> = vec![
        ("ARE-01 rectangle 80 x 60 ft", "S33", rectangle(80.0, 60.0), 4800.0, 0.0),
        ("ARE-02 circle 40 ft across", "S33", circle(20.0), 1256.6, 1.2566),
        ("ARE-04 16 radii, mean", "S34; numpy 2.4.6", radii(&RADII_FT, RadiiRule::Mean).unwrap(), 305.58, 0.01),
        (
            "ARE-04 16 radii, chords",
            "shapely 2.2.0 Polygon.area; the shared list prints 303.23",
            radii(&RADII_FT, RadiiRule::Chords).unwrap(),
            303.2632,
            0.001,
        ),
        ("ARE-04 16 radii, mean square", "numpy 2.4.6", radii(&RADII_FT, RadiiRule::MeanSquare).unwrap(), 314.81, 0.01),
        ("ARE-05 circle r 44", "S35", circle(44.0), 6082.0, 1.0),
        ("ARE-05 circle r 43", "S35", circle(43.0), 5809.0, 1.0),
        ("ARE-05 circle r 39", "S35", circle(39.0), 4778.0, 1.0),
        ("ARE-05 circle r 34", "S35", circle(34.0), 3632.0, 1.0),
        ("ARE-06 oval 60 x 30 by rule", "S36", oval_by_rule(60.0, 30.0), 1440.0, 1e-9),
        ("ARE-06 ellipse 60 x 30", "exact ellipse", ellipse(60.0, 30.0), 1413.7, 0.05),
        ("ARE-07 mean ordinate", "S37", mean_ordinate(&NINE, 10.0).unwrap(), 442.67, 0.01),
        ("ARE-07 trapezoid", "S37; scipy 1.17.1", trapezoid(&NINE, 10.0).unwrap(), 460.75, 0.01),
        ("ARE-07 Simpson", "S37; scipy 1.17.1", simpson(&NINE, 10.0, Ending::Refuse).unwrap(), 461.17, 0.01),
        ("ARE-08 Simpson", "S38", simpson(&SEVEN, 25.0, Ending::Refuse).unwrap(), 843.33, 0.01),
        ("ARE-08 trapezoid", "scipy 1.17.1", trapezoid(&SEVEN, 25.0).unwrap(), 852.5, 0.01),
        ("ARE-09 Simpson, trapezoid at the end", "S39", simpson(&EIGHT, 30.0, Ending::Trapezoid).unwrap(), 781.0, 0.01),
        ("ARE-09 trapezoid", "S39", trapezoid(&EIGHT, 30.0).unwrap(), 790.5, 0.01),
        ("ARE-09 Simpson, parabola at the end", "scipy 1.17.1", simpson(&EIGHT, 30.0, Ending::Parabola).unwrap(), 782.5, 0.01),
        ("ARE-12 first panel", "S39", panel(THREE[0], THREE[1], 25.0), 737.5, 0.01),
        ("ARE-12 trapezoid", "S39", trapezoid(&THREE, 25.0).unwrap(), 1917.5, 0.01),
        ("ARE-12 Simpson", "S39", simpson(&THREE, 25.0, Ending::Refuse).unwrap(), 1938.33, 0.01),
        ("ARE-13 polygon area", "shapely 2.2.0", by_coordinates(&CORNERS).unwrap(), 11_175.0, 0.001),
        ("ARE-13 polygon perimeter", "shapely 2.2.0", perimeter_by_coordinates(&CORNERS).unwrap(), 426.397, 0.001),
    ];
    for (id, source, got, expected, tolerance) in rows {
        assert!((got - expected).abs() <= tolerance, "{id} ({source}): {got}, expected {expected} ± {tolerance}");
    }
}

#[test]
fn measures_that_cannot_be_are_refused_by_place_and_value() {
    assert!(trapezoid(&[1.0], 10.0).unwrap_err().to_string().contains("at least 2"));
    assert!(trapezoid(&[1.0, -2.0, 3.0], 10.0).unwrap_err().to_string().contains("measure 2 is -2"));
    assert!(trapezoid(&[1.0, 2.0], f64::NAN).is_err());
    assert!(simpson(&EIGHT, 30.0, Ending::Refuse).unwrap_err().to_string().contains("odd number of strips"));
    assert!(radii(&[1.0, 2.0], RadiiRule::Mean).is_err());
    assert!(by_coordinates(&[(0.0, 0.0), (1.0, f64::INFINITY), (1.0, 1.0)]).is_err());
}
