//! Fire.

use crate::danger::DangerKind;
use crate::danger::rule::{DANGER_GAP, Rule};

pub(super) const RULES: &[Rule] = &[Rule {
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
}];
