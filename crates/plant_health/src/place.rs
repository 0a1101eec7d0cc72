//! Where a letter comes from: coordinates, or words such as `cool oceanic, zone 9a`.

use serde::{Deserialize, Serialize};

/// A place as the letter gives it.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(untagged)]
pub enum Place {
    /// Decimal degrees, north and east positive.
    Coordinates {
        /// Latitude, −90 to 90.
        latitude: f64,
        /// Longitude, −180 to 180.
        longitude: f64,
    },
    /// Anything else, as written.
    Words(String),
}

/// What is wrong with a place.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum PlaceError {
    /// Latitude outside the globe.
    #[error("latitude {0} is outside -90 to 90; write latitude first, north positive, for example `43.0, -87.9`")]
    Latitude(f64),
    /// Longitude outside the globe.
    #[error("longitude {0} is outside -180 to 180; write latitude first, then longitude, east positive, for example `43.0, -87.9`")]
    Longitude(f64),
    /// Nothing written.
    #[error("the place is empty; leave it out, or write coordinates such as `43.0, -87.9` or words such as `cool oceanic, zone 9a`")]
    Empty,
}

/// Half of the globe; seasons of the southern are half a year off.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Hemisphere {
    /// North of the equator.
    Northern,
    /// South of it.
    Southern,
}

/// Words that place a letter south of the equator.
const SOUTHERN_WORDS: &[&str] = &[
    "southern hemisphere",
    "australia",
    "new zealand",
    "tasmania",
    "south africa",
    "argentina",
    "chile",
    "uruguay",
    "melbourne",
    "sydney",
    "adelaide",
    "perth, wa",
    "canberra",
    "hobart",
    "auckland",
    "wellington, n",
    "christchurch",
    "dunedin",
    "cape town",
    "johannesburg",
    "buenos aires",
    "santiago",
    "patagonia",
    "victoria, aus",
    "queensland",
    "new south wales",
];

impl Place {
    /// Reads a place: two decimal numbers are coordinates (latitude first), everything else is kept as words.
    ///
    /// # Errors
    /// Empty text, or coordinates off the globe.
    ///
    /// ```
    /// # use groundlore_plant_health::place::{Hemisphere, Place};
    /// assert_eq!(Place::parse("43.0, -87.9").unwrap(), Place::Coordinates { latitude: 43.0, longitude: -87.9 });
    /// assert_eq!(Place::parse("cool oceanic, zone 9a").unwrap().hemisphere(), None);
    /// assert_eq!(Place::parse("Hobart, Tasmania").unwrap().hemisphere(), Some(Hemisphere::Southern));
    /// assert!(Place::parse("143.0, -87.9").is_err());
    /// ```
    pub fn parse(text: &str) -> Result<Self, PlaceError> {
        let text = text.trim();
        if text.is_empty() {
            return Err(PlaceError::Empty);
        }
        let numbers: Vec<f64> = text.split([',', ' ', ';']).filter(|p| !p.is_empty()).map_while(|p| p.parse().ok()).collect();
        let parts = text.split([',', ' ', ';']).filter(|p| !p.is_empty()).count();
        match numbers.as_slice() {
            [latitude, longitude] if parts == 2 => Self::coordinates(*latitude, *longitude),
            _ => Ok(Self::Words(text.to_owned())),
        }
    }

    /// A place from decimal degrees.
    ///
    /// # Errors
    /// Coordinates off the globe or not finite.
    pub fn coordinates(latitude: f64, longitude: f64) -> Result<Self, PlaceError> {
        if !(-90.0..=90.0).contains(&latitude) {
            return Err(PlaceError::Latitude(latitude));
        }
        if !(-180.0..=180.0).contains(&longitude) {
            return Err(PlaceError::Longitude(longitude));
        }
        Ok(Self::Coordinates { latitude, longitude })
    }

    /// Latitude and longitude in degrees, where they are known.
    pub fn at(&self) -> Option<(f64, f64)> {
        match self {
            Self::Coordinates { latitude, longitude } => Some((*latitude, *longitude)),
            Self::Words(_) => None,
        }
    }

    /// The half of the globe, where the place says it; words that name no southern land say nothing.
    pub fn hemisphere(&self) -> Option<Hemisphere> {
        match self {
            Self::Coordinates { latitude, .. } if *latitude < 0.0 => Some(Hemisphere::Southern),
            Self::Coordinates { .. } => Some(Hemisphere::Northern),
            Self::Words(words) => {
                let lower = words.to_lowercase();
                if SOUTHERN_WORDS.iter().any(|w| lower.contains(w)) {
                    Some(Hemisphere::Southern)
                } else if lower.contains("northern hemisphere") {
                    Some(Hemisphere::Northern)
                } else {
                    None
                }
            }
        }
    }
}

impl std::fmt::Display for Place {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Self::Coordinates { latitude, longitude } => write!(f, "{latitude}, {longitude}"),
            Self::Words(words) => f.write_str(words),
        }
    }
}
