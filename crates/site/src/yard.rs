//! What is on a yard: areas, edges, trees, structures, plants in beds, patches of poor turf, water.
//!
//! Shapes are in longitude and latitude, decimal degrees on WGS 84, x east and y north (RFC 7946 section 4). What was not
//! written on the map is `None`: not known, not a default.

use geo::{Geometry, LineString, Point, Polygon};
use groundlore_quantity::Quantity;
use serde::Serialize;
use serde_json::{Map, Value};

/// A closed list of words that a map property may hold.
pub trait Words: Sized + Copy + 'static {
    /// Every value with its word on the map, in the order to show them.
    const WORDS: &'static [(&'static str, Self)];

    /// The value a word stands for. Case, underscores and spaces do not matter.
    fn from_word(word: &str) -> Option<Self> {
        let plain = word.trim().to_lowercase().replace([' ', '_'], "-");
        Self::WORDS.iter().find(|(w, _)| *w == plain).map(|(_, v)| *v)
    }

    /// All words, as `a, b, c`.
    fn list() -> String {
        Self::WORDS.iter().map(|(w, _)| *w).collect::<Vec<_>>().join(", ")
    }
}

/// Declares an enum of words with its [`Words`] table, `word()` and `Display`.
macro_rules! words {
    ($(#[$doc:meta])* $name:ident { $($(#[$vdoc:meta])* $variant:ident = $word:literal,)+ }) => {
        $(#[$doc])*
        #[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize)]
        pub enum $name {
            $($(#[$vdoc])* #[serde(rename = $word)] $variant,)+
        }

        impl Words for $name {
            const WORDS: &'static [(&'static str, Self)] = &[$(($word, $name::$variant)),+];
        }

        impl $name {
            /// The word on the map.
            pub fn word(self) -> &'static str {
                match self { $($name::$variant => $word),+ }
            }
        }

        impl std::fmt::Display for $name {
            fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
                f.write_str(self.word())
            }
        }
    };
}

words! {
    /// What an area is.
    AreaKind {
        /// Mown turf.
        Lawn = "lawn",
        /// Planting bed.
        Bed = "bed",
        /// Meadow, cut once or twice a year.
        Meadow = "meadow",
        /// Drive for cars.
        Drive = "drive",
        /// Path to walk on.
        Path = "path",
        /// Patio or terrace.
        Patio = "patio",
        /// Pond, pool, stream or ditch drawn as an area.
        Water = "water",
        /// Vegetable or herb ground.
        Vegetable = "vegetable",
        /// Play ground, sand or bark under swings.
        Play = "play",
    }
}

impl AreaKind {
    /// Whether one can stand or walk here to reach into a bed beside it.
    pub fn is_walked(self) -> bool {
        matches!(self, AreaKind::Lawn | AreaKind::Drive | AreaKind::Path | AreaKind::Patio | AreaKind::Play)
    }
}

words! {
    /// Sun that an area gets. Hours as in the lore: six or more, four to six, less than four.
    Shade {
        /// Six hours of direct sun or more.
        FullSun = "full-sun",
        /// Four to six hours.
        PartShade = "part-shade",
        /// Less than four hours.
        FullShade = "full-shade",
    }
}

words! {
    /// How much an area is walked or played on.
    FootTraffic {
        /// Hardly any.
        None = "none",
        /// Now and then.
        Light = "light",
        /// Most days.
        Moderate = "moderate",
        /// Every day, or games.
        Heavy = "heavy",
    }
}

words! {
    /// What holds the edge of an area.
    Edging {
        /// Wall or edging block.
        Block = "block",
        /// Natural stone.
        Stone = "stone",
        /// Steel or other thin strip.
        Steel = "steel",
        /// Cut with a spade, nothing laid.
        SpadeCut = "spade-cut",
        /// No edging.
        None = "none",
    }
}

words! {
    /// What lies in a ring round a trunk.
    Ring {
        /// Nothing.
        None = "none",
        /// Mulch.
        Mulch = "mulch",
        /// Wall or edging block.
        Block = "block",
        /// Natural stone.
        Stone = "stone",
        /// Soil.
        Soil = "soil",
    }
}

words! {
    /// What a structure is.
    StructureKind {
        /// House or other dwelling.
        House = "house",
        /// Garage or carport.
        Garage = "garage",
        /// Shed or greenhouse.
        Shed = "shed",
        /// Free-standing or retaining wall.
        Wall = "wall",
        /// Fence, hoarding or railings.
        Fence = "fence",
        /// Deck or raised platform.
        Deck = "deck",
        /// Any other built thing.
        Structure = "structure",
    }
}

