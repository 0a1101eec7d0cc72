//! The desk: the use cases of a day's work, one module each. They read the book and lore, call the sciences, cite the reckoner, write
//! findings and tasks back, and tell the person in a [sheet](groundlore_sheet::Sheet) that terminal, page, paper and API share.
//!
//! | to… | go to |
//! | --- | --- |
//! | open a book with its lore and weather, on a day | [`desk`], [`station`] |
//! | bring weather in, and see what a yard's is made of | [`weather_add`], [`yard_weather`] |
//! | bring in a yard's map and see its faults | [`yards`] |
//! | answer an owner's letter | [`letters`] |
//! | answer many letters at once, and see what is rising | [`inbox`] |
//! | keep and show the photos that came with a letter | [`photos`] |
//! | read what is known of a trouble, by this station's clock | [`lore_pages`] |
//! | plan a bed, and check its stock at the nursery gate | [`beds`], [`stock`] |
//! | measure off, price and offer | [`take_off`], [`proposals`] |
//! | plan a count, with its stop rules, and weigh what was counted | [`scouting`], [`field_rules`], [`weighed`] |
//! | know when a treatment would go on | [`act_when`] |
//! | log machines and their blades | [`machines`] |
//! | plan tasks and see the week | [`tasks`], [`week`] |
//! | date the season's events, for a yard, the book, or without one | [`events`], [`season`] |
//! | write down what was seen, and run the clocks by it | [`sights`] |
//! | begin what may come with the public forecast | [`forecast`] |
//! | hold records to the law's rules, report and keep them | [`record_keeping`] |
//! | see what a control still does, and why it did poorly | [`learned`] |
//! | answer the firm's confirmed cases again | [`confirmed`] |
//! | say what went wrong | [`error`] |
pub mod act_when;
pub mod beds;
mod calibration;
pub mod catch_tests;
mod clumping;
pub mod confirmed;
mod counting;
pub mod demo;
pub mod desk;
pub mod error;
pub mod events;
pub mod field_rules;
mod field_rules_sheet;
pub mod forecast;
pub mod inbox;
mod kept_letters;
pub mod label_cards;
pub mod learned;
mod learned_sheet;
pub mod letters;
pub mod lore_pages;
pub mod machines;
pub mod photos;
mod pictures;
pub mod proposals;
pub mod record_keeping;
pub mod scouting;
mod scouting_sheets;
pub mod season;
mod season_sheet;
mod season_weather;
pub mod sights;
mod stages;
pub mod station;
pub mod stock;
mod strata;
pub mod take_off;
mod task_calendar;
pub mod tasks;
pub mod treatment;
mod treatment_sheets;
mod trouble_sheet;
mod verdict_costs;
pub mod weather_add;
pub mod week;
pub mod weighed;
pub mod yard_weather;
pub mod yards;

pub use desk::Desk;
pub use error::DeskError;
pub use groundlore_book as book;
pub use groundlore_lore as lore;
pub use groundlore_sheet as sheet;
