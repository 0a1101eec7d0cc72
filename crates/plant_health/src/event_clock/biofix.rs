//! A start that has to be seen: which sight starts which clock, and how well its day is known here.

use groundlore_lore::event_clock::{EventClock, Individuals, Start};
use jiff::civil::Date;
use serde::Serialize;

/// How far another yard may lie for its sight to start a clock here, km (memory: traps of one district are read together).
pub const ELSEWHERE_KM: f64 = 40.0;
/// Standard deviation in days of a start that was seen in another yard (memory: flights begin some days apart within a district).
pub const ELSEWHERE_SD_DAYS: f64 = 4.0;

/// When a start that has to be seen was seen.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Biofix {
    /// The day.
    pub seen_on: Date,
    /// How well that day stands for this yard, days of standard deviation: 0 for a sight in the yard itself, whose doubt is in the model's error.
    pub sd_days: f64,
}

impl Biofix {
    /// Seen in the yard itself.
    #[must_use]
    pub fn here(seen_on: Date) -> Self {
        Self { seen_on, sd_days: 0.0 }
    }

    /// Seen in another yard of the book.
    #[must_use]
    pub fn elsewhere(seen_on: Date) -> Self {
        Self { seen_on, sd_days: ELSEWHERE_SD_DAYS }
    }

    pub(super) fn told(self) -> String {
        if self.sd_days > 0.0 {
            let more = self.sd_days * super::TEN_TO_MIDDLE;
            format!("started on {}, when it was seen in another yard: ± {more:.0} days more (memory)", self.seen_on)
        } else {
            format!("started on {}, when it was seen here", self.seen_on)
        }
    }
}

/// Whether a sight is what a clock waits for: `seen` is what was written down, which is the clock's own words for it, or an event's key; `name` is
/// that event's name, where it has one. Case, hyphens and other marks do not matter, and a share of the individuals (`…-10`) does.
///
/// # Example
/// ```
/// use groundlore_lore::Lore;
/// use groundlore_plant_health::event_clock::is_start_of;
///
/// let (lore, _) = Lore::built_in_lenient(None);
/// let second = &lore.clocks["second-barrier"];
/// assert!(is_start_of(second, "First barrier put down", None));
/// assert!(!is_start_of(second, "second-barrier", None));
/// ```
#[must_use]
pub fn is_start_of(clock: &EventClock, seen: &str, name: Option<&str>) -> bool {
    let Start::Biofix { event, .. } = &clock.start else { return false };
    let wanted = plain(event);
    let seen = plain(seen);
    // The first of the individuals stand for the event's beginning where no share is named.
    let first = Individuals::SHARES.first().map(|share| format!("{wanted} {:.0}", share * 100.0));
    !wanted.is_empty() && (seen == wanted || first.is_some_and(|first| first == seen) || name.is_some_and(|name| plain(name) == wanted))
}

/// Words in small letters with single spaces, nothing else.
fn plain(words: &str) -> String {
    let kept: String = words.chars().map(|c| if c.is_alphanumeric() { c.to_ascii_lowercase() } else { ' ' }).collect();
    kept.split_whitespace().collect::<Vec<_>>().join(" ")
}

#[cfg(test)]
mod tests {
    #![allow(clippy::panic)]
    use super::*;
    use groundlore_lore::Lore;

    #[test]
    fn a_clock_named_as_start_is_known_by_key_first_share_and_name() {
        let (lore, _) = Lore::built_in_lenient(None);
        let mut clock = lore.clocks["second-barrier"].clone();
        let Start::Biofix { event, .. } = &mut clock.start else { panic!("a biofix") };
        *event = "bagworm-hatch-maryland".to_owned();
        assert!(is_start_of(&clock, "bagworm-hatch-maryland", None) && is_start_of(&clock, "bagworm-hatch-maryland-10", None));
        assert!(!is_start_of(&clock, "bagworm-hatch-maryland-90", None), "the last are no beginning");
        let Start::Biofix { event, .. } = &mut clock.start else { panic!("a biofix") };
        *event = "bagworm: eggs hatch".to_owned();
        assert!(is_start_of(&clock, "any-key", Some("Bagworm: eggs hatch")));
        let Start::Biofix { event, .. } = &mut clock.start else { panic!("a biofix") };
        *event = " ".to_owned();
        assert!(!is_start_of(&clock, "", None));
    }

    #[test]
    fn a_clock_with_a_date_waits_for_nothing() {
        let (lore, _) = Lore::built_in_lenient(None);
        assert!(
            lore.clocks
                .values()
                .filter(|clock| is_start_of(clock, "first barrier put down", None))
                .all(|clock| clock.start.day().is_none())
        );
    }
}
