//! The papers of a treatment: the work sheet that goes to the tank, the hours of weather, the notice to the owner, the sign for the lawn.
//! The poison-centre line stands on each of them.

use super::{Options, PlanFacts, control_words};
use crate::treatment_sheets::{LABEL, check_block};
use crate::yards::{feet, square_feet};
use crate::{Desk, DeskError};
use groundlore_book::label_cards::{LabelCard as CardRow, RateUnit, says_nothing};
use groundlore_lore::control::{ActionGroup, ControlClass};
use groundlore_plant_health::treatment::{DropletClass, HourJudged, Outcome, TreatmentOption};
use groundlore_quantity::{Kind, Quantity};
use groundlore_sheet::{Block, Sheet, Tone};
use groundlore_work::caution::{Hazard, cautions, poison_line};
use groundlore_work::tank::{Injected, TankPlan, injected, part_of, plan, usual_order};

/// Hours that a sheet lists.
const LISTED_HOURS: usize = 24;
/// Setting of the book that holds the number of the poison centre.
pub(crate) const POISON_CENTRE: &str = "poison-centre";

/// All that the papers of one treatment are made of.
#[derive(Debug, Clone, serde::Serialize)]
pub struct WorkPaper {
    /// Yard.
    pub yard: String,
    /// Name of the trouble.
    pub against: String,
    /// Stage it is in or comes to next.
    pub stage: Option<String>,
    /// The option with its checks and amount.
    pub option: TreatmentOption,
    /// Mode-of-action group with the edition of its list.
    pub group: Option<ActionGroup>,
    /// The label card; none for a living control that needs none.
    pub card: Option<CardRow>,
    /// Area, m².
    pub area_m2: f64,
    /// What was said of the plan.
    pub facts: PlanFacts,
    /// Hours of the kept forecast, judged.
    pub hours: Vec<HourJudged>,
    /// When that forecast was made.
    pub forecast_made_at: Option<jiff::Timestamp>,
    /// Tank loads at the rate that is meant, else at the card's lowest.
    pub tank: Option<TankPlan>,
    /// Stock for a proportioner.
    pub injected: Option<Injected>,
    /// Why there are no tank loads.
    pub no_tank: Option<String>,
    /// Order of mixing, and whose it is.
    pub mixing: (String, Vec<String>),
    /// Settings of spreader or sprayer.
    pub settings: Vec<String>,
    /// Who applies it, and the licence as typed.
    pub applicator: (Option<String>, Option<String>),
    /// Number of the poison centre, as the firm set it.
    pub poison_centre: Option<String>,
}

impl Desk {
    /// Sets the number of the poison centre that stands on every sheet where something is sprayed.
    ///
    /// # Errors
    /// A number without a digit; a book that cannot be written.
    pub fn set_poison_centre(&mut self, number: &str) -> Result<(), DeskError> {
        if !number.chars().any(|c| c.is_ascii_digit()) {
            return Err(DeskError::Refused {
                what: "poison centre".to_owned(),
                value: format!("`{number}`"),
                why: "holds no digit".to_owned(),
                remedy: "write the telephone number of your poison centre".to_owned(),
            });
        }
        Ok(self.book.write(|tx| tx.set_setting(POISON_CENTRE, number.trim()))?)
    }

    /// The poison-centre line, with the number where the firm set one.
    #[must_use]
    pub fn poison_words(&self) -> String {
        poison_line(self.book.setting(POISON_CENTRE).ok().flatten().as_deref())
    }

