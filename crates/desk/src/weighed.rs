//! Counts weighed by what they are: numbers per area lead to a verdict; cover of a weed and catches of traps lead to an estimate, which
//! says no more than it can.

use crate::scouting::{YardVerdict, refused};
use crate::strata::strata_of;
use crate::verdict_costs::Estimated;
use crate::{Desk, DeskError};
use groundlore_book::counts::Count;
use groundlore_lore::trouble::{Method, Trouble};
use groundlore_plant_health::cover::{Cover, CoverCounts, CoverEstimate, Quadrat, cover, quadrats_for_error};
use groundlore_plant_health::traps::{CatchRate, TrapCatch, catch_rate};
use groundlore_sheet::{Block, KeyFigure, Sheet, Tone};
use jiff::civil::Date;
use std::collections::BTreeMap;

/// Standard error of cover that further quadrats are reckoned for: five points in a hundred (a rule of this house).
const COVER_ERROR: f64 = 0.05;
/// Odds from which cover is said to be over what the owner bears.
const SURE: f64 = 0.9;

/// What counts come to.
#[derive(Debug, Clone, serde::Serialize)]
#[serde(tag = "weighed", rename_all = "kebab-case")]
pub enum Weighed {
    /// A number per area, with its verdict.
    Verdict(Box<YardVerdict>),
    /// A share: cover of a weed, or how many of those looked at hold any.
    Cover(Box<YardCover>),
    /// Catches of traps.
    Catch(Box<YardCatch>),
}

/// Cover of a weed at a yard.
#[derive(Debug, Clone, serde::Serialize)]
pub struct YardCover {
    /// Yard.
    pub yard: String,
    /// Key of the trouble.
    pub trouble: String,
    /// Name of the trouble.
    pub name: String,
    /// Day of the counts.
    pub counted_on: Date,
    /// True for cover of ground; false for a share of leaves, shoots or plants that hold any.
    pub of_ground: bool,
    /// The estimate.
    pub cover: Cover,
    /// Points looked at in a quadrat.
    pub of: u32,
    /// Share that the owner bears, where it was said.
    pub bearable: Option<f64>,
    /// Chance that cover is over it, in the stratum where that is likeliest, with its name.
    pub p_over: Option<(String, f64)>,
    /// What lore says of thresholds, in words with sources.
    pub thresholds: Vec<(String, String)>,
}

/// Catches of traps at a yard.
#[derive(Debug, Clone, serde::Serialize)]
pub struct YardCatch {
    /// Yard.
    pub yard: String,
    /// Key of the trouble.
    pub trouble: String,
    /// Name of the trouble.
    pub name: String,
    /// Day of the newest catch.
    pub counted_on: Date,
    /// Rate by stratum.
    pub strata: Vec<(String, CatchRate)>,
    /// Rate of the catch before this one at this yard, all strata together, with its day.
    pub before: Option<(Date, CatchRate)>,
    /// Rate of all strata together.
    pub all: CatchRate,
    /// What lore says of thresholds, in words with sources.
    pub thresholds: Vec<(String, String)>,
}

/// What lore says of thresholds that are not numbers per area.
fn in_words(trouble: &Trouble) -> Vec<(String, String)> {
    trouble.thresholds_in_words.iter().chain(&trouble.no_good_threshold).map(|t| (t.text.clone(), t.source.to_string())).collect()
}

