//! Beds, stock, measuring off, machines, rates and prices.

use crate::cli::{MachineVerb, MeasureVerb, Place, PlantArgs, PriceVerb, RatesVerb, Show, StockArgs, YesNo};
use crate::out::{Outcome, file_name, note, read_file, say, show};
use groundlore_desk::beds::BedWishes;
use groundlore_desk::machines::{HoursEntry, MachineEntry};
use groundlore_desk::proposals::ProposalWishes;
use groundlore_desk::stock::StockEntry;
use groundlore_desk::take_off::{EdgingWishes, MulchWishes};
use groundlore_sheet::Block;
use std::process::ExitCode;

pub(crate) fn plant(place: &Place, options: &Show, args: &PlantArgs) -> Outcome<ExitCode> {
    let mut desk = super::desk(place)?;
    let heights = match (&args.lowest, &args.tallest) {
        (None, None) => None,
        (low, high) => Some(format!("{} - {}", low.as_deref().unwrap_or("3 in"), high.as_deref().unwrap_or("12 ft"))),
    };
    let wishes = BedWishes {
        bloom: args.bloom.clone(),
        heights,
        light: args.light.clone(),
        moisture: args.moisture.clone(),
        zone: args.zone.clone(),
        visitors: args.visitors.clone(),
        colours: args.colours.clone(),
        max_kinds: args.kinds.clone(),
        taller_than_person: args.taller_than_a_person.map(YesNo::is_yes),
        place: args.region.clone(),
        front: args.front.clone(),
        budget: args.budget.clone(),
        ..BedWishes::default()
    };
    let bed = if args.keep { desk.plan_bed(&args.yard, &args.bed, &wishes)? } else { desk.draft_bed(&args.yard, &args.bed, &wishes)? };
    show(options, &bed, || Ok(desk.bed_sheet(&bed)?))
}

pub(crate) fn stock(place: &Place, options: &Show, args: &StockArgs) -> Outcome<ExitCode> {
    let mut desk = super::desk(place)?;
    if args.answer.is_empty() {
        return show(options, &desk.gate_card(&args.plant)?, || Ok(desk.gate_sheet(&args.plant)?));
    }
    let answers = args.answer.iter().map(|text| super::pair(text, "roots-at-edge=pass")).collect::<Outcome<Vec<_>>>()?;
    let found =
        desk.check_stock(&StockEntry { plant: args.plant.clone(), nursery: args.nursery.clone(), answers, ..StockEntry::default() })?;
    show(options, &found, || Ok(desk.stock_sheet(&found)?))
}

pub(crate) fn measure(place: &Place, options: &Show, verb: &MeasureVerb) -> Outcome<ExitCode> {
    let desk = super::desk(place)?;
    let found = match verb {
        MeasureVerb::Mulch { yard, bed, depth, material } => {
            let wishes = MulchWishes { material: Some(material.clone()), depth: Some(depth.clone()), ..MulchWishes::default() };
            desk.mulch_for_bed(yard, bed, &wishes)?
        }
        MeasureVerb::Edging { yard, edge, show, courses } => {
            let wishes = EdgingWishes { courses: Some(*courses), show: Some(show.clone()), ..EdgingWishes::default() };
            desk.edging_for_edge(yard, edge, &wishes)?
        }
    };
    show(options, &found, || Ok(desk.take_off_sheet(&found)?))
}

pub(crate) fn machine(place: &Place, options: &Show, verb: &MachineVerb) -> Outcome<ExitCode> {
    let mut desk = super::desk(place)?;
    match verb {
        MachineVerb::List => return show(options, &desk.machine_states()?, || Ok(desk.machines_sheet()?)),
        MachineVerb::Add { name, kind, width } => {
            desk.add_machine(&MachineEntry {
                name: name.clone(),
                kind: kind.clone(),
                cutting_width: width.clone(),
                ..MachineEntry::default()
            })?;
            say(&format!("{name} is in the book; log its hours with `groundlore machine hours`"));
        }
        MachineVerb::Hours { name, hours, date } => {
            let entry = HoursEntry { machine: name.clone(), hours: hours.clone(), date: *date, ..HoursEntry::default() };
            say(&desk.log_hours(&entry)?.words);
        }
        MachineVerb::Sharpened { name, date } => say(&desk.sharpened(name, *date, None)?.words),
    }
    Ok(ExitCode::SUCCESS)
}

pub(crate) fn rates(place: &Place, options: &Show, verb: &RatesVerb) -> Outcome<ExitCode> {
    if matches!(verb, RatesVerb::Template) {
        say(&groundlore_book::sheet::heading_line(&groundlore_book::rates_sheet::COLUMNS));
        return Ok(ExitCode::SUCCESS);
    }
    let mut desk = super::desk(place)?;
    if let RatesVerb::Add { file, skip_bad } = verb {
        let read = groundlore_book::read_rates_csv(&read_file(file)?, &file_name(file), *skip_bad)?;
        for skipped in &read.skipped {
            note(&format!("skipped: {skipped}"));
        }
        say(&format!("{} rates are in the book", desk.add_rates(&read.rows)?));
        return Ok(ExitCode::SUCCESS);
    }
    let prices = desk.book.prices()?;
    show(options, &prices, || {
        let rows = prices.iter().map(|p| {
            let price = p.unit_price().map_or_else(|| "no price".to_owned(), |x| format!("{x:.2}"));
            vec![p.item.clone(), p.unit.clone(), price, p.rule.word().to_owned(), p.note.clone().unwrap_or_default()]
        });
        Ok(desk.sheet("rates", "The firm's rates").with(Block::table("", &["item", "for each", "price#", "by", ""], rows.collect())))
    })
}

pub(crate) fn price(place: &Place, options: &Show, verb: &PriceVerb) -> Outcome<ExitCode> {
    let mut desk = super::desk(place)?;
    let found = match verb {
        PriceVerb::Proposal { yard, mulch, edging, bed, title, valid_days } => {
            let mut take_offs = Vec::new();
            for name in bed {
                let plan = desk.saved_bed(yard, name)?;
                take_offs.push(desk.plants_for_bed(&plan)?);
            }
            for name in mulch {
                take_offs.push(desk.mulch_for_bed(yard, name, &MulchWishes::default())?);
            }
            for name in edging {
                take_offs.push(desk.edging_for_edge(yard, name, &EdgingWishes::default())?);
            }
            let wishes = ProposalWishes {
                yard: yard.clone(),
                title: title.clone(),
                take_offs,
                valid_days: Some(i64::from(*valid_days)),
                ..ProposalWishes::default()
            };
            let draft = desk.draft_proposal(&wishes)?;
            if draft.total().is_some() { desk.offer_proposal(&draft)? } else { draft }
        }
        PriceVerb::State { proposal, state, why } => desk.set_proposal(*proposal, state, why.as_deref(), None)?,
        PriceVerb::Show { proposal } => desk.offered_proposal(*proposal)?,
    };
    show(options, &found, || Ok(desk.proposal_sheet(&found)?))
}
