//! Letters: answered with what the book knows of the yard (its weather, its map, its blades, what was confirmed nearby), and kept.

use crate::yards::YardOnDesk;
use crate::{Desk, DeskError};
use groundlore_book::letters::{Diagnosis, Letter as LetterRow};
use groundlore_figure::cause_bars;
use groundlore_lore::Lore;
use groundlore_lore::trouble::{ActionClass, Condition};
use groundlore_plant_health::diagnosis::Conditions;
use groundlore_plant_health::letter::{self, AdviceClass, Answer, Context, Letter, Reader, StageWindow};
use groundlore_plant_health::place::{Hemisphere, Place};
use groundlore_sheet::{Block, KeyFigure, Sheet, Tone};
use groundlore_site::yard::{AreaKind, FootTraffic, Ring, Shade};
use groundlore_weather::recent::Recent;
use groundlore_work::task::{Reason, Takes, Task, Window as TaskWindow};
use jiff::ToSpan as _;
use jiff::civil::Date;
use std::collections::BTreeMap;

/// A letter answered.
#[derive(Debug, Clone, serde::Serialize)]
pub struct Answered {
    /// Number of the letter in the book; none where it was answered without one.
    pub letter_id: Option<i64>,
    /// Yard, where it is one of ours.
    pub yard: Option<String>,
    /// Day of the letter.
    pub date: Date,
    /// The text as it came.
    pub text: String,
    /// Conditions that were known, with what they rest on.
    pub known: Vec<String>,
    /// The answer.
    #[serde(flatten)]
    pub answer: Answer,
}

/// Answers a letter without a book.
///
/// # Errors
/// A letter that cannot be read: field, value, remedy.
pub fn answer_alone(lore: &Lore, text: &str, file_name: &str, today: Date) -> Result<Answered, DeskError> {
    let letter = letter::parse(text, file_name).map_err(|e| DeskError::Letter(e.to_string()))?;
    let reader = Reader::new(lore);
    let context = Context { today: Some(today), ..Context::default() };
    let answer = letter::answer(&letter, lore, &reader, &context);
    Ok(Answered {
        letter_id: None,
        yard: letter.yard.clone(),
        date: letter.date.unwrap_or(today),
        text: letter.text,
        known: Vec::new(),
        answer,
    })
}

impl Desk {
    /// Answers a letter with what the book knows, keeps it, and plans what follows from it.
    ///
    /// # Errors
    /// A letter that cannot be read; a yard that the book has not.
    pub fn answer_letter(&mut self, text: &str, file_name: &str) -> Result<Answered, DeskError> {
        let letter = letter::parse(text, file_name).map_err(|e| DeskError::Letter(e.to_string()))?;
        self.answer_read_letter(letter, None)
    }

    /// The same for a letter that is read already; `sender` is who wrote it, where that is known.
    ///
    /// # Errors
    /// A yard that the book has not.
    pub(crate) fn answer_read_letter(&mut self, letter: Letter, sender: Option<String>) -> Result<Answered, DeskError> {
        let yard = letter.yard.as_deref().map(|name| self.yard(name)).transpose()?;
        let (context, known) = self.context_of(yard.as_ref(), &letter)?;
        let reader = self.reader();
        let mut answer = letter::answer(&letter, &self.lore, &reader, &context);
        if let Some(greeting) = self.greeting_of(yard.as_ref())? {
            answer.reply = answer.reply.replacen("Dear owner,", &format!("{greeting},"), 1);
        }
        let date = letter.date.unwrap_or(self.today);
        let letter_id = self.keep_letter(&letter, sender, yard.as_ref(), date, &answer, &known)?;
        if let Some(yard) = &yard {
            let tasks = self.letter_tasks(yard, letter_id, &answer);
            self.plan_tasks(yard.row.id, &tasks)?;
        }
        Ok(Answered { letter_id: Some(letter_id), yard: yard.map(|y| y.row.name), date, text: letter.text, known, answer })
    }

