//! Remarks: things about a series that its user should know and that stop nothing.

use std::fmt;

use jiff::civil::Date;
use serde::Serialize;

use crate::series::Element;

/// What a remark is about.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum RemarkKind {
    /// The file's days were not in order and have been sorted.
    OutOfOrder,
    /// A day came twice with the same values; one was kept.
    SameDayTwice,
    /// Two lines of the same day each gave a part of its values.
    DayInParts,
    /// Columns or elements that are not used here.
    Unused,
    /// Columns of one kind in different units.
    MixedUnits,
    /// The file has no quality flags.
    NoFlags,
    /// Units that the caller named, because the file does not.
    AssumedUnits,
    /// Temperatures that were read in whole °F.
    WholeFahrenheit,
    /// Temperatures of an archive in tenths of °C that look like °F.
    LooksLikeFahrenheit,
    /// Values that carry a quality flag.
    Flagged,
    /// Zeros that the network presumed.
    PresumedZero,
    /// Days whose maximum is under their minimum.
    MaximumUnderMinimum,
    /// Days without a value.
    Gap,
    /// A step from one day to the next that is larger than weather makes.
    Jump,
    /// One day that stands far out from both its neighbours.
    Spike,
    /// The same value day after day.
    Streak,
    /// The clock was put forward or back within the file.
    ClockChange,
    /// The zone of the times, where the caller named none.
    AssumedZone,
    /// Times that are not whole hours and were taken for the nearest.
    RoundedTimes,
    /// Days with too few hours to give a value.
    TooFewHours,
    /// Months taken from different years and set side by side.
    TypicalYear,
    /// Rain of several days read as one amount.
    Accumulated,
    /// The hour of the reading and the day it is set to do not sit well together.
    ReadingDay,
    /// The file names another station than the key it is kept under.
    OtherName,
}

/// Something about a series that its user should know.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Remark {
    /// What it is about.
    pub kind: RemarkKind,
    /// The element it is about, if only one.
    pub element: Option<Element>,
    /// The first day it is about, if any.
    pub from: Option<Date>,
    /// The last day it is about, if any.
    pub to: Option<Date>,
    /// Number of days, values or lines it is about.
    pub count: usize,
    /// The remark in words.
    pub text: String,
}

impl Remark {
    /// A remark on a whole file.
    pub(crate) fn on_file(kind: RemarkKind, count: usize, text: String) -> Remark {
        Remark { kind, element: None, from: None, to: None, count, text }
    }
}

impl fmt::Display for Remark {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        formatter.write_str(&self.text)
    }
}
