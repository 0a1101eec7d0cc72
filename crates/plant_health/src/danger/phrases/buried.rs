//! Gas, and buried cables.

use crate::danger::DangerKind;
use crate::danger::rule::{DANGER_GAP, Rule, WIDE_GAP};

pub(super) const RULES: &[Rule] = &[
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
            "\"spilled gas\"|\"gas can\"|\"spilt gas\"|\"gas spilled\"",
            "mower|trimmer|blower|chainsaw|tractor|\"gas can\"|gasoline|petrol|engine|carburetor|edger gas|gasoline|petrol|tank|engine|carburetor",
            "yellow flower|leaf|leaves|patch|spot|blade|tip",
        ],
    },
    // The smell that is put into gas is danger by itself; sour mulch, mud and the like smell so too, unless there is gas about.
    Rule {
        kind: DangerKind::Gas,
        gap: WIDE_GAP,
        patterns: &["\"rotten egg\"|\"rotten eggs\"|\"bad eggs\"|\"rotting eggs\"|\"eggy smell\""],
        with: &[],
        unless: &[
            "mulch|compost|chips|chip|heap",
            "=wet|=low|=sticky|mud|muddy|muck|swamp|swampy|bog|boggy|soggy|waterlogged|marsh|pond|ditch|clay|spadeful|roots|septic|flood|flooded|drain|puddle",
            "soil|ground|earth wet|sticky|gray|black|dig|sour",
        ],
    },
    Rule {
        kind: DangerKind::Gas,
        gap: WIDE_GAP,
        patterns: &[
            "\"rotten egg\"|\"rotten eggs\"|\"bad eggs\"|\"rotting eggs\"|\"eggy smell\" \"gas\"|meter|main|line|pipe|propane|street|road|basement|house|hiss|bubbles|bubbling",
        ],
        with: &[],
        unless: &["mud|muck|swamp|pond|drain", "\"mulch smell\"|\"mulch stinks\"|\"compost smell\"|\"compost stinks\"|\"chips smell\""],
    },
    Rule {
        kind: DangerKind::Gas,
        gap: WIDE_GAP,
        patterns: &[
            "propane|butane|lpg|\"gas bottle\"|\"gas cylinder\"|\"gas canister\" hit|strike|struck|leak|hiss|knock|ram|dent|puncture|crush|crack|damage|=ran|=fell|=fallen|=backed|=tipped|cut|nick|=venting|=clipped|broke|break|smash|burst|bang",
            "\"gas meter\"|\"gas main\"|\"gas pipe\"|\"gas supply\"|\"gas service\"|\"gas riser\"|\"natural gas\" hit|strike|struck|knock|ram|cut|nick|break|broke|=broken|leak|hiss|damage|rupture|crush|=ran|=backed|=clipped|smash|bent|crack",
        ],
        with: &[],
        unless: &[
            "\"mulch smell\"|\"mulch stinks\"|\"mulch reeks\"|\"mulch that smells\"|\"compost smell\"|\"compost stinks\"|\"compost reeks\"|\"compost that smells\"|\"compost heap smells\"|\"chips smell\"|\"chips that smell\"",
        ],
    },
    Rule {
        kind: DangerKind::CableStruck,
        gap: DANGER_GAP,
        patterns: &[
            "hit|strike|struck|cut|nick|sever|slice|dig|dug|chop|damage|expose|pierce|drove|rip|=tore|=torn|snag|snip|=hooked|=through electric|electrical|power|underground|buried|utility|live|fiber|phone cable|line|wire|conduit|lines|cables",
            "cut|dig|dug|sever|slice|spade|shovel through electric|electrics|electricity|mains",
            "cable|conduit cut|hit|strike|struck|sever|nick|slice|pierce|spark|rip|=tore|=torn|snip|=through",
            "dig|dug|digging|shovel|spade|auger|trencher|trench|excavator|aerator|pickaxe|=pick|fork|mattock|stake|peg|drill|rotavator|tiller|digger|edger|edging|mower|trimmer|strimmer|crowbar|post|hit|struck|strike spark|sparks|bang|flash|power|=lights|\"the light\"|electricity|electrics|electric|fuse|breaker out|off|went|conduit|sparked|flew|tripped|blew|died|cut|dead",
        ],
        with: &[],
        unless: &["\"cable tie\"|\"cable ties\"|\"cable guy\"", "\"power line trail\""],
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
            "\"blue flash\"|\"a bang and\"|\"went bang\"|\"loud bang\" =stake|=spade|=fork|=drill|=dig|=digging|=dug|=peg|=post|=shovel|=cut|=hit|=drove|=trench|=pick|pickaxe",
        ],
        with: &[],
        unless: &[],
    },
];
