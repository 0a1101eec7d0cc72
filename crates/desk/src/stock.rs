//! Nursery stock at the gate: what to look at, what was seen, and the verdict. A check not done is not checked, never passed.

use crate::beds::refused;
use crate::{Desk, DeskError};
use groundlore_book::beds::BedPlan as PlanRow;
use groundlore_book::stock_checks::{StockCheck as CheckRow, StockCheckLine, StockVerdict as RowVerdict};
use groundlore_lore::plant::Plant;
use groundlore_planting::stock::{Answer, CheckKey, StockCheck, StockVerdict, Verdict, checks_for, judge};
use groundlore_quantity::{Kind, Quantity};
use groundlore_sheet::{Block, Check, CheckState, Sheet, Tone};
use groundlore_work::task::{Reason, Takes, Task, Window};
use jiff::ToSpan as _;
use jiff::civil::Date;
use std::collections::BTreeMap;

/// What to look at on one kind.
#[derive(Debug, Clone, serde::Serialize)]
pub struct GateCard {
    /// Lore key.
    pub plant: String,
    /// Common name.
    pub name: String,
    /// Botanical name.
    pub botanical: String,
    /// The checks, in the order of the walk.
    pub checks: Vec<StockCheck>,
    /// Cautions of the plant.
    pub cautions: Vec<String>,
}

/// A lot looked at, as typed.
#[derive(Debug, Clone, Default)]
pub struct StockEntry {
    /// The plant, by lore key, common or botanical name.
    pub plant: String,
    /// The yard it is for.
    pub yard: Option<String>,
    /// The bed it is for; its newest plan is linked.
    pub bed: Option<String>,
    /// The nursery.
    pub nursery: Option<String>,
    /// How many plants.
    pub quantity: Option<u32>,
    /// Who looked.
    pub who: Option<String>,
    /// The day; today where left out.
    pub date: Option<Date>,
    /// Check and answer: `roots-at-edge` with `pass`, `doubt`, `refuse` or `not checked`; `shoots` also with `5 shoots` or
    /// `2 shoots in flower`, `sturdiness` with `35 cm, 5 mm`. What is not named was not checked.
    pub answers: Vec<(String, String)>,
}

/// A lot judged.
#[derive(Debug, Clone, serde::Serialize)]
pub struct StockOnDesk {
    /// Number of the check in the book.
    pub check_id: i64,
    /// Lore key.
    pub plant: String,
    /// Common name.
    pub name: String,
    /// The nursery.
    pub nursery: Option<String>,
    /// How many plants.
    pub quantity: Option<u32>,
    /// The day.
    pub date: Date,
    /// Who looked.
    pub who: Option<String>,
    /// The verdict, check by check.
    pub verdict: StockVerdict,
}

impl Desk {
    /// What to look at on a plant at the nursery gate.
    ///
    /// # Errors
    /// A plant that lore has not.
    pub fn gate_card(&self, plant: &str) -> Result<GateCard, DeskError> {
        let found = self.stock_plant(plant)?;
        Ok(GateCard {
            plant: found.key.clone(),
            name: found.name.clone(),
            botanical: found.botanical.clone(),
            checks: checks_for(found.kind),
            cautions: found.cautions.clone(),
        })
    }

    fn stock_plant(&self, plant: &str) -> Result<&Plant, DeskError> {
        let key = self.plant_key(plant);
        self.lore.plants.get(&key).ok_or_else(|| {
            let first = key.split(['-', ' ']).next().unwrap_or_default().to_owned();
            let near: Vec<&str> = self
                .lore
                .plants
                .values()
                .filter(|p| p.key.contains(&first) || p.name.to_lowercase().contains(&first))
                .map(|p| p.key.as_str())
                .take(5)
                .collect();
            let remedy = if near.is_empty() {
                "`groundlore lore list` shows the plants".to_owned()
            } else {
                format!("did you mean {}?", near.join(", "))
            };
            refused("plant", plant, "is not in lore", &remedy)
        })
    }

