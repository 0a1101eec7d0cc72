//! Scores a file of letters with known causes against lore read from a folder: `score_letters LORE_FOLDER LETTERS.toml [full|asked|blind]`
//! (a way: its misses too). For working on lore without building anything anew.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, clippy::print_stdout, dead_code)]

#[path = "../tests/letters_scored/scoring.rs"]
mod scoring;

use groundlore_lore::Lore;
use scoring::{Way, answered, by_way, misses};
use std::path::Path;

fn main() {
    let given: Vec<String> = std::env::args().skip(1).collect();
    let [folder, file, ways @ ..] = given.as_slice() else { panic!("score_letters LORE_FOLDER LETTERS.toml [full|asked|blind]") };
    let lore: &'static Lore = Box::leak(Box::new(Lore::built_in_lenient(Some(Path::new(folder))).0));
    let text = std::fs::read_to_string(file).unwrap_or_else(|e| panic!("{file}: {e}"));
    let all = answered(lore, &text);
    let mut report = String::new();
    by_way(&mut report, "letters", &all);
    for way in ways {
        let way = match way.as_str() {
            "blind" => Way::Blind,
            "asked" => Way::Asked,
            _ => Way::Full,
        };
        misses(&mut report, &all, way);
    }
    println!("{report}");
}
