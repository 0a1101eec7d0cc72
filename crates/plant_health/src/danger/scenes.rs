//! The scenes, by what they are about.

mod bodies;
mod heat_and_current;
mod things;
mod unwell;

use super::scene::Scene;

/// Every scene.
pub(super) fn scenes() -> impl Iterator<Item = &'static Scene> {
    [bodies::SCENES, heat_and_current::SCENES, things::SCENES, unwell::SCENES].into_iter().flatten()
}
