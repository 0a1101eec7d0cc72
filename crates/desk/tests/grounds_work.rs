//! Beds, stock, take-offs, machines and proposals, end to end on an invented yard in a book in memory, with the built-in station on
//! 17 August 2015.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use groundlore_book::Book;
use groundlore_book::firm::Firm;
use groundlore_book::prices::{Price, PriceRule};
use groundlore_desk::Desk;
use groundlore_desk::beds::BedWishes;
use groundlore_desk::machines::{Blades, HoursEntry, MachineEntry};
use groundlore_desk::proposals::{ExtraLine, ProposalWishes};
use groundlore_desk::stock::StockEntry;
use groundlore_desk::take_off::{EdgingWishes, MulchWishes};
use groundlore_desk::yards::YardFacts;
use groundlore_planting::outline::{Front, Outline};
use groundlore_planting::season::PlantingSeason;
use groundlore_planting::stock::Verdict;
use jiff::civil::{Date, date};
use std::sync::{Arc, OnceLock};

/// A lawn with a bed of 12 m by 3.7 m along its north side and a house behind: invented.
const MAP: &str = r#"{"type": "FeatureCollection", "name": "Heron Lane", "features": [
{"type": "Feature", "id": "lawn", "properties": {"kind": "lawn", "name": "South lawn", "shade": "full-sun"}, "geometry": {"type": "Polygon", "coordinates": [[[-88.0, 43.0], [-87.9998, 43.0], [-87.9998, 43.0001], [-88.0, 43.0001], [-88.0, 43.0]]]}},
{"type": "Feature", "id": "long-bed", "properties": {"kind": "bed", "name": "Long bed", "shade": "full-sun", "soil": "silt loam"}, "geometry": {"type": "Polygon", "coordinates": [[[-87.99998, 43.0001], [-87.99983, 43.0001], [-87.99983, 43.000133], [-87.99998, 43.000133], [-87.99998, 43.0001]]]}},
{"type": "Feature", "id": "dark-bed", "properties": {"kind": "bed", "name": "Corner"}, "geometry": {"type": "Polygon", "coordinates": [[[-87.9997, 43.0003], [-87.9996, 43.0003], [-87.9996, 43.00033], [-87.9997, 43.00033], [-87.9997, 43.0003]]]}},
{"type": "Feature", "id": "house", "properties": {"kind": "house", "name": "House", "height": "20 ft"}, "geometry": {"type": "Polygon", "coordinates": [[[-87.99998, 43.00014], [-87.99983, 43.00014], [-87.99983, 43.0002], [-87.99998, 43.0002], [-87.99998, 43.00014]]]}},
{"type": "Feature", "id": "bed-edge", "properties": {"kind": "edge", "name": "Bed edge", "edging": "spade-cut", "beside": ["lawn", "long-bed"]}, "geometry": {"type": "LineString", "coordinates": [[-87.99998, 43.0001], [-87.99983, 43.0001]]}}
]}"#;

const TODAY: Date = date(2015, 8, 17);

fn lore() -> Arc<groundlore_lore::Lore> {
    static LORE: OnceLock<Arc<groundlore_lore::Lore>> = OnceLock::new();
    Arc::clone(LORE.get_or_init(|| Desk::load_lore(None).unwrap()))
}

fn desk() -> Desk {
    let book = Book::open_in_memory().unwrap();
    let mut desk = Desk::new(book, lore(), TODAY, "2015-08-17T13:00:00Z".parse().unwrap());
    let facts = YardFacts {
        owner: Some("Ida Quill".into()),
        address: Some("7 Heron Lane".into()),
        station: Some("USW00014839".into()),
        ..YardFacts::default()
    };
    desk.import_yard(MAP, "heron-lane.geojson", &facts, false).unwrap();
    desk
}

fn with_firm() -> Desk {
    let mut desk = desk();
    let firm = Firm {
        name: "Marrow & Reed Grounds".into(),
        currency: "$".into(),
        labour_cost_per_h: Some(40.0),
        overhead_share: Some(0.25),
        margin_share: Some(0.2),
        ..Firm::default()
    };
    desk.book.write(|tx| tx.set_firm(&firm)).unwrap();
    desk
}

