//! Wrong beds, wishes and answers: each gives an error that names what was seen and what would be right.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use geo::{Coord, LineString, Polygon, polygon};
use groundlore_lore::Lore;
use groundlore_lore::plant::{Light, Moisture, PlantKind};
use groundlore_planting::bed::plan;
use groundlore_planting::care::{PlantedAt, first_year};
use groundlore_planting::grid;
use groundlore_planting::outline::{Front, Outline};
use groundlore_planting::season::{DateOdds, SeasonOdds, Stock, when_to_plant};
use groundlore_planting::spacing::Pattern;
use groundlore_planting::stock::{Answer, CheckKey, Verdict, dickson_quality_index, judge};
use groundlore_planting::wishes::{Budget, Wishes};
use jiff::civil::date;
use std::collections::BTreeMap;

fn south() -> Front {
    Front::Towards { bearing_deg: 180.0 }
}

fn bed() -> Polygon<f64> {
    polygon![(x: 0.0, y: 0.0), (x: 8.0, y: 0.0), (x: 8.0, y: 3.0), (x: 0.0, y: 3.0)]
}

fn said(wishes: Wishes, outline: &Polygon<f64>, front: &Front) -> String {
    plan(&Lore::built_in().unwrap().plants, &wishes, outline, front, 1).unwrap_err().to_string()
}

#[test]
fn wishes_that_make_no_sense_are_told_by_name_value_and_example() {
    let d = Wishes::default;
    let keys = |keys: &[&str]| keys.iter().map(|key| (*key).to_owned()).collect::<Vec<String>>();
    let rows: Vec<(Wishes, &[&str])> = vec![
        (Wishes { bloom_months: vec![5, 13], ..d() }, &["13 is not a month", "1 to 12"]),
        (Wishes { bloom_months: vec![0], ..d() }, &["0 is not a month"]),
        (Wishes { kinds_in_bloom: 0, ..d() }, &["kinds in bloom is 0"]),
        (Wishes { zone: 0, ..d() }, &["hardiness zone is 0", "1 to 13"]),
        (Wishes { latitude_deg: f64::NAN, ..d() }, &["latitude is NaN"]),
        (Wishes { height_m: Some((2.0, 0.3)), ..d() }, &["2 m to 0.3 m", "shorter first"]),
        (Wishes { at_least_one_taller_than_m: Some(-1.0), ..d() }, &["taller than -1 m", "1.8"]),
        (Wishes { visitors: keys(&["unicorns"]), ..d() }, &["\"unicorns\"", "butterflies"]),
        (Wishes { max_kinds: 0, ..d() }, &["most kinds is 0"]),
        (Wishes { include: keys(&["echinacea-purpurea", "aster"]), max_kinds: 1, ..d() }, &["2 plants", "at most 1"]),
        (
            Wishes { include: keys(&["echinacea-pupurea"]), ..d() },
            &["\"echinacea-pupurea\" is not in lore", "did you mean echinacea-purpurea"],
        ),
        (
            Wishes { include: keys(&["aruncus-dioicus"]), leave_out: keys(&["aruncus-dioicus"]), ..d() },
            &["both to be included and to be left out"],
        ),
        (Wishes { budget: Some(Budget { total: -5.0, price_each: vec![] }), ..d() }, &["budget is -5"]),
        (
            Wishes { budget: Some(Budget { total: 5.0, price_each: vec![(PlantKind::Shrub, f64::NAN)] }), ..d() },
            &["price of a Shrub is NaN"],
        ),
    ];
    for (wishes, words) in rows {
        let said = said(wishes, &bed(), &south());
        for word in words {
            assert!(said.contains(word), "{said:?} lacks {word:?}");
        }
    }
}

#[test]
fn impossible_wishes_name_the_wish_and_the_nearest() {
    let d = Wishes::default;
    let key = |key: &str| vec![key.to_owned()];
    let rows: Vec<(Wishes, &[&str])> = vec![
        (Wishes { zone: 12, ..d() }, &["hardiness", "zone 12", "zone 9"]),
        (
            Wishes { light: Light::FullShade, moisture: Moisture::Dry, height_m: Some((4.0, 9.0)), ..d() },
            &["height", "4.00 m to 9.00 m", "nearest"],
        ),
        (
            Wishes { include: key("silphium-perfoliatum"), place: Some("Albany, New York, USA".to_owned()), ..d() },
            &["silphium-perfoliatum", "listed as prohibited in New York"],
        ),
        (Wishes { include: key("aruncus-dioicus"), ..d() }, &["aruncus-dioicus", "does not live in full sun"]),
        (Wishes { include: key("amelanchier-laevis"), ..d() }, &["amelanchier-laevis", "spread 6.10 m", "3.00 m depth"]),
        (
            Wishes { include: vec!["solidago-rugosa".to_owned(), "phlox-subulata".to_owned()], ..d() },
            &["aggressive", "dainty", "leave one out"],
        ),
    ];
    for (wishes, words) in rows {
        let said = said(wishes, &bed(), &south());
        for word in words {
            assert!(said.contains(word), "{said:?} lacks {word:?}");
        }
    }
}

