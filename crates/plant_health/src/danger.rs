//! Danger first: what in a letter calls for help before any gardening, and whom to call.
//!
//! The screen reads the same pattern language as lore's `said_as` (see [`crate::letter::pattern`]) and fires in doubt. It never gives a phone
//! number: those differ by place.

use crate::letter::negation::{Presence, claim};
use crate::letter::pattern::{Hit, Pattern};
use crate::letter::words::{Sentence, sentences};
use crate::letter::{GivenValue, Letter};
use serde::{Deserialize, Serialize};
use std::borrow::Cow;
use std::collections::HashSet;
use std::sync::LazyLock;

/// Kinds of danger, the most pressing first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum DangerKind {
    /// Somebody cannot breathe, has collapsed, bleeds, was cut, crushed or shocked.
    Injury,
    /// A sting with swelling or trouble breathing.
    AllergicReaction,
    /// A person swallowed something.
    SwallowedByPerson,
    /// Ill, a rash, or trouble breathing after a spray; something in the eyes or on the skin.
    IllAfterChemical,
    /// Fumes of an engine in a closed place.
    EngineFumes,
    /// Gas smelled or a gas line struck.
    Gas,
    /// A wire down, or a tree or ladder in or near a wire.
    Wire,
    /// A buried cable struck.
    CableStruck,
    /// Fire.
    Fire,
    /// A limb or tree that may fall on people, a house or a road.
    TreeOrLimb,
    /// A wall that leans, bulges or cracks.
    Wall,
    /// Ground that caves in.
    Ground,
    /// An animal swallowed something.
    SwallowedByAnimal,
    /// A nest of stinging insects near people.
    StingingNest,
    /// A spill into a well, pond or drain.
    Spill,
}

/// A danger found in a letter.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Danger {
    /// Kind.
    pub kind: DangerKind,
    /// Exact words of the letter.
    pub phrase: String,
    /// What it is, in a few words.
    pub what: Cow<'static, str>,
    /// Whom to call, first first.
    pub whom_to_call: Vec<Cow<'static, str>>,
    /// What to keep clear of.
    pub keep_clear: Cow<'static, str>,
    /// What to do first.
    pub do_first: Cow<'static, str>,
}

const EMERGENCY: &str = "your local emergency number";
const POISON: &str = "your national poison-centre line (ask them even if nobody feels ill yet)";
const UTILITY: &str = "the electric utility's emergency line";
const GAS_UTILITY: &str = "the gas utility's emergency line, from well away";
const ARBORIST: &str = "a licensed arborist";

/// What is said of each kind.
struct Counsel {
    kind: DangerKind,
    what: &'static str,
    whom: &'static [&'static str],
    keep_clear: &'static str,
    do_first: &'static str,
}

const COUNSEL: &[Counsel] = &[
    Counsel {
        kind: DangerKind::Injury,
        what: "somebody is hurt or may be",
        whom: &[EMERGENCY],
        keep_clear: "Stop the machine and take the key or the battery out; keep others away from it. Touch nobody who may still be on a live wire.",
        do_first: "Call now. Press firmly on any bleeding and keep the person still and warm until help comes.",
    },
    Counsel {
        kind: DangerKind::AllergicReaction,
        what: "a sting with swelling or trouble breathing",
        whom: &[EMERGENCY],
        keep_clear: "Move away from the nest, and do not go back for anything.",
        do_first: "Call now. If the person carries an adrenaline pen, help them use it as their doctor showed them.",
    },
    Counsel {
        kind: DangerKind::SwallowedByPerson,
        what: "somebody may have swallowed something harmful",
        whom: &[POISON, EMERGENCY],
        keep_clear: "Keep everybody away from the material, and keep its package or a piece of the plant to show.",
        do_first: "Call the poison line now; if the person is drowsy, fitting or short of breath, call the emergency number instead. Do not make them vomit unless you are told to.",
    },
    Counsel {
        kind: DangerKind::IllAfterChemical,
        what: "somebody is ill, or was splashed, after a chemical",
        whom: &[POISON, EMERGENCY, "a doctor, with the label in hand"],
        keep_clear: "Leave the treated place for fresh air, and keep people and animals off it.",
        do_first: "Take off what is wet with it and rinse skin or eyes with plenty of running water for a quarter of an hour, then call. With trouble breathing call the emergency number first.",
    },
    Counsel {
        kind: DangerKind::EngineFumes,
        what: "engine fumes in a closed place",
        whom: &[EMERGENCY, "the fire department"],
        keep_clear: "Get everybody out into the open air, and do not go back in.",
        do_first: "Get out first, then call. Switch nothing on or off on the way unless it is at hand.",
    },
    Counsel {
        kind: DangerKind::Gas,
        what: "gas, or a gas line struck",
        whom: &[GAS_UTILITY, EMERGENCY, "the fire department"],
        keep_clear: "Leave the place on foot, upwind. No flames, no switches, no engines, no phone until you are well away.",
        do_first: "Leave now, keep others out, then call. Do not try to close or patch the pipe.",
    },
    Counsel {
        kind: DangerKind::Wire,
        what: "a wire down, or a tree in or near a wire",
        whom: &[UTILITY, EMERGENCY, "a line-clearance arborist whom the utility accepts"],
        keep_clear: "Stay at least as far off as the pole is tall, away from the tree, fences and wet ground that touch it too. Take every wire for live.",
        do_first: "Keep everybody and every animal away, then call. Cut, pull and prop nothing.",
    },
    Counsel {
        kind: DangerKind::CableStruck,
        what: "a buried cable struck",
        whom: &[UTILITY, EMERGENCY, "the service that marks buried utilities, before any more digging"],
        keep_clear: "Step away from tool and hole, do not touch either, and keep others back. Take it for live.",
        do_first: "Stop digging, move away, then call.",
    },
    Counsel {
        kind: DangerKind::Fire,
        what: "fire",
        whom: &[EMERGENCY, "the fire department"],
        keep_clear: "Keep people, fuel and machines away.",
        do_first: "Call first. Put out only what is small, with your back to a way out.",
    },
    Counsel {
        kind: DangerKind::TreeOrLimb,
        what: "a limb or tree that may come down",
        whom: &[ARBORIST, EMERGENCY, "if a wire is near, the electric utility's emergency line first"],
        keep_clear: "Keep everybody out from under it and out of where it would fall, one and a half times its height; sleep on the other side of the house.",
        do_first: "Close the place off now. No ladder and no saw: hung-up and split wood moves without warning.",
    },
    Counsel {
        kind: DangerKind::Wall,
        what: "a wall that may fall",
        whom: &["a structural engineer", "your local building office", "the emergency number if it moves or a public way lies below it"],
        keep_clear: "Keep people, cars and play away from below it and from its top, by at least its height and a half.",
        do_first: "Close off the place, put no load and no water behind it, and do not dig at its foot.",
    },
    Counsel {
        kind: DangerKind::Ground,
        what: "ground that caves in",
        whom: &[EMERGENCY, "your local building office", "a geotechnical or structural engineer"],
        keep_clear: "Keep everybody well back from the edge, and out of any trench.",
        do_first: "Close the place off. Do not climb in, not even for somebody: call.",
    },
    Counsel {
        kind: DangerKind::SwallowedByAnimal,
        what: "an animal may have eaten something harmful",
        whom: &["your vet or the nearest emergency vet", "an animal poison-control line"],
        keep_clear: "Keep all animals and children away from the material, and keep its package or a piece of the plant to show.",
        do_first: "Call now, before it looks ill. Do not make it vomit unless the vet tells you to.",
    },
    Counsel {
        kind: DangerKind::StingingNest,
        what: "a nest of stinging insects near people",
        whom: &[
            "a beekeeper (for honey bees) or a licensed pest professional",
            "the emergency number if somebody is stung many times, swells up or is short of breath",
        ],
        keep_clear: "Keep people, pets and mowers well away from the nest and from the line of flight; no noise or jarring nearby.",
        do_first: "Mark the place from a distance and leave it alone. No water, fire, fuel or plugging of the hole.",
    },
    Counsel {
        kind: DangerKind::Spill,
        what: "a spill into water, a well or a drain",
        whom: &[
            "your environment agency's spill line",
            "the fire department",
            "the water supplier or health office if a well or tap may be touched",
        ],
        keep_clear: "Drink and water nothing from it, and keep people and animals off.",
        do_first: "Stop the source if that is safe, dam it with soil or absorbent, wash nothing down, then call.",
    },
];

