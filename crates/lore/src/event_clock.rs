//! Clocks of the season: when an event of the year comes, as a small language that the models read.
//!
//! A clock says where its sum begins ([`Start`]), what drives it ([`Driver`]), how much it takes ([`Threshold`]), how far individuals
//! lie apart ([`Individuals`]), how wrong the model itself may be ([`ModelError`]), and where it holds. Each part carries its own source:
//! a clock counts as read only where every part of it was read ([`crate::Lore::clock_standing`]), and one that is remembered never
//! opens a treatment window by itself.
//!
//! These are the clocks of `lore/clocks/`; the stages of a trouble keep their own ([`crate::trouble::Clock`]).

use crate::plant::{CutBackWhen, Plant};
use crate::provenance::Source;
use groundlore_quantity::Quantity;
use serde::{Deserialize, Serialize};

/// What part of the season an event belongs to.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum EventKind {
    /// Insects and mites of turf.
    TurfInsect,
    /// Insects and mites of trees, shrubs and perennials.
    OrnamentalInsect,
    /// Weeds: they come up, they flower.
    Weed,
    /// The weather in which a turf disease shows.
    TurfDisease,
    /// First and last mowing, and its pace.
    Mowing,
    /// Seeding windows.
    Seeding,
    /// Windows for what must be down before weeds come up.
    PreEmergence,
    /// Planting windows by kind of stock.
    Planting,
    /// A plant flowers.
    Bloom,
    /// Leaves colour and fall.
    LeafDrop,
    /// Plants are cut back or pruned.
    CutBack,
    /// Edging, mulching, dividing, bulbs.
    BedWork,
    /// Irrigation is turned on, needed, turned off.
    Irrigation,
    /// Frosts and freezes.
    Frost,
}

impl EventKind {
    /// All kinds, in the order in which they are shown.
    pub const ALL: [Self; 14] = [
        Self::TurfInsect,
        Self::OrnamentalInsect,
        Self::Weed,
        Self::TurfDisease,
        Self::Mowing,
        Self::Seeding,
        Self::PreEmergence,
        Self::Planting,
        Self::Bloom,
        Self::LeafDrop,
        Self::CutBack,
        Self::BedWork,
        Self::Irrigation,
        Self::Frost,
    ];

    /// The words a person reads.
    pub fn words(self) -> &'static str {
        match self {
            Self::TurfInsect => "turf insects",
            Self::OrnamentalInsect => "insects and mites of trees and shrubs",
            Self::Weed => "weeds",
            Self::TurfDisease => "turf diseases",
            Self::Mowing => "mowing",
            Self::Seeding => "seeding",
            Self::PreEmergence => "before weeds come up",
            Self::Planting => "planting",
            Self::Bloom => "bloom",
            Self::LeafDrop => "leaves",
            Self::CutBack => "cutting back",
            Self::BedWork => "beds",
            Self::Irrigation => "irrigation",
            Self::Frost => "frost",
        }
    }
}

/// One clock: an entry of `lore/clocks/*.toml`, or one made from a plant's months ([`of_plants`]).
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct EventClock {
    /// Key, unique on the shelf: `eastern-tent-caterpillar-hatch-ohio`.
    pub key: String,
    /// Name for people: `eastern tent caterpillar: eggs hatch`.
    pub name: String,
    /// Part of the season.
    pub kind: EventKind,
    /// Where the reckoning begins.
    pub start: Start,
    /// What drives it.
    pub driver: Driver,
    /// How much it takes; none for a calendar.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub threshold: Option<Threshold>,
    /// How far individuals lie apart; none where the event is one day for all (a frost, a first sight).
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub individuals: Option<Individuals>,
    /// How wrong the model may be.
    pub model_error: ModelError,
    /// Where it holds.
    pub region: String,
    /// Year or edition of what was read: `2011`, `editions of 2016 and 2024`.
    pub edition: String,
    /// Source of the clock as a whole: region, and what the event is.
    pub source: Source,
    /// Plant of `lore/plants/` that blooms or is cut back.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub plant: Option<String>,
    /// Trouble of `lore/troubles/` it belongs to.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub trouble: Option<String>,
    /// Stage of that trouble, where the trouble has stages.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub stage: Option<String>,
    /// True where the event ends the stage; else it begins it.
    #[serde(default, skip_serializing_if = "is_false")]
    pub ends_stage: bool,
    /// What is seen when it happens: a plant in bloom.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub indicator: Option<Indicator>,
    /// A remark that must be read with it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub note: Option<String>,
    /// True if the clock was made from a plant's months, not written.
    #[serde(skip)]
    pub derived: bool,
}

