//! The firm's book.

use crate::cli::{BookVerb, Place, Show};
use crate::out::{Failure, Outcome, refuse, say};
use groundlore_book::Book;
use groundlore_book::firm::Firm;
use groundlore_quantity::{Kind, Quantity};
use std::process::ExitCode;

pub(crate) fn run(place: &Place, options: &Show, verb: &BookVerb) -> Outcome<ExitCode> {
    let path = super::book_path(place);
    match verb {
        BookVerb::Create { firm, place: town, labour, overhead, margin, applicator, licence } => {
            let read = |name: &str, text: &Option<String>, kind: Kind| -> Outcome<Option<Quantity>> {
                text.as_deref().map(|t| Quantity::parse_as(t, kind)).transpose().map_err(|e| Failure(format!("--{name}: {e}")))
            };
            let labour = read("labour", labour, Kind::MoneyPerTime)?;
            let row = Firm {
                name: firm.clone(),
                place: town.clone(),
                currency: "$".to_owned(),
                labour_cost_per_h: labour.map(|q| q.in_unit("$/h")).transpose()?,
                overhead_share: read("overhead", overhead, Kind::Share)?.map(|q| q.si()),
                margin_share: read("margin", margin, Kind::Share)?.map(|q| q.si()),
                applicator: applicator.clone(),
                licence: licence.clone(),
                ..Firm::default()
            };
            let mut book = Book::create(&path)?;
            book.write(|tx| tx.set_firm(&row))?;
            say(&format!("{} is the book of {firm}", path.display()));
        }
        BookVerb::Backup { to } => {
            let report = super::open_book(place)?.backup_to(to)?;
            say(&format!("{} is a verified copy", to.display()));
            if options.json {
                say(&serde_json::to_string(&report)?);
            }
        }
        BookVerb::Check => {
            let report = super::open_book(place)?.check()?;
            if options.json {
                say(&serde_json::to_string_pretty(&report)?);
            }
            if !report.is_sound() {
                let faults: Vec<String> = report.faults.iter().map(ToString::to_string).collect();
                return refuse(format!("{} is not sound:\n{}", path.display(), faults.join("\n")));
            }
            say(&format!("{} is sound", path.display()));
        }
        BookVerb::Export { to } => {
            let manifest = super::open_book(place)?.export_to(to)?;
            say(&format!("{} holds {} tables and {} maps in open formats", to.display(), manifest.tables.len(), manifest.maps.len()));
        }
        BookVerb::Import { from } => {
            Book::import_from(from, &path)?;
            say(&format!("{} is the book from {}", path.display(), from.display()));
        }
    }
    Ok(ExitCode::SUCCESS)
}
