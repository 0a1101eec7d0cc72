//! Feeding, mixing and efficacy: section 1 of the planting note and section 5 of the season note.
use crate::{Row, check, row};

const HT: &str = "Henderson & Tilton 1955, algebra";
const ROWS: &[Row] = &[
    row("EF-01", HT, "efficacy", "method=henderson-tilton|check-before=40|check-after=60|treated-before=50|treated-after=5", "efficacy", "", 93.333_333_33, 1e-7),
    row("EF-02", HT, "efficacy", "method=sun-shepard|check-before=100|check-after=120|treated-before=110|treated-after=20", "efficacy", "", 84.848_484_85, 1e-7),
    row("EF-04", HT, "efficacy", "method=henderson-tilton|check-before=30|check-after=30|treated-before=30|treated-after=3", "efficacy", "", 90.0, 1e-9),
    row("EF-05", HT, "efficacy", "method=sun-shepard|check-before=80|check-after=40|treated-before=100|treated-after=10", "efficacy", "", 80.0, 1e-9),
    row("EF-06", "may be negative", "efficacy", "method=henderson-tilton|check-before=50|check-after=75|treated-before=60|treated-after=120", "efficacy", "", -33.333_333_33, 1e-7),
    row("EF-06a", "Abbott 1925", "efficacy", "method=abbott|check-after=75|treated-after=120", "efficacy", "", -60.0, 1e-9),
    row("EF-10", "Schneider-Orelli 1947", "efficacy", "method=schneider-orelli|treated-mortality=85%|check-mortality=10%", "efficacy", "", 83.333_333_33, 1e-7),
    row("EF-11", "same", "efficacy", "method=schneider-orelli|treated-mortality=0.4|check-mortality=0.2", "efficacy", "", 25.0, 1e-9),
    row("EF-13", "same", "efficacy", "method=schneider-orelli|treated-mortality=12%|check-mortality=20%", "efficacy", "", -10.0, 1e-9),
    row("EF-20", "webworms T2, Beall 1940", "efficacy", "method=abbott|check-after=1.4|treated-after=0.504615384615", "efficacy", "", 63.956_044, 1e-5),
    row("EF-40", "Cochran & Cox 1950, eelworms Car 1 (means of plots)", "efficacy", "method=henderson-tilton|check-before=123.4375|check-after=366.125|treated-before=104.25|treated-after=232", "efficacy", "", 24.970_914_4, 1e-6),
    row("APP-16", "Univ. of Florida exam: 45-0-0, 50 lb bag covers 22,500 ft2", "fertiliser", "nutrient-rate=1 lb/1000ft2|analysis=45-0-0|area=22500 ft2", "product", "lb", 50.0, 1e-9),
    row("APP-17", "Purdue AY-22 family (prints 37, cut off)", "fertiliser", "nutrient-rate=0.75 lb/1000ft2|analysis=16-8-8|area=8000 ft2", "product", "lb", 37.5, 1e-9),
    row("APP-18", "Univ. of Nebraska–Lincoln", "fertiliser", "nutrient-rate=1 lb/1000ft2|analysis=28-3-6|area=6000 ft2", "product", "lb", 21.43, 0.02),
    row("APP-18r", "same", "fertiliser", "nutrient-rate=1 lb/1000ft2|analysis=28-3-6|nutrient=N", "product_rate", "", 3.571, 0.001),
    row("APP-21", "turf mathematics worksheet", "fertiliser", "nutrient-rate=0.9 lb/1000ft2|analysis=25-0-0|area=45 acre", "product", "lb", 7056.7, 0.1),
    row("APP-23", "lawn page, 16-4-8", "fertiliser", "nutrient-rate=1 lb/1000ft2|analysis=16-4-8", "product_rate", "", 6.25, 1e-9),
    row("APP-25", "arithmetic, 24-0-11", "fertiliser", "nutrient-rate=1 lb/1000ft2|analysis=24-0-11|area=7350 ft2", "product", "lb", 30.625, 0.01),
    row("APP-25k", "same, potash on an area", "fertiliser", "nutrient-rate=1 lb/1000ft2|analysis=24-0-11|area=7350 ft2", "supplied_k2o", "", 0.458_333_3, 1e-6),
    row("APP-25t", "same, potash on the whole area", "fertiliser", "nutrient-rate=1 lb/1000ft2|analysis=24-0-11|area=7350 ft2", "supplied_k2o", "lb", 3.368_75, 1e-6),
    row("APP-26", "garden article, 21-0-0", "fertiliser", "nutrient-rate=3 lb/1000ft2|analysis=21-0-0|area=5000 ft2", "product", "lb", 71.43, 0.07),
    row("APP-27", "urea printed as 47-0-0", "fertiliser", "nutrient-rate=1 lb/1000ft2|analysis=47-0-0", "product_rate", "", 2.128, 0.04),
    row("APP-05", "1/128 method slides", "mix", "rate=1 qt/acre|volume-rate=40 gal/acre|tank=1 gal", "product_per_tank", "floz", 0.8, 1e-9),
    row("APP-05a", "same: a gallon covers", "mix", "rate=1 qt/acre|volume-rate=40 gal/acre|tank=1 gal", "area_per_tank", "ft2", 1089.0, 1e-6),
    row("APP-06", "NC State backpack worksheet", "mix", "rate=8 floz/acre|volume-rate=7.5 gal/acre|tank=3 gal", "product_per_tank", "floz", 3.2, 1e-9),
    row("APP-06m", "same, in mL", "mix", "rate=8 floz/acre|volume-rate=7.5 gal/acre|tank=3 gal", "product_per_tank", "mL", 94.6, 0.1),
    row("APP-34a", "percent of the finished mix", "mix", "rate=2%|tank=1 gal", "product_per_tank", "floz", 2.56, 1e-9),
    row("APP-34b", "percent of the finished mix", "mix", "rate=0.25%|tank=1 gal", "product_per_tank", "floz", 0.32, 1e-9),
    row("APP-35", "Kentucky, 1 lb in 100 gal, make 1 gal", "mix", "rate=1 lb/100gal|tank=1 gal", "product_per_tank", "g", 4.536, 0.05),
];

#[test]
fn amounts_and_efficacies_agree_with_the_references() {
    check(ROWS);
}

#[test]
fn henderson_tilton_and_sun_shepard_are_one_figure() {
    for (cb, ca, tb, ta) in [(40, 60, 50, 5), (80, 40, 100, 10), (50, 75, 60, 120)] {
        let inputs = format!("check-before={cb}|check-after={ca}|treated-before={tb}|treated-after={ta}");
        let of = |method: &str| {
            let answer = groundlore_reckoner::reckon(&crate::ask("efficacy", &format!("method={method}|{inputs}"))).unwrap();
            answer.json()["outputs"]["efficacy"]["value"].as_f64().unwrap()
        };
        assert!((of("henderson-tilton") - of("sun-shepard")).abs() < 1e-9);
    }
}
