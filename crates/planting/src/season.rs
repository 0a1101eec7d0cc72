//! When to plant: an autumn window first, a spring window to fall back on.
//!
//! Odds of frost and heat come in as plain dates, so any station and either hemisphere will do: the dates say which autumn.
//! What was not given is named as not checked; a window that would rest on it alone is not made.

use crate::calendar::{days_after, days_between};
use crate::choose::{Chosen, Reason};
use groundlore_lore::plant::PlantKind;
use jiff::civil::Date;
use serde::{Deserialize, Serialize};

/// Minimum temperature, °C, at which to take the date of hard winter: the contractor's "six to eight weeks before hard winter"
/// then ends, on upper Midwest stations, near the extension's "about mid October" (our reading of two sources, `memory`).
pub const HARD_WINTER_C: f64 = -7.0;

/// Mean daily maximum, °C, above which new planting suffers: 27 °C, about 80 °F (`common practice`).
pub const HEAT_C: f64 = 27.0;

/// Soil temperature, °C, above which autumn roots still grow well: 55 °F at 6 in (University of Minnesota Extension, 2017).
pub const WARM_SOIL_C: f64 = 12.8;

const MINNESOTA: &str = "University of Minnesota Extension (Postels, 2017), Fall is the Best Time to Plant Trees and Shrubs";
const CONTRACTORS: &str = "autumn planting notes of a nursery and a contractor (read), trade";

/// A date as odds over the years of record.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct DateOdds {
    /// Day by which it has come in one year of ten.
    pub p10: Date,
    /// In half the years.
    pub p50: Date,
    /// In nine years of ten.
    pub p90: Date,
    /// Where it comes from, such as `Milwaukee, 76 years`.
    pub source: String,
}

/// Dates with odds for one planting year; every one may be unknown.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(default)]
pub struct SeasonOdds {
    /// First day after summer from which the mean daily maximum stays under [`HEAT_C`].
    pub heat_ends: Option<DateOdds>,
    /// First autumn frost, 0 °C.
    pub first_frost: Option<DateOdds>,
    /// First day at or under [`HARD_WINTER_C`].
    pub hard_winter: Option<DateOdds>,
    /// First day on which the soil at 6 in stays under [`WARM_SOIL_C`].
    pub soil_cools: Option<DateOdds>,
    /// Last spring frost, 0 °C.
    pub last_frost: Option<DateOdds>,
    /// First day of summer from which the mean daily maximum stays above [`HEAT_C`].
    pub heat_begins: Option<DateOdds>,
}

/// What is planted.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Stock {
    /// Perennials, grasses, shrubs and trees that drop their leaves.
    Deciduous,
    /// Evergreens: they lose water all winter, so they go in earlier.
    Evergreen,
    /// Bulbs that flower in spring: autumn only.
    SpringBulb,
}

/// What a chosen kind is planted as: bulbs that flower from the first to the fifth month of the northern year (the seventh to the
/// eleventh in the south) are spring bulbs, all else deciduous. Lore does not say which are evergreen: that is for the planter.
pub fn stock_of(kind: &Chosen, latitude_deg: f64) -> Stock {
    let spring = crate::calendar::months_at(1, 5, latitude_deg);
    let flowers_in_spring = kind.bloom_months.first().is_some_and(|month| spring.contains(month));
    if kind.kind == PlantKind::Bulb && flowers_in_spring { Stock::SpringBulb } else { Stock::Deciduous }
}

/// Which season a window lies in.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
#[allow(missing_docs)]
pub enum PlantingSeason {
    Autumn,
    Spring,
}

/// Days on which to plant, with why.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Window {
    /// Which season.
    pub season: PlantingSeason,
    /// What is planted.
    pub stock: Stock,
    /// First day.
    pub earliest: Date,
    /// Best day.
    pub best: Date,
    /// Last day.
    pub latest: Date,
    /// The odds behind the days, in words with dates.
    pub odds: Vec<String>,
    /// What speaks for it.
    pub reasons: Vec<Reason>,
    /// What speaks against it.
    pub against: Vec<Reason>,
    /// What was not known.
    pub not_checked: Vec<String>,
}

/// A window, or why there is none.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Timing {
    /// Days to plant.
    Open(Window),
    /// There is no safe day, with why.
    Closed {
        /// Why.
        why: String,
    },
    /// What would have to be known.
    NotChecked {
        /// The dates that are missing.
        needs: String,
    },
}

impl Timing {
    /// The window, if there is one.
    pub fn window(&self) -> Option<&Window> {
        if let Timing::Open(window) = self { Some(window) } else { None }
    }
}

/// Autumn first, spring to fall back on.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct WhenToPlant {
    /// The autumn window.
    pub autumn: Timing,
    /// The spring window.
    pub spring: Timing,
}

