//! The firm's own confirmed cases: they sharpen the priors, and can be answered again at any time to show whether the tool has become better.

use crate::{Desk, DeskError};
use groundlore_book::confirmed_runs::ConfirmedRun;
use groundlore_book::letters::Letter as LetterRow;
use groundlore_book::sha256;
use groundlore_plant_health::confirmed::{Against, CaseScore, Estimate, Summary, against, score, summary};
use groundlore_plant_health::diagnosis::ConfirmedCases;
use groundlore_plant_health::letter::{self, Letter};
use groundlore_sheet::{Block, KeyFigure, Sheet, Tone};
use jiff::Timestamp;

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

    /// A kept letter as it came.
    fn letter_again(&self, row: &LetterRow) -> Result<Letter, DeskError> {
        let mut read = letter::parse(&row.text, "letter.txt").map_err(|e| DeskError::Letter(format!("letter {}: {e}", row.id)))?;
        read.date = Some(row.date);
        read.host.clone_from(&row.host);
        read.yard = row.yard_id.map(|id| self.book.one::<groundlore_book::yards::Yard>(id)).transpose()?.map(|yard| yard.name);
        read.place = row.place.as_deref().and_then(|place| serde_json::from_str(place).ok());
        Ok(read)
    }

    /// The run for people.
    pub fn retried_sheet(&self, found: &Retried) -> Sheet {
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
        sheet.push(Block::table(format!("{} confirmed letters", s.cases), &columns, rows.collect()));
        sheet.foot.push("Each letter is answered as it came, with its own confirmation left out of the priors. What holds for these cases holds for their mix only.".to_owned());
        sheet.foot.push(format!("Tool {}, lore {}.", found.tool, found.lore));
        sheet
    }
}
