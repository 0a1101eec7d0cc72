//! The class of action, from expected loss over the causes: two causes with the same remedy need no splitting.

use crate::diagnosis::{Cause, CauseTable, Density, Diagnosis, Field, SOMETHING_ELSE, density, in_days, in_field_order};
use crate::forbidden::{Facts, Withheld, forbidden};
use crate::letter::{Presence, Understood};
use crate::place::Hemisphere;
use groundlore_lore::Lore;
use groundlore_lore::control::ControlClass;
use groundlore_lore::trouble::{ActionClass, Clock, Stage, Trouble, TroubleKind};
use jiff::civil::Date;
use serde::{Deserialize, Deserializer, Serialize, Serializer};

/// Classes of action, with help for danger.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum AdviceClass {
    /// Danger: call for help.
    GetHelpNow,
    /// One of lore's classes.
    Of(ActionClass),
}

impl AdviceClass {
    /// The words a person reads.
    pub fn words(self) -> &'static str {
        match self {
            Self::GetHelpNow => "get help now",
            Self::Of(class) => class.words(),
        }
    }
}

impl<'de> Deserialize<'de> for AdviceClass {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        let words = String::deserialize(deserializer)?;
        let lore = [ActionClass::ActNow, ActionClass::ActAtAStage, ActionClass::Watch, ActionClass::LeaveItAlone].map(Self::Of);
        let known = std::iter::once(Self::GetHelpNow).chain(lore).find(|class| class.words() == words);
        known.ok_or_else(|| serde::de::Error::custom(format!("`{words}` is no class of action")))
    }
}

impl Serialize for AdviceClass {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.serialize_str(self.words())
    }
}

/// What to do.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct ActionAdvice {
    /// Class.
    pub class: AdviceClass,
    /// The stage, for `act at a stage`.
    pub stage: Option<String>,
    /// Why, in a sentence or two.
    pub why: String,
    /// Key of the cause that the steps are for.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub aimed_at: Option<String>,
    /// What may be done about that cause here and now, culture first; empty where nothing is to be done yet.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub controls: Vec<Advised>,
    /// What would harm here and now, with why.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub withheld: Vec<Withheld>,
}

/// A control that may be used.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Advised {
    /// Key in lore.
    pub control: String,
    /// Name.
    pub name: String,
    /// True where a label rules it: then the label card comes first.
    pub needs_label: bool,
}

/// Least probability of the causes that a material under a label serves at which a letter alone may name it.
const SURE_ENOUGH_FOR_A_LABEL: f64 = 0.8;

/// Sorts the controls of the cause aimed at into those that may be used and those that would harm, or may: what a label rules is named only
/// where the causes that it serves are sure enough.
pub(super) fn with_controls(mut advice: ActionAdvice, lore: &Lore, facts: &Facts, causes: &[Cause]) -> ActionAdvice {
    let acts = matches!(advice.class, AdviceClass::Of(ActionClass::ActNow | ActionClass::ActAtAStage));
    let aimed = advice.aimed_at.as_ref().filter(|_| acts).and_then(|key| lore.troubles.get(key));
    let Some(trouble) = aimed else { return advice };
    for control in trouble.action.controls.iter().filter_map(|key| lore.controls.get(key)) {
        let serves = |cause: &&Cause| lore.troubles.get(&cause.key).is_some_and(|t| t.action.controls.contains(&control.key));
        let sure: f64 = causes.iter().filter(serves).map(|cause| cause.probability).sum();
        match forbidden(trouble, control, facts) {
            None if control.needs_label && sure < SURE_ENOUGH_FOR_A_LABEL => advice.withheld.push(Withheld {
                control: control.key.clone(),
                name: control.name.clone(),
                why: format!(
                    "the letter alone makes its causes {} likely; take the next look before any material is thought of",
                    percent(sure)
                )
                .into(),
                source: "memory".into(),
            }),
            Some(row) => advice.withheld.push(Withheld {
                control: control.key.clone(),
                name: control.name.clone(),
                why: row.why.into(),
                source: row.source.into(),
            }),
            None => {
                advice.controls.push(Advised { control: control.key.clone(), name: control.name.clone(), needs_label: control.needs_label })
            }
        }
    }
    // Culture first, then living controls, then what a label rules.
    advice.controls.sort_by_key(|c| (c.needs_label, lore.controls.get(&c.control).map(|k| k.class != ControlClass::Practice)));
    advice
}

