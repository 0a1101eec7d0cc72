//! The file as a whole: durable, one writer, append-only, migrated, backed up, checked.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, clippy::print_stdout, missing_docs)]

#[path = "book/append_only.rs"]
mod append_only;
#[path = "book/backing_up.rs"]
mod backing_up;
#[path = "book/durability.rs"]
mod durability;
#[path = "book/forecasts.rs"]
mod forecasts;
#[path = "book/migrating.rs"]
mod migrating;
#[path = "book/rooms.rs"]
mod rooms;
#[path = "book/schema.rs"]
mod schema;

use groundlore_book::Book;
use groundlore_book::applications::ApplicationRecord;
use groundlore_book::yards::Yard;
use jiff::civil::Date;

pub(crate) fn day(text: &str) -> Date {
    text.parse().unwrap()
}

pub(crate) fn at(text: &str) -> jiff::Timestamp {
    text.parse().unwrap()
}

/// A book with one yard, and the yard's number.
pub(crate) fn book_with_yard() -> (Book, i64) {
    let mut book = Book::open_in_memory().unwrap();
    let yard = book.write(|tx| tx.add(&Yard { name: "Alder Bank".into(), ..Yard::default() })).unwrap();
    (book, yard)
}

/// A first line of the record for a yard.
pub(crate) fn line_for(yard_id: i64) -> ApplicationRecord {
    ApplicationRecord {
        yard_id,
        written_at: at("2015-08-14T15:00:00Z"),
        date: day("2015-08-14"),
        yard_name: "Alder Bank".into(),
        area_m2: 120.5,
        product: "Demo card".into(),
        registration_number: Some("00000-0".into()),
        applicator: "R. Teasel".into(),
        ..ApplicationRecord::default()
    }
}