/// Left out of the files where it is so.
#[allow(clippy::trivially_copy_pass_by_ref)]
fn is_false(value: &bool) -> bool {
    !value
}

impl EventClock {
    /// True where the event is the weather itself, read off the thermometer: a frost. Nothing is remembered in it, and there is no model
    /// to be wrong; nor does it say anything of a pest.
    pub fn is_weather_itself(&self) -> bool {
        self.kind == EventKind::Frost && matches!(self.driver, Driver::AirTemperature { .. }) && self.model_error.days == 0.0
    }

    /// True where nothing of it can be reckoned without weather.
    pub fn needs_weather(&self) -> bool {
        !(self.driver.by_days() || matches!(self.driver, Driver::DayLength { .. })) || matches!(self.start, Start::SoilTemperature { .. })
    }
}

/// Where a reckoning begins. Days are of the northern year; south of the equator they move by half a year.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(tag = "on", rename_all = "kebab-case", deny_unknown_fields)]
pub enum Start {
    /// A day of the year.
    Date {
        /// `MM-DD`.
        day: String,
        /// Source of the start.
        source: Source,
    },
    /// A day on which something was seen; until it is seen the clock waits.
    Biofix {
        /// What must be seen: in words, or the key of another clock.
        event: String,
        /// True where only what was seen (or done) in the yard itself counts, not in another yard of the book.
        #[serde(default, skip_serializing_if = "is_false")]
        own_yard: bool,
        /// Source of the start.
        source: Source,
    },
    /// The first day, from `day`, that ends a run of `days` days with soil at or above a temperature.
    SoilTemperature {
        /// Not before this day, `MM-DD`.
        day: String,
        /// Depth of the thermometer, e.g. `1 in`.
        depth: Quantity,
        /// Temperature, e.g. `50 degF`.
        at_or_above: Quantity,
        /// Days in a row.
        days: u32,
        /// Source of the start.
        source: Source,
    },
    /// The first day, from `day`, with at least so many hours from sunrise to sunset.
    DayLength {
        /// Not before this day, `MM-DD`.
        day: String,
        /// Hours.
        hours: f64,
        /// Source of the start.
        source: Source,
    },
}

impl Start {
    /// Source of the start.
    pub fn source(&self) -> &Source {
        match self {
            Self::Date { source, .. }
            | Self::Biofix { source, .. }
            | Self::SoilTemperature { source, .. }
            | Self::DayLength { source, .. } => source,
        }
    }

    /// The day of the year before which nothing counts; none for a biofix.
    pub fn day(&self) -> Option<&str> {
        match self {
            Self::Date { day, .. } | Self::SoilTemperature { day, .. } | Self::DayLength { day, .. } => Some(day),
            Self::Biofix { .. } => None,
        }
    }
}

/// Which way a threshold is crossed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Crossing {
    /// At the threshold or above it.
    AtOrAbove,
    /// At the threshold or below it.
    AtOrBelow,
}

/// Which temperature of a day's air is looked at.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum OfDay {
    /// The day's minimum.
    Minimum,
    /// Half of minimum and maximum.
    Mean,
    /// The day's maximum.
    Maximum,
}

/// Whether the first or the last day that fits is meant.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize, Default)]
#[serde(rename_all = "kebab-case")]
pub enum Which {
    /// The first.
    #[default]
    First,
    /// The last up to the day `until`.
    Last,
}

