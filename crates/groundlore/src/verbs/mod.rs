//! The verbs, one file a room.

mod book;
mod demo;
mod forecast;
mod grounds;
mod letter;
mod lore;
mod reckon;
mod scout;
mod season;
mod serve;
mod treat;
mod weather;
mod week;
mod yard;

use crate::cli::{Arguments, Place, Verb};
use crate::out::{Failure, Outcome, refuse, say};
use clap::CommandFactory as _;
use groundlore_book::Book;
use groundlore_desk::Desk;
use jiff::civil::Date;
use jiff::{Timestamp, ZonedDateTime};
use std::path::{Path, PathBuf};
use std::process::ExitCode;

/// Runs what the command line asks for.
pub(crate) fn run(arguments: &Arguments) -> Outcome<ExitCode> {
    let (place, show) = (&arguments.place, &arguments.show);
    match &arguments.verb {
        Verb::Demo { out } => demo::run(out, show),
        Verb::Week { crew, calendar, yard } => week::run(place, show, *crew, calendar.as_deref(), yard.as_deref()),
        Verb::Task { key, state, why, who } => week::task(place, key, state, why.as_deref(), who.as_deref()),
        Verb::Letter(args) => letter::run(place, show, args),
        Verb::Yard(verb) => yard::run(place, show, verb),
        Verb::Scout(verb) => scout::run(place, show, verb),
        Verb::Treat(verb) => treat::run(place, show, verb),
        Verb::Label(verb) => treat::label(place, show, verb),
        Verb::Plant(args) => grounds::plant(place, show, args),
        Verb::Stock(args) => grounds::stock(place, show, args),
        Verb::Measure(verb) => grounds::measure(place, show, verb),
        Verb::Machine(verb) => grounds::machine(place, show, verb),
        Verb::Rates(verb) => grounds::rates(place, show, verb),
        Verb::Price(verb) => grounds::price(place, show, verb),
        Verb::Season(args) => season::run(place, show, args),
        Verb::Seen { yard, event, date, who } => season::seen(place, yard, event, *date, who.as_deref()),
        Verb::Weather(verb) => weather::run(place, show, verb),
        Verb::Lore(verb) => lore::run(place, show, verb),
        Verb::Book(verb) => book::run(place, show, verb),
        Verb::Reckon(args) => reckon::run(show, args),
        Verb::Serve { address } => serve::run(place, address),
        Verb::Completions { shell } => {
            let mut text = Vec::new();
            clap_complete::generate(*shell, &mut Arguments::command(), "groundlore", &mut text);
            say(&String::from_utf8_lossy(&text));
            Ok(ExitCode::SUCCESS)
        }
    }
}

/// The day it is: `--on`, else the system's civil date.
pub(crate) fn today(place: &Place) -> Date {
    place.on.unwrap_or_else(|| ZonedDateTime::now().date())
}

/// Path of the book.
pub(crate) fn book_path(place: &Place) -> PathBuf {
    place.book.clone().unwrap_or_else(|| PathBuf::from("firm.book"))
}

/// Opens the book.
pub(crate) fn open_book(place: &Place) -> Outcome<Book> {
    let path = book_path(place);
    if !path.exists() {
        return refuse(format!(
            "{}: there is no book here; make one with `groundlore book create --firm NAME`, or try `groundlore demo`",
            path.display()
        ));
    }
    Ok(Book::open(&path)?)
}

/// Opens the desk: book, lore, day.
pub(crate) fn desk(place: &Place) -> Outcome<Desk> {
    let lore = Desk::load_lore(place.lore.as_deref())?;
    Ok(Desk::new(open_book(place)?, lore, today(place), Timestamp::now()))
}

/// A height in metres.
pub(crate) fn metres(text: &str) -> Outcome<f64> {
    let height = groundlore_quantity::Quantity::parse(text).and_then(|height| height.in_unit("m"));
    height.map_err(|error| Failure(format!("--elevation: {error}; write it as `860 ft` or `262 m`")))
}

/// Splits `name=value`.
pub(crate) fn pair(text: &str, example: &str) -> Outcome<(String, String)> {
    text.split_once('=')
        .map(|(name, value)| (name.trim().to_owned(), value.trim().to_owned()))
        .ok_or_else(|| Failure(format!("`{text}` is no NAME=VALUE; write it as `{example}`")))
}

/// True where a path is there.
pub(crate) fn is_there(path: &Path) -> bool {
    path.exists()
}