/// What is true of a cause, for the loss table.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Truth {
    /// Lore's class for it, after the count.
    Class(ActionClass),
    /// Harms nothing.
    Harmless,
    /// Not in lore.
    Unknown,
}

/// Loss of advising a class (row) where the truth calls for another (column): 0 right, 1 a season lost; to act on what
/// harms nothing is worst of all.
/// Judgement of the trade, not measured.
fn loss(advice: ActionClass, truth: Truth) -> f64 {
    use ActionClass::{ActAtAStage, ActNow, LeaveItAlone, Watch};
    let column = match truth {
        Truth::Class(ActNow) => 0,
        Truth::Class(ActAtAStage) => 1,
        Truth::Class(Watch) => 2,
        Truth::Class(LeaveItAlone) => 3,
        Truth::Harmless => 4,
        Truth::Unknown => 5,
    };
    let row: [f64; 6] = match advice {
        ActNow => [0.0, 0.5, 0.5, 0.6, 2.0, 0.55],
        ActAtAStage => [0.5, 0.0, 0.4, 0.5, 1.6, 0.5],
        Watch => [0.55, 0.5, 0.0, 0.35, 0.4, 0.1],
        LeaveItAlone => [0.9, 0.8, 0.45, 0.0, 0.0, 0.5],
    };
    row[column]
}

/// Loss of the right class of action with steps for another cause that shares no control with this one.
const WRONG_REMEDY: f64 = 0.3;

/// Truth of a cause after the letter's counts.
pub(crate) fn truth(trouble: &Trouble, found: Option<Density>) -> Truth {
    if trouble.kind == TroubleKind::Harmless {
        return Truth::Harmless;
    }
    let published = trouble.thresholds.iter().any(|t| t.source.is_published());
    Truth::Class(match found {
        Some(Density::FarBelow) if published => ActionClass::LeaveItAlone,
        Some(Density::FarBelow | Density::Below) => ActionClass::Watch,
        Some(Density::Above) if published && trouble.stages.iter().any(|s| s.treatable) && trouble.action.class == ActionClass::Watch => {
            ActionClass::ActAtAStage
        }
        _ => trouble.action.class,
    })
}

/// A choice: a class, and for the acting ones the cause that its steps are for.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Choice {
    pub(crate) class: ActionClass,
    pub(crate) aimed_at: Option<usize>,
    pub(crate) loss: f64,
}

/// The choice of least expected loss. `truths` and `posterior` are in field order with the leak last.
pub(crate) fn choose(field: &Field<'_>, truths: &[Truth], posterior: &[f64]) -> Choice {
    let passive = [ActionClass::Watch, ActionClass::LeaveItAlone].into_iter().map(|class| (class, None));
    // Steps are for the likeliest cause of the class, never for a bystander.
    let active = [ActionClass::ActNow, ActionClass::ActAtAStage].into_iter().filter_map(|class| {
        let likeliest =
            (0..truths.len()).filter(|i| truths[*i] == Truth::Class(class)).max_by(|a, b| posterior[*a].total_cmp(&posterior[*b]))?;
        (posterior[likeliest] > 0.05).then_some((class, Some(likeliest)))
    });
    passive
        .chain(active)
        .map(|(class, aimed_at)| Choice { class, aimed_at, loss: expected(field, truths, posterior, class, aimed_at) })
        .reduce(|best, next| if next.loss < best.loss { next } else { best })
        .unwrap_or(Choice { class: ActionClass::Watch, aimed_at: None, loss: 1.0 })
}

fn expected(field: &Field<'_>, truths: &[Truth], posterior: &[f64], class: ActionClass, aimed_at: Option<usize>) -> f64 {
    posterior
        .iter()
        .zip(truths)
        .enumerate()
        .map(|(j, (p, truth))| {
            let other = aimed_at.is_some_and(|i| i != j && *truth == Truth::Class(class) && !field.table.share_remedy(i, j));
            p * (loss(class, *truth) + if other { WRONG_REMEDY } else { 0.0 })
        })
        .sum()
}

/// Truths of all causes in field order, the leak last.
pub(crate) fn truths(field: &Field<'_>, understood: &[Understood]) -> Vec<Truth> {
    field.troubles.iter().map(|t| truth(t, density(t, understood))).chain(std::iter::once(Truth::Unknown)).collect()
}

