//! Label cards with every field, living controls, and the calendar feed, over HTTP.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

#[allow(dead_code)]
#[path = "pages/html.rs"]
mod html;
#[allow(dead_code)]
#[path = "pages/small_book.rs"]
mod small_book;
#[allow(dead_code)]
#[path = "pages/spoken.rs"]
mod spoken;

use axum::http::StatusCode;
use small_book::TROUBLE;
use spoken::{get, pages, post};

/// Every field of a card beyond its name, as typed, all of it invented.
const TYPED: [(&str, &str); 49] = [
    ("registration_number", "00000-0"),
    ("signal_word", "none"),
    ("active_ingredients", "chlorantraniliprole 1%"),
    ("sites", "lawn; golf course"),
    ("targets", "white grubs"),
    ("rate", "1 to 2 floz/1000ft2"),
    ("carrier", "2 gal/1000ft2"),
    ("yearly_limit", "4 floz/1000ft2"),
    ("minimum_interval", "30 day"),
    ("reentry", "invented: when dry"),
    ("protective_gear", "invented: gloves"),
    ("bee_statement", "invented: none"),
    ("water_statement", "invented: none"),
    ("plants_injured", "ferns; mosses"),
    ("watering_in", "0.5 in"),
    ("consecutive_run_limit", "2"),
    ("mode_of_action_group", "28"),
    ("entered_by", "Perrin Quillet"),
    ("label_edition", "invented, 2015"),
    ("mode_of_action_edition", "invented"),
    ("formulation", "SC"),
    ("people_statement", "invented: keep off until dry"),
    ("applicator", "licensed"),
    ("bloom_limit", "not while bees forage"),
    ("water_distance", "25 ft"),
    ("well_distance", "50 ft"),
    ("wind", "3 to 10 mph"),
    ("gusts", "15 mph"),
    ("temperature", "50 to 85 degF"),
    ("rain_free", "6 h"),
    ("leaves", "dry"),
    ("inversion", "forbidden"),
    ("droplets", "coarse or coarser"),
    ("turf_allowed", "Kentucky bluegrass; tall fescue"),
    ("turf_injured", "creeping bentgrass"),
    ("seedling_age", "3 mowings"),
    ("reseeding_interval", "12 week"),
    ("tree_roots", "10 ft"),
    ("clippings", "invented: leave them"),
    ("compost", "none"),
    ("mixing_order", "invented: water; product"),
    ("mixing_distance", "60 ft"),
    ("backflow", "invented: an air gap"),
    ("rinsing", "invented: three times"),
    ("disposal", "invented: never down a drain"),
    ("posting", "invented: a sign"),
    ("soil_temperature", "54 to 86 degF"),
    ("soil_moisture", "moist"),
    ("age_limit", "14 day"),
];

fn encoded(fields: &[(&str, &str)]) -> String {
    let plain = |text: &str| {
        text.bytes().map(|b| if b.is_ascii_alphanumeric() { char::from(b).to_string() } else { format!("%{b:02X}") }).collect::<String>()
    };
    fields.iter().map(|(name, value)| format!("{name}={}", plain(value))).collect::<Vec<_>>().join("&")
}

fn card(change: &[(&str, &str)]) -> String {
    let mut fields: Vec<(&str, &str)> = vec![("name", "Whole card")];
    fields.extend(TYPED.iter().map(|(name, value)| (*name, change.iter().find(|(n, _)| n == name).map_or(*value, |(_, v)| *v))));
    encoded(&fields)
}

#[tokio::test]
async fn every_field_of_a_card_is_kept_as_typed_and_shown_again() {
    let router = pages();
    let kept = post(&router, "/labels", &card(&[])).await;
    assert_eq!(kept.status, StatusCode::SEE_OTHER, "{}", kept.text);
    let shown = get(&router, "/labels?card=Whole%20card").await.text;
    html::check(&shown).unwrap();
    for (name, value) in TYPED {
        let field = format!("name=\"{name}\"");
        let at = shown.find(&field).unwrap_or_else(|| panic!("no field {name}"));
        let around = &shown[shown[..at].rfind("<input").unwrap()..];
        let input = &around[..around.find('>').unwrap()];
        assert!(input.contains(&format!("value=\"{value}\"")), "{name}: {input}");
    }
    assert!(shown.contains("nothing is left blank"));
}

#[tokio::test]
async fn a_wrong_field_is_told_at_that_field_and_the_rest_stays_typed() {
    let router = pages();
    for (field, value, remedy) in [
        ("soil_temperature", "86 to 54 degF", "lower end"),
        ("soil_temperature", "12 in", "is a length"),
        ("soil_moisture", "soggy", "moist"),
        ("age_limit", "14 ft", "is a length"),
        ("age_limit", "-3 day", "-3 day"),
        ("droplets", "misty", "coarse"),
        ("applicator", "the crew", "licensed"),
        ("reseeding_interval", "2 in", "is a length"),
        ("well_distance", "50 gal", "is a volume"),
    ] {
        let said = post(&router, "/labels", &card(&[(field, value)])).await;
        assert_eq!(said.status, StatusCode::UNPROCESSABLE_ENTITY, "{field}");
        html::check(&said.text).unwrap();
        assert!(said.text.contains(remedy) && said.text.contains(&format!("value=\"{value}\"")), "{field}: {value}");
        let at = said.text.find(&format!("name=\"{field}\"")).unwrap();
        let input = &said.text[said.text[..at].rfind("<input").unwrap()..];
        assert!(input[..input.find('>').unwrap()].contains("aria-invalid"), "{field} is not marked");
        assert!(said.text.contains("value=\"Perrin Quillet\""), "what was typed elsewhere stays");
    }
}

