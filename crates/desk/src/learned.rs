//! What the book's follow-ups teach of a control on a trouble: its level over yards and years, a slide with its false alarms, how long it
//! has been in use, and why it did poorly.

use crate::yards::YardOnDesk;
use crate::{Desk, DeskError};
use groundlore_book::applications::ApplicationRecord;
use groundlore_book::beliefs::{Belief as BeliefRow, BeliefShape};
use groundlore_book::follow_ups::FollowUp as FollowUpRow;
use groundlore_book::label_cards::LabelCard as CardRow;
use groundlore_book::treatments::Treatment;
use groundlore_book::yards::Yard;
use groundlore_lore::control::Control;
use groundlore_lore::trouble::Trouble;
use groundlore_plant_health::belief::Belief;
use groundlore_plant_health::drift::alarm::{Watch, Watched, YearLevel, watch};
use groundlore_plant_health::drift::{Trend, trend};
use groundlore_plant_health::efficacy::Shown;
use groundlore_plant_health::efficacy::hierarchy::{Comparison, Hierarchy, Level, Spread, USUAL_SD, fit};
use groundlore_plant_health::efficacy::no_longer_works::{Background, Look, Odds, Signs, Standing, looks, standing, why_poor};
use groundlore_quantity::Quantity;
use jiff::civil::Date;
use std::collections::BTreeMap;

/// Generations of a trouble since a control's first use, as a range.
#[derive(Debug, Clone, PartialEq, serde::Serialize)]
pub struct GenerationsSince {
    /// At the least.
    pub low: f64,
    /// At the most.
    pub high: f64,
    /// Generations a year, at the least and at the most; one a year where nothing is said of them.
    pub a_year: (f64, f64),
    /// Where that is said; none where nobody says, and seasons are counted.
    pub source: Option<String>,
}

impl GenerationsSince {
    /// Middle of the range, for odds.
    pub fn middle(&self) -> f64 {
        (self.low * self.high).sqrt()
    }

    /// In words.
    pub fn words(&self) -> String {
        let span = |low: f64, high: f64, digits: usize| {
            if (high - low).abs() < 0.05 { format!("{low:.digits$}") } else { format!("{low:.digits$} to {high:.digits$}") }
        };
        let (low, high) = self.a_year;
        match &self.source {
            Some(source) => {
                let digits = usize::from(low < 1.0);
                format!("{} generations ({} a year; {source})", span(self.low, self.high, 0), span(low, high, digits))
            }
            None => format!("{} seasons", span(self.low, self.high, 0)),
        }
    }
}

/// What the book teaches of a control on a trouble.
#[derive(Debug, Clone, serde::Serialize)]
pub struct Learned {
    /// Key of the control.
    pub control: String,
    /// Its name.
    pub control_name: String,
    /// Key of the trouble.
    pub trouble: String,
    /// Its name.
    pub trouble_name: String,
    /// Yard that was asked about; none for the whole book.
    pub yard: Option<String>,
    /// Follow-ups with an untreated check: of this pair, and of all that were pooled.
    pub follow_ups: (usize, usize),
    /// Level now, for a usual yard; none with fewer than two follow-ups in the book.
    pub level: Option<Level>,
    /// Share controlled now: middle and 90 % interval.
    pub control_now: Option<(f64, f64, f64)>,
    /// What the yard adds to the log ratio (above 0: all works less there), where it was followed up.
    pub yard_adds: Option<Level>,
    /// The pooled fit.
    pub pooled: Option<Hierarchy>,
    /// Level of each year as it was counted.
    pub years: Vec<YearLevel>,
    /// The years watched for a slide; none with fewer than three.
    pub watched: Option<Watched>,
    /// Trend of the yearly log ratios.
    pub trend: Option<Trend>,
    /// First day that it is known to have been used here.
    pub first_use: Option<Date>,
    /// Generations (or seasons) of the trouble since then.
    pub generations: Option<GenerationsSince>,
    /// What is known of why it did poorly.
    pub signs: Signs,
    /// Causes of a poor result, likeliest first.
    pub odds: Vec<Odds>,
    /// What to look at next.
    pub looks: Vec<Look>,
    /// How it stands.
    pub standing: Standing,
    /// The same, said plainly.
    pub says: String,
    /// Why that is said.
    pub because: String,
    /// Belief by year, lore's evidence with it.
    pub belief: Belief,
    /// How the controls rank now at the yard: name, expected share controlled.
    pub ranking: Vec<(String, Option<f64>)>,
}

