//! The firm's own confirmed cases: they sharpen the priors, and can be answered again at any time to show whether the tool has become better.

use crate::{Desk, DeskError};
use groundlore_book::confirmed_runs::ConfirmedRun;
use groundlore_book::letters::Letter as LetterRow;
use groundlore_book::sha256;
use groundlore_figure::reliability_chart::{self, ReliabilityBand};
use groundlore_plant_health::confirmed::{Against, Band, CaseScore, Estimate, Summary, against, reliability, score, summary};
use groundlore_plant_health::diagnosis::ConfirmedCases;
use groundlore_plant_health::letter::understand::{Origin, Understood};
use groundlore_plant_health::letter::{self, GivenValue, Letter, Presence};
use groundlore_sheet::{Block, KeyFigure, Sheet, Tone};
use jiff::Timestamp;
use serde_json::{Value as Json, json};

/// Years after which a confirmed case weighs half (memory: pests and owners change slowly).
const HALF_LIFE_YEARS: f64 = 5.0;

/// Confirmed letters answered again.
#[derive(Debug, Clone, serde::Serialize)]
pub struct Retried {
    /// When.
    pub run_at: Timestamp,
    /// Version of the tool.
    pub tool: String,
    /// Digest of the lore's troubles and findings.
    pub lore: String,
    /// Shares and scores.
    pub summary: Summary,
    /// Each case.
    pub scores: Vec<CaseScore>,
    /// Probabilities given to the likeliest cause against how often it was right.
    pub reliability: Vec<Band>,
    /// Against the run before, with its moment; none for a first run.
    pub before: Option<(Timestamp, Against)>,
}

impl Desk {
    /// Confirmed cases by cause, older ones weighing less, without those of one letter.
    ///
    /// # Errors
    /// If the book cannot be read.
    pub fn confirmed_cases(&self, without: Option<i64>) -> Result<ConfirmedCases, DeskError> {
        let mut cases = ConfirmedCases::default();
        for found in self.book.confirmed_letters()?.into_iter().filter(|found| found.letter_id != without || without.is_none()) {
            let years = f64::from((self.today - found.date).get_days().max(0)) / 365.25;
            *cases.0.entry(found.trouble).or_default() += 0.5_f64.powf(years / HALF_LIFE_YEARS);
        }
        Ok(cases)
    }

    /// Answers every confirmed letter again with today's lore, scores it, sets the run against the one before, and keeps it. The letter's
    /// own confirmation is left out of the priors, so that no case answers itself.
    ///
    /// # Errors
    /// A book without a confirmed letter.
    pub fn retry_confirmed(&mut self) -> Result<Retried, DeskError> {
        let reader = self.reader();
        let mut scores = Vec::new();
        for found in self.book.confirmed_letters()? {
            let Some(id) = found.letter_id else { continue };
            let row: LetterRow = self.book.one(id)?;
            let read = self.letter_again(&row)?;
            let (mut context, _) = self.letter_context(&read)?;
            context.confirmed = self.confirmed_cases(Some(id))?;
            let answer = letter::answer(&read, &self.lore, &reader, &context);
            let truth = found.trouble.as_str();
            let right = |key: &str| key == truth || self.lore.troubles.get(key).and_then(|t| t.kind_of.as_deref()) == Some(truth);
            let wanted = self.lore.troubles.get(truth).map(|t| t.action.class.words());
            scores.push(score(id, truth, &answer, right, |class| wanted == Some(class)));
        }
        if scores.is_empty() {
            return Err(DeskError::missing(
                "no letter of this book has a confirmed cause",
                "confirm one with `groundlore letter --confirm NUMBER --cause TROUBLE` once its cause is known",
            ));
        }
        let earlier = self.book.latest_confirmed_run()?;
        let before = earlier.and_then(|run| {
            let then: Vec<CaseScore> = serde_json::from_value(run.scores).ok()?;
            Some((run.run_at, against(&scores, &then)))
        });
        let found = Retried {
            run_at: self.now,
            tool: env!("CARGO_PKG_VERSION").to_owned(),
            lore: sha256::hex(format!("{:?}{:?}", self.lore.troubles, self.lore.findings).as_bytes())[..16].to_owned(),
            summary: summary(&scores),
            reliability: reliability(&scores),
            scores,
            before,
        };
        let run = ConfirmedRun {
            run_at: found.run_at,
            tool: found.tool.clone(),
            lore: found.lore.clone(),
            cases: u32::try_from(found.scores.len()).unwrap_or(u32::MAX),
            summary: serde_json::to_value(found.summary).map_err(DeskError::science)?,
            scores: serde_json::to_value(&found.scores).map_err(DeskError::science)?,
            ..ConfirmedRun::default()
        };
        self.book.write(|tx| tx.add(&run))?;
        Ok(found)
    }

