//! Troubles of lawns and beds, and the harmless things that are taken for them.

use crate::provenance::{DayRange, QuantityRange, ShareRange, Source};
use groundlore_quantity::Quantity;
use serde::{Deserialize, Serialize};

/// What kind of thing an entry is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum TroubleKind {
    /// Disease of turf.
    TurfDisease,
    /// Insect or mite of turf.
    TurfInsect,
    /// Weed.
    Weed,
    /// Insect or mite of ornamentals.
    OrnamentalInsect,
    /// Disease of ornamentals.
    OrnamentalDisease,
    /// Weather, soil, animals, machines, or people's own work.
    Abiotic,
    /// A bird or mammal that digs, gnaws or browses.
    Animal,
    /// Worries owners, harms nothing.
    Harmless,
}

/// The class of action that a cause calls for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum ActionClass {
    /// Do something now.
    ActNow,
    /// Do something at a stage of the pest, plant or season.
    ActAtAStage,
    /// Count or look again; nothing else yet.
    Watch,
    /// Nothing to do.
    LeaveItAlone,
}

impl ActionClass {
    /// The words a person reads: `act now`, `act at a stage`, `watch`, `leave it alone`.
    pub fn words(self) -> &'static str {
        match self {
            Self::ActNow => "act now",
            Self::ActAtAStage => "act at a stage",
            Self::Watch => "watch",
            Self::LeaveItAlone => "leave it alone",
        }
    }
}

/// One entry of `lore/troubles/`.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Trouble {
    /// Key, the same as the file's name.
    pub key: String,
    /// Name in the trade's words.
    pub name: String,
    /// Scientific name or names; none for abiotic causes.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub scientific: Option<String>,
    /// Other names, for finding the entry.
    #[serde(default)]
    pub also_called: Vec<String>,
    /// What kind of thing it is.
    pub kind: TroubleKind,
    /// Key of the wider entry that this is one of: magnolia scale is one of the scale insects.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub kind_of: Option<String>,
    /// Two or three plain sentences on what it is.
    pub summary: String,
    /// Where the entry holds.
    pub region: String,
    /// Day on which the entry was last reviewed, `YYYY-MM-DD`.
    pub reviewed: String,
    /// Host words this is seen on: `lawn`, `bed`, `shrub`, `tree`, or a plant's common name or genus (`rose`, `azalea`, `oak`).
    pub hosts: Vec<String>,
    /// Relative weight among letters about these hosts at its season (about 0.01 rare, 0.3 very common).
    pub prior: ShareRange,
    /// When its signs show. Out of season the prior is multiplied by `off_season`.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub season: Option<DayRange>,
    /// Factor on the prior outside the season, 0–1.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub off_season: Option<ShareRange>,
    /// Generations a year, for insects and mites: under 1 where one takes years. None where not said, and for what has none.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub generations_a_year: Option<ShareRange>,
    /// Conditions of weather or yard that make it more or less likely.
    #[serde(default)]
    pub favoured_by: Vec<Favour>,
    /// How likely each finding is where this is the cause and somebody looked. Findings not listed have their background share.
    #[serde(default)]
    pub findings: Vec<Likelihood>,
    /// What it is taken for, and what tells the two apart.
    #[serde(default)]
    pub look_alikes: Vec<LookAlike>,
    /// How it is counted, if it is.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub count: Option<CountMethod>,
    /// Densities at which it injures.
    #[serde(default)]
    pub thresholds: Vec<Threshold>,
    /// Said where no good figure is known: the statement and its source.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub no_good_threshold: Option<SourcedText>,
    /// Stages with the time they are expected.
    #[serde(default)]
    pub stages: Vec<Stage>,
    /// What to do.
    pub action: Action,
    /// What to tell the owner, in plain, kind words (the core of the reply).
    pub for_the_owner: String,
    /// Thresholds that are not counts per area (per leaf, per trap, share of leaf lost), in words.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub thresholds_in_words: Vec<SourcedText>,
    /// Where the law asks for a report: neither treated nor left alone there.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub regulated: Vec<Regulated>,
    /// What a laboratory can and cannot tell.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub laboratory: Option<Laboratory>,
    /// Cautions that go with any work on this.
    #[serde(default)]
    pub cautions: Vec<String>,
}

