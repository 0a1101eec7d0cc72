//! Each check of a card passes, fails, and is not checked on a blank; and no option passes with a blank that a check needs.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]
use super::*;
use crate::belief::{Belief, Observation, Origin, belief};
use groundlore_lore::Lore;
use jiff::civil::date;

/// Rules that are openly invented, with every field filled.
pub(super) fn whole_rules() -> LabelRules {
    LabelRules {
        people: Said::Words("invented".into()),
        applicator: Said::Says(Applicator::Licensed),
        bloom: Said::Says(BloomRule::Forbidden),
        well_m: Said::Says(15.0),
        wind_m_s: Said::Says(Bounds { low: Some(1.34), high: Some(4.5) }),
        gust_m_s: Said::Says(6.7),
        temperature_c: Said::Says(Bounds { low: Some(10.0), high: Some(29.0) }),
        rain_free_h: Said::Says(4.0),
        leaves: Said::Nothing,
        inversion: Said::Says(()),
        droplets: Said::Says((DropletClass::Coarse, DropletClass::VeryCoarse)),
        turf_allowed: Said::Says(vec!["Kentucky bluegrass".into(), "tall fescue".into()]),
        turf_injured: Said::Says(vec!["creeping bentgrass".into()]),
        seedling_days: Said::Says(60.0),
        reseeding_days: Said::Says(90.0),
        tree_roots_m: Said::Says(2.0),
        clippings: Said::Nothing,
        compost: Said::Nothing,
        soil_temperature_c: Said::NotChecked,
        soil_moist: Said::NotChecked,
        age_days: Said::NotChecked,
        yearly_applications: Said::Says(2),
        carrier_m: None,
        group_edition: Some("an edition".into()),
    }
}

pub(super) fn quantity(text: &str) -> groundlore_quantity::Quantity {
    groundlore_quantity::Quantity::parse(text).unwrap()
}

pub(super) fn whole_card() -> LabelCard {
    LabelCard {
        name: "Demo card".into(),
        registration_number: Some("00000-0".into()),
        signal_word: Some("invented".into()),
        active: Some("chlorantraniliprole".into()),
        sites: Some(vec!["lawn".into()]),
        targets: Some(vec!["white grubs".into()]),
        rate_low: Some(quantity("1 floz/1000ft2")),
        rate_high: Some(quantity("2 floz/1000ft2")),
        yearly_limit: Some(quantity("4 floz/1000ft2")),
        least_interval: Some(quantity("30 day")),
        most_in_a_row: Some(2),
        re_entry: Some("invented".into()),
        protective_gear: Some(vec!["gloves".into()]),
        bees: Some("invented".into()),
        forbids_bloom: Some(true),
        water_distance: Some(quantity("25 ft")),
        water: Some("invented".into()),
        children_and_pets: Some("invented".into()),
        plants_injured: Some(vec!["ferns".into()]),
        dry_after: None,
        water_in: None,
        hottest: None,
        rules: whole_rules(),
    }
}

fn good_hour(hour: i8) -> SprayHour {
    SprayHour {
        local: date(2015, 8, 17).at(hour, 0, 0, 0),
        lead_h: f64::from(hour),
        temperature_c: 22.0,
        wind_m_s: Some(2.5),
        gust_m_s: Some(4.0),
        humidity: Some(0.6),
        rain_chance: Some(0.0),
        rain_mm: Some(0.0),
        sun: Some(SunStands { now: 40.0, hour_before: 30.0, two_hours_after: 55.0 }),
    }
}