    /// What is known beside a letter, with what it rests on.
    ///
    /// # Errors
    /// A yard that the book has not.
    pub(crate) fn letter_context(&self, letter: &Letter) -> Result<(Context, Vec<String>), DeskError> {
        let yard = letter.yard.as_deref().map(|name| self.yard(name)).transpose()?;
        self.context_of(yard.as_ref(), letter)
    }

    /// Writes down what a letter's trouble turned out to be, so that later letters nearby weigh it.
    ///
    /// # Errors
    /// An unknown letter or trouble.
    pub fn confirm_letter(&mut self, letter_id: i64, trouble: &str, by: &str) -> Result<(), DeskError> {
        let trouble = self.trouble(trouble)?.key.clone();
        let letter: LetterRow = self.book.one(letter_id)?;
        let today = self.today;
        self.book.write(|tx| {
            tx.add(&Diagnosis {
                letter_id: Some(letter.id),
                yard_id: letter.yard_id,
                date: today,
                trouble: trouble.clone(),
                confirmed: true,
                confirmed_by: Some(by.to_owned()),
                ..Diagnosis::default()
            })
        })?;
        Ok(())
    }

    /// How the yard's owner is greeted.
    fn greeting_of(&self, yard: Option<&YardOnDesk>) -> Result<Option<String>, DeskError> {
        let Some(owner) = yard.and_then(|y| y.row.owner_id) else { return Ok(None) };
        let owner: groundlore_book::firm::Owner = self.book.one(owner)?;
        Ok(Some(owner.greeting.unwrap_or_else(|| format!("Dear {}", owner.name))))
    }

    fn context_of(&self, yard: Option<&YardOnDesk>, letter: &Letter) -> Result<(Context, Vec<String>), DeskError> {
        let mut context = Context { today: Some(self.today), confirmed: self.confirmed_cases(None)?, ..Context::default() };
        let mut known = Vec::new();
        let Some(yard) = yard else { return Ok((context, known)) };
        let place = yard.row.latitude.zip(yard.row.longitude).map(|(latitude, longitude)| Place::Coordinates { latitude, longitude });
        context.at = yard.row.latitude.zip(yard.row.longitude);
        context.hemisphere = place.as_ref().and_then(Place::hemisphere).or(Some(Hemisphere::Northern));
        let date = letter.date.unwrap_or(self.today).min(self.today);
        let (conditions, told) = self.conditions_of(yard, date)?;
        known.extend(told);
        context.conditions = conditions;
        context.stage_windows = self.letter_windows(yard)?;
        Ok((context, known))
    }

    /// Conditions of weather, map and records that hold at a yard on a day, with what they rest on.
    ///
    /// # Errors
    /// If the book or the yard's weather cannot be read.
    pub(crate) fn conditions_of(&self, yard: &YardOnDesk, date: Date) -> Result<(Conditions, Vec<String>), DeskError> {
        let mut known = Vec::new();
        let mut conditions = BTreeMap::new();
        if let Some(weather) = self.yard_weather(&yard.row)? {
            weather_conditions(&Recent::before(&weather.series, date)?, &mut conditions, &mut known);
        }
        map_conditions(yard, &mut conditions, &mut known);
        if let Some(overdue) = self.blades_overdue(&yard.row.name) {
            conditions.insert(Condition::DullBlades, overdue);
            known.push(format!("mower blades {} their hours", if overdue { "are past" } else { "are within" }));
        }
        if let Some(pets) = yard.row.pets {
            conditions.insert(Condition::Dog, pets);
        }
        Ok((Conditions(conditions), known))
    }