/// A condition that raises (factor above 1) or lowers the odds of a cause.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Favour {
    /// The condition.
    pub condition: Condition,
    /// Likelihood ratio where the condition holds, as a range.
    pub factor: ShareRange,
}

/// Conditions known from the weather, the map or the records.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Condition {
    /// Less than 10 mm of rain in the last 14 days.
    DrySpell,
    /// More than 50 mm of rain in the last 14 days.
    WetSpell,
    /// Mean maximum above 29 °C over the last 7 days.
    Heat,
    /// Mean minimum above 20 °C over the last 5 days.
    WarmNights,
    /// Mean temperature between 7 and 20 °C over the last 7 days.
    CoolMild,
    /// Snow lay within the last 60 days.
    SnowLay,
    /// The place is shaded.
    Shade,
    /// The place is irrigated.
    Irrigated,
    /// The place is not irrigated.
    Unwatered,
    /// Fed within the last 30 days.
    LatelyFed,
    /// Little or no nitrogen this year.
    Hungry,
    /// Mower blades past their hours.
    DullBlades,
    /// Much walking or driving on it.
    FootTraffic,
    /// A salted road, drive or path beside it.
    SaltedWay,
    /// A dog lives there.
    Dog,
    /// The same cause was confirmed nearby this season.
    ConfirmedNearby,
    /// Planted or laid within the last two years.
    NewPlanting,
    /// Mulch or block is ringed against the trunk.
    RingedTrunk,
    /// Ground that stays wet or drains badly.
    WetSoil,
    /// Soil of high pH.
    LimySoil,
    /// Thatch thicker than half an inch.
    ThickThatch,
    /// A frost after growth began.
    LateFrost,
    /// A winter colder than is usual here.
    HardWinter,
    /// An open, windy place.
    Wind,
    /// A weedkiller was used here or next door within weeks.
    WeedkillerLately,
    /// Building or digging over the roots within years.
    GroundDisturbed,
}

/// How likely a finding is under this cause.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Likelihood {
    /// Key of the finding.
    pub finding: String,
    /// P(finding | this cause), lower end.
    pub low: f64,
    /// P(finding | this cause), upper end.
    pub high: f64,
    /// Where it comes from.
    pub source: Source,
}

/// A cause that this is taken for.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct LookAlike {
    /// Key of the other trouble.
    pub trouble: String,
    /// Key of the finding that splits the two.
    pub split_by: String,
    /// How to tell, in a sentence.
    pub how: String,
}

/// How something is counted.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct CountMethod {
    /// The method.
    pub method: Method,
    /// Area of one sample, e.g. `1 ft2`; for traps and beats, none.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub sample_area: Option<Quantity>,
    /// What one sample is, in words (`a flap of sod 1 ft on each side`).
    pub sample: String,
    /// What is counted (`grubs of all sizes, by raster pattern`).
    pub counted: String,
    /// What this method cannot see.
    pub blind_to: String,
    /// Minutes for one sample.
    pub effort: QuantityRange,
    /// Dispersion k of the negative binomial for this unit, if known.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub dispersion_k: Option<ShareRange>,
    /// Days of the year on which counting tells most.
    pub when: DayRange,
    /// Source of the method.
    pub source: Source,
}

/// Ways to count.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Method {
    /// Cut and peel a flap of sod.
    Flap,
    /// Soap and water, wait, count what comes up.
    Flush,
    /// Open can pushed in and filled with water.
    Flotation,
    /// Trap, by nights.
    Trap,
    /// Beat a branch over a sheet.
    Beat,
    /// Look at leaves, stems or trunks and count.
    Look,
    /// Cover or number in a quadrat.
    Quadrat,
}

