//! Yards.

use crate::cli::{ImportArgs, Place, Show, YardVerb};
use crate::out::{Outcome, file_name, note, read_file, show};
use groundlore_desk::yards::YardFacts;
use groundlore_sheet::Block;
use serde_json::json;
use std::process::ExitCode;

pub(crate) fn run(place: &Place, options: &Show, verb: &YardVerb) -> Outcome<ExitCode> {
    match verb {
        YardVerb::Import(args) => import(place, options, args),
        YardVerb::Show { yard } => {
            let desk = super::desk(place)?;
            let on_desk = desk.yard(yard)?;
            show(options, &desk.yard_json(&on_desk)?, || Ok(desk.yard_sheet(yard)?))
        }
        YardVerb::List => {
            let desk = super::desk(place)?;
            let yards = desk.book.yards()?;
            let rows: Vec<Vec<String>> = yards
                .iter()
                .map(|y| {
                    vec![
                        y.name.clone(),
                        y.address.clone().unwrap_or_default(),
                        y.station.clone().unwrap_or_else(|| "no station".to_owned()),
                    ]
                })
                .collect();
            show(options, &yards, || Ok(desk.sheet("yards", "Yards").with(Block::table("", &["yard", "address", "weather"], rows))))
        }
    }
}

fn import(place: &Place, options: &Show, args: &ImportArgs) -> Outcome<ExitCode> {
    let mut desk = super::desk(place)?;
    let text = read_file(&args.file)?;
    let facts = YardFacts {
        name: args.name.clone(),
        owner: args.owner.clone(),
        address: args.address.clone(),
        station: args.station.clone(),
        time_zone: args.time_zone.clone(),
        children: args.children.map(crate::cli::YesNo::is_yes),
        pets: args.pets.map(crate::cli::YesNo::is_yes),
        forbidden_days: (!args.forbidden_day.is_empty()).then(|| args.forbidden_day.clone()),
    };
    let elevation_m = args.elevation.as_deref().map(super::metres).transpose()?;
    let imported = desk.import_yard(&text, &file_name(&args.file), &facts, args.skip_bad)?;
    if let Some(elevation_m) = elevation_m {
        desk.set_yard_height(&imported.name, elevation_m)?;
    }
    for skipped in &imported.reading.skipped {
        note(&format!("skipped: {skipped}"));
    }
    for remark in &imported.reading.remarks {
        note(&format!("note: {remark}"));
    }
    let facts = json!({"yard": imported.name, "id": imported.yard_id, "faults": imported.faults, "not_checked": imported.not_checked,
        "skipped": imported.reading.skipped, "remarks": imported.reading.remarks});
    show(options, &facts, || Ok(desk.yard_sheet(&imported.name)?))
}
