//! A small invented book: one yard with a lawn, a poor patch, a bed and a ringed tree, on the built-in station's weather.

use groundlore_desk::yards::YardFacts;
use groundlore_desk::{Desk, book::Book, station};
use jiff::civil::date;
use std::sync::OnceLock;

pub(crate) const YARD: &str = "Alder Bank";
pub(crate) const TROUBLE: &str = "white-grubs-annual";
pub(crate) const MAP: &str = include_str!("../data/alder-bank.geojson");

/// The desk over a new small book, on 2015-08-17.
pub(crate) fn desk() -> Desk {
    static LORE: OnceLock<std::sync::Arc<groundlore_desk::lore::Lore>> = OnceLock::new();
    let lore = LORE.get_or_init(|| Desk::load_lore(None).unwrap());
    let book = Book::open_in_memory().unwrap();
    let mut desk = Desk::new(book, std::sync::Arc::clone(lore), date(2015, 8, 17), "2015-08-17T15:00:00Z".parse().unwrap());
    let firm = groundlore_desk::book::firm::Firm { name: "Alder & Daughters".to_owned(), currency: "$".to_owned(), ..Default::default() };
    desk.book.write(|tx| tx.set_firm(&firm)).unwrap();
    let facts = YardFacts {
        name: Some(YARD.to_owned()),
        owner: Some("Wren Tolliver".to_owned()),
        address: Some("2 Alder Bank, Aldermere Point".to_owned()),
        station: Some(station::BUILT_IN.to_owned()),
        children: Some(true),
        ..YardFacts::default()
    };
    desk.import_yard(MAP, "alder-bank.geojson", &facts, false).unwrap();
    desk
}