/// Lists that the rules name in braces.
const LISTS: &[(&str, &str)] = &[
    (
        "{person}",
        "child|kid|children|toddler|baby|infant|son|daughter|boy|girl|grandson|granddaughter|grandchild|grandkid|nephew|niece|student|husband|wife|partner|mother|father|mom|mum|dad|grandma|grandpa|grandmother|grandfather|uncle|aunt|brother|sister|friend|tenant|someone|somebody|everyone|everybody|people|neighbor|neighbour|worker|helper|crew|employee|landscaper|gardener|man|woman|guy|lad|lass|gran|granny|nan|nana|grandad|granddad|spouse|girlfriend|boyfriend|mate|cousin|colleague|workman|workmen|operator|contractor|visitor|guest|customer|client|lady|teen|teenager|pupil|kiddo|youngster|twin|twins|\"little one\"|\"year old\"|\"old lady\"",
    ),
    (
        "{below}",
        "house|roof|car|cars|driveway|drive|sidewalk|pavement|street|road|lane|alley|path|conservatory|greenhouse|tent|caravan|balcony|terrace|classroom|barn|stable|kennel|playhouse|sandpit|seat|table|hammock|neighbors|neighbours|playground|swing|swingset|playset|kid|kids|child|children|people|garage|shed|neighbor|neighbour|window|bedroom|school|patio|deck|porch|walkway|footpath|mailbox|trampoline|bench|head|heads|parking|gate|entrance|overhead|door|bed|bus|stop|walk|pool|sandbox|tent|picnic|crib|nursery",
    ),
    (
        "{pet}",
        "dog|cat|puppy|pup|kitten|kitty|pet|horse|pony|goat|sheep|cow|llama|alpaca|lab|labrador|retriever|terrier|beagle|poodle|spaniel|collie|husky|dachshund|hound|bulldog|doodle|shepherd|chicken|hen|cockerel|goose|duck|bunny|rabbit|tortoise|ferret|\"guinea pig\"|donkey|calf|ewe|lamb|whippet|corgi|pug|boxer|mutt|moggy",
    ),
    (
        "{tree}",
        "limb|branch|bough|tree|trunk|oak|maple|pine|spruce|ash|elm|willow|birch|poplar|cherry|cedar|fir|beech|larch|alder|rowan|walnut|chestnut|sycamore|conifer|cypress|leylandii|eucalyptus|cottonwood|aspen|hornbeam|linden|magnolia|plane|pear|apple|hawthorn|acacia|robinia|palm|\"gum tree\"|\"lime tree\"",
    ),
    (
        "{line}",
        "wire|wires|powerline|powerlines|\"power line\"|\"power lines\"|\"power cable\"|\"power cables\"|\"electric line\"|\"electric lines\"|\"electric cable\"|\"electric cables\"|\"electricity cable\"|\"electricity cables\"|\"electricity line\"|\"electricity lines\"|\"electrical line\"|\"electrical lines\"|\"utility line\"|\"utility lines\"|\"service line\"|\"service drop\"|\"overhead line\"|\"overhead lines\"|\"overhead cable\"|\"overhead cables\"|\"supply cable\"|\"phone line\"|\"high voltage\"",
    ),
    (
        "{poison}",
        "pellet|bait|poison|granule|fertilizer|pesticide|insecticide|weedkiller|herbicide|fungicide|killer|spray|sprayer|chemical|antifreeze|gasoline|petrol|fuel|oil|bottle|concentrate|lime|=bleach|berry|mushroom|toadstool|bulb|foxglove|yew|oleander|nightshade|hemlock|laburnum|aconite|monkshood|\"castor bean\"|\"rose food\"|\"plant food\"|\"lawn food\"|\"tomato food\"|\"bulb food\"|\"rose feed\"|\"lawn feed\"|\"plant feed\"|\"tomato feed\"|\"weed and feed\"|dust|powder|tablet|crystal|capsule|paraquat|\"lily of the valley\"|\"deadly nightshade\"|hellebore|datura|brugmansia|\"angel trumpet\"|\"moss killer\"|\"ant powder\"|\"drain cleaner\"|\"wood preservative\"|creosote|paraffin|kerosene|diesel",
    ),
    (
        "{part}",
        "finger|fingers|=toe|=toes|thumb|ankle|wrist|shin|\"my foot\"|\"his foot\"|\"her foot\"|\"the foot\"|\"my hand\"|\"his hand\"|\"her hand\"|\"my leg\"|\"his leg\"|\"her leg\"|\"the leg\"|\"my arm\"|\"his arm\"|\"her arm\"|\"the arm\"|\"my head\"|\"his head\"|\"her head\"|\"the head\"|\"my face\"|\"his face\"|\"her face\"|\"the face\"|\"my knee\"|\"his knee\"|\"her knee\"|\"my thigh\"|\"my eye\"|\"his eye\"|\"her eye\"|\"the eye\"",
    ),
];

/// One rule of the screen: any pattern fires it, where one of `with` (if any) stands in the same sentence and no exception does.
struct Rule {
    kind: DangerKind,
    /// Words that may stand between two words of a pattern.
    gap: usize,
    patterns: &'static [&'static str],
    with: &'static [&'static str],
    unless: &'static [&'static str],
}