    /// What the papers of a treatment are made of.
    ///
    /// # Errors
    /// An unknown yard, trouble or control; a practice, with which nothing is applied; a control whose label card is not typed, or that a
    /// check refuses; a fact that cannot be read.
    pub fn work_paper(&self, yard: &str, trouble: &str, control: &str, facts: &PlanFacts) -> Result<WorkPaper, DeskError> {
        let options = self.treatment_options_with(yard, trouble, facts)?;
        let option = options.option_named(control)?.clone();
        if option.class == ControlClass::Practice {
            return Err(DeskError::Refused {
                what: option.name.clone(),
                value: "a practice".to_owned(),
                why: "applies nothing, so it needs no such sheet".to_owned(),
                remedy: "the week's crew sheet tells it; choose a control that is applied".to_owned(),
            });
        }
        refuse_if_forbidden(&option)?;
        let lore = self.lore.controls.get(&option.control);
        let card = lore.map(|c| self.card_for(c)).transpose()?.flatten();
        if card.is_none() && lore.is_none_or(|c| c.needs_label) {
            return Err(DeskError::missing(
                format!("no label card of {} is typed", option.name),
                "type the label in hand with `groundlore label add FILE`; without it no sheet can name a rate, gear or re-entry",
            ));
        }
        let read = facts.read()?;
        let (tank, drawn, no_tank) = tank_of(card.as_ref(), &options, &read)?;
        let firm = self.book.firm()?;
        Ok(WorkPaper {
            yard: options.yard.clone(),
            against: options.name.clone(),
            stage: options.stage.as_ref().map(|w| w.name.clone()),
            group: lore.and_then(|c| c.group.clone()),
            area_m2: options.area_m2,
            facts: facts.clone(),
            hours: options.hours.get(&option.control).cloned().unwrap_or_default(),
            forecast_made_at: options.forecast_made_at,
            tank,
            injected: drawn,
            no_tank,
            mixing: mixing(card.as_ref(), &option.name),
            settings: options.settings.get(&option.control).cloned().unwrap_or_default(),
            applicator: (firm.as_ref().and_then(|f| f.applicator.clone()), firm.and_then(|f| f.licence)),
            poison_centre: self.book.setting(POISON_CENTRE)?,
            card,
            option,
        })
    }

    /// The sheet that goes to the tank: checks, hours, loads, mixing, filling, rinsing, and what is to be noted.
    pub fn work_sheet(&self, paper: &WorkPaper) -> Sheet {
        let mut sheet = self.sheet("treatment-work", format!("{} against {}, {}", paper.option.name, lower(&paper.against), paper.yard));
        let open = |outcome| paper.option.checks.iter().filter(|c| c.outcome == outcome).count();
        let (text, tone) = match paper.option.standing {
            Outcome::Pass => ("Every check is in order".to_owned(), Tone::Act),
            Outcome::Doubt => (format!("Look first: {} checks ask for it", open(Outcome::Doubt)), Tone::Watch),
            Outcome::NotChecked => (format!("Not ready: {} checks are not made", open(Outcome::NotChecked)), Tone::Watch),
            Outcome::Refuse => ("Must not be done".to_owned(), Tone::Danger),
        };
        let why = "The label rules; a blank on its card is not checked, and never passed.".to_owned();
        sheet.push(Block::Verdict { text, why, tone });
        sheet.push(Block::Cautions { cautions: vec![poison_line(paper.poison_centre.as_deref())] });
        sheet.push(Block::Facts { facts: plan_facts(paper) });
        sheet.push(check_block(&paper.option.checks));
        hour_blocks(paper, &mut sheet);
        mix_blocks(paper, &mut sheet);
        label_blocks(paper, &mut sheet);
        if !paper.settings.is_empty() {
            sheet.push(Block::Working { title: "Setting and check of spreader or sprayer".to_owned(), lines: paper.settings.clone() });
        }
        let all = paper.option.cautions.iter().cloned().chain(cautions(&[Hazard::Pesticide])).collect();
        sheet.push(Block::Cautions { cautions: all });
        sheet.push(Block::heading("To be noted while it is done"));
        sheet.push(Block::Fill { labels: FILL.iter().map(|label| (*label).to_owned()).collect() });
        sheet.push(Block::Signatures { who: vec!["applied by".to_owned()] });
        sheet.foot.push(LABEL.to_owned());
        sheet
    }

