//! Plant health: from what was seen to what is done about it.
//!
//! The letter side, in the order it is used:
//!
//! | step | module |
//! | --- | --- |
//! | read a letter, understand it, answer it | [`letter`], [`place`] |
//! | danger before anything else | [`danger`] |
//! | what the law asks to be reported | [`duty`] |
//! | causes with their probabilities | [`diagnosis`] |
//! | causes and signs as a network, exactly | [`network`] |
//! | the look that would settle most | [`next_look`] |
//! | advice that would harm, withheld | [`forbidden`] |
//! | the words to the owner | [`reply`] |
//! | what is rising among many letters | [`rising`] |
//! | confirmed cases answered again: is it better now? | [`confirmed`] |
//!
//! The scouting side, in the order it is used:
//!
//! | step | module |
//! | --- | --- |
//! | when the stages come here, by their own days | [`clock`] |
//! | the same by the season's clocks, nearest region first | [`stage_clock`], [`region`] |
//! | what comes when this season, with odds, and what a sight of it says | [`event_clock`], [`observed`] |
//! | the same for a whole book of yards at once | [`season_grid`] |
//! | where to look, how, how many, when to stop | [`scouting`], [`sequential`] |
//! | what a list of counts says | [`counts`] |
//! | how many samples for a precision, or to find one | [`sample_size`] |
//! | how counts clump from place to place, and what the book's counts say of it | [`dispersion`] |
//! | counting until the mean is known closely enough | [`fixed_precision`] |
//! | looking only whether a sample holds any | [`presence`] |
//! | quadrats and cover of weeds; catches of traps | [`cover`], [`traps`] |
//! | how many there are, by stratum, yard and species | [`density`] |
//! | treat, leave or count n more | [`decision`] |
//! | which treatment, with its checks | [`treatment`] |
//! | what a treatment did | [`efficacy`] |
//! | what a control still does, year by year | [`belief`] |
//! | a slide over the years: alarms and trends | [`drift`] |
//! | what a spray costs the living around it, as a figure to compare | [`impact_quotient`] |

pub mod belief;
pub mod clock;
pub mod confirmed;
pub mod counts;
pub mod cover;
pub mod decision;
pub mod density;
pub use event_clock::season_grid;

pub mod danger;
pub mod diagnosis;
pub mod dispersion;
pub mod drift;
pub mod duty;
pub mod efficacy;
pub mod event_clock;
pub mod fixed_precision;
pub mod forbidden;
pub mod impact_quotient;
pub mod letter;
pub mod network;
pub mod next_look;
pub mod observed;
pub mod place;
pub mod presence;
pub mod region;
pub mod reply;
pub mod rising;
pub mod sample_size;
pub mod scouting;
pub mod sequential;
pub mod stage_clock;
pub mod traps;
pub mod treatment;
