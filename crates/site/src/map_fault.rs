//! How a fault of a map is told: place, value, remedy.

use serde::Serialize;
use std::fmt;

/// Which feature of the map is meant.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct FeaturePlace {
    /// Its place in the list of features, the first being 1.
    pub index: usize,
    /// Its id, where one was given.
    pub id: Option<String>,
    /// Its name, where one was given.
    pub name: Option<String>,
    /// Its kind as written, where one was given.
    pub kind: Option<String>,
    /// Line of the file where it begins, the first being 1.
    pub line: Option<usize>,
}

impl fmt::Display for FeaturePlace {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "feature {}", self.index)?;
        let kind = self.kind.as_deref().unwrap_or("");
        match (&self.name, &self.id) {
            (Some(name), Some(id)) if name != id => write!(f, " ({kind} \"{name}\", id {id})"),
            (Some(word), _) | (None, Some(word)) if kind.is_empty() => write!(f, " (\"{word}\")"),
            (Some(word), _) | (None, Some(word)) => write!(f, " ({kind} \"{word}\")"),
            (None, None) if kind.is_empty() => Ok(()),
            (None, None) => write!(f, " ({kind})"),
        }
    }
}

/// One thing wrong with a map.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct MapFault {
    /// File as the caller named it.
    pub file: String,
    /// Line, the first being 1, where it is known.
    pub line: Option<usize>,
    /// Column, the first being 1, where it is known.
    pub column: Option<usize>,
    /// Feature, unless the whole file is meant.
    pub feature: Option<FeaturePlace>,
    /// Property or member, where one is meant.
    pub property: Option<String>,
    /// What is wrong, with the value seen.
    pub wrong: String,
    /// What to do, with an example where that helps.
    pub remedy: String,
}

impl fmt::Display for MapFault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.file)?;
        if let Some(line) = self.line {
            write!(f, ", line {line}")?;
        }
        if let Some(column) = self.column {
            write!(f, ", column {column}")?;
        }
        if let Some(feature) = &self.feature {
            write!(f, ", {feature}")?;
        }
        if let Some(property) = &self.property {
            write!(f, ", \"{property}\"")?;
        }
        write!(f, ": {}. {}", self.wrong, self.remedy)
    }
}

/// Everything wrong with a map, in the order of the file.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, thiserror::Error)]
pub struct MapErrors {
    /// The faults; never empty.
    pub faults: Vec<MapFault>,
}

impl fmt::Display for MapErrors {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        for (i, fault) in self.faults.iter().enumerate() {
            if i > 0 {
                f.write_str("\n")?;
            }
            write!(f, "{fault}")?;
        }
        Ok(())
    }
}

/// Something worth knowing about a map that was read: mended, assumed or passed over.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct MapRemark {
    /// Feature, unless the whole file is meant.
    pub feature: Option<FeaturePlace>,
    /// What was done or seen.
    pub said: String,
}

impl fmt::Display for MapRemark {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match &self.feature {
            Some(feature) => write!(f, "{feature}: {}", self.said),
            None => f.write_str(&self.said),
        }
    }
}

/// How much was left out because of a fault.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum LeftOut {
    /// The whole feature.
    Feature,
    /// One property; the feature was kept and the property is unknown.
    Property,
}

/// A fault that the reader passed over because it was asked to skip what is bad.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Skipped {
    /// How much was left out.
    pub left_out: LeftOut,
    /// Why.
    pub fault: MapFault,
}

impl fmt::Display for Skipped {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let what = match self.left_out {
            LeftOut::Feature => "feature left out",
            LeftOut::Property => "property left out",
        };
        write!(f, "{what}: {}", self.fault)
    }
}