fn price(desk: &mut Desk, item: &str, unit: &str, cost: f64) {
    let row = Price { item: item.into(), unit: unit.into(), cost_per_unit: Some(cost), rule: PriceRule::Cost, ..Price::default() };
    desk.book.write(|tx| tx.set_price(&row)).unwrap();
}

fn wishes() -> BedWishes {
    BedWishes {
        bloom: Some("May-October".into()),
        taller_than_person: Some(true),
        place: Some("Wisconsin, USA".into()),
        ..BedWishes::default()
    }
}

fn write_out(name: &str, sheet: &groundlore_sheet::Sheet) {
    let Ok(dir) = std::env::var("GROUNDLORE_SHEETS") else { return };
    std::fs::write(format!("{dir}/{name}.txt"), groundlore_sheet::text::print(sheet, 100)).unwrap();
    let mut figures = 0;
    for block in &sheet.blocks {
        if let groundlore_sheet::Block::Figure { svg, .. } = block {
            figures += 1;
            std::fs::write(format!("{dir}/{name}-{figures}.svg"), svg).unwrap();
        }
    }
}

#[test]
fn a_bed_is_planned_from_the_map_to_the_book() {
    let mut desk = desk();
    let bed = desk.plan_bed("Heron Lane", "Long bed", &wishes()).unwrap();
    // 0.00015° × 0.000033° at 43° N: 12.23 m × 3.67 m.
    assert!((bed.area_m2 - 44.83).abs() < 0.05, "{}", bed.area_m2);
    let Front::Along { line_m } = &bed.plan.front else { panic!("{:?}", bed.plan.front) };
    assert_eq!(line_m.len(), 2, "the south side lies along the lawn");
    assert!((bed.facing_deg - 180.0).abs() < 1.0, "{}", bed.facing_deg);
    assert!(bed.plan.plants.len() > 40, "{}", bed.plan.plants.len());
    // The lowest nights of the winters 1985 to 2014 at the station average −8.25 °F (summed by a script outside): zone 6a.
    assert_eq!(bed.plan.wishes.zone, 6, "{:?}", bed.assumed);
    for month in 5..=10 {
        assert!(!bed.plan.bloom_by_month[month - 1].is_empty(), "month {month}");
    }
    // Tall behind: turned so that the front lies below, the tallest kinds stand higher on the paper.
    assert!(bed.plan.height_order.rank_correlation.unwrap() > 0.7);
    let tallest = bed.plan.plants.iter().zip(&bed.places_m).max_by(|a, b| a.0.height_m.total_cmp(&b.0.height_m)).unwrap();
    let shortest = bed.plan.plants.iter().zip(&bed.places_m).min_by(|a, b| a.0.height_m.total_cmp(&b.0.height_m)).unwrap();
    assert!(tallest.1.1 > shortest.1.1);
    let saved = desk.saved_bed("Heron Lane", "long bed").unwrap();
    assert_eq!((&saved.plan.counts, &saved.plan.drifts, saved.plan_id), (&bed.plan.counts, &bed.plan.drifts, bed.plan_id));
    let moved = saved.places_m.iter().zip(&bed.places_m).map(|(a, b)| (a.0 - b.0).hypot(a.1 - b.1)).fold(0.0, f64::max);
    assert!(moved < 1e-9, "{moved}");
    let again = desk.draft_bed("Heron Lane", "Long bed", &wishes()).unwrap();
    assert!(again.plan == bed.plan, "same input, same plan");
    write_out("bed", &desk.bed_sheet(&bed).unwrap());
}

