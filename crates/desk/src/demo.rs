//! The demo: an invented firm with twelve yards, real weather, and one yard carried through the whole job.

use crate::beds::{BedOnDesk, BedWishes};
use crate::letters::Answered;
use crate::machines::{HoursEntry, MachineEntry};
use crate::proposals::{ProposalOnDesk, ProposalWishes};
use crate::scouting::{YardPlan, YardVerdict};
use crate::take_off::{EdgingWishes, MulchWishes};
use crate::treatment::{ApplicationEntry, FollowedUp, Options};
use crate::yards::YardFacts;
use crate::{Desk, DeskError};
use groundlore_book::firm::{Firm, Owner};
use groundlore_plant_health::efficacy::FollowUp;
use groundlore_quantity::Quantity;
use include_dir::{Dir, include_dir};
use jiff::civil::{Date, date};
use serde::Deserialize;

static FILES: Dir<'_> = include_dir!("$CARGO_MANIFEST_DIR/../../demo");

/// The yard that goes through the whole job.
pub const YARD: &str = "Linden House";
/// What ails it.
pub const TROUBLE: &str = "white-grubs-annual";

/// The day it is in the demo.
pub fn day() -> Date {
    date(2015, 8, 17)
}

#[derive(Debug, Deserialize)]
struct FirmFile {
    name: String,
    place: String,
    currency: String,
    labour_cost: Quantity,
    overhead_share: f64,
    margin_share: f64,
    applicator: String,
    licence: String,
    note: Option<String>,
    settings: Settings,
}

#[derive(Debug, Deserialize)]
struct Settings {
    blade_limit_low: Quantity,
    blade_limit_high: Quantity,
}

#[derive(Debug, Deserialize)]
struct YardsFile {
    yard: Vec<YardEntry>,
}

#[derive(Debug, Deserialize)]
struct YardEntry {
    file: String,
    name: String,
    owner: String,
    greeting: Option<String>,
    address: Option<String>,
    station: Option<String>,
    time_zone: Option<String>,
    children: Option<bool>,
    pets: Option<bool>,
    forbidden_days: Option<Vec<String>>,
}

#[derive(Debug, Deserialize)]
struct MachinesFile {
    machine: Vec<MachineRow>,
}

#[derive(Debug, Deserialize)]
struct MachineRow {
    name: String,
    kind: String,
    cutting_width: Option<String>,
    speed: Option<String>,
    sharpen_every: Option<String>,
    #[serde(default)]
    sharpenings: Vec<SharpeningRow>,
    #[serde(default)]
    hours: Vec<HoursRow>,
}

#[derive(Debug, Deserialize)]
struct SharpeningRow {
    date: Date,
    who: Option<String>,
}

#[derive(Debug, Deserialize)]
struct HoursRow {
    date: Date,
    yard: Option<String>,
    hours: String,
    who: Option<String>,
}

#[derive(Debug, Deserialize)]
struct HistoryFile {
    follow_up: Vec<HistoryRow>,
}

#[derive(Debug, Deserialize)]
struct HistoryRow {
    control: String,
    trouble: String,
    yard: String,
    year: i16,
    treated_before: Vec<f64>,
    treated_after: Vec<f64>,
    #[serde(default)]
    check_before: Vec<f64>,
    #[serde(default)]
    check_after: Vec<f64>,
    counted_on: Option<Date>,
}

#[derive(Debug, Deserialize)]
struct FollowFile {
    application: Vec<ApplicationRow>,
    #[serde(default)]
    correction: Vec<CorrectionRow>,
    follow_up: Vec<HistoryRow>,
}

#[derive(Debug, Deserialize)]
struct ApplicationRow {
    yard: String,
    trouble: String,
    card: String,
    date: Date,
    area: Option<String>,
    rate: Option<String>,
    amount: Option<String>,
    carrier: Option<String>,
    applicator: Option<String>,
    wind: Option<String>,
    temperature: Option<String>,
    untreated_strip: Option<bool>,
    note: Option<String>,
}

#[derive(Debug, Deserialize)]
struct CorrectionRow {
    why: String,
    area: Option<String>,
    amount: Option<String>,
}

/// What the thread made, up to the demo's day.
#[derive(Debug)]
pub struct Thread {
    /// Letters answered.
    pub letters: Vec<Answered>,
    /// The letter about the yard.
    pub letter: Answered,
    /// The scouting plan.
    pub plan: YardPlan,
    /// The verdict on the counts.
    pub verdict: YardVerdict,
    /// The verdict at the yard where leaving pays.
    pub left: YardVerdict,
    /// The options for treatment.
    pub options: Options,
    /// The planned bed.
    pub bed: BedOnDesk,
    /// The proposal.
    pub proposal: ProposalOnDesk,
    /// Faults found on all maps.
    pub faults: usize,
}