/// A yard of which all is known and all is well, for the closure to change.
pub(super) fn with<T>(change: impl FnOnce(&mut Situation<'_>), then: impl FnOnce(&Situation<'_>) -> T) -> T {
    let hours: Vec<SprayHour> = (9..19).map(good_hour).collect();
    let turf = ["Kentucky bluegrass".to_owned()];
    let days = ["Sunday".to_owned()];
    let mut situation = Situation {
        trouble: "white-grubs-annual",
        stage: Some("small-grubs"),
        site: "lawn",
        area_m2: 100.0,
        date: date(2015, 8, 17),
        generation: Some(2015),
        history: &[],
        bloom: Some(&[]),
        children: Seen::No,
        pets: Seen::No,
        water_distance_m: Some(80.0),
        plants: Some(&[]),
        follow_up_days: None,
        futures: None,
        ground: Ground {
            area: None,
            rate: None,
            next_door: Some(&[]),
            well_m: Some(40.0),
            turf: Some(&turf),
            seeded: Known::No,
            seeding: Known::No,
            roots: Some(&[]),
            forbidden_days: Some(&days),
            day_is_meant: true,
            licence: Some("as typed"),
            droplets: Some(DropletClass::Coarse),
            soil: Some(SoilWarmth::Measured { celsius: 20.0 }),
            soil_is_moist: Some(true),
            stock_from: Known::On(date(2015, 8, 12)),
            lengths: Lengths::Feet,
        },
        hours: Some(&hours),
        dry_odds: DRY_ODDS,
    };
    change(&mut situation);
    then(&situation)
}

pub(super) fn grounded() -> Belief {
    let origin = Origin::Own { place: "another yard".into() };
    belief(&[Observation::from_trials(2014, &[0.85, 0.85, 0.85], origin).unwrap()], 2015)
}

pub(super) fn option(label: &LabelCard, situation: &Situation) -> TreatmentOption {
    static LORE: std::sync::OnceLock<Lore> = std::sync::OnceLock::new();
    let lore = LORE.get_or_init(|| Lore::built_in_lenient(None).0);
    let belief = grounded();
    rank(&[Candidate { control: &lore.controls["chlorantraniliprole"], belief: &belief, label: Some(label) }], situation).unwrap().remove(0)
}

fn outcome(label: &LabelCard, name: &str, situation: &Situation) -> Outcome {
    let option = option(label, situation);
    option.checks.iter().find(|c| c.name == name).unwrap_or_else(|| panic!("no check {name}: {:#?}", option.checks)).outcome
}

#[test]
fn a_whole_card_on_a_known_yard_on_a_fine_day_passes_every_check() {
    with(
        |_| {},
        |situation| {
            let option = option(&whole_card(), situation);
            let open: Vec<_> = option.checks.iter().filter(|c| c.outcome != Outcome::Pass).collect();
            assert!(open.is_empty(), "{open:#?}");
            assert_eq!(option.standing, Outcome::Pass);
        },
    );
}

