//! What is known.

use crate::cli::{LoreVerb, Place, Show};
use crate::out::{Failure, Outcome, refuse, say, show};
use groundlore_desk::Desk;
use groundlore_desk::lore_pages::{entry_sheet, list_rows};
use groundlore_lore::check::passes;
use groundlore_lore::{Lore, check};
use groundlore_sheet::{Block, Sheet};
use std::process::ExitCode;

pub(crate) fn run(place: &Place, options: &Show, verb: &LoreVerb) -> Outcome<ExitCode> {
    match verb {
        LoreVerb::Check => {
            let (lore, mut faults) = Lore::built_in_lenient(place.lore.as_deref());
            faults.extend(check(&lore));
            for fault in &faults {
                say(&fault.to_string());
            }
            if !passes(&faults) {
                return refuse(format!("{} faults in lore; mend them and check again", faults.len()));
            }
            say(&format!(
                "lore is in order: {} troubles, {} findings, {} plants, {} controls, {} materials, {} work norms, {} sources",
                lore.troubles.len(),
                lore.findings.len(),
                lore.plants.len(),
                lore.controls.len(),
                lore.materials.len(),
                lore.work_norms.len(),
                lore.sources.len()
            ));
            Ok(ExitCode::SUCCESS)
        }
        LoreVerb::List { kind } => {
            let lore = Desk::load_lore(place.lore.as_deref())?;
            let rows = list_rows(&lore, kind.as_deref()).map_err(|e| Failure(e.to_string()))?;
            show(options, &rows, || {
                Ok(Sheet::new("lore", "Lore", super::today(place)).with(Block::table("", &["kind", "key", "name"], rows.clone())))
            })
        }
        LoreVerb::Show { name, yard } => {
            let (json, sheet) = if yard.is_some() || place.book.is_some() || super::is_there(&super::book_path(place)) {
                super::desk(place)?.lore_entry(name, yard.as_deref())?
            } else {
                let lore = Desk::load_lore(place.lore.as_deref())?;
                entry_sheet(&lore, name, super::today(place))?
            };
            show(options, &json, || Ok(sheet))
        }
    }
}