    fn letter_windows(&self, yard: &YardOnDesk) -> Result<Vec<StageWindow>, DeskError> {
        let mut windows = Vec::new();
        let mut all = self.all_stage_windows(yard)?;
        for trouble in self.lore.troubles.values() {
            let Some(stage) = &trouble.action.stage else { continue };
            for window in all.remove(&trouble.key).into_iter().flatten().filter(|w| &w.stage == stage) {
                if let (Some(first), Some(last)) = (window.p10, window.p90) {
                    let words = format!("most years between {} and {}", first.strftime("%-d %B"), last.strftime("%-d %B"));
                    windows.push(StageWindow { trouble: trouble.key.clone(), stage: window.stage, words });
                }
            }
        }
        Ok(windows)
    }

    fn keep_letter(
        &mut self,
        letter: &Letter,
        sender: Option<String>,
        yard: Option<&YardOnDesk>,
        date: Date,
        answer: &Answer,
        known: &[String],
    ) -> Result<i64, DeskError> {
        let mut json = serde_json::to_value(answer).map_err(DeskError::science)?;
        json["known"] = serde_json::json!(known);
        json["given"] = crate::confirmed::given(letter);
        let row = LetterRow {
            yard_id: yard.map(|y| y.row.id),
            date,
            sender,
            host: letter.host.clone(),
            place: letter.place.as_ref().map(|p| serde_json::to_string(p).unwrap_or_default()),
            text: letter.text.clone(),
            findings: Some(json["understood"].clone()),
            answer: Some(json),
            ..LetterRow::default()
        };
        let causes: Vec<(String, f64)> =
            answer.causes.iter().filter(|c| c.probability >= 0.05).map(|c| (c.key.clone(), c.probability)).collect();
        Ok(self.book.write(|tx| {
            let id = tx.add(&row)?;
            for (trouble, probability) in &causes {
                tx.add(&Diagnosis {
                    letter_id: Some(id),
                    yard_id: row.yard_id,
                    date,
                    trouble: trouble.clone(),
                    probability: Some(probability.clamp(0.0, 1.0)),
                    ..Diagnosis::default()
                })?;
            }
            Ok(id)
        })?)
    }

    fn letter_tasks(&self, yard: &YardOnDesk, letter_id: i64, answer: &Answer) -> Vec<Task> {
        let after = |days: i64| self.today.checked_add(days.days()).unwrap_or(self.today);
        let key = |what: &str| format!("{}/letter-{letter_id}/{what}", crate::yards::slug(&yard.row.name));
        let likely: Vec<Reason> = answer
            .causes
            .iter()
            .take(3)
            .filter(|c| c.probability >= 0.05)
            .map(|c| Reason::new(c.name.clone(), format!("{:.0} %", c.probability * 100.0), "the letter, weighed by lore"))
            .collect();
        if !answer.danger.is_empty() {
            let window = TaskWindow::fixed(self.today, self.today, self.today, "danger: today");
            let reasons = answer
                .danger
                .iter()
                .map(|d| Reason {
                    text: format!("\u{201c}{}\u{201d}: call {}", d.phrase, d.whom_to_call.join(", then ")),
                    figure: None,
                    source: "the letter".to_owned(),
                })
                .collect();
            let cautions = answer.danger.iter().map(|d| format!("{} {}", d.keep_clear, d.do_first)).collect();
            let mut what: Vec<&str> = answer.danger.iter().map(|d| &*d.what).collect();
            what.dedup();
            return vec![Task {
                key: key("danger"),
                yard: yard.row.name.clone(),
                what: format!("Call the owner now: {}", what.join("; ")),
                place: None,
                window,
                reasons,
                takes: Takes::default(),
                forbids: Vec::new(),
                cautions,
            }];
        }
        let mut tasks = vec![Task {
            key: key("reply"),
            yard: yard.row.name.clone(),
            what: "Read the drafted reply, put it right and send it".to_owned(),
            place: None,
            window: TaskWindow::fixed(self.today, self.today, after(3), "an owner should hear within a few days (common practice)"),
            reasons: likely.clone(),
            takes: Takes { minutes: Some((5.0, 10.0)), ..Takes::default() },
            forbids: Vec::new(),
            cautions: Vec::new(),
        }];
        if answer.action.class != AdviceClass::Of(ActionClass::LeaveItAlone) {
            tasks.push(Task {
                key: key("look"),
                yard: yard.row.name.clone(),
                what: format!("Look: {}", answer.next_look.how),
                place: Some(answer.next_look.what.clone()),
                window: TaskWindow::fixed(
                    self.today,
                    after(2),
                    after(10),
                    "signs change within days; the sooner the look, the more it tells (common practice)",
                ),
                reasons: likely,
                takes: Takes { minutes: Some((answer.next_look.minutes, answer.next_look.minutes)), ..Takes::default() },
                forbids: Vec::new(),
                cautions: Vec::new(),
            });
        }
        tasks
    }