#[test]
fn a_bed_is_planted_in_autumn_within_the_odds_of_frost_and_heat() {
    let mut desk = desk();
    let bed = desk.plan_bed("Heron Lane", "Long bed", &wishes()).unwrap();
    let window = bed.windows[0].window.as_ref().unwrap();
    assert_eq!(window.season, PlantingSeason::Autumn);
    assert!(window.earliest >= TODAY && window.earliest <= window.best && window.best <= window.latest);
    assert!(window.best >= date(2015, 9, 1) && window.latest <= date(2015, 10, 31), "{window:?}");
    assert!(window.odds.iter().any(|line| line.contains("first frost")), "{:?}", window.odds);
    assert!(window.odds.iter().any(|line| line.contains("end of the heat")), "{:?}", window.odds);
    let yard = desk.book.yard_named("Heron Lane").unwrap();
    let keys: Vec<String> = desk.book.tasks_of(yard.id).unwrap().into_iter().map(|task| task.key).collect();
    for work in ["order-plants", "plant-plants", "water-", "mulch-", "look-for-heaving-", "cut-back-"] {
        assert!(keys.iter().any(|key| key.starts_with(&format!("heron-lane/bed/long-bed/{work}"))), "{work}: {keys:?}");
    }
    let planting = bed.tasks.iter().find(|task| task.key.ends_with("plant-plants")).unwrap();
    assert!(planting.cautions.iter().any(|line| line.contains("utility")));
    let number: f64 = planting.takes.materials.iter().map(|(_, n)| n.value).sum();
    assert!(number as usize <= bed.plan.plants.len() && planting.takes.minutes.unwrap().0 >= 4.0 * number);
}

#[test]
fn when_autumn_is_over_the_window_is_next_spring() {
    let mut desk = desk();
    desk.today = date(2015, 11, 20);
    let bed = desk.draft_bed("Heron Lane", "Long bed", &wishes()).unwrap();
    let window = bed.windows[0].window.as_ref().unwrap();
    assert_eq!(window.season, PlantingSeason::Spring);
    assert!(window.earliest >= date(2016, 4, 10) && window.latest <= date(2016, 6, 15), "{} {}", window.earliest, window.latest);
    // Late in an open window a week's wait costs odds: by 10 October hard winter may come within seven weeks.
    desk.today = date(2015, 10, 10);
    let late = desk.draft_bed("Heron Lane", "Long bed", &wishes()).unwrap();
    let share = late.windows[0].missed_by_a_week.unwrap();
    assert!(late.windows[0].window.as_ref().unwrap().earliest == desk.today && share > 0.5, "{share}");
}

#[test]
fn the_corner_lot_s_beds_are_planned_too() {
    let mut desk = Desk::new(Book::open_in_memory().unwrap(), lore(), TODAY, "2015-08-17T13:00:00Z".parse().unwrap());
    let map = include_str!("../../site/tests/data/corner-lot.geojson");
    let facts = YardFacts { station: Some("USW00014839".into()), ..YardFacts::default() };
    desk.import_yard(map, "corner-lot.geojson", &facts, true).unwrap();
    for bed in ["Island bed", "Foundation bed"] {
        let found =
            desk.plan_bed("Fennimore corner", bed, &BedWishes { bloom: Some("May-October".into()), ..BedWishes::default() }).unwrap();
        assert!(!found.plan.plants.is_empty());
        assert!(found.front.starts_with(if bed == "Island bed" { "an island" } else { "the south" }), "{}", found.front);
        write_out(bed, &desk.bed_sheet(&found).unwrap());
    }
    let edge = desk.edging_for_edge("Fennimore corner", "kerb", &EdgingWishes::default()).unwrap();
    assert!(edge.assumed.iter().any(|line| line.contains("as the map has it")), "{:?}", edge.assumed);
    assert!(edge.facts.contains(&("buried".into(), "3 in".into())), "new edging shows an inch, not the three that stand proud now");
}

