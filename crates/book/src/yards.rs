//! Yards and their maps. Each imported map is kept whole beside the areas, edges, trees, structures, bed plants and patches
//! that were read from it; the newest version is the yard's map of today.

use jiff::{Timestamp, civil::Date};
use serde_json::Value as Json;

use crate::book::{Reading, Writing};
use crate::error::BookError;
use crate::record::{Amendable, Record, record, refuse};

record! {
    /// A yard: one owner's grounds at one address.
    pub struct Yard in "yards" checked by time_zone_is_known {
        /// Its owner.
        owner_id: Option<i64>,
        /// Its name in the firm, which no other yard has.
        name: String => Filled,
        /// Its address.
        address: Option<String>,
        /// Decimal degrees, north positive.
        latitude: Option<f64> => Latitude,
        /// Decimal degrees, east positive.
        longitude: Option<f64> => Longitude,
        /// The weather station that stands for it.
        station: Option<String>,
        /// Its IANA time zone, as `America/Chicago`.
        time_zone: Option<String>,
        /// Do children play there? Blank: nobody asked.
        children: Option<bool>,
        /// Are there pets? Blank: nobody asked.
        pets: Option<bool>,
        /// Days that the owner forbids work, each a weekday or a date, as written.
        forbidden_days: Option<Vec<String>>,
        /// Anything else.
        note: Option<String>,
    }
}
impl Amendable for Yard {}

record! {
    /// One imported map of a yard, whole.
    pub struct MapVersion in "map_versions" {
        /// The yard.
        yard_id: i64,
        /// When it was imported.
        imported_at: Timestamp,
        /// The file that it came from.
        file_name: Option<String>,
        /// The GeoJSON text as it was imported.
        geojson: String => Filled,
    }
}

record! {
    /// An area of the map: lawn, bed, drive and so on.
    pub struct Area in "areas" {
        /// The yard.
        yard_id: i64,
        /// The map version it was read from.
        map_version_id: i64,
        /// The feature's id in the map.
        feature: String => Filled,
        /// Its name.
        name: Option<String>,
        /// Its kind, in the map's word.
        kind: String => Filled,
        /// Its area on the ellipsoid.
        area_m2: f64 => Positive,
        /// The length of its outline.
        perimeter_m: Option<f64> => Positive,
        /// Its GeoJSON geometry.
        geometry: Json,
        /// Its GeoJSON properties.
        properties: Option<Json>,
    }
}

record! {
    /// An edge of the map: edging, a fence, a kerb.
    pub struct Edge in "edges" {
        /// The yard.
        yard_id: i64,
        /// The map version it was read from.
        map_version_id: i64,
        /// The feature's id in the map.
        feature: String => Filled,
        /// Its name.
        name: Option<String>,
        /// Its kind, in the map's word.
        kind: String => Filled,
        /// Its length on the ellipsoid.
        length_m: f64 => Positive,
        /// Its GeoJSON geometry.
        geometry: Json,
        /// Its GeoJSON properties.
        properties: Option<Json>,
    }
}

record! {
    /// A tree of the map.
    pub struct Tree in "trees" {
        /// The yard.
        yard_id: i64,
        /// The map version it was read from.
        map_version_id: i64,
        /// The feature's id in the map.
        feature: String => Filled,
        /// Its name.
        name: Option<String>,
        /// Its species.
        species: Option<String>,
        /// Trunk diameter.
        trunk_diameter_m: Option<f64> => Positive,
        /// Crown diameter.
        crown_diameter_m: Option<f64> => Positive,
        /// Height.
        height_m: Option<f64> => Positive,
        /// Decimal degrees, north positive.
        latitude: Option<f64> => Latitude,
        /// Decimal degrees, east positive.
        longitude: Option<f64> => Longitude,
        /// Its GeoJSON properties.
        properties: Option<Json>,
    }
}

record! {
    /// A structure of the map: house, shed, wall.
    pub struct Structure in "structures" {
        /// The yard.
        yard_id: i64,
        /// The map version it was read from.
        map_version_id: i64,
        /// The feature's id in the map.
        feature: String => Filled,
        /// Its name.
        name: Option<String>,
        /// Its kind, in the map's word.
        kind: String => Filled,
        /// Its height.
        height_m: Option<f64> => NotNegative,
        /// Its footprint on the ellipsoid.
        area_m2: Option<f64> => Positive,
        /// Its GeoJSON geometry.
        geometry: Json,
        /// Its GeoJSON properties.
        properties: Option<Json>,
    }
}

record! {
    /// A plant, or a group of one kind, in a bed of the map.
    pub struct BedPlant in "bed_plants" {
        /// The yard.
        yard_id: i64,
        /// The map version it was read from.
        map_version_id: i64,
        /// The feature's id in the map.
        feature: String => Filled,
        /// The plant, as its lore key or as written.
        plant: String => Filled,
        /// The feature id of its bed.
        bed: Option<String>,
        /// How many.
        quantity: Option<u32> => Positive,
        /// Spread.
        spread_m: Option<f64> => Positive,
        /// Height.
        height_m: Option<f64> => Positive,
        /// The day it was planted.
        planted_on: Option<Date>,
        /// Decimal degrees, north positive.
        latitude: Option<f64> => Latitude,
        /// Decimal degrees, east positive.
        longitude: Option<f64> => Longitude,
        /// Its GeoJSON properties.
        properties: Option<Json>,
    }
}

record! {
    /// A poor patch drawn on the map.
    pub struct Patch in "patches" {
        /// The yard.
        yard_id: i64,
        /// The map version it was read from.
        map_version_id: i64,
        /// The feature's id in the map.
        feature: String => Filled,
        /// Its name.
        name: Option<String>,
        /// The day it was seen.
        seen_on: Option<Date>,
        /// Its area on the ellipsoid.
        area_m2: f64 => Positive,
        /// Its GeoJSON geometry.
        geometry: Json,
        /// Its GeoJSON properties.
        properties: Option<Json>,
    }
}