/// The day of a letter, where it is known, with the half of the globe: a stage may be running on it.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub struct Day {
    /// Day.
    pub date: Option<Date>,
    /// Half of the globe; the northern is taken where it is not known.
    pub hemisphere: Option<Hemisphere>,
}

/// The advice for a diagnosis, on a day.
pub fn advise(lore: &Lore, table: &CauseTable, diagnosis: &Diagnosis, understood: &[Understood], day: Day) -> ActionAdvice {
    let field = Field::new(lore, table);
    let posterior = in_field_order(&field, &diagnosis.causes);
    let truths = truths(&field, understood);
    let choice = if diagnosis.findings_used == 0 {
        Choice { class: ActionClass::Watch, aimed_at: None, loss: 1.0 }
    } else {
        choose(&field, &truths, &posterior)
    };
    let likeliest_of_class = || {
        let fits = |j: usize| match truths[j] {
            Truth::Class(class) => class == choice.class,
            Truth::Harmless => choice.class == ActionClass::LeaveItAlone,
            Truth::Unknown => false,
        };
        (0..truths.len()).filter(|j| fits(*j) && posterior[*j] > 0.1).max_by(|a, b| posterior[*a].total_cmp(&posterior[*b]))
    };
    let aimed = choice.aimed_at.or_else(likeliest_of_class).and_then(|i| field.troubles.get(i).copied());
    let class = sure_enough(held_back(lore, choice.class, aimed), aimed, diagnosis, lore, understood);
    let aimed = aimed.filter(|_| class == choice.class || class != ActionClass::Watch);
    let running = aimed.filter(|_| class == ActionClass::ActAtAStage).and_then(|t| stage_that_runs(lore, t, diagnosis, day));
    let class = if running.is_some() { ActionClass::ActNow } else { class };
    let now = running.map_or_else(String::new, |s| {
        let count = if aimed.is_some_and(|t| t.count.is_some()) { " Count first." } else { "" };
        format!(" The stage to act at is running now: {}.{count}", lower_first(&s.name))
    });
    ActionAdvice {
        class: AdviceClass::Of(class),
        stage: running.map(|s| s.name.clone()).or_else(|| aimed.filter(|_| class == ActionClass::ActAtAStage).map(stage_words)),
        why: why(class, aimed, diagnosis, understood) + &now,
        aimed_at: aimed.map(|t| t.key.clone()),
        controls: Vec::new(),
        withheld: Vec::new(),
    }
}

/// Least probability of a cause at which its stage, if it runs on the day, makes `act at a stage` mean now.
const SURE_OF_THE_CAUSE: f64 = 0.5;

/// The treatable stage of what lives that runs on the day by the entry's calendar, where something other than a material under a label can
/// be done: the time to count, and to act if the count says so, is then now.
fn stage_that_runs<'a>(lore: &Lore, trouble: &'a Trouble, diagnosis: &Diagnosis, day: Day) -> Option<&'a Stage> {
    let date = day.date?;
    let lives = trouble.kind != TroubleKind::Abiotic;
    let sure = diagnosis.causes.iter().any(|c| c.key == trouble.key && c.present >= SURE_OF_THE_CAUSE);
    let other_than_materials = trouble
        .action
        .controls
        .iter()
        .filter_map(|k| lore.controls.get(k))
        .any(|c| c.class != ControlClass::ActiveIngredient && !c.needs_label);
    let runs = |s: &&Stage| match &s.clock {
        Clock::Calendar { from, to, .. } => in_days(from, to, date, day.hemisphere),
        _ => false,
    };
    trouble.stages.iter().filter(|s| s.treatable && lives && sure && other_than_materials).find(runs)
}

/// `act now` needs a practice to act with: where lore knows only materials under a label, the letter alone is too little, so count first.
fn held_back(lore: &Lore, class: ActionClass, aimed: Option<&Trouble>) -> ActionClass {
    let Some(trouble) = aimed.filter(|_| class == ActionClass::ActNow) else { return class };
    let controls: Vec<_> = trouble.action.controls.iter().filter_map(|k| lore.controls.get(k)).collect();
    let only_materials = !controls.is_empty() && controls.iter().all(|c| c.class == ControlClass::ActiveIngredient || c.needs_label);
    if only_materials && trouble.action.steps.len() < 2 { ActionClass::Watch } else { class }
}

