//! What the letter is about: lawn, bed, shrub or tree, and which plant.

use super::words::{Sentence, sentences, stem};
use crate::diagnosis::CauseTable;
use serde::Serialize;
use std::collections::BTreeSet;
use std::sync::LazyLock;

/// What sort of growing thing or ground a host is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum HostKind {
    /// Turf.
    Lawn,
    /// Perennials, annuals, mulch, bare ground between plants.
    Bed,
    /// A woody plant branching from the ground.
    Shrub,
    /// A tree.
    Tree,
}

impl HostKind {
    /// The word used in lore.
    pub fn word(self) -> &'static str {
        match self {
            Self::Lawn => "lawn",
            Self::Bed => "bed",
            Self::Shrub => "shrub",
            Self::Tree => "tree",
        }
    }

    /// The kind that a word of lore names.
    pub fn from_word(word: &str) -> Option<Self> {
        [Self::Lawn, Self::Bed, Self::Shrub, Self::Tree].into_iter().find(|k| k.word() == word)
    }
}

/// What is known of the host.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize)]
pub struct Host {
    /// Kinds named.
    pub kinds: BTreeSet<HostKind>,
    /// Plants named: common name and genus, lower case.
    pub plants: BTreeSet<String>,
    /// True where the letter's `host` field names it; false where it was gathered from the text, where a plant may be named by the way.
    pub stated: bool,
}

impl Host {
    /// True where nothing is known.
    pub fn is_unknown(&self) -> bool {
        self.kinds.is_empty() && self.plants.is_empty()
    }
}

/// Words for ground and for kinds of plant.
const KIND_WORDS: &[(&[&str], HostKind)] = &[
    (
        &[
            "lawn",
            "turf",
            "grass",
            "sod",
            "bluegrass",
            "ryegrass",
            "fescue",
            "bentgrass",
            "bermudagrass",
            "bermuda",
            "zoysia",
            "zoysiagrass",
            "st. augustine",
            "augustine",
            "kikuyu",
            "couch",
            "buffalo grass",
            "fairway",
            "putting green",
            "bowling green",
            "tee box",
            "playing field",
            "verge",
            "turfgrass",
            "bent",
            "rye grass",
            "lolium",
            "festuca",
            "agrostis",
            "poa pratensis",
            "poa annua",
            "poa trivialis",
            "cynodon",
            "stenotaphrum",
            "eremochloa",
            "paspalum",
            "cenchrus clandestinus",
            "pennisetum clandestinum",
            "axonopus",
            "bouteloua dactyloides",
            "buchloe",
            "meadowgrass",
            "meadow grass",
        ],
        HostKind::Lawn,
    ),
    (
        &[
            "bed",
            "border",
            "perennial",
            "annual",
            "flowerbed",
            "mulch",
            "planter",
            "rockery",
            "vegetable",
            "groundcover",
            "flower",
            "mulch bed",
            "wood chip",
            "woodchip",
            "bark chip",
        ],
        HostKind::Bed,
    ),
    (&["shrub", "bush", "hedge", "hedging", "evergreen", "foundation planting"], HostKind::Shrub),
    (&["tree", "sapling", "trunk", "street tree", "conifer", "mulch volcano", "volcano mulch"], HostKind::Tree),
];

