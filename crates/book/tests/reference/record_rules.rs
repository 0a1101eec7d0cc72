//! What three rules ask of a record: 7 CFR 110.3, 40 CFR 171.303(b)(7) and New York ECL 33-1205, as in the shared treatment note, section 2b,
//! and on the pages named in `record_rules.rs`.

use groundlore_book::applications::{ApplicationKind, ApplicationRecord};
use groundlore_book::record_rules::{Missing, RecordRule, SPOT_M2, days_late, missing, read_rules};
use jiff::civil::date;
use proptest::prelude::*;

const PRIVATE: RecordRule = RecordRule::UsFederalPrivate;
const COMMERCIAL: RecordRule = RecordRule::UsFederalCommercial;
const NEW_YORK: RecordRule = RecordRule::NewYorkCommercial;

/// A line with all that all three rules ask.
fn whole() -> ApplicationRecord {
    ApplicationRecord {
        yard_id: 1,
        yard_name: "Alder Bank".into(),
        yard_address: Some("4 Mill Lane, Alder, NY 12345".into()),
        written_at: "2015-08-17T15:00:00Z".parse().unwrap(),
        date: date(2015, 8, 17),
        started_at: Some("2015-08-17T12:30:00Z".parse().unwrap()),
        area_m2: 500.0,
        product: "as typed from the label".into(),
        registration_number: Some("0000-000".into()),
        rate_text: Some("3 lb/1000ft2".into()),
        amount_text: Some("15 lb".into()),
        amount_kg: Some(6.8),
        target: Some("white grubs".into()),
        applicator: "Jessamy Rook".into(),
        licence: Some("C-100".into()),
        customer_name: Some("Ottoline Marsh".into()),
        customer_address: Some("4 Mill Lane, Alder".into()),
        site: Some("home lawn".into()),
        method: Some("broadcast, rotary spreader".into()),
        restricted_use: Some(true),
        ..ApplicationRecord::default()
    }
}

/// Takes one thing out of a line.
type Without = fn(&mut ApplicationRecord);

/// (what is taken out, field told, rules that ask for it).
const ASKED: &[(Without, &str, &[RecordRule])] = &[
    (|l| l.product = " ".into(), "product", &[PRIVATE, COMMERCIAL, NEW_YORK]),
    (|l| l.registration_number = None, "registration-number", &[PRIVATE, COMMERCIAL, NEW_YORK]),
    (|l| l.registration_number = Some(" ".into()), "registration-number", &[PRIVATE, COMMERCIAL, NEW_YORK]),
    (|l| l.amount_kg = None, "amount", &[PRIVATE, COMMERCIAL, NEW_YORK]),
    (|l| l.yard_address = None, "address", &[PRIVATE, COMMERCIAL, NEW_YORK]),
    (|l| l.yard_address = Some("4 Mill Lane, Alder, NY".into()), "address", &[NEW_YORK]),
    (|l| l.yard_address = Some("12345 Mill Lane, Alder".into()), "address", &[NEW_YORK]),
    (|l| l.yard_address = Some("4 Mill Lane, Alder, NY 1234".into()), "address", &[NEW_YORK]),
    (|l| l.site = None, "site", &[PRIVATE, COMMERCIAL]),
    (|l| l.started_at = None, "started", &[COMMERCIAL]),
    (|l| l.customer_name = None, "customer", &[COMMERCIAL]),
    (|l| l.customer_address = None, "customer-address", &[COMMERCIAL]),
    (|l| l.licence = None, "licence", &[PRIVATE, COMMERCIAL]),
    (|l| l.certified_applicator = Some("Wystan Moss".into()), "licence", &[PRIVATE, COMMERCIAL]),
    (|l| l.restricted_use = None, "restricted-use", &[PRIVATE, COMMERCIAL]),
    (|l| l.rate_text = None, "rate", &[NEW_YORK]),
    (|l| l.method = None, "method", &[NEW_YORK]),
    (|l| l.target = None, "target", &[NEW_YORK]),
];

#[test]
fn each_rule_asks_for_what_it_asks_and_no_more() {
    for rule in RecordRule::ALL {
        assert!(missing(&[rule], &whole()).is_empty(), "{rule:?}");
        for (without, field, asked_by) in ASKED {
            let mut line = whole();
            without(&mut line);
            let found: Vec<&str> = missing(&[rule], &line).iter().map(|m| m.field).collect();
            let expected: Vec<&str> = asked_by.contains(&rule).then_some(*field).into_iter().collect();
            assert_eq!(found, expected, "{rule:?} without {field}");
        }
    }
}

#[test]
fn one_thing_that_two_rules_ask_is_told_once_with_both() {
    let line = ApplicationRecord { registration_number: None, ..whole() };
    let found = missing(&RecordRule::ALL, &line);
    assert_eq!(found.len(), 1);
    assert_eq!(found[0].asked_by, RecordRule::ALL);
    let told = found[0].to_string();
    assert!(told.contains("7 CFR 110.3") && told.contains("New York ECL 33-1205") && told.contains("label card"), "{told}");
}

