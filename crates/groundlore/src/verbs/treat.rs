//! Treatment and label cards.

use crate::cli::{AskedOfRecord, FactArgs, LabelVerb, Place, PlanArgs, RecordArgs, Show, TreatVerb, YesNo};
use crate::out::{Failure, Outcome, file_name, note, read_file, say, show, write_file};
use groundlore_book::label_cards::LabelCard;
use groundlore_desk::Desk;
use groundlore_desk::catch_tests::{SprayerTest, SpreaderTest, test_sprayer, test_spreader};
use groundlore_desk::treatment::{ApplicationEntry, PlanFacts, WorkPaper};
use groundlore_plant_health::efficacy::FollowUp;
use groundlore_plant_health::efficacy::no_longer_works::Signs;
use groundlore_sheet::{Block, Check, CheckState, Sheet};
use std::process::ExitCode;

pub(crate) fn run(place: &Place, options: &Show, verb: &TreatVerb) -> Outcome<ExitCode> {
    let mut desk = super::desk(place)?;
    match verb {
        TreatVerb::Options { yard, trouble, facts } => {
            let found = desk.treatment_options_with(yard, trouble, &plan_facts(facts))?;
            show(options, &found, || Ok(desk.options_sheet(&found)))
        }
        TreatVerb::Sheet(args) => paper(&desk, options, args, |desk, paper| Ok(desk.work_sheet(paper))),
        TreatVerb::Hours(args) => paper(&desk, options, args, |desk, paper| Ok(desk.spray_hours_sheet(paper))),
        TreatVerb::Notice(args) => paper(&desk, options, args, |desk, paper| Ok(desk.notice_sheet(paper)?)),
        TreatVerb::Sign(args) => paper(&desk, options, args, |desk, paper| Ok(desk.sign_sheet(paper))),
        TreatVerb::Sprayer { width, distance, time, catches, tolerance, wanted } => {
            let test = SprayerTest {
                width: width.clone(),
                distance: distance.clone(),
                time: time.clone(),
                catches: catches.clone(),
                tolerance: tolerance.clone(),
                wanted: wanted.clone(),
            };
            let tested = test_sprayer(&test)?;
            show(options, &tested, || Ok(desk.sprayer_sheet(&tested)))
        }
        TreatVerb::Spreader { rate, passes, spread, area, tolerance } => {
            let test = SpreaderTest {
                rate: rate.clone(),
                passes: passes.clone(),
                spread: spread.clone(),
                area: area.clone(),
                tolerance: tolerance.clone(),
            };
            let tested = test_spreader(&test)?;
            show(options, &tested, || Ok(desk.spreader_sheet(&tested)))
        }
        TreatVerb::PoisonCentre { number } => {
            desk.set_poison_centre(number)?;
            say(&format!("`{}` stands on every sheet where something is sprayed", number.trim()));
            Ok(ExitCode::SUCCESS)
        }
        TreatVerb::Plan(PlanArgs { yard, trouble, control, facts }) => {
            let planned = desk.plan_treatment_with(yard, trouble, control, &plan_facts(facts))?;
            let id = planned.treatment;
            say(&match planned.look_first {
                None => format!("treatment {id} is planned, with its follow-up; `groundlore week` shows both"),
                Some(first) => format!(
                    "treatment {id} is noted, but not yet in the week: its days rest on an estimate alone. First: {first}; `groundlore week` shows it"
                ),
            });
            Ok(ExitCode::SUCCESS)
        }
        TreatVerb::Record(args) => {
            for warning in desk.application_warnings(&args.yard, &application(args))? {
                note(&format!(
                    "WARNING: {warning}; it is recorded as it happened: say why in a correction, and tell whoever answers for it"
                ));
            }
            let line = desk.record_application(&args.yard, &args.trouble, &application(args))?;
            say(&format!("line {line} is in the record"));
            show(options, &line, || Ok(desk.record_sheet(&args.yard)?))
        }
        TreatVerb::Rules { set } => {
            if let Some(keys) = set {
                let rules = desk.set_record_rules(if keys.trim() == "none" { "" } else { keys })?;
                say(&format!("records are held to {} rules from now on", rules.len()));
            }
            let rules: Vec<&str> = desk.record_rules()?.iter().map(|rule| rule.key()).collect();
            show(options, &rules, || Ok(desk.record_rules_sheet()?))
        }
        TreatVerb::Report { year, rule, csv } => {
            let report = desk.yearly_report(year.unwrap_or_else(|| desk.today.year() - 1), rule.as_deref())?;
            if let Some(path) = csv {
                write_file(path, report.csv().as_bytes())?;
                note(&format!("{} lines are in {}", report.lines.len(), path.display()));
            }
            show(options, &report, || Ok(desk.yearly_report_sheet(&report)))
        }
        TreatVerb::Learned { control, trouble, yard, outside_window, rate_below_card, dry_after, past_its_date, elsewhere_too } => {
            let said = |answer: &Option<YesNo>| answer.map(YesNo::is_yes);
            let told = Signs {
                alarm: None,
                elsewhere_too: said(elsewhere_too),
                outside_window: said(outside_window),
                rate_below_card: said(rate_below_card),
                dry_after: said(dry_after),
                past_its_date: said(past_its_date),
            };
            let found = desk.learned(control, trouble, yard.as_deref(), told)?;
            show(options, &found, || Ok(desk.learned_sheet(&found)))
        }
        TreatVerb::Correct { line, why, area, amount, rate, date, asked } => {
            let change =
                ApplicationEntry { area: area.clone(), amount: amount.clone(), rate: rate.clone(), date: *date, ..asked_of_record(asked) };
            let new = desk.correct_application(*line, why, &change)?;
            say(&format!("line {new} corrects line {line}; the old line stays"));
            Ok(ExitCode::SUCCESS)
        }
        TreatVerb::Show { yard } => {
            let row = desk.book.yard_named(yard)?;
            let lines = desk.book.application_lines_of(row.id)?;
            show(options, &lines, || Ok(desk.record_sheet(yard)?))
        }
        TreatVerb::FollowUp { yard, trouble, treated_before, treated_after, check_before, check_after } => {
            let counts = FollowUp {
                treated_before: counts("--treated-before", Some(treated_before))?,
                treated_after: counts("--treated-after", Some(treated_after))?,
                check_before: counts("--check-before", check_before.as_deref())?,
                check_after: counts("--check-after", check_after.as_deref())?,
            };
            follow_up(&mut desk, options, yard, trouble, &counts)
        }
    }
}

