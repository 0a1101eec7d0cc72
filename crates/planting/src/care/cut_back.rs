//! The first cut-back.

use super::{CarePlant, CareTask, CareWork, PlantedAt};
use crate::calendar::{days_after, days_between, next_day};
use groundlore_lore::plant::CutBackWhen;
use jiff::civil::Date;

/// Days of the northern year for a season of cutting back: first, best, last as (month, day). `common practice`.
fn days(when: CutBackWhen) -> Option<[(u8, i8); 3]> {
    match when {
        CutBackWhen::LateWinter => Some([(2, 15), (3, 10), (3, 31)]),
        CutBackWhen::EarlySpring => Some([(3, 1), (3, 25), (4, 15)]),
        CutBackWhen::Autumn => Some([(10, 15), (11, 1), (11, 30)]),
        CutBackWhen::AfterBloom | CutBackWhen::None => None,
    }
}

/// The first cut-back of a plant within the year after planting; `None` where there is none.
pub(super) fn task(plant: &CarePlant, at: &PlantedAt) -> Option<CareTask> {
    let earliest = days_after(at.planted, 30);
    let (from, best, to) = match days(plant.cut_back.when) {
        Some([first, best, last]) => {
            let from = next_day(first.0, first.1, at.latitude_deg, earliest);
            (from, next_day(best.0, best.1, at.latitude_deg, from), next_day(last.0, last.1, at.latitude_deg, from))
        }
        None if plant.cut_back.when == CutBackWhen::AfterBloom => after_bloom(plant, earliest)?,
        None => return None,
    };
    (days_between(at.planted, from) <= 365).then(|| CareTask {
        work: CareWork::CutBack,
        plants: vec![plant.key.clone()],
        what: plant.cut_back.how.clone(),
        from,
        best,
        to,
        every_days: None,
        litres_each: None,
        why: format!("season of cutting back: {}", word(plant.cut_back.when)),
        source: format!("{}; days common practice", plant.cut_back.source),
        cautions: plant
            .cautions
            .iter()
            .cloned()
            .chain(["Gloves and eye cover; keep the blade away from the other hand.".to_owned()])
            .collect(),
    })
}

/// From the end of the last month of bloom, for a month.
fn after_bloom(plant: &CarePlant, earliest: Date) -> Option<(Date, Date, Date)> {
    let month = i8::try_from(*plant.bloom_months.last()?).ok()?;
    let ends = |year: i16| Date::new(year, month, 1).ok().map(Date::last_of_month);
    let this_year = ends(earliest.year())?;
    let from = if this_year >= earliest { this_year } else { ends(earliest.year().checked_add(1)?)? };
    Some((from, days_after(from, 7), days_after(from, 30)))
}

fn word(when: CutBackWhen) -> &'static str {
    match when {
        CutBackWhen::LateWinter => "late winter",
        CutBackWhen::EarlySpring => "early spring",
        CutBackWhen::AfterBloom => "after bloom",
        CutBackWhen::Autumn => "autumn",
        CutBackWhen::None => "none",
    }
}