impl Desk {
    /// Weighs the newest counts by what they are.
    ///
    /// # Errors
    /// No counts, counts too old, and for numbers per area as [`Desk::verdict`].
    pub fn weigh(&mut self, yard: &str, trouble: &str) -> Result<Weighed, DeskError> {
        let on_desk = self.yard(yard)?;
        let entry = self.trouble(trouble)?.clone();
        let session = self.newest_session(&on_desk, &entry)?;
        let rows = self.book.counts_in(session.id)?;
        if rows.iter().any(|r| r.out_of.is_some()) {
            let map = on_desk.map.as_ref().ok_or_else(|| DeskError::missing(format!("{yard} has no map"), "import one first"))?;
            let bearable = session.plan.as_ref().and_then(|p| p["bearable"].as_f64());
            let parts = strata_of(map, &entry, &on_desk.row.name)?;
            return Ok(Weighed::Cover(Box::new(cover_of(&on_desk.row.name, &entry, session.date, &rows, parts, bearable)?)));
        }
        if entry.count.as_ref().is_some_and(|m| m.method == Method::Trap) || rows.iter().any(|r| r.nights.is_some()) {
            let before = self
                .book
                .count_sessions_of(on_desk.row.id)?
                .into_iter()
                .find(|s| s.trouble == entry.key && s.date < session.date)
                .map(|s| Ok::<_, DeskError>((s.date, self.book.counts_in(s.id)?)))
                .transpose()?;
            return Ok(Weighed::Catch(Box::new(catch_of(&on_desk.row.name, &entry, session.date, &rows, before)?)));
        }
        Ok(Weighed::Verdict(Box::new(self.verdict(yard, trouble)?)))
    }

    /// The sheet of what counts come to.
    ///
    /// # Errors
    /// If the plan cannot be made again.
    pub fn weighed_sheet(&self, found: &Weighed) -> Result<Sheet, DeskError> {
        match found {
            Weighed::Verdict(found) => self.verdict_sheet(found),
            Weighed::Cover(found) => self.cover_sheet(found),
            Weighed::Catch(found) => Ok(self.catch_sheet(found)),
        }
    }

    fn cover_sheet(&self, found: &YardCover) -> Result<Sheet, DeskError> {
        let mut sheet =
            self.sheet("cover", format!("{} at {}", found.name, found.yard)).subtitle(format!("Looked at on {}", found.counted_on));
        let whole = found.cover.looked_at.as_ref().map_or_else(|| "unknown".to_owned(), told);
        let what = if found.of_ground { "of the ground looked at is covered" } else { "of those looked at hold any" };
        let (text, tone) = match (&found.bearable, &found.p_over) {
            (Some(bearable), Some((stratum, p))) if *p >= SURE => {
                (format!("Over the {} that is borne, in the {stratum}", share(*bearable)), Tone::Watch)
            }
            (Some(bearable), Some((_, p))) if *p <= 1.0 - SURE => (format!("Under the {} that is borne", share(*bearable)), Tone::Calm),
            (Some(bearable), Some(_)) => (format!("Not clear yet whether it is over the {} that is borne", share(*bearable)), Tone::Watch),
            _ => (format!("{whole} {what}"), Tone::Calm),
        };
        let why = match &found.p_over {
            Some((stratum, p)) => format!("The odds that it is over that in the {stratum} are {}.", crate::scouting_sheets::in_100(*p)),
            None => "Nobody said how much is borne, so this is an estimate and no verdict.".to_owned(),
        };
        sheet.push(Block::Verdict { text, why, tone });
        sheet.push(Block::KeyFigures {
            figures: vec![KeyFigure { value: whole, label: what.to_owned(), note: "weighted by area, 90 % interval".to_owned() }],
        });
        let rows = found.cover.strata.iter().map(|s| {
            vec![
                s.name.clone(),
                s.quadrats.to_string(),
                if s.quadrats == 0 { "–".to_owned() } else { format!("{} of {}", s.with_any, s.quadrats) },
                s.estimate.as_ref().map_or_else(|| "nobody looked".to_owned(), told),
                further(s.estimate.as_ref(), s.quadrats, found),
            ]
        });
        sheet.push(Block::table(
            "By stratum: the share with its 90 % interval, and how many more to know it within five in a hundred (one standard error)",
            &["stratum", "looked at#", "hold any", "share", "more#"],
            rows.collect(),
        ));
        let hundred = |e: &CoverEstimate| (100.0 * e.low, 100.0 * e.median, 100.0 * e.high);
        let estimates: Vec<Estimated> = found.cover.strata.iter().map(|s| (s.name.clone(), s.estimate.as_ref().map(hundred))).collect();
        let bounds = [5.0, 15.0, 30.0, 60.0];
        let caption = "Share by stratum, %, with its 90 % interval".to_owned();
        sheet.blocks.extend(self.map_of_estimates(&found.yard, &found.trouble, &estimates, &bounds, "%", caption)?);
        sheet.blocks.extend(threshold_blocks(&found.thresholds));
        sheet.push(Block::Working {
            title: "Taken for granted".to_owned(),
            lines: vec![
                "Quadrats are laid where the plan puts them, not where it looks bad, and are independent of each other.".to_owned(),
                format!(
                    "Points of one quadrat are alike: likeness {:.2} out of 0 to 1, learned from these quadrats; so more quadrats tell more than more points.",
                    found.cover.likeness
                ),
                "A share judged by eye weighs as twenty points, not a hundred (common practice).".to_owned(),
                "What is not up yet, and seed in the soil, is not seen.".to_owned(),
            ],
        });
        Ok(sheet)
    }