words! {
    /// A place where water is, for distances that a label asks to keep.
    WaterKind {
        /// Stream, pond or ditch drawn as a point or a line.
        Water = "water",
        /// Well head.
        Well = "well",
        /// Storm drain or gully.
        Drain = "drain",
    }
}

words! {
    /// What a patch is.
    PatchKind {
        /// Turf that looks poor.
        PoorTurf = "poor-turf",
        /// Bare soil.
        Bare = "bare",
        /// Weeds.
        Weeds = "weeds",
        /// Standing water or sodden ground.
        Wet = "wet",
    }
}

/// What every feature has: who it is, and what else was written on it.
#[derive(Debug, Clone, PartialEq, Default, Serialize)]
pub struct Extra {
    /// A remark in free words.
    pub note: Option<String>,
    /// Properties of the map that this crate does not read, kept as they came so that they go out again.
    pub other: Map<String, Value>,
}

/// An area of ground.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Area {
    /// Key within the yard.
    pub id: String,
    /// Name for people; the id when none was given.
    pub name: String,
    /// What it is.
    pub kind: AreaKind,
    /// Shape in longitude and latitude; areas and structures wholly inside it are already cut out as holes.
    pub polygon: Polygon<f64>,
    /// Kind of grass, in words.
    pub grass: Option<String>,
    /// Sun it gets.
    pub shade: Option<Shade>,
    /// Whether an irrigation system reaches it.
    pub irrigated: Option<bool>,
    /// How much it is walked on.
    pub foot_traffic: Option<FootTraffic>,
    /// Soil, in words (`silt loam`).
    pub soil: Option<String>,
    /// Slope, as a share (`8 %`) or an angle (`5 deg`).
    pub slope: Option<Quantity>,
    /// Deck width of the mower that serves it.
    pub mower_width: Option<Quantity>,
    /// Whether children play on it.
    pub play: Option<bool>,
    /// Whether pets run on it.
    pub pets: Option<bool>,
    /// Note and properties not read.
    pub extra: Extra,
}

/// An edge between two areas.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Edge {
    /// Key within the yard.
    pub id: String,
    /// Name for people; the id when none was given.
    pub name: String,
    /// Line in longitude and latitude.
    pub line: LineString<f64>,
    /// What holds it.
    pub edging: Option<Edging>,
    /// How high it stands above grade.
    pub show: Option<Quantity>,
    /// Length of one block along the edge.
    pub block_length: Option<Quantity>,
    /// Face height of one block.
    pub block_height: Option<Quantity>,
    /// Ids of the areas it lies between.
    pub beside: Vec<String>,
    /// Note and properties not read.
    pub extra: Extra,
}

/// A tree.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Tree {
    /// Key within the yard.
    pub id: String,
    /// Name for people; the id when none was given.
    pub name: String,
    /// Middle of the trunk, longitude and latitude.
    pub point: Point<f64>,
    /// Species, in words.
    pub species: Option<String>,
    /// Trunk diameter.
    pub trunk_diameter: Option<Quantity>,
    /// Crown diameter.
    pub crown_diameter: Option<Quantity>,
    /// Height.
    pub height: Option<Quantity>,
    /// What lies in a ring round the trunk.
    pub ring: Option<Ring>,
    /// How high the ring's filling lies above grade.
    pub ring_height: Option<Quantity>,
    /// Distance left clear between bark and ring.
    pub ring_clear: Option<Quantity>,
    /// Note and properties not read.
    pub extra: Extra,
}

/// A built thing.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Structure {
    /// Key within the yard.
    pub id: String,
    /// Name for people; the id when none was given.
    pub name: String,
    /// What it is.
    pub kind: StructureKind,
    /// A polygon, or a line for a wall or a fence, in longitude and latitude.
    pub shape: Shape,
    /// Height above grade.
    pub height: Option<Quantity>,
    /// Note and properties not read.
    pub extra: Extra,
}

/// Point, line or polygon, in longitude and latitude.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Shape {
    /// A place.
    Point(Point<f64>),
    /// A line.
    Line(LineString<f64>),
    /// An outline.
    Polygon(Polygon<f64>),
}

