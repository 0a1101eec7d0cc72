//! The reasons of a verdict, each with its figure and source.

use super::injury::{World, on_this_turf};
use super::{Case, Reason, Seen, reason};
use groundlore_lore::provenance::Source;

pub(super) fn per_ft2(per_m2: f64) -> f64 {
    per_m2 * 0.092_903_04
}

pub(super) fn reasons(case: &Case, world: &World) -> Vec<Reason> {
    let mut all: Vec<Reason> = case
        .density
        .looked_at()
        .filter_map(|s| {
            s.estimate.map(|e| {
                let figure = format!(
                    "{:.1} per ft2 ({:.1} to {:.1}, nine in ten)",
                    per_ft2(e.median_per_m2),
                    per_ft2(e.low_per_m2),
                    per_ft2(e.high_per_m2)
                );
                reason(format!("Density in {}", s.name), figure, format!("{} samples, {} found", s.samples, s.found))
            })
        })
        .collect();
    for name in case.density.not_looked_at() {
        all.push(reason(format!("Nobody looked in {name}: the verdict does not speak for it"), "not checked", "the counts"));
    }
    let shares = case.split.shares();
    for threshold in case.thresholds.iter().filter(|t| shares.get(&t.species).is_some_and(|s| *s >= 0.02)) {
        let range = on_this_turf(threshold, case.turf);
        let share = shares.get(&threshold.species).copied().unwrap_or(0.0);
        all.push(reason(
            format!("Threshold of {} (weight {:.0} %) on this turf", threshold.species, 100.0 * share),
            format!("{:.1} to {:.1} per ft2", per_ft2(range.low_per_m2), per_ft2(range.high_per_m2)),
            threshold.source.to_string(),
        ));
    }
    if case.split.told == 0 && case.split.species.len() > 1 {
        all.push(reason(
            "The species was not looked at: the verdict is spread over those of the region",
            format!("{} species", case.split.species.len()),
            "turn a few over and look at the raster",
        ));
    }
    all.extend(patch_reason(case, shares.get("European chafer").copied().unwrap_or(0.0)));
    all.extend(turf_reasons(case, world));
    all
}

/// For European chafer no one mean density told when to treat on 317 home lawns; a patch over about 30 m² did. Nyrop, Villani & Grant
/// (1995), Environ. Entomol. 24:521 (abstract).
pub(super) fn patch_reason(case: &Case, chafer_share: f64) -> Option<Reason> {
    const TELLING_PATCH_M2: f64 = 30.0;
    const WEIGHTY: f64 = 0.2;
    if chafer_share < WEIGHTY {
        return None;
    }
    let figure = match case.largest_patch_m2 {
        None => "largest patch not measured".to_string(),
        Some(area) if area > TELLING_PATCH_M2 => format!("the largest patch is {area:.0} m2, over it"),
        Some(area) => format!("the largest patch is {area:.0} m2, under it"),
    };
    Some(reason(
        "For European chafer the size of the patch tells more than the mean: treat where one passes about 30 m2",
        figure,
        "nyrop-1995",
    ))
}

pub(super) fn turf_reasons(case: &Case, world: &World) -> Vec<Reason> {
    let mut all = Vec::new();
    let state = |seen: Seen, yes: &'static str, no: &'static str| match seen {
        Seen::Yes => yes,
        Seen::No => no,
        Seen::NotLooked => "not checked: range kept as printed",
    };
    all.push(reason(
        "Watering",
        state(case.turf.watered, "watered: the upper end may be twice as high", "not watered: the lower end may be half"),
        Source::COMMON_PRACTICE,
    ));
    if case.turf.vigorous != Seen::NotLooked {
        all.push(reason(
            "Vigour",
            state(case.turf.vigorous, "dense and growing", "thin: the lower end may be half"),
            Source::COMMON_PRACTICE,
        ));
    }
    match (&world.digging, &case.digging.starts_at, case.digging.seen) {
        (Some(range), Some((_, source)), _) => all.push(reason(
            "Animals are digging for them, which injures from a lower number",
            format!("{:.1} to {:.1} per ft2", per_ft2(range.low_per_m2), per_ft2(range.high_per_m2)),
            source.to_string(),
        )),
        (_, _, Seen::Yes) => all.push(reason("Animals are digging, but no figure is known for when they start", "not priced in", "seen")),
        (_, _, Seen::NotLooked) => all.push(reason("Nobody looked for digging by animals", "not checked", "the counts")),
        _ => {}
    }
    if let Some(belief) = case.efficacy {
        all.push(reason(
            "What the control does at the time that the sums are for",
            format!("{:.0} % ({:.0} to {:.0} %)", 100.0 * belief.median, 100.0 * belief.low, 100.0 * belief.high),
            format!("{} observation(s), {} of them here", belief.observations, belief.own),
        ));
    }
    all
}
