//! Ground that caves in, and what is spilled into water.

use crate::danger::DangerKind;
use crate::danger::rule::{DANGER_GAP, Rule};

pub(super) const RULES: &[Rule] = &[
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
            "leaf|leaves|plant|stem|flower|blade|blades|seedling|seedlings =collapsed|=collapsing",
            "ridge|ridges|mole|moles|tunnels|runs|vole|voles cave|caved|caving|collapse|collapses",
            "=grass|=turf|sward|patches opened|opening|=collapsed",
            "{person} =collapsed",
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
        unless: &["fish heat|hot|ice|winter|heron|green|frost", "\"rain barrel\" overflow", "well drained|draining soil|bed|site"],
    },
];