#[test]
fn outlines_and_fronts_that_cannot_be_planted_are_told() {
    let of = |points: &[(f64, f64)]| Polygon::new(LineString::from(points.to_vec()), vec![]);
    let rows: Vec<(Polygon<f64>, Front, &str)> = vec![
        (of(&[]), south(), "0 corners"),
        (of(&[(0.0, 0.0), (1.0, 0.0)]), south(), "corners"),
        (of(&[(0.0, 0.0), (4.0, 4.0), (4.0, 0.0), (0.0, 4.0)]), south(), "crosses itself"),
        (of(&[(0.0, 0.0), (f64::NAN, 0.0), (1.0, 1.0)]), south(), "plain number"),
        (of(&[(0.0, 0.0), (f64::INFINITY, 0.0), (1.0, 1.0)]), south(), "plain number"),
        (of(&[(-88.0, 43.0), (-87.9999, 43.0), (-87.9999, 43.0001), (-88.0, 43.0001)]), south(), "degrees must be turned into metres"),
        (of(&[(0.0, 0.0), (900.0, 0.0), (900.0, 900.0), (0.0, 900.0)]), south(), "more than 20,000 m²"),
        (of(&[(0.0, 0.0), (4.0, 0.0), (8.0, 0.0)]), south(), "area is 0.000000"),
        (bed(), Front::Towards { bearing_deg: f64::NAN }, "bearing is NaN"),
        (bed(), Front::Along { line_m: vec![] }, "0 usable points"),
        (bed(), Front::Along { line_m: vec![(1.0, 1.0), (1.0, 1.0)] }, "two or more"),
        (of(&[(0.0, 0.0), (9.0, 0.0), (9.0, 0.05), (0.0, 0.05)]), south(), "nearest that can be met"),
    ];
    for (outline, front, word) in rows {
        let said = said(Wishes::default(), &outline, &front);
        assert!(said.contains(word), "{said:?} lacks {word:?}");
    }
}

#[test]
fn grids_refuse_spacings_that_make_no_sense() {
    for spacing_m in [0.0, -1.0, f64::NAN, 1e-4] {
        let said = grid::points(&bed(), spacing_m, Pattern::Square).unwrap_err().to_string();
        assert!(said.contains("above 0") || said.contains("200,000"), "{said}");
    }
}

#[test]
fn odds_that_run_backwards_are_told() {
    let wrong = DateOdds { p10: date(2015, 11, 20), p50: date(2015, 11, 8), p90: date(2015, 12, 1), source: String::new() };
    let said = when_to_plant(&SeasonOdds { hard_winter: Some(wrong), ..SeasonOdds::default() }, Stock::Deciduous).unwrap_err().to_string();
    assert!(said.contains("hard winter") && said.contains("2015-11-20") && said.contains("backwards"), "{said}");
}

#[test]
fn stock_answers_of_the_wrong_kind_are_told() {
    let wrong = [
        (CheckKey::Label, Answer::Shoots { shoots: 3, in_flower: false }),
        (CheckKey::Pests, Answer::Measured { height_cm: 3.0, collar_mm: 1.0 }),
    ];
    for (key, answer) in wrong {
        assert!(judge(PlantKind::Perennial, &BTreeMap::from([(key, answer)])).unwrap_err().to_string().contains("was answered with"));
    }
    let flat = BTreeMap::from([(CheckKey::Sturdiness, Answer::Measured { height_cm: 30.0, collar_mm: 0.0 })]);
    assert!(judge(PlantKind::Shrub, &flat).unwrap_err().to_string().contains("collar_mm is 0"));
    assert!(dickson_quality_index(35.0, 5.0, -4.0, 2.0).unwrap_err().to_string().contains("shoot_g is -4"));
}