#[test]
fn wrong_beds_and_wishes_are_told_with_the_remedy() {
    let desk = desk();
    let said = |bed: &str, typed: &BedWishes| desk.draft_bed("Heron Lane", bed, typed).unwrap_err().to_string();
    assert!(said("Rose bed", &wishes()).contains("`Long bed`"), "{}", said("Rose bed", &wishes()));
    assert!(said("lawn", &wishes()).contains("is a lawn"));
    assert!(said("Corner", &wishes()).contains("light"), "{}", said("Corner", &wishes()));
    let corner = BedWishes { light: Some("full sun".into()), ..wishes() };
    assert!(said("Corner", &corner).contains("--front"), "{}", said("Corner", &corner));
    assert!(said("Long bed", &BedWishes { bloom: Some("Mayvember".into()), ..wishes() }).contains("Mayvember"));
    assert!(said("Long bed", &BedWishes { heights: Some("tall".into()), ..wishes() }).contains("1 ft - 6 ft"));
    assert!(said("Long bed", &BedWishes { visitors: Some("dragons".into()), ..wishes() }).contains("dragons"));
    assert!(said("Long bed", &BedWishes { include: Some("no-such-plant".into()), ..wishes() }).contains("no-such-plant"));
    assert!(said("Long bed", &BedWishes { moisture: Some("soggy".into()), ..wishes() }).contains("`wet`"));
    assert!(desk.draft_bed("Nowhere", "Long bed", &wishes()).unwrap_err().to_string().contains("Heron Lane"));
    let south = BedWishes { light: Some("full sun".into()), front: Some("south".into()), max_kinds: Some("5".into()), ..wishes() };
    assert_eq!(desk.draft_bed("Heron Lane", "Corner", &south).unwrap().plan.front, Front::Towards { bearing_deg: 180.0 });
}

#[test]
fn an_island_is_low_all_round_and_a_yard_without_weather_says_what_it_lacks() {
    let mut desk = Desk::new(Book::open_in_memory().unwrap(), lore(), TODAY, "2015-08-17T13:00:00Z".parse().unwrap());
    let map = MAP.replace("[-87.99998, 43.0001], [-87.99983, 43.0001], [-87.99983, 43.000133], [-87.99998, 43.000133], [-87.99998, 43.0001]]]}},\n{\"type\": \"Feature\", \"id\": \"dark", "[-87.99995, 43.00003], [-87.99988, 43.00003], [-87.99988, 43.00008], [-87.99995, 43.00008], [-87.99995, 43.00003]]]}},\n{\"type\": \"Feature\", \"id\": \"dark");
    assert_ne!(map, MAP);
    desk.import_yard(&map, "island.geojson", &YardFacts::default(), false).unwrap();
    assert!(desk.draft_bed("Heron Lane", "Long bed", &wishes()).unwrap_err().to_string().contains("--zone 5"));
    let bed = desk.plan_bed("Heron Lane", "Long bed", &BedWishes { zone: Some("5b".into()), ..wishes() }).unwrap();
    assert_eq!(bed.plan.front, Front::AllRound);
    assert!(bed.windows.is_empty() && bed.not_checked[0].contains("no weather station"));
    let text = groundlore_sheet::text::print(&desk.bed_sheet(&bed).unwrap(), 100);
    assert!(text.contains("not checked best day to plant"), "{text}");
    write_out("island", &desk.bed_sheet(&bed).unwrap());
}

#[test]
fn a_bed_planned_again_closes_the_tasks_that_fell_away() {
    let mut desk = desk();
    let with_bulbs = BedWishes { include: Some("narcissus-pseudonarcissus".into()), bloom: Some("April-October".into()), ..wishes() };
    desk.plan_bed("Heron Lane", "Long bed", &with_bulbs).unwrap();
    let bulbs = "heron-lane/bed/long-bed/plant-bulbs";
    let state = |desk: &Desk| desk.book.task_keyed(bulbs).unwrap().unwrap().state.word();
    assert_eq!(state(&desk), "to do");
    let without = BedWishes {
        leave_out: Some(
            "narcissus-pseudonarcissus, camassia-scilloides, crocus-tommasinianus, galanthus-nivalis, eranthis-hyemalis".into(),
        ),
        ..wishes()
    };
    desk.plan_bed("Heron Lane", "Long bed", &without).unwrap();
    assert_eq!(state(&desk), "could not");
    desk.plan_bed("Heron Lane", "Long bed", &with_bulbs).unwrap();
    assert_eq!(state(&desk), "to do");
}

