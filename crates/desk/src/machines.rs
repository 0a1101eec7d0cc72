//! Machines: hours run, blades sharpened, and the days on which sharpening falls due by the firm's own limits.

use crate::beds::refused;
use crate::{Desk, DeskError};
use groundlore_book::machines::{BladeSharpening, Machine, MachineHours};
use groundlore_book::tasks::Task as TaskRow;
use groundlore_quantity::number::significant;
use groundlore_quantity::{Kind, Quantity};
use groundlore_sheet::{Block, Sheet};
use groundlore_work::caution::{Hazard, cautions};
use groundlore_work::mowing::{BladeState, HoursLog, blades};
use groundlore_work::task::{Reason, Takes};
use jiff::civil::Date;
use serde_json::json;

/// Setting that holds the firm's limits of blade hours, as `20-30 h`.
pub const BLADE_HOURS: &str = "blade-hours";
/// Limits where the firm has set none, hours: common practice (20–30 h; published figures run from 8 to 25 h).
const USUAL_LIMITS_H: (f64, f64) = (20.0, 30.0);
/// Days after a sharpening for which an empty log still means sharp (common practice).
const FRESH_DAYS: i32 = 7;

/// A machine to write down, as typed.
#[derive(Debug, Clone, Default)]
pub struct MachineEntry {
    /// Its name in the firm.
    pub name: String,
    /// Its kind: `mower`, `edger`, `spreader`, `sprayer`.
    pub kind: String,
    /// Width of cut: `21 in`.
    pub cutting_width: Option<String>,
    /// Working speed: `3 mph`.
    pub speed: Option<String>,
    /// Hours between sharpenings, where this machine has its own: `25 h`.
    pub sharpen_every: Option<String>,
    /// The day it was bought.
    pub bought_on: Option<Date>,
}

/// Hours to log, as typed.
#[derive(Debug, Clone, Default)]
pub struct HoursEntry {
    /// Name of the machine.
    pub machine: String,
    /// Hours that it ran: `1.5 h` or `90 min`; a bare number is hours.
    pub hours: String,
    /// The day; today where left out.
    pub date: Option<Date>,
    /// The yard.
    pub yard: Option<String>,
    /// Who drove.
    pub who: Option<String>,
}

/// The limits of blade hours.
#[derive(Debug, Clone, PartialEq, serde::Serialize)]
pub struct Limits {
    /// Sharpening is worth it from here, hours.
    pub low_h: f64,
    /// Overdue from here, hours.
    pub high_h: f64,
    /// Where they come from.
    pub source: String,
}

/// What is known of a machine's blades.
#[derive(Debug, Clone, PartialEq, serde::Serialize)]
#[serde(tag = "known", rename_all = "kebab-case")]
pub enum Blades {
    /// No hours were ever logged.
    HoursNeverLogged,
    /// Hours are logged, but no sharpening: the blades have run at least these hours.
    NeverSharpened {
        /// Hours since the log began.
        at_least: BladeState,
        /// Day before the first line of the log.
        since: Date,
    },
    /// Hours since a sharpening.
    Since {
        /// The day it was sharpened.
        sharpened: Date,
        /// Hours, pace and due days.
        state: BladeState,
    },
}

/// A machine with its blades.
#[derive(Debug, Clone, serde::Serialize)]
pub struct MachineState {
    /// The machine.
    pub machine: Machine,
    /// Hours logged in all.
    pub hours_in_all_h: f64,
    /// Its blades.
    pub blades: Blades,
    /// The limits.
    pub limits: Limits,
    /// Past the upper limit? `None`: not known.
    pub overdue: Option<bool>,
    /// In words.
    pub words: String,
}