impl Desk {
    /// Every follow-up with an untreated check in the book, on the log ratio.
    ///
    /// # Errors
    /// If the book cannot be read.
    pub fn comparisons(&self) -> Result<Vec<Comparison>, DeskError> {
        let follow_ups: BTreeMap<i64, FollowUpRow> = self.book.all::<FollowUpRow>()?.into_iter().map(|f| (f.id, f)).collect();
        let yards: BTreeMap<i64, String> = self.book.all::<Yard>()?.into_iter().map(|y| (y.id, y.name)).collect();
        let rows = self.book.all::<BeliefRow>()?;
        Ok(rows
            .iter()
            .filter(|row| row.shape == BeliefShape::LogitNormal)
            .filter_map(|row| {
                let follow_up = row.follow_up_id.and_then(|id| follow_ups.get(&id));
                let year = i16::try_from(row.year).ok()?;
                let place = row.note.clone().unwrap_or_else(|| "this book".to_owned());
                let yard = follow_up
                    .and_then(|f| yards.get(&f.yard_id).cloned())
                    .unwrap_or_else(|| place.trim_end_matches(&format!(" {year}")).to_owned());
                let shown: Option<Shown> = follow_up.and_then(|f| f.result.clone()).and_then(|v| serde_json::from_value(v).ok());
                if let Some(Shown::Control { estimate, .. }) = &shown {
                    return Some(Comparison::new(&row.control, &row.trouble, year, &yard, estimate));
                }
                // A history that was kept as a logit: d ln(1 − p) = −p d logit.
                let (logit, variance) = (row.logit_mean?, row.logit_variance?);
                let share = 1.0 / (1.0 + (-logit).exp());
                let (ln_ratio, se) = ((1.0 - share).ln(), variance.sqrt() * share);
                Some(Comparison { control: row.control.clone(), target: row.trouble.clone(), year, yard, ln_ratio, se: se.max(0.01) })
            })
            .collect())
    }

    /// What was learned of a control on a trouble, over the book or for a yard. `told` is what somebody knows of a poor result; what the
    /// records tell is filled in.
    ///
    /// # Errors
    /// Unknown names; follow-ups that cannot be.
    pub fn learned(&self, control: &str, trouble: &str, yard: Option<&str>, told: Signs) -> Result<Learned, DeskError> {
        let trouble = self.trouble(trouble)?.clone();
        let control = self.control_named(control)?.clone();
        let on_desk = yard.map(|name| self.yard(name)).transpose()?;
        let all = self.comparisons()?;
        let own: Vec<&Comparison> = all.iter().filter(|c| c.control == control.key && c.target == trouble.key).collect();
        let pooled = if all.len() > 1 { Some(fit(&all, Spread::Weak(USUAL_SD)).map_err(DeskError::science)?) } else { None };
        let level = pooled.as_ref().filter(|_| !own.is_empty()).map(|p| p.level(&control.key, &trouble.key, last_year(&own)));
        let years = levels_by_year(&own, pooled.as_ref());
        let watched = watch(&years, Watch::default());
        let slope =
            trend(&years.iter().map(|y| f64::from(y.year)).collect::<Vec<_>>(), &years.iter().map(|y| y.ln_ratio).collect::<Vec<_>>());
        let first_use = self.first_use(&control, &own)?;
        let generations = first_use.map(|first| self.generations_since(&trouble, first));
        let name = on_desk.as_ref().map(|y| y.row.name.clone());
        let signs = self.signs(&control, &trouble, on_desk.as_ref(), &own, watched.as_ref(), told)?;
        let background =
            Background::of(watched.as_ref(), generations.as_ref().map(GenerationsSince::middle), control.watering_in.is_some());
        let odds = why_poor(&background, &signs).map_err(DeskError::science)?;
        let stands = level.as_ref().map_or(Standing::TooLittle, |now| standing(watched.as_ref(), now, &odds));
        let (says, because) = said(&control, &trouble, stands, level.as_ref(), &years, watched.as_ref());
        let ranking = match &on_desk {
            Some(yard) => self
                .treatment_options(&yard.row.name, &trouble.key)?
                .options
                .iter()
                .map(|option| (option.name.clone(), option.expected_control))
                .collect(),
            None => Vec::new(),
        };
        Ok(Learned {
            yard_adds: pooled.as_ref().zip(name.as_ref()).and_then(|(p, yard)| p.yards.get(yard).copied()),
            belief: self.belief_about(&control, &trouble.key)?,
            control_now: level.map(|l| l.control(0.9)),
            follow_ups: (own.len(), all.len()),
            looks: looks(&background, &signs).map_err(DeskError::science)?,
            control: control.key,
            control_name: control.name,
            trouble: trouble.key,
            trouble_name: trouble.name,
            yard: name,
            level,
            pooled,
            years,
            watched,
            trend: slope.ok(),
            first_use,
            generations,
            signs,
            odds,
            standing: stands,
            says,
            because,
            ranking,
        })
    }