/// A density at which injury or loss is expected.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Threshold {
    /// Species or group it holds for (`Japanese beetle`, `European chafer`).
    pub species: String,
    /// How the species is told in the hand (for grubs, the raster pattern), if that is how.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub told_by: Option<String>,
    /// Stage counted.
    pub stage: String,
    /// Lower end, e.g. `8 per ft2`.
    pub low: Quantity,
    /// Upper end.
    pub high: Quantity,
    /// Where it holds.
    pub region: String,
    /// Condition of the ground (`irrigated`, `not watered`), if stated.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub condition: Option<String>,
    /// Source.
    pub source: Source,
}

/// A statement with its source.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct SourcedText {
    /// The statement, in our words.
    pub text: String,
    /// Source.
    pub source: Source,
}

/// A stage in the life of the trouble, with its clock.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Stage {
    /// Key, e.g. `egg-hatch`, `small-grubs`.
    pub key: String,
    /// Name for people.
    pub name: String,
    /// When it is expected.
    pub clock: Clock,
    /// True if a control aimed at this trouble works on this stage.
    #[serde(default)]
    pub treatable: bool,
}

/// When something is expected.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(tag = "driver", rename_all = "kebab-case", deny_unknown_fields)]
pub enum Clock {
    /// Heat summed from a date. `low`..`high` is the published range of the threshold.
    AirDegreeDays {
        /// Start of the sum, `MM-DD`.
        start: String,
        /// Lower threshold, e.g. `50 degF`.
        base: Quantity,
        /// Method (`average`, `single-sine`, …).
        method: String,
        /// Heat sum at the lower end, in degree-days of the scale of `base`.
        low: f64,
        /// Heat sum at the upper end.
        high: f64,
        /// Region of the model.
        region: String,
        /// Source; a model whose start or method is not published says `memory` beside its key.
        source: Source,
    },
    /// Days of the calendar.
    Calendar {
        /// First day, `MM-DD`.
        from: String,
        /// Last day, `MM-DD`.
        to: String,
        /// Region.
        region: String,
        /// Source.
        source: Source,
    },
}

/// What a trouble calls for.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Action {
    /// Class of action when this is surely the cause (before any count).
    pub class: ActionClass,
    /// The stage, for `act at a stage` (a stage key of this entry, or plain words such as `spring, before bud break`).
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub stage: Option<String>,
    /// Why, in a sentence or two.
    pub why: String,
    /// Steps, culture first.
    pub steps: Vec<String>,
    /// Keys of controls that can serve, practices first; may be empty.
    #[serde(default)]
    pub controls: Vec<String>,
    /// Weeks after which an untreated case usually looks better by itself, if it does.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub recovers_in: Option<QuantityRange>,
    /// Source of the advice.
    pub source: Source,
}

/// A row of the dated list of regulated organisms: at this place this cause is reported, not treated and not left alone.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Regulated {
    /// EPPO code of the organism, as `AGRLPL`.
    pub eppo: String,
    /// Places where a rule holds, as `New York`, `United States`, `European Union`.
    pub places: Vec<String>,
    /// Day on which the list was looked at, as `2026-11-25`.
    pub listed: String,
    /// Whom to tell, in general words (no telephone numbers: they change).
    pub tell: String,
    /// Where the row comes from.
    pub source: Source,
}

/// A laboratory test that can tell this trouble.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Laboratory {
    /// What is sent, and how it is taken.
    pub sample: String,
    /// What the test shows.
    pub shows: String,
    /// What it cannot tell.
    pub cannot_tell: String,
    /// What it costs, in US dollars.
    pub cost: ShareRange,
    /// How long the answer takes.
    pub takes: QuantityRange,
    /// Share of true cases that it finds, 0-1.
    pub sensitivity: ShareRange,
    /// Share of sound samples that it calls sound, 0-1.
    pub specificity: ShareRange,
}
