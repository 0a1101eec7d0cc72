//! Choosing, placing and growing a planting; checking the stock for it.
//!
//! The way of a bed: [`wishes`] are checked, plants are [chosen](choose) from lore, [placed](place) in the bed's outline in
//! metres, and the whole is told as a [`bed::BedPlan`] with what to buy. [`season`] says when to plant it, [`stock`] what to
//! look at on the nursery's plants, [`care`] what the first year asks for.
//!
//! | room | what it holds |
//! | --- | --- |
//! | [`wishes`] | what is asked of a bed: months of bloom, light, moisture, zone, visitors, colours, heights |
//! | [`calendar`] | months of lore's northern year at a place north or south |
//! | [`sociability`] | alone, in groups, in carpets: how many of a kind stand together |
//! | [`listing`] | whether a plant is listed as invasive at a place |
//! | [`choose`] | which plants: a small integer programme, relaxed in a stated order |
//! | [`outline`] | a bed's outline in metres: insets, depth, front |
//! | [`grid`] | square and triangular grids in an outline, counted |
//! | [`place`] | where each plant stands: tall behind, drifts, spacing kept |
//! | [`bed`] | the whole plan: plants, bloom month by month, buying list, checks |
//! | [`season`] | when to plant, from odds of frost and heat |
//! | [`stock`] | what to check at the nursery gate, and the verdict |
//! | [`care`] | watering, mulch, cut-back and looks through the first year |
//! | [`spacing`] | plants for an area by spacing and pattern |
//!
//! # Example
//! ```
//! use geo::polygon;
//! use groundlore_planting::{bed, outline::Front, wishes::Wishes};
//!
//! let lore = groundlore_lore::Lore::built_in()?;
//! let outline = polygon![(x: 0.0, y: 0.0), (x: 8.0, y: 0.0), (x: 8.0, y: 3.0), (x: 0.0, y: 3.0)];
//! let plan = bed::plan(&lore.plants, &Wishes::default(), &outline, &Front::Towards { bearing_deg: 180.0 }, 1)?;
//! assert!(plan.plants.len() > 20);
//! # Ok::<(), Box<dyn std::error::Error>>(())
//! ```
pub mod bed;
pub mod calendar;
pub mod care;
pub mod choose;
pub mod grid;
pub mod listing;
pub mod outline;
pub mod place;
pub mod season;
pub mod sociability;
pub mod spacing;
pub mod stock;
pub mod wishes;