    /// The hours of the forecast, each held against the card.
    pub fn spray_hours_sheet(&self, paper: &WorkPaper) -> Sheet {
        let mut sheet = self.sheet("spray-hours", format!("Hours for {} at {}", paper.option.name, paper.yard));
        hour_blocks(paper, &mut sheet);
        for (outcome, title) in [
            (Outcome::Refuse, "Why hours are refused"),
            (Outcome::NotChecked, "What is not checked"),
            (Outcome::Doubt, "What asks for a look"),
        ] {
            let mut counts: std::collections::BTreeMap<&str, usize> = std::collections::BTreeMap::new();
            for found in paper.hours.iter().flat_map(|hour| &hour.checks).filter(|c| c.outcome == outcome) {
                *counts.entry(found.name).or_default() += 1;
            }
            if !counts.is_empty() {
                let items = counts.iter().map(|(name, count)| format!("{name}: {count} of {} hours", paper.hours.len())).collect();
                sheet.push(Block::heading(title));
                sheet.push(Block::List { ordered: false, items });
            }
        }
        sheet.push(Block::Cautions { cautions: vec![poison_line(paper.poison_centre.as_deref())] });
        sheet.foot.push(LABEL.to_owned());
        sheet
    }

    /// The notice to the owner: what will be applied, where and why, and what they must do.
    ///
    /// # Errors
    /// If the book cannot be read.
    pub fn notice_sheet(&self, paper: &WorkPaper) -> Result<Sheet, DeskError> {
        let row = self.book.yard_named(&paper.yard)?;
        let owner = self.book.owners()?.into_iter().find(|owner| Some(owner.id) == row.owner_id);
        let mut sheet = self.sheet("treatment-notice", format!("Notice of a treatment at {}", paper.yard));
        sheet.subtitle = row.address.clone();
        let greeting = owner.map_or_else(|| "Good day,".to_owned(), |o| o.greeting.unwrap_or_else(|| format!("Dear {},", o.name)));
        sheet.push(Block::paragraph(greeting));
        sheet.push(Block::paragraph(format!(
            "we mean to treat {} of your ground against {}. Here is what it is, and what we ask of you.",
            square_feet(paper.area_m2),
            lower(&paper.against)
        )));
        let card = paper.card.as_ref();
        let when = paper.facts.on.map_or_else(|| "we tell you the day beforehand: ________________".to_owned(), |day| day.to_string());
        sheet.push(Block::Facts {
            facts: vec![
                ("what".to_owned(), product_words(paper)),
                ("registration number".to_owned(), blank(card.and_then(|c| c.registration_number.as_deref()))),
                ("signal word on the label".to_owned(), blank(card.and_then(|c| c.signal_word.as_deref()))),
                ("against".to_owned(), paper.against.clone()),
                ("where".to_owned(), paper.facts.area.clone().unwrap_or_else(|| square_feet(paper.area_m2))),
                ("when".to_owned(), when),
                ("keep off, as the label says".to_owned(), blank(card.and_then(|c| c.reentry_text.as_deref()))),
                ("children, pets and others".to_owned(), blank(card.and_then(|c| c.people_statement.as_deref()))),
                ("clippings".to_owned(), blank(card.and_then(|c| c.clippings_text.as_deref()))),
                ("compost".to_owned(), blank(card.and_then(|c| c.compost_text.as_deref()))),
                ("seeding afterwards".to_owned(), blank(card.and_then(|c| c.reseeding_text.as_deref()))),
                ("watering".to_owned(), blank(card.and_then(|c| c.watering_in_text.as_deref()))),
            ],
        });
        sheet.push(Block::heading("What we ask of you"));
        sheet.push(Block::List {
            ordered: true,
            items: vec![
                "Before: bring in toys, pet dishes and washing; close windows on that side; tell us of wells, ponds and bee hives nearby.".to_owned(),
                "Tell us now if anyone in the house is pregnant, asthmatic or sensitive to sprays, or if you would rather we did not treat: then we find another way.".to_owned(),
                "After: keep people and pets off until the sign says so; leave the sign up as long as it says.".to_owned(),
                "You may see the label at any time: ask us for it.".to_owned(),
            ],
        });
        sheet.push(Block::Cautions { cautions: vec![poison_line(paper.poison_centre.as_deref())] });
        sheet.push(Block::paragraph(
            "Some places rule how long before and in what words neighbours and owners are told: that rule comes first.",
        ));
        sheet.push(Block::Signatures { who: vec!["for the firm".to_owned()] });
        Ok(sheet)
    }