/// Blanks one field of a card, the checks that need it.
type Blank = (&'static str, fn(&mut LabelCard), &'static [&'static str]);

const BLANKS: &[Blank] = &[
    ("signal word", |c| c.signal_word = None, &["signal word"]),
    ("active", |c| c.active = None, &["active ingredient or strain"]),
    ("sites", |c| c.sites = None, &["site on the label"]),
    ("targets", |c| c.targets = None, &["target on the label"]),
    ("rate", |c| (c.rate_low, c.rate_high) = (None, None), &["rate", "yearly limit"]),
    ("registration number", |c| c.registration_number = None, &["yearly limit"]),
    ("yearly limit", |c| (c.yearly_limit, c.rules.yearly_applications) = (None, Said::NotChecked), &["yearly limit"]),
    ("interval", |c| c.least_interval = None, &["interval"]),
    ("re-entry", |c| c.re_entry = None, &["re-entry"]),
    ("gear", |c| c.protective_gear = None, &["protective gear"]),
    (
        "bees",
        |c| (c.bees, c.forbids_bloom, c.rules.bloom) = (None, None, Said::NotChecked),
        &["bees and bloom", "bloom next door", "weather"],
    ),
    ("water distance", |c| c.water_distance = None, &["water nearby"]),
    ("wells", |c| c.rules.well_m = Said::NotChecked, &["wells nearby"]),
    ("plants injured", |c| c.plants_injured = None, &["plants it injures"]),
    ("applicator", |c| c.rules.applicator = Said::NotChecked, &["licence"]),
    ("wind", |c| c.rules.wind_m_s = Said::NotChecked, &["weather"]),
    ("gusts", |c| c.rules.gust_m_s = Said::NotChecked, &["weather"]),
    ("temperature", |c| c.rules.temperature_c = Said::NotChecked, &["weather"]),
    ("rain-free", |c| c.rules.rain_free_h = Said::NotChecked, &["weather"]),
    ("leaves", |c| c.rules.leaves = Said::NotChecked, &["weather"]),
    ("inversion", |c| c.rules.inversion = Said::NotChecked, &["weather"]),
    ("droplets", |c| c.rules.droplets = Said::NotChecked, &["droplets"]),
    ("turf allowed", |c| c.rules.turf_allowed = Said::NotChecked, &["kind of turf"]),
    ("turf injured", |c| c.rules.turf_injured = Said::NotChecked, &["kind of turf"]),
    ("seedlings", |c| c.rules.seedling_days = Said::NotChecked, &["age of seedlings"]),
    ("reseeding", |c| c.rules.reseeding_days = Said::NotChecked, &["seed to come"]),
    ("roots", |c| c.rules.tree_roots_m = Said::NotChecked, &["roots of trees"]),
    ("clippings", |c| c.rules.clippings = Said::NotChecked, &["clippings"]),
    ("compost", |c| c.rules.compost = Said::NotChecked, &["compost"]),
];

#[test]
fn a_blank_field_is_not_checked_and_never_passed() {
    with(
        |_| {},
        |situation| {
            for (field, blank, needs) in BLANKS {
                let mut label = whole_card();
                blank(&mut label);
                for name in *needs {
                    assert_eq!(outcome(&label, name, situation), Outcome::NotChecked, "{field} blank: {name}");
                }
                assert_eq!(option(&label, situation).standing, Outcome::NotChecked, "{field} blank");
            }
        },
    );
}

/// Blanks one fact of the yard, the check that needs it.
type Unknown = (&'static str, fn(&mut Situation<'_>), &'static str);

const UNKNOWNS: &[Unknown] = &[
    ("stage", |s| s.stage = None, "target and stage"),
    ("bloom", |s| s.bloom = None, "bees and bloom"),
    ("next door", |s| s.ground.next_door = None, "bloom next door"),
    ("next door, for the hours", |s| s.ground.next_door = None, "weather"),
    ("children", |s| s.children = Seen::NotLooked, "children"),
    ("pets", |s| s.pets = Seen::NotLooked, "pets"),
    ("water", |s| s.water_distance_m = None, "water nearby"),
    ("wells", |s| s.ground.well_m = None, "wells nearby"),
    ("plants", |s| s.plants = None, "plants it injures"),
    ("turf", |s| s.ground.turf = None, "kind of turf"),
    ("seeded", |s| s.ground.seeded = Known::NotKnown, "age of seedlings"),
    ("seeding", |s| s.ground.seeding = Known::NotKnown, "seed to come"),
    ("roots", |s| s.ground.roots = None, "roots of trees"),
    ("days", |s| s.ground.forbidden_days = None, "the owner's days"),
    ("nozzle", |s| s.ground.droplets = None, "droplets"),
    ("hours", |s| s.hours = None, "weather"),
];

#[test]
fn what_nobody_knows_of_the_yard_is_not_checked() {
    for (fact, blank, name) in UNKNOWNS {
        with(blank, |situation| assert_eq!(outcome(&whole_card(), name, situation), Outcome::NotChecked, "{fact} unknown: {name}"));
    }
}

/// Every subset of two blanks stands as not checked or worse: no plan passes with a blank that a check needs.
#[test]
fn no_plan_passes_with_a_blank_that_a_check_needs() {
    for (first, (_, one, _)) in BLANKS.iter().enumerate() {
        for (_, two, _) in &BLANKS[first..] {
            let mut label = whole_card();
            one(&mut label);
            two(&mut label);
            with(|_| {}, |situation| assert!(matches!(option(&label, situation).standing, Outcome::NotChecked | Outcome::Refuse)));
        }
        for (_, unknown, _) in UNKNOWNS {
            let mut label = whole_card();
            one(&mut label);
            with(unknown, |situation| {
                let found = option(&label, situation);
                assert!(matches!(found.standing, Outcome::NotChecked | Outcome::Refuse), "{:#?}", found.checks);
            });
        }
    }
}

/// Makes a check fail, and how.
type Fails = (&'static str, fn(&mut Situation<'_>), &'static str, Outcome);

fn past(days: i32, rate: &str, area: Option<&str>) -> PastUse {
    PastUse {
        control: "chlorantraniliprole".into(),
        group: None,
        date: date(2015, 8, 17).checked_sub(jiff::ToSpan::days(days)).unwrap(),
        generation: Some(2015),
        trouble: "white-grubs-annual".into(),
        rate: Some(quantity(rate)),
        registration_number: Some("00000-0".into()),
        area: area.map(str::to_owned),
    }
}

#[test]
fn each_check_of_the_ground_fails_where_it_must() {
    static CLOVER: std::sync::OnceLock<[InBloom; 1]> = std::sync::OnceLock::new();
    fn clover() -> &'static [InBloom] {
        CLOVER.get_or_init(|| [InBloom { plant: "white clover".into(), bees_visit: Seen::Yes, in_treated_area: true }])
    }
    static BENT: std::sync::OnceLock<[String; 1]> = std::sync::OnceLock::new();
    static ZOYSIA: std::sync::OnceLock<[String; 1]> = std::sync::OnceLock::new();
    static MONDAY: std::sync::OnceLock<[String; 1]> = std::sync::OnceLock::new();
    static MAPLE: std::sync::OnceLock<[(String, f64); 1]> = std::sync::OnceLock::new();
    static RATE: std::sync::OnceLock<Quantity> = std::sync::OnceLock::new();
    static LESS: std::sync::OnceLock<Quantity> = std::sync::OnceLock::new();
    static OTHER: std::sync::OnceLock<Quantity> = std::sync::OnceLock::new();
    use groundlore_quantity::Quantity;
    let fails: &[Fails] = &[
        ("clover in the lawn", |s| s.bloom = Some(clover()), "bees and bloom", Outcome::Refuse),
        ("clover next door", |s| s.ground.next_door = Some(clover()), "bloom next door", Outcome::Doubt),
        ("clover next door, for the hours", |s| s.ground.next_door = Some(clover()), "weather", Outcome::Doubt),
        ("a pond too near", |s| s.water_distance_m = Some(3.0), "water nearby", Outcome::Refuse),
        ("a well too near", |s| s.ground.well_m = Some(14.0), "wells nearby", Outcome::Refuse),
        (
            "turf it injures",
            |s| s.ground.turf = Some(BENT.get_or_init(|| ["bluegrass and creeping bentgrass".into()])),
            "kind of turf",
            Outcome::Refuse,
        ),
        ("turf it does not list", |s| s.ground.turf = Some(ZOYSIA.get_or_init(|| ["zoysia".into()])), "kind of turf", Outcome::Refuse),
        ("young seedlings", |s| s.ground.seeded = Known::On(date(2015, 7, 1)), "age of seedlings", Outcome::Refuse),
        ("old enough", |s| s.ground.seeded = Known::On(date(2015, 5, 1)), "age of seedlings", Outcome::Pass),
        ("seed too soon", |s| s.ground.seeding = Known::On(date(2015, 9, 15)), "seed to come", Outcome::Refuse),
        ("seed late enough", |s| s.ground.seeding = Known::On(date(2015, 12, 1)), "seed to come", Outcome::Pass),
        ("seed in the past", |s| s.ground.seeding = Known::On(date(2015, 8, 1)), "seed to come", Outcome::NotChecked),
        ("roots", |s| s.ground.roots = Some(MAPLE.get_or_init(|| [("red maple".into(), 1.0)])), "roots of trees", Outcome::Refuse),
        (
            "the owner's Monday",
            |s| s.ground.forbidden_days = Some(MONDAY.get_or_init(|| ["Mondays".into()])),
            "the owner's days",
            Outcome::Refuse,
        ),
        ("no licence", |s| s.ground.licence = Some("  "), "licence", Outcome::Refuse),
        ("fine droplets", |s| s.ground.droplets = Some(DropletClass::Fine), "droplets", Outcome::Refuse),
        ("too much", |s| s.ground.rate = Some(RATE.get_or_init(|| quantity("2.1 floz/1000ft2"))), "rate", Outcome::Refuse),
        ("too little", |s| s.ground.rate = Some(LESS.get_or_init(|| quantity("0.5 floz/1000ft2"))), "rate", Outcome::Doubt),
        ("a rate of another kind", |s| s.ground.rate = Some(OTHER.get_or_init(|| quantity("1.5 lb/1000ft2"))), "rate", Outcome::Refuse),
        ("children play", |s| s.children = Seen::Yes, "children", Outcome::Doubt),
    ];
    for (what, change, name, wanted) in fails {
        with(change, |situation| assert_eq!(outcome(&whole_card(), name, situation), *wanted, "{what}: {name}"));
    }
}

#[test]
fn the_year_adds_up_on_this_area_alone() {
    let label = whole_card();
    let judged = |history: &[PastUse], area: Option<&'static str>| {
        with(
            |_| {},
            |situation| {
                let situation = Situation { history, ground: Ground { area, ..situation.ground }, ..situation.clone() };
                (outcome(&label, "yearly limit", &situation), outcome(&label, "interval", &situation))
            },
        )
    };
    let back = |rate| past(60, rate, Some("back lawn"));
    assert_eq!(judged(&[back("2 floz/1000ft2")], Some("back lawn")), (Outcome::Pass, Outcome::Pass));
    assert_eq!(
        judged(&[back("2.5 floz/1000ft2")], Some("back lawn")),
        (Outcome::Doubt, Outcome::Pass),
        "the lowest rate fits, the highest not"
    );
    assert_eq!(judged(&[back("3.5 floz/1000ft2")], Some("back lawn")), (Outcome::Refuse, Outcome::Pass));
    assert_eq!(judged(&[back("3.5 floz/1000ft2")], Some("front lawn")), (Outcome::Pass, Outcome::Pass), "another part of the yard");
    assert_eq!(judged(&[back("3.5 floz/1000ft2")], None).0, Outcome::Refuse, "a part not told apart counts all");
    let twice = [past(60, "1 floz/1000ft2", None), past(90, "1 floz/1000ft2", None)];
    assert_eq!(judged(&twice, None).0, Outcome::Refuse, "two applications are all that the label allows");
    assert_eq!(judged(&[past(10, "1 floz/1000ft2", None)], None).1, Outcome::Refuse, "ten days after the last");
    let mut last_year = past(60, "4 floz/1000ft2", None);
    last_year.date = date(2014, 8, 1);
    assert_eq!(judged(&[last_year], None).0, Outcome::Pass);
}

