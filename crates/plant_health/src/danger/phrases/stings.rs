//! Stings, bites and nests.

use crate::danger::DangerKind;
use crate::danger::rule::{DANGER_GAP, Rule, WIDE_GAP};

pub(super) const RULES: &[Rule] = &[
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
        unless: &["leaf throat", "corolla", "like snake|viper|adder", "\"spider mite\"|\"spider mites\"|\"spider plant\""],
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
            "wasp|hornet|yellowjacket|\"yellow jacket\"|\"yellow jackets\" nest|hive|=stung|sting|attack|chase|=pouring|angry|aggressive|allergic",
            "wasp|hornet under|from|in|by deck|porch|eave|wall|door|steps|siding|playset|sandbox|soffit",
            "yellowjacket|\"yellow jacket\"|\"yellow jackets\" ground|hole|wall|deck|eave|door|lawn|mower|mow",
            "bee|honeybee|bumblebee|\"fire ant\"|\"fire ants\" attack|aggressive|=stung|chase|angry|=stinging",
            "bee hive|hive|colony wall|porch|house|door|chimney|playset|swing|siding|soffit|eave",
            "=stung kid|child|children|son|daughter|dog|crew|mower|mail|postman|me|us|times|badly|again|husband|wife|neighbor|neighbour|i|we|he|she|several|twice",
            "nest|hive =stinging|=stung|=sting",
            "swarm bee|bees|wasp|wasps|hornet|hornets kid|kids|child|children|door|house|porch|wall|window|mailbox|path|walk|school|people|mailman|crew|attacked|me|us|him|her|son|daughter|neighbor|play|playground|chimney|car",
        ],
        with: &[],
        unless: &[
            "stinging nettle|nettles",
            "=old|=empty|=abandoned|=last|bare|january|february|december|winter nest|nests",
            "galls|gall",
            "swarms|honeydew|tacky|drips",
            "wasp|hornet|bee spray|killer|trap|repellent",
            "\"take no notice\"|\"took no notice\"|\"do not mind\"|\"pay no attention\"",
            "\"cicada killer\"",
            "\"hornet moth\"",
            "\"gall wasp\"",
            "\"parasitic wasp\"",
            "=stung|sting price|news|criticism|cost|bill|frost|remark",
        ],
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
        unless: &[
            "one to a hole",
            "\"cicada killer\"|\"hornet moth\"|\"hawk moth\"|\"gall wasp\"|\"parasitic wasp\"",
            "=old|=empty|=abandoned nest",
        ],
    },
];