/// One map with all that was read from it. The ids of its parts are filled in when it is written.
#[derive(Debug, Clone, PartialEq, Default, serde::Serialize, serde::Deserialize)]
pub struct YardMap {
    /// The map as imported.
    pub version: MapVersion,
    /// Its areas.
    pub areas: Vec<Area>,
    /// Its edges.
    pub edges: Vec<Edge>,
    /// Its trees.
    pub trees: Vec<Tree>,
    /// Its structures.
    pub structures: Vec<Structure>,
    /// Its bed plants.
    pub plants: Vec<BedPlant>,
    /// Its poor patches.
    pub patches: Vec<Patch>,
}

fn no_such_yard(name: &str, yards: &[Yard]) -> BookError {
    let names: Vec<&str> = yards.iter().take(20).map(|yard| yard.name.as_str()).collect();
    let remedy = if names.is_empty() { "The book has no yards yet".into() } else { format!("Yards in this book: {}", names.join(", ")) };
    BookError::NotFound { table: "yards".into(), what: format!("named `{name}`"), remedy }
}

fn time_zone_is_known(yard: &Yard) -> Result<(), BookError> {
    match &yard.time_zone {
        Some(zone) if jiff::tz::TimeZone::get(zone).is_err() => {
            refuse("yards", "time_zone", zone, "Name an IANA time zone, for example America/Chicago, or leave it blank")
        }
        _ => Ok(()),
    }
}

impl Reading {
    /// All yards, by name.
    ///
    /// # Errors
    /// If the book cannot be read.
    pub fn yards(&self) -> Result<Vec<Yard>, BookError> {
        self.rows_where("1 ORDER BY name", [])
    }

    /// The yard of a name, told apart by letter case only if it must be.
    ///
    /// # Errors
    /// [`BookError::NotFound`], naming the yards that there are.
    pub fn yard_named(&self, name: &str) -> Result<Yard, BookError> {
        let name = name.trim();
        let yards = self.yards()?;
        let exact = yards.iter().find(|yard| yard.name == name);
        let alike = || yards.iter().find(|yard| yard.name.to_lowercase() == name.to_lowercase());
        exact.or_else(alike).cloned().ok_or_else(|| no_such_yard(name, &yards))
    }

    /// The newest map of a yard with its parts, or `None` before the first import.
    ///
    /// # Errors
    /// If the book cannot be read.
    pub fn map_of(&self, yard_id: i64) -> Result<Option<YardMap>, BookError> {
        let newest = self.first_where::<MapVersion>("yard_id = ?1 ORDER BY id DESC LIMIT 1", [yard_id])?;
        newest.map(|version| self.parts_of(version)).transpose()
    }

    fn parts_of(&self, version: MapVersion) -> Result<YardMap, BookError> {
        let of_map = version.id;
        Ok(YardMap {
            areas: self.on_map(of_map)?,
            edges: self.on_map(of_map)?,
            trees: self.on_map(of_map)?,
            structures: self.on_map(of_map)?,
            plants: self.on_map(of_map)?,
            patches: self.on_map(of_map)?,
            version,
        })
    }

    fn on_map<R: Record>(&self, map_version_id: i64) -> Result<Vec<R>, BookError> {
        self.rows_where("map_version_id = ?1 ORDER BY id", [map_version_id])
    }

    /// All map versions of a yard, oldest first.
    ///
    /// # Errors
    /// If the book cannot be read.
    pub fn map_versions(&self, yard_id: i64) -> Result<Vec<MapVersion>, BookError> {
        self.rows_where("yard_id = ?1 ORDER BY id", [yard_id])
    }

    /// The area of the yard's newest map with this name or feature id.
    ///
    /// # Errors
    /// [`BookError::NotFound`].
    pub fn area_named(&self, yard_id: i64, name: &str) -> Result<Area, BookError> {
        let newest = "map_version_id = (SELECT max(id) FROM map_versions WHERE yard_id = ?1)";
        let condition = format!("{newest} AND (feature = ?2 OR lower(name) = lower(?2)) ORDER BY feature <> ?2, id LIMIT 1");
        self.first_where(&condition, rusqlite::params![yard_id, name])?.ok_or_else(|| BookError::NotFound {
            table: "areas".into(),
            what: format!("named `{name}` on this yard's map"),
            remedy: "Use a name or feature id of the imported map".into(),
        })
    }
}

impl Writing<'_> {
    /// Writes a map with all its parts for a yard, and returns the number of the new map version. Older maps stay.
    ///
    /// # Errors
    /// If a value is refused; then nothing of the map is kept.
    pub fn add_map(&self, yard_id: i64, map: &YardMap) -> Result<i64, BookError> {
        let map_version_id = self.add(&MapVersion { yard_id, ..map.version.clone() })?;
        for area in &map.areas {
            self.add(&Area { yard_id, map_version_id, ..area.clone() })?;
        }
        for edge in &map.edges {
            self.add(&Edge { yard_id, map_version_id, ..edge.clone() })?;
        }
        for tree in &map.trees {
            self.add(&Tree { yard_id, map_version_id, ..tree.clone() })?;
        }
        for structure in &map.structures {
            self.add(&Structure { yard_id, map_version_id, ..structure.clone() })?;
        }
        for plant in &map.plants {
            self.add(&BedPlant { yard_id, map_version_id, ..plant.clone() })?;
        }
        for patch in &map.patches {
            self.add(&Patch { yard_id, map_version_id, ..patch.clone() })?;
        }
        Ok(map_version_id)
    }
}