#[test]
fn a_label_that_says_nothing_of_it_differs_from_a_blank() {
    let mut label = whole_card();
    label.rules.well_m = Said::Nothing;
    label.rules.turf_allowed = Said::Nothing;
    label.rules.turf_injured = Said::Nothing;
    label.rules.seedling_days = Said::Nothing;
    with(
        |s| (s.ground.well_m, s.ground.turf, s.ground.seeded) = (None, None, Known::NotKnown),
        |situation| {
            for name in ["wells nearby", "kind of turf", "age of seedlings"] {
                assert_eq!(outcome(&label, name, situation), Outcome::Pass, "{name}");
            }
        },
    );
    label.rules.clippings = Said::Words("leave them on the lawn".into());
    with(|_| {}, |situation| assert_eq!(outcome(&label, "clippings", situation), Outcome::Doubt));
}

/// One hour changed, the check of the hour, what it must be.
type HourCase = (&'static str, fn(&mut SprayHour, &mut LabelRules), &'static str, Outcome);

const HOURS: &[HourCase] = &[
    ("fine", |_, _| {}, "wind", Outcome::Pass),
    ("too much wind", |h, _| h.wind_m_s = Some(5.0), "wind", Outcome::Refuse),
    ("too little wind", |h, _| h.wind_m_s = Some(1.0), "wind", Outcome::Refuse),
    (
        "calm that the label allows",
        |h, r| (h.wind_m_s, r.wind_m_s) = (Some(0.9), Said::Says(Bounds { low: None, high: Some(4.5) })),
        "wind",
        Outcome::Doubt,
    ),
    ("no wind told", |h, _| h.wind_m_s = None, "wind", Outcome::NotChecked),
    ("blank wind", |_, r| r.wind_m_s = Said::NotChecked, "wind", Outcome::NotChecked),
    ("label says nothing, advised wind", |_, r| r.wind_m_s = Said::Nothing, "wind", Outcome::Pass),
    ("label says nothing, strong wind", |h, r| (h.wind_m_s, r.wind_m_s) = (Some(6.0), Said::Nothing), "wind", Outcome::Doubt),
    ("gusty", |h, _| h.gust_m_s = Some(8.0), "gusts", Outcome::Refuse),
    ("no gusts told", |h, _| h.gust_m_s = None, "gusts", Outcome::NotChecked),
    ("steady", |_, _| {}, "gusts", Outcome::Pass),
    ("hot", |h, _| h.temperature_c = 33.0, "temperature", Outcome::Refuse),
    ("cold", |h, _| h.temperature_c = 5.0, "temperature", Outcome::Refuse),
    ("blank temperature", |_, r| r.temperature_c = Said::NotChecked, "temperature", Outcome::NotChecked),
    ("no temperature told", |h, _| h.temperature_c = f64::NAN, "temperature", Outcome::NotChecked),
    (
        "calm night",
        |h, _| (h.sun, h.wind_m_s) = (Some(SunStands { now: -8.0, hour_before: -2.0, two_hours_after: -20.0 }), Some(0.8)),
        "inversion",
        Outcome::Refuse,
    ),
    ("windy night", |h, _| h.sun = Some(SunStands { now: -8.0, hour_before: -2.0, two_hours_after: -20.0 }), "inversion", Outcome::Doubt),
    (
        "just after sunrise",
        |h, _| h.sun = Some(SunStands { now: 5.0, hour_before: -4.0, two_hours_after: 25.0 }),
        "inversion",
        Outcome::Doubt,
    ),
    ("before sunset", |h, _| h.sun = Some(SunStands { now: 12.0, hour_before: 20.0, two_hours_after: -3.0 }), "inversion", Outcome::Doubt),
    ("calm noon", |h, _| h.wind_m_s = Some(0.8), "inversion", Outcome::Doubt),
    ("noon with wind", |_, _| {}, "inversion", Outcome::Pass),
    ("no sun known", |h, _| h.sun = None, "inversion", Outcome::NotChecked),
    (
        "blank inversion on a calm night",
        |h, r| {
            (h.sun, h.wind_m_s, r.inversion) =
                (Some(SunStands { now: -8.0, hour_before: -2.0, two_hours_after: -20.0 }), Some(0.5), Said::NotChecked)
        },
        "inversion",
        Outcome::NotChecked,
    ),
    ("dry", |_, _| {}, "rain", Outcome::Pass),
    ("showers", |h, _| h.rain_chance = Some(0.6), "rain", Outcome::Refuse),
    ("a risk of rain", |h, _| h.rain_chance = Some(0.3), "rain", Outcome::Doubt),
    ("no rain told", |h, _| (h.rain_chance, h.rain_mm) = (None, None), "rain", Outcome::NotChecked),
    ("blank rain-free time", |_, r| r.rain_free_h = Said::NotChecked, "rain", Outcome::NotChecked),
    ("dry leaves asked for, dew", |h, r| (h.humidity, r.leaves) = (Some(0.95), Said::Says(Leaves::Dry)), "leaves", Outcome::Doubt),
    ("dry leaves asked for, rain", |h, r| (h.rain_mm, r.leaves) = (Some(2.0), Said::Says(Leaves::Dry)), "leaves", Outcome::Refuse),
    ("dry leaves asked for, dry air", |_, r| r.leaves = Said::Says(Leaves::Dry), "leaves", Outcome::Doubt),
    ("no humidity told", |h, r| (h.humidity, r.leaves) = (None, Said::Says(Leaves::Dry)), "leaves", Outcome::NotChecked),
    ("wet leaves asked for", |_, r| r.leaves = Said::Says(Leaves::Wet), "leaves", Outcome::Doubt),
    ("nothing asked of the leaves", |_, _| {}, "leaves", Outcome::Pass),
];