    /// The desk's view of an answered letter: understood, causes, action, next look, reply.
    pub fn letter_sheet(&self, answered: &Answered) -> Sheet {
        let title = answered.yard.as_ref().map_or_else(|| "A letter".to_owned(), |yard| format!("A letter about {yard}"));
        let mut sheet = self.sheet("letter", title);
        letter_blocks(answered, &mut sheet);
        sheet
    }

    /// The reply as a letter to the owner.
    ///
    /// # Errors
    /// If the book cannot be read.
    pub fn owner_letter_sheet(&self, answered: &Answered) -> Result<Sheet, DeskError> {
        let mut sheet = self.sheet("letter-to-owner", "About your letter");
        if let Some(yard) = &answered.yard {
            let row = self.book.yard_named(yard)?;
            let owner = row.owner_id.map(|id| self.book.one::<groundlore_book::firm::Owner>(id)).transpose()?;
            sheet.addressed_to.extend(owner.map(|o| o.name));
            sheet.addressed_to.extend(row.address.iter().flat_map(|a| a.split(", ").map(str::to_owned)));
            sheet.title = format!("About your letter of {}", answered.date.strftime("%-d %B %Y"));
        }
        for part in answered.answer.reply.split("\n\n").filter(|p| !p.trim().is_empty()) {
            sheet.push(Block::paragraph(part.trim()));
        }
        Ok(sheet)
    }
}

