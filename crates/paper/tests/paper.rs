//! What comes off the press.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, clippy::print_stderr)]

#[path = "samples/mod.rs"]
#[allow(missing_docs, unreachable_pub)]
mod samples;

use groundlore_paper::{PageSize, PaperError, paper, pdf, pdf_on};
use groundlore_sheet::{Block, Check, CheckState, KeyFigure, Letterhead, Sheet, TaskCard, Tone};
use jiff::civil::date;
use proptest::prelude::*;
use std::io::Write as _;
use std::process::{Command, Stdio};
use std::time::Instant;

/// The text of a PDF as `pdftotext` (poppler) reads it; none where the machine has no `pdftotext`.
fn text_of(bytes: &[u8]) -> Option<String> {
    let child = Command::new("pdftotext").args(["-layout", "-", "-"]).stdin(Stdio::piped()).stdout(Stdio::piped()).spawn();
    let Ok(mut child) = child else {
        eprintln!("SKIPPED: pdftotext is not on this machine, so the text of the PDF was not read; install poppler-utils");
        return None;
    };
    let mut input = child.stdin.take().unwrap();
    let sent = bytes.to_vec();
    let sender = std::thread::spawn(move || input.write_all(&sent));
    let out = child.wait_with_output().unwrap();
    sender.join().unwrap().unwrap();
    assert!(out.status.success(), "pdftotext could not read the PDF");
    Some(String::from_utf8_lossy(&out.stdout).replace('\u{200b}', ""))
}

/// Keeps a PDF to be looked at, in the folder that `GROUNDLORE_KEEP_PAPERS` names, if any.
fn keep(name: &str, bytes: &[u8]) {
    if let Some(folder) = std::env::var_os("GROUNDLORE_KEEP_PAPERS") {
        std::fs::write(std::path::Path::new(&folder).join(format!("{name}.pdf")), bytes).unwrap();
    }
}

#[test]
fn the_seven_sheets_print_and_can_be_read_back() {
    for (name, sheet, word) in samples::all() {
        let printed = paper(&sheet, PageSize::UsLetter).unwrap();
        keep(name, &printed.bytes);
        assert!(printed.archival, "{name} is not archival");
        let metadata = String::from_utf8_lossy(&printed.bytes).into_owned();
        for claim in ["<pdfaid:part>2<", "<pdfaid:conformance>A<", "<pdfuaid:part>1<", "Groundlore"] {
            assert!(metadata.contains(claim), "{name} does not claim {claim}");
        }
        assert!((1..=3).contains(&printed.pages), "{name} has {} pages", printed.pages);
        if let Some(text) = text_of(&printed.bytes) {
            for wanted in [word, "Teasel & Rowan", "17 August 2015"] {
                assert!(text.contains(wanted), "{name} does not say {wanted:?}:\n{text}");
            }
        }
    }
}

#[test]
fn a_letter_is_one_page_and_pages_are_numbered_elsewhere() {
    assert_eq!(paper(&samples::letter(), PageSize::UsLetter).unwrap().pages, 1);
    assert_eq!(paper(&samples::letter(), PageSize::A4).unwrap().pages, 1);
    let printed = paper(&samples::treatment_record(), PageSize::UsLetter).unwrap();
    if let Some(text) = text_of(&printed.bytes) {
        assert!(text.contains(&format!("1 of {}", printed.pages)), "{text}");
    }
}

#[test]
fn the_same_sheet_gives_the_same_bytes_and_another_day_gives_others() {
    let sheet = samples::planting_plan();
    let first = pdf(&sheet).unwrap();
    for _ in 0..12 {
        pdf(&samples::letter()).unwrap();
    }
    assert_eq!(first, pdf(&sheet).unwrap());
    let mut later = sheet.clone();
    later.date = date(2015, 8, 18);
    assert_ne!(first, pdf(&later).unwrap());
    assert_ne!(first, pdf_on(&sheet, PageSize::A4).unwrap());
}