    /// A control by its key or name.
    ///
    /// # Errors
    /// A name that lore does not hold.
    pub(crate) fn control_named(&self, name: &str) -> Result<&Control, DeskError> {
        let wanted = name.trim().to_lowercase();
        let found = self.lore.controls.values().find(|c| c.key == wanted.replace(' ', "-") || c.name.to_lowercase() == wanted);
        found.ok_or_else(|| DeskError::missing(format!("lore has no control `{name}`"), "`groundlore lore list controls` shows them"))
    }

    /// The first day that a control is known to have been used: by the record, or by the years of its follow-ups.
    fn first_use(&self, control: &Control, own: &[&Comparison]) -> Result<Option<Date>, DeskError> {
        let applied = self.applications_with(control)?.into_iter().map(|line| line.date).min();
        let counted = own.iter().filter_map(|c| Date::new(c.year, 7, 1).ok()).min();
        Ok(applied.into_iter().chain(counted).min())
    }

    /// Applications of a control that hold, by its plan or its active ingredient, oldest first.
    fn applications_with(&self, control: &Control) -> Result<Vec<ApplicationRecord>, DeskError> {
        let planned: BTreeMap<i64, String> = self.book.all::<Treatment>()?.into_iter().map(|t| (t.id, t.control)).collect();
        let plain = |text: &str| text.to_lowercase().replace(['-', ','], " ").split_whitespace().collect::<Vec<_>>().join(" ");
        let names = [plain(&control.key), plain(&control.name)];
        let is_it = |line: &ApplicationRecord| {
            line.treatment_id.and_then(|id| planned.get(&id)).is_some_and(|key| *key == control.key)
                || line.active_ingredients.iter().flatten().any(|active| names.contains(&plain(&active.name)))
        };
        Ok(self.book.applications_between(Date::MIN, self.today)?.into_iter().filter(is_it).collect())
    }

    /// Generations of a trouble since a day, at the least one: by lore's generations a year, or seasons where lore says nothing; never fewer
    /// than its clocks tell (a stage with a second or third of its kind).
    fn generations_since(&self, trouble: &Trouble, first: Date) -> GenerationsSince {
        let years = f64::from((self.today - first).get_days().max(0)) / 365.25;
        let of_clocks = self.lore.clocks_for(&trouble.key, None).into_iter().filter_map(|clock| clock.stage.clone());
        let stages: Vec<String> = trouble.stages.iter().map(|s| s.key.clone()).chain(of_clocks).collect();
        let has = |ordinal: &str| stages.iter().any(|stage| stage.starts_with(ordinal));
        let told = 1.0 + f64::from(u8::from(has("second-"))) + f64::from(u8::from(has("third-")));
        let said = trouble.generations_a_year.as_ref();
        let (low, high) = said
            .map_or((told, told), |range| if told > 1.0 { (range.low.max(told), range.high.max(told)) } else { (range.low, range.high) });
        let source = said.map(|range| range.source.to_string()).or_else(|| (told > 1.0).then(|| "by its clocks".to_owned()));
        GenerationsSince { low: (years * low).max(1.0), high: (years * high).max(1.0), a_year: (low, high), source }
    }

