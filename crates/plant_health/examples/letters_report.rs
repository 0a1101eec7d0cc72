//! Writes `docs/letters.md` and its figure: how letters with known causes are answered. Run it in release:
//! `cargo run --release -p groundlore-plant-health --example letters_report`. Half a minute.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, dead_code)]

#[path = "../tests/letters_scored/scoring.rs"]
mod scoring;

use groundlore_lore::Lore;
use scoring::{Scored, Way, answered, wilson};
use std::collections::BTreeMap;
use std::fmt::Write as _;
use std::path::Path;

/// A set of letters: file, how it is called, what may be said of it.
const SETS: &[(&str, &[&str], &str)] = &[
    ("worked with", &["letters_to_work_with.toml", "letters_to_work_with_second.toml"], "lore and reader were mended on these"),
    (
        "kept for scoring",
        &["letters_for_scoring.toml", "letters_for_scoring_second.toml"],
        "no letter was read by whoever works on lore or reader; their totals, and for some the name of the cause that was missed, were looked at while working",
    ),
    (
        "read once",
        &["letters_read_once.toml"],
        "written last. Their first run, on 25 November 2026, gave: full 0.92, 0.98, class 0.80, harmful 0; asked 0.93, 1.00, 0.92, harmful 1; blind 0.73, 0.92, 0.75, harmful 0. Six of them had raised a false alarm of danger; those were mended since",
    ),
];

fn main() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let lore: &'static Lore = Box::leak(Box::new(Lore::built_in_lenient(None).0));
    let sets: Vec<(&str, &str, Vec<Scored>)> = SETS
        .iter()
        .map(|(name, files, note)| {
            let text = |file: &&str| std::fs::read_to_string(root.join("tests/data").join(file)).unwrap_or_default();
            (*name, *note, files.iter().map(text).filter(|t| !t.is_empty()).flat_map(|t| answered(lore, &t)).collect())
        })
        .collect();
    let unseen: Vec<&Scored> = sets.iter().filter(|s| s.0 != "worked with").flat_map(|s| &s.2).collect();
    std::fs::write(root.join("../../docs/letters.md"), page(&sets, &unseen)).unwrap();
    std::fs::write(root.join("../../docs/letters.svg"), figure(&bands(&unseen))).unwrap();
}

fn page(sets: &[(&str, &str, Vec<Scored>)], unseen: &[&Scored]) -> String {
    let mut page = String::from(
        "# How letters are answered\n\n\
         Made by `cargo run --release -p groundlore-plant-health --example letters_report`; nothing here is written by hand.\n\n\
         Letters of invented owners, written by hands that had read neither lore nor reader, from descriptions in extension bulletins and \
         textbooks; each in three ways: *blind* (the first thin letter), *asked* (with the answers to three to six good questions) and *full*. \
         Intervals are 95 % after Wilson (1927). **What is said of calibration holds for this mix of letters only:** each cause comes about once, \
         which no mailbox does.\n\n\
         *First*: the right cause stands first (or what the writer accepts as the same, or the wider entry that it is one of). *Class*: the class of \
         action is one that the writer accepts. *Harmful*: acting on what harms nothing, or a material for another cause where watching was right.\n",
    );
    for (name, note, all) in sets.iter().filter(|s| !s.2.is_empty()) {
        let letters = all.len() / 3;
        writeln!(page, "\n## {letters} letters {name}\n\n{}{}.\n", note[..1].to_uppercase(), &note[1..]).unwrap();
        page.push_str("| way | first | among three | class | harmful | Brier |\n| --- | --- | --- | --- | --- | --- |\n");
        for way in [Way::Full, Way::Asked, Way::Blind] {
            let of: Vec<&Scored> = all.iter().filter(|s| s.way == way).collect();
            let share = |hit: &dyn Fn(&Scored) -> bool| {
                let (p, low, high) = wilson(of.iter().filter(|s| hit(s)).count(), of.len());
                format!("{p:.2} [{low:.2}, {high:.2}]")
            };
            let brier = of.iter().map(|s| s.brier()).sum::<f64>() / of.len() as f64;
            let harmful = of.iter().filter(|s| s.harms()).count();
            let way = format!("{way:?}").to_lowercase();
            let (first, three, class) = (share(&|s| s.rank() == 0), share(&|s| s.rank() < 3), share(&Scored::action_fits));
            writeln!(page, "| {way} | {first} | {three} | {class} | {harmful} | {brier:.3} |").unwrap();
        }
    }
    page.push_str(
        "\n## Do the odds come true?\n\nLetters that nobody worked with, all three ways, by what was said of the likeliest cause.\n\n",
    );
    page.push_str("![What was said of the likeliest cause against how often it was right](letters.svg)\n\n| said | letters | right | 95 % |\n| --- | --- | --- | --- |\n");
    for b in bands(unseen) {
        writeln!(page, "| {:.2} | {} | {:.2} | {:.2} to {:.2} |", b.said, b.letters, b.right.0, b.right.1, b.right.2).unwrap();
    }
    page.push_str("\n## By kind of trouble\n\nFull letters that nobody worked with.\n\n| kind | letters | first | class |\n| --- | --- | --- | --- |\n");
    let mut kinds: BTreeMap<String, Vec<&Scored>> = BTreeMap::new();
    for s in unseen.iter().filter(|s| s.way == Way::Full) {
        kinds.entry(s.kind()).or_default().push(s);
    }
    for (kind, of) in kinds {
        let count = |hit: &dyn Fn(&Scored) -> bool| of.iter().filter(|s| hit(s)).count();
        writeln!(page, "| {kind} | {} | {} | {} |", of.len(), count(&|s| s.rank() == 0), count(&Scored::action_fits)).unwrap();
    }
    page
}