#[test]
fn every_plant_keeps_its_place_in_the_bed() {
    let desk = desk();
    let bed = desk.draft_bed("Heron Lane", "Long bed", &wishes()).unwrap();
    let yard = desk.yard("Heron Lane").unwrap();
    let area = yard.map.as_ref().unwrap().area("long-bed").unwrap().clone();
    for (lon, lat) in &bed.places_lonlat {
        assert!(geo::Contains::contains(&area.polygon, &geo::Point::new(*lon, *lat)));
    }
    let frame = groundlore_site::LocalFrame::of_polygon(&area.polygon).unwrap();
    let outline = Outline::new(&frame.polygon_to_m(&area.polygon), &bed.plan.front).unwrap();
    assert!(groundlore_planting::place::faults(&bed.plan.plants, &outline).is_empty());
}

#[test]
fn a_check_not_done_is_never_passed() {
    let mut desk = desk();
    let pass = |checks: &[&str]| checks.iter().map(|c| ((*c).to_owned(), "pass".to_owned())).collect::<Vec<_>>();
    let entry = StockEntry {
        plant: "Echinacea purpurea".into(),
        yard: Some("Heron Lane".into()),
        quantity: Some(9),
        answers: pass(&["label", "roots-at-edge"]),
        ..StockEntry::default()
    };
    let found = desk.check_stock(&entry).unwrap();
    assert_eq!(found.verdict.verdict, Verdict::NotChecked);
    let lines = desk.book.stock_check_lines(found.check_id).unwrap();
    assert_eq!(lines.iter().filter(|line| line.verdict.is_none()).count(), lines.len() - 2);
    let mut whole = StockEntry {
        answers: pass(&["label", "roots-at-edge", "roots-circling", "outer-layer", "root-colour", "pests", "weeds", "ball"]),
        ..entry.clone()
    };
    whole.answers.push(("shoots".into(), "5 shoots".into()));
    assert_eq!(desk.check_stock(&whole).unwrap().verdict.verdict, Verdict::Pass);
    whole.answers[3].1 = "refuse".into();
    let refused = desk.check_stock(&whole).unwrap();
    assert_eq!(refused.verdict.verdict, Verdict::Refuse);
    let key = format!("heron-lane/stock/echinacea-purpurea/{}", refused.check_id);
    assert!(desk.book.task_keyed(&key).unwrap().is_some());
    write_out("stock", &desk.stock_sheet(&refused).unwrap());
    write_out("gate", &desk.gate_sheet("echinacea-purpurea").unwrap());
    let said = |check: &str, answer: &str| desk_error(&entry, check, answer);
    assert!(said("colour-of-the-pot", "pass").contains("roots-at-edge"));
    assert!(said("pests", "maybe").contains("`not checked`"));
    assert!(desk.gate_card("Zorblax").unwrap_err().to_string().contains("Zorblax"));
}

fn desk_error(entry: &StockEntry, check: &str, answer: &str) -> String {
    let entry = StockEntry { answers: vec![(check.to_owned(), answer.to_owned())], ..entry.clone() };
    desk().check_stock(&entry).unwrap_err().to_string()
}

#[test]
fn mulch_is_area_by_depth_by_waste_of_the_lore() {
    let desk = desk();
    let found = desk.mulch_for_bed("Heron Lane", "Long bed", &MulchWishes::default()).unwrap();
    // 44.83 m² × 0.0762 m × 1.065 = 3.638 m³ = 4.758 yd³, ordered as 4.8.
    assert_eq!(found.lines[0].amount.to_string(), "4.8 yd3", "{:?}", found.working);
    assert!(found.assumed.iter().any(|line| line.contains("depth: 3 in")), "{:?}", found.assumed);
    assert!((found.labour[0].minutes.0 - 142.7).abs() < 0.5, "{:?}", found.labour);
    write_out("mulch", &desk.take_off_sheet(&found).unwrap());
    let deep = MulchWishes { depth: Some("2 gallons".into()), ..MulchWishes::default() };
    assert!(desk.mulch_for_bed("Heron Lane", "Long bed", &deep).unwrap_err().to_string().contains("depth"));
}