/// What came of it, four weeks later.
#[derive(Debug)]
pub struct Aftermath {
    /// Line of the record.
    pub line: i64,
    /// Line that corrects it.
    pub correction: Option<i64>,
    /// The follow-up.
    pub followed: FollowedUp,
    /// Day of the follow-up.
    pub counted_on: Date,
}

fn text(path: &str) -> Result<&'static str, DeskError> {
    FILES
        .get_file(path)
        .and_then(|file| file.contents_utf8())
        .ok_or_else(|| DeskError::missing(format!("the demo has no `{path}`"), "build the program again from a whole checkout"))
}

fn read<T: for<'de> Deserialize<'de>>(path: &str) -> Result<T, DeskError> {
    toml::from_str(text(path)?).map_err(|e| DeskError::Science(format!("demo/{path}: {e}")))
}

/// Files of a folder of the demo, by name.
fn folder(path: &str) -> Vec<(&'static str, &'static str)> {
    let files = FILES.get_dir(path).map(|dir| dir.files().collect::<Vec<_>>()).unwrap_or_default();
    let mut found: Vec<(&str, &str)> =
        files.into_iter().filter_map(|file| Some((file.path().file_name()?.to_str()?, file.contents_utf8()?))).collect();
    found.sort_unstable();
    found
}

impl Desk {
    /// Fills an empty book with the demo's firm: yards, machines, rates, cards, what earlier years' follow-ups showed.
    ///
    /// # Errors
    /// If the demo's own files were damaged.
    pub fn fill_demo(&mut self) -> Result<usize, DeskError> {
        let firm: FirmFile = read("firm.toml")?;
        let labour = firm.labour_cost.in_unit("$/h").map_err(|source| DeskError::Quantity { what: "labour_cost".to_owned(), source })?;
        self.book.write(|tx| {
            tx.set_firm(&Firm {
                name: firm.name.clone(),
                place: Some(firm.place.clone()),
                currency: firm.currency.clone(),
                labour_cost_per_h: Some(labour),
                overhead_share: Some(firm.overhead_share),
                margin_share: Some(firm.margin_share),
                applicator: Some(firm.applicator.clone()),
                licence: Some(firm.licence.clone()),
                note: firm.note.clone(),
                ..Firm::default()
            })
        })?;
        self.set_blade_limits(&format!("{}-{} h", firm.settings.blade_limit_low.value, firm.settings.blade_limit_high.value))?;
        let faults = self.demo_yards()?;
        self.demo_machines()?;
        let now = self.now;
        let cards = groundlore_book::read_label_cards_csv(text("label_cards.csv")?, "label_cards.csv", false, now)?;
        self.add_label_cards(&cards.rows)?;
        let rates = groundlore_book::read_rates_csv(text("rates.csv")?, "rates.csv", false)?;
        self.add_rates(&rates.rows)?;
        for row in read::<HistoryFile>("history.toml")?.follow_up {
            self.add_history(&row.yard, &row.trouble, &row.control, row.year, &row.counts())?;
        }
        Ok(faults)
    }

    fn demo_yards(&mut self) -> Result<usize, DeskError> {
        let mut faults = 0;
        for yard in read::<YardsFile>("yards.toml")?.yard {
            let owner =
                Owner { name: yard.owner.clone(), greeting: yard.greeting.clone(), address: yard.address.clone(), ..Owner::default() };
            self.book.write(|tx| tx.add(&owner))?;
            let facts = YardFacts {
                name: Some(yard.name.clone()),
                owner: Some(yard.owner.clone()),
                address: yard.address.clone(),
                station: yard.station.clone(),
                time_zone: yard.time_zone.clone(),
                children: yard.children,
                pets: yard.pets,
                forbidden_days: yard.forbidden_days.clone(),
            };
            faults += self.import_yard(text(&yard.file)?, &yard.file, &facts, false)?.faults.len();
        }
        Ok(faults)
    }

    fn demo_machines(&mut self) -> Result<(), DeskError> {
        for machine in read::<MachinesFile>("machines.toml")?.machine {
            self.add_machine(&MachineEntry {
                name: machine.name.clone(),
                kind: machine.kind.clone(),
                cutting_width: machine.cutting_width.clone(),
                speed: machine.speed.clone(),
                sharpen_every: machine.sharpen_every.clone(),
                bought_on: None,
            })?;
            for row in &machine.hours {
                self.log_hours(&HoursEntry {
                    machine: machine.name.clone(),
                    hours: row.hours.clone(),
                    date: Some(row.date),
                    yard: row.yard.clone(),
                    who: row.who.clone(),
                })?;
            }
            for row in &machine.sharpenings {
                self.sharpened(&machine.name, Some(row.date), row.who.as_deref())?;
            }
        }
        Ok(())
    }