#[test]
fn each_hour_is_held_against_the_card() {
    let days: [String; 0] = [];
    let aims = HourAims { bloom: Some(false), forbidden_days: Some(&days), dry_odds: DRY_ODDS };
    for (what, change, name, wanted) in HOURS {
        let (mut hours, mut rules): (Vec<SprayHour>, _) = ((9..19).map(good_hour).collect(), whole_rules());
        change(&mut hours[0], &mut rules);
        let judged = judge_hours(&hours, &rules, &aims);
        let found = judged[0].checks.iter().find(|c| c.name == *name).unwrap();
        assert_eq!(found.outcome, *wanted, "{what}: {}", found.why);
        assert!(judged[0].standing >= Outcome::Pass);
    }
}

#[test]
fn bees_hours_are_those_after_sunset_and_before_midnight() {
    let days: [String; 0] = [];
    let aims = HourAims { bloom: Some(true), forbidden_days: Some(&days), dry_odds: DRY_ODDS };
    let rules = LabelRules { bloom: Said::Says(BloomRule::NotWhileBeesForage), ..whole_rules() };
    let judged = |hour: i8, sun: f64, rules: &LabelRules| {
        let at = SprayHour { sun: Some(SunStands { now: sun, hour_before: sun, two_hours_after: sun }), ..good_hour(hour) };
        judge_hours(&[at], rules, &aims)[0].checks.iter().find(|c| c.name == "bees' hours").unwrap().outcome
    };
    assert_eq!(judged(14, 50.0, &rules), Outcome::Refuse);
    assert_eq!(judged(21, -10.0, &rules), Outcome::Pass);
    assert_eq!(judged(4, -10.0, &rules), Outcome::Doubt);
    assert_eq!(judged(21, -10.0, &whole_rules()), Outcome::Refuse, "a label that forbids bloom forbids it at night too");
    assert_eq!(judged(21, -10.0, &LabelRules::default()), Outcome::NotChecked);
}