#[test]
fn edging_is_counted_buried_and_bedded() {
    let mut desk = desk();
    let typed = EdgingWishes { block_length: Some("12 in".into()), waste: Some("10%".into()), ..EdgingWishes::default() };
    let found = desk.edging_for_edge("Heron Lane", "Bed edge", &typed).unwrap();
    // 12.23 m = 40.13 ft; ÷ 1 ft × 1.1 = 44.14, so 45 blocks; a 4 in face that shows 1 in is buried 3 in, on 4 in of base.
    assert_eq!(found.lines[0].amount.value, 45.0, "{:?}", found.working);
    assert!(found.facts.contains(&("buried".into(), "3 in".into())), "{:?}", found.facts);
    assert!(found.facts.contains(&("trench depth".into(), "7 in".into())));
    let two = desk.edging_for_edge("Heron Lane", "Bed edge", &EdgingWishes { courses: Some(2), ..typed }).unwrap();
    assert_eq!(two.lines[0].amount.value, 89.0, "{:?}", two.working);
    assert!(two.facts.contains(&("buried".into(), "7 in".into())));
    desk.plan_take_off(&found).unwrap();
    assert!(desk.book.task_keyed("heron-lane/edging/bed-edge").unwrap().is_some());
    write_out("edging", &desk.take_off_sheet(&found).unwrap());
}

#[test]
fn sharpening_falls_due_at_the_pace_of_the_log() {
    let mut desk = desk();
    desk.add_machine(&MachineEntry {
        name: "Walk-behind".into(),
        kind: "mower".into(),
        cutting_width: Some("21 in".into()),
        ..MachineEntry::default()
    })
    .unwrap();
    assert_eq!(desk.blades_overdue("Heron Lane"), None);
    assert!(matches!(desk.machine_states().unwrap()[0].blades, Blades::HoursNeverLogged));
    assert!(desk.machine_states().unwrap()[0].words.contains("never logged"));
    desk.sharpened("walk-behind", Some(date(2015, 8, 7)), None).unwrap();
    for day in 8..=17 {
        let entry = HoursEntry {
            machine: "Walk-behind".into(),
            hours: "90 min".into(),
            date: Some(date(2015, 8, day)),
            yard: Some("Heron Lane".into()),
            ..HoursEntry::default()
        };
        desk.log_hours(&entry).unwrap();
    }
    let state = desk.machine_states().unwrap().remove(0);
    let Blades::Since { state: blade, .. } = state.blades else { panic!("{:?}", state.blades) };
    // 15 h in 10 days is 1.5 h a day: 20 h in 4 days more (3.33 rounded up), 30 h in 10.
    assert_eq!((blade.hours_h, blade.due_from, blade.due_by), (15.0, Some(date(2015, 8, 21)), Some(date(2015, 8, 27))));
    assert_eq!(desk.blades_overdue("Heron Lane"), Some(false));
    let task = desk.book.task_keyed("machine/walk-behind/sharpen/2015-08-07").unwrap().unwrap();
    assert_eq!((task.earliest, task.best, task.latest), (blade.due_from, Some(date(2015, 8, 24)), blade.due_by));
    desk.set_blade_limits("8-10 h").unwrap();
    assert_eq!(desk.blades_overdue("Heron Lane"), Some(true));
    write_out("machines", &desk.machines_sheet().unwrap());
    desk.sharpened("Walk-behind", None, Some("Bo")).unwrap();
    assert_eq!(desk.blades_overdue("Heron Lane"), Some(false));
    let done = desk.book.task_keyed("machine/walk-behind/sharpen/2015-08-07").unwrap().unwrap();
    assert_eq!(done.state.word(), "done");
}

