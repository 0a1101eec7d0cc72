//! The lore as a whole: every shelf in memory, and the file each entry came from.

use crate::control::{Control, Target};
use crate::event_clock::{self, EventClock};
use crate::fault::{LoreErrors, LoreFault, Weight};
use crate::finding::Finding;
use crate::material::{Material, SourceEntry, WorkNorm};
use crate::place;
use crate::plant::Plant;
use crate::provenance::{Source, Standing};
use crate::reading::{Layer, Reader};
use crate::shelf::Shelf;
use crate::telling::Telling;
use crate::trouble::Trouble;
use serde::Serialize;
use std::collections::BTreeMap;
use std::path::Path;
use std::sync::Arc;

/// All that is known, by shelf and key.
///
/// # Example
/// ```
/// # use groundlore_lore::Lore;
/// let (lore, faults) = Lore::built_in_lenient(None);
/// assert!(faults.is_empty(), "{faults:?}");
/// assert!(lore.controls.contains_key("sharpen-blades"));
/// ```
#[derive(Debug, Clone, Default, Serialize)]
pub struct Lore {
    /// Troubles of lawns and beds, and the harmless things taken for them.
    pub troubles: BTreeMap<String, Trouble>,
    /// What an owner may say or a scout may see.
    pub findings: BTreeMap<String, Finding>,
    /// Garden plants.
    pub plants: BTreeMap<String, Plant>,
    /// Active ingredients, organisms and practices.
    pub controls: BTreeMap<String, Control>,
    /// Mulch, base, block, seed and the like.
    pub materials: BTreeMap<String, Material>,
    /// How long a piece of work takes.
    pub work_norms: BTreeMap<String, WorkNorm>,
    /// What the source keys stand for.
    pub sources: BTreeMap<String, SourceEntry>,
    /// Clocks of the season, as written; those made from plants' months come from [`Lore::all_clocks`].
    pub clocks: BTreeMap<String, EventClock>,
    /// How owners tell of a trouble, by the trouble's key.
    pub tellings: BTreeMap<String, Telling>,
    #[serde(skip)]
    pub(crate) origins: BTreeMap<(Shelf, String), Origin>,
}

/// The text an entry was read from.
#[derive(Debug, Clone)]
pub(crate) struct Origin {
    /// File as shown to people.
    pub(crate) file: String,
    /// The text that holds the entry.
    pub(crate) text: Arc<str>,
    /// Lines of the file before that text.
    pub(crate) lines_before: usize,
    /// Path of the entry in the text (`finding[3]`), empty where the file is the entry.
    pub(crate) root: String,
}

impl Origin {
    /// Line of a field of the entry in its file. Reads the text anew, so it is for faults only.
    pub(crate) fn line_of(&self, field: &str) -> Option<usize> {
        let path = match (self.root.as_str(), field) {
            ("", field) => field.to_owned(),
            (root, "") => root.to_owned(),
            (root, field) => format!("{root}.{field}"),
        };
        place::line_of(&self.text, &path).map(|line| line + self.lines_before)
    }
}

impl Lore {
    /// The lore that is embedded in this crate. Pure: the same answer at every call, no file is touched.
    ///
    /// # Errors
    /// Every file that cannot be read as what it should be, with line, field, value and remedy.
    pub fn built_in() -> Result<Self, LoreErrors> {
        strict(Self::built_in_lenient(None))
    }

    /// The embedded lore with a firm's overlay folder on top: an entry there with the same key wins over ours.
    ///
    /// # Errors
    /// As [`Lore::built_in`], for both.
    pub fn built_in_with(overlay: &Path) -> Result<Self, LoreErrors> {
        strict(Self::built_in_lenient(Some(overlay)))
    }

    /// Like [`Lore::built_in_with`], but what is good is given back together with what is wrong: a wrong entry of the overlay
    /// leaves ours in place.
    pub fn built_in_lenient(overlay: Option<&Path>) -> (Self, Vec<LoreFault>) {
        read(std::iter::once(Layer::embedded()).chain(overlay.map(Layer::overlay)))
    }

