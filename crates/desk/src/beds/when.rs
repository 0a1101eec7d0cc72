//! When to plant a bed: odds of heat and frost from the yard's station, and the windows that follow.

use crate::DeskError;
use groundlore_lore::plant::PlantKind;
use groundlore_planting::calendar::{month_at, next_day};
use groundlore_planting::choose::Chosen;
use groundlore_planting::season::{DateOdds, HARD_WINTER_C, HEAT_C, PlantingSeason, SeasonOdds, Stock, WhenToPlant, Window, when_to_plant};
use groundlore_weather::hardiness::{WinterMinimum, half_zone, winter_minima};
use groundlore_weather::{Ensemble, Odds, Series};
use groundlore_work::task::Window as TaskWindow;
use jiff::ToSpan as _;
use jiff::civil::Date;
use serde::{Deserialize, Serialize};

/// Days over which the daily maximum is averaged to tell heat from a hot day (common practice).
const HEAT_DAYS: usize = 14;
/// Days that roots need before hard winter (common practice: six weeks).
const ROOTING_DAYS: i64 = 42;
/// Most days without a minimum in a winter that counts for the zone.
const WINTER_GAPS: usize = 36;
/// Winters that the zone is taken from: the latest thirty.
const WINTERS: usize = 30;

/// When to plant one kind of stock, and which plants that is.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct PlantingDays {
    /// Kind of stock.
    pub stock: Stock,
    /// Keys of the plants.
    pub plants: Vec<String>,
    /// The autumn and the spring window.
    pub when: WhenToPlant,
    /// The first window whose last day is not over, kept from today on; none where no window can be told.
    pub window: Option<Window>,
    /// Chance that a week's wait from today misses the window, 0–1; only while it is open.
    pub missed_by_a_week: Option<f64>,
    /// Days with the chance (0–1) that planting comes too late by the end of each: for hard winter (roots need their weeks before it) in
    /// autumn, for the heat in spring.
    #[serde(default)]
    pub closes: Vec<(Date, f64)>,
}

/// Odds of heat and frost for the planting year.
pub(super) struct YearOdds {
    odds: SeasonOdds,
    hard_winter: Odds,
    heat_begins: Odds,
}

impl YearOdds {
    /// From this year's weather and each past year's as what may come.
    pub(super) fn read(series: &Series, today: Date, latitude_deg: f64) -> Result<Self, DeskError> {
        let ensemble = Ensemble::years_of_record(series, today)?;
        let source = format!("{}, {} years of record", series.station.id, ensemble.futures().len());
        let hard_winter = Odds::from_dates(&ensemble.first_frost(HARD_WINTER_C), today);
        let heat_begins = heat_begins(&ensemble, today, latitude_deg);
        let odds = SeasonOdds {
            heat_ends: dated(&heat_ends(&ensemble, today, latitude_deg), &source),
            first_frost: dated(&Odds::from_dates(&ensemble.first_frost(0.0), today), &source),
            hard_winter: dated(&hard_winter, &source),
            soil_cools: None,
            last_frost: dated(&Odds::from_last_dates(&ensemble.last_frost(0.0), today), &source),
            heat_begins: dated(&heat_begins, &source),
        };
        Ok(Self { odds, hard_winter, heat_begins })
    }

    /// Windows for the plants of a bed, by kind of stock.
    pub(super) fn windows(&self, kinds: &[Chosen], today: Date, latitude_deg: f64) -> Result<Vec<PlantingDays>, DeskError> {
        let mut all = Vec::new();
        for stock in [Stock::Deciduous, Stock::SpringBulb] {
            let plants: Vec<String> =
                kinds.iter().filter(|kind| stock_of(kind, latitude_deg) == stock).map(|kind| kind.key.clone()).collect();
            if plants.is_empty() {
                continue;
            }
            let when = when_to_plant(&self.odds, stock).map_err(DeskError::science)?;
            let window = next_window(&when, today);
            let open = window.as_ref().is_some_and(|w| w.earliest <= today);
            let closes = window.as_ref().map_or_else(Vec::new, |window| match window.season {
                PlantingSeason::Autumn => closing(&self.hard_winter, if stock == Stock::SpringBulb { 0 } else { ROOTING_DAYS }),
                PlantingSeason::Spring => closing(&self.heat_begins, 0),
            });
            let missed_by_a_week = window
                .as_ref()
                .filter(|_| open)
                .and_then(|w| TaskWindow::by_weather([w.earliest, w.best, w.latest], Vec::new(), closes.clone(), today).missed_by_a_week);
            all.push(PlantingDays { stock, plants, when, window, missed_by_a_week, closes });
        }
        Ok(all)
    }
}