#[test]
fn a_long_table_breaks_over_pages_and_repeats_its_heading() {
    let rows = (1..=150).map(|i| vec![i.to_string(), format!("Bed number {i}"), format!("{}", i * 37)]).collect();
    let sheet = samples::sheet("crew-sheet", "All beds").with(Block::table("Beds", &["No.#", "Name of bed", "Area#"], rows));
    let printed = paper(&sheet, PageSize::UsLetter).unwrap();
    assert!((3..=6).contains(&printed.pages), "{} pages", printed.pages);
    if let Some(text) = text_of(&printed.bytes) {
        assert_eq!(text.matches("Name of bed").count(), printed.pages);
        assert!(text.contains("Bed number 150"));
    }
}

#[test]
fn a_picture_that_cannot_be_read_is_named() {
    for bad in [
        "",
        "not a picture",
        "<svg",
        "<svg xmlns=\"http://www.w3.org/2000/svg\"><image href=\"/etc/hostname.png\" width=\"9\" height=\"9\"/></svg>",
    ] {
        let mut sheet = samples::season_page();
        sheet.push(Block::Figure { narrow: None, svg: bad.into(), alt: String::new(), caption: "Bloom by month".into() });
        match pdf(&sheet) {
            Err(PaperError::Figure { number: 2, caption, .. }) => assert_eq!(caption, "Bloom by month"),
            other => panic!("{bad:?} gave {:?}", other.map(|bytes| bytes.len())),
        }
    }
}

#[test]
fn text_is_never_read_as_markup() {
    let tricky = "#pagebreak() *not bold* $x^2$ `raw` = Heading @ref <label> [box] \\ // comment #image(\"sheet.json\")";
    let printed = paper(&every_block(tricky), PageSize::UsLetter).unwrap();
    assert!(printed.archival);
    if let Some(text) = text_of(&printed.bytes) {
        for wanted in ["#pagebreak()", "*not bold*", "$x^2$", "`raw`", "@ref <label>"] {
            assert!(text.contains(wanted), "{wanted} is lost");
        }
    }
}

#[test]
fn every_kind_of_block_prints_in_plain_words() {
    let printed = paper(&every_block("Plain words of a fair length"), PageSize::UsLetter).unwrap();
    keep("every-block", &printed.bytes);
    if let Some(text) = text_of(&printed.bytes) {
        for wanted in ["Cautions", "Sources", "pass", "doubt", "refuse", "not checked", "earliest", "best", "latest", "Not when", "Working"]
        {
            assert!(text.contains(wanted), "{wanted:?} is lost");
        }
    }
}

#[test]
fn an_empty_sheet_and_ragged_tables_print() {
    assert!(pdf(&Sheet::new("week", "", date(2015, 8, 17))).is_ok());
    let ragged = vec![vec!["a".into()], vec!["b".into(), "c".into(), "kept".into()], vec![]];
    let sheet =
        Sheet::new("week", "Ragged", date(1, 1, 1)).with(Block::table("", &["One", "Two#"], ragged)).with(Block::table("", &[], vec![]));
    let printed = paper(&sheet, PageSize::UsLetter).unwrap();
    if let Some(text) = text_of(&printed.bytes) {
        assert!(text.contains("kept"), "{text}");
    }
    let empty = [
        Block::Facts { facts: vec![] },
        Block::list(vec![]),
        Block::Checks { checks: vec![] },
        Block::KeyFigures { figures: vec![] },
        Block::Cautions { cautions: vec![] },
        Block::Fill { labels: vec![] },
        Block::Signatures { who: vec![] },
        Block::Sources { sources: vec![] },
        Block::PageBreak,
    ];
    let sheet = empty.into_iter().fold(Sheet::new("week", "Empty", date(-44, 3, 15)), Sheet::with);
    assert!(pdf(&sheet).is_ok());
}

#[test]
fn a_sheet_takes_well_under_a_third_of_a_second() {
    let begun = Instant::now();
    pdf(&Sheet::new("week", "First", date(2015, 8, 17))).unwrap();
    eprintln!("the first sheet, with the fonts loaded: {:?}", begun.elapsed());
    for (name, mut sheet, _) in samples::all() {
        sheet.title.push_str(" (timed)");
        let begun = Instant::now();
        let bytes = pdf(&sheet).unwrap().len();
        let taken = begun.elapsed();
        eprintln!("{name}: {taken:?}, {bytes} bytes");
        // Generous, for a busy machine and a debug build; the release figure is reported, not asserted.
        assert!(taken.as_secs() < 20, "{name} took {taken:?}");
    }
}