const RULES: &[Rule] = &[
    Rule {
        kind: DangerKind::SwallowedByPerson,
        gap: DANGER_GAP,
        patterns: &[
            "{person} eat|swallow|drink|ingest|chew|suck|lick|taste|mouth|mouthful|munch|sip|swig|swill|gulp|nibble {poison}|leaf|plant|liquid|stuff|something|some|powder|seed|treated|flower|pod",
            "i|he|she|we|they eat|swallow|drink|ingest|chew|suck|lick|taste|mouth|sip pellet|bait|granule|poison|pesticide|insecticide|weedkiller|herbicide|fungicide|\"weed killer\"|chemical|antifreeze|gasoline|petrol|=bleach|concentrate|diesel|kerosene|paraffin|\"wild mushroom\"",
            "eat|taste|chew mushroom|toadstool|berry|leaf|leaves|bulb|root sick|ill|vomit|vomiting|dizzy|stomach|cramp|nauseous|nausea|diarrhea|numb",
            "child|kid|children|toddler|baby|son|daughter|boy|girl|grandson|granddaughter|grandchild|infant \"got into\"|\"get into\"|\"gotten into\" {poison}|shed",
            "{person}|he|she =swallowed",
            "=swallowed {poison}",
            "{poison} \"in his mouth\"|\"in her mouth\"|\"in their mouth\"|\"in the mouth\"|\"in its mouth\"",
            "=poisoned|poisoning {person}|he|she|we",
        ],
        with: &[],
        unless: &["smoking hot", "\"poison ivy\"", "poisoned tree|trees|plant|shrub|lawn|grass|oak|maple|hedge|soil"],
    },
    Rule {
        kind: DangerKind::SwallowedByAnimal,
        gap: DANGER_GAP,
        patterns: &[
            "{pet} eat|swallow|drink|ingest|chew|lick|gobble|nibble|mouthful|=wolfed|=scoffed|=lapped|=devoured|=guzzled|=crunched|=munched|=snaffled|\"got into\"|\"get into\"|\"got hold\"|\"gotten into\"|\"been into\" {poison}|mulch|cocoa|\"bone meal\"|bonemeal|\"blood meal\"|lily|lilies|sago|something|toad|azalea|rhododendron|daffodil|trap|clipping|treated",
            "{pet} =vomiting|=vomited|\"throwing up\"|\"threw up\"|drool|seizure|=foaming|=frothing|=slobbering|=dribbling|=bloated|=wobbling|=lethargic|twitch|stagger|convulse|convulsion|=collapsed|=trembling|=shaking|limp|unresponsive|\"very sick\"",
            "{pet} \"got into\"|\"get into\"|\"gotten into\"|\"been at\"|\"been in\"|\"got at\"|\"broke into\"|\"tore open\" bag|box|tub|sack|packet|bottle|shed|tin|bucket|container|jar",
            "{pet}|he|she|it ate|eaten|=swallowed|=licked|=drank|=chewed \"being sick\"|\"been sick\"|\"is sick\"|\"was sick\"|=vomiting|=vomited|\"throwing up\"|\"threw up\"|=drooling|=dribbling|=wobbly|=shaking|=trembling|=twitching",
            "{pet} =fitting|=convulsing|=dribbling|=wobbly|\"a fit\"|=seizing|\"keeled over\"|\"cannot walk\"|\"cannot stand\"",
            "{pet} sick|ill|vomit spray|=sprayed|treat|chemical|pesticide|bait|pellet|fertilizer|berry|mushroom|ate",
            "{pet}|=he|=she =swallowed",
            "=poisoned|poisoning {pet}",
            "=he|=she \"got into\"|\"gotten into\" bait|poison|pellet|antifreeze|\"slug bait\"",
        ],
        with: &[],
        unless: &["\"dog vomit\"", "looks|like vomit"],
    },
    Rule {
        kind: DangerKind::AllergicReaction,
        gap: DANGER_GAP,
        patterns: &[
            "=stung|sting|=bitten throat|tongue|lips|\"face swelling\"|breath|breathe|breathing|hive|dizzy|anaphylactic|anaphylaxis|faint|wheeze|\"swelling up\"|\"swelled up\"|\"swollen up\"|=swollen|=swelling|epipen|allergic",
            "throat|tongue|lips|face closing|=closing|=swelling|=swollen|tightening|=tight",
            "anaphyla*",
            "snake|spider|rattlesnake|copperhead|viper|adder =bit|=bitten|bite",
            "allergic reaction",
        ],
        with: &[],
        unless: &["leaf throat", "corolla"],
    },
    // `Bit` by itself, apart from `a bit`.
    Rule {
        kind: DangerKind::AllergicReaction,
        gap: DANGER_GAP,
        patterns: &[
            "=bit throat|tongue|lips|\"face swelling\"|breath|breathe|breathing|hive|dizzy|faint|wheeze|\"swelling up\"|\"swelled up\"|\"swollen up\"|=swollen|=swelling|epipen|allergic",
        ],
        with: &[],
        unless: &["\"a bit\"|\"little bit\"|\"bit of\"|\"every bit\"|\"quite a bit\""],
    },
    Rule {
        kind: DangerKind::StingingNest,
        gap: DANGER_GAP,
        patterns: &[
            "wasp|hornet|yellowjacket|\"yellow jacket\"|\"yellow jackets\" nest|hive|swarm|=stung|sting|attack|chase|=pouring|angry|aggressive|allergic",
            "wasp|hornet under|from|in|by deck|porch|eave|wall|door|steps|siding|playset|sandbox|soffit",
            "yellowjacket|\"yellow jacket\"|\"yellow jackets\" ground|hole|wall|deck|eave|door|lawn|mower|mow",
            "bee|honeybee|bumblebee|\"fire ant\"|\"fire ants\" swarm|attack|aggressive|=stung|chase|angry|=stinging",
            "bee hive|hive|colony wall|porch|house|door|chimney|playset|swing|siding|soffit|eave",
            "=stung kid|child|children|son|daughter|dog|crew|mower|mail|postman|me|us|times|badly|again|husband|wife|neighbor|neighbour|i|we|he|she|several|twice",
            "nest|hive =stinging|=stung|=sting",
            "swarm of bees|wasps|hornets",
        ],
        with: &[],
        unless: &[
            "stinging nettle|nettles",
            "\"cicada killer\"",
            "\"hornet moth\"",
            "\"gall wasp\"",
            "\"parasitic wasp\"",
            "=stung|sting price|news|criticism|cost|bill|frost|remark",
        ],
    },
    Rule {
        kind: DangerKind::IllAfterChemical,
        gap: 4,
        patterns: &[
            "{person}|we|he|she|\"i feel\"|\"i felt\"|\"i got\"|\"i have\"|\"i am\"|\"i was\"|\"i became\"|\"made me\"|\"makes me\"|\"i have been\"|i|\"my throat\"|\"my chest\"|\"my lungs\"|\"my stomach\"|\"my head\"|lips sick|ill|rash|dizzy|nausea|nauseous|nauseated|headache|headachy|wheeze|cough|blister|hives|vomit|faint|unwell|woozy|asthma|confused|hurts|numb|tight|\"short of breath\"|breathing|breathe|\"throwing up\"|\"threw up\"|\"passed out\"|itching|itchy",
            "=ill|=sick|poorly|unwell after|since|from",
        ],
        with: &[
            "spray|=sprayed|spraying|chemical|pesticide|weedkiller|herbicide|insecticide|fungicide|killer|drift|=treated|treatment|fog|fumes|mist|granule|dusted|fertilizer|applied|mushroom|mushrooms|berries|bait",
        ],
        unless: &[
            "\"transplant shock\"",
            "\"sick of\"|\"sick and tired\"",
            "\"grass is sick\"|\"lawn is sick\"|\"rose is sick\"|\"roses are sick\"|\"tree is sick\"|\"trees are sick\"|\"plant is sick\"|\"plants are sick\"|\"hedge is sick\"|\"shrub is sick\"|\"grass is ill\"|\"lawn is ill\"|\"plants are ill\"|\"tree is ill\"|\"sick lawn\"|\"sick tree\"|\"sick plant\"|\"sick plants\"|\"sick rose\"|\"sick roses\"",
            "plant|lawn|tree|rose|roses|shrub|leaf|leaves|grass|it|they|azalea|hedge =look|=looks|=looked|seem|=seems =sick|=ill|unwell|poorly",
        ],
    },
    Rule {
        kind: DangerKind::IllAfterChemical,
        gap: DANGER_GAP,
        patterns: &[
            "rash|dizzy|nausea|nauseous|wheezing|blister|hives|\"trouble breathing\"|\"hard to breathe\"|\"cannot breathe\"|headache spray|=sprayed|chemical|pesticide|weedkiller|herbicide|insecticide|killer|fumes|drift|treated|treatment",
            "spray|chemical|splash|lime|granule|concentrate|pesticide|herbicide|killer|weedkiller|fertilizer|bleach|cement|insecticide|fungicide|sap|drift|product|dust \"my eyes\"|\"his eyes\"|\"her eyes\"|\"their eyes\"|\"my eye\"|\"his eye\"|\"her eye\"|\"the eye\"|\"the eyes\"|\"our eyes\"|\"my face\"|\"his face\"|\"her face\"",
            "\"my eyes\"|\"his eyes\"|\"her eyes\"|\"my eye\"|\"his eye\"|\"her eye\" burn|sting|splash|cannot|blind|swell",
            "spray|chemical|concentrate|pesticide|herbicide|killer|weedkiller|insecticide|fungicide|lime|cement|bleach|acid|hogweed|parsnip skin|arm|arms|hand|hands|leg|legs|neck|myself|himself|herself|face =peeling|=raw|=stinging|burn|=burned|=burning|=burnt|blister|=soaked|=spilled|=spilt|=splashed|=drenched|rash",
            "eye|eyes =stream|=streaming|=streamed|=smarting|=smart|=watering|=stinging|=burning|=itching|=red|=swollen spray|=sprayed|=spraying|chemical|pesticide|herbicide|killer|weedkiller|insecticide|fungicide|fumigant|fumigat*|=fogged|=fogging|fumes|fume|drift|dust|powder|=lime",
            "\"not stop coughing\"|\"stop coughing\"",
            "hogweed|parsnip blister|burn|rash|swollen|touch",
            "ivy|oak|sumac rash|swell|swollen face|eyes|eye|throat|mouth|breathe",
            "inhale|\"breathed in\"|\"breathing in\" spray|chemical|pesticide|fume|smoke|dust|killer|weedkiller|mist|fog|ivy|herbicide",
            "{person}|i|we|he|she =splashed|=drenched|=soaked|=doused|\"was sprayed\"|\"got sprayed\"|\"were sprayed\"|\"been sprayed\"|\"sprayed me\"|\"sprayed him\"|\"sprayed her\"|\"sprayed us\"|\"sprayed myself\"|\"sprayed himself\"|\"sprayed herself\"|\"sprayed in\" \"directly\"|\"by the\"|with|face|eyes pesticide|chemical|herbicide|insecticide|killer|weedkiller|drift|sprayer",
            "caustic|acid|ammonia|chlorine|=bleach|lime|cement|solvent|\"patio cleaner\"|\"brick cleaner\"|\"drain cleaner\"|creosote|chemical|spray|killer|weedkiller|concentrate|fertilizer skin|hand|hands|finger|fingers|glove|gloves|arm|leg|feet|boot|boots|\"my foot\"|\"his foot\"|\"her foot\"|\"my back\"|\"his back\"|\"her back\"|face|neck|mouth|lips burn|=burns|=burning|=burnt|blister|=stinging|=stings|=raw|=red|=numb|=peeling|=swollen|=soaked|=splashed",
            "faceful|lungful|eyeful|\"mouthful of\" spray|chemical|pesticide|herbicide|killer|weedkiller|insecticide|fungicide|dust|powder|fume|mist|fog|fertilizer|lime|concentrate|mix",
            "spray|chemical|concentrate|pesticide|herbicide|killer|weedkiller|insecticide|fungicide|lime|cement|=bleach|mix|product \"down my\"|\"down his\"|\"down her\"|\"on my skin\"|\"on his skin\"|\"on her skin\"|\"in my mouth\"|\"up my nose\"|\"over myself\"|\"over himself\"|\"over herself\"|\"on my clothes\"|\"through my gloves\"",
            "skin|hand|hands|arm|arms|leg|legs|neck|face|feet|foot =peeling|=raw|=blistering|=blistered|=burning|=burnt|=stinging|=itching|=numb|=swollen spray|=sprayed|=spraying|chemical|pesticide|weedkiller|herbicide|insecticide|killer|drift|fertilizer|lime|sap",
            "\"got sprayed\"|\"was sprayed by\"|\"sprayed in the face\"",
        ],
        with: &[],
        unless: &["\"keep my|an eye\"", "\"transplant shock\""],
    },
    Rule {
        kind: DangerKind::EngineFumes,
        gap: DANGER_GAP,
        patterns: &[
            "\"carbon monoxide\"",
            "generator|engine|mower|exhaust|blower|heater|washer|pump|barbecue|charcoal inside|garage|shed|greenhouse|indoors|basement|cellar|barn|polytunnel|tunnel|closed dizzy|giddy|headache|\"splitting head\"|sick|faint|drowsy|nausea|\"passed out\"|woozy",
            "exhaust|fumes garage|shed|greenhouse dizzy|headache|sick|faint|collapse",
        ],
        with: &[],
        unless: &[],
    },
    Rule {
        kind: DangerKind::Injury,
        gap: DANGER_GAP,
        patterns: &[
            "mower|blade|trimmer|strimmer|edger|tiller|rotavator|chipper|chainsaw|saw|shredder|auger|fork|spade|mattock|pickaxe|hatchet|billhook|scythe|sickle|shears|machete|hook|nail|stone|rock|tractor|axe|pruner|lopper|secateurs|grinder|branch|limb|log|post cut|hit|sever|slice|injure|amputate|=caught|lost|bleed|gash|ran|=over|struck|mangle|crush|nick|=bounced|=kicked|stab|=stabbed|=through|=sliced|=severed|=trapped {part}",
            "chainsaw|saw =kicked|kickback|accident|=slipped|gash|bleed",
            "mower|tractor|chipper|tiller|chainsaw|ladder accident",
            "bleed badly|heavily|lot|profuse|profusely|stop|hospital|bandage|blood",
            "{person}|i|he|she =fell|=fallen in|into pond|pool|well|pit|trench|cesspit|river|tank|manhole",
            "drown|=drowning|=drowned {person}|he|she|pond|pool|him|her",
            "{part} =off|\"cut off\"|\"took off\"|\"hanging off\"|\"came off\" mower|saw|blade|chipper|trimmer|shears|bleed|blood|accident",
            "{person}|he|she \"not wake\"|\"not waking\"|\"not responding\"|\"blacked out\"|\"not moving\"",
            "amputat*",
            "=fell|=fallen|fall|=slipped off|from ladder|roof",
            "{person}|he|she|i =fell|=fallen off|from|out tree|ladder|roof|wall",
            "mower|tractor|atv|truck =rolled|=tipped|overturned|=flipped hill|slope|bank|ditch|him|her|me|trapped|under",
            "=pinned|=trapped|=crushed under|by|beneath tractor|mower|tree|wall|log|limb|branch|trench|stone",
            "unconscious|unresponsive|\"not breathing\"|\"stopped breathing\"|\"passed out\"|fainted|\"chest pain\"|\"heart attack\"|\"heat stroke\"|heatstroke|convulsion|convulsions|seizure",
            "{person}|he|she =collapsed|=collapse|=fainted",
            "{person}|i|he|she|we cannot|\"can not\"|\"trouble\"|\"difficulty\"|\"struggling to\"|hard breathe|breathing",
            "electrocut*",
            "\"electric shock\"|\"electrical shock\"|\"got a shock\"|\"get a shock\"|\"a shock from\"|\"got shocked\"|\"get shocked\"|\"getting shocked\"|\"was shocked by\"|\"got zapped\"|\"shock when\"|\"shocks when\"",
            "tingle|tingling|shock water|pond|pump|fountain|pool|wire|fence|light|outlet|cable|faucet|lamp",
        ],
        with: &[],
        unless: &[
            "\"transplant shock\"",
            "root|soil|lawn|bark|turf|grass|mulch breathe",
            "sap|trunk|bark|canker|birch|maple|stump|\"bleeding heart\" bleed|bleeding",
            "dust|powder|rust|soot|spore|orange|stuff|film \"comes off on\"|\"came off on\"|\"rubs off on\"|\"rubbed off on\"|\"wipes off on\"|\"off on my\"",
            "\"bleeding heart\"|\"bleeding hearts\"",
        ],
    },
    Rule {
        kind: DangerKind::Gas,
        gap: DANGER_GAP,
        patterns: &[
            "smell|odor|odour|stink|whiff|hiss|reek gas|propane",
            "gas|propane line|pipe|main|meter|service|tank|tube|hose hit|strike|struck|cut|nick|puncture|break|broke|leak|rupture|damage|dig|dug|sever|scrape|bent|hiss|crack|expose|rip|=tore|=torn|burst|crush|snag|smash|split|=hooked|=caught|pierce|=through|=into",
            "hit|strike|struck|cut|dig|dug|nick|puncture|break yellow pipe|line|tube|tubing|something|plastic",
            "\"gas leak\"|\"leaking gas\"|\"propane leak\"",
        ],
        with: &[],
        unless: &[
            "mower|trimmer|blower|chainsaw|tractor|\"gas can\"|gasoline|petrol|engine|carburetor|edger gas|gasoline|petrol|tank|engine|carburetor",
            "yellow flower|leaf|leaves|patch|spot|blade|tip",
        ],
    },
    // The smell that is put into gas is danger by itself; sour mulch and the like smell so too.
    Rule {
        kind: DangerKind::Gas,
        gap: WIDE_GAP,
        patterns: &[
            "\"rotten egg\"|\"rotten eggs\"|\"bad eggs\"|\"rotting eggs\"|\"eggy smell\"",
            "propane|butane|lpg|\"gas bottle\"|\"gas cylinder\"|\"gas canister\" hit|strike|struck|leak|hiss|knock|ram|dent|puncture|crush|crack|damage|=ran|=fell|=fallen|=backed|=tipped|cut|nick|=venting|=clipped|broke|break|smash|burst|bang",
            "\"gas meter\"|\"gas main\"|\"gas pipe\"|\"gas supply\"|\"gas service\"|\"gas riser\"|\"natural gas\" hit|strike|struck|knock|ram|cut|nick|break|broke|=broken|leak|hiss|damage|rupture|crush|=ran|=backed|=clipped|smash|bent|crack",
        ],
        with: &[],
        unless: &[
            "\"mulch smell\"|\"mulch stinks\"|\"mulch reeks\"|\"mulch that smells\"|\"compost smell\"|\"compost stinks\"|\"compost reeks\"|\"compost that smells\"|\"compost heap smells\"|\"chips smell\"|\"chips that smell\"",
        ],
    },
    Rule {
        kind: DangerKind::Wire,
        gap: DANGER_GAP,
        patterns: &[
            "{tree}|crown|canopy|pole|ladder|vine|top|pruner|hedge|scaffold|crane {line} hang|dangle|lean|touch|rub|against|tangle|fall|through|near|close|into|spark|burn|rest|=caught|grow|grown|on|over|reach|lie|across|brush|pull|=in",
            "limb|branch|bough|tree|trunk cable|cables|\"service drop\" rest|lie|=lying|hang|fall|touch|=on|lean|pull",
            "{line} =down|=downed|fallen|=fell|=fallen|spark|=arcing|=buzzing|=buzzes|=buzz|=hum|=hums|=humming|crackle|=crackling|=sagging|=lying|=snapped|=dangling|=hanging|low|live|ground",
            "spark|=sparking|=arcing tree|pole|box|meter|transformer|line|lines",
            "\"downed line\"|\"downed lines\"|\"downed wire\"|\"downed wires\"|\"live wire\"|\"line is down\"|\"lines are down\"|\"wires are down\"|\"wire is down\"",
        ],
        with: &[],
        unless: &[
            "\"power line trail\"|\"power line easement\"|\"power line corridor\"|\"power line path\"|\"power line cut\"|\"power line right\"",
            "\"chicken wire\"|\"wire mesh\"|\"wire fence\"|\"wire fencing\"|trellis|espalier|\"wire basket\"|\"wire cage\"|\"barbed wire\"|\"fence wire\"|\"guy wire\"|\"cable brace\"|\"bracing cable\"|\"cable bracing\"|\"steel cable\"|\"wire worm\"|\"wire worms\"|\"wire brush\"|\"wire cutters\"",
        ],
    },
    Rule {
        kind: DangerKind::CableStruck,
        gap: DANGER_GAP,
        patterns: &[
            "hit|strike|struck|cut|nick|sever|slice|dig|dug|chop|damage|expose|pierce|drove|rip|=tore|=torn|snag|snip|=hooked|=through electric|electrical|power|underground|buried|utility|live|fiber|phone cable|line|wire|conduit|lines|cables",
            "cut|dig|dug|sever|slice|spade|shovel through electric|electrics|electricity|mains",
            "cable|conduit cut|hit|strike|struck|sever|nick|slice|pierce|spark|rip|=tore|=torn|snip|=through",
            "dig|dug|digging|shovel|spade|auger|trencher|trench|excavator|aerator|pickaxe|pick|fork|mattock|stake|peg|drill|rotavator|tiller|digger|edger|edging|mower|trimmer|strimmer|crowbar|post|hit|struck|strike spark|sparks|bang|flash|power|lights|light|electricity|electrics|electric|fuse|breaker out|off|went|conduit|sparked|flew|tripped|blew|died|cut|dead",
        ],
        with: &[],
        unless: &["\"cable tie\"|\"cable ties\"|\"cable guy\"", "\"power line trail\""],
    },
    Rule {
        kind: DangerKind::Fire,
        gap: DANGER_GAP,
        patterns: &[
            "\"on fire\"|\"caught fire\"|\"caught light\"|\"caught alight\"|\"set fire\"|\"set light\"|\"set alight\"|\"up in flames\"|\"burst into flames\"|\"fire spread\"|\"fire is spreading\"|\"brush fire\"|\"grass fire\"|\"catching fire\"|\"in flames\"",
            "mulch|compost|shed|battery|hedge|tank|charger|bark|heap|pile|stump|bin|mower|generator =smouldering|=smoldering|\"is smoking\"|\"was smoking\"|\"started smoking\"|\"smoking away\"|=ablaze|=alight|flames|\"smoke coming\"|\"smoke from\"|\"smoke pouring\"|\"burst into flames\"",
            "smoke|flames come|coming|pouring|rising from|out|of mulch|compost|shed|hedge|heap|pile|mower|battery|stump|bark",
        ],
        with: &[],
        unless: &[
            "color|colour|autumn|foliage|glow|look|looks|\"as if\" fire",
            "\"fire pit\"|\"fire blight\"|\"fire ant\"|\"fire ants\"|\"burning bush\"",
            "smoke bush|tree",
        ],
    },
    Rule {
        kind: DangerKind::TreeOrLimb,
        gap: DANGER_GAP,
        patterns: &[
            "{tree}|top|crown|stem|leader =cracked|=cracking|crack|=split|=splitting|=broken|broke|=snapped|=snapping|=hung|=hanging|=dangling|loose|=torn|widowmaker|creak {below}|overhead",
            "{tree}|top =dead|=dying|=rotten|=hollow|=decayed|=rotting over|above|overhanging|toward {below}",
            "limb|branch|bough|top|tree|trunk \"caught up\"|\"hung up\"|=stuck|=lodged|=jammed|=wedged|=snagged over|above|overhead|branches|fork|canopy|crown|another",
            "{tree}|half split|crack|=broken =hangs|hang|over|above {below}",
            "{tree} =leaning|=leans|=leaned|lean|=tilting|=tilted|=tilts|=tilt|=tips|=lurched|=listing|\"keeled over\"|\"keeling over\"|=tipping|=tipped|=bending house|roof|car|cars|driveway|sidewalk|street|road|garage|shed|neighbor|neighbour|bedroom|school|porch|deck|patio|suddenly|storm|overnight|playground|kid|children|more|now|wind|further|badly",
            "{tree}|half \"about to fall\"|\"going to fall\"|\"gonna fall\"|\"ready to fall\"|\"could fall\"|\"may fall\"|\"might fall\"|\"will fall\"|\"about to come down\"|\"come down on\"|\"coming down on\"|\"could come down\"|\"going to come down\"|\"about to drop\"|\"fall on\"|\"falls on\"|\"fell on\"|\"fallen on\"|\"topple\"|\"toppling\"|\"toppled\"|\"uprooted\"|\"uprooting\"|\"tip over\"|\"tipping over\"",
            "{tree} soil|ground|root|roots =lift|=lifts|=heave|=heaves|=lifting|=heaving|=lifted|=heaved|=cracking|=cracked|=rising|=rise|=rises|=pulling|=pulled|moves|moving lean|leaning|=tilts|=tilting|=tilted|=tips|=tipping|storm|wind|gale|base|side|sway|rocks",
            "{tree}|half =rocking|=rocks|=swaying|=sways base|foot|ground|soil|roots|root|alarmingly|dangerously|badly|house|road",
            "{tree} \"went over\"|\"gone over\"|\"came down\"|\"come down\"|\"comes down\"|\"blew over\"|\"blown over\"|\"blew down\"|\"blown down\"|\"came over\"|=toppled|=collapsed {below}|storm|gale|wind|night|fence|roof|shed|now",
            "{tree} =resting|=rests|=propped|=lying|=lies|=lodged on|onto|against|across house|roof|shed|garage|car|fence|conservatory|greenhouse|road|street|drive|caravan|porch",
            "widowmaker|\"widow maker\"|hanger|\"hung up\" limb|branch|tree|storm",
            "widowmaker|\"widow maker\"|\"hung up limb\"|\"hung up branch\"",
            "uprooted|uprooting tree|oak|pine|spruce|maple|house|roof",
            "limb|branch|tree =fell|=fallen|=crashed house|roof|car|garage|shed|porch|kid|child|person|trapped|him|her|me",
        ],
        with: &[],
        unless: &[
            "leaf|leaves|needle|needles|petal|acorn|fruit|twigs|seed|pod|cone|catkin|pollen|dust|berries =lying|=resting|=lies|\"came down\"|\"come down\"|\"comes down\"|\"blew down\"|\"blown down\"",
            "leaf|leaves|needle|needles|petal|acorn|fruit|seed|pod|cone|sap|aphid|honeydew|shade|moss =fallen|=fell|fall|falls|drop|drops|dripping|drip sidewalk|driveway|car|cars|roof|deck|patio",
            "christmas tree fell",
        ],
    },
    Rule {
        kind: DangerKind::Wall,
        gap: DANGER_GAP,
        patterns: &[
            "wall|walls|terrace|masonry|chimney|\"stone steps\"|bulkhead|parapet|gatepost|pier =leaning|=leans|=leaned|=lean|=bowing|=bowed|=bows|=bow|=bulging|=bulged|=bulges|=bulge|=tilting|=tilted|=tilts|=collapsing|=collapsed|=collapse|=crumbling|=buckling|=buckled|=toppling|=rocking|\"rocks when\"|\"rocks if\"|=wobbles|=wobbly|=wobbling|\"come away\"|\"came away\"|\"coming away\"|=unsteady|=unstable|=swaying|=sways|=bellying|=bellied|=subsiding|=subsided|=sinking|\"moves when\"|\"not safe\"|=unsafe|\"on the move\"|\"about to go\"|\"out of plumb\"|=overhanging|=slumping|=slumped|=slipping|=slipped|=cracked|=cracking|=crack|=cracks|=shifted|=shifting|=moved|=moving|\"about to fall\"|\"going to fall\"|\"ready to fall\"|\"could fall\"|\"might fall\"|\"may fall\"|\"fell down\"|\"fallen down\"|\"falling down\"|\"come down\"|\"came down\"|\"coming down\"|\"coming apart\"|\"giving way\"|\"gave way\"|\"given way\"|\"give way\"|\"giving out\"|\"pushed out\"|\"pushing out\"|\"tip forward\"|\"tipping forward\"|\"leaning out\"|=tipping|\"starting to go\"|\"belly\"|\"sagging\"|\"separating\"",
            "wall|terrace|chimney =falling|=fell|=toppling|=tipping|=came over|down|apart|forward|outward",
            "block|blocks|brick|bricks|stone|stones wall =loose|=falling|=fell|=popping|=dropping",
        ],
        with: &[],
        unless: &[
            "wall-to-wall|\"wall to wall\"",
            "lean|leans|leaning|leaned|moved|crawling|moving|come|fell|shifted \"against the wall\"|\"against a wall\"|\"against my wall\"|\"against our wall\"|\"against the garden wall\"",
            "ladder|rake|shovel|bike|trellis|vine|ivy|beetle|bug|ant|plant|phlox|rose|flower lean|leans|leaning|moving|crawling|climbing|fall|falls|falling|fell|came wall|walls",
            "ant|ants|bug|bugs|beetle|beetles|moss|ivy|weed|weeds|moth|moths|spider|spiders crack|cracks wall",
        ],
    },
    Rule {
        kind: DangerKind::Ground,
        gap: DANGER_GAP,
        patterns: &[
            "sinkhole",
            "\"caved in\"|\"caving in\"|\"cave in\"",
            "ground|lawn|yard|earth|soil|trench|bank|septic|well|driveway|patio \"gave way\"|\"giving way\"|\"opened up\"|\"opening up\"|=collapsed|=collapsing|\"fell in\"|\"dropped out\"",
            "hole|holes deep|bottomless|=opened|appeared|suddenly|=collapsed fell|ground|lawn|yard|bottom|feet|septic|well|cesspit",
        ],
        with: &[],
        unless: &[
            "inch|inches|mole|vole|chipmunk|\"ant hill\"|skunk|raccoon|bee|bees|worm|woodpecker|squirrel|plant|planting|dig|dug|cup|core|bark|trunk|leaf|leaves|rabbit|groundhog|cicada|pencil hole|holes",
            "leaf|leaves|plant|stem|flower =collapsed|=collapsing",
        ],
    },
    Rule {
        kind: DangerKind::Spill,
        gap: DANGER_GAP,
        patterns: &[
            "chemical|pesticide|herbicide|fuel|diesel|oil|gasoline|petrol|fertilizer|killer|weedkiller|sprayer|tank|concentrate|insecticide|fungicide|product|copper|algaecide|paint|manure|mix =spilled|=spilt|spill|=spilling|=leaked|=leaking|=dumped|=tipped|=poured|=overflowed|=dropped|=fell|=fallen|=knocked|=emptied|=rinsed|=splashed|\"ran into\"|\"running into\"|\"washed into\"|\"drained into\"|\"got into\"|\"went into\"|\"draining into\"|\"ended up in\"|\"flowed into\"|siphon|siphoned well|pond|creek|stream|river|lake|drain|storm|ditch|\"drinking water\"|cistern|tap|wetland|gutter|brook|catch|spring|canal",
            "siphon|siphoned|\"sucked back\" hose|tap|house|well|water",
            "fish =dead|dying|died|=floating|belly pond|creek|stream|spray|=sprayed|treat|chemical|fertilizer",
            "well water taste|smell|smells|tastes chemical|pesticide|fuel|diesel|gasoline|herbicide",
        ],
        with: &[],
        unless: &["\"rain barrel\" overflow", "well drained|draining soil|bed|site"],
    },
    // The wide net: a harm and what does it in one sentence, however far apart and in whatever order.
    Rule {
        kind: DangerKind::SwallowedByPerson,
        gap: WIDE_GAP,
        patterns: &[
            "{person} =bites|=biting|=licking|=chewing|=sucking mushroom|toadstool|berry|berries|bulb|pellet|granule|leaf|leaves|root|seed|pod|twig",
            "{person}|toddler|baby|kid =empty|=open|=spilled bait|poison|pellet|killer|pesticide|packet|bottle =lips|=mouth|=hands|=sick|=drowsy|=near|=holding|=beside",
            "=he|=she|=i|=we|=they =eat|=eats|=ate|=eaten|swallow|drink|lick|=chewed|=chewing|swig|sip|gulp|=tasted|=sucked|=nibbled antifreeze|killer|\"drain cleaner\"|creosote|diesel|petrol|gasoline|paraffin|kerosene|caustic|\"white spirit\"|\"slug pellet\"|\"slug pellets\"|\"slug bait\"|\"snail bait\"|\"snail pellets\"|bait|\"castor oil plant\"|\"lily of the valley\"|\"angel trumpet\"|\"autumn crocus\"|\"death cap\"|hogweed|\"cherry laurel\"|\"laurel leaves\"|\"rhubarb leaves\"|privet|\"ivy berries\"|mistletoe|\"holly berries\"|\"sago palm\"|fertilizer|\"liquid feed\"|\"rat bait\"|\"rat poison\"|\"mouse poison\"|weedkiller|\"weed killer\"|pesticide|insecticide|herbicide|fungicide|paraquat|\"bone meal\"|bonemeal|\"blood meal\"|\"rose food\"|\"plant food\"|\"lawn food\"|\"ant powder\"|\"grub powder\"|yew|oleander|foxglove|laburnum|monkshood|\"daffodil bulb\"|\"daffodil bulbs\"|\"lily bulb\"|\"tulip bulb\"|\"castor bean\"|\"castor beans\"|nightshade|\"water hemlock\"|hellebore|datura",
            "=mistook|=mistaken|=thought|=confused|=took {poison}|foxglove|monkshood|hemlock|hogweed =eat|=eaten|=ate|drink|=drank|=tea|=salad|=soup|=ill",
            "{person}|youngest|eldest|oldest|=twins eat|swallow|drink|lick|chew|swig|sip|gulp|mouthful|ingest|taste|nibble|munch|\"polished off\"|\"helped himself\"|\"helped herself\"|\"got at\"|\"been at\"|\"been in\"|\"been into\"|\"got into\"|\"gotten into\"|\"found with\"|\"got hold\"|\"tea from\"|\"soup from\"|\"made tea\"|=brewed|=stripped|\"put a\"|=had|=wolfed|=scoffed|=devoured|=guzzled|=browsed|=grazed|=cropped|=sampled|=sucked|=sipped|=gulped|=downed|\"put in his mouth\"|\"put in her mouth\"|\"ate up\"|=hoovered|=gnawed|=mouthed|=chew|=bites|=biting antifreeze|killer|\"drain cleaner\"|creosote|diesel|petrol|gasoline|paraffin|kerosene|caustic|\"white spirit\"|\"slug pellet\"|\"slug pellets\"|\"slug bait\"|\"snail bait\"|\"snail pellets\"|bait|\"castor oil plant\"|\"lily of the valley\"|\"angel trumpet\"|\"autumn crocus\"|\"death cap\"|hogweed|\"cherry laurel\"|\"laurel leaves\"|\"rhubarb leaves\"|privet|\"ivy berries\"|mistletoe|\"holly berries\"|\"sago palm\"|fertilizer|\"liquid feed\"|\"rat bait\"|\"rat poison\"|\"mouse poison\"|weedkiller|\"weed killer\"|pesticide|insecticide|herbicide|fungicide|paraquat|\"bone meal\"|bonemeal|\"blood meal\"|\"rose food\"|\"plant food\"|\"lawn food\"|\"ant powder\"|\"grub powder\"|yew|oleander|foxglove|laburnum|monkshood|\"daffodil bulb\"|\"daffodil bulbs\"|\"lily bulb\"|\"tulip bulb\"|\"castor bean\"|\"castor beans\"|nightshade|\"water hemlock\"|hellebore|datura",
        ],
        with: &[],
        unless: &[],
    },
    Rule {
        kind: DangerKind::SwallowedByPerson,
        gap: WIDE_GAP,
        patterns: &[
            "{person} =bit|=bite mushroom|toadstool|berry|berries|bulb|pellet|granule|leaf|leaves|root|seed|pod|twig|bait|poison|capsule|tablet|\"lawn food\"|\"plant food\"|\"rose food\"|foxglove|yew|oleander|monkshood|nightshade|laburnum",
        ],
        with: &[],
        unless: &["\"a bit\"|\"little bit\"|\"bit of\"|\"every bit\""],
    },
    Rule {
        kind: DangerKind::SwallowedByAnimal,
        gap: WIDE_GAP,
        patterns: &[
            "{pet} =missing|=gone|\"ran off\"|\"made off\"|=stole|=grabbed|=empty|=ripped|=tore bait|poison|pellet|granule|fertilizer|killer|\"bone meal\"|antifreeze",
            "{pet} =sniffing|=rolled|=rolling|=walked|=paddled|=stepped spray|=wet|=chemical|=herbicide|=weedkiller|=killer sick|=vomiting|drool|=shaking|burn|=licked|=licking|wobbly",
            "{pet} eat|swallow|drink|lick|chew|swig|sip|gulp|mouthful|ingest|taste|nibble|munch|\"polished off\"|\"helped himself\"|\"helped herself\"|\"got at\"|\"been at\"|\"been in\"|\"been into\"|\"got into\"|\"gotten into\"|\"found with\"|\"got hold\"|\"tea from\"|\"soup from\"|\"made tea\"|=brewed|=stripped|\"put a\"|=had|=wolfed|=scoffed|=devoured|=guzzled|=browsed|=grazed|=cropped|=sampled|=sucked|=sipped|=gulped|=downed|\"put in his mouth\"|\"put in her mouth\"|\"ate up\"|=hoovered|=gnawed|=mouthed|bite antifreeze|killer|\"drain cleaner\"|creosote|diesel|petrol|gasoline|paraffin|kerosene|caustic|\"white spirit\"|\"slug pellet\"|\"slug pellets\"|\"slug bait\"|\"snail bait\"|\"snail pellets\"|bait|\"castor oil plant\"|\"lily of the valley\"|\"angel trumpet\"|\"autumn crocus\"|\"death cap\"|hogweed|\"cherry laurel\"|\"laurel leaves\"|\"rhubarb leaves\"|privet|\"ivy berries\"|mistletoe|\"holly berries\"|\"sago palm\"|fertilizer|\"liquid feed\"|\"rat bait\"|\"rat poison\"|\"mouse poison\"|weedkiller|\"weed killer\"|pesticide|insecticide|herbicide|fungicide|paraquat|\"bone meal\"|bonemeal|\"blood meal\"|\"rose food\"|\"plant food\"|\"lawn food\"|\"ant powder\"|\"grub powder\"|yew|oleander|foxglove|laburnum|monkshood|\"daffodil bulb\"|\"daffodil bulbs\"|\"lily bulb\"|\"tulip bulb\"|\"castor bean\"|\"castor beans\"|nightshade|\"water hemlock\"|hellebore|datura|=snail|cocoa|=grapes|=xylitol",
        ],
        with: &[],
        unless: &["\"dog vomit\""],
    },
    Rule {
        kind: DangerKind::IllAfterChemical,
        gap: WIDE_GAP,
        patterns: &[
            "hand|hands|arm|arms|skin|face|lip|lips|tongue|throat|finger|fingers|eye|eyes|leg|legs =welts|=welt|=numb|=swelled|=swollen|=blisters|=blistered|=tingling|=tingle|=itchy|=itching|=burned|=burnt|=burning|=stinging|=peeling|=weeping =treated|=dressing|=dressed|=handled|=handling|=mixed|=mixing|=sprayed|=spray|=spraying|chemical|powder|granule|dust|sap|=lime|=touched",
            "{person}|{pet}|i|we|he|she|my|our|his|her|=me|=us|youngest|eldest|oldest|=him|=kids =dizzy|giddy|faint|woozy|nausea|nauseous|nauseated|vomit|wheeze|\"catch his breath\"|\"catch her breath\"|\"catch my breath\"|\"out of breath\"|\"short of breath\"|breathless|=tingling|tingle|=numb|blister|hives|rash|\"chest tight\"|\"tight chest\"|=collapsed|unwell|\"throwing up\"|\"threw up\"|\"blurred vision\"|\"blurry vision\"|\"double vision\"|drool|convulse|=twitching|=choking|=poorly|=sweaty|=sweating|=clammy|=shaky|=shaking|=shakes|=trembling|=cramps|cramping|headache|\"splitting head\"|migraine|\"blotchy skin\"|\"red eyes\"|\"sore eyes\"|\"sore throat\"|\"burning throat\"|\"throat burns\"|cough|=coughs|=disorientated|=disoriented|=confused|=drowsy|\"cannot see\"|=blind|\"heart racing\"|palpitations|\"off colour\"|\"green around\"|=fainted|=lightheaded|\"light headed\"|light-headed|=retching|retch|=swollen|diarrhoea|diarrhea|=unsteady|\"passed out\" spray|=sprayed|=spraying|=sprayer|chemical|pesticide|weedkiller|\"weed killer\"|herbicide|insecticide|fungicide|fumigant|fumigat*|=fogged|=fogging|fogger|fumes|concentrate|\"moss killer\"|\"bug killer\"|\"treated lawn\"|\"treated grass\"|granule|pellet|=dust|=powder|bait|\"slug bait\"|paraquat|caustic|solvent|ammonia|chlorine|=dusted|=gassed|\"rat poison\"|killer|=bleach",
            "{person}|{person}|{pet}|i|we|he|she|my|our|his|her|=me|=us|youngest|eldest|oldest|=him|=kids =eyes|=eye|=face spray|=sprayed|=spraying|=sprayer|chemical|pesticide|weedkiller|\"weed killer\"|herbicide|insecticide|fungicide|fumigant|fumigat*|=fogged|=fogging|fogger|fumes|concentrate|\"moss killer\"|\"bug killer\"|\"treated lawn\"|\"treated grass\"|granule|pellet|=dust|=powder|bait|\"slug bait\"|paraquat|=bleach|lime|=dust|cement|sap|hogweed|=bleach|acid blew|=got|=splashed|splash|=went|=blown|sprayed|burn|sting|=hit|squirt|swell|=red",
        ],
        with: &[],
        unless: &[
            "plant|lawn|tree|rose|roses|shrub|leaf|leaves|grass|it|they =look|=looks|=looked|seem|=seems =sick|=ill|unwell|=poorly",
            "bloom|flower|grow|=grew|drain|root|=rooted|set|fruit =poorly",
            "\"an eye\"",
        ],
    },
    Rule {
        kind: DangerKind::TreeOrLimb,
        gap: WIDE_GAP,
        patterns: &[
            "{tree}|=gum soil|ground|earth|turf crack|=cracked|=cracking|=opening|=opened|=lifting|=lifted|=bulging|=bulged|=heaving lean|=leans|=leaning|tilt|storm|flood|gale|house|road",
            "{tree}|stem|leader crack|=cracked|=split|=splitting|=broken|=snapped|=torn|=hung|=hanging|=dangling {below}|overhang|overhead",
            "{tree} =dead|=dying|=rotten|=hollow =over|=above|overhang {below}",
            "{tree} =crashed|=crashes|=shed|=sheds|\"come away\"|\"came away\"|\"coming away\"|\"torn away\"|\"breaking away\"|\"held by\"|\"hanging by\"|\"by a thread\"|=bulges|=bulging|\"at an angle\"|\"giving way\"|\"gave way\"|=slumped|=subsided {below}|lane|road|=blocks|=blocking|ground|soil|=creaking|bark|storm|gale|trunk",
            "{tree} =crashed|=blocks|=blocking lane|road|street|drive|driveway|path|pavement|house|roof|car|fence|shed",
            "{tree} =creaking|=creaks|=groaning|=groans over|above|wind|house|road|stop|path|loud|loudly",
        ],
        with: &[],
        unless: &[
            "leaf|leaves|needle|needles|petal|acorn|fruit|seed|catkin|pollen|cone =shed|=sheds|\"came away\"|=crashed",
            "=shed leaf|leaves|needles|bark|cones|catkins",
        ],
    },
    Rule {
        kind: DangerKind::Wire,
        gap: WIDE_GAP,
        patterns: &[
            "=wire|=wires|=cable|\"power line\" =dropped|=brought|=blew|=blown|=pulled|=knocked|=ripped =across|=onto|driveway|drive|lawn|fence|hedge|car|roof|pavement|street|down",
            "{line}|\"overhead wire\"|\"overhead wires\"|\"electric wire\"|\"electric wires\"|\"power supply\" hang|=hung|=caught|=tangled|=touching|=touched|=touches|=snagged|=draped|=stuck kite|balloon|drone|ball|rope|hedge|=it|fence|shed|roof|tree|branch|limb|ladder",
            "cable|wire|wires|line \"off the pole\"|\"from the pole\"|\"off its pole\"|\"off the house\"|\"come off\"|\"came off\"|\"come down\"|\"came down\"|=fallen|=snapped hang|=hanging|=hangs|hedge|lawn|pole|yard|garden|drive|ground|fence",
        ],
        with: &[],
        unless: &[
            "\"chicken wire\"|\"wire mesh\"|trellis|espalier|\"barbed wire\"|\"fence wire\"|\"washing line\"|\"clothes line\"|\"fishing line\"|\"trimmer line\"|\"strimmer line\"|\"drip line\"|\"tree line\"|\"hose line\"|\"property line\"|\"boundary line\"",
        ],
    },
    Rule {
        kind: DangerKind::Gas,
        gap: WIDE_GAP,
        patterns: &[
            "meter|\"gas tank\"|cylinder|propane hiss|=hissing",
            "\"gas\"|=propane smell|=smelling|=smells|=smelt|stink|=stinks|odor|odour|whiff|reek|hiss|=hissing|leak|=leaking",
            "pipe|line|main|tube hiss|=hissing",
            "=pulled|=pull|=ripped|=tore|=torn|=hooked|=snagged|=smashed yellow pipe|line|tube|tubing",
        ],
        with: &[],
        unless: &[
            "mower|trimmer|blower|chainsaw|tractor|\"gas can\"|gasoline|petrol|engine|carburetor|edger|exhaust gas|gasoline|petrol|tank|smell|fumes",
            "hose|sprinkler|irrigation|tap|drip hiss|=hissing",
            "yellow flower|leaf|leaves|patch|spot|blade|tip",
        ],
    },
    Rule {
        kind: DangerKind::CableStruck,
        gap: WIDE_GAP,
        patterns: &[
            "=mains|\"the electrics\"|\"electric cable\"|\"power cable\" =sliced|slice|cut|=hit|=through|=severed|=nicked|chop|spade|shovel|drill|=dug|pierce",
            "\"blue flash\"|\"a bang and\"|\"went bang\"|\"loud bang\" =stake|=spade|=fork|=drill|=dig|=digging|=dug|=peg|=post|=shovel|=cut|=hit|=drove|=trench|pick|pickaxe",
        ],
        with: &[],
        unless: &[],
    },
    Rule {
        kind: DangerKind::StingingNest,
        gap: WIDE_GAP,
        patterns: &[
            "=stung|sting \"all over\"|=repeatedly|=dozens|=ten|=twenty|times|=allergic|=swelling|=swollen|=ambulance|=hospital|=faint|=dizzy",
            "bee|wasp|hornet|yellowjacket|\"yellow jackets\"|\"yellow jacket\" =boiling|=boiled|=poured|=pouring|=chased|=chase|=chasing|\"went for\"|\"go for\"|\"got me\"|\"got him\"|\"got her\"|\"going for\"|=swarmed|=swarming|=attacked|=attacking|furious|=angry",
            "hornet|wasp|yellowjacket|\"yellow jackets\" =built|=build|=building|nest|nests|=nested|=nesting|=moved|colony play|playhouse|treehouse|swing|slide|door|window|loft|porch|shed|house|garage|gate|path|letterbox|mailbox|bench|kid|children|child|pram|school|hedge|bush|lawn|ground|deck|patio",
        ],
        with: &[],
        unless: &["\"cicada killer\"|\"hornet moth\"|\"hawk moth\"|\"gall wasp\"|\"parasitic wasp\"", "=old|=empty|=abandoned nest"],
    },
    Rule {
        kind: DangerKind::Injury,
        gap: WIDE_GAP,
        patterns: &[
            "{person}|=he|=she|=i =bleeding|=bleeds badly|heavily|lot|=stop|hospital|artery|cut|gash|mower|saw|blade|fork|shears|trimmer",
            "{person}|=he|=she =moving|=responding|=breathing|=conscious =not|=barely|=hardly",
            "blade|stone|rock|log|branch|limb|chip|chain|wire|fork|mower|saw|splinter|nail hit|=struck|=flew|=caught|=stabbed {person}|=him|=her|=me|=his|=my neck|face|eye|eyes|head|chest|leg|arm|foot|hand|belly|bleed|blood|unconscious|badly",
            "=toe|=toes|finger|thumb|hand|foot =gone|=missing|=lost|\"cut off\"|\"took off\"|=crushed|=mangled mower|saw|blade|chipper|trimmer|machine|tiller|shredder|chain",
            "log|tree|limb|stone|wall|mower|tractor|machine|roller =rolled|=fell|=landed|=dropped =on|=onto {person}|=him|=her|=me|=us",
            "\"blood everywhere\"|\"lot of blood\"|\"lots of blood\"|\"losing blood\"|\"pouring blood\"|\"bleeding badly\"|\"deep gash\"|\"deep cut\"|\"cut to the bone\"|\"to the bone\"",
            "=tipped|=tipped|=rolled|=flipped|=overturned|=toppled|=fell|=fallen|=crashed|=came =under|=beneath|underneath|=onto {person}|=him|=her|=me|=us|=them",
            "ladder|scaffold|roof|\"out of the tree\" =fell|=fallen|=slipped|=tumbled {person}|he|she|i|him|her|broke|broken|hurt",
            "{person}|he|she|i =trapped|=pinned|=crushed =under|=beneath|underneath|=by|=between",
        ],
        with: &[],
        unless: &[],
    },
];

