//! The first year of a bed: heaving (University of Minnesota Extension, Postels 2017: autumn plantings may heave), mulch 2 to 4 in
//! (extension notes), cut-back by lore's seasons with the half-year swap (common practice).

use geo::polygon;
use groundlore_lore::Lore;
use groundlore_lore::plant::{CutBackWhen, PlantKind};
use groundlore_planting::bed::plan;
use groundlore_planting::care::{CarePlant, CareTask, CareWork, FirstYear, PlantedAt, first_year};
use groundlore_planting::outline::Front;
use groundlore_planting::wishes::Wishes;
use jiff::civil::{Date, date};

fn bed(latitude_deg: f64) -> Vec<CarePlant> {
    let outline = polygon![(x: 0.0, y: 0.0), (x: 8.0, y: 0.0), (x: 8.0, y: 3.0), (x: 0.0, y: 3.0)];
    let bloom_months = if latitude_deg < 0.0 { vec![10, 11, 12, 1, 2, 3, 4] } else { (4..=10).collect() };
    let wishes = Wishes { latitude_deg, bloom_months, ..Wishes::default() };
    let plan = plan(&Lore::built_in().unwrap().plants, &wishes, &outline, &Front::Towards { bearing_deg: 180.0 }, 1).unwrap();
    plan.kinds.iter().map(CarePlant::from).collect()
}

fn year(planted: Date, latitude_deg: f64, frozen: Option<(Date, Date)>) -> FirstYear {
    first_year(&bed(latitude_deg), &PlantedAt { planted, latitude_deg, zone: 5, frozen }).unwrap()
}

fn of(year: &FirstYear, work: CareWork) -> Vec<&CareTask> {
    year.tasks.iter().filter(|task| task.work == work).collect()
}

#[test]
fn late_winter_cut_back_falls_before_april_in_the_north_and_before_october_in_the_south() {
    let plants = bed(43.0);
    let late = |key: &String| plants.iter().any(|plant| plant.key == *key && plant.cut_back.when == CutBackWhen::LateWinter);
    for (planted, latitude_deg, first, last) in
        [(date(2015, 9, 20), 43.0, date(2016, 2, 15), date(2016, 3, 31)), (date(2015, 3, 20), -43.0, date(2015, 8, 15), date(2015, 9, 30))]
    {
        let year = year(planted, latitude_deg, None);
        let tasks: Vec<_> = of(&year, CareWork::CutBack).into_iter().filter(|task| task.plants.iter().any(late)).collect();
        assert!(!tasks.is_empty());
        for task in tasks {
            assert_eq!((task.from, task.to), (first, last), "{:?}", task.plants);
        }
    }
}

#[test]
fn only_an_autumn_planting_is_looked_at_for_heaving() {
    let autumn = year(date(2015, 9, 20), 43.0, None);
    let look = of(&autumn, CareWork::LookForHeaving);
    assert_eq!((look.len(), look[0].from, look[0].to), (1, date(2016, 2, 1), date(2016, 4, 15)));
    assert!(of(&year(date(2015, 5, 6), 43.0, None), CareWork::LookForHeaving).is_empty());
    let south = year(date(2015, 3, 20), -43.0, None);
    assert_eq!(of(&south, CareWork::LookForHeaving)[0].from, date(2015, 8, 1));
}

#[test]
fn nobody_waters_or_weeds_frozen_ground() {
    let frozen = (date(2015, 12, 5), date(2016, 3, 20));
    let year = year(date(2015, 9, 20), 43.0, Some(frozen));
    for task in of(&year, CareWork::Water).into_iter().chain(of(&year, CareWork::Weed)) {
        assert!(task.to < frozen.0 || task.from > frozen.1, "{:?} {} {}", task.work, task.from, task.to);
    }
    assert!(year.not_checked.iter().all(|line| !line.contains("frozen")));
}

#[test]
fn every_task_has_days_in_order_a_reason_and_a_source() {
    for (planted, latitude_deg) in
        [(date(2015, 9, 20), 43.0), (date(2015, 5, 6), 43.0), (date(2015, 3, 20), -43.0), (date(2015, 12, 30), 60.0)]
    {
        let year = year(planted, latitude_deg, None);
        for task in &year.tasks {
            assert!(planted <= task.from && task.from <= task.best && task.best <= task.to, "{task:?}");
            assert!(!task.why.is_empty() && !task.source.is_empty() && !task.plants.is_empty() && !task.what.is_empty());
        }
        let mulch = of(&year, CareWork::Mulch);
        assert!(mulch.len() == 1 && mulch[0].what.contains("2 to 4 in") && mulch[0].what.contains("clear of crowns"));
        assert!(year.not_needed.iter().any(|one| one.what == "staking"));
    }
}

#[test]
fn bulbs_are_watered_in_once() {
    let plants = bed(43.0);
    let bulbs: Vec<&String> = plants.iter().filter(|plant| plant.kind == PlantKind::Bulb).map(|plant| &plant.key).collect();
    assert!(!bulbs.is_empty());
    let year = year(date(2015, 9, 20), 43.0, None);
    for key in bulbs {
        let times: Vec<_> = of(&year, CareWork::Water).into_iter().filter(|task| task.plants.contains(key)).collect();
        assert!(times.len() == 1 && times[0].every_days.is_none());
    }
}