#[test]
fn odds_fall_with_the_spread_and_are_none_where_a_figure_is_lacking() {
    let days: [String; 0] = [];
    let aims = HourAims { bloom: Some(false), forbidden_days: Some(&days), dry_odds: DRY_ODDS };
    let odds = |hours: &[SprayHour], rules: &LabelRules| judge_hours(hours, rules, &aims)[0].odds;
    let near: Vec<SprayHour> = (9..19).map(good_hour).collect();
    let far: Vec<SprayHour> = near.iter().map(|h| SprayHour { lead_h: h.lead_h + 72.0, ..*h }).collect();
    let rules = whole_rules();
    let (soon, late) = (odds(&near, &rules).unwrap(), odds(&far, &rules).unwrap());
    assert!(late < soon && soon < 1.0 && late > 0.1, "{soon} {late}");
    // Wind alone, at the middle of its bounds: the share of a normal spread of 1 m/s (erf table: 0.8859 within ±1.58 sd, memory).
    let only_wind = LabelRules { wind_m_s: Said::Says(Bounds { low: Some(1.0), high: Some(4.16) }), ..LabelRules::default() };
    let middle = [SprayHour { lead_h: 0.0, wind_m_s: Some(2.58), ..good_hour(9) }];
    assert!((odds(&middle, &only_wind).unwrap() - 0.8859).abs() < 1e-3);
    let lacking: Vec<SprayHour> = near.iter().map(|h| SprayHour { gust_m_s: None, ..*h }).collect();
    assert_eq!(odds(&lacking, &rules), None);
    assert_eq!(odds(&near[..3], &rules), None, "the forecast ends before the rain-free time does");
    let rainy: Vec<SprayHour> = near.iter().map(|h| SprayHour { rain_chance: Some(0.1), ..*h }).collect();
    let only_rain = LabelRules { rain_free_h: Said::Says(4.0), ..LabelRules::default() };
    assert!((odds(&rainy, &only_rain).unwrap() - 0.9f64.powi(5)).abs() < 1e-12, "five hours of 10 %");
}

