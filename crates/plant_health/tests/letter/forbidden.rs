//! No letter gets advice that a row of the forbidden table names: 10,000 letters made for its rows.

use super::vignettes::{LORE, READER};
use groundlore_lore::trouble::{ActionClass, Condition, Trouble};
use groundlore_plant_health::diagnosis::Conditions;
use groundlore_plant_health::forbidden::{Action, Cause, Fact, ROWS, Row};
use groundlore_plant_health::letter::{AdviceClass, Answer, Context, GivenFinding, GivenValue, Letter, answer};
use groundlore_plant_health::place::Place;
use rand_chacha::ChaCha8Rng;
use rand_chacha::rand_core::{Rng, SeedableRng};
use std::collections::BTreeSet;

const LETTERS: usize = 10_000;

/// Causes that a row is about, written here once more so that the table's own reading of itself is not what is tested.
fn about(row: &Row) -> Vec<&'static Trouble> {
    LORE.troubles
        .values()
        .filter(|t| match row.cause {
            Cause::Any => true,
            Cause::Kind(kind) => t.kind == kind,
            Cause::Key(key) => t.key == key || t.kind_of.as_deref() == Some(key),
            Cause::Regulated => !t.regulated.is_empty(),
        })
        .collect()
}

fn names(row: &Row, control: &str) -> bool {
    let control = &LORE.controls[control];
    match row.action {
        Action::Any => true,
        Action::UnderLabel => control.needs_label,
        Action::Listed(list) => control.group.as_ref().is_some_and(|g| g.scheme == list),
        Action::Control(key) => control.key == key,
    }
}

/// A letter about a cause with the signs that lore gives it, told while the row's condition holds: in the letter's own words, or known from
/// weather and map.
fn letter_for(row: &Row, trouble: &Trouble, rng: &mut ChaCha8Rng) -> (Letter, Context) {
    let mut chance = || f64::from(rng.next_u32()) / f64::from(u32::MAX);
    let mut letter = Letter {
        host: trouble.hosts.first().cloned(),
        findings: trouble
            .findings
            .iter()
            .filter(|l| chance() < f64::midpoint(l.low, l.high))
            .map(|l| GivenFinding { finding: l.finding.clone(), value: GivenValue::Yes })
            .collect(),
        place: Place::coordinates(43.0, -87.9).ok(),
        text: "Please advise.".to_owned(),
        ..Letter::default()
    };
    let mut context = Context::default();
    let mut month = 1 + (rng.next_u32() % 12) as i8;
    let told = rng.next_u32().is_multiple_of(2);
    match row.when {
        Fact::Always => {}
        Fact::PreEmergentLately => letter.text = "We put down a crabgrass preventer three weeks ago.".to_owned(),
        Fact::SeededLately => letter.text = "We seeded two weeks ago.".to_owned(),
        Fact::DeepWinter => month = [12, 1, 2][(rng.next_u32() % 3) as usize],
        Fact::BeetlesFly => month = 4 + (rng.next_u32() % 5) as i8,
        Fact::Condition(condition) => match (told, told_as(condition)) {
            (true, Some(words)) => letter.text = words.to_owned(),
            _ => {
                context.conditions = Conditions([(condition, true)].into());
            }
        },
    }
    if row.cause == Cause::Regulated {
        letter.place = None;
    }
    letter.date = Some(jiff::civil::date(2024, month, 15));
    (letter, context)
}

fn told_as(condition: Condition) -> Option<&'static str> {
    match condition {
        Condition::Heat => Some("We are in a heat wave."),
        Condition::DrySpell => Some("There has been no rain for a month."),
        Condition::WarmNights => Some("The nights are muggy."),
        Condition::LatelyFed => Some("It was fertilized last week."),
        Condition::NewPlanting => Some("It was planted this spring."),
        Condition::WetSpell => Some("It has been a wet spring with rain every day."),
        _ => None,
    }
}

fn acts(a: &Answer) -> bool {
    matches!(a.action.class, AdviceClass::Of(ActionClass::ActNow | ActionClass::ActAtAStage))
}

#[test]
fn no_forbidden_advice_in_ten_thousand_letters() {
    assert!(ROWS.len() >= 60, "{} rows", ROWS.len());
    let mut rng = ChaCha8Rng::seed_from_u64(60);
    let (mut acted, mut withheld, mut tried) = (0, 0, BTreeSet::new());
    for i in 0..LETTERS {
        let row = &ROWS[i % ROWS.len()];
        let causes = about(row);
        assert!(!causes.is_empty(), "no cause for {row:?}");
        let trouble = causes[(rng.next_u32() as usize) % causes.len()];
        let (letter, context) = letter_for(row, trouble, &mut rng);
        let a = answer(&letter, &LORE, &READER, &context);
        acted += usize::from(acts(&a));
        withheld += a.action.withheld.len();
        assert!(acts(&a) || a.action.controls.is_empty(), "nothing is to be done, yet {:?}", a.action.controls);
        let Some(aimed) = &a.action.aimed_at else { continue };
        if !causes.iter().any(|t| &t.key == aimed) {
            continue;
        }
        tried.insert(i % ROWS.len());
        for advised in &a.action.controls {
            assert!(!names(row, &advised.control), "{aimed}: {} is advised against {row:?}: {letter:?}", advised.control);
        }
    }
    if std::env::var_os("SHOW").is_some() {
        println!("{LETTERS} letters: {acted} acted, {withheld} controls withheld, {} of {} rows met", tried.len(), ROWS.len());
    }
    assert!(tried.len() * 10 >= ROWS.len() * 8, "{} of {} rows were met by an answer", tried.len(), ROWS.len());
    assert!(acted * 4 > LETTERS && withheld > 500, "{acted} acted, {withheld} withheld: the letters must put the table to the test");
}

#[test]
fn every_row_names_what_lore_has() {
    for row in ROWS {
        assert!(!about(row).is_empty(), "{row:?}");
        assert!(LORE.controls.keys().any(|c| names(row, c)), "no control for {row:?}");
        assert!(!row.why.is_empty() && !row.source.is_empty());
    }
}