    /// Judges a lot by what was seen and keeps the check in the book. A lot that is refused for a yard plans a task to find another.
    ///
    /// # Errors
    /// An unknown plant, yard, bed or check; an answer that does not fit its check; a day in the future. Nothing is kept then.
    pub fn check_stock(&mut self, entry: &StockEntry) -> Result<StockOnDesk, DeskError> {
        let plant = self.stock_plant(&entry.plant)?;
        let (key, name, kind) = (plant.key.clone(), plant.name.clone(), plant.kind);
        let date = entry.date.unwrap_or(self.today);
        if date > self.today {
            return Err(refused("day of the check", date, "lies in the future", "give the day on which somebody looked"));
        }
        let asked = checks_for(kind);
        let answers = read_answers(&entry.answers, &asked)?;
        let verdict = judge(kind, &answers).map_err(DeskError::science)?;
        let yard = entry.yard.as_deref().map(|name| self.book.yard_named(name)).transpose()?;
        let row = CheckRow {
            yard_id: yard.as_ref().map(|yard| yard.id),
            bed_plan_id: self.plan_for(yard.as_ref().map(|yard| yard.id), entry.bed.as_deref())?,
            plant: key.clone(),
            nursery: entry.nursery.clone(),
            date,
            quantity: entry.quantity,
            who: entry.who.clone(),
            ..CheckRow::default()
        };
        let lines: Vec<StockCheckLine> = verdict
            .checks
            .iter()
            .map(|judged| StockCheckLine {
                what: check_word(judged.key),
                verdict: row_verdict(judged.verdict),
                note: Some(judged.why.clone()),
                ..StockCheckLine::default()
            })
            .collect();
        let check_id = self.book.write(|tx| tx.add_stock_check(&row, &lines))?;
        let found = StockOnDesk {
            check_id,
            plant: key,
            name,
            nursery: entry.nursery.clone(),
            quantity: entry.quantity,
            date,
            who: entry.who.clone(),
            verdict,
        };
        if let (Verdict::Refuse, Some(yard)) = (found.verdict.verdict, &yard) {
            let task = replacement_task(&found, &yard.name, self.today);
            self.plan_tasks(yard.id, &[task])?;
        }
        Ok(found)
    }

    fn plan_for(&self, yard_id: Option<i64>, bed: Option<&str>) -> Result<Option<i64>, DeskError> {
        let Some(bed) = bed else { return Ok(None) };
        let Some(yard_id) = yard_id else {
            return Err(DeskError::missing(format!("bed `{bed}` is named without its yard"), "name the yard too"));
        };
        let plans: Vec<PlanRow> = self.book.bed_plans_of(yard_id)?;
        let found = plans.iter().find(|plan| plan.bed.eq_ignore_ascii_case(bed.trim())).map(|plan| plan.id);
        found
            .map(Some)
            .ok_or_else(|| DeskError::missing(format!("no plan is kept for bed `{bed}`"), "plan the bed first, or leave the bed out"))
    }

    /// The checks for a plant as a sheet to fill in at the gate.
    ///
    /// # Errors
    /// A plant that lore has not.
    pub fn gate_sheet(&self, plant: &str) -> Result<Sheet, DeskError> {
        let card = self.gate_card(plant)?;
        let mut sheet = self.sheet("stock-check", format!("At the nursery gate: {}", card.name)).subtitle(card.botanical.clone());
        let checks = card.checks.iter().map(|check| Check {
            what: format!("{}: {}", check_word(check.key), check.look),
            state: CheckState::NotChecked,
            why: format!("pass: {}; doubt: {}; refuse: {} [{}]", check.pass, check.doubt, check.refuse, check.source),
        });
        sheet.push(Block::Checks { checks: checks.collect() });
        if !card.cautions.is_empty() {
            sheet.push(Block::Cautions { cautions: card.cautions });
        }
        sheet.push(Block::Fill { labels: ["Nursery", "How many", "Who looked", "Day"].map(str::to_owned).to_vec() });
        sheet.foot.push("A check not done is not checked; the lot passes only when every needed check was done.".to_owned());
        Ok(sheet)
    }

    /// A lot judged, as a sheet.
    ///
    /// # Errors
    /// None today; kept for sheets that read the book.
    pub fn stock_sheet(&self, found: &StockOnDesk) -> Result<Sheet, DeskError> {
        let mut sheet = self.sheet("stock-verdict", format!("Stock check: {}", found.name));
        let number = found.quantity.map_or_else(|| "number not counted".to_owned(), |n| format!("{n} plants"));
        sheet.subtitle = Some(format!("{number}, {}, {}", found.nursery.as_deref().unwrap_or("nursery not named"), found.date));
        let (text, tone) = verdict_words(found.verdict.verdict);
        let why = found.verdict.why.trim_start_matches("send it back: ").trim_start_matches("in doubt: ");
        sheet.push(Block::Verdict { text: text.to_owned(), why: why.to_owned(), tone });
        let checks = found.verdict.checks.iter().map(|judged| Check {
            what: check_word(judged.key),
            state: check_state(judged.verdict),
            why: format!("{} [{}]", judged.why, judged.source),
        });
        sheet.push(Block::Checks { checks: checks.collect() });
        Ok(sheet)
    }
}