#[test]
fn wrong_hours_are_refused_and_nothing_is_logged() {
    let mut desk = desk();
    desk.add_machine(&MachineEntry { name: "Rider".into(), kind: "mower".into(), ..MachineEntry::default() }).unwrap();
    let mut said = |machine: &str, hours: &str, date: Option<Date>| {
        desk.log_hours(&HoursEntry { machine: machine.into(), hours: hours.into(), date, ..HoursEntry::default() }).unwrap_err().to_string()
    };
    assert!(said("Ryder", "2", None).contains("Rider"));
    assert!(said("Rider", "25", None).contains("24"));
    assert!(said("Rider", "-1", None).contains("above 0"));
    assert!(said("Rider", "2 ft", None).contains("time"));
    assert!(said("Rider", "2", Some(date(2015, 8, 18))).contains("future"));
    assert!(desk.set_blade_limits("30-20 h").unwrap_err().to_string().contains("wrong way round"));
    assert!(matches!(desk.machine_states().unwrap()[0].blades, Blades::HoursNeverLogged));
}

fn mulch_offer(desk: &Desk) -> ProposalWishes {
    let mulch = desk.mulch_for_bed("Heron Lane", "Long bed", &MulchWishes { waste: Some("0".into()), ..MulchWishes::default() }).unwrap();
    ProposalWishes {
        yard: "Heron Lane".into(),
        title: "Mulch for the long bed".into(),
        take_offs: vec![mulch],
        ..ProposalWishes::default()
    }
}

#[test]
fn a_proposal_sums_to_the_cent() {
    let mut desk = with_firm();
    price(&mut desk, "hardwood-bark-mulch", "yd3", 32.50);
    let mut wishes = mulch_offer(&desk);
    wishes.extra = vec![ExtraLine { item: "weed-bed".into(), amount: "500 ft2".into(), what: Some("Long bed".into()) }];
    let found = desk.draft_proposal(&wishes).unwrap();
    let priced = found.priced.clone().expect("complete");
    // 44.83 m² × 3 in is 4.468 yd³, ordered as 4.5 × 32.50 = 146.25. Labour: 4.468 × 45 min is 3.4 h × 40 = 136; weeding 5 × 25 min is
    // 2.1 h × 40 = 84.
    let direct = 146.25 + 136.0 + 84.0;
    assert!((priced.direct - direct).abs() < 1e-9, "{} {direct}", priced.direct);
    // Overhead 25 % of cost, margin 20 % of the price: price = direct × 1.25 ÷ 0.8; markup is then 25 %.
    assert!((priced.price - direct * 1.25 / 0.8).abs() < 1e-9);
    assert_eq!(found.total(), Some(572.27)); // 366.25 × 1.25 = 457.8125; ÷ 0.8 = 572.265625
    assert!((priced.markup - 0.25).abs() < 1e-12 && (priced.margin - 0.2).abs() < 1e-12);
    // At the least time 2.234 h and 50 min, at the most 4.469 h and 200 min.
    let (least, most) = found.price_range.unwrap();
    assert!((least - (146.25 + (4.469 * 0.5 + 50.0 / 60.0) * 40.0) * 1.25 / 0.8).abs() < 0.1, "{least}");
    assert!((most - (146.25 + (4.469 + 200.0 / 60.0) * 40.0) * 1.25 / 0.8).abs() < 0.1, "{most}");
    let cents: i64 = priced.line_prices.iter().map(|p| (p * 100.0).round() as i64).sum();
    assert_eq!(cents, (found.total().unwrap() * 100.0).round() as i64);
    let offered = desk.offer_proposal(&found).unwrap();
    let id = offered.id.unwrap();
    assert_eq!(desk.proposals("Heron Lane").unwrap()[0].total, found.total().unwrap());
    let owner_sheet = desk.proposal_sheet(&offered).unwrap();
    write_out("proposal", &owner_sheet);
    write_out("proposal-working", &desk.proposal_working_sheet(&offered).unwrap());
    let text = groundlore_sheet::text::print(&owner_sheet, 100);
    assert!(text.contains("Ida Quill") && text.contains("7 Heron Lane") && !text.to_lowercase().contains("margin"), "{text}");
    assert_eq!(desk.set_proposal(id, "agreed", None, Some("Ida Quill")).unwrap().state.as_deref(), Some("agreed"));
    assert!(desk.book.task_keyed(&format!("heron-lane/proposal/{id}")).unwrap().is_some());
    assert!(desk.set_proposal(id, "refused", None, None).is_err(), "what was agreed is not refused without a new offer");
    let by_markup = desk.draft_proposal(&ProposalWishes { profit: Some("25% markup".into()), ..wishes }).unwrap();
    assert_eq!(by_markup.total(), found.total(), "25 % markup is 20 % margin");
}