    /// A kept letter as it came, with the findings that were listed beside it and what the user put right.
    fn letter_again(&self, row: &LetterRow) -> Result<Letter, DeskError> {
        let mut whole = listed(row);
        whole["text"] = json!(row.text);
        let mut read =
            letter::parse(&whole.to_string(), "letter.json").map_err(|e| DeskError::Letter(format!("letter {}: {e}", row.id)))?;
        read.date = Some(row.date);
        read.host.clone_from(&row.host);
        read.yard = row.yard_id.map(|id| self.book.one::<groundlore_book::yards::Yard>(id)).transpose()?.map(|yard| yard.name);
        read.place = row.place.as_deref().and_then(|place| serde_json::from_str(place).ok());
        Ok(read)
    }

    /// The newest run that is kept, without running anything; none before the first.
    ///
    /// # Errors
    /// If the book cannot be read.
    pub fn last_confirmed_run(&self) -> Result<Option<Retried>, DeskError> {
        let runs = self.book.confirmed_runs()?;
        let scores_of = |run: &ConfirmedRun| serde_json::from_value::<Vec<CaseScore>>(run.scores.clone()).ok();
        let Some((last, earlier)) = runs.split_last() else { return Ok(None) };
        let Some(scores) = scores_of(last) else { return Ok(None) };
        let before = earlier.last().and_then(|run| Some((run.run_at, against(&scores, &scores_of(run)?))));
        Ok(Some(Retried {
            run_at: last.run_at,
            tool: last.tool.clone(),
            lore: last.lore.clone(),
            summary: summary(&scores),
            reliability: reliability(&scores),
            scores,
            before,
        }))
    }

    /// Every run that is kept, newest first: has the tool become better? None before the second.
    fn runs_block(&self) -> Result<Option<Block>, DeskError> {
        let runs = self.book.confirmed_runs()?;
        if runs.len() < 2 {
            return Ok(None);
        }
        let rows = runs.iter().rev().filter_map(|run| {
            let s: Summary = serde_json::from_value(run.summary.clone()).ok()?;
            let share = |e: &Estimate| format!("{:.0}% ({:.0}–{:.0})", e.value * 100.0, e.low * 100.0, e.high * 100.0);
            Some(vec![
                run.run_at.strftime("%Y-%m-%d %H:%M UTC").to_string(),
                s.cases.to_string(),
                share(&s.top1),
                share(&s.top3),
                share(&s.action),
                format!("{:.2}", s.brier),
                format!("{}, {}", run.tool, run.lore),
            ])
        });
        let columns = ["run", "cases#", "stood first#", "first three#", "action right#", "Brier#", "tool, lore"];
        let caption = "Every run, newest first, with 95 % intervals; runs differ in their cases, so that only the verdict above compares like with like";
        Ok(Some(Block::table(caption, &columns, rows.collect())))
    }