impl Desk {
    /// Writes a machine into the book.
    ///
    /// # Errors
    /// A blank or double name; a measure that cannot be read.
    pub fn add_machine(&mut self, entry: &MachineEntry) -> Result<i64, DeskError> {
        if let Some(same) = self.book.all::<Machine>()?.into_iter().find(|m| m.name.eq_ignore_ascii_case(entry.name.trim())) {
            return Err(refused("machine", &same.name, "is in the book already", "choose another name, or log its hours"));
        }
        let read = |what: &str, text: &Option<String>, kind: Kind| measure(what, text.as_deref(), kind);
        let row = Machine {
            name: entry.name.trim().to_owned(),
            kind: entry.kind.trim().to_lowercase(),
            cutting_width_m: read("cutting width", &entry.cutting_width, Kind::Length)?,
            speed_m_s: read("speed", &entry.speed, Kind::Speed)?,
            sharpen_every_h: entry.sharpen_every.as_deref().map(hours).transpose()?,
            bought_on: entry.bought_on,
            ..Machine::default()
        };
        Ok(self.book.write(|tx| tx.add(&row))?)
    }

    /// Logs hours and plans the sharpening again.
    ///
    /// # Errors
    /// An unknown machine or yard; hours that cannot be read, are not above 0, or do not fit in a day; a day in the future.
    pub fn log_hours(&mut self, entry: &HoursEntry) -> Result<MachineState, DeskError> {
        let machine = self.machine(&entry.machine)?;
        let date = self.not_later(entry.date, "day of the hours")?;
        let hours_h = hours(&entry.hours)?;
        let same_day: f64 = self.book.hours_of(machine.id)?.iter().filter(|line| line.date == date).map(|line| line.hours_h).sum();
        if same_day + hours_h > 24.0 {
            return Err(refused(
                "hours",
                &entry.hours,
                &format!("make more than 24 on {date}: {} h are logged already", significant(same_day, 4)),
                "check the figure and the day",
            ));
        }
        let yard_id = entry.yard.as_deref().map(|yard| self.book.yard_named(yard)).transpose()?.map(|yard| yard.id);
        let line = MachineHours { machine_id: machine.id, yard_id, date, hours_h, who: entry.who.clone(), ..MachineHours::default() };
        self.book.write(|tx| tx.add(&line))?;
        self.plan_sharpening(machine)
    }

    /// Writes a sharpening down, finishes its task, and plans the next.
    ///
    /// # Errors
    /// An unknown machine; a day in the future.
    pub fn sharpened(&mut self, machine: &str, date: Option<Date>, who: Option<&str>) -> Result<MachineState, DeskError> {
        let machine = self.machine(machine)?;
        let date = self.not_later(date, "day of the sharpening")?;
        let before = sharpening_key(&machine, self.book.last_sharpening(machine.id)?.map(|s| s.date));
        let row = BladeSharpening { machine_id: machine.id, date, who: who.map(str::to_owned), ..BladeSharpening::default() };
        self.book.write(|tx| tx.add(&row))?;
        if before != sharpening_key(&machine, self.book.last_sharpening(machine.id)?.map(|s| s.date)) {
            self.finish_task(&before, who)?;
        }
        self.plan_sharpening(machine)
    }

    /// Sets the firm's limits of blade hours: `20-30 h`.
    ///
    /// # Errors
    /// Limits that cannot be read or are the wrong way round.
    pub fn set_blade_limits(&mut self, text: &str) -> Result<(), DeskError> {
        read_limits(text)?;
        self.book.write(|tx| tx.set_setting(BLADE_HOURS, text.trim()))?;
        Ok(())
    }

    /// Every machine in use with its blades.
    ///
    /// # Errors
    /// If the book cannot be read, or the setting of the limits cannot.
    pub fn machine_states(&self) -> Result<Vec<MachineState>, DeskError> {
        self.book.machines()?.into_iter().map(|machine| self.machine_state(machine)).collect()
    }

    /// Are the blades that mow a yard past the firm's limit? By the mowers that logged hours there, else by all mowers: true when all
    /// are overdue, false when none is; `None` is not known, an unknown yard included.
    pub fn blades_overdue(&self, yard: &str) -> Option<bool> {
        let yard_id = self.book.yard_named(yard).ok()?.id;
        let (mut on_yard, mut elsewhere) = (Vec::new(), Vec::new());
        for state in self.machine_states().ok()?.into_iter().filter(|state| is_mower(&state.machine)) {
            let here = self.book.hours_of(state.machine.id).ok()?.iter().any(|line| line.yard_id == Some(yard_id));
            if here { on_yard.push(state.overdue) } else { elsewhere.push(state.overdue) }
        }
        let judged = if on_yard.is_empty() { elsewhere } else { on_yard };
        let first = judged.first().copied().flatten()?;
        judged.iter().all(|overdue| *overdue == Some(first)).then_some(first)
    }