    /// The sign for the lawn.
    pub fn sign_sheet(&self, paper: &WorkPaper) -> Sheet {
        let card = paper.card.as_ref();
        let until = card.and_then(|c| c.reentry_text.as_deref());
        let mut sheet = self.sheet("treatment-sign", "Keep off: treated ground");
        sheet.push(Block::Verdict {
            text: "KEEP OFF".to_owned(),
            why: format!("Treated with {}. People and pets stay off, as the label says: {}", product_words(paper), blank(until)),
            tone: Tone::Danger,
        });
        let entry = card.and_then(|c| c.reentry_h).map_or_else(
            || "open again (when the label's words are met)".to_owned(),
            |hours| {
                format!("open again ({} h after the end of treatment, by the label)", groundlore_quantity::number::significant(hours, 4))
            },
        );
        sheet.push(Block::Fill { labels: vec!["treated on, end of treatment at".to_owned(), entry, "take this sign down on".to_owned()] });
        sheet.push(Block::Facts {
            facts: vec![
                ("against".to_owned(), paper.against.clone()),
                ("signal word".to_owned(), blank(card.and_then(|c| c.signal_word.as_deref()))),
                ("registration number".to_owned(), blank(card.and_then(|c| c.registration_number.as_deref()))),
                ("applied by".to_owned(), paper.applicator.0.clone().unwrap_or_else(|| "________________".to_owned())),
                ("licence".to_owned(), paper.applicator.1.clone().unwrap_or_else(|| "________________".to_owned())),
                ("what the label says of signs".to_owned(), blank(card.and_then(|c| c.posting_text.as_deref()))),
            ],
        });
        sheet.push(Block::Cautions { cautions: vec![poison_line(paper.poison_centre.as_deref())] });
        sheet.foot.push("Size, place and words of signs are ruled by some states and towns: that rule comes first.".to_owned());
        sheet
    }
}

/// What is noted by hand at the tank and on the lawn.
const FILL: [&str; 8] = [
    "Date, start and end",
    "Wind, from and speed, at the height of the nozzle",
    "Air temperature, and sky",
    "Nozzle, pressure, droplet class by its own sheet",
    "Where it was mixed: distance to the nearest well, drain and water",
    "Air gap or backflow preventer seen",
    "Mixed, used, left over (planned: nothing)",
    "Signs set at",
];

fn lower(name: &str) -> String {
    name.to_lowercase()
}

/// A cell of the card: blank is not checked; `none` is that the label says nothing.
fn blank(text: Option<&str>) -> String {
    match text.map(str::trim).filter(|text| !text.is_empty()) {
        None => "not checked: blank on the label card".to_owned(),
        Some(text) if says_nothing(text) => "the label says nothing of it".to_owned(),
        Some(text) => text.to_owned(),
    }
}

fn product_words(paper: &WorkPaper) -> String {
    paper.card.as_ref().map_or_else(|| paper.option.name.clone(), |card| format!("{} ({})", card.name, paper.option.name))
}

/// Refuses what a check refuses, with the reasons.
pub(super) fn refuse_if_forbidden(option: &TreatmentOption) -> Result<(), DeskError> {
    if option.standing != Outcome::Refuse {
        return Ok(());
    }
    let why: Vec<String> = option.checks.iter().filter(|c| c.outcome == Outcome::Refuse).map(|c| c.why.clone()).collect();
    Err(DeskError::Refused {
        what: option.name.clone(),
        value: "it".to_owned(),
        why: "must not be used here".to_owned(),
        remedy: why.join("; "),
    })
}

type Tank = (Option<TankPlan>, Option<Injected>, Option<String>);