fn plan_facts(args: &FactArgs) -> PlanFacts {
    PlanFacts {
        area: args.area.clone(),
        rate: args.rate.clone(),
        on: args.on,
        droplets: args.droplets.clone(),
        next_door: args.next_door.clone(),
        seeded: args.seeded.clone(),
        seeding: args.seeding.clone(),
        water: args.water.clone(),
        well: args.well.clone(),
        dry_odds: args.dry_odds.clone(),
        tank: args.tank.clone(),
        injector: args.injector.clone(),
        soil_temperature: args.soil_temperature.clone(),
        soil: args.soil.clone(),
        stock_from: args.stock_from.clone(),
    }
}

/// One of the papers of a treatment.
fn paper(desk: &Desk, options: &Show, args: &PlanArgs, sheet: impl FnOnce(&Desk, &WorkPaper) -> Outcome<Sheet>) -> Outcome<ExitCode> {
    let paper = desk.work_paper(&args.yard, &args.trouble, &args.control, &plan_facts(&args.facts))?;
    show(options, &paper, || sheet(desk, &paper))
}

fn follow_up(desk: &mut Desk, options: &Show, yard: &str, trouble: &str, counts: &FollowUp) -> Outcome<ExitCode> {
    let name = desk.trouble(trouble)?.name.clone();
    let found = desk.follow_up(yard, trouble, counts, None)?;
    show(options, &found, || Ok(desk.follow_up_sheet(yard, &name, &found)))
}