/// Plants: words for it, genus, kind.
const PLANTS: &[(&[&str], &str, HostKind)] = &[
    (&["rose"], "rosa", HostKind::Shrub),
    (&["azalea", "rhododendron"], "rhododendron", HostKind::Shrub),
    (&["boxwood", "box"], "buxus", HostKind::Shrub),
    (&["yew"], "taxus", HostKind::Shrub),
    (&["arborvitae", "thuja", "cedar"], "thuja", HostKind::Shrub),
    (&["juniper"], "juniperus", HostKind::Shrub),
    (&["euonymus", "burning bush", "spindle"], "euonymus", HostKind::Shrub),
    (&["lilac"], "syringa", HostKind::Shrub),
    (&["hydrangea"], "hydrangea", HostKind::Shrub),
    (&["viburnum", "arrowwood"], "viburnum", HostKind::Shrub),
    (&["spirea", "spiraea"], "spiraea", HostKind::Shrub),
    (&["holly", "inkberry", "winterberry"], "ilex", HostKind::Shrub),
    (&["pieris", "andromeda"], "pieris", HostKind::Shrub),
    (&["cotoneaster"], "cotoneaster", HostKind::Shrub),
    (&["pyracantha", "firethorn"], "pyracantha", HostKind::Shrub),
    (&["privet"], "ligustrum", HostKind::Shrub),
    (&["ninebark"], "physocarpus", HostKind::Shrub),
    (&["forsythia"], "forsythia", HostKind::Shrub),
    (&["barberry"], "berberis", HostKind::Shrub),
    (&["potentilla", "cinquefoil"], "potentilla", HostKind::Shrub),
    (&["weigela"], "weigela", HostKind::Shrub),
    (&["camellia"], "camellia", HostKind::Shrub),
    (&["gardenia"], "gardenia", HostKind::Shrub),
    (&["sumac"], "rhus", HostKind::Shrub),
    (&["elder", "elderberry"], "sambucus", HostKind::Shrub),
    (&["currant", "gooseberry"], "ribes", HostKind::Shrub),
    (&["raspberry", "blackberry", "bramble"], "rubus", HostKind::Shrub),
    (&["grape", "grapevine"], "vitis", HostKind::Shrub),
    (&["clematis"], "clematis", HostKind::Bed),
    (&["laurel", "bay"], "laurus", HostKind::Shrub),
    (&["photinia", "red tip"], "photinia", HostKind::Shrub),
    (&["mahonia", "oregon grape"], "mahonia", HostKind::Shrub),
    (&["nandina", "heavenly bamboo"], "nandina", HostKind::Shrub),
    (&["loropetalum", "fringe flower"], "loropetalum", HostKind::Shrub),
    (&["osmanthus", "tea olive"], "osmanthus", HostKind::Shrub),
    (&["pittosporum"], "pittosporum", HostKind::Shrub),
    (&["hebe"], "hebe", HostKind::Shrub),
    (&["fuchsia"], "fuchsia", HostKind::Shrub),
    (&["butterfly bush", "buddleia"], "buddleja", HostKind::Shrub),
    (&["honeysuckle"], "lonicera", HostKind::Shrub),
    (&["mock orange"], "philadelphus", HostKind::Shrub),
    (&["smoke bush", "smoke tree"], "cotinus", HostKind::Shrub),
    (&["oleander"], "nerium", HostKind::Shrub),
    (&["lavender"], "lavandula", HostKind::Bed),
    (&["heather", "heath"], "calluna", HostKind::Bed),
    (&["ivy"], "hedera", HostKind::Bed),
    (&["pachysandra", "spurge"], "pachysandra", HostKind::Bed),
    (&["periwinkle"], "vinca", HostKind::Bed),
    (&["pansy", "violet", "viola"], "viola", HostKind::Bed),
    (&["petunia"], "petunia", HostKind::Bed),
    (&["snapdragon"], "antirrhinum", HostKind::Bed),
    (&["pelargonium"], "pelargonium", HostKind::Bed),
    (&["tulip"], "tulipa", HostKind::Bed),
    (&["yarrow"], "achillea", HostKind::Bed),
    (&["coral bells"], "heuchera", HostKind::Bed),
    (&["lungwort"], "pulmonaria", HostKind::Bed),
    (&["leyland", "cypress", "leylandii"], "cupressus", HostKind::Tree),
    (&["hornbeam"], "carpinus", HostKind::Tree),
    (&["ginkgo", "maidenhair tree"], "ginkgo", HostKind::Tree),
    (&["larch"], "larix", HostKind::Tree),
    (&["alder"], "alnus", HostKind::Tree),
    (&["hazel"], "corylus", HostKind::Tree),
    (&["gum tree", "eucalypt"], "eucalyptus", HostKind::Tree),
    (&["citrus", "orange tree", "lemon"], "citrus", HostKind::Tree),
    (&["sweetgum"], "liquidambar", HostKind::Tree),
    (&["zelkova"], "zelkova", HostKind::Tree),
    (&["black locust", "robinia"], "robinia", HostKind::Tree),
    (&["catalpa"], "catalpa", HostKind::Tree),
    (&["palm"], "arecaceae", HostKind::Tree),
    (&["maple", "acer"], "acer", HostKind::Tree),
    (&["oak"], "quercus", HostKind::Tree),
    (&["pine"], "pinus", HostKind::Tree),
    (&["spruce"], "picea", HostKind::Tree),
    (&["fir"], "abies", HostKind::Tree),
    (&["hemlock"], "tsuga", HostKind::Tree),
    (&["birch"], "betula", HostKind::Tree),
    (&["ash"], "fraxinus", HostKind::Tree),
    (&["elm"], "ulmus", HostKind::Tree),
    (&["linden", "basswood", "lime tree", "common lime", "small-leaved lime"], "tilia", HostKind::Tree),
    (&["honeylocust", "honey locust"], "gleditsia", HostKind::Tree),
    (&["crabapple", "crab apple", "apple"], "malus", HostKind::Tree),
    (&["pear"], "pyrus", HostKind::Tree),
    (&["cherry", "plum", "peach", "prunus", "chokecherry", "cherry laurel"], "prunus", HostKind::Tree),
    (&["hawthorn"], "crataegus", HostKind::Tree),
    (&["serviceberry", "amelanchier", "juneberry"], "amelanchier", HostKind::Tree),
    (&["dogwood"], "cornus", HostKind::Tree),
    (&["magnolia"], "magnolia", HostKind::Tree),
    (&["willow"], "salix", HostKind::Tree),
    (&["poplar", "cottonwood", "aspen"], "populus", HostKind::Tree),
    (&["walnut"], "juglans", HostKind::Tree),
    (&["hickory", "pecan"], "carya", HostKind::Tree),
    (&["beech"], "fagus", HostKind::Tree),
    (&["hackberry"], "celtis", HostKind::Tree),
    (&["redbud"], "cercis", HostKind::Tree),
    (&["sycamore", "plane tree", "planetree"], "platanus", HostKind::Tree),
    (&["horse chestnut", "horsechestnut", "buckeye"], "aesculus", HostKind::Tree),
    (&["crape myrtle", "crepe myrtle"], "lagerstroemia", HostKind::Tree),
    (&["mountain ash", "rowan"], "sorbus", HostKind::Tree),
    (&["tulip tree", "tuliptree"], "liriodendron", HostKind::Tree),
    (&["phlox"], "phlox", HostKind::Bed),
    (&["bee balm", "beebalm", "bergamot", "monarda"], "monarda", HostKind::Bed),
    (&["hosta"], "hosta", HostKind::Bed),
    (&["peony"], "paeonia", HostKind::Bed),
    (&["daylily", "day lily"], "hemerocallis", HostKind::Bed),
    (&["lily"], "lilium", HostKind::Bed),
    (&["iris"], "iris", HostKind::Bed),
    (&["hollyhock"], "alcea", HostKind::Bed),
    (&["hibiscus", "rose mallow", "rose of sharon"], "hibiscus", HostKind::Shrub),
    (&["coneflower", "echinacea"], "echinacea", HostKind::Bed),
    (&["black-eyed susan", "rudbeckia"], "rudbeckia", HostKind::Bed),
    (&["sunflower", "helianthus", "heliopsis"], "helianthus", HostKind::Bed),
    (&["aster"], "symphyotrichum", HostKind::Bed),
    (&["goldenrod"], "solidago", HostKind::Bed),
    (&["milkweed", "butterfly weed"], "asclepias", HostKind::Bed),
    (&["columbine"], "aquilegia", HostKind::Bed),
    (&["chrysanthemum", "mum"], "chrysanthemum", HostKind::Bed),
    (&["dahlia"], "dahlia", HostKind::Bed),
    (&["zinnia"], "zinnia", HostKind::Bed),
    (&["marigold"], "tagetes", HostKind::Bed),
    (&["impatiens"], "impatiens", HostKind::Bed),
    (&["geranium"], "geranium", HostKind::Bed),
    (&["salvia", "sage"], "salvia", HostKind::Bed),
    (&["catmint"], "nepeta", HostKind::Bed),
    (&["sedum", "stonecrop"], "sedum", HostKind::Bed),
    (&["lupine", "lupin"], "lupinus", HostKind::Bed),
    (&["delphinium"], "delphinium", HostKind::Bed),
    (&["squash", "zucchini", "cucumber", "pumpkin"], "cucurbita", HostKind::Bed),
    (&["tomato"], "solanum", HostKind::Bed),
];

