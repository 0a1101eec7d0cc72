//! Spacing, layers, edging, mowing, price and units.
use crate::{Row, check, row};

const CHART: &str = "spacing charts, common practice; arithmetic";
const ROWS: &[Row] = &[
    row("SPA-06", CHART, "spacing", "spacing=6 in|pattern=triangular", "per_100ft2", "", 461.88, 0.01),
    row("SPA-08", CHART, "spacing", "spacing=8 in|pattern=square", "per_100ft2", "", 225.0, 1e-6),
    row("SPA-12", CHART, "spacing", "spacing=12 in|pattern=triangular", "per_100ft2", "", 115.47, 0.001),
    row("SPA-48", CHART, "spacing", "spacing=48 in|pattern=triangular", "per_100ft2", "", 7.217, 0.001),
    row("PLN-01", CHART, "spacing", "area=24 ft2|spacing=6 in|pattern=square", "plants", "", 96.0, 0.0),
    row("PLN-02", CHART, "spacing", "area=120 ft2|spacing=10 in|pattern=square", "plants", "", 173.0, 0.0),
    row("PLN-04", CHART, "spacing", "area=100 ft2|spacing=12 in|pattern=triangular", "plants", "", 116.0, 0.0),
    row("PLN-05", "arithmetic, 1 ha at 2 m", "spacing", "area=1 ha|spacing=2 m|pattern=triangular", "plants", "", 2887.0, 0.0),
    row("MUL-01", "mulch charts, common practice", "depth-fill", "area=108 ft2|depth=3 in", "volume", "yd3", 1.0, 1e-9),
    row("MUL-02", "mulch charts, common practice", "depth-fill", "area=1000 ft2|depth=4 in", "volume", "yd3", 12.346, 0.001),
    row("MUL-03", "mulch charts, common practice", "depth-fill", "area=168 ft2|depth=4 in", "volume", "yd3", 2.074, 0.001),
    row("APP-47", "Minnesota practicum 2013: five planters 2 x 3 ft, 24 in deep", "depth-fill", "area=30 ft2|depth=24 in", "volume", "ft3", 60.0, 1e-9),
    row("HSC-06", "arithmetic: base trench 30 ft x 24 in x 6 in", "edging-block", "length=30 ft|block-length=12 in|block-height=6 in|show=1 in|base-depth=6 in|trench-width=24 in", "base_volume", "ft3", 30.0, 1e-9),
    row("HSC-01", "wall how-to page, one course of 228 in at 11.5 in, common practice", "edging-block", "length=228 in|block-length=11.5 in|block-height=4 in|show=1 in", "blocks", "", 20.0, 0.0),
    row("HSC-01w", "same with 10 %", "edging-block", "length=228 in|block-length=11.5 in|block-height=4 in|show=1 in|waste=10%", "blocks", "", 22.0, 0.0),
    row("CP13", "common practice: 4 in face, 1 in shows", "edging-block", "length=48 ft|block-length=12 in|block-height=4 in|show=1 in|base-depth=4 in", "buried", "in", 3.0, 1e-9),
    row("CP14", "common practice: 4 in base", "edging-block", "length=48 ft|block-length=12 in|block-height=4 in|show=1 in|base-depth=4 in", "trench_depth", "in", 7.0, 1e-9),
    row("MOW-01", "Green Industry Pros, hourly mower productivity", "mow-rate", "width=60 in|speed=8.5 mph|efficiency=80%", "area_rate", "ft2/h", 179_520.0, 1e-4),
    row("MOW-03", "exact divisor 99, no loss", "mow-rate", "width=60 in|speed=4 mph", "area_rate", "acre/h", 2.424_242_4, 1e-6),
    row("MOW-05", "arithmetic", "mow-rate", "width=60 in|speed=8 mph|efficiency=0.8|area=5 acre", "time", "min", 64.5, 0.07),
    row("EST-01", "Engineering ToolBox", "markup", "cost=$200000|markup=25%", "price", "$", 250_000.0, 1e-6),
    row("EST-01m", "same", "markup", "cost=$200000|markup=25%", "margin", "%", 20.0, 1e-9),
    row("EST-03", "Stone, Using gross margin to price jobs", "markup", "cost=$8,755|margin=33%", "price", "", 13_067.16, 0.01),
    row("EST-06", "gross-profit multiplier chart (prints 2.24)", "markup", "cost=$1|margin=55%", "price", "", 2.222, 0.001),
    row("UC-1", "identity", "convert", "value=15 per yd2|to=/ft2", "value", "", 1.666_666_666_7, 1e-9),
    row("UC-2", "identity", "convert", "value=5 per 950cm2|to=per ft2", "value", "", 4.889_633_684_2, 1e-9),
    row("APP-13", "Oklahoma State", "convert", "value=40 gal/acre|to=gal/1000ft2", "value", "", 0.918, 0.001),
    row("APP-48", "turf mathematics worksheet: an acre-inch in gallons", "depth-fill", "area=1 acre|depth=1 in", "volume", "gal", 27_154.0, 2.8),
];

#[test]
fn measures_and_prices_agree_with_the_references() {
    check(ROWS);
}