#[test]
fn wide_tables_tall_pictures_and_endless_words_stay_on_the_page() {
    let names: Vec<String> = (1..=14).map(|i| if i == 1 { "Yard and place".into() } else { format!("Week {i}#") }).collect();
    let names: Vec<&str> = names.iter().map(String::as_str).collect();
    let rows =
        (0..6).map(|r| (0..14).map(|c| if c == 0 { format!("Kettle House {r}") } else { format!("{}", r * c * 37) }).collect()).collect();
    let tall = "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 100 900\"><rect width=\"100\" height=\"900\" fill=\"#ddd\"/><text x=\"4\" y=\"40\" font-size=\"12\">tall</text></svg>";
    let mut sheet = samples::sheet("scouting-sheet", &"Unbroken".repeat(20))
        .with(Block::table("Fourteen columns", &names, rows))
        .with(Block::Figure { narrow: None, svg: tall.into(), alt: "A tall strip".into(), caption: "x".repeat(300) })
        .with(Block::paragraph("w".repeat(4000)))
        .with(Block::table("", &["Remark", "No.#"], vec![vec!["long ".repeat(2500), "1".into()]]))
        .with(Block::Cautions { cautions: vec!["Keep clear. ".repeat(900)] });
    sheet.addressed_to = vec!["v".repeat(200)];
    for (size, name) in [(PageSize::UsLetter, "stress-letter"), (PageSize::A4, "stress-a4")] {
        let printed = paper(&sheet, size).unwrap();
        assert!(printed.archival && printed.pages < 16, "{} pages", printed.pages);
        keep(name, &printed.bytes);
    }
}

/// A sheet with one of each block that carries text.
fn every_block(text: &str) -> Sheet {
    let t = || text.to_owned();
    let day = date(2015, 8, 17);
    let mut sheet = Sheet::new("week", t(), day).subtitle(t());
    sheet.letterhead = Some(Letterhead { name: t(), lines: vec![t()] });
    sheet.addressed_to = vec![t(), t()];
    sheet.foot = vec![t()];
    let card = TaskCard {
        key: t(),
        yard: t(),
        what: t(),
        place: Some(t()),
        earliest: day,
        best: day,
        latest: day,
        standing: t(),
        odds: vec![t()],
        reasons: vec![t(), t()],
        takes: vec![t()],
        forbids: vec![t()],
        cautions: vec![t()],
        state: t(),
    };
    let states = [CheckState::Pass, CheckState::Doubt, CheckState::Refuse, CheckState::NotChecked];
    let tones = [Tone::Danger, Tone::Act, Tone::Watch, Tone::Calm];
    let mut blocks: Vec<Block> = tones.into_iter().map(|tone| Block::Verdict { text: t(), why: t(), tone }).collect();
    blocks.extend([
        Block::heading(t()),
        Block::paragraph(t()),
        Block::KeyFigures { figures: vec![KeyFigure { value: t(), label: t(), note: t() }] },
        Block::Facts { facts: vec![(t(), t())] },
        Block::table(t(), &[text, "n#"], vec![vec![t(), t()]]),
        Block::List { ordered: true, items: vec![t()] },
        Block::Checks { checks: states.into_iter().map(|state| Check { what: t(), state, why: t() }).collect() },
        Block::Figure {
            narrow: None,
            svg: "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 9 9\"/>".into(),
            alt: t(),
            caption: t(),
        },
        Block::Task(card),
        Block::Cautions { cautions: vec![t()] },
        Block::Working { title: t(), lines: vec![t()] },
        Block::Fill { labels: vec![t()] },
        Block::Signatures { who: vec![t()] },
        Block::Sources { sources: vec![t()] },
    ]);
    sheet.blocks = blocks;
    sheet
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 40, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn any_text_prints(text in prop_oneof![
        any::<String>(),
        "[#$\\\\\"'`*_=<>@\\[\\]{}/~ \n\t\u{0}-\u{1f}]{0,60}",
        "[\u{1f300}-\u{1faff}\u{200d}\u{fe0f}\u{0590}-\u{06ff}\u{4e00}-\u{4eff}\u{0300}-\u{036f}a]{0,40}",
        "[a-z]{300,900}",
    ]) {
        prop_assert!(paper(&every_block(&text), PageSize::UsLetter).is_ok());
    }
}
