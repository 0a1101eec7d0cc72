//! How far a place lies from the region that a clock was made for, so that the nearest clock is taken and the distance is said.
//!
//! Regions stand in the lore in words (`Ohio`, `Northeast and Midwest of the United States`). The words are looked for here, longest first;
//! each stands for one or several boxes of latitude and longitude. The boxes are recalled and rounded to about half a degree: good enough to
//! choose between Ohio and Massachusetts, and no more than that.

/// Up to this distance a clock's region holds for a place, km (memory: about two degrees of longitude; weather stations of one state lie as
/// far apart).
pub const NEAR_KM: f64 = 250.0;

/// South, north, west and east in degrees.
type Box4 = (f64, f64, f64, f64);

/// Boxes of states and provinces, from memory; land in two parts has two.
const STATES: &[(&str, Box4)] = &[
    ("alabama", (30.2, 35.0, -88.5, -84.9)),
    ("arizona", (31.3, 37.0, -114.8, -109.0)),
    ("arkansas", (33.0, 36.5, -94.6, -89.7)),
    ("british columbia", (48.3, 60.0, -139.0, -114.0)),
    ("california", (32.5, 42.0, -124.4, -114.1)),
    ("colorado", (37.0, 41.0, -109.0, -102.0)),
    ("connecticut", (41.0, 42.0, -73.7, -71.8)),
    ("delaware", (38.5, 39.8, -75.8, -75.0)),
    ("florida", (25.0, 31.0, -87.6, -80.0)),
    ("georgia", (30.4, 35.0, -85.6, -80.8)),
    ("idaho", (42.0, 49.0, -117.2, -111.0)),
    ("illinois", (37.0, 42.5, -91.5, -87.5)),
    ("indiana", (37.8, 41.8, -88.1, -84.8)),
    ("iowa", (40.4, 43.5, -96.6, -90.1)),
    ("kansas", (37.0, 40.0, -102.0, -94.6)),
    ("kentucky", (36.5, 39.1, -89.6, -82.0)),
    ("louisiana", (29.0, 33.0, -94.0, -89.0)),
    ("maine", (43.1, 47.5, -71.1, -67.0)),
    ("maryland", (37.9, 39.7, -79.5, -75.0)),
    ("massachusetts", (41.2, 42.9, -73.5, -69.9)),
    ("michigan", (41.7, 45.8, -86.8, -82.4)),
    ("michigan", (45.1, 47.5, -90.4, -83.5)),
    ("minnesota", (43.5, 49.4, -97.2, -89.5)),
    ("mississippi", (30.2, 35.0, -91.6, -88.1)),
    ("missouri", (36.0, 40.6, -95.8, -89.1)),
    ("montana", (44.4, 49.0, -116.0, -104.0)),
    ("nebraska", (40.0, 43.0, -104.0, -95.3)),
    ("nevada", (35.0, 42.0, -120.0, -114.0)),
    ("new brunswick", (44.6, 48.0, -69.0, -63.8)),
    ("new hampshire", (42.7, 45.3, -72.6, -70.7)),
    ("new jersey", (38.9, 41.4, -75.6, -73.9)),
    ("new mexico", (31.3, 37.0, -109.0, -103.0)),
    ("new york", (40.5, 45.0, -79.8, -71.9)),
    ("north carolina", (33.8, 36.6, -84.3, -75.5)),
    ("north dakota", (45.9, 49.0, -104.0, -96.6)),
    ("nova scotia", (43.4, 47.0, -66.4, -59.7)),
    ("ohio", (38.4, 42.0, -84.8, -80.5)),
    ("oklahoma", (33.6, 37.0, -103.0, -94.4)),
    ("ontario", (41.9, 50.0, -95.0, -74.4)),
    ("oregon", (42.0, 46.3, -124.6, -116.5)),
    ("pennsylvania", (39.7, 42.3, -80.5, -74.7)),
    ("quebec", (45.0, 50.0, -79.5, -64.0)),
    ("rhode island", (41.1, 42.0, -71.9, -71.1)),
    ("south carolina", (32.0, 35.2, -83.4, -78.5)),
    ("south dakota", (42.5, 45.9, -104.0, -96.4)),
    ("tennessee", (35.0, 36.7, -90.3, -81.6)),
    ("texas", (25.8, 36.5, -106.6, -93.5)),
    ("utah", (37.0, 42.0, -114.0, -109.0)),
    ("vermont", (42.7, 45.0, -73.4, -71.5)),
    ("virginia", (36.5, 39.5, -83.7, -75.2)),
    ("washington", (45.5, 49.0, -124.8, -116.9)),
    ("west virginia", (37.2, 40.6, -82.6, -77.7)),
    ("wisconsin", (42.5, 47.0, -92.9, -86.8)),
    ("wyoming", (41.0, 45.0, -111.0, -104.0)),
];

const NEW_ENGLAND: &[&str] = &["maine", "new hampshire", "vermont", "massachusetts", "rhode island", "connecticut"];
const SOUTH_ATLANTIC: &[&str] = &["north carolina", "south carolina", "georgia", "florida", "alabama", "mississippi", "louisiana"];
const MID_ATLANTIC: &[&str] = &["new jersey", "pennsylvania", "delaware", "maryland", "virginia", "west virginia"];
const NORTHEAST: &[&str] =
    &["maine", "new hampshire", "vermont", "massachusetts", "rhode island", "connecticut", "new york", "new jersey", "pennsylvania"];
