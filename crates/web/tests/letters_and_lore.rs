//! Letters with their photos, inboxes, and the handbook's entries, as a browser sends for them.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

#[path = "pages/html.rs"]
mod html;
#[path = "pages/small_book.rs"]
mod small_book;
#[path = "pages/spoken.rs"]
mod spoken;

use axum::Router;
use axum::body::Body;
use axum::http::{Request, StatusCode};
use small_book::{TROUBLE, YARD};
use spoken::{HOST, Said, get, pages, post, send};
use tower::ServiceExt as _;

/// A picture of 2 by 1 pixels: its head is all that is read of it (ISO/IEC 15948).
const PNG: &[u8] = b"\x89PNG\r\n\x1a\n\0\0\0\x0dIHDR\0\0\0\x02\0\0\0\x01\x08\x02\0\0\0\x7b\x40\xe8\xdd\0\0\0\0IEND\xae\x42\x60\x82";
/// A GIF of 10 by 5.
const GIF: &[u8] = b"GIF89a\x0a\0\x05\0\0\0\0;";

/// A part of a form: its name, the file's name where it is one, its bytes.
type Part<'a> = (&'a str, Option<&'a str>, &'a [u8]);

async fn post_parts(router: &Router, address: &str, parts: &[Part<'_>]) -> Said {
    let mut body = Vec::new();
    for (name, file, bytes) in parts {
        let file = file.map_or_else(String::new, |file| format!("; filename=\"{file}\""));
        body.extend(format!("--frame\r\ncontent-disposition: form-data; name=\"{name}\"{file}\r\n\r\n").into_bytes());
        body.extend(*bytes);
        body.extend(b"\r\n");
    }
    body.extend(b"--frame--\r\n");
    let request = Request::post(address)
        .header("host", HOST)
        .header("origin", format!("http://{HOST}"))
        .header("content-type", "multipart/form-data; boundary=frame")
        .body(Body::from(body))
        .unwrap();
    send(router, request).await
}

const LETTER: &str = "The turf lifts like a carpet and I found white grubs. Crows peck at it.";

#[tokio::test]
async fn a_letter_comes_with_its_photos_and_they_are_shown() {
    let router = pages();
    let parts: [Part<'_>; 6] = [
        ("text", None, LETTER.as_bytes()),
        ("yard", None, YARD.as_bytes()),
        ("date", None, b"2015-08-16"),
        ("photos", Some("C:\\fakepath\\lawn <b>.png"), PNG),
        ("photos", Some("near.gif"), GIF),
        ("photos", Some("notes.svg"), b"<svg xmlns='http://www.w3.org/2000/svg' onload='alert(1)'/>"),
    ];
    let answered = post_parts(&router, "/letters", &parts).await;
    assert_eq!(answered.status, StatusCode::OK, "{}", answered.text);
    html::check(&answered.text).unwrap();
    assert!(answered.text.contains("notes.svg: it does not begin like a picture"), "what is left aside is named: {}", answered.text);
    let kept = get(&router, "/letters/1").await.text;
    html::check(&kept).unwrap();
    let shown =
        r#"src="/letters/1/photos/1" width="2" height="1" loading="lazy" alt="photo sent with the letter; nothing is claimed from it""#;
    assert!(kept.contains(shown), "{kept}");
    assert!(kept.contains("lawn &lt;b&gt;.png") && !kept.contains("fakepath"), "{kept}");
    assert!(kept.contains(r#"src="/letters/1/photos/2" width="10" height="5""#), "{kept}");
    assert!(kept.contains("2 photos kept with it"), "the sheet names them too: {kept}");

    let answer =
        router.clone().oneshot(Request::get("/letters/1/photos/1").header("host", HOST).body(Body::empty()).unwrap()).await.unwrap();
    let head = |name: &str| answer.headers()[name].to_str().unwrap().to_owned();
    assert_eq!(head("content-type"), "image/png");
    assert_eq!(head("x-content-type-options"), "nosniff");
    assert!(head("content-security-policy").contains("sandbox"));
    let bytes = axum::body::to_bytes(answer.into_body(), 1_000).await.unwrap();
    assert_eq!(&bytes[..], PNG, "the picture comes back as it was sent");

    assert_eq!(get(&router, "/letters/1/photos/2").await.kind, "image/gif");
    for address in ["/letters/1/photos/9", "/letters/1/photos/x", "/letters/9/photos/1"] {
        let said = get(&router, address).await;
        assert_eq!(said.status, StatusCode::NOT_FOUND, "{address}");
        html::check(&said.text).unwrap();
    }
}

#[tokio::test]
async fn photos_are_added_to_a_kept_letter_once() {
    let router = pages();
    post(&router, "/letters", &format!("text={}&yard=Alder+Bank&date=2015-08-16", LETTER.replace(' ', "+"))).await;
    let added = post_parts(&router, "/letters/1/photos", &[("photos", Some("a.gif"), GIF)]).await;
    assert_eq!((added.status, added.to.as_str()), (StatusCode::SEE_OTHER, "/letters/1#photos"));
    post_parts(&router, "/letters/1/photos", &[("photos", Some("again.gif"), GIF)]).await;
    assert_eq!(get(&router, "/letters/1").await.text.matches("<img").count(), 1, "the same photo is kept once");
    for parts in [vec![("photos", Some("a.pdf"), &b"%PDF-1.7"[..])], vec![("photos", None, &b""[..])]] {
        let refused = post_parts(&router, "/letters/1/photos", &parts).await;
        assert_eq!(refused.status, StatusCode::UNPROCESSABLE_ENTITY);
        html::check(&refused.text).unwrap();
        assert!(refused.text.contains("Left aside"), "{}", refused.text);
    }
}

const MAILBOX: &str = "From a@example.org Sun Aug 16 09:00:00 2015\nFrom: Ash Fenn <a@example.org>\nDate: Sun, 16 Aug 2015 09:00:00 -0500\nSubject: The lawn\n\nThe turf lifts like a carpet and I found white grubs.\n\nFrom b@example.org Sun Aug 16 10:00:00 2015\nFrom: Bram Holt <b@example.org>\nDate: Sun, 16 Aug 2015 10:00:00 -0500\nSubject: Help\n\nMy son drank from the weedkiller bottle and is being sick.\n";

#[tokio::test]
async fn an_inbox_is_answered_the_most_urgent_first_and_kept_once() {
    let router = pages();
    let blank = get(&router, "/letters/inbox").await;
    html::check(&blank.text).unwrap();
    let parts: [Part<'_>; 4] = [
        ("letters", Some("inbox.mbox"), MAILBOX.as_bytes()),
        ("letters", Some("third.txt"), b"Yellow spots with black edges on my rose leaves, and the leaves fall."),
        ("letters", Some("far.json"), br#"{"text": "Brown spots", "yard": "Nowhere"}"#),
        ("letters", Some("whose.gif"), GIF),
    ];
    let said = post_parts(&router, "/letters/inbox", &parts).await;
    assert_eq!(said.status, StatusCode::OK, "{}", said.text);
    html::check(&said.text).unwrap();
    assert!(said.text.contains("3 letters read"), "{}", said.text);
    let at = |words: &str| said.text.find(words).unwrap_or_else(|| panic!("no `{words}` in {}", said.text));
    assert!(at("Call now: Bram Holt") < at(": Ash Fenn"), "danger stands first");
    assert!(at("Not read") < at("Nowhere"), "a letter that names another's yard is told");
    assert!(said.text.contains("which letter it came with is not told"), "{}", said.text);
    let ways: Vec<&str> =
        said.text.match_indices("href=\"/letters/").filter_map(|(at, _)| said.text[at + 15..].split('"').next()).collect();
    for id in ways.iter().filter(|way| way.parse::<i64>().is_ok()) {
        let kept = get(&router, &format!("/letters/{id}")).await;
        assert_eq!(kept.status, StatusCode::OK);
        html::check(&kept.text).unwrap();
    }
    let again = post_parts(&router, "/letters/inbox", &parts[..2]).await;
    assert_eq!(again.text.matches("(kept before)").count(), 3, "{}", again.text);
    let empty = post_parts(&router, "/letters/inbox", &[("letters", None, b"")]).await;
    assert_eq!(empty.status, StatusCode::UNPROCESSABLE_ENTITY);
    html::check(&empty.text).unwrap();
    assert!(empty.text.contains("no file was chosen") || empty.text.contains("No file was chosen"), "{}", empty.text);
}

#[tokio::test]
async fn photos_beside_one_letter_are_that_letters() {
    let router = pages();
    let parts: [Part<'_>; 2] = [("letters", Some("lawn.txt"), LETTER.as_bytes()), ("letters", Some("lawn.png"), PNG)];
    let said = post_parts(&router, "/letters/inbox", &parts).await;
    assert!(said.text.contains("1 photo"), "{}", said.text);
    assert!(get(&router, "/letters/1").await.text.contains(r#"src="/letters/1/photos/1""#));
}

#[tokio::test]
async fn a_danger_that_is_kept_is_read_back_as_it_was_said() {
    let router = pages();
    let fresh = post(&router, "/letters", "text=My+son+drank+from+the+weedkiller+bottle+and+is+being+sick.&date=2015-08-16").await;
    let kept = get(&router, "/letters/1").await.text;
    html::check(&kept).unwrap();
    for words in ["get help now", "poison-centre line", "Danger"] {
        assert!(fresh.text.to_lowercase().contains(&words.to_lowercase()), "{words}: {}", fresh.text);
        assert!(kept.to_lowercase().contains(&words.to_lowercase()), "{words}: {kept}");
    }
}

#[tokio::test]
async fn an_entry_reads_like_a_handbook_with_its_life_by_the_yards_clock() {
    let router = pages();
    let said = get(&router, &format!("/lore/troubles/{TROUBLE}")).await;
    assert_eq!(said.status, StatusCode::OK, "{}", said.text);
    html::check(&said.text).unwrap();
    for words in [
        "Popillia japonica",
        "by the clock of station",
        "at Alder Bank",
        "small grubs near the surface",
        "Taken for",
        "usually, ",
        "Pull at the edge of the brown",
        "New England",
        "not watered",
        "found to control",
        "practice",
        "What the owner is told",
        "Sources",
    ] {
        assert!(said.text.contains(words), "no `{words}` in {}", html::without_figures(&said.text));
    }
    let first = |words: &str| said.text.find(words).unwrap_or(usize::MAX);
    assert!(first(">practice<") < first(">active ingredient<"), "culture stands before what a label rules");
    let svg = said.text.split("<svg").nth(1).unwrap();
    assert!(svg.contains("today") && svg.contains("a control works") && svg.contains("signs show"), "{svg}");
    let other = get(&router, &format!("/lore/troubles/{TROUBLE}?yard=Nowhere")).await;
    assert_eq!(other.status, StatusCode::NOT_FOUND);
}

#[tokio::test]
async fn every_entry_of_lore_has_a_page_that_reads_well() {
    let router = pages();
    let index = get(&router, "/lore").await.text;
    html::check(&index).unwrap();
    let ways: Vec<&str> = index.match_indices("href=\"/lore/troubles/").filter_map(|(at, _)| index[at + 6..].split('"').next()).collect();
    assert!(ways.len() >= 150, "{} troubles are listed", ways.len());
    for way in ways {
        let said = get(&router, way).await;
        assert_eq!(said.status, StatusCode::OK, "{way}: {}", said.text);
        html::check(&said.text).unwrap_or_else(|why| panic!("{way}: {why}"));
        let light = html::without_figures(&said.text).len();
        assert!(light < 90_000, "{way} weighs {light} bytes without its figures");
    }
}

#[tokio::test]
async fn the_index_is_grouped_by_kind_and_searched_by_any_name() {
    let router = pages();
    let index = get(&router, "/lore").await.text;
    for heading in ["Diseases of turf (", "Weeds (", "Harmless things that worry owners (", "Controls ("] {
        assert!(index.contains(heading), "{heading}");
    }
    let found = async |words: &str| get(&router, &format!("/lore?find={words}")).await.text;
    assert!(found("popillia").await.contains(&format!("/lore/troubles/{TROUBLE}")), "by a scientific name");
    let other = found("lawn+grubs").await;
    assert!(other.contains(&format!("/lore/troubles/{TROUBLE}")) && other.contains("also called lawn grubs"), "{other}");
    let none = found("zzz%3Cb%3E").await;
    html::check(&none).unwrap();
    assert!(none.contains("No entry has “zzz&lt;b&gt;”"), "{none}");
}

#[tokio::test]
async fn the_season_tells_what_is_now_first_and_folds_the_rest_by_kind() {
    let router = pages();
    let said = get(&router, "/yards/Alder%20Bank/season").await.text;
    html::check(&said).unwrap();
    let at = |words: &str| said.find(words).unwrap_or_else(|| panic!("no `{words}`"));
    assert!(at(">Now<") < at("<svg") && at("<svg") < at(r#"<details class="fold""#));
    assert!(said.contains("Insects and mites of turf: "), "a fold tells its kind and how many");
    assert!(!said.contains(r#"<details class="fold" open"#), "folds are closed at first");
    let small = said.split(r#"class="narrow""#).skip(1).map(|part| part.split("</svg>").next().unwrap());
    for svg in small {
        let sizes = svg.split("font-size=\"").skip(1).filter_map(|rest| rest.split('"').next()?.parse::<f64>().ok());
        assert!(sizes.fold(f64::MAX, f64::min) >= 11.0, "letters of a narrow picture keep 11 px: {svg}");
        assert!(svg.contains(r#"viewBox="0 0 320 "#), "{svg}");
    }
}