    /// The run for people.
    ///
    /// # Errors
    /// If the book cannot be read.
    pub fn retried_sheet(&self, found: &Retried) -> Result<Sheet, DeskError> {
        let mut sheet = self.sheet("confirmed-cases", "Confirmed cases, answered again");
        let s = &found.summary;
        if let Some((then, against)) = &found.before {
            let words = against.words();
            let tone = if words.starts_with("Worse") { Tone::Watch } else { Tone::Calm };
            sheet.push(Block::Verdict {
                text: words,
                why: format!("The run before was at {then}; exact sign test p {:.3}.", against.p_value),
                tone,
            });
        } else {
            sheet.push(Block::paragraph("This is the first run: later ones are set against it."));
        }
        let share =
            |e: &Estimate| (format!("{:.0}%", e.value * 100.0), format!("95 % interval {:.0} to {:.0} %", e.low * 100.0, e.high * 100.0));
        let figure = |label: &str, e: &Estimate| {
            let (value, note) = share(e);
            KeyFigure { value, label: label.to_owned(), note }
        };
        let brier =
            s.brier_interval.map_or_else(|| "one case gives no interval".to_owned(), |(l, h)| format!("95 % interval {l:.2} to {h:.2}"));
        sheet.push(Block::KeyFigures {
            figures: vec![
                figure("the cause stood first", &s.top1),
                figure("among the first three", &s.top3),
                figure("class of action right", &s.action),
                KeyFigure { value: format!("{:.2}", s.brier), label: "Brier score, 0 at best and 2 at worst".to_owned(), note: brier },
            ],
        });
        let name = |key: &str| self.lore.troubles.get(key).map_or_else(|| key.to_owned(), |t| t.name.clone());
        let rows = found.scores.iter().map(|c| {
            vec![
                c.letter.to_string(),
                name(&c.truth),
                c.rank.map_or_else(|| "not named".to_owned(), |r| r.to_string()),
                format!("{:.0}%", c.probability * 100.0),
                name(&c.named),
                if c.action_right { "right" } else { "not" }.to_owned(),
            ]
        });
        let columns = ["letter#", "confirmed", "its place", "probability#", "likeliest named", "action"];
        sheet.blocks.extend(reliability_figure(&found.reliability));
        sheet.push(Block::table(format!("{} confirmed letters", s.cases), &columns, rows.collect()));
        sheet.blocks.extend(self.runs_block()?);
        sheet.foot.push("Each letter is answered as it came, with its own confirmation left out of the priors. What holds for these cases holds for their mix only.".to_owned());
        sheet.foot.push(format!("Run at {}. Tool {}, lore {}.", found.run_at.strftime("%Y-%m-%d %H:%M UTC"), found.tool, found.lore));
        Ok(sheet)
    }
}

/// The findings that were listed beside a letter and the user's corrections, as a letter in JSON writes them.
pub(crate) fn given(letter: &Letter) -> Json {
    let value = |value: &GivenValue| match value {
        GivenValue::Yes => json!(true),
        GivenValue::No => json!(false),
        GivenValue::Unknown => Json::Null,
        GivenValue::Number(number) => json!(number.to_string()),
        GivenValue::Words(words) => json!(words),
    };
    let findings = letter.findings.iter().map(|f| json!({"finding": f.finding, "value": value(&f.value)}));
    let corrections = letter.corrections.iter().map(|c| json!({"what": c.what, "value": value(&c.value)}));
    json!({"findings": findings.collect::<Vec<_>>(), "corrections": corrections.collect::<Vec<_>>()})
}

/// What was listed beside a kept letter. Letters kept before the list itself was have it from what was understood of it.
fn listed(row: &LetterRow) -> Json {
    if let Some(given) = row.answer.as_ref().map(|a| &a["given"]).filter(|g| g.is_object()) {
        return given.clone();
    }
    let understood: Vec<Understood> = row.findings.clone().and_then(|f| serde_json::from_value(f).ok()).unwrap_or_default();
    let value = |u: &Understood| match (&u.number, u.present) {
        (Some(number), Presence::Yes) => json!(number.to_string()),
        (_, Presence::Yes) => json!(true),
        (_, Presence::No) => json!(false),
        (_, Presence::Doubtful | Presence::Unknown) => Json::Null,
    };
    let of = |origin: Origin, word: &str| -> Vec<Json> {
        understood.iter().filter(|u| u.from == origin).map(|u| json!({word: u.finding, "value": value(u)})).collect()
    };
    json!({"findings": of(Origin::List, "finding"), "corrections": of(Origin::Correction, "what")})
}

fn reliability_figure(bands: &[Band]) -> Option<Block> {
    if bands.is_empty() {
        return None;
    }
    let dots: Vec<ReliabilityBand> = bands
        .iter()
        .map(|b| ReliabilityBand { given: b.given, right: b.right.value, low: b.right.low, high: b.right.high, cases: b.cases })
        .collect();
    let percent = |share: f64| format!("{:.0}%", share * 100.0);
    let told = bands.iter().map(|b| {
        let (low, high) = (percent(b.right.low), percent(b.right.high));
        format!("given {} on average, right {} ({low} to {high}) of {} cases", percent(b.given), percent(b.right.value), b.cases)
    });
    Some(Block::figure(
        |width| reliability_chart::draw("Probabilities against what was confirmed", &dots, width),
        620.0,
        told.collect::<Vec<_>>().join("; "),
        "How honest the probabilities are for this mix of cases: on the dashed line they are; bars are 95 % intervals, figures the cases",
    ))
}
