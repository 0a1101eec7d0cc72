//! The firm's book: one SQLite file that holds everything a firm knows about the grounds it answers for.
//!
//! Nothing finished is ever lost: the file is written ahead to a log (WAL) and every transaction is on the disk before
//! [`Book::write`] returns. There is one writer at a time; anybody may read meanwhile. Invalid values are refused twice, in
//! Rust with a message that says what would be right, and by the file's own `CHECK` rules. Records of pesticide and
//! fertiliser applications, label cards and machine hours are append-only, by triggers inside the file.
//!
//! # The file itself
//! - [`book`]: making, opening, reading and writing ([`Book`], [`Reading`], [`Writing`]);
//! - [`migrate`]: the numbered steps from an older file to today's; a newer file is refused;
//! - [`check`]: is the file sound, is every rule of the trade kept;
//! - [`backup`]: a verified copy while work goes on;
//! - [`export`] and [`import`]: a folder of CSV, GeoJSON and JSON, and back again, the same row for row;
//! - [`record`]: how a row becomes a struct and what values a column takes;
//! - [`error`]: what went wrong, where, and what to do.
//!
//! # The rooms, in the order of the work
//! - [`firm`]: the firm, its settings, its owners; [`prices`]: the firm's own rates;
//! - [`yards`]: yards and their maps (areas, edges, trees, structures, bed plants, patches);
//! - [`letters`]: letters and diagnoses; [`confirmed_runs`]: confirmed letters answered again; [`counts`]: scouting counts; [`decisions`]: treat or leave;
//! - [`label_cards`]: what the user typed from a label in hand; [`treatments`]: what is planned;
//! - [`applications`]: the append-only records; [`record_rules`]: what the law asks of them; [`follow_ups`]: counts afterwards; [`beliefs`]: what was learned;
//! - [`beds`]: planned beds and plants bought; [`stock_checks`]: the look at the nursery gate;
//! - [`machines`]: machines, hours, blades; [`tasks`]: the week's work; [`work_log`]: minutes worked;
//! - [`weather_files`]: the stations' daily files; [`forecasts`]: the last public forecast of each place;
//! - [`hourly_files`]: hours and typical years of stations; [`gauge_files`]: readings by hand in a yard, and its height;
//! - [`sightings`]: what was seen of the season's events;
//! - [`proposals`]: offers and what became of them.
//!
//! # Lists that a user keeps in a spreadsheet
//! [`sheet`] reads CSV with exact places in its errors; on it stand [`label_cards_sheet`], [`rates_sheet`], [`counts_sheet`].
//!
//! # Example
//! ```
//! use groundlore_book::{Book, yards::Yard};
//! let mut book = Book::open_in_memory()?;
//! let id = book.write(|tx| tx.add(&Yard { name: "Alder Bank".into(), ..Yard::default() }))?;
//! assert_eq!(book.one::<Yard>(id)?.name, "Alder Bank");
//! assert_eq!(book.one::<Yard>(id)?.pets, None); // nobody asked: not checked
//! # Ok::<(), groundlore_book::BookError>(())
//! ```

pub mod applications;
pub mod backup;
pub mod beds;
pub mod beliefs;
pub mod book;
pub mod check;
pub mod confirmed_runs;
pub mod counts;
pub mod counts_sheet;
pub mod decisions;
pub mod error;
pub mod export;
pub mod firm;
pub mod follow_ups;
pub mod forecasts;
pub mod gauge_files;
pub mod hourly_files;
pub mod import;
pub mod label_cards;
pub mod label_cards_sheet;
mod label_rules_sheet;
pub mod letters;
pub mod machines;
pub mod migrate;
pub mod prices;
pub mod proposals;
pub mod rates_sheet;
pub mod record;
pub mod record_rules;
pub mod rfc4180;
pub mod sha256;
pub mod sheet;
pub mod sightings;
pub mod stock_checks;
pub mod tasks;
pub mod treatments;
pub mod weather_files;
pub mod work_log;
pub mod yards;

pub use book::{Book, Reading, Writing};
pub use counts_sheet::read_counts_csv;
pub use error::BookError;
pub use label_cards_sheet::read_label_cards_csv;
pub use rates_sheet::read_rates_csv;
pub use record::Record;
