//! Answering letters: one by one, and a thousand at once.

use groundlore_lore::Lore;
use groundlore_plant_health::letter::{Context, Letter, Reader, answer, parse};
use std::error::Error;
use std::path::Path;
use std::time::Instant;

const INBOX: usize = 1000;

/// Answers the letters of a JSON list until `INBOX` are answered; prints the seconds of the reader's making, of the inbox, and of each letter.
pub fn time(file: &Path) -> Result<(), Box<dyn Error>> {
    let list: Vec<serde_json::Value> = serde_json::from_str(&std::fs::read_to_string(file)?)?;
    let letters: Vec<Letter> = list.iter().map(|l| parse(&l.to_string(), "letter.json")).collect::<Result<_, _>>()?;
    let start = Instant::now();
    let (lore, faults) = Lore::built_in_lenient(None);
    println!("lore {} {}", start.elapsed().as_secs_f64(), faults.len());
    let start = Instant::now();
    let reader = Reader::new(&lore);
    println!("reader {}", start.elapsed().as_secs_f64());
    let whole = Instant::now();
    for letter in letters.iter().cycle().take(INBOX) {
        let start = Instant::now();
        let answered = answer(letter, &lore, &reader, &Context::default());
        println!("letter {} {}", start.elapsed().as_secs_f64(), answered.causes.len());
    }
    println!("inbox {}", whole.elapsed().as_secs_f64());
    Ok(())
}