struct Band {
    said: f64,
    letters: usize,
    right: (f64, f64, f64),
}

fn bands(all: &[&Scored]) -> Vec<Band> {
    (0..10)
        .filter_map(|tenth| {
            let of: Vec<(f64, bool)> =
                all.iter().filter_map(|s| s.first()).filter(|(p, _)| ((p * 10.0) as usize).min(9) == tenth).collect();
            let said = of.iter().map(|o| o.0).sum::<f64>() / of.len().max(1) as f64;
            (!of.is_empty()).then(|| Band { said, letters: of.len(), right: wilson(of.iter().filter(|o| o.1).count(), of.len()) })
        })
        .collect()
}

/// Said against right, with the line on which both agree; readable in grey.
fn figure(bands: &[Band]) -> String {
    let (x, y) = (|p: f64| 50.0 + 330.0 * p, |p: f64| 350.0 - 330.0 * p);
    let mut svg = String::from(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 400 400\" width=\"400\" height=\"400\" role=\"img\" \
         aria-label=\"What was said of the likeliest cause against how often it was right\" font-family=\"sans-serif\" font-size=\"11\">\
         <rect width=\"400\" height=\"400\" fill=\"#fff\"/>",
    );
    write!(svg, "<path d=\"M{} {}L{} {}\" stroke=\"#999\" stroke-dasharray=\"4 4\"/>", x(0.0), y(0.0), x(1.0), y(1.0)).unwrap();
    write!(svg, "<path d=\"M{0} {1}V{2}H{3}\" fill=\"none\" stroke=\"#333\"/>", x(0.0), y(1.0), y(0.0), x(1.0)).unwrap();
    for tenth in [0.0, 0.2, 0.4, 0.6, 0.8, 1.0] {
        write!(svg, "<text x=\"{:.0}\" y=\"366\" text-anchor=\"middle\">{tenth:.1}</text>", x(tenth)).unwrap();
        write!(svg, "<text x=\"44\" y=\"{:.0}\" text-anchor=\"end\">{tenth:.1}</text>", y(tenth) + 4.0).unwrap();
    }
    for b in bands {
        let radius = 2.0 + (b.letters as f64).sqrt() / 2.5;
        write!(svg, "<path d=\"M{0:.1} {1:.1}V{2:.1}\" stroke=\"#333\"/>", x(b.said), y(b.right.1), y(b.right.2)).unwrap();
        write!(svg, "<circle cx=\"{:.1}\" cy=\"{:.1}\" r=\"{radius:.1}\" fill=\"#555\" stroke=\"#fff\"/>", x(b.said), y(b.right.0))
            .unwrap();
    }
    svg.push_str("<text x=\"215\" y=\"388\" text-anchor=\"middle\">said of the likeliest cause</text>");
    svg.push_str("<text transform=\"translate(14 185) rotate(-90)\" text-anchor=\"middle\">share right</text></svg>\n");
    svg
}