/// Words between two words of a danger's pattern: wider than for findings, for in doubt the screen fires.
const DANGER_GAP: usize = 8;

/// The same for the rules of the wide net, whose words are each telling by themselves.
const WIDE_GAP: usize = 14;

struct Compiled {
    kind: DangerKind,
    gap: usize,
    patterns: Vec<Keyed>,
    with: Vec<Keyed>,
    unless: Vec<Keyed>,
}

/// A pattern with the stems of which one must stand in a sentence for it to match; without them it is always tried.
struct Keyed {
    keys: Option<HashSet<String>>,
    pattern: Pattern,
}

impl Keyed {
    fn of(text: &str) -> Self {
        let pattern = Pattern::compile(text);
        let keys = pattern.keys().map(|keys| keys.into_iter().map(str::to_owned).collect());
        Self { keys, pattern }
    }

    fn find(&self, sentence: &Sentence, stems: &HashSet<&str>, gap: usize) -> Vec<Hit> {
        let may = self.keys.as_ref().is_none_or(|keys| stems.iter().any(|s| keys.contains(*s)));
        if may { self.pattern.find(sentence, gap) } else { Vec::new() }
    }
}

/// All stems of a sentence.
fn stems_of(sentence: &Sentence) -> HashSet<&str> {
    sentence.words.iter().flat_map(|w| std::iter::once(&w.stem).chain(&w.also)).map(String::as_str).collect()
}

