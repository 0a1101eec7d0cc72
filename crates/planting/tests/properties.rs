//! What holds for every bed, whatever its shape, wishes and seed.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

#[path = "properties/beds.rs"]
mod beds;