/// Loads of the tank at the rate that is meant, else at the card's lowest.
fn tank_of(card: Option<&CardRow>, options: &Options, read: &super::facts::ReadFacts) -> Result<Tank, DeskError> {
    let why = |text: &str| Ok((None, None, Some(text.to_owned())));
    let Some(card) = card else { return why("no label card is typed: the supplier's sheet gives the mix") };
    let Some(lowest) = card.rate_low_si else { return why("the rate is blank on the label card") };
    let Some(carrier_text) = card.carrier_text.as_deref() else {
        return why(match card.rate_si_unit {
            Some(RateUnit::KilogramPerSquareMetre) => "no water is given on the card: it is spread, not sprayed, or the carrier is blank",
            _ => "the water that carries it is blank on the label card, so no mix is reckoned",
        });
    };
    let carrier = Quantity::parse_as(carrier_text, Kind::VolumePerArea)
        .map_err(|source| DeskError::Quantity { what: format!("carrier of {}", card.name), source })?
        .si();
    let rate = read.rate.as_ref().map_or(lowest, Quantity::si);
    let per_area = match card.rate_si_unit {
        Some(RateUnit::Share) => rate * carrier,
        _ => rate,
    };
    let liquid = matches!(card.rate_si_unit, Some(RateUnit::Share | RateUnit::CubicMetrePerSquareMetre));
    let mix = carrier * options.area_m2;
    let drawn = read.injector.map(|ratio| injected(mix, per_area * options.area_m2, ratio, liquid)).transpose()?;
    let Some(tank) = read.tank_m3 else {
        return Ok((None, drawn, Some("the tank is not named: give its size, for example `3 gal`".to_owned())));
    };
    Ok((Some(plan(options.area_m2, carrier, tank, per_area)?), drawn, None))
}

/// The order of mixing: the label's, else the usual one as advice.
fn mixing(card: Option<&CardRow>, product: &str) -> (String, Vec<String>) {
    let label = card.and_then(|c| c.mixing_order_text.as_deref()).filter(|text| !says_nothing(text));
    if let Some(text) = label {
        let steps = text.split(';').map(|step| step.trim().to_owned()).filter(|step| !step.is_empty()).collect();
        return ("Order of mixing, by the label".to_owned(), steps);
    }
    let part = card.and_then(|c| c.formulation.as_deref()).and_then(part_of);
    let title = "Order of mixing: not checked, blank on the card. The usual order, as advice (Manitoba Guide to Crop Protection, as the Canola Council of Canada prints it)";
    (title.to_owned(), usual_order(part, product))
}

fn plan_facts(paper: &WorkPaper) -> Vec<(String, String)> {
    let card = paper.card.as_ref();
    let text = |pick: fn(&CardRow) -> Option<&String>| blank(card.and_then(pick).map(String::as_str));
    let group = paper
        .group
        .as_ref()
        .map_or_else(|| "no group: a living or ungrouped control".to_owned(), |g| format!("{} group {} ({})", g.scheme, g.code, g.edition));
    let on_card = card.map(|c| {
        let edition = c.mode_of_action_edition.as_deref().map_or_else(|| "edition not checked".to_owned(), |e| format!("edition {e}"));
        c.mode_of_action_group.as_ref().map_or_else(|| "blank on the card".to_owned(), |code| format!("on the label {code}, {edition}"))
    });
    let amount = match (&paper.option.amount, &paper.option.amount_note) {
        (Some(a), _) if a.low == a.high => a.low.rounded(4),
        (Some(a), _) => format!("{} to {}", a.low.rounded(4), a.high.rounded(4)),
        (None, note) => note.clone().unwrap_or_else(|| "as the supplier's sheet says".to_owned()),
    };
    vec![
        ("product, as on the label card".to_owned(), product_words(paper)),
        ("registration number".to_owned(), text(|c| c.registration_number.as_ref())),
        ("edition of the label".to_owned(), text(|c| c.label_edition.as_ref())),
        ("signal word".to_owned(), text(|c| c.signal_word.as_ref())),
        ("mode of action".to_owned(), format!("{group}; {}", on_card.unwrap_or_default()).trim_end_matches("; ").to_owned()),
        ("stage".to_owned(), paper.stage.clone().unwrap_or_else(|| "not known".to_owned())),
        ("believed to control".to_owned(), control_words(&paper.option)),
        ("area".to_owned(), square_feet(paper.area_m2)),
        ("rate".to_owned(), paper.facts.rate.clone().unwrap_or_else(|| text(|c| c.rate_text.as_ref()))),
        ("amount for this area".to_owned(), amount),
        ("water".to_owned(), text(|c| c.carrier_text.as_ref())),
        ("droplet class".to_owned(), droplet_words(paper)),
        ("applied by".to_owned(), paper.applicator.0.clone().unwrap_or_else(|| "not said".to_owned())),
        ("licence, as typed".to_owned(), paper.applicator.1.clone().unwrap_or_else(|| "none is typed".to_owned())),
    ]
}