static COMPILED: LazyLock<Vec<Compiled>> = LazyLock::new(|| {
    let compile = |texts: &[&str]| {
        texts.iter().map(|t| Keyed::of(&LISTS.iter().fold((*t).to_owned(), |text, (name, list)| text.replace(name, list)))).collect()
    };
    RULES
        .iter()
        .map(|r| Compiled { kind: r.kind, gap: r.gap, patterns: compile(r.patterns), with: compile(r.with), unless: compile(r.unless) })
        .collect()
});

/// Dangers in a text, the most pressing first, one of a kind.
///
/// ```
/// # use groundlore_plant_health::danger::{DangerKind, screen};
/// assert_eq!(screen("My toddler ate some of the blue pellets")[0].kind, DangerKind::SwallowedByPerson);
/// assert!(screen("Birds are eating the seed").is_empty());
/// ```
pub fn screen(text: &str) -> Vec<Danger> {
    let told: Vec<Sentence> = sentences(text).into_iter().map(one_clause).collect();
    let mut found: Vec<Danger> = COMPILED
        .iter()
        .filter_map(|rule| {
            told.iter().find_map(|s| fires(rule, s)).or_else(|| across_sentences(rule, &told)).map(|span| danger(rule.kind, text, span))
        })
        .collect();
    found.sort_by_key(|d| d.kind);
    found.dedup_by_key(|d| d.kind);
    found
}