/// What drives a clock.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(tag = "by", rename_all = "kebab-case", deny_unknown_fields)]
pub enum Driver {
    /// Heat of the air, summed day by day.
    AirDegreeDays {
        /// Method: `average`, `modified-average`, `single-sine`, `double-sine`, `single-triangle`, `double-triangle`.
        method: String,
        /// Base temperature, e.g. `50 degF`.
        base: Quantity,
        /// Upper temperature, on the scale of the base.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        upper: Option<Quantity>,
        /// What happens above it: `horizontal`, `intermediate`, `vertical`; none without an upper temperature.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        cutoff: Option<String>,
        /// Source of method, base and upper temperature.
        source: Source,
    },
    /// Heat of the soil at a depth, summed day by day from daily means.
    SoilDegreeDays {
        /// Depth, e.g. `1 in`.
        depth: Quantity,
        /// Base temperature.
        base: Quantity,
        /// Source of depth and base.
        source: Source,
    },
    /// Mean soil temperature over so many days at a depth.
    SoilTemperature {
        /// Depth.
        depth: Quantity,
        /// Days over which the mean is taken.
        days: u32,
        /// Way of crossing.
        at: Crossing,
        /// Source of depth, days and way.
        source: Source,
    },
    /// A run of so many days on each of which the air's temperature lies at or beyond the threshold.
    AirTemperature {
        /// Which temperature of the day.
        of: OfDay,
        /// Days in a row; the event is the last of them.
        days: u32,
        /// Way of crossing.
        at: Crossing,
        /// First or last such day.
        #[serde(default)]
        which: Which,
        /// No later than this day, `MM-DD`.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        until: Option<String>,
        /// Source.
        source: Source,
    },
    /// Hours of chill from the start, then heat of the air from the day the chill is met. A start in the second half of the year is that
    /// of the year before.
    ChillThenHeat {
        /// An hour at or below this temperature chills, e.g. `45 degF`.
        chill_at: Quantity,
        /// Hours of chill that are needed.
        chill_hours: f64,
        /// Method of summing heat.
        method: String,
        /// Base temperature of the heat.
        base: Quantity,
        /// Source of chill, method and base.
        source: Source,
    },
    /// Hours from sunrise to sunset cross the threshold.
    DayLength {
        /// Way of crossing.
        at: Crossing,
        /// Source.
        source: Source,
    },
    /// The rain of so many days is at least (or at most) the threshold.
    Rain {
        /// Days whose rain is summed.
        days: u32,
        /// Way of crossing.
        at: Crossing,
        /// Source.
        source: Source,
    },
    /// So many days after the start.
    DaysAfter {
        /// Fewest days.
        from: u32,
        /// Most days.
        to: u32,
        /// Source of the days.
        source: Source,
    },
    /// Days of the calendar.
    Calendar {
        /// First day, `MM-DD`.
        from: String,
        /// Last day, `MM-DD`; before `from` when the range spans the new year.
        to: String,
        /// Source of the days.
        source: Source,
    },
}

impl Driver {
    /// Source of the driver.
    pub fn source(&self) -> &Source {
        match self {
            Self::AirDegreeDays { source, .. }
            | Self::SoilDegreeDays { source, .. }
            | Self::SoilTemperature { source, .. }
            | Self::AirTemperature { source, .. }
            | Self::ChillThenHeat { source, .. }
            | Self::DayLength { source, .. }
            | Self::Rain { source, .. }
            | Self::DaysAfter { source, .. }
            | Self::Calendar { source, .. } => source,
        }
    }