/// The label's droplet class beside the nozzle's.
fn droplet_words(paper: &WorkPaper) -> String {
    let label = blank(paper.card.as_ref().and_then(|c| c.droplets_text.as_deref()));
    let nozzle = paper.facts.droplets.as_deref().and_then(DropletClass::from_words).map_or("not named", DropletClass::words);
    format!("label: {label}; nozzle at its pressure: {nozzle} (classes of ASABE S572 and ISO 25358)")
}

fn outcome_words(outcome: Outcome) -> &'static str {
    match outcome {
        Outcome::Pass => "in order",
        Outcome::Doubt => "look first",
        Outcome::Refuse => "no",
        Outcome::NotChecked => "not checked",
    }
}

fn hour_blocks(paper: &WorkPaper, sheet: &mut Sheet) {
    if paper.hours.is_empty() {
        sheet.push(Block::paragraph(
            "Weather by the hour: not checked. No hourly forecast of this place is kept; `groundlore weather get` fetches one. Measure wind and temperature on the spot.",
        ));
        return;
    }
    let open: Vec<&HourJudged> = paper.hours.iter().filter(|hour| hour.standing != Outcome::Refuse).collect();
    let shown = if open.is_empty() {
        paper.hours.iter().take(LISTED_HOURS).collect()
    } else {
        open.iter().copied().take(LISTED_HOURS).collect::<Vec<_>>()
    };
    let rows = shown.iter().map(|hour| {
        let because: Vec<&str> =
            hour.checks.iter().filter(|c| c.outcome == hour.standing && c.outcome != Outcome::Pass).map(|c| c.name).collect();
        vec![
            hour.local.strftime("%a %-d %b %H:%M").to_string(),
            hour.odds.map_or_else(|| "not known".to_owned(), |odds| format!("{:.0}%", odds * 100.0)),
            hour.wind_m_s.map_or_else(|| "not told".to_owned(), |wind| format!("{:.0} mph", wind / 0.447_04)),
            format!("{:.0} °F", hour.temperature_c * 1.8 + 32.0),
            outcome_words(hour.standing).to_owned(),
            because.join(", "),
        ]
    });
    let made = paper.forecast_made_at.map_or_else(String::new, |at| format!(", forecast of {}", at.strftime("%-d %b %H:%M UTC")));
    let caption = if open.is_empty() {
        format!("Hours: none of {} is permitted{made}", paper.hours.len())
    } else {
        format!("Hours that are not refused, {} of {}{made}", open.len(), paper.hours.len())
    };
    sheet.push(Block::table(&caption, &["from", "odds#", "wind#", "temperature#", "stands", "because of"], rows.collect()));
    sheet.push(Block::paragraph(
        "The odds are those that wind, gusts, temperature and rain keep the card's limits, by the forecast's usual spread (from memory, wide), multiplied as if independent. What happens at the nozzle decides: measure there before and during the work.",
    ));
}

fn printed(si: f64, unit: &str) -> String {
    Quantity::from_si(si, unit).map_or_else(|_| format!("{si}"), |q| q.rounded(4))
}