/// Dangers in a letter: its text and its list of findings that are not denied.
pub fn screen_letter(letter: &Letter) -> Vec<Danger> {
    let mut found = screen(&letter.text);
    for given in letter.findings.iter().filter(|f| !matches!(f.value, GivenValue::No | GivenValue::Unknown)) {
        let text = match &given.value {
            GivenValue::Words(words) => format!("{}: {words}", given.finding),
            _ => given.finding.clone(),
        };
        found.extend(screen(&text));
    }
    found.sort_by_key(|d| d.kind);
    found.dedup_by_key(|d| d.kind);
    found
}

fn danger(kind: DangerKind, text: &str, span: (usize, usize)) -> Danger {
    let phrase = text.get(span.0..span.1).unwrap_or_default().split_whitespace().collect::<Vec<_>>().join(" ");
    let counsel = COUNSEL.iter().find(|c| c.kind == kind);
    Danger {
        kind,
        phrase,
        what: counsel.map_or("danger", |c| c.what).into(),
        whom_to_call: counsel.map_or(&[EMERGENCY][..], |c| c.whom).iter().map(|whom| Cow::Borrowed(*whom)).collect(),
        keep_clear: counsel.map_or("", |c| c.keep_clear).into(),
        do_first: counsel.map_or("", |c| c.do_first).into(),
    }
}