    /// Machines as a sheet.
    ///
    /// # Errors
    /// As [`Desk::machine_states`].
    pub fn machines_sheet(&self) -> Result<Sheet, DeskError> {
        let states = self.machine_states()?;
        let mut sheet = self.sheet("machines", "Machines and blades").subtitle(format!("As of {}", self.today));
        let rows = states.iter().map(|state| {
            let (since, due) = table_words(state);
            vec![state.machine.name.clone(), state.machine.kind.clone(), significant(state.hours_in_all_h, 4), since, due]
        });
        sheet.push(Block::table("In use", &["machine", "kind", "hours logged#", "hours on the blades#", "sharpen"], rows.collect()));
        sheet.push(Block::list(states.iter().map(|state| state.words.clone()).collect()));
        if let Some(state) = states.first() {
            sheet.push(Block::Sources { sources: vec![state.limits.source.clone()] });
            sheet.push(Block::Cautions { cautions: cautions(&[Hazard::Machines, Hazard::Grinding]) });
        } else {
            sheet.push(Block::paragraph("No machine is in the book yet: `groundlore machine add NAME` adds the first."));
        }
        Ok(sheet)
    }

    fn machine(&self, name: &str) -> Result<Machine, DeskError> {
        let machines = self.book.machines()?;
        machines.iter().find(|m| m.name.eq_ignore_ascii_case(name.trim())).cloned().ok_or_else(|| {
            let names: Vec<&str> = machines.iter().map(|m| m.name.as_str()).collect();
            let remedy = if names.is_empty() {
                "the book has no machines yet: add it first".to_owned()
            } else {
                format!("the machines are {}", names.join(", "))
            };
            refused("machine", name, "is not in the book", &remedy)
        })
    }

    fn not_later(&self, date: Option<Date>, what: &str) -> Result<Date, DeskError> {
        let date = date.unwrap_or(self.today);
        if date > self.today { Err(refused(what, date, "lies in the future", "give a day up to today")) } else { Ok(date) }
    }

    fn limits(&self, machine: &Machine) -> Result<Limits, DeskError> {
        if let Some(every) = machine.sharpen_every_h {
            return Ok(Limits { low_h: every, high_h: every, source: format!("set for {}", machine.name) });
        }
        match self.book.setting(BLADE_HOURS)? {
            Some(text) => {
                read_limits(&text).map(|(low_h, high_h)| Limits { low_h, high_h, source: format!("the firm's setting `{BLADE_HOURS}`") })
            }
            None => Ok(Limits {
                low_h: USUAL_LIMITS_H.0,
                high_h: USUAL_LIMITS_H.1,
                source: "common practice: 20 to 30 h; published figures run from 8 to 25 h, so set the firm's own".to_owned(),
            }),
        }
    }

    fn machine_state(&self, machine: Machine) -> Result<MachineState, DeskError> {
        let limits = self.limits(&machine)?;
        let log: Vec<HoursLog> = by_day(&self.book.hours_of(machine.id)?, self.today);
        let sharpened = self.book.last_sharpening(machine.id)?.map(|s| s.date).filter(|date| *date <= self.today);
        let since_day = |from: Date| blades(&log, from, self.today, limits.low_h, limits.high_h);
        let known = match (log.first(), sharpened) {
            (None, None) => Blades::HoursNeverLogged,
            (None, Some(_)) if sharpened.is_some_and(|day| crate::week::days_between(day, self.today) > FRESH_DAYS) => {
                Blades::HoursNeverLogged
            }
            (_, Some(day)) => Blades::Since { sharpened: day, state: since_day(day)? },
            (Some(first), None) => {
                let since = first.date.yesterday().unwrap_or(first.date);
                Blades::NeverSharpened { at_least: since_day(since)?, since }
            }
        };
        let overdue = overdue(&known, &limits, self.today);
        let words = words(&machine, &known, &limits, overdue);
        let hours_in_all_h = log.iter().map(|line| line.hours).sum::<f64>() + 0.0;
        Ok(MachineState { machine, hours_in_all_h, blades: known, limits, overdue, words })
    }