fn mix_blocks(paper: &WorkPaper, sheet: &mut Sheet) {
    let liquid = paper.card.as_ref().is_some_and(|c| matches!(c.rate_si_unit, Some(RateUnit::Share | RateUnit::CubicMetrePerSquareMetre)));
    let amount = |si: f64| if liquid { printed(si, "floz") } else { printed(si, "oz") };
    if let Some(plan) = &paper.tank {
        let rows = plan.loads.iter().enumerate().map(|(place, load)| {
            let last = place + 1 == plan.loads.len();
            vec![
                format!("{}{}", place + 1, if last { " (last)" } else { "" }),
                printed(load.mix_m3, "gal"),
                amount(load.product),
                square_feet(load.area_m2),
            ]
        });
        let which = if paper.facts.rate.is_some() { "the rate that is meant" } else { "the card's lowest rate" };
        let caption = format!("Tank loads at {which}: {} of mix with {} in all", printed(plan.mix_m3, "gal"), amount(plan.product));
        sheet.push(Block::table(&caption, &["load", "mix#", "product#", "covers#"], rows.collect()));
        sheet.push(Block::paragraph(
            "Left over: planned to nothing. The last load is a part load; walk it out over the treated ground at the same rate, never into a drain or over the rate of the label.",
        ));
    } else if let Some(why) = &paper.no_tank {
        sheet.push(Block::paragraph(format!("Tank loads: not reckoned, {why}.")));
    }
    if let Some(drawn) = &paper.injected {
        sheet.push(Block::paragraph(format!(
            "Proportioner of 1:{}: {} of stock, with {} of product in it. A backflow preventer stands before it; check its ratio by a catch.",
            paper.facts.injector.as_deref().unwrap_or(""),
            printed(drawn.stock_m3, "gal"),
            amount(drawn.product)
        )));
    }
    if paper.card.as_ref().is_some_and(|c| c.carrier_text.is_some()) {
        sheet.push(Block::heading(paper.mixing.0.clone()));
        sheet.push(Block::List { ordered: true, items: paper.mixing.1.clone() });
    }
}

fn label_blocks(paper: &WorkPaper, sheet: &mut Sheet) {
    let Some(card) = &paper.card else { return };
    let distance = |text: &Option<String>, m: Option<f64>| match (text, m) {
        (Some(text), Some(m)) if text != &feet(m) => format!("{text} ({})", feet(m)),
        (text, _) => blank(text.as_deref()),
    };
    sheet.push(Block::heading("By the label"));
    sheet.push(Block::Facts {
        facts: vec![
            ("protective gear".to_owned(), blank(card.protective_gear.as_deref())),
            ("keep people and pets off".to_owned(), blank(card.reentry_text.as_deref())),
            ("children, pets and others".to_owned(), blank(card.people_statement.as_deref())),
            ("bees".to_owned(), blank(card.bee_statement.as_deref())),
            ("water".to_owned(), blank(card.water_statement.as_deref())),
            (
                "filling: air gap or backflow preventer".to_owned(),
                format!(
                    "{}. Always: the hose ends above the rim of the tank, or a backflow preventer stands before it, and somebody watches",
                    blank(card.backflow_text.as_deref()).trim_end_matches('.')
                ),
            ),
            ("distance of mixing from wells, drains and water".to_owned(), distance(&card.mixing_distance_text, card.mixing_distance_m)),
            ("rinsing".to_owned(), blank(card.rinsing_text.as_deref())),
            ("leftovers and empty containers".to_owned(), blank(card.disposal_text.as_deref())),
            ("watering in".to_owned(), blank(card.watering_in_text.as_deref())),
            ("clippings".to_owned(), blank(card.clippings_text.as_deref())),
            ("compost".to_owned(), blank(card.compost_text.as_deref())),
            ("roots of trees".to_owned(), blank(card.tree_roots_text.as_deref())),
            ("seeding afterwards".to_owned(), blank(card.reseeding_text.as_deref())),
            ("signs and notice".to_owned(), blank(card.posting_text.as_deref())),
        ],
    });
}