/// The chances that an event has come so many days after each day, in steps of a twentieth.
fn closing(event: &Odds, days_before: i64) -> Vec<(Date, f64)> {
    let steps = (1..=20).map(|step| f64::from(step) / 20.0);
    steps.filter_map(|chance| event.quantile(chance).map(|day| (day.saturating_sub(days_before.days()), chance))).collect()
}

/// Bulbs that flower by late spring go in in autumn; everything else in leaf or bare as it comes.
fn stock_of(kind: &Chosen, latitude_deg: f64) -> Stock {
    let spring = (1..=5).map(|month| month_at(month, latitude_deg));
    let flowers_in_spring = kind.bloom_months.first().is_some_and(|first| spring.into_iter().any(|month| month == *first));
    if kind.kind == PlantKind::Bulb && flowers_in_spring { Stock::SpringBulb } else { Stock::Deciduous }
}

/// The first window that is not over, with its days kept from today on.
fn next_window(when: &WhenToPlant, today: Date) -> Option<Window> {
    let mut open: Vec<&Window> =
        [&when.autumn, &when.spring].into_iter().filter_map(|timing| timing.window()).filter(|w| w.latest >= today).collect();
    open.sort_by_key(|window| window.latest);
    let mut window = (*open.first()?).clone();
    window.earliest = window.earliest.max(today);
    window.best = window.best.max(window.earliest);
    Some(window)
}

fn dated(odds: &Odds, source: &str) -> Option<DateOdds> {
    Some(DateOdds { p10: odds.p10?, p50: odds.p50?, p90: odds.p90?, source: source.to_owned() })
}

/// The half year that begins with summer: 1 July to 31 December north of the equator.
fn summer_half(today: Date, latitude_deg: f64) -> (Date, Date) {
    let first = next_day(7, 1, latitude_deg, today);
    let begun = first.saturating_sub(1.year());
    let start = if begun.saturating_add(6.months()) > today { begun } else { first };
    (start, start.saturating_add(6.months()).saturating_sub(1.day()))
}

/// The day after the last fortnight whose mean maximum is in the heat; the summer's first day where there is none.
fn heat_ends(ensemble: &Ensemble, today: Date, latitude_deg: f64) -> Odds {
    let (from, to) = summer_half(today, latitude_deg);
    let dates: Vec<Option<Date>> =
        fortnights(ensemble, from, to).map(|hot| Some(hot.last().map_or(from, |last| last.saturating_add(1.day())))).collect();
    Odds::from_dates(&dates, today)
}

/// The first day of the first hot fortnight after winter; the last day of July where there is none.
fn heat_begins(ensemble: &Ensemble, today: Date, latitude_deg: f64) -> Odds {
    let to = next_day(7, 31, latitude_deg, today);
    let from = to.saturating_sub(4.months());
    let back = (HEAT_DAYS as i64 - 1).days();
    let dates: Vec<Option<Date>> =
        fortnights(ensemble, from, to).map(|hot| Some(hot.first().map_or(to, |last| last.saturating_sub(back)))).collect();
    Odds::from_dates(&dates, today)
}

/// In each future, the last days of fortnights with a mean maximum at or above the heat.
fn fortnights(ensemble: &Ensemble, from: Date, to: Date) -> impl Iterator<Item = Vec<Date>> {
    ensemble.futures().iter().map(move |future| {
        let days: Vec<(Date, f64)> =
            ensemble.days(future, from, to).map(|day| (day.date, day.tmax_c)).filter(|(_, c)| c.is_finite()).collect();
        let mean = |run: &[(Date, f64)]| run.iter().map(|(_, c)| c).sum::<f64>() / run.len() as f64;
        days.windows(HEAT_DAYS).filter(|run| mean(run) >= HEAT_C).filter_map(|run| run.last().map(|(date, _)| *date)).collect()
    })
}

/// The hardiness zone by the latest winters of a record up to a day, with its words.
pub(super) fn zone(series: &Series, today: Date) -> Option<(u8, String)> {
    let over = |year: i16| Date::new(year.saturating_add(1), 7, 1).is_ok_and(|end| end <= today);
    let whole = |w: &&WinterMinimum| w.missing_days <= WINTER_GAPS && over(w.year);
    let winters = winter_minima(series);
    let mut minima: Vec<f64> = winters.iter().filter(whole).map(|w| w.minimum_c).collect();
    let kept = minima.split_off(minima.len().saturating_sub(WINTERS));
    let zone = half_zone(&kept)?;
    Some((
        zone.number(),
        format!("hardiness zone: {zone}, by the coldest nights of the latest {} whole winters at {}", kept.len(), series.station.id),
    ))
}
