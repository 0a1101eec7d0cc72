//! What a measure tells: a width says which size the patches have, a height how short the cut was, a depth how far a blade goes in.

use super::negation::Presence;
use super::words::{Sentence, sentences};
use groundlore_quantity::Quantity;

/// Findings on the size of patches, with the width in metres up to which each holds.
const PATCH_SIZES: &[(&str, f64)] = &[("spots-coin-to-fist", 0.14), ("spots-plate-size", 0.3), ("patches-feet-across", f64::INFINITY)];

/// What is measured, by the words that name it, and what a small and a large value tell.
struct Scale {
    /// One stem of each group must occur.
    named: &'static [&'static [&'static str]],
    unit: &'static str,
    /// Up to this value …
    small_to: f64,
    /// … these hold or do not hold;
    small: &'static [(&'static str, bool)],
    /// from this value …
    large_from: f64,
    /// … these.
    large: &'static [(&'static str, bool)],
}

/// Bounds are the trade's habit (`common practice`): a cut under 2 in is short, thatch over half an inch is thick, turf wants four hours of sun
/// at the least and six for full sun, a screwdriver that stops in the first 2 in tells hard soil.
const SCALES: &[Scale] = &[
    Scale {
        named: &[&["mow", "cut"], &["height", "setting", "high"]],
        unit: "m",
        small_to: 0.045,
        small: &[("mown-very-short", true)],
        large_from: 0.06,
        large: &[("mown-very-short", false)],
    },
    Scale {
        named: &[&["thatch"]],
        unit: "m",
        small_to: 0.0127,
        small: &[("thick-thatch", false)],
        large_from: 0.0128,
        large: &[("thick-thatch", true)],
    },
    Scale {
        named: &[&["screwdriver", "prob", "penetrat", "penetrometer", "knif"]],
        unit: "m",
        small_to: 0.06,
        small: &[("soil-hard", true)],
        large_from: 0.12,
        large: &[("soil-hard", false)],
    },
    Scale {
        named: &[&["sun", "sunlight", "light"], &["hour"]],
        unit: "hour",
        small_to: 3.9,
        small: &[("in-shade", true), ("in-full-sun", false)],
        large_from: 6.0,
        large: &[("in-full-sun", true), ("in-shade", false)],
    },
];

/// The patch-size finding that a width belongs to, for a finding of that group.
pub fn patch_size(finding: &str, number: &Quantity) -> Option<&'static str> {
    PATCH_SIZES.iter().any(|(key, _)| *key == finding).then(|| size_for(number)).flatten()
}

fn size_for(number: &Quantity) -> Option<&'static str> {
    let width_m = number.in_unit("m").ok().filter(|w| *w > 0.0)?;
    PATCH_SIZES.iter().find(|(_, up_to)| width_m < *up_to).map(|(key, _)| *key)
}

/// What a measure beside the words that name it tells; empty where it tells nothing that is known here.
pub fn told(named: &str, number: &Quantity) -> Vec<(&'static str, Presence)> {
    let stems: Vec<String> = sentences(named).into_iter().flat_map(|s: Sentence| s.words).map(|w| w.stem).collect();
    let has = |group: &[&str]| stems.iter().any(|s| group.contains(&s.as_str()));
    let patch = has(&["patch", "spot", "circle", "area", "blotch"]) && !has(&["leaf", "leav", "leaves", "blad", "mushroom"]);
    if let (true, Some(size)) = (patch, size_for(number)) {
        return vec![(size, Presence::Yes)];
    }
    let presence = |holds: bool| if holds { Presence::Yes } else { Presence::No };
    let Some(scale) = SCALES.iter().find(|s| s.named.iter().all(|group| has(group))) else { return Vec::new() };
    let bare_hours = scale.unit == "hour" && number.unit.is_none();
    let read = if bare_hours { Some(number.value) } else { number.in_unit(scale.unit).ok() };
    let Some(value) = read else { return Vec::new() };
    let holds: &[(&str, bool)] = match value {
        v if v <= scale.small_to => scale.small,
        v if v >= scale.large_from => scale.large,
        _ => &[],
    };
    holds.iter().map(|(key, yes)| (*key, presence(*yes))).collect()
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;

    #[test]
    fn measures_tell_sizes_heights_depths_and_hours() {
        let of = |named: &str, value: &str| told(named, &Quantity::parse(value).unwrap());
        assert_eq!(of("patch diameter", "3 in"), [("spots-coin-to-fist", Presence::Yes)]);
        assert_eq!(of("spot size", "8 in"), [("spots-plate-size", Presence::Yes)]);
        assert_eq!(of("patches across", "0.6 m"), [("patches-feet-across", Presence::Yes)]);
        assert_eq!(of("height of cut", "1 in"), [("mown-very-short", Presence::Yes)]);
        assert_eq!(of("mowing height", "3 in"), [("mown-very-short", Presence::No)]);
        assert_eq!(of("hours of sun", "2")[0], ("in-shade", Presence::Yes));
        assert_eq!(of("screwdriver goes in", "25 mm"), [("soil-hard", Presence::Yes)]);
        assert!(of("grubs", "12 per ft2").is_empty());
        assert_eq!(patch_size("spots-coin-to-fist", &Quantity::parse("2 ft").unwrap()), Some("patches-feet-across"));
    }
}
