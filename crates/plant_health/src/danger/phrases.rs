//! Phrases by kind of danger.

mod buried;
mod eaten;
mod falling;
mod fire;
mod ground;
mod hurt;
mod ill;
mod stings;
mod wires;

use super::rule::Rule;

/// Every rule.
pub(super) fn rules() -> impl Iterator<Item = &'static Rule> {
    [eaten::RULES, stings::RULES, ill::RULES, hurt::RULES, buried::RULES, wires::RULES, fire::RULES, falling::RULES, ground::RULES]
        .into_iter()
        .flatten()
}