    /// Carries the yard through the job up to the demo's day.
    ///
    /// # Errors
    /// If a step refuses.
    pub fn run_demo_thread(&mut self, faults: usize) -> Result<Thread, DeskError> {
        let mut letters = Vec::new();
        for (name, letter) in folder("letters") {
            letters.push(self.answer_letter(letter, name)?);
        }
        let letter = letters
            .iter()
            .find(|answered| answered.yard.as_deref() == Some(YARD))
            .cloned()
            .ok_or_else(|| DeskError::missing("the demo has no letter about its yard", "build the program again"))?;
        let plan = self.scouting_plan(YARD, TROUBLE, 30)?;
        self.plan_scouting_task(&plan)?;
        let counts = groundlore_book::read_counts_csv(text("counts/linden-house.csv")?, "linden-house.csv", false)?;
        self.enter_count_rows(YARD, &counts.rows)?;
        let verdict = self.verdict(YARD, TROUBLE)?;
        let counts = groundlore_book::read_counts_csv(text("counts/heron-pond-house.csv")?, "heron-pond-house.csv", false)?;
        self.enter_count_rows("Heron Pond House", &counts.rows)?;
        let left = self.verdict("Heron Pond House", TROUBLE)?;
        let options = self.treatment_options(YARD, TROUBLE)?;
        let chosen = read::<FollowFile>("follow.toml")?.follow_up.first().map(|row| row.control.clone()).unwrap_or_default();
        self.plan_treatment(YARD, TROUBLE, &chosen)?;
        let wishes = BedWishes {
            bloom: Some("May-October".to_owned()),
            light: Some("full-sun".to_owned()),
            visitors: Some("bees, butterflies".to_owned()),
            taller_than_person: Some(true),
            front: Some("west".to_owned()),
            ..BedWishes::default()
        };
        let bed = self.plan_bed(YARD, "East border", &wishes)?;
        let proposal = self.demo_proposal(&bed)?;
        Ok(Thread { letters, letter, plan, verdict, left, options, bed, proposal, faults })
    }

    fn demo_proposal(&mut self, bed: &BedOnDesk) -> Result<ProposalOnDesk, DeskError> {
        let mulch = self.mulch_for_bed(YARD, "East border", &MulchWishes::default())?;
        let mut take_offs = vec![self.plants_for_bed(bed)?, mulch];
        if let Some(edge) = self.yard(YARD)?.map.as_ref().and_then(|map| map.edges.first().map(|e| e.id.clone())) {
            take_offs.push(self.edging_for_edge(YARD, &edge, &EdgingWishes::default())?);
        }
        let draft = self.draft_proposal(&ProposalWishes {
            yard: YARD.to_owned(),
            title: "A border for the east side".to_owned(),
            take_offs,
            ..ProposalWishes::default()
        })?;
        if draft.total().is_none() {
            return Ok(draft);
        }
        self.offer_proposal(&draft)
    }

    /// Carries the yard on: the application, its correction, the follow-up, what was learned.
    ///
    /// # Errors
    /// If a step refuses.
    pub fn run_demo_aftermath(&mut self) -> Result<Aftermath, DeskError> {
        let follow: FollowFile = read("follow.toml")?;
        let row = follow.application.first().ok_or_else(|| DeskError::missing("the demo has no application", "build the program again"))?;
        self.today = row.date;
        let line = self.record_application(
            &row.yard,
            &row.trouble,
            &ApplicationEntry {
                card: row.card.clone(),
                date: Some(row.date),
                area: row.area.clone(),
                rate: row.rate.clone(),
                amount: row.amount.clone(),
                applicator: row.applicator.clone(),
                wind: row.wind.clone(),
                temperature: row.temperature.clone(),
                untreated_strip: row.untreated_strip,
                note: row.note.clone(),
                carrier: row.carrier.clone(),
                ..ApplicationEntry::default()
            },
        )?;
        let mut correction = None;
        for change in &follow.correction {
            let entry = ApplicationEntry { area: change.area.clone(), amount: change.amount.clone(), ..ApplicationEntry::default() };
            correction = Some(self.correct_application(line, &change.why, &entry)?);
        }
        let after = follow.follow_up.first().ok_or_else(|| DeskError::missing("the demo has no follow-up", "build the program again"))?;
        let counted_on = after.counted_on.unwrap_or(row.date);
        self.today = counted_on;
        let followed = self.follow_up(&after.yard, &after.trouble, &after.counts(), Some(counted_on))?;
        Ok(Aftermath { line, correction, followed, counted_on })
    }
}

impl HistoryRow {
    fn counts(&self) -> FollowUp {
        FollowUp {
            treated_before: self.treated_before.clone(),
            treated_after: self.treated_after.clone(),
            check_before: self.check_before.clone(),
            check_after: self.check_after.clone(),
        }
    }
}