    fn catch_sheet(&self, found: &YardCatch) -> Sheet {
        let mut sheet =
            self.sheet("catch", format!("{} at {}", found.name, found.yard)).subtitle(format!("Traps emptied on {}", found.counted_on));
        let trend = found.before.as_ref().map(|(day, before)| {
            if found.all.low > before.high {
                format!("More than on {day}.")
            } else if found.all.high < before.low {
                format!("Fewer than on {day}.")
            } else {
                format!("No clear change since {day}.")
            }
        });
        sheet.push(Block::Verdict {
            text: format!("{:.1} a trap and night ({:.1}–{:.1})", found.all.median, found.all.low, found.all.high),
            why: format!(
                "{} A trap draws from ground of unknown size: its catch is not a number per area and is not held against one.",
                trend.unwrap_or_else(|| "No earlier catch to hold it against.".to_owned())
            ),
            tone: Tone::Watch,
        });
        let rows = found.strata.iter().map(|(name, rate)| {
            vec![
                name.clone(),
                rate.found.to_string(),
                format!("{:.0}", rate.trap_nights),
                format!("{:.1} ({:.1}–{:.1})", rate.median, rate.low, rate.high),
            ]
        });
        sheet.push(Block::table(
            "Catch by stratum, per trap and night with its 90 % interval",
            &["stratum", "caught#", "traps × nights#", "a trap and night#"],
            rows.collect(),
        ));
        sheet.blocks.extend(threshold_blocks(&found.thresholds));
        sheet.push(Block::Working {
            title: "Taken for granted".to_owned(),
            lines: vec![
                "Traps stand far enough apart not to draw from each other.".to_owned(),
                "Nights are alike in weather: warm damp nights catch more than cold or dry ones of the same number.".to_owned(),
                "Catches clump between traps; how strongly is not known and is averaged over k 0.3 to 3 (memory), or lore's range."
                    .to_owned(),
            ],
        });
        sheet
    }
}

fn threshold_blocks(thresholds: &[(String, String)]) -> Vec<Block> {
    let mut blocks = vec![Block::heading("What is known of thresholds")];
    if thresholds.is_empty() {
        blocks.push(Block::paragraph("No threshold is known for this way of counting. Watch the plants, not the number."));
    } else {
        blocks.push(Block::table("", &["threshold", "source"], thresholds.iter().map(|(t, s)| vec![t.clone(), s.clone()]).collect()));
    }
    blocks
}

fn share(share: f64) -> String {
    format!("{:.0} %", 100.0 * share)
}

fn told(e: &CoverEstimate) -> String {
    format!("{} ({:.0}–{:.0} %)", share(e.median), 100.0 * e.low, 100.0 * e.high)
}