/// The blocks of an answered letter.
pub fn letter_blocks(answered: &Answered, sheet: &mut Sheet) {
    let answer = &answered.answer;
    let tone = match answer.action.class {
        AdviceClass::GetHelpNow => Tone::Danger,
        AdviceClass::Of(ActionClass::ActNow | ActionClass::ActAtAStage) => Tone::Act,
        AdviceClass::Of(ActionClass::Watch) => Tone::Watch,
        AdviceClass::Of(ActionClass::LeaveItAlone) => Tone::Calm,
    };
    let stage = answer.action.stage.as_ref().map(|s| format!(" ({s})")).unwrap_or_default();
    sheet.push(Block::Verdict { text: format!("{}{stage}", answer.action.class.words()), why: answer.action.why.clone(), tone });
    for danger in &answer.danger {
        sheet.push(Block::Cautions {
            cautions: vec![format!(
                "{}. Call {}. {} {}",
                danger.what,
                danger.whom_to_call.join(", then "),
                danger.keep_clear,
                danger.do_first
            )],
        });
    }
    for danger in &answer.perhaps_danger {
        sheet.push(Block::Cautions {
            cautions: vec![format!(
                "\u{201c}{}\u{201d} may be dangerous ({}); the letter does not tell enough. Until somebody has looked: {}",
                danger.phrase, danger.what, danger.keep_clear
            )],
        });
    }
    if !answer.causes.is_empty() {
        if answer.cannot_tell {
            sheet.push(Block::paragraph("The letter does not tell enough to name a cause. These are the odds so far."));
        }
        let top: Vec<(String, f64, bool)> = answer.causes.iter().take(6).map(|c| (c.name.clone(), c.probability, c.harmless)).collect();
        let alt = top.iter().map(|(n, p, _)| format!("{n} {}", percent(*p))).collect::<Vec<_>>().join(", ");
        sheet.push(Block::figure(|width| cause_bars::draw(&top, width), 620.0, alt, "Likely causes; hollow bars are harmless"));
        sheet.push(Block::KeyFigures {
            figures: vec![
                KeyFigure { value: percent(top[0].1), label: top[0].0.clone(), note: "likeliest".to_owned() },
                KeyFigure {
                    value: percent(answer.harmless),
                    label: "harmless".to_owned(),
                    note: "all harmless causes together".to_owned(),
                },
            ],
        });
    }
    for pair in &answer.together {
        sheet.push(Block::paragraph(format!(
            "Two may be at work at once ({}): {} ({}), and {} ({}).",
            percent(pair.probability),
            pair.names[0],
            pair.signs[0].join("; "),
            pair.names[1],
            pair.signs[1].join("; ")
        )));
    }
    if !answer.also_told.is_empty() {
        sheet.push(Block::heading("Also told in this letter"));
        for other in &answer.also_told {
            let odds = percent(other.probability);
            sheet.push(Block::paragraph(format!(
                "\u{201c}{}\u{201d}: {} ({odds}); {}. {}",
                other.words,
                other.name,
                other.class.words(),
                other.why
            )));
        }
    }
    for duty in &answer.duties {
        sheet.push(Block::heading(format!("Report: {} ({})", duty.name, duty.eppo)));
        sheet.push(Block::paragraph(duty.words()));
        sheet.push(Block::list(duty.steps.iter().map(ToString::to_string).collect()));
    }
    controls(answer, sheet);
    sheet.push(Block::heading("Next look"));
    sheet.push(Block::Facts {
        facts: vec![
            ("what".to_owned(), answer.next_look.what.clone()),
            ("how".to_owned(), answer.next_look.how.clone()),
            ("takes".to_owned(), takes_words(&answer.next_look)),
            ("would settle".to_owned(), answer.next_look.would_settle.clone()),
        ],
    });
    sheet.push(Block::heading("What was understood"));
    let rows = answer.understood.iter().map(|u| {
        let said =
            u.number.as_ref().map_or_else(|| presence_words(u.present).to_owned(), |q| format!("{}, {q}", presence_words(u.present)));
        vec![format!("“{}”", u.phrase), u.name.clone(), said]
    });
    sheet.push(Block::table("If a line is wrong, put it right and ask again.", &["words", "read as", "said to be"], rows.collect()));
    if !answer.not_understood.is_empty() {
        sheet.push(Block::heading("Not understood"));
        sheet.push(Block::list(answer.not_understood.clone()));
    }
    if !answer.remarks.is_empty() {
        sheet.push(Block::heading("Passed over"));
        sheet.push(Block::list(answer.remarks.clone()));
    }
    if !answered.known.is_empty() {
        sheet.push(Block::heading("Known beside the letter"));
        sheet.push(Block::list(answered.known.clone()));
    }
    sheet.push(Block::heading("Reply to the owner, to be read before it is sent"));
    for part in answer.reply.split("\n\n").filter(|p| !p.trim().is_empty()) {
        sheet.push(Block::paragraph(part.trim()));
    }
}

/// What may be done about the cause aimed at, culture first, and what was withheld since it would harm.
fn controls(answer: &Answer, sheet: &mut Sheet) {
    if !answer.action.controls.is_empty() {
        sheet.push(Block::heading("What may be done, culture first"));
        let line = |c: &letter::advice::Advised| match c.needs_label {
            true => format!("{}: a label rules it; its card is entered and checked before anything is planned", c.name),
            false => c.name.clone(),
        };
        sheet.push(Block::List { ordered: true, items: answer.action.controls.iter().map(line).collect() });
    }
    if !answer.action.withheld.is_empty() {
        let rows = answer.action.withheld.iter().map(|w| vec![w.name.clone(), w.why.to_string(), w.source.to_string()]);
        sheet.push(Block::table(
            "Withheld here and now: it would harm, or the cause is not sure enough",
            &["control", "why", "source"],
            rows.collect(),
        ));
    }
}