    /// Plans the sharpening of a machine as a task of the firm, with no yard.
    fn plan_sharpening(&mut self, machine: Machine) -> Result<MachineState, DeskError> {
        let state = self.machine_state(machine)?;
        let (blade, since) = match &state.blades {
            Blades::Since { sharpened, state } => (state, Some(*sharpened)),
            Blades::NeverSharpened { at_least, .. } => (at_least, None),
            Blades::HoursNeverLogged => return Ok(state),
        };
        let (Some(from), Some(by)) = (blade.due_from, blade.due_by) else { return Ok(state) };
        let best = crate::week::days_between(from, by) / 2;
        let best = from.saturating_add(jiff::Span::new().days(best));
        let norm = crate::take_off::Labour::of(&self.lore, "sharpen-blade", &Quantity::bare(1.0));
        let pace = format!(
            "{} h since {}, {} h a day",
            significant(blade.hours_h, 3),
            since.map_or_else(|| "the log began".to_owned(), |d| d.to_string()),
            significant(blade.hours_per_day, 2)
        );
        let mut reasons = vec![
            Reason::new("hours on the blades", pace, "the machine's log"),
            Reason::new("limits", format!("{} to {} h", state.limits.low_h, state.limits.high_h), state.limits.source.clone()),
        ];
        reasons.extend(norm.iter().map(|l| Reason::new("time for each blade", l.working.clone(), l.source.clone())));
        let row = TaskRow {
            key: sharpening_key(&state.machine, since),
            what: format!("Sharpen and balance the blades of {}", state.machine.name),
            earliest: Some(from),
            best: Some(best),
            latest: Some(by),
            odds: Some(
                json!({"lines": ["from the day the lower limit is reached at this pace to the day the upper one is; no odds: the pace is taken as it was"], "missed_by_a_week": null}),
            ),
            reasons: Some(json!(reasons)),
            takes: Some(json!(Takes {
                minutes: norm.map(|l| l.minutes),
                machines: vec![state.machine.name.clone()],
                gear: vec!["eye and face protection".to_owned(), "gloves".to_owned()],
                ..Takes::default()
            })),
            forbids: Some(json!(["a bent or torn blade: replace it, do not sharpen it"])),
            cautions: Some(json!(cautions(&[Hazard::Grinding]))),
            ..TaskRow::default()
        };
        self.book.write(|tx| tx.plan_task(&row))?;
        Ok(state)
    }
}

fn is_mower(machine: &Machine) -> bool {
    machine.kind.contains("mower")
}

fn sharpening_key(machine: &Machine, sharpened: Option<Date>) -> String {
    format!("machine/{}/sharpen/{}", crate::yards::slug(&machine.name), sharpened.map_or_else(|| "first".to_owned(), |d| d.to_string()))
}

/// Blade hours of each day up to today, one line a day.
fn by_day(rows: &[MachineHours], today: Date) -> Vec<HoursLog> {
    let mut log: Vec<HoursLog> = Vec::new();
    for row in rows.iter().filter(|row| row.date <= today) {
        let hours = row.blade_hours_h.unwrap_or(row.hours_h);
        match log.last_mut() {
            Some(last) if last.date == row.date => last.hours += hours,
            _ => log.push(HoursLog { date: row.date, hours }),
        }
    }
    log
}

/// Overdue is at or past the upper limit. Blades that were never seen sharpened can be known to be dull, never to be sharp.
fn overdue(known: &Blades, limits: &Limits, today: Date) -> Option<bool> {
    match known {
        Blades::HoursNeverLogged => None,
        Blades::NeverSharpened { at_least, .. } => (at_least.hours_h >= limits.high_h).then_some(true),
        Blades::Since { sharpened, state } if state.hours_h <= 0.0 => {
            (crate::week::days_between(*sharpened, today) <= FRESH_DAYS).then_some(false)
        }
        Blades::Since { state, .. } => Some(state.hours_h >= limits.high_h),
    }
}