/// In danger a `but` cuts nothing off.
fn one_clause(mut sentence: Sentence) -> Sentence {
    sentence.words.iter_mut().for_each(|w| w.clause = 0);
    sentence
}

/// Span of the words that fire a rule in a sentence.
fn fires(rule: &Compiled, sentence: &Sentence) -> Option<(usize, usize)> {
    let stems = stems_of(sentence);
    let stands = |patterns: &[Keyed]| patterns.iter().any(|p| !p.find(sentence, &stems, DANGER_GAP).is_empty());
    if !(rule.with.is_empty() || stands(&rule.with)) {
        return None;
    }
    let hit = rule
        .patterns
        .iter()
        .flat_map(|p| p.find(sentence, &stems, rule.gap))
        .find(|hit| !plainly_denied(sentence, hit) && !supposed(sentence, hit))?;
    // Exceptions are asked for last: hardly any sentence comes so far.
    if stands(&rule.unless) {
        return None;
    }
    Some((sentence.words[hit.first()].start, sentence.words[hit.last()].end))
}

/// `The dog found the slug pellets. He ate some.`: for things swallowed, and for illness after a chemical, two sentences are read as one.
fn across_sentences(rule: &Compiled, told: &[Sentence]) -> Option<(usize, usize)> {
    let ill = rule.kind == DangerKind::IllAfterChemical && rule.gap == WIDE_GAP;
    if !ill && !matches!(rule.kind, DangerKind::SwallowedByPerson | DangerKind::SwallowedByAnimal) {
        return None;
    }
    told.windows(2).find_map(|pair| {
        let swallowed = |s: &Sentence| {
            s.words.iter().any(|w| matches!(w.lower.as_str(), "ate" | "eaten" | "swallowed" | "drank" | "chewed" | "licked" | "ingested"))
        };
        if !ill && !pair.iter().any(swallowed) {
            return None;
        }
        let offset = pair[0].words.last().map_or(0, |w| w.place + 1);
        let later = pair[1].words.iter().cloned().map(|mut w| {
            w.place += offset;
            w
        });
        let joined = Sentence {
            start: pair[0].start,
            end: pair[1].end,
            words: pair[0].words.iter().cloned().chain(later).collect(),
            question: false,
        };
        fires(rule, &joined)
    })
}