#[test]
fn the_best_hour_is_the_one_that_stands_best() {
    let days: [String; 0] = [];
    let aims = HourAims { bloom: Some(false), forbidden_days: Some(&days), dry_odds: DRY_ODDS };
    let mut hours: Vec<SprayHour> = (9..23).map(good_hour).collect();
    hours[0].wind_m_s = Some(9.0);
    hours[1].wind_m_s = Some(4.4);
    let judged = judge_hours(&hours, &whole_rules(), &aims);
    assert_eq!(judged[0].standing, Outcome::Refuse);
    assert_eq!(best_hour(&judged).unwrap().local.hour(), 11);
}

#[test]
fn droplets_are_classed_by_reference_nozzles() {
    // Borders that are openly invented; only their order matters.
    let borders: [[f64; 3]; 7] = std::array::from_fn(|i| [40.0, 90.0, 150.0].map(|d| d * (1.0 + i as f64)));
    let class = |scale: f64| DropletClass::by_reference([40.0, 90.0, 150.0].map(|d| d * scale), &borders);
    assert_eq!(class(0.5), Some(DropletClass::ExtremelyFine));
    assert_eq!(class(3.5), Some(DropletClass::Medium));
    assert_eq!(class(9.0), Some(DropletClass::UltraCoarse));
    assert_eq!(DropletClass::by_reference([50.0, 360.0, 600.0], &borders), Some(DropletClass::VeryFine), "the finest of the three decides");
    assert_eq!(DropletClass::by_reference([90.0, 40.0, 150.0], &borders), None);
    for (class, words, letters) in DropletClass::ALL {
        assert_eq!((DropletClass::from_words(words), DropletClass::from_words(letters)), (Some(class), Some(class)));
    }
}