/// Odds that make no sense.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum SeasonError {
    /// Dates out of order.
    #[error(
        "{what}: one year of ten is {p10}, half the years {p50}, nine of ten {p90}; they must not run backwards, for example 2015-09-20, 2015-10-05, 2015-10-22"
    )]
    Order {
        /// Which odds.
        what: &'static str,
        /// 10 %.
        p10: Date,
        /// 50 %.
        p50: Date,
        /// 90 %.
        p90: Date,
    },
}

/// When to plant stock, given odds of heat and frost.
///
/// Autumn runs from the end of the heat in half the years (for lack of it, twelve weeks before hard winter) to six weeks before
/// hard winter in half the years, or to the day the soil cools if that is sooner; best is the day that leaves eight weeks in nine
/// years of ten. Evergreens: best and last day a fortnight sooner. Spring runs from the last frost in half the years,
/// best from nine years of ten, to four weeks before the heat as it comes in one year of ten.
///
/// # Errors
/// Odds that run backwards.
///
/// # Source
/// Soil above 55 °F until about mid October, evergreens in September, deciduous into October: University of Minnesota Extension
/// (Postels, 2017). Six to eight weeks before hard winter: a contractor's note (read, trade). Autumn needs the least watering:
/// common practice, and the evidence is mixed: both sides are in the answer. The fortnight and the four weeks: common practice.
///
/// # Example
/// ```
/// use groundlore_planting::season::{DateOdds, SeasonOdds, Stock, when_to_plant};
/// use jiff::civil::date;
/// let odds = |a, b, c| Some(DateOdds { p10: a, p50: b, p90: c, source: "invented".to_owned() });
/// let known = SeasonOdds {
///     heat_ends: odds(date(2015, 8, 18), date(2015, 8, 28), date(2015, 9, 8)),
///     hard_winter: odds(date(2015, 11, 8), date(2015, 11, 20), date(2015, 12, 4)),
///     ..SeasonOdds::default()
/// };
/// let autumn = when_to_plant(&known, Stock::Deciduous)?.autumn;
/// let window = autumn.window().ok_or("no window")?;
/// assert_eq!((window.earliest, window.best, window.latest), (date(2015, 8, 28), date(2015, 9, 13), date(2015, 10, 9)));
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn when_to_plant(odds: &SeasonOdds, stock: Stock) -> Result<WhenToPlant, SeasonError> {
    let all = [
        ("end of the heat", &odds.heat_ends),
        ("first frost", &odds.first_frost),
        ("hard winter", &odds.hard_winter),
        ("soil cooling", &odds.soil_cools),
        ("last frost", &odds.last_frost),
        ("start of the heat", &odds.heat_begins),
    ];
    for (what, one) in all {
        if let Some(DateOdds { p10, p50, p90, .. }) = one
            && !(p10 <= p50 && p50 <= p90)
        {
            return Err(SeasonError::Order { what, p10: *p10, p50: *p50, p90: *p90 });
        }
    }
    let (autumn, spring) = match stock {
        Stock::SpringBulb => (bulbs(odds), Timing::Closed { why: "bulbs that flower in spring are planted in autumn".to_owned() }),
        _ => (autumn(odds, stock), spring(odds, stock)),
    };
    Ok(WhenToPlant { autumn, spring })
}

fn reason(text: impl Into<String>, source: impl Into<String>) -> Reason {
    Reason { text: text.into(), source: source.into() }
}

fn told(what: &str, odds: &DateOdds) -> String {
    format!("{what}: by {} in one year of ten, {} in half, {} in nine of ten ({})", odds.p10, odds.p50, odds.p90, odds.source)
}

fn autumn(odds: &SeasonOdds, stock: Stock) -> Timing {
    let Some(winter) = &odds.hard_winter else {
        return Timing::NotChecked {
            needs: format!("the date of hard winter (first day at or under {HARD_WINTER_C} °C), from a station's record"),
        };
    };
    let sooner = if stock == Stock::Evergreen { 14 } else { 0 };
    let earliest = odds.heat_ends.as_ref().map_or(days_after(winter.p50, -84), |heat| heat.p50);
    let six_weeks = days_after(winter.p50, -42);
    let rooting_ends = odds.soil_cools.as_ref().map_or(six_weeks, |soil| soil.p50.min(six_weeks));
    let latest = days_after(rooting_ends, -sooner);
    if latest < earliest {
        return Timing::Closed {
            why: format!(
                "the heat ends about {earliest}, and the last day that leaves roots six weeks before hard winter in half the years is {latest}: plant in spring"
            ),
        };
    }
    let best = days_after(winter.p10, -56 - sooner).clamp(earliest, latest);
    let mut window = Window {
        season: PlantingSeason::Autumn,
        stock,
        earliest,
        best,
        latest,
        odds: vec![told("hard winter", winter)],
        reasons: autumn_reasons(stock, best, latest, winter),
        against: autumn_against(),
        not_checked: vec!["soil temperature at 6 in: measure it before a late planting".to_owned()],
    };
    let frost = odds.first_frost.as_ref().map(|frost| told("first frost", frost));
    let soil = odds.soil_cools.as_ref().map(|soil| told("soil under 55 °F", soil));
    match &odds.heat_ends {
        Some(heat) => window.odds.insert(0, told("end of the heat", heat)),
        None => window.not_checked.push("end of the heat: twelve weeks before hard winter stands in for it".to_owned()),
    }
    window.odds.extend(frost.into_iter().chain(soil));
    Timing::Open(window)
}