/// Reads the host from the letter's `host` field and, where that is silent, from its sentences.
pub fn read(field: Option<&str>, text: &[Sentence]) -> Host {
    let named = field.map(|f| find(&sentences(f))).unwrap_or_default();
    if !named.is_unknown() {
        return Host { stated: true, ..named };
    }
    find(text)
}

/// A plant or kind word as stems, cut once.
struct Words {
    word: &'static str,
    stems: Vec<String>,
}

impl Words {
    fn of(word: &'static str) -> Self {
        Self { word, stems: word.split([' ', '-']).filter(|w| !w.is_empty()).map(|w| stem(w.trim_end_matches('.'))).collect() }
    }

    fn occur(&self, told: &[&str]) -> bool {
        told.windows(self.stems.len()).any(|w| w.iter().zip(&self.stems).all(|(a, b)| *a == b))
    }
}

static PLANT_STEMS: LazyLock<Vec<(Vec<Words>, &str, HostKind)>> = LazyLock::new(|| {
    PLANTS
        .iter()
        .map(|(words, genus, kind)| (words.iter().chain(std::iter::once(genus)).map(|w| Words::of(w)).collect(), *genus, *kind))
        .collect()
});
static KIND_STEMS: LazyLock<Vec<(Vec<Words>, HostKind)>> =
    LazyLock::new(|| KIND_WORDS.iter().map(|(words, kind)| (words.iter().map(|w| Words::of(w)).collect(), *kind)).collect());