#[test]
fn a_percent_of_the_mix_needs_the_water_and_pieces_are_counted() {
    let mut label = LabelCard { yearly_limit: None, ..whole_card() };
    label.rules.yearly_applications = Said::Nothing;
    (label.rate_low, label.rate_high) = (Some(quantity("1%")), Some(quantity("2%")));
    with(
        |_| {},
        |situation| {
            let dry = option(&label, situation);
            assert!(dry.amount.is_none() && dry.amount_note.as_ref().unwrap().contains("water"), "{:?}", dry.amount_note);
            // 100 m² at 0.1 L/m² is 10 L of mix: 1 to 2 % of it is 100 to 200 mL.
            label.rules.carrier_m = Some(1e-4);
            let wet = option(&label, situation).amount.unwrap();
            assert!((wet.low.in_unit("mL").unwrap() - 100.0).abs() < 1e-6 && (wet.high.in_unit("mL").unwrap() - 200.0).abs() < 1e-6);
            (label.rate_low, label.rate_high) = (Some(quantity("10 /m2")), None);
            let pieces = option(&label, situation).amount.unwrap();
            assert!((pieces.low.si() - 1000.0).abs() < 1e-6, "{pieces:?}");
        },
    );
    with(
        |s| {
            static MEANT: std::sync::OnceLock<groundlore_quantity::Quantity> = std::sync::OnceLock::new();
            s.ground.rate = Some(MEANT.get_or_init(|| quantity("1.5 floz/1000ft2")));
        },
        |situation| {
            let amount = option(&whole_card(), situation).amount.unwrap();
            assert_eq!(amount.low, amount.high, "the rate that is meant");
            assert!((amount.low.in_unit("floz").unwrap() - 1.5 * 100.0 / 92.903_04).abs() < 1e-6);
        },
    );
}
