//! Whether a plant is listed as invasive or noxious at a place.

use groundlore_lore::plant::{Listing, Plant};

/// Words that name a country and so do not tell one region from another.
const COUNTRIES: [&str; 9] = ["usa", "us", "united states", "canada", "uk", "united kingdom", "australia", "new zealand", "europe"];

/// Where a plant's listings stand to a place.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Standing<'a> {
    /// Listed at the place itself.
    Listed(&'a Listing),
    /// Listed, but somewhere else.
    Elsewhere(&'a Listing),
    /// No listing known to lore; that is not the same as none.
    NoneKnown,
}

/// Where a plant's listings stand to a place such as `Milwaukee, Wisconsin, USA`.
///
/// A listing holds at the place when a part of the place's name other than the country is found in the first part of the
/// listing's, or when the listing is for the whole country. With no place given, any listing counts: nobody can say that it
/// does not hold.
///
/// ```
/// use groundlore_planting::listing::{Standing, standing};
/// let lore = groundlore_lore::Lore::built_in()?;
/// let lily = &lore.plants["convallaria-majalis"]; // listed in southeastern Wisconsin
/// assert!(matches!(standing(lily, Some("Wisconsin, USA")), Standing::Listed(_)));
/// assert!(matches!(standing(lily, Some("Ohio, USA")), Standing::Elsewhere(_)));
/// assert!(matches!(standing(lily, None), Standing::Listed(_)));
/// # Ok::<(), groundlore_lore::LoreErrors>(())
/// ```
pub fn standing<'a>(plant: &'a Plant, place: Option<&str>) -> Standing<'a> {
    if let Some(listing) = plant.listings.iter().find(|listing| place.is_none_or(|place| holds_at(&listing.place, place))) {
        return Standing::Listed(listing);
    }
    plant.listings.first().map_or(Standing::NoneKnown, Standing::Elsewhere)
}

fn holds_at(listed: &str, place: &str) -> bool {
    let listed_parts = parts(listed);
    let place_parts = parts(place);
    let Some(first) = listed_parts.first() else { return true };
    if COUNTRIES.contains(&first.as_str()) {
        return place_parts.contains(first);
    }
    place_parts.iter().filter(|part| !COUNTRIES.contains(&part.as_str())).any(|part| has_words(first, part) || has_words(part, first))
}

fn parts(place: &str) -> Vec<String> {
    place.split(',').map(|part| part.trim().to_lowercase()).filter(|part| !part.is_empty()).collect()
}

fn has_words(text: &str, words: &str) -> bool {
    format!(" {text} ").contains(&format!(" {words} "))
}
