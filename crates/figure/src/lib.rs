//! Pictures as SVG, for paper and page alike: ink on warm paper, one accent, and patterns rather than colours, so that each reads in grey.
//!
//! Every function takes plain figures and gives a whole SVG document. Nothing is drawn that the caller did not compute.
//!
//! | picture | what it shows |
//! | --- | --- |
//! | [`yard_map`] | areas, trees, patches and numbered stops of a yard, to scale |
//! | [`bed_plan`] | a planting plan to scale, and its elevation |
//! | [`bloom_chart`] | bloom month by month |
//! | [`life_cycle`] | the life of a trouble through the year |
//! | [`season_band`] | events of a year with their 10/50/90 % days |
//! | [`stop_chart`] | running total against stop lines |
//! | [`operating_chart`] | what a stop rule does at each true mean |
//! | [`cost_curve`] | costs of leaving, treating (now, at the stage) and counting again along density, with the break-even |
//! | [`estimate_map`] | an estimate by stratum on the map, in steps of grey |
//! | [`density_chart`] | posterior of density against a threshold range and the break-even |
//! | [`efficacy_curve`] | belief in a control by year |
//! | [`drift_chart`] | a control's years with the alarm's running sum, and how surely it finds a slide |
//! | [`reliability_chart`] | probabilities given against what came |
//! | [`cause_bars`] | probabilities of causes |
//! | [`canvas`] | the pen that they are drawn with |
pub mod bed_plan;
pub mod bloom_chart;
pub mod canvas;
pub mod cause_bars;
pub mod cost_curve;
pub mod density_chart;
pub mod drift_chart;
pub mod efficacy_curve;
pub mod estimate_map;
pub mod life_cycle;
mod map_labels;
pub mod operating_chart;
pub mod reliability_chart;
pub mod season_band;
pub mod stop_chart;
pub mod yard_map;