    /// The driver's name as it is written in the files.
    pub fn name(&self) -> &'static str {
        match self {
            Self::AirDegreeDays { .. } => "air-degree-days",
            Self::SoilDegreeDays { .. } => "soil-degree-days",
            Self::SoilTemperature { .. } => "soil-temperature",
            Self::AirTemperature { .. } => "air-temperature",
            Self::ChillThenHeat { .. } => "chill-then-heat",
            Self::DayLength { .. } => "day-length",
            Self::Rain { .. } => "rain",
            Self::DaysAfter { .. } => "days-after",
            Self::Calendar { .. } => "calendar",
        }
    }

    /// True where days alone drive it, which no weather moves: of the calendar, or counted from the start.
    pub fn by_days(&self) -> bool {
        matches!(self, Self::DaysAfter { .. } | Self::Calendar { .. })
    }

    /// Units that a threshold of this driver may have.
    pub fn units(&self) -> &'static [ThresholdUnit] {
        match self {
            Self::AirDegreeDays { .. } | Self::SoilDegreeDays { .. } | Self::ChillThenHeat { .. } => {
                &[ThresholdUnit::FahrenheitDays, ThresholdUnit::CelsiusDays]
            }
            Self::SoilTemperature { .. } | Self::AirTemperature { .. } => &[ThresholdUnit::DegF, ThresholdUnit::DegC],
            Self::DayLength { .. } => &[ThresholdUnit::Hours],
            Self::Rain { .. } => &[ThresholdUnit::Mm, ThresholdUnit::In],
            Self::DaysAfter { .. } | Self::Calendar { .. } => &[],
        }
    }
}

/// Unit of a threshold.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
pub enum ThresholdUnit {
    /// Fahrenheit degree-days; `F-days`.
    #[serde(rename = "F-days")]
    FahrenheitDays,
    /// Celsius degree-days; `C-days` (1 C-day is 1.8 F-days).
    #[serde(rename = "C-days")]
    CelsiusDays,
    /// Degrees Fahrenheit.
    #[serde(rename = "degF")]
    DegF,
    /// Degrees Celsius.
    #[serde(rename = "degC")]
    DegC,
    /// Hours of day length.
    #[serde(rename = "hours")]
    Hours,
    /// Millimetres of rain.
    #[serde(rename = "mm")]
    Mm,
    /// Inches of rain.
    #[serde(rename = "in")]
    In,
}

impl ThresholdUnit {
    /// The unit as it is written in the files.
    pub fn name(self) -> &'static str {
        match self {
            Self::FahrenheitDays => "F-days",
            Self::CelsiusDays => "C-days",
            Self::DegF => "degF",
            Self::DegC => "degC",
            Self::Hours => "hours",
            Self::Mm => "mm",
            Self::In => "in",
        }
    }

    /// A value of this unit in C-days, °C, hours or mm.
    pub fn si(self, value: f64) -> f64 {
        match self {
            Self::FahrenheitDays => value * 5.0 / 9.0,
            Self::DegF => (value - 32.0) * 5.0 / 9.0,
            Self::In => value * 25.4,
            Self::CelsiusDays | Self::DegC | Self::Hours | Self::Mm => value,
        }
    }
}

/// How much it takes, as a range.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Threshold {
    /// Lower end.
    pub low: f64,
    /// Upper end, not below `low`; the same for a single figure.
    pub high: f64,
    /// Unit of both.
    pub unit: ThresholdUnit,
    /// Source of the figures.
    pub source: Source,
}

/// How far individuals lie apart. Their dates are taken as normal about the middle one.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Individuals {
    /// Days from the tenth to the ninetieth of a hundred individuals.
    pub ten_to_ninety_days: f64,
    /// Share of individuals that have it when the threshold is met: 0.05 for a first sight, 0.5 for a peak.
    pub at_threshold: f64,
    /// Source.
    pub source: Source,
}

impl Individuals {
    /// Shares of individuals that are dated for each such clock.
    pub const SHARES: [f64; 3] = [0.1, 0.5, 0.9];
}

/// How wrong the model itself may be, in days either way: eight events in ten fall within them once the weather is known.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ModelError {
    /// Days either way; at least [`ModelError::LEAST_DAYS`] where it is not published.
    pub days: f64,
    /// Source.
    pub source: Source,
}

impl ModelError {
    /// Fewest days either way for an error that nobody has published.
    pub const LEAST_DAYS: f64 = 7.0;
}

/// What is seen when an event happens.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Indicator {
    /// In words: `border forsythia in full bloom`.
    pub seen: String,
    /// Key of the indicator's own clock, if it has one.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub clock: Option<String>,
    /// Source.
    pub source: Source,
}