#[test]
fn supervised_work_names_who_answers_for_it_with_the_number() {
    let line = ApplicationRecord {
        licence: None,
        certified_applicator: Some("Wystan Moss".into()),
        certified_number: Some("C-7".into()),
        ..whole()
    };
    assert!(missing(&RecordRule::ALL, &line).is_empty());
}

#[test]
fn the_federal_rules_ask_of_restricted_products_only_and_none_asks_of_fertiliser() {
    let bare = ApplicationRecord { restricted_use: Some(false), kind: ApplicationKind::Pesticide, ..ApplicationRecord::default() };
    assert!(missing(&[PRIVATE, COMMERCIAL], &bare).is_empty());
    assert!(!missing(&[NEW_YORK], &bare).is_empty());
    let unread = ApplicationRecord { restricted_use: None, ..bare.clone() };
    assert!(missing(&[PRIVATE], &unread).iter().any(|m| m.field == "restricted-use"), "not checked is not `no`");
    let fed = ApplicationRecord { kind: ApplicationKind::Fertiliser, ..unread };
    assert!(missing(&RecordRule::ALL, &fed).is_empty());
}

#[test]
fn the_short_form_is_for_spots_under_a_tenth_of_an_acre_and_only_as_asked() {
    let spot = ApplicationRecord { area_m2: 40.0, site: None, licence: None, ..whole() };
    assert_eq!(missing(&[PRIVATE], &spot).len(), 2, "not asked for: the whole form holds");
    let short = ApplicationRecord { short_form: true, ..spot };
    assert!(missing(&[PRIVATE], &short).is_empty());
    let fields = |line: &ApplicationRecord| missing(&[PRIVATE], line).iter().map(|m| m.field).collect::<Vec<_>>();
    assert_eq!(fields(&ApplicationRecord { area_m2: SPOT_M2, ..short.clone() }), ["short-form"]);
    assert_eq!(fields(&ApplicationRecord { amount_kg: None, ..short.clone() }), ["amount"]);
    assert!(missing(&[COMMERCIAL], &short).iter().any(|m| m.field == "site"), "the commercial rule knows no short form");
}

#[test]
fn days_to_write_to_keep_and_to_report() {
    let applied = date(2016, 2, 29);
    assert_eq!(PRIVATE.keep_until(applied), date(2018, 2, 28));
    assert_eq!(COMMERCIAL.keep_until(date(2015, 8, 17)), date(2017, 8, 17));
    assert_eq!(NEW_YORK.keep_until(date(2015, 8, 17)), date(2018, 8, 17));
    assert_eq!(NEW_YORK.report_due(2015), Some(date(2016, 2, 1)));
    assert_eq!(PRIVATE.report_due(2015), None);
    let line = |written: &str| ApplicationRecord { written_at: written.parse().unwrap(), ..whole() };
    assert_eq!(days_late(PRIVATE, &line("2015-08-31T23:00:00Z")), None, "the fourteenth day");
    assert_eq!(days_late(PRIVATE, &line("2015-09-01T01:00:00Z")), Some(1));
    assert_eq!(days_late(COMMERCIAL, &line("2016-09-01T01:00:00Z")), None);
}

#[test]
fn a_list_of_rules_is_read_and_an_unknown_word_told() {
    assert_eq!(read_rules("us-federal-private, new-york-commercial").unwrap(), [PRIVATE, NEW_YORK]);
    assert_eq!(read_rules("").unwrap(), []);
    assert_eq!(read_rules("new-york"), Err("new-york".into()));
}

proptest! {
    /// Whatever is taken out together is told, all of it, and each part by every rule that asks for it.
    #[test]
    fn all_that_is_missing_is_told_at_once(out in prop::collection::vec(any::<bool>(), ASKED.len()), rules in prop::collection::vec(any::<bool>(), 3)) {
        let rules: Vec<RecordRule> = RecordRule::ALL.into_iter().zip(&rules).filter(|(_, on)| **on).map(|(rule, _)| rule).collect();
        let mut line = whole();
        let taken: Vec<_> = ASKED.iter().zip(&out).filter(|(_, out)| **out).map(|(asked, _)| asked).collect();
        taken.iter().for_each(|(without, ..)| without(&mut line));
        let found = missing(&rules, &line);
        let told: Vec<(&str, RecordRule)> = found.iter().flat_map(|m| m.asked_by.iter().map(|rule| (m.field, *rule))).collect();
        for rule in &rules {
            for item in &missing(&[*rule], &line) {
                prop_assert!(told.contains(&(item.field, *rule)));
            }
        }
        let single = |rule: RecordRule| -> Vec<Missing> { missing(&[rule], &line) };
        prop_assert_eq!(told.len(), rules.iter().map(|rule| single(*rule).len()).sum::<usize>());
        prop_assert_eq!(found.is_empty(), rules.iter().all(|rule| single(*rule).is_empty()));
    }
}