    /// The lore of a folder laid out as ours (`troubles/`, `findings/`, …, `sources.toml`), with an overlay folder on top, if any.
    ///
    /// # Errors
    /// As [`Lore::built_in`]; also when a folder or file cannot be opened.
    pub fn load(dir: &Path, overlay: Option<&Path>) -> Result<Self, LoreErrors> {
        strict(Self::load_lenient(dir, overlay))
    }

    /// Like [`Lore::load`], but what is good is given back together with what is wrong.
    pub fn load_lenient(dir: &Path, overlay: Option<&Path>) -> (Self, Vec<LoreFault>) {
        read(std::iter::once(Layer::folder(dir)).chain(overlay.map(Layer::overlay)))
    }

    /// How firmly a figure with this source stands: a key counts as read only where `sources.toml` says so.
    ///
    /// ```
    /// # use groundlore_lore::{Lore, provenance::{Source, Standing}};
    /// let (lore, _) = Lore::built_in_lenient(None);
    /// let source = |keys: &[&str]| Source(keys.iter().map(|key| (*key).to_owned()).collect());
    /// assert_eq!(lore.standing(&source(&["ncsu-mowing-height-2015"])), Standing::Read);
    /// assert_eq!(lore.standing(&source(&["ncsu-mowing-height-2015", "memory"])), Standing::PartlyRead);
    /// assert_eq!(lore.standing(&source(&["common practice"])), Standing::Recalled);
    /// ```
    pub fn standing(&self, source: &Source) -> Standing {
        let read = source.0.iter().filter(|key| self.sources.get(*key).is_some_and(|entry| entry.read)).count();
        match read {
            0 => Standing::Recalled,
            n if n == source.0.len() => Standing::Read,
            _ => Standing::PartlyRead,
        }
    }

    /// The sources of a figure as a reader can look them up: the citation of each key, or `memory`, or `common practice`.
    pub fn cite(&self, source: &Source) -> Vec<String> {
        source.0.iter().map(|key| self.sources.get(key).map_or_else(|| key.clone(), |entry| entry.citation.clone())).collect()
    }

    /// Controls with a target for a trouble, at a stage if one is given, practices first; each with its targets that fit.
    /// A target that names no stage fits any.
    ///
    /// ```
    /// # use groundlore_lore::Lore;
    /// let (lore, _) = Lore::built_in_lenient(None);
    /// let fit = lore.controls_for("white-grubs-annual", Some("large-grubs-spring"));
    /// assert!(fit.iter().any(|(control, _)| control.key == "trichlorfon"));
    /// assert!(!fit.iter().any(|(control, _)| control.key == "chlorantraniliprole"));
    /// ```
    pub fn controls_for(&self, trouble: &str, stage: Option<&str>) -> Vec<(&Control, Vec<&Target>)> {
        let fits = |target: &Target| {
            target.trouble == trouble
                && (target.stages.is_empty() || stage.is_none_or(|stage| target.stages.iter().any(|known| known == stage)))
        };
        let mut fit: Vec<(&Control, Vec<&Target>)> = self
            .controls
            .values()
            .map(|control| (control, control.targets.iter().filter(|target| fits(target)).collect::<Vec<_>>()))
            .filter(|(_, targets)| !targets.is_empty())
            .collect();
        fit.sort_by(|(a, _), (b, _)| (a.class, &a.key).cmp(&(b.class, &b.key)));
        fit
    }