    /// What the records tell of a poor result, under what was told.
    fn signs(
        &self,
        control: &Control,
        trouble: &Trouble,
        yard: Option<&YardOnDesk>,
        own: &[&Comparison],
        watched: Option<&Watched>,
        told: Signs,
    ) -> Result<Signs, DeskError> {
        let last = yard.map(|y| self.applications_with(control).map(|all| all.into_iter().rev().find(|l| l.yard_id == y.row.id)));
        let last = last.transpose()?.flatten();
        let plan: Option<Treatment> = last.as_ref().and_then(|l| l.treatment_id).map(|id| self.book.one(id)).transpose()?;
        let plan = plan.filter(|plan| plan.trouble == trouble.key);
        let window = plan.as_ref().and_then(|p| p.earliest.zip(p.latest));
        let outside = last.as_ref().zip(window).map(|(l, (first, last))| !(first..=last).contains(&l.date));
        Ok(Signs {
            alarm: told.alarm.or_else(|| watched.map(|w| w.alarm.is_some())),
            elsewhere_too: told.elsewhere_too.or_else(|| elsewhere_too(own, yard.map(|y| y.row.name.as_str()))),
            outside_window: told.outside_window.or(outside),
            rate_below_card: told.rate_below_card.or_else(|| last.as_ref().and_then(rate_below_card)),
            ..told
        })
    }
}

fn last_year(own: &[&Comparison]) -> i16 {
    own.iter().map(|c| c.year).max().unwrap_or(0)
}

/// Each year's level; a single trial stands for its year with the scatter of yards and trials in its error.
fn levels_by_year(own: &[&Comparison], pooled: Option<&Hierarchy>) -> Vec<YearLevel> {
    let place = pooled.map_or(USUAL_SD, |p| p.scatter.yard.hypot(p.scatter.trial));
    let seen: Vec<(i16, f64, f64)> = own.iter().map(|c| (c.year, c.ln_ratio, c.se.hypot(place))).collect();
    YearLevel::from_comparisons(&seen)
}

/// Did it control less than 60 % on the mean of the other yards in the last two years of figures? None where no other was followed up.
fn elsewhere_too(own: &[&Comparison], yard: Option<&str>) -> Option<bool> {
    let yard = yard?;
    let since = last_year(own) - 1;
    let others: Vec<f64> = own.iter().filter(|c| c.year >= since && c.yard != yard).map(|c| c.ln_ratio).collect();
    (!others.is_empty()).then(|| 1.0 - (others.iter().sum::<f64>() / others.len() as f64).exp() < 0.6)
}

/// Lies the line's rate under the low end of the card that it copied?
fn rate_below_card(line: &ApplicationRecord) -> Option<bool> {
    let card: CardRow = serde_json::from_value(line.label_card.clone()?).ok()?;
    let (low, used) = (card.rate_low_si?, Quantity::parse(line.rate_text.as_deref()?).ok()?);
    let typed = Quantity::parse(card.rate_text.as_deref()?.split(" to ").next()?).ok();
    // A rate of another kind than the card's cannot be set against it.
    typed.is_none_or(|typed| typed.in_unit(&used.unit.to_string()).is_ok()).then(|| used.si() < low * 0.999)
}

fn percent(share: f64) -> String {
    format!("{:.0} %", share * 100.0)
}

/// How a control stands, said plainly, and why.
fn said(
    control: &Control,
    trouble: &Trouble,
    stands: Standing,
    level: Option<&Level>,
    years: &[YearLevel],
    watched: Option<&Watched>,
) -> (String, String) {
    let (name, target) = (&control.name, trouble.name.to_lowercase());
    let now = level.map(|l| l.control(0.9));
    let now_words =
        now.map(|(m, low, high)| format!("now {} (90 % interval {} to {})", percent(m), percent(low), percent(high))).unwrap_or_default();
    let from = years.first().map(|y| format!("{} in {}", percent(1.0 - y.ln_ratio.exp()), y.year)).unwrap_or_default();
    let alarm = watched.map(|w| {
        let limits = format!("{} chance of a false alarm in {} years", percent(w.watch.false_alarm), w.watch.years);
        w.alarm.map_or_else(
            || format!("The years raise no alarm ({limits})."),
            |year| format!("The years raised the alarm in {year} ({limits})."),
        )
    });
    let because = alarm.unwrap_or_else(|| {
        format!(
            "{} with an untreated strip; a slide needs three. Leave a strip at the next treatment.",
            match years.len() {
                0 => "No year was counted".to_owned(),
                1 => "One year was counted".to_owned(),
                n => format!("{n} years were counted"),
            }
        )
    });
    let says = match stands {
        Standing::TooLittle => format!("Whether {name} still works against {target} cannot be told yet"),
        Standing::Holds => format!("{name} holds against {target}: {now_words}"),
        Standing::Sliding => format!("{name} is sliding against {target}: {from}, {now_words}"),
        Standing::NoLongerWorks => format!("{name} no longer works here against {target}: {from}, {now_words}"),
    };
    (says, because)
}
