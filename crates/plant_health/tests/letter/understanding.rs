//! What is read out of letters: denial, numbers, corrections, lists of findings in free words.

use super::vignettes::{LORE, READER};
use groundlore_plant_health::letter::{Context, GivenValue, Presence, answer, parse};

fn read(text: &str) -> Vec<(String, Presence, String)> {
    let letter = parse(text, "letter.txt").unwrap();
    READER.read(&letter).understood.into_iter().map(|u| (u.finding, u.present, u.phrase)).collect()
}

fn presence(text: &str, finding: &str) -> Option<Presence> {
    read(text).into_iter().find(|(f, ..)| f == finding).map(|(_, p, _)| p)
}

#[test]
fn each_phrase_is_shown_with_the_finding_it_was_read_as() {
    let told = read("The turf lifts like a carpet by the drive, but I did not see any grubs.");
    let lifts = told.iter().find(|(f, ..)| f == "turf-lifts-like-carpet").unwrap();
    assert_eq!(lifts.1, Presence::Yes);
    assert!("The turf lifts like a carpet by the drive, but I did not see any grubs.".contains(&lifts.2) && lifts.2.contains("lifts"));
    assert_eq!(presence("The turf lifts like a carpet, but I did not see any grubs.", "grubs-seen"), Some(Presence::No));
}

#[test]
fn denial_doubt_and_questions_are_kept_apart() {
    for (text, finding, wanted) in [
        ("The turf does not lift.", "turf-lifts-like-carpet", Presence::No),
        ("There are no mushrooms.", "mushrooms-seen", Presence::No),
        ("I have never seen so many mushrooms.", "mushrooms-seen", Presence::Yes),
        ("Maybe there are grubs?", "grubs-seen", Presence::Doubtful),
        ("My neighbor says it is grubs.", "grubs-seen", Presence::Doubtful),
        ("The maple was planted fifteen years ago.", "planted-lately", Presence::No),
        ("The maple was planted two years ago.", "planted-lately", Presence::Yes),
        ("Why is my lawn full of mushrooms?", "mushrooms-seen", Presence::Yes),
    ] {
        assert_eq!(presence(text, finding), Some(wanted), "{text}");
    }
    assert_eq!(presence("We put down grub control in May.", "grubs-seen"), None);
}

#[test]
fn counts_carry_their_area_to_the_finding() {
    let letter = parse("I found about a dozen grubs in a square foot.", "l.txt").unwrap();
    let told = READER.read(&letter).understood;
    let grubs = told.iter().find(|u| u.finding == "grubs-seen").unwrap();
    assert!((grubs.number.as_ref().unwrap().in_unit("per ft2").unwrap() - 12.0).abs() < 1e-9);
}

#[test]
fn findings_in_free_words_are_read_like_the_text() {
    let letter = parse(
        r#"{"text": "Brown lawn.", "findings": [{"finding": "does the turf peel back?", "value": "no"}, {"finding": "number of grubs per square foot", "value": 3}, {"finding": "footprints-stay", "value": true}, {"finding": "colour of the soil's moonlight", "value": "yes"}, {"finding": "mushrooms", "value": "unknown"}, {"finding": "moss", "value": "none at all"}, {"finding": "underside of leaf", "value": "black specks like tar"}]}"#,
        "l.json",
    )
    .unwrap();
    let reading = READER.read(&letter);
    let of = |f: &str| reading.understood.iter().find(|u| u.finding == f);
    assert_eq!(of("turf-lifts-like-carpet").unwrap().present, Presence::No);
    assert!((of("grubs-seen").unwrap().number.as_ref().unwrap().in_unit("per ft2").unwrap() - 3.0).abs() < 1e-9);
    assert_eq!(of("footprints-stay").unwrap().present, Presence::Yes);
    assert_eq!(of("mushrooms-seen").unwrap().present, Presence::Unknown);
    assert_eq!(of("moss-in-turf").unwrap().present, Presence::No);
    assert_eq!(of("varnish-spots-under-leaf").unwrap().present, Presence::Yes);
    assert!(reading.not_understood.iter().any(|n| n.contains("moonlight")));
}

#[test]
fn a_correction_wins_over_the_letter() {
    let letter = parse(r#"{"date": "2024-09-01", "host": "lawn", "text": "The turf lifts like a carpet and I saw grubs.", "corrections": [{"what": "grubs-seen", "value": "no"}]}"#, "l.json").unwrap();
    assert!(letter.corrections[0].value == GivenValue::No);
    let a = answer(&letter, &LORE, &READER, &Context::default());
    assert_eq!(a.understood.iter().find(|u| u.finding == "grubs-seen").unwrap().present, Presence::No);
}

#[test]
fn what_was_not_understood_is_listed() {
    let letter = parse("The lawn is brown. The quarrelsome gnome polished his lantern.", "l.txt").unwrap();
    assert_eq!(READER.read(&letter).not_understood, ["The quarrelsome gnome polished his lantern."]);
}

#[test]
fn a_letter_that_turns_to_another_plant_is_answered_on_both() {
    let text = "Every morning there are flat white sheets on the lawn like napkins, wet with dew, and by ten they have gone. The grass is green \
                under them. Also my daughter's maple has little red bumps all over the top of its leaves, hard and not from any bug we can find. \
                Is that serious?";
    let letter = groundlore_plant_health::letter::parse(text, "l.txt").unwrap();
    let a = answer(&letter, &LORE, &READER, &Context::default());
    assert_eq!(a.causes[0].key, "spider-webs-at-dawn", "{:?}", a.causes[0]);
    assert_eq!(a.also_told.len(), 1, "{:?}", a.also_told);
    let other = &a.also_told[0];
    assert_eq!((other.key.as_str(), other.class.words()), ("maple-bladder-galls", "leave it alone"));
    assert!(other.words.starts_with("Also my daughter's maple"), "{}", other.words);
    assert!(a.reply.contains("You also ask about something else"), "{}", a.reply);
}