/// A firm denial (`nobody was stung`); a doubtful one still counts as danger.
fn plainly_denied(sentence: &Sentence, hit: &Hit) -> bool {
    claim(sentence, hit).is_some_and(|c| c.presence == Presence::No && c.strength >= 1.0)
        && !sentence.words.iter().any(|w| matches!(w.lower.as_str(), "breathe" | "breathing" | "stop" | "sure" | "but" | "yet"))
}

/// A worry about what might be eaten some day, told in the present or as a wish: no danger yet.
fn supposed(sentence: &Sentence, hit: &Hit) -> bool {
    const EATING: &[&str] =
        &["eat", "eats", "swallow", "chew", "lick", "drink", "ingest", "taste", "munch", "get", "sting", "fall", "into"];
    const SUPPOSING: &[&str] = &[
        "if",
        "could",
        "would",
        "can",
        "safe",
        "worried",
        "worry",
        "afraid",
        "want",
        "before",
        "prevent",
        "should",
        "will",
        "avoid",
        "case",
        "so",
        "poisonous",
        "toxic",
        "ever",
    ];
    const DONE: &[&str] = &[
        "ate",
        "eaten",
        "swallowed",
        "chewed",
        "drank",
        "licked",
        "stung",
        "ingested",
        "may",
        "might",
        "fell",
        "fallen",
        "eating",
        "chewing",
        "licking",
        "drinking",
        "just",
        "vomiting",
    ];
    let used_present = hit.used.iter().any(|i| EATING.contains(&sentence.words[*i].lower.as_str()));
    let has = |list: &[&str]| sentence.words.iter().any(|w| list.contains(&w.lower.as_str()));
    let eats_or_stings = hit.used.iter().any(|i| {
        matches!(
            sentence.words[*i].stem.as_str(),
            "eat" | "swallow" | "chew" | "lick" | "drink" | "ingest" | "tast" | "munch" | "get" | "sting"
        )
    });
    eats_or_stings && used_present && has(SUPPOSING) && !has(DONE)
}