const MIDWEST: &[&str] = &[
    "ohio",
    "michigan",
    "indiana",
    "illinois",
    "wisconsin",
    "minnesota",
    "iowa",
    "missouri",
    "north dakota",
    "south dakota",
    "nebraska",
    "kansas",
];

/// Words for several states.
const GROUPS: &[(&str, &[&[&str]])] = &[
    ("southern new england", &[&["massachusetts", "rhode island", "connecticut"]]),
    ("new england", &[NEW_ENGLAND]),
    ("northeastern united states", &[NORTHEAST]),
    ("northeast", &[NORTHEAST]),
    ("north central united states", &[MIDWEST]),
    ("upper midwest", &[&["michigan", "wisconsin", "minnesota", "iowa"]]),
    ("midwest", &[MIDWEST]),
    ("great lakes", &[&["michigan", "wisconsin", "ohio", "indiana", "illinois", "new york", "ontario"]]),
    ("mid-atlantic", &[MID_ATLANTIC]),
    ("upper south", &[&["virginia", "kentucky", "tennessee", "north carolina"]]),
    ("southeast", &[SOUTH_ATLANTIC]),
    ("pacific northwest", &[&["washington", "oregon", "british columbia"]]),
    ("eastern united states", &[NORTHEAST, MID_ATLANTIC, SOUTH_ATLANTIC, &["ohio", "michigan", "indiana", "kentucky", "tennessee"]]),
    ("northern united states", &[NORTHEAST, MIDWEST]),
];

/// Words that hold everywhere.
const ANYWHERE: &str = "anywhere";

/// Distance in km from a place (latitude and longitude in degrees, north and east positive) to the nearest edge of a region; 0 inside it or
/// where it holds anywhere. None where the words name no land known here.
///
/// # Example
/// ```
/// # use groundlore_plant_health::region::distance_km;
/// let here = (43.0, -87.9);
/// assert_eq!(distance_km("Northeast and Midwest of the United States", here), Some(0.0));
/// assert!(distance_km("Ohio", here).unwrap() < distance_km("Maryland", here).unwrap());
/// assert_eq!(distance_km("not stated in the abstract", here), None);
/// ```
#[must_use]
pub fn distance_km(region: &str, place: (f64, f64)) -> Option<f64> {
    let text = region.to_lowercase();
    if text.contains(ANYWHERE) {
        return Some(0.0);
    }
    boxes(&text).into_iter().map(|land| to_box_km(land, place)).min_by(f64::total_cmp)
}

/// The boxes that a text names; longer words are taken out first, so that `West Virginia` is not `Virginia` too.
fn boxes(text: &str) -> Vec<Box4> {
    let mut rest = text.to_owned();
    let mut found = Vec::new();
    let state = |name: &str| -> Vec<Box4> { STATES.iter().filter(|(known, _)| *known == name).map(|(_, land)| *land).collect() };
    let mut words: Vec<(&str, Vec<Box4>)> = GROUPS
        .iter()
        .map(|(word, lists)| (*word, lists.iter().flat_map(|list| list.iter().flat_map(|name| state(name))).collect()))
        .chain(STATES.iter().map(|(name, _)| (*name, state(name))))
        .collect();
    words.sort_by_key(|(word, _)| std::cmp::Reverse(word.len()));
    for (word, lands) in words {
        if rest.contains(word) {
            rest = rest.replace(word, " ");
            found.extend(lands);
        }
    }
    found
}

/// Distance from a place to a box: along the parallel and the meridian, good to a few per cent at these sizes.
fn to_box_km((south, north, west, east): Box4, (latitude, longitude): (f64, f64)) -> f64 {
    const KM_A_DEGREE: f64 = 111.2;
    let (near_latitude, near_longitude) = (latitude.clamp(south, north), longitude.clamp(west, east));
    let up = (latitude - near_latitude) * KM_A_DEGREE;
    let middle = f64::midpoint(latitude, near_latitude).to_radians();
    let across = (longitude - near_longitude).abs().min(360.0 - (longitude - near_longitude).abs()) * KM_A_DEGREE * middle.cos();
    up.hypot(across)
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, clippy::float_cmp)]
    use super::*;
    use groundlore_lore::Lore;

    #[test]
    fn longer_names_come_first() {
        // The middle of Virginia lies a little way outside the box of West Virginia.
        let virginia = (36.8, -77.0);
        assert_eq!(distance_km("Virginia and Delaware", virginia), Some(0.0));
        assert!(distance_km("central Appalachians (West Virginia, western Ohio)", virginia).unwrap() > 40.0);
        assert!(distance_km("southern New England", (44.5, -69.0)).unwrap() > 100.0, "Maine is not in it");
    }

    #[test]
    fn another_half_of_the_globe_is_far_from_everything() {
        let melbourne = (-37.8, 145.0);
        assert!(distance_km("Northeast and Midwest of the United States", melbourne).unwrap() > 10_000.0);
        assert_eq!(distance_km("anywhere with a station nearby", melbourne), Some(0.0));
    }

    #[test]
    fn nearly_every_clock_of_lore_has_a_place() {
        let (lore, _) = Lore::built_in_lenient(None);
        let unknown: Vec<&str> = lore
            .clocks
            .values()
            .filter(|clock| distance_km(&clock.region, (43.0, -87.9)).is_none())
            .map(|clock| clock.region.as_str())
            .collect();
        assert!(unknown.len() * 50 < lore.clocks.len(), "no land known for {unknown:?}");
    }
}