/// All hosts that sentences name.
pub fn find(text: &[Sentence]) -> Host {
    let mut host = Host::default();
    for sentence in text {
        let stems: Vec<&str> = sentence.words.iter().map(|w| w.stem.as_str()).collect();
        for (words, genus, kind) in PLANT_STEMS.iter() {
            let named: Vec<&Words> = words.iter().filter(|w| w.occur(&stems)).collect();
            if !named.is_empty() {
                host.plants.extend(named.iter().map(|w| w.word.to_owned()));
                host.plants.insert((*genus).to_owned());
                host.kinds.insert(*kind);
            }
        }
        host.kinds.extend(KIND_STEMS.iter().filter(|(words, _)| words.iter().any(|w| w.occur(&stems))).map(|(_, kind)| *kind));
    }
    host
}

/// A host word of lore, as read: a kind of ground, or plants.
#[derive(Debug, Clone)]
pub(crate) enum HostWord {
    Kind(HostKind),
    Plant { word: String, named: Host },
}

/// Reads a host word of lore.
pub(crate) fn host_word(word: &str) -> HostWord {
    let word = word.to_lowercase();
    HostKind::from_word(&word).map_or_else(|| HostWord::Plant { named: find(&sentences(&word)), word }, HostWord::Kind)
}

/// How well a cause's hosts fit the letter's, as a factor on its prior: 1 for a fit, small for another plant, between where the letter is vague.
pub(crate) fn fit(host: &Host, hosts_of_cause: &[HostWord]) -> f64 {
    if host.is_unknown() || hosts_of_cause.is_empty() {
        return 1.0;
    }
    let mut best: f64 = if host.stated { 0.02 } else { 0.12 };
    for word in hosts_of_cause {
        let factor = match word {
            HostWord::Kind(kind) if host.kinds.contains(kind) => 1.0,
            HostWord::Kind(HostKind::Shrub) if host.kinds.contains(&HostKind::Tree) => 0.3,
            HostWord::Kind(HostKind::Tree) if host.kinds.contains(&HostKind::Shrub) => 0.3,
            HostWord::Kind(_) => 0.02,
            HostWord::Plant { word, named } => plant_fit(host, word, named),
        };
        best = best.max(factor);
    }
    best
}

fn plant_fit(host: &Host, word: &str, named: &Host) -> f64 {
    if host.plants.contains(word) || named.plants.iter().any(|p| host.plants.contains(p)) {
        return 1.0;
    }
    // The letter names a kind only: the plant may well be this one.
    let vague = host.plants.is_empty() && named.kinds.iter().any(|k| host.kinds.contains(k));
    if vague { 0.35 } else { 0.03 }
}

/// Least fit of a cause's hosts at which its signs may be asked of, or read on, a host.
pub(crate) const SUITS: f64 = 0.3;

/// True where a finding may be looked for on this host: some cause seen on it may well show the finding, and the finding's own words are not
/// of turf alone where the host is none. True for every finding where the host is not known.
pub(crate) fn suits(table: &CauseTable, host: &Host, finding: &str) -> bool {
    if host.is_unknown() {
        return true;
    }
    let no_turf = !host.kinds.is_empty() && !host.kinds.contains(&HostKind::Lawn);
    if no_turf && table.of_turf_alone(finding) {
        return false;
    }
    const MAY_WELL: f64 = 0.1;
    table.listing(finding).iter().filter(|l| l.high >= MAY_WELL).any(|l| fit(host, table.hosts(l.cause)) >= SUITS)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn hosts_are_found_by_common_name_and_genus() {
        let host = read(Some("Kentucky bluegrass"), &[]);
        assert!(host.kinds.contains(&HostKind::Lawn));
        let host = read(None, &sentences("My azaleas look pale"));
        assert!(host.plants.contains("rhododendron"));
        assert!((fit(&host, &[host_word("azalea")]) - 1.0).abs() < 1e-9);
        assert!((fit(&host, &[host_word("shrub")]) - 1.0).abs() < 1e-9);
        assert!(fit(&host, &[host_word("lawn")]) < 0.2);
        let host = read(Some("azalea"), &[]);
        assert!(fit(&host, &[host_word("rose")]) < 0.05);
    }
}
