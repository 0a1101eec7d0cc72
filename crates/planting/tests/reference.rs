//! Figures checked against sources outside this project.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

#[path = "reference/bloom.rs"]
mod bloom;
#[path = "reference/care.rs"]
mod care;
#[path = "reference/grids.rs"]
mod grids;
#[path = "reference/nursery.rs"]
mod nursery;
#[path = "reference/season.rs"]
mod season;
#[path = "reference/sociability.rs"]
mod sociability;
#[path = "reference/water.rs"]
mod water;