fn verdict_words(verdict: Verdict) -> (&'static str, Tone) {
    match verdict {
        Verdict::Pass => ("Take it", Tone::Calm),
        Verdict::NotChecked => ("Not checked yet", Tone::Watch),
        Verdict::Doubt => ("In doubt: ask, or take few", Tone::Watch),
        Verdict::Refuse => ("Send it back", Tone::Act),
    }
}

fn check_state(verdict: Verdict) -> CheckState {
    match verdict {
        Verdict::Pass => CheckState::Pass,
        Verdict::NotChecked => CheckState::NotChecked,
        Verdict::Doubt => CheckState::Doubt,
        Verdict::Refuse => CheckState::Refuse,
    }
}

fn row_verdict(verdict: Verdict) -> Option<RowVerdict> {
    match verdict {
        Verdict::Pass => Some(RowVerdict::Pass),
        Verdict::Doubt => Some(RowVerdict::Doubt),
        Verdict::Refuse => Some(RowVerdict::Refuse),
        Verdict::NotChecked => None,
    }
}

/// A check's key as it is typed: `roots-at-edge`.
pub fn check_word(key: CheckKey) -> String {
    crate::yards::slug(&format!("{key:?}"))
}

fn read_answers(typed: &[(String, String)], asked: &[StockCheck]) -> Result<BTreeMap<CheckKey, Answer>, DeskError> {
    let names = || asked.iter().map(|check| check_word(check.key)).collect::<Vec<_>>().join(", ");
    let mut answers = BTreeMap::new();
    for (check, answer) in typed {
        let wanted = crate::yards::slug(check);
        let found = asked
            .iter()
            .find(|one| check_word(one.key) == wanted)
            .ok_or_else(|| refused("check", check, "is not one for this plant", &format!("the checks are {}", names())))?;
        if answers.insert(found.key, read_answer(found.key, answer)?).is_some() {
            return Err(refused("check", check, "is answered twice", "answer it once"));
        }
    }
    Ok(answers)
}

fn read_answer(key: CheckKey, text: &str) -> Result<Answer, DeskError> {
    let plain = text.trim().to_lowercase().replace(['-', '_'], " ");
    let what = check_word(key);
    match (plain.as_str(), key) {
        ("pass" | "passed", _) => Ok(Answer::Pass),
        ("doubt" | "in doubt", _) => Ok(Answer::Doubt),
        ("refuse" | "refused", _) => Ok(Answer::Refuse),
        ("not checked" | "", _) => Ok(Answer::NotChecked),
        (_, CheckKey::Shoots) => {
            let number = plain.split_whitespace().next().and_then(|word| word.parse().ok());
            let shoots = number.ok_or_else(|| refused(&what, text, "is no count", "write `5 shoots` or `2 shoots in flower`"))?;
            Ok(Answer::Shoots { shoots, in_flower: plain.contains("flower") && !plain.contains("not in flower") })
        }
        (_, CheckKey::Sturdiness) => {
            let [height, stem] = text.split([',', '/']).map(str::trim).collect::<Vec<_>>()[..] else {
                return Err(refused(&what, text, "is not a height and a stem", "write `35 cm, 5 mm`"));
            };
            let metres = |part: &str| {
                Quantity::parse_as(part, Kind::Length).map(|q| q.si()).map_err(|source| DeskError::Quantity { what: what.clone(), source })
            };
            Ok(Answer::Measured { height_cm: metres(height)? * 100.0, collar_mm: metres(stem)? * 1000.0 })
        }
        _ => Err(refused(&what, text, "is no answer", "write `pass`, `doubt`, `refuse` or `not checked`")),
    }
}

fn replacement_task(found: &StockOnDesk, yard: &str, today: Date) -> Task {
    let number = found.quantity.map_or_else(|| "the plants".to_owned(), |n| format!("{n} plants"));
    Task {
        key: format!("{}/stock/{}/{}", crate::yards::slug(yard), found.plant, found.check_id),
        yard: yard.to_owned(),
        what: format!("Find another lot of {}: {number} were refused", found.name),
        place: None,
        window: Window::fixed(today, today, today.saturating_add(14.days()), "soon, so that planting does not wait (common practice)"),
        reasons: vec![Reason {
            text: found.verdict.why.clone(),
            figure: None,
            source: format!("stock check {} of {}", found.check_id, found.date),
        }],
        takes: Takes::default(),
        forbids: Vec::new(),
        cautions: Vec::new(),
    }
}