#[test]
fn a_price_that_is_missing_is_named_and_there_is_no_total() {
    let mut desk = with_firm();
    let wishes = mulch_offer(&desk);
    let found = desk.draft_proposal(&wishes).unwrap();
    assert_eq!(found.total(), None);
    assert!(found.no_price_yet.iter().any(|line| line.contains("hardwood-bark-mulch")), "{:?}", found.no_price_yet);
    let text = groundlore_sheet::text::print(&desk.proposal_sheet(&found).unwrap(), 100);
    assert!(text.contains("INCOMPLETE") && text.to_lowercase().contains("no price yet") && !text.contains("\nTotal"), "{text}");
    assert!(desk.offer_proposal(&found).unwrap_err().to_string().contains("no price yet"));
    assert!(desk.proposals("Heron Lane").unwrap().is_empty());
    price(&mut desk, "hardwood-bark-mulch", "ft", 3.0);
    assert!(desk.draft_proposal(&wishes).unwrap_err().to_string().contains("hardwood-bark-mulch"));
    let vague = ProposalWishes { profit: Some("20%".into()), ..wishes };
    price(&mut desk, "hardwood-bark-mulch", "yd3", 3.0);
    assert!(desk.draft_proposal(&vague).unwrap_err().to_string().contains("20% margin"));
}

#[test]
fn plants_are_priced_by_their_own_item_or_their_kind() {
    let mut desk = with_firm();
    for item in ["plant-perennial", "plant-grass", "plant-groundcover", "plant-bulb", "plant-shrub", "plant-small-tree"] {
        price(&mut desk, item, "each", 9.0);
    }
    let bed = desk.plan_bed("Heron Lane", "Long bed", &wishes()).unwrap();
    let plants = desk.plants_for_bed(&bed).unwrap();
    let first = plants.lines[0].item.clone();
    price(&mut desk, &first, "each", 11.0);
    let found = desk
        .draft_proposal(&ProposalWishes {
            yard: "Heron Lane".into(),
            title: "Plants".into(),
            take_offs: vec![plants.clone()],
            ..ProposalWishes::default()
        })
        .unwrap();
    let materials: f64 = found.lines.iter().filter(|line| line.item.as_deref() != Some("labour")).filter_map(|line| line.cost).sum();
    let expected = 9.0 * bed.plan.plants.len() as f64 + 2.0 * plants.lines[0].amount.value;
    assert!((materials - expected).abs() < 1e-9);
}

#[test]
fn an_offer_lapses_after_its_last_day() {
    let mut desk = with_firm();
    price(&mut desk, "hardwood-bark-mulch", "yd3", 32.50);
    let draft = desk.draft_proposal(&ProposalWishes { valid_days: Some(10), ..mulch_offer(&desk) }).unwrap();
    let id = desk.offer_proposal(&draft).unwrap().id.unwrap();
    assert!(desk.lapse_proposals().unwrap().is_empty());
    desk.today = date(2015, 8, 28);
    assert!(desk.set_proposal(id, "agreed", None, None).unwrap_err().to_string().contains("lapsed"));
    assert_eq!(desk.lapse_proposals().unwrap(), [id]);
    assert_eq!(desk.offered_proposal(id).unwrap().state.as_deref(), Some("lapsed"));
}
