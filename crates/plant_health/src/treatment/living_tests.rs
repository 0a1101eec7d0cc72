//! Living controls against their cards, lengths in the yard's unit, and a card that says nothing of a matter.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]
use super::rule_tests::{grounded, option, quantity, whole_card, whole_rules, with};
use super::*;
use groundlore_lore::Lore;
use jiff::civil::date;

/// A supplier's sheet of nematodes typed as a card.
fn living_card() -> LabelCard {
    let rules = LabelRules {
        soil_temperature_c: Said::Says(Bounds { low: Some(12.0), high: Some(30.0) }),
        soil_moist: Said::Says(()),
        age_days: Said::Says(14.0),
        ..whole_rules()
    };
    LabelCard {
        active: Some("Entomopathogenic nematodes, Heterorhabditis bacteriophora, an invented strain".into()),
        rules,
        ..whole_card()
    }
}

fn living(label: Option<&LabelCard>, situation: &Situation) -> TreatmentOption {
    let lore = Lore::built_in_lenient(None).0;
    let belief = grounded();
    let control = &lore.controls["heterorhabditis-bacteriophora"];
    assert!(!control.needs_label);
    rank(&[Candidate { control, belief: &belief, label }], situation).unwrap().remove(0)
}

#[test]
fn a_living_control_is_held_against_its_card_where_one_is_typed() {
    let of = |label: &LabelCard, name: &str, change: fn(&mut Situation<'_>)| {
        with(change, |situation| {
            let option = living(Some(label), situation);
            let found = option.checks.iter().find(|c| c.name == name).unwrap_or_else(|| panic!("no check {name}"));
            (found.outcome, found.why.clone())
        })
    };
    let card = living_card();
    // Strain, stage, site and rate stand beside those of soil and stock.
    for name in [
        "active ingredient or strain",
        "target and stage",
        "site on the label",
        "rate",
        "soil temperature",
        "soil moisture",
        "age of the stock",
        "wells nearby",
    ] {
        assert_eq!(of(&card, name, |_| {}).0, Outcome::Pass, "{name}: {}", of(&card, name, |_| {}).1);
    }
    assert!(with(|_| {}, |s| living(Some(&card), s).amount.is_some()), "its rate gives an amount");
    let cold = |s: &mut Situation<'_>| s.ground.soil = Some(SoilWarmth::Measured { celsius: 8.0 });
    let (found, why) = of(&card, "soil temperature", cold);
    assert!(found == Outcome::Refuse && why.contains("46 °F measured; the card asks for 54 °F to 86 °F"), "{why}");
    let guessed = |s: &mut Situation<'_>| s.ground.soil = Some(SoilWarmth::Estimated { celsius: 20.0 });
    assert_eq!(of(&card, "soil temperature", guessed).0, Outcome::Doubt, "an estimate passes nothing");
    assert_eq!(of(&card, "soil temperature", |s| s.ground.soil = None).0, Outcome::NotChecked);
    assert_eq!(of(&card, "soil moisture", |s| s.ground.soil_is_moist = Some(false)).0, Outcome::Refuse);
    assert_eq!(of(&card, "soil moisture", |s| s.ground.soil_is_moist = None).0, Outcome::NotChecked);
    assert_eq!(of(&card, "age of the stock", |s| s.ground.stock_from = Known::On(date(2015, 7, 20))).0, Outcome::Refuse);
    assert_eq!(of(&card, "age of the stock", |s| s.ground.stock_from = Known::NotKnown).0, Outcome::NotChecked);
    assert_eq!(
        of(&card, "age of the stock", |s| s.ground.stock_from = Known::On(date(2015, 9, 1))).0,
        Outcome::NotChecked,
        "a day to come"
    );
    assert_eq!(of(&card, "target and stage", |s| s.stage = Some("egg-laying")).0, Outcome::Refuse);
    // Another species on the card is another control, and a blank of its own fields is not checked.
    let other = LabelCard { active: Some("Steinernema carpocapsae".into()), ..living_card() };
    assert_eq!(of(&other, "active ingredient or strain", |_| {}).0, Outcome::Refuse);
    let blank = LabelCard { rules: whole_rules(), ..living_card() };
    for name in ["soil temperature", "soil moisture", "age of the stock"] {
        assert_eq!(of(&blank, name, |_| {}).0, Outcome::NotChecked, "{name}");
    }
    // Without a card nothing of it is asked, as before.
    let bare = with(|_| {}, |s| living(None, s));
    assert!(bare.checks.iter().all(|c| c.name != "soil temperature") && bare.amount.is_none());
    // A card of another ingredient that speaks of none of them is not asked for them.
    assert!(with(|_| {}, |s| option(&whole_card(), s)).checks.iter().all(|c| c.name != "age of the stock"));
}

#[test]
fn lengths_are_told_in_the_yards_own_unit() {
    let why = |lengths: Lengths, name: &str| {
        with(
            |s| s.ground.lengths = lengths,
            |s| option(&whole_card(), s).checks.into_iter().find(|c| c.name == name).map(|c| c.why).unwrap(),
        )
    };
    // 15 m and 40 m; 25 ft and 80 m.
    assert_eq!(why(Lengths::Feet, "wells nearby"), "the nearest well: 131 ft away; the label asks for 49 ft");
    assert_eq!(why(Lengths::Metres, "wells nearby"), "the nearest well: 40 m away; the label asks for 15 m");
    assert_eq!(why(Lengths::Feet, "water nearby"), "water: 262 ft away; the label asks for 25 ft");
    assert_eq!(why(Lengths::Feet, "roots of trees"), "no tree's reach lies within 7 ft");
}

#[test]
fn a_card_that_was_read_and_says_nothing_is_told_apart_from_a_blank() {
    let why = |change: fn(&mut LabelCard), name: &str, known: fn(&mut Situation<'_>)| {
        let mut label = whole_card();
        change(&mut label);
        with(known, |s| option(&label, s).checks.into_iter().find(|c| c.name == name).map(|c| (c.outcome, c.why)).unwrap())
    };
    let near = |s: &mut Situation<'_>| s.water_distance_m = Some(2.4);
    let (found, said) = why(|c| c.water_distance = Some(quantity("0 m")), "water nearby", near);
    assert!(found == Outcome::Pass && said.starts_with("water: 8 ft away; the label asks for no distance"), "{said}");
    let here = |s: &mut Situation<'_>| s.children = Seen::Yes;
    let (found, said) = why(|c| c.children_and_pets = Some("none".into()), "children", here);
    assert!(found == Outcome::Doubt && said.contains("says nothing of them"), "{said}");
    let limits = |rules: LabelRules| weather_limits(&LabelCard { rules, ..whole_card() }).unwrap();
    let nothing = limits(LabelRules { rain_free_h: Said::Nothing, temperature_c: Said::Nothing, ..whole_rules() });
    assert!(nothing.dry_days == Some(1) && nothing.hottest_c == Some(f64::INFINITY));
    let blank = limits(LabelRules { rain_free_h: Said::NotChecked, temperature_c: Said::NotChecked, ..whole_rules() });
    assert!(blank.dry_days.is_none() && blank.hottest_c.is_none());
}