fn words(machine: &Machine, known: &Blades, limits: &Limits, overdue: Option<bool>) -> String {
    let name = &machine.name;
    let h = |hours: f64| significant(hours, 3);
    let ending = match overdue {
        Some(true) => "overdue: sharpen before it mows again",
        Some(false) => "not overdue",
        None => "not known whether they are dull",
    };
    match known {
        Blades::HoursNeverLogged => format!(
            "{name}: hours were never logged since any sharpening, so nothing is known of its blades. Log them, or sharpen and write it down."
        ),
        Blades::NeverSharpened { at_least, since } => {
            format!(
                "{name}: no sharpening is written down; at least {} h since {since}, against {} to {} h; {ending}.",
                h(at_least.hours_h),
                limits.low_h,
                limits.high_h
            )
        }
        Blades::Since { sharpened, state } if state.hours_h <= 0.0 => {
            format!("{name}: sharpened {sharpened}, no hours logged since; {ending}.")
        }
        Blades::Since { sharpened, state } => {
            let due = match (state.due_from, state.due_by) {
                (Some(from), Some(by)) => {
                    format!("sharpening falls due from {from} to {by} at {} h a day", significant(state.hours_per_day, 2))
                }
                _ => "no pace to tell a day from".to_owned(),
            };
            format!("{name}: {} h since {sharpened}, against {} to {} h; {due}; {ending}.", h(state.hours_h), limits.low_h, limits.high_h)
        }
    }
}

fn table_words(state: &MachineState) -> (String, String) {
    let due = |blade: &BladeState| match (blade.due_from, blade.due_by) {
        (Some(from), Some(by)) => format!("{from} to {by}"),
        _ => "no pace yet".to_owned(),
    };
    match &state.blades {
        Blades::HoursNeverLogged => ("never logged".to_owned(), "not known".to_owned()),
        Blades::NeverSharpened { at_least, .. } => (format!("at least {}", significant(at_least.hours_h, 3)), due(at_least)),
        Blades::Since { state, .. } => (significant(state.hours_h, 3), due(state)),
    }
}

fn measure(what: &str, text: Option<&str>, kind: Kind) -> Result<Option<f64>, DeskError> {
    let read =
        |text: &str| Quantity::parse_as(text, kind).map(|q| q.si()).map_err(|source| DeskError::Quantity { what: what.to_owned(), source });
    text.map(str::trim).filter(|text| !text.is_empty()).map(read).transpose()
}

/// Hours above 0; a bare number is hours.
fn hours(text: &str) -> Result<f64, DeskError> {
    let plain = text.trim();
    let hours = match plain.parse::<f64>() {
        Ok(bare) => bare,
        Err(_) => {
            Quantity::parse_as(plain, Kind::Time).map_err(|source| DeskError::Quantity { what: "hours".to_owned(), source })?.si() / 3600.0
        }
    };
    if hours.is_finite() && hours > 0.0 { Ok(hours) } else { Err(refused("hours", text, "are not above 0", "write `1.5 h` or `90 min`")) }
}

/// `20-30 h`, `20 to 30 h` or `25 h`.
fn read_limits(text: &str) -> Result<(f64, f64), DeskError> {
    let wrong = |why: &str| refused("limits of blade hours", text, why, "write the lower one first, for example `20-30 h`");
    let plain = text.trim().trim_end_matches(|c: char| c.is_alphabetic()).trim().replace(" to ", "-").replace('–', "-");
    let ends: Vec<f64> = plain
        .split('-')
        .map(|end| end.trim().trim_end_matches('h').trim().parse::<f64>())
        .collect::<Result<_, _>>()
        .map_err(|_| wrong("cannot be read"))?;
    let (low, high) = match ends[..] {
        [one] => (one, one),
        [low, high] => (low, high),
        _ => return Err(wrong("cannot be read")),
    };
    if !(low > 0.0 && high >= low && high.is_finite()) {
        return Err(wrong("are the wrong way round or not above 0"));
    }
    Ok((low, high))
}
