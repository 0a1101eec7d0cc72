//! Plants by spacing and pattern: density far from edges, and counts on a grid in a bed.

use geo::polygon;
use groundlore_planting::grid;
use groundlore_planting::spacing::{Pattern, density_per_m2};

const INCH_M: f64 = 0.0254;
const PER_100FT2: f64 = 9.290_304;

/// (id, source, spacing in, square and triangular per 100 ft²). Trade charts are common practice.
const DENSITY: [(&str, &str, f64, f64, f64); 10] = [
    ("SPA-06", "common practice; arithmetic", 6.0, 400.0, 461.88),
    ("SPA-08", "common practice; arithmetic", 8.0, 225.0, 259.81),
    ("SPA-10", "common practice; arithmetic", 10.0, 144.0, 166.28),
    ("SPA-12", "common practice; arithmetic", 12.0, 100.0, 115.47),
    ("SPA-15", "common practice; arithmetic", 15.0, 64.0, 73.90),
    ("SPA-24", "common practice; arithmetic", 24.0, 25.0, 28.87),
    ("SPA-30", "arithmetic", 30.0, 16.0, 18.48),
    ("SPA-36", "common practice; arithmetic", 36.0, 11.11, 12.83),
    ("SPA-48", "arithmetic", 48.0, 6.25, 7.217),
    ("SPA-60", "arithmetic", 60.0, 4.0, 4.619),
];

#[test]
fn density_follows_the_spacing_charts() {
    for (id, source, spacing_in, square, triangular) in DENSITY {
        for (pattern, expected) in [(Pattern::Square, square), (Pattern::Triangular, triangular)] {
            let got = density_per_m2(spacing_in * INCH_M, pattern).unwrap() * PER_100FT2;
            assert!((got - expected).abs() <= 0.001 * expected, "{id} ({source}) {pattern:?}: {got} for {expected}");
        }
    }
}

#[test]
fn a_hectare_at_two_metres_triangular_takes_2887() {
    // PLN-05, arithmetic.
    let got = density_per_m2(2.0, Pattern::Triangular).unwrap() * 10_000.0;
    assert!((got - 2_886.75).abs() < 0.01);
}

#[test]
fn a_grid_in_a_bed_is_counted_to_the_plant() {
    // PLN-06 and PLN-08: bed 240 × 120 in, centres at least half the spacing from every edge; counted by a Python grid.
    const ROWS: [(&str, f64, Pattern, usize); 4] = [
        ("PLN-06", 12.0, Pattern::Square, 200),
        ("PLN-06", 12.0, Pattern::Triangular, 215),
        ("PLN-08", 18.0, Pattern::Square, 78),
        ("PLN-08", 18.0, Pattern::Triangular, 88),
    ];
    let (w, d) = (240.0 * INCH_M, 120.0 * INCH_M);
    // Off the origin, so that nothing rests on round numbers.
    let (x, y) = (173.3, -41.7);
    let bed = polygon![(x: x, y: y), (x: x + w, y: y), (x: x + w, y: y + d), (x: x, y: y + d)];
    for (id, spacing_in, pattern, expected) in ROWS {
        let got = grid::points(&bed, spacing_in * INCH_M, pattern).unwrap().len();
        assert_eq!(got, expected, "{id} {pattern:?}");
    }
}

#[test]
fn triangular_rows_stand_as_the_row_count_says() {
    let (w, d) = (240.0 * INCH_M, 120.0 * INCH_M);
    let bed = polygon![(x: 0.0, y: 0.0), (x: w, y: 0.0), (x: w, y: d), (x: 0.0, y: d)];
    for (spacing_in, rows) in [(12.0, 11), (18.0, 7)] {
        let mut ys: Vec<i64> =
            grid::points(&bed, spacing_in * INCH_M, Pattern::Triangular).unwrap().iter().map(|at| (at.y * 1e6).round() as i64).collect();
        ys.dedup();
        assert_eq!(ys.len(), rows);
        // PLN-04: rows of a 12 in grid are 10.392 in apart.
        let apart_in = (ys[1] - ys[0]) as f64 / 1e6 / INCH_M;
        assert!((apart_in - spacing_in * 0.866_025).abs() < 0.001);
    }
}
