//! Letters against the real lore: our own vignettes, wrong letters, danger in many phrasings, and what the answer must never do.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, clippy::print_stdout)]

#[path = "letter/bad_letters.rs"]
mod bad_letters;
#[path = "letter/danger_phrasings.rs"]
mod danger_phrasings;
#[path = "letter/forbidden.rs"]
mod forbidden;
#[path = "letter/mail.rs"]
mod mail;
#[path = "letter/never.rs"]
mod never;
#[path = "letter/understanding.rs"]
mod understanding;
#[path = "letter/vignettes.rs"]
mod vignettes;