/// Quadrats still wanted in a stratum.
fn further(estimate: Option<&CoverEstimate>, taken: usize, found: &YardCover) -> String {
    let Some(estimate) = estimate else { return "–".to_owned() };
    let wanted = quadrats_for_error(estimate.mean.clamp(0.01, 0.99), found.of, found.cover.likeness, COVER_ERROR);
    wanted.map_or_else(String::new, |n| format!("{:.0}", (n.ceil() - taken as f64).max(0.0)))
}

fn cover_of(
    yard: &str,
    trouble: &Trouble,
    counted_on: Date,
    rows: &[Count],
    parts: Vec<(String, f64)>,
    bearable: Option<f64>,
) -> Result<YardCover, DeskError> {
    if let Some(plain) = rows.iter().find(|r| r.out_of.is_none()) {
        return Err(refused(
            "counts",
            plain.count,
            "has no number that it is a part of, while others of that day have",
            "enter shares and plain counts on sheets of their own",
        ));
    }
    let of_ground = trouble.count.as_ref().is_some_and(|m| m.method == Method::Quadrat);
    let quadrat = |row: &Count| {
        let of = row.out_of.unwrap_or(100);
        if of_ground && of == 100 { Quadrat::by_eye(row.count) } else { Quadrat::of_points(row.count, of) }
    };
    let strata: Vec<CoverCounts> = parts
        .into_iter()
        .map(|(name, area_m2)| {
            let quadrats = rows.iter().filter(|r| r.stratum.as_deref() == Some(name.as_str())).map(quadrat).collect();
            CoverCounts { name, area_m2, quadrats }
        })
        .collect();
    let found = cover(&strata, 0.9).map_err(DeskError::science)?;
    let p_over = bearable.and_then(|bearable| {
        let each = found.strata.iter().filter_map(|s| Some((s.name.clone(), s.p_over(bearable)?)));
        each.max_by(|a, b| a.1.total_cmp(&b.1))
    });
    let judged = |of: u32| if of_ground && of == 100 { 20 } else { of };
    Ok(YardCover {
        yard: yard.to_owned(),
        trouble: trouble.key.clone(),
        name: trouble.name.clone(),
        counted_on,
        of_ground,
        of: rows.first().and_then(|r| r.out_of).map_or(20, judged),
        cover: found,
        bearable,
        p_over,
        thresholds: in_words(trouble),
    })
}

fn catch_of(
    yard: &str,
    trouble: &Trouble,
    counted_on: Date,
    rows: &[Count],
    before: Option<(Date, Vec<Count>)>,
) -> Result<YardCatch, DeskError> {
    let k = trouble.count.as_ref().and_then(|m| m.dispersion_k.as_ref()).map(|k| (k.low, k.high));
    let each = |row: &Count| TrapCatch { found: u64::from(row.count), traps: 1, nights: row.nights.unwrap_or(1.0) };
    let rate = |rows: &[&Count]| {
        let catches: Vec<TrapCatch> = rows.iter().map(|r| each(r)).collect();
        catch_rate(&catches, k, 0.9).map_err(DeskError::science)
    };
    let mut by_stratum: BTreeMap<String, Vec<&Count>> = BTreeMap::new();
    for row in rows {
        by_stratum.entry(row.stratum.clone().unwrap_or_else(|| "anywhere".to_owned())).or_default().push(row);
    }
    let strata = by_stratum.into_iter().map(|(name, rows)| Ok((name, rate(&rows)?))).collect::<Result<Vec<_>, DeskError>>()?;
    let before = before.map(|(day, rows)| Ok::<_, DeskError>((day, rate(&rows.iter().collect::<Vec<_>>())?))).transpose()?;
    Ok(YardCatch {
        yard: yard.to_owned(),
        trouble: trouble.key.clone(),
        name: trouble.name.clone(),
        counted_on,
        strata,
        before,
        all: rate(&rows.iter().collect::<Vec<_>>())?,
        thresholds: in_words(trouble),
    })
}
