//! Why a plant was chosen, with figures and sources.

use super::candidates::{Candidate, light_word, moisture_word};
use super::{Chosen, Reason, Tall};
use crate::calendar::month_name;
use crate::listing::{Standing, standing};
use crate::wishes::{PERSON_M, Wishes};
use groundlore_lore::plant::Vigour;

/// A candidate as a chosen kind with its reasons.
pub(super) fn chosen(one: &Candidate<'_>, wishes: &Wishes) -> Chosen {
    let plant = one.plant;
    Chosen {
        key: plant.key.clone(),
        botanical: plant.botanical.clone(),
        name: plant.name.clone(),
        kind: plant.kind,
        height_m: one.height_m,
        spread_m: one.spread_m,
        spacing_m: one.spacing_m,
        bloom_months: one.months.clone(),
        colours: plant.colours.clone(),
        vigour: plant.vigour,
        sociability: one.sociability.0,
        tall: tall(one, wishes),
        cut_back: plant.cut_back.clone(),
        cautions: plant.cautions.clone(),
        reasons: reasons(one, wishes),
    }
}

fn tall(one: &Candidate<'_>, wishes: &Wishes) -> Tall {
    let above_m = wishes.at_least_one_taller_than_m.unwrap_or(PERSON_M);
    match one {
        one if one.middle_height_m() > above_m => Tall::ByMiddle,
        one if one.height_m.1 > above_m => Tall::ByHighEndOnly,
        _ => Tall::No,
    }
}

fn reasons(one: &Candidate<'_>, wishes: &Wishes) -> Vec<Reason> {
    let mut reasons = vec![bloom(one, wishes), site(one, wishes), hardiness(one, wishes), height(one, wishes)];
    reasons.extend(visitors(one));
    reasons.push(spreading(one));
    reasons.push(together(one));
    reasons.push(listing(one, wishes));
    reasons
}

fn bloom(one: &Candidate<'_>, wishes: &Wishes) -> Reason {
    let (first, last) = (one.months.first().copied().unwrap_or(0), one.months.last().copied().unwrap_or(0));
    let wished = one.months.iter().filter(|month| wishes.bloom_months.contains(month)).count();
    let span = if first == last { month_name(first).to_owned() } else { format!("{} to {}", month_name(first), month_name(last)) };
    let south = if wishes.latitude_deg < 0.0 { ", moved by six months for the south" } else { "" };
    Reason {
        text: format!(
            "flowers {span}, {wished} of the {} months wished for (seen in {}{south})",
            wishes.bloom_months.len(),
            one.plant.bloom.region
        ),
        source: one.plant.bloom.source.to_string(),
    }
}

fn site(one: &Candidate<'_>, wishes: &Wishes) -> Reason {
    Reason {
        text: format!("lives in {} and {}", light_word(wishes.light), moisture_word(wishes.moisture)),
        source: one.plant.site_source.to_string(),
    }
}

fn hardiness(one: &Candidate<'_>, wishes: &Wishes) -> Reason {
    let hardiness = &one.plant.hardiness;
    Reason {
        text: format!("hardy in zones {} to {}; here zone {}", hardiness.coldest, hardiness.warmest, wishes.zone),
        source: hardiness.source.to_string(),
    }
}

fn height(one: &Candidate<'_>, wishes: &Wishes) -> Reason {
    let range = &one.plant.height;
    let above_m = wishes.at_least_one_taller_than_m.unwrap_or(PERSON_M);
    let tall = match tall(one, wishes) {
        Tall::ByMiddle => format!("; the middle, {:.2} m, is taller than {above_m:.2} m", one.middle_height_m()),
        Tall::ByHighEndOnly => format!("; taller than {above_m:.2} m only at the high end"),
        Tall::No => String::new(),
    };
    Reason { text: format!("grows {} to {} high{tall}", range.low, range.high), source: range.source.to_string() }
}

fn visitors<'a>(one: &'a Candidate<'a>) -> impl Iterator<Item = Reason> + 'a {
    const WORTH: [&str; 4] = ["nothing", "some", "good", "outstanding"];
    one.plant.visitors.iter().filter(|visitor| visitor.value >= 2).map(|visitor| Reason {
        text: format!(
            "{}: {} ({} of 3)",
            visitor.kind,
            WORTH.get(usize::from(visitor.value)).copied().unwrap_or("outstanding"),
            visitor.value
        ),
        source: visitor.source.to_string(),
    })
}

fn spreading(one: &Candidate<'_>) -> Reason {
    let vigour = match one.plant.vigour {
        Vigour::Dainty => "dainty, easily overrun",
        Vigour::Steady => "holds its place",
        Vigour::Aggressive => "pushes into its neighbours",
    };
    let note = one.plant.spreads.note.as_deref().map(|note| format!(". {note}")).unwrap_or_default();
    Reason { text: format!("{vigour}; spreads by {}{note}", one.plant.spreads.by), source: one.plant.spreads.source.to_string() }
}

fn together(one: &Candidate<'_>) -> Reason {
    let (grade, source) = &one.sociability;
    let (few, many) = grade.drift();
    let how = if many == 1 { "stands alone".to_owned() } else { format!("stands in groups of {few} to {many}") };
    Reason { text: format!("{how} (sociability {} of 5)", grade.grade()), source: source.to_string() }
}

fn listing(one: &Candidate<'_>, wishes: &Wishes) -> Reason {
    let here = wishes.place.as_deref().unwrap_or("a place not given");
    match standing(one.plant, wishes.place.as_deref()) {
        Standing::Listed(listing) => Reason {
            text: format!("listed as {} in {} ({}): asked for all the same", listing.status, listing.place, listing.edition),
            source: listing.source.to_string(),
        },
        Standing::Elsewhere(listing) => Reason {
            text: format!("listed as {} in {}, not known to be for {here}: check the official list", listing.status, listing.place),
            source: listing.source.to_string(),
        },
        Standing::NoneKnown => Reason {
            text: format!("no invasive listing known to lore for {here}; the official list was not checked"),
            source: "not checked".to_owned(),
        },
    }
}