    /// How firmly a clock stands: the weakest of its start, its driver, its threshold and the clock as a whole. Only a clock whose
    /// parts were all read is [`Standing::Read`]; any other is drawn apart and never opens a treatment window by itself.
    ///
    /// ```
    /// # use groundlore_lore::{Lore, provenance::Standing};
    /// let (lore, _) = Lore::built_in_lenient(None);
    /// let read = lore.clocks.values().filter(|clock| lore.clock_standing(clock) == Standing::Read).count();
    /// assert!(read >= 40, "{read} clocks with every field from a source that was read");
    /// ```
    pub fn clock_standing(&self, clock: &EventClock) -> Standing {
        if clock.derived {
            return Standing::Recalled;
        }
        let parts = [Some(clock.start.source()), Some(clock.driver.source()), Some(&clock.source)];
        let threshold = clock.threshold.as_ref().map(|threshold| &threshold.source);
        // A start that has to be seen in the yard is as good as the seeing, but which sight it is must have been read.
        let standings = parts.into_iter().chain([threshold]).flatten().map(|source| self.standing(source));
        standings.min().unwrap_or(Standing::Recalled)
    }

    /// Every clock: the written ones, then those made from plants' months of bloom and times of cutting back where no written one names
    /// the plant. The made ones say so in [`EventClock::derived`].
    pub fn all_clocks(&self) -> Vec<EventClock> {
        let written: Vec<&EventClock> = self.clocks.values().collect();
        let made = event_clock::of_plants(self.plants.values(), &written);
        self.clocks.values().cloned().chain(made).collect()
    }

    /// The written clocks of a trouble, at a stage if one is given.
    pub fn clocks_for(&self, trouble: &str, stage: Option<&str>) -> Vec<&EventClock> {
        let fits = |clock: &&EventClock| {
            clock.trouble.as_deref() == Some(trouble) && stage.is_none_or(|stage| clock.stage.as_deref() == Some(stage))
        };
        self.clocks.values().filter(fits).collect()
    }

    /// The file an entry was read from, as shown to people.
    pub fn file_of(&self, shelf: Shelf, key: &str) -> Option<&str> {
        self.origins.get(&(shelf, key.to_owned())).map(|origin| origin.file.as_str())
    }

    /// Builds a fault with the file and line of a field of an entry.
    pub(crate) fn fault(&self, shelf: Shelf, key: &str, field: &str, told: Told) -> LoreFault {
        let origin = self.origins.get(&(shelf, key.to_owned()));
        LoreFault {
            file: origin.map_or_else(|| format!("{}/{key}.toml", shelf.place()), |origin| origin.file.clone()),
            line: origin.and_then(|origin| origin.line_of(field)),
            field: match (shelf.shares_files(), field) {
                (false, "") => None,
                (false, field) => Some(field.to_owned()),
                (true, field) => Some(format!("{key}.{field}").trim_end_matches('.').to_owned()),
            },
            seen: told.seen,
            wrong: told.wrong,
            remedy: told.remedy,
            weight: told.weight,
        }
    }
}

/// What is told of a fault, before its place is known.
#[derive(Debug, Clone)]
pub(crate) struct Told {
    pub(crate) seen: Option<String>,
    pub(crate) wrong: String,
    pub(crate) remedy: String,
    pub(crate) weight: Weight,
}

impl Told {
    pub(crate) fn fault(seen: impl ToString, wrong: impl Into<String>, remedy: impl Into<String>) -> Self {
        let seen = crate::fault::shortened(&seen.to_string());
        Self { seen: (!seen.is_empty()).then_some(seen), wrong: wrong.into(), remedy: remedy.into(), weight: Weight::Fault }
    }

    pub(crate) fn warning(seen: impl ToString, wrong: impl Into<String>, remedy: impl Into<String>) -> Self {
        Self { weight: Weight::Warning, ..Self::fault(seen, wrong, remedy) }
    }
}

fn read(layers: impl Iterator<Item = Layer>) -> (Lore, Vec<LoreFault>) {
    let mut reader = Reader::default();
    for layer in layers {
        reader.read_layer(&layer);
    }
    reader.finish()
}

fn strict((lore, faults): (Lore, Vec<LoreFault>)) -> Result<Lore, LoreErrors> {
    if faults.iter().any(|fault| fault.weight == Weight::Fault) { Err(LoreErrors(faults)) } else { Ok(lore) }
}