#[tokio::test]
async fn droplets_of_the_nozzle_are_held_against_the_card_on_the_work_sheet() {
    let router = pages();
    post(
        &router,
        "/labels",
        &card(&[
            ("turf_allowed", "none"),
            ("applicator", "anyone"),
            ("plants_injured", "none"),
            ("water_distance", "none"),
            ("tree_roots", "none"),
        ]),
    )
    .await;
    let sheet = |droplets: &'static str| {
        let router = router.clone();
        async move {
            let address = format!(
                "/yards/Alder%20Bank/treat/{TROUBLE}/chlorantraniliprole/sheet?droplets={droplets}&well=none&seeded=none&seeding=none"
            );
            get(&router, &address).await
        }
    };
    let fine = sheet("very+coarse").await;
    assert_eq!(fine.status, StatusCode::OK, "{}", fine.text);
    assert!(fine.text.contains("label: coarse or coarser; nozzle at its pressure: very coarse"), "{}", fine.text);
    // A medium nozzle under a card that asks for coarse: no sheet, and it is said why.
    let medium = sheet("medium").await;
    assert!(medium.text.contains("medium is not coarse to ultra coarse"), "{}", medium.text);
    assert!(!medium.text.contains("To be noted while it is done"));
}

#[tokio::test]
async fn nematodes_are_held_against_their_suppliers_sheet() {
    let router = pages();
    let kept = post(
        &router,
        "/labels",
        &card(&[
            ("active_ingredients", "entomopathogenic nematodes, Heterorhabditis bacteriophora"),
            ("turf_allowed", "none"),
            ("applicator", "anyone"),
            ("droplets", "none"),
            ("tree_roots", "none"),
            ("plants_injured", "none"),
            ("water_distance", "none"),
        ]),
    )
    .await;
    assert_eq!(kept.status, StatusCode::SEE_OTHER, "{}", kept.text);
    let sheet = |facts: &'static str| {
        let router = router.clone();
        async move {
            let address = format!("/yards/Alder%20Bank/treat/{TROUBLE}/heterorhabditis-bacteriophora/sheet?well=none&seeded=none&{facts}");
            get(&router, &address).await.text
        }
    };
    let good = sheet("soil_temperature=66+degF&soil=moist&stock_from=2015-08-10").await;
    html::check(&good).unwrap();
    assert!(good.contains("66 °F measured; the card asks for 54 °F to 86 °F") && good.contains("7 days from 2015-08-10"), "{good}");
    let guessed = sheet("soil=moist").await;
    assert!(
        guessed.contains("by the air of the last days") && guessed.contains("nobody said from which day the stock counts"),
        "{guessed}"
    );
    let dry = sheet("soil=dry").await;
    assert!(dry.contains("it is dry: water first"), "{dry}");
    let odd = sheet("soil=nice").await;
    assert!(odd.contains("nice") && odd.contains("aria-invalid"), "{odd}");
}

#[tokio::test]
async fn the_week_is_a_calendar_feed() {
    let router = pages();
    let empty = get(&router, "/week.ics").await;
    assert_eq!((empty.status, empty.kind.split(';').next()), (StatusCode::OK, Some("text/calendar")));
    assert!(empty.text.starts_with("BEGIN:VCALENDAR\r\n") && empty.text.trim_end().ends_with("END:VCALENDAR"), "{}", empty.text);
    // Planning a count puts it into the week, and so into the feed.
    let planned = get(&router, &format!("/yards/Alder%20Bank/scout/{TROUBLE}")).await;
    assert_eq!(planned.status, StatusCode::OK);
    post(&router, &format!("/yards/Alder%20Bank/scout/{TROUBLE}"), "").await;
    let fed = get(&router, "/week.ics").await.text;
    let events = |text: &str| text.matches("BEGIN:VEVENT\r\n").count();
    assert!(events(&fed) > events(&empty.text) && events(&fed) == fed.matches("END:VEVENT\r\n").count(), "{fed}");
    for line in ["VERSION:2.0", "UID:", "DTSTAMP:", "DTSTART", "SUMMARY:"] {
        assert!(fed.contains(line), "{line} is missing: {fed}");
    }
    // RFC 5545: lines end in CRLF and hold no more than 75 octets.
    assert!(fed.split("\r\n").all(|line| line.len() <= 75 && !line.contains('\n')), "{fed}");
    let here = get(&router, "/week.ics?yard=Alder+Bank").await.text;
    assert_eq!(events(&here), events(&fed));
    let unknown = get(&router, "/week.ics?yard=Nowhere").await;
    assert!(unknown.status.is_client_error() && unknown.text.contains("Nowhere"), "{} {}", unknown.status, unknown.text);
}
