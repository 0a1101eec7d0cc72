//! Letters by other hands, in three ways: blind, asked and full.
//!
//! Two thirds (`letters_to_work_with.toml`) were there to work with; a third (`letters_for_scoring.toml`) is kept for scoring and nothing is
//! tuned to it. `SHOW=1` prints the scores. What is claimed holds for this mix of letters only.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, clippy::print_stdout, dead_code)]

#[path = "letters_scored/scoring.rs"]
mod scoring;

use groundlore_lore::Lore;
use scoring::{Scored, answered, by_way};
use std::sync::LazyLock;

static LORE: LazyLock<Lore> = LazyLock::new(|| Lore::built_in_lenient(None).0);
static WORK: LazyLock<Vec<Scored>> = LazyLock::new(|| answered(&LORE, include_str!("data/letters_to_work_with.toml")));
static KEPT: LazyLock<Vec<Scored>> = LazyLock::new(|| answered(&LORE, include_str!("data/letters_for_scoring.toml")));

#[test]
fn letters_by_other_hands_are_answered_as_well_as_claimed() {
    let mut report = String::new();
    let work = by_way(&mut report, "work", &WORK);
    let kept = by_way(&mut report, "scored", &KEPT);
    if std::env::var_os("SHOW").is_some() {
        println!("{report}");
    }
    assert!(work.harmful == 0 && kept.harmful == 0, "{report}");
    assert!(work.top1 >= 0.80 && work.top3 >= 0.90 && work.action >= 0.83 && work.brier <= 0.2, "{report}");
    // Wanted on letters that nobody worked with: 0.80, 0.95 and 0.88. **Not reached**: when this was written the full letters gave 0.67, 0.83
    // and 0.79 (asked: 0.83, 0.94 and 0.85). The floors stand a little under, so that a change for the worse is seen.
    assert!(kept.top1 >= 0.60 && kept.top3 >= 0.77 && kept.action >= 0.72 && kept.brier <= 0.42, "{report}");
}