fn autumn_reasons(stock: Stock, best: Date, latest: Date, winter: &DateOdds) -> Vec<Reason> {
    let weeks = |from: Date, to: Date| days_between(from, to) / 7;
    let mut reasons = vec![
        reason("autumn planting needs the least watering of the seasons", "common practice"),
        reason(
            format!(
                "six to eight weeks before hard winter: planted on {best}, roots have {} whole weeks in nine years of ten; on {latest}, {} in nine of ten and {} in half",
                weeks(best, winter.p10),
                weeks(latest, winter.p10),
                weeks(latest, winter.p50)
            ),
            CONTRACTORS,
        ),
        reason("roots grow while the soil at 6 in is above 55 °F, in Minnesota until about mid October", MINNESOTA),
        reason(
            "a garden's demand for water in October is a fifth to two fifths of July's (0.29 at De Bilt, 0.38 at Fallon)",
            "mean monthly reference evapotranspiration, computed from both stations",
        ),
    ];
    if stock == Stock::Evergreen {
        reasons.push(reason("evergreens go in earlier, in September, since they lose water all winter", MINNESOTA));
    }
    reasons
}

fn autumn_against() -> Vec<Reason> {
    vec![
        reason("autumn plantings may be heaved out by frost: mulch, and look", MINNESOTA),
        reason(
            "new roots are slow below about 50 °F, and one campus forester counted two to three times more failures among autumn jobs",
            "gardenprofessors.com (read)",
        ),
        reason(
            "kinds differ: willow oak moved in November lived in 67 of 100, in March in 83; red oak in all, either season",
            "Harris and others, transplanting trials (read in summary)",
        ),
    ]
}

fn spring(odds: &SeasonOdds, stock: Stock) -> Timing {
    let Some(frost) = &odds.last_frost else {
        return Timing::NotChecked { needs: "the date of the last spring frost, from a station's record".to_owned() };
    };
    let earliest = frost.p50;
    let latest = odds.heat_begins.as_ref().map_or(days_after(frost.p90, 28), |heat| days_after(heat.p10, -28));
    if latest < earliest {
        return Timing::Closed {
            why: format!("the last frost comes about {earliest} and the heat leaves no four weeks after it (last day {latest})"),
        };
    }
    let heat = odds.heat_begins.as_ref();
    let mut lines = vec![told("last frost", frost)];
    lines.extend(heat.map(|heat| told("start of the heat", heat)));
    Timing::Open(Window {
        season: PlantingSeason::Spring,
        stock,
        earliest,
        best: frost.p90.min(latest),
        latest,
        odds: lines,
        reasons: vec![reason("after the last frost new leaves are safe; in nine years of ten that is by the best day", "years of record")],
        against: vec![reason("the first summer follows at once: watering through the heat", "common practice")],
        not_checked: if heat.is_some() {
            Vec::new()
        } else {
            vec!["start of the heat: four weeks after the last frost stands in for it".to_owned()]
        },
    })
}

fn bulbs(odds: &SeasonOdds) -> Timing {
    let (Some(frost), Some(winter)) = (&odds.first_frost, &odds.hard_winter) else {
        return Timing::NotChecked { needs: "the dates of the first frost and of hard winter, from a station's record".to_owned() };
    };
    let latest = winter.p10;
    let earliest = frost.p10.min(latest);
    Timing::Open(Window {
        season: PlantingSeason::Autumn,
        stock: Stock::SpringBulb,
        earliest,
        best: frost.p50.clamp(earliest, latest),
        latest,
        odds: vec![told("first frost", frost), told("hard winter", winter)],
        reasons: vec![reason(
            "bulbs that flower in spring root in cool soil, about the first frost, before the ground freezes",
            "common practice",
        )],
        against: Vec::new(),
        not_checked: vec!["soil temperature: it should be falling and still open".to_owned()],
    })
}