/// Least probability of harmless causes together at which a letter without a clear cause may be left alone.
const SURELY_HARMLESS: f64 = 0.6;

/// Where no cause stands out, and where a sign of injury speaks against the harmless thing that does, the answer is to look again.
fn sure_enough(class: ActionClass, aimed: Option<&Trouble>, diagnosis: &Diagnosis, lore: &Lore, understood: &[Understood]) -> ActionClass {
    let harmless: f64 = diagnosis.causes.iter().filter(|c| c.harmless).map(|c| c.probability).sum();
    let leaves_alone = class == ActionClass::LeaveItAlone;
    let unclear = diagnosis.cannot_tell && !(leaves_alone && harmless >= SURELY_HARMLESS);
    let belied = leaves_alone && aimed.is_some_and(|t| t.kind == TroubleKind::Harmless && injury_belies(t, lore, understood));
    if unclear || belied { ActionClass::Watch } else { class }
}

/// True where a finding that is surely there is one that the harmless thing hardly ever shows though others do.
fn injury_belies(trouble: &Trouble, lore: &Lore, understood: &[Understood]) -> bool {
    const HARDLY_EVER: f64 = 0.08;
    const TIMES_RARER: f64 = 3.0;
    understood.iter().filter(|u| u.present == Presence::Yes).any(|u| {
        let background = lore.findings.get(&u.finding).map_or(0.0, |f| f64::midpoint(f.background.low, f.background.high));
        trouble
            .findings
            .iter()
            .any(|l| l.finding == u.finding && l.high <= HARDLY_EVER && background >= TIMES_RARER * f64::midpoint(l.low, l.high))
    })
}

/// The stage in words: the name of the entry's stage, or the plain words it gives.
pub(crate) fn stage_words(trouble: &Trouble) -> String {
    let stage = trouble.action.stage.as_deref();
    let by_key = stage.and_then(|s| trouble.stages.iter().find(|g| g.key == s));
    let treatable = || trouble.stages.iter().find(|g| g.treatable);
    by_key
        .map(|g| g.name.clone())
        .or_else(|| stage.map(str::to_owned))
        .or_else(|| treatable().map(|g| g.name.clone()))
        .unwrap_or_else(|| "at the stage that the next look shows".to_owned())
}

fn why(class: ActionClass, aimed: Option<&Trouble>, diagnosis: &Diagnosis, understood: &[Understood]) -> String {
    let top = diagnosis.causes.first();
    let Some(trouble) = aimed else {
        return match top.filter(|c| c.key != SOMETHING_ELSE && diagnosis.findings_used > 0) {
            Some(cause) => format!(
                "It could be {} ({}), but that is not sure enough to act on; one more look costs little and a wrong remedy costs more.",
                lower_first(&cause.name),
                percent(cause.probability)
            ),
            None => "The letter tells too little to name a cause; look first, and do nothing that cannot be undone.".to_owned(),
        };
    };
    let odds = diagnosis.causes.iter().find(|c| c.key == trouble.key).map_or(0.0, |c: &Cause| c.probability);
    let count = match density(trouble, understood) {
        Some(Density::FarBelow) => " The count told is far under the lowest published threshold.",
        Some(Density::Below) => " The count told is under the lowest published threshold.",
        Some(Density::Between) => " The count told lies between the published thresholds: the species and how well the turf grows decide.",
        Some(Density::Above) => " The count told is over the highest published threshold.",
        None if class == ActionClass::ActAtAStage && trouble.count.is_some() => " Count before anything is bought or spread.",
        None => "",
    };
    format!("{} ({}): {}{count}", trouble.name, percent(odds), trouble.action.why.trim())
}

/// `62 %`; the ends are not called certain.
pub(crate) fn percent(p: f64) -> String {
    match p {
        p if p >= 0.985 => "over 98 %".to_owned(),
        p if p < 0.015 => "under 2 %".to_owned(),
        p => format!("{:.0} %", 100.0 * p),
    }
}

/// Lowers the first letter unless the word is an abbreviation.
pub(crate) fn lower_first(text: &str) -> String {
    let mut chars = text.chars();
    match (chars.next(), text.chars().nth(1)) {
        (Some(first), Some(second)) if second.is_lowercase() => first.to_lowercase().chain(chars).collect(),
        _ => text.to_owned(),
    }
}