/// `20 min; $20 to $60; the answer takes 5 to 14 days`.
fn takes_words(look: &groundlore_plant_health::next_look::NextLook) -> String {
    let cost = look.cost_usd.map_or_else(String::new, |(low, high)| format!("; ${low:.0} to ${high:.0}"));
    let wait = look.wait_days.map_or_else(String::new, |(low, high)| format!("; the answer takes {low:.0} to {high:.0} days"));
    format!("{:.0} min{cost}{wait}", look.minutes)
}

/// A probability in percent; what is under one is said so.
fn percent(p: f64) -> String {
    if p > 0.0 && p < 0.01 { "under 1%".to_owned() } else { format!("{:.0}%", p * 100.0) }
}

fn presence_words(presence: groundlore_plant_health::letter::Presence) -> &'static str {
    use groundlore_plant_health::letter::Presence;
    match presence {
        Presence::Yes => "there",
        Presence::No => "not there",
        Presence::Doubtful => "perhaps there",
        Presence::Unknown => "not known",
    }
}

fn weather_conditions(recent: &Recent, conditions: &mut BTreeMap<Condition, bool>, known: &mut Vec<String>) {
    if let Some(mm) = recent.rain_14_days_mm.value {
        conditions.insert(Condition::DrySpell, mm < 10.0);
        conditions.insert(Condition::WetSpell, mm > 50.0);
        let normal = recent.rain_14_days_mm.normal.map(|n| format!(", normal {:.2} in", n / 25.4)).unwrap_or_default();
        known.push(format!("rain of the last 14 days {:.2} in{normal}", mm / 25.4));
    }
    if let Some(c) = recent.mean_max_7_days_c.value {
        conditions.insert(Condition::Heat, c > 29.0);
        known.push(format!("mean maximum of the last 7 days {:.0} °F", c * 1.8 + 32.0));
    }
    if let Some(c) = recent.mean_min_5_days_c.value {
        conditions.insert(Condition::WarmNights, c > 20.0);
        known.push(format!("mean minimum of the last 5 nights {:.0} °F", c * 1.8 + 32.0));
    }
    if let (Some(max), Some(min)) = (recent.mean_max_7_days_c.value, recent.mean_min_5_days_c.value) {
        let mean = f64::midpoint(max, min);
        conditions.insert(Condition::CoolMild, (7.0..=20.0).contains(&mean));
    }
}

fn map_conditions(yard: &YardOnDesk, conditions: &mut BTreeMap<Condition, bool>, known: &mut Vec<String>) {
    let Some(map) = &yard.map else { return };
    let lawns: Vec<_> = map.areas_of(AreaKind::Lawn).collect();
    let all = |of: &dyn Fn(&groundlore_site::yard::Area) -> Option<bool>| -> Option<bool> {
        let said: Vec<bool> = lawns.iter().filter_map(|a| of(a)).collect();
        (said.len() == lawns.len() && !said.is_empty()).then(|| said.iter().all(|s| *s)).filter(|every| *every || said.iter().all(|s| !*s))
    };
    if let Some(watered) = all(&|a| a.irrigated) {
        conditions.insert(Condition::Irrigated, watered);
        conditions.insert(Condition::Unwatered, !watered);
        known.push(format!("the lawn is {}irrigated", if watered { "" } else { "not " }));
    }
    if let Some(shaded) = all(&|a| a.shade.map(|s| s != Shade::FullSun)) {
        conditions.insert(Condition::Shade, shaded);
    }
    if let Some(walked) = all(&|a| a.foot_traffic.map(|t| matches!(t, FootTraffic::Moderate | FootTraffic::Heavy))) {
        conditions.insert(Condition::FootTraffic, walked);
    }
    let rings: Vec<Ring> = map.trees.iter().filter_map(|t| t.ring).collect();
    if !rings.is_empty() {
        conditions.insert(Condition::RingedTrunk, rings.iter().any(|r| *r != Ring::None));
    }
}