impl Shape {
    /// The same as a `geo` geometry.
    pub fn geometry(&self) -> Geometry<f64> {
        match self {
            Shape::Point(p) => (*p).into(),
            Shape::Line(l) => l.clone().into(),
            Shape::Polygon(p) => p.clone().into(),
        }
    }
}

/// One plant, or a group of one kind, in a bed.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct BedPlant {
    /// Key within the yard.
    pub id: String,
    /// Name for people; the id when none was given.
    pub name: String,
    /// Where it stands, longitude and latitude; the middle of a group.
    pub point: Point<f64>,
    /// Lore key or name of the plant.
    pub plant: String,
    /// How wide one plant grows.
    pub spread: Option<Quantity>,
    /// Distance between the plants of a group.
    pub spacing: Option<Quantity>,
    /// How many plants stand here.
    pub count: Option<u32>,
    /// Note and properties not read.
    pub extra: Extra,
}

/// A patch of ground in poor state, drawn over an area.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Patch {
    /// Key within the yard.
    pub id: String,
    /// Name for people; the id when none was given.
    pub name: String,
    /// What it is.
    pub what: PatchKind,
    /// Shape in longitude and latitude.
    pub polygon: Polygon<f64>,
    /// Width of the band, astride the outline, where poor meets sound.
    pub margin: Option<Quantity>,
    /// Note and properties not read.
    pub extra: Extra,
}

/// A place where water is.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct WaterFeature {
    /// Key within the yard.
    pub id: String,
    /// Name for people; the id when none was given.
    pub name: String,
    /// What it is.
    pub kind: WaterKind,
    /// Point or line in longitude and latitude.
    pub shape: Shape,
    /// Note and properties not read.
    pub extra: Extra,
}

/// Everything on one map.
#[derive(Debug, Clone, PartialEq, Default, Serialize)]
pub struct Yard {
    /// Name of the yard.
    pub name: String,
    /// Areas, in the order of the map.
    pub areas: Vec<Area>,
    /// Edges.
    pub edges: Vec<Edge>,
    /// Trees.
    pub trees: Vec<Tree>,
    /// Structures.
    pub structures: Vec<Structure>,
    /// Plants in beds.
    pub plants: Vec<BedPlant>,
    /// Patches of poor turf.
    pub patches: Vec<Patch>,
    /// Wells, drains, and water drawn as a point or a line. Ponds drawn as polygons are areas of kind water.
    pub water: Vec<WaterFeature>,
}

impl Yard {
    /// The area with this id.
    pub fn area(&self, id: &str) -> Option<&Area> {
        self.areas.iter().find(|area| area.id == id)
    }

    /// Areas of one kind, in the order of the map.
    pub fn areas_of(&self, kind: AreaKind) -> impl Iterator<Item = &Area> {
        self.areas.iter().filter(move |area| area.kind == kind)
    }

    /// The shape of every feature with its id, in longitude and latitude.
    pub fn shapes(&self) -> Vec<(&str, Geometry<f64>)> {
        let mut all: Vec<(&str, Geometry<f64>)> = Vec::new();
        all.extend(self.areas.iter().map(|a| (a.id.as_str(), a.polygon.clone().into())));
        all.extend(self.edges.iter().map(|e| (e.id.as_str(), e.line.clone().into())));
        all.extend(self.trees.iter().map(|t| (t.id.as_str(), t.point.into())));
        all.extend(self.structures.iter().map(|s| (s.id.as_str(), s.shape.geometry())));
        all.extend(self.plants.iter().map(|p| (p.id.as_str(), p.point.into())));
        all.extend(self.patches.iter().map(|p| (p.id.as_str(), p.polygon.clone().into())));
        all.extend(self.water.iter().map(|w| (w.id.as_str(), w.shape.geometry())));
        all
    }

    /// The middle of the box that holds every feature, longitude and latitude; `None` on an empty yard.
    pub fn centre(&self) -> Option<Point<f64>> {
        use geo::BoundingRect;
        let boxes: Vec<geo::Rect<f64>> = self.shapes().iter().filter_map(|(_, g)| g.bounding_rect()).collect();
        let first = *boxes.first()?;
        let whole = boxes.iter().fold(first, |a, b| {
            geo::Rect::new(
                geo::coord! { x: a.min().x.min(b.min().x), y: a.min().y.min(b.min().y) },
                geo::coord! { x: a.max().x.max(b.max().x), y: a.max().y.max(b.max().y) },
            )
        });
        Some(whole.center().into())
    }
}
