//! Somebody hurt: by a machine, a fall, current, heat or water.

use crate::danger::DangerKind;
use crate::danger::rule::{DANGER_GAP, Rule, WIDE_GAP};

pub(super) const RULES: &[Rule] = &[
    Rule {
        kind: DangerKind::Injury,
        gap: DANGER_GAP,
        patterns: &[
            "mower|=blade|trimmer|strimmer|edger|tiller|rotavator|chipper|chainsaw|\"the saw\"|\"a saw\"|\"my saw\"|\"his saw\"|\"her saw\"|\"pruning saw\"|\"hand saw\"|\"pole saw\"|\"chain saw\"|\"bow saw\"|\"table saw\"|\"saw jumped\"|\"saw slipped\"|shredder|auger|fork|spade|mattock|pickaxe|hatchet|billhook|scythe|sickle|shears|machete|hook|nail|stone|rock|tractor|axe|pruner|lopper|secateurs|grinder|branch|limb|log|post cut|hit|sever|slice|injure|amputate|=caught|lost|bleed|gash|ran|=over|struck|mangle|crush|nick|=bounced|=kicked|stab|=stabbed|=through|=sliced|=severed|=trapped {part}",
            "chainsaw|\"the saw\"|\"a saw\"|\"my saw\"|\"his saw\"|\"her saw\"|\"pruning saw\"|\"hand saw\"|\"pole saw\"|\"chain saw\"|\"bow saw\"|\"table saw\"|\"saw jumped\"|\"saw slipped\" =kicked|kickback|accident|=slipped|gash|bleed",
            "mower|tractor|chipper|tiller|chainsaw|ladder accident",
            "bleed badly|heavily|lot|profuse|profusely|stop|hospital|bandage|blood",
            "{person}|i|he|she =fell|=fallen in|into pond|pool|well|pit|trench|cesspit|river|tank|manhole",
            "drown|=drowning|=drowned {person}|he|she|pond|pool|him|her",
            "{part} =off|\"cut off\"|\"took off\"|\"hanging off\"|\"came off\" mower|\"the saw\"|\"a saw\"|\"my saw\"|\"his saw\"|\"her saw\"|\"pruning saw\"|\"hand saw\"|\"pole saw\"|\"chain saw\"|\"bow saw\"|\"table saw\"|\"saw jumped\"|\"saw slipped\"|=blade|chipper|trimmer|shears|bleed|blood|accident",
            "{person}|he|she \"not wake\"|\"not waking\"|\"not responding\"|\"blacked out\"|\"not moving\"",
            "amputat*",
            "=fell|=fallen|fall|=slipped off|from ladder|roof",
            "{person}|he|she|i =fell|=fallen off|from|out tree|ladder|roof|wall",
            "mower|tractor|atv|truck =rolled|=tipped|overturned|=flipped hill|slope|bank|ditch|him|her|me|trapped|under",
            "=pinned|=trapped|=crushed under|by|beneath tractor|mower|tree|wall|log|limb|branch|trench|stone",
            "unconscious|unresponsive|\"not breathing\"|\"stopped breathing\"|\"passed out\"|=fainted|\"chest pain\"|\"heart attack\"|\"heat stroke\"|heatstroke|convulsion|convulsions|seizure",
            "{person}|he|she =collapsed|=collapse|=fainted",
            "{person}|i|he|she|we cannot|\"can not\"|\"trouble\"|\"difficulty\"|\"struggling to\"|hard breathe|breathing",
        ],
        with: &[],
        unless: &[
            "rose|roses|plant|plants|hosta|hostas|seedlings|hydrangea =fainted|=fainting",
            "\"attack of\"",
            "=blade|=blades powder|powdery|soot|sooty|beads",
            "thick|thicker|wider|bigger|longer|big|wide|large|long my|his|her leg|arm|hand|head|thumb|finger|foot|wrist",
            "\"bleeding heart\"|\"bleeding hearts\"",
            "thumb|finger|fist|hand|head sized|size|wide|thick|width|length|nail",
            "boxwood|rhododendron|plant|shrub|hedge|rose|tree|azalea|yew|lilac breathe|breathing|choke",
            "water|sprinkler|hose|valve|head =bleeding|=bleeds|bleed",
            "\"transplant shock\"",
            "root|soil|lawn|bark|turf|grass|mulch breathe",
            "sap|trunk|bark|canker|birch|maple|stump|\"bleeding heart\" bleed|bleeding",
            "dust|powder|rust|soot|spore|orange|stuff|film \"comes off on\"|\"came off on\"|\"rubs off on\"|\"rubbed off on\"|\"wipes off on\"|\"off on my\"",
            "\"bleeding heart\"|\"bleeding hearts\"",
        ],
    },
    Rule {
        kind: DangerKind::Injury,
        gap: WIDE_GAP,
        patterns: &[
            "{person}|=he|=she|=i =bleeding|=bleeds badly|heavily|lot|=stop|hospital|artery|cut|gash|mower|\"the saw\"|\"a saw\"|\"my saw\"|\"his saw\"|\"her saw\"|\"pruning saw\"|\"hand saw\"|\"pole saw\"|\"chain saw\"|\"bow saw\"|\"table saw\"|\"saw jumped\"|\"saw slipped\"|=blade|fork|shears|trimmer",
            "{person}|=he|=she =moving|=responding|=breathing|=conscious =not|=barely|=hardly",
            "=blade|stone|rock|log|branch|limb|chip|chain|wire|fork|mower|\"the saw\"|\"a saw\"|\"my saw\"|\"his saw\"|\"her saw\"|\"pruning saw\"|\"hand saw\"|\"pole saw\"|\"chain saw\"|\"bow saw\"|\"table saw\"|\"saw jumped\"|\"saw slipped\"|splinter|nail hit|=struck|=flew|=caught|=stabbed {person}|=him|=her|=me|=his|=my neck|face|eye|eyes|head|chest|leg|arm|foot|hand|belly|bleed|blood|unconscious|badly",
            "=toe|=toes|finger|thumb|hand|foot =gone|=missing|=lost|\"cut off\"|\"took off\"|=crushed|=mangled mower|\"the saw\"|\"a saw\"|\"my saw\"|\"his saw\"|\"her saw\"|\"pruning saw\"|\"hand saw\"|\"pole saw\"|\"chain saw\"|\"bow saw\"|\"table saw\"|\"saw jumped\"|\"saw slipped\"|=blade|chipper|trimmer|machine|tiller|shredder|chain",
            "log|tree|limb|stone|wall|mower|tractor|machine|roller =rolled|=fell|=landed|=dropped =on|=onto {person}|=him|=her|=me|=us",
            "\"blood everywhere\"|\"lot of blood\"|\"lots of blood\"|\"losing blood\"|\"pouring blood\"|\"bleeding badly\"|\"deep gash\"|\"deep cut\"|\"cut to the bone\"|\"to the bone\"",
            "=tipped|=tipped|=rolled|=flipped|=overturned|=toppled|=fell|=fallen|=crashed|=came =under|=beneath|underneath|=onto {person}|=him|=her|=me|=us|=them",
            "ladder|scaffold|roof|\"out of the tree\" =fell|=fallen|=slipped|=tumbled {person}|he|she|i|him|her|broke|broken|hurt",
            "{person}|he|she|i =trapped|=pinned|=crushed =under|=beneath|underneath|=by|=between",
        ],
        with: &[],
        unless: &[
            "=blade|=blades powder|powdery|soot|sooty|beads",
            "thick|thicker|wider|bigger|longer|big|wide|large|long my|his|her leg|arm|hand|head|thumb|finger|foot|wrist",
            "thumb|finger|fist|hand|head sized|size|thick|width|nail",
            "water|sprinkler|hose|valve =bleeding|=bleeds|bleed",
            "=fallen leaves|leaf|seed|seeds|fruit|apples|needles|petals|nuts|acorns",
        ],
    },
    Rule {
        kind: DangerKind::ElectricShock,
        gap: DANGER_GAP,
        patterns: &[
            "electrocut*",
            "\"electric shock\"|\"electrical shock\"|\"got a shock\"|\"get a shock\"|\"a shock from\"|\"got shocked\"|\"get shocked\"|\"getting shocked\"|\"was shocked by\"|\"got zapped\"|\"shock when\"|\"shocks when\"",
            "tingle|tingling|shock water|pond|pump|fountain|pool|wire|fence|light|outlet|cable|faucet|lamp",
        ],
        with: &[],
        unless: &[
            "\"transplant shock\"",
            "\"shock of\"|\"a shock to\"|\"as a shock\"|\"in shock\"|\"shocked to\"|\"shocked at\"|\"shocked by\"",
            "bill|price|cost",
        ],
    },
];