fn counts(name: &str, text: Option<&str>) -> Outcome<Vec<f64>> {
    let Some(text) = text else { return Ok(Vec::new()) };
    let counts = groundlore_quantity::parse_counts(text).map_err(|e| Failure(format!("{name}: {e}")))?;
    Ok(counts.into_iter().map(|c| c as f64).collect())
}

fn application(args: &RecordArgs) -> ApplicationEntry {
    ApplicationEntry {
        card: args.card.clone(),
        date: args.date,
        area: args.area.clone(),
        rate: args.rate.clone(),
        amount: args.amount.clone(),
        carrier: args.carrier.clone(),
        applicator: args.applicator.clone(),
        wind: args.wind.clone(),
        temperature: args.temperature.clone(),
        untreated_strip: args.untreated_strip.map(YesNo::is_yes),
        note: args.note.clone(),
        ..asked_of_record(&args.asked)
    }
}

fn asked_of_record(asked: &AskedOfRecord) -> ApplicationEntry {
    ApplicationEntry {
        started: asked.started.clone(),
        ended: asked.ended.clone(),
        licence: asked.licence.clone(),
        certified_applicator: asked.certified_applicator.clone(),
        certified_number: asked.certified_number.clone(),
        customer: asked.customer.clone(),
        customer_address: asked.customer_address.clone(),
        site: asked.site.clone(),
        method: asked.method.clone(),
        restricted_use: asked.restricted_use.map(YesNo::is_yes),
        short_form: asked.short_form,
        rules: asked.rules.clone(),
        ..ApplicationEntry::default()
    }
}

pub(crate) fn label(place: &Place, options: &Show, verb: &LabelVerb) -> Outcome<ExitCode> {
    if matches!(verb, LabelVerb::Template) {
        say(&groundlore_book::sheet::heading_line(&groundlore_book::label_cards_sheet::COLUMNS));
        return Ok(ExitCode::SUCCESS);
    }
    let mut desk = super::desk(place)?;
    if let LabelVerb::Add { file, skip_bad } = verb {
        let read = groundlore_book::read_label_cards_csv(&read_file(file)?, &file_name(file), *skip_bad, desk.now)?;
        for skipped in &read.skipped {
            note(&format!("skipped: {skipped}"));
        }
        let added = desk.add_label_cards(&read.rows)?;
        say(&format!("{added} label cards are in the book"));
        return Ok(ExitCode::SUCCESS);
    }
    let cards = desk.book.label_cards()?;
    show(options, &cards, || {
        let mut sheet = desk.sheet("label-cards", "Label cards, as typed");
        for card in &cards {
            card_blocks(card, &mut sheet.blocks);
        }
        sheet.foot.push("The product label is the law. A blank here is not checked, never passed.".to_owned());
        Ok(sheet)
    })
}

fn card_blocks(card: &LabelCard, blocks: &mut Vec<Block>) {
    blocks.push(Block::heading(card.name.clone()));
    let text = |value: &Option<String>| value.clone().unwrap_or_else(|| "not checked".to_owned());
    blocks.push(Block::Facts {
        facts: vec![
            ("registration number".to_owned(), text(&card.registration_number)),
            ("signal word".to_owned(), text(&card.signal_word)),
            ("rate".to_owned(), text(&card.rate_text)),
            ("re-entry".to_owned(), text(&card.reentry_text)),
            ("protective gear".to_owned(), text(&card.protective_gear)),
            ("bees".to_owned(), text(&card.bee_statement)),
            ("water".to_owned(), text(&card.water_statement)),
        ],
    });
    let open = card.not_checked();
    if !open.is_empty() {
        let why = open.iter().map(|c| c.replace('_', " ")).collect::<Vec<_>>().join(", ");
        blocks.push(Block::Checks { checks: vec![Check { what: "blank on this card".to_owned(), state: CheckState::NotChecked, why }] });
    }
}
