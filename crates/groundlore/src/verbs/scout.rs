//! Scouting.

use crate::cli::{EnterArgs, Place, ScoutVerb, Show};
use crate::out::{Failure, Outcome, file_name, note, read_file, say, show};
use groundlore_desk::scouting::{CountEntry, StratumEntry};
use groundlore_desk::weighed::Weighed;
use groundlore_quantity::{Kind, Quantity, parse_counts};
use std::process::ExitCode;

pub(crate) fn run(place: &Place, options: &Show, verb: &ScoutVerb) -> Outcome<ExitCode> {
    let mut desk = super::desk(place)?;
    match verb {
        ScoutVerb::Plan { yard, trouble, most } => {
            let plan = desk.scouting_plan(yard, trouble, *most)?;
            desk.plan_scouting_task(&plan)?;
            show(options, &plan, || Ok(desk.scouting_sheet(&plan)?))
        }
        ScoutVerb::Enter(args) => {
            let session = desk.enter_counts(&args.yard, &args.trouble, &entry(args)?)?;
            say(&format!("counts are kept as session {session}; `groundlore scout verdict` weighs them"));
            Ok(ExitCode::SUCCESS)
        }
        ScoutVerb::Sheet { yard, file, skip_bad } => {
            let read = groundlore_book::read_counts_csv(&read_file(file)?, &file_name(file), *skip_bad)?;
            for skipped in &read.skipped {
                note(&format!("skipped: {skipped}"));
            }
            let sessions = desk.enter_count_rows(yard, &read.rows)?;
            say(&format!("{} counts are kept in {} sessions", read.rows.len(), sessions.len()));
            Ok(ExitCode::SUCCESS)
        }
        ScoutVerb::Verdict { yard, trouble } => {
            let found = desk.weigh(yard, trouble)?;
            match &found {
                // A verdict keeps the shape that it always had.
                Weighed::Verdict(verdict) => show(options, verdict, || Ok(desk.verdict_sheet(verdict)?)),
                _ => show(options, &found, || Ok(desk.weighed_sheet(&found)?)),
            }
        }
    }
}

fn entry(args: &EnterArgs) -> Outcome<CountEntry> {
    let sample = args
        .sample
        .as_deref()
        .map(|text| Quantity::parse_as(text, Kind::Area))
        .transpose()
        .map_err(|e| Failure(format!("--sample: {e}")))?;
    let mut entry = CountEntry {
        stage: args.stage.clone(),
        who: args.who.clone(),
        date: args.date,
        digging: args.digging.map(crate::cli::YesNo::is_yes),
        vigorous: args.vigorous.map(crate::cli::YesNo::is_yes),
        of: args.of,
        nights: args.nights,
        bearable: args.bearable.as_deref().map(share).transpose()?,
        ..CountEntry::default()
    };
    for text in &args.counts {
        let (stratum, counts) = super::pair(text, "margin=9 4 14")?;
        let counts = parse_counts(&counts).map_err(|e| Failure(format!("--counts {stratum}: {e}")))?;
        entry.strata.push(StratumEntry { stratum, counts, sample_area: sample.clone() });
    }
    for text in &args.species {
        let (species, number) = super::pair(text, "Japanese beetle=12")?;
        let number = parse_counts(&number).ok().and_then(|n| n.first().copied());
        let number =
            number.ok_or_else(|| Failure(format!("--species {species}: write a whole number, for example `Japanese beetle=12`")))?;
        entry.species.insert(species, number);
    }
    Ok(entry)
}

/// A share as `5%` or `0.05`.
fn share(text: &str) -> Outcome<f64> {
    let share = Quantity::parse_as(text, Kind::Share).map_err(|e| Failure(format!("--bearable: {e}")))?;
    Ok(share.si())
}