#[test]
fn a_lot_passes_only_when_every_needed_check_was_done() {
    let all: BTreeMap<CheckKey, Answer> = groundlore_planting::stock::checks_for(PlantKind::Shrub)
        .into_iter()
        .filter(|check| check.needed)
        .map(|check| (check.key, if check.key == CheckKey::Shoots { Answer::Shoots { shoots: 6, in_flower: false } } else { Answer::Pass }))
        .collect();
    assert_eq!(judge(PlantKind::Shrub, &all).unwrap().verdict, Verdict::Pass);
    for key in all.keys() {
        let mut fewer = all.clone();
        fewer.remove(key);
        assert_eq!(judge(PlantKind::Shrub, &fewer).unwrap().verdict, Verdict::NotChecked, "without {key:?}");
        for (answer, verdict) in [(Answer::Doubt, Verdict::Doubt), (Answer::Refuse, Verdict::Refuse)] {
            fewer.insert(*key, answer);
            assert_eq!(judge(PlantKind::Shrub, &fewer).unwrap().verdict, verdict, "{key:?}");
        }
    }
}

#[test]
fn figures_from_memory_or_practice_alone_pass_nothing() {
    let only = BTreeMap::from([
        (CheckKey::Shoots, Answer::Shoots { shoots: 6, in_flower: false }),
        (CheckKey::Sturdiness, Answer::Measured { height_cm: 35.0, collar_mm: 5.0 }),
    ]);
    let judged = judge(PlantKind::Shrub, &only).unwrap();
    assert_eq!(judged.verdict, Verdict::NotChecked);
    let sturdiness = judged.checks.iter().find(|check| check.key == CheckKey::Sturdiness).unwrap();
    assert_eq!(sturdiness.verdict, Verdict::NotChecked);
    let drawn = BTreeMap::from([(CheckKey::Sturdiness, Answer::Measured { height_cm: 90.0, collar_mm: 5.0 })]);
    assert_eq!(judge(PlantKind::Shrub, &drawn).unwrap().verdict, Verdict::Doubt);
    let thin = BTreeMap::from([(CheckKey::Shoots, Answer::Shoots { shoots: 2, in_flower: true })]);
    assert_eq!(judge(PlantKind::Perennial, &thin).unwrap().verdict, Verdict::Doubt);
}

#[test]
fn care_of_nothing_or_nowhere_is_told() {
    let at = PlantedAt { planted: date(2015, 9, 25), latitude_deg: 43.0, zone: 5, frozen: None };
    assert!(first_year(&[], &at).unwrap_err().to_string().contains("no plants"));
    let lore = Lore::built_in().unwrap();
    let plan = plan(&lore.plants, &Wishes::default(), &bed(), &south(), 1).unwrap();
    let plants: Vec<groundlore_planting::care::CarePlant> = plan.kinds.iter().map(Into::into).collect();
    let wrong = PlantedAt { latitude_deg: 143.0, ..at };
    assert!(first_year(&plants, &wrong).unwrap_err().to_string().contains("latitude is 143"));
    let frozen = PlantedAt { frozen: Some((date(2016, 3, 20), date(2015, 12, 5))), ..at };
    assert!(first_year(&plants, &frozen).unwrap_err().to_string().contains("thaw must come later"));
    let mut odd = plants.clone();
    odd[0].pot_l = Some(0.0);
    assert!(first_year(&odd, &at).unwrap_err().to_string().contains("pot's volume in litres is 0"));
}

#[test]
fn a_plan_changed_by_hand_names_what_is_wrong() {
    let lore = Lore::built_in().unwrap();
    let mut plan = plan(&lore.plants, &Wishes::default(), &bed(), &south(), 1).unwrap();
    (plan.plants[0].x_m, plan.plants[0].y_m) = (-1.0, 1.0);
    (plan.plants[1].x_m, plan.plants[1].y_m) = (plan.plants[2].x_m + 0.01, plan.plants[2].y_m);
    let outline = Outline::new(&bed(), &south()).unwrap();
    let said: Vec<String> = groundlore_planting::place::faults(&plan.plants, &outline).iter().map(ToString::to_string).collect();
    assert!(said.iter().any(|line| line.contains("plant 0") && line.contains("outside the bed by 1.00 m")), "{said:?}");
    assert!(said.iter().any(|line| line.contains("plants 1 and 2") && line.contains("0.01 m apart")), "{said:?}");
    let corner = Coord { x: 0.0, y: 0.0 };
    (plan.plants[0].x_m, plan.plants[0].y_m) = (corner.x + 0.01, corner.y + 0.01);
    let said: Vec<String> = groundlore_planting::place::faults(&plan.plants, &outline).iter().map(ToString::to_string).collect();
    assert!(said.iter().any(|line| line.contains("from the edge")), "{said:?}");
}

#[test]
fn words_that_are_no_months_are_told() {
    for text in ["", "0", "13", "4-13", "4-5-6", "-", "smarch", "ma", "4,,5", "300"] {
        let said = groundlore_planting::calendar::parse_months(text).unwrap_err().to_string();
        assert!(said.contains("is not a month") && said.contains("4-10"), "{text:?}: {said}");
    }
}
