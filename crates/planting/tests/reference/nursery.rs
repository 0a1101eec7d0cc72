//! Nursery stock: sturdiness, shoot to root, quality index. Dickson, Leaf & Hosner (1960), Forestry Chronicle 36, 10–13.

use groundlore_planting::stock::{dickson_quality_index, shoot_to_root, sturdiness_cm_per_mm};

/// (id, [height cm, collar mm, shoot g, root g], [sturdiness, shoot to root, index, tolerance of the index]).
const ROWS: [(&str, [f64; 4], [f64; 4]); 2] =
    [("NUR-01", [35.0, 5.0, 4.0, 2.0], [7.0, 2.0, 0.667, 0.001]), ("NUR-03", [25.0, 3.2, 1.6, 0.9], [7.8125, 1.778, 0.2607, 0.0005])];

#[test]
fn quality_index_follows_dickson() {
    for (id, [height, collar, shoot, root], [sturdiness, ratio, index, tolerance]) in ROWS {
        assert!((sturdiness_cm_per_mm(height, collar).unwrap() - sturdiness).abs() < 1e-9, "{id}");
        assert!((shoot_to_root(shoot, root).unwrap() - ratio).abs() < 0.001, "{id}");
        assert!((dickson_quality_index(height, collar, shoot, root).unwrap() - index).abs() < tolerance, "{id}");
    }
}