/// Days either way by which the first bloom of a plant known only by months may miss the first of those months (memory).
const MONTHS_ERROR_DAYS: f64 = 12.0;

/// Clocks made from plants' months of bloom and times of cutting back, for those that no written clock of that kind names: wide, and
/// never read as a heat model. Keys are `bloom-begins-<plant>`, `bloom-ends-<plant>` and `cut-back-<plant>`.
pub fn of_plants<'a>(plants: impl Iterator<Item = &'a Plant>, written: &[&EventClock]) -> Vec<EventClock> {
    let named = |key: &str, kind: EventKind| written.iter().any(|clock| clock.kind == kind && clock.plant.as_deref() == Some(key));
    let mut made = Vec::new();
    for plant in plants {
        if !named(&plant.key, EventKind::Bloom) {
            made.extend(bloom_of(plant));
        }
        if !named(&plant.key, EventKind::CutBack) {
            made.extend(cut_back_of(plant));
        }
    }
    made
}

fn with_memory(source: &Source) -> Source {
    let mut keys = source.0.clone();
    if !keys.iter().any(|key| key == Source::MEMORY) {
        keys.push(Source::MEMORY.to_owned());
    }
    Source(keys)
}

/// Last day of a month as `MM-DD`, with February's 28th.
fn month_end(month: u8) -> String {
    let day = match month {
        2 => 28,
        4 | 6 | 9 | 11 => 30,
        _ => 31,
    };
    format!("{month:02}-{day:02}")
}

fn made(plant: &Plant, kind: EventKind, key: &str, what: &str, days: (String, String), source: &Source) -> EventClock {
    let source = with_memory(source);
    EventClock {
        key: format!("{key}-{}", plant.key),
        name: format!("{}: {what}", plant.name),
        kind,
        start: Start::Date { day: days.0.clone(), source: source.clone() },
        driver: Driver::Calendar { from: days.0, to: days.1, source: source.clone() },
        threshold: None,
        individuals: None,
        model_error: ModelError { days: MONTHS_ERROR_DAYS, source: Source(vec![Source::MEMORY.to_owned()]) },
        region: plant.bloom.region.clone(),
        edition: format!("plant entry as reviewed on {}", plant.reviewed),
        source,
        plant: Some(plant.key.clone()),
        trouble: None,
        stage: None,
        ends_stage: false,
        indicator: None,
        note: Some("Made from months of the plant entry: no heat model was read.".to_owned()),
        derived: true,
    }
}

fn bloom_of(plant: &Plant) -> Vec<EventClock> {
    let (from, to) = (plant.bloom.from_month, plant.bloom.to_month);
    if !(1..=12).contains(&from) || !(1..=12).contains(&to) {
        return Vec::new();
    }
    let month = |month: u8| (format!("{month:02}-01"), month_end(month));
    vec![
        made(plant, EventKind::Bloom, "bloom-begins", "first flowers", month(from), &plant.bloom.source),
        made(plant, EventKind::Bloom, "bloom-ends", "last flowers", month(to), &plant.bloom.source),
    ]
}

fn cut_back_of(plant: &Plant) -> Option<EventClock> {
    let days = |from: &str, to: &str| (from.to_owned(), to.to_owned());
    let (days, what) = match plant.cut_back.when {
        CutBackWhen::LateWinter => (days("02-15", "03-25"), "cut back in late winter"),
        CutBackWhen::EarlySpring => (days("03-15", "04-20"), "cut back in early spring"),
        CutBackWhen::Autumn => (days("10-15", "11-20"), "cut back in autumn"),
        CutBackWhen::AfterBloom => {
            let last = plant.bloom.to_month;
            if !(1..=12).contains(&last) {
                return None;
            }
            let next = last % 12 + 1;
            ((format!("{last:02}-20"), format!("{next:02}-20")), "cut back after bloom")
        }
        CutBackWhen::None => return None,
    };
    Some(made(plant, EventKind::CutBack, "cut-back", what, days, &plant.cut_back.source))
}
