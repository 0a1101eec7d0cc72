//! Weather of one station: read it, look it over, and let the years of record stand in for the days to come.
//!
//! Everything here is pure: text or numbers in, numbers and reasons out; no files, no clock, no network. Units are SI (°C, mm, m); dates
//! are civil dates of the station.
//!
//! The way of the data:
//!
//! 1. **Read.** [`read_text`] (or [`read_ghcn_csv`], [`read_ghcn_dly`], [`read_plain_csv`]) gives a [`Reading`]: a [`Series`], remarks,
//!    and what was left out.
//! 2. **Look over.** [`check()`](check::check) remarks on flags, gaps, jumps, streaks; [`fill_gaps`] fills gaps and marks what it filled.
//! 3. **Sum.** [`DegreeDays`] turns a day into heat, [`HeatSums`] a series into running sums.
//! 4. **Look ahead.** [`Ensemble`] joins this year so far to each past year; [`Odds`] turns its dates into chances. [`Futures`] are the same
//!    days in columns, plain, on today's trend and state, or generated, with a forecast before them where there is one.
//! 5. **Look back.** [`hindcast`] forecasts every past year from the years before it and tells whether the odds were honest.
//!
//! | to… | go to |
//! | --- | --- |
//! | hold a station's days | [`series`] |
//! | read files | [`detect`](mod@detect), [`ghcn_csv`], [`ghcn_dly`], [`plain_csv`], [`reading`] |
//! | read hours, typical years, hand-read gauges | [`hourly`], [`hourly_csv`], [`epw`] with its [`typical_year`], [`gauges`] |
//! | weigh stations for one place, learn a place's own shift | [`stations`], [`place_series`] |
//! | hold a station against its neighbours | [`neighbours`] |
//! | say what is wrong with them | [`error`], [`remark`], [`check`](mod@check) |
//! | know the normal of a day, and fill gaps | [`climatology`], [`fill`] |
//! | turn temperature into heat | [`degree_days`], [`heat_sums`] |
//! | see the days to come as chances | [`ensemble`], [`odds`], [`quantile`] |
//! | have the days to come in columns | [`futures`], from [`trend`], [`persistence`], or the [`generator`] with its [`rain_chain`] |
//! | date the year's frosts, heat sums, spells | [`season_events`] |
//! | know whether odds are honest | [`hindcast`] |
//! | draw a smooth curve through the year | [`season_curve`] |
//! | date frosts, find the hardiness zone | [`frost`], [`hardiness`] |
//! | sum up the days before a letter | [`recent`] |
//! | count days | [`calendar`] |
//! | know the sun of a day or a moment | [`sun`] |
//! | reckon the water that grass gives to the air | [`evapotranspiration`] |
//! | know the soil's temperature by depth | [`soil_temperature`] |
//! | count winter chill and hot days | [`chill`], [`heat_days`] |
//! | bound the growing season, weigh turf's growth | [`growing_season`], [`growth_potential`] |
//! | measure drought | [`drought`] |
//!
//! For large batches take [`DegreeDays::daily_batch`] over whole columns, or one [`HeatSums`] for each station and model, shared by
//! all yards, starts and totals ([`Ensemble::dates_reaching_all`], [`Ensemble::dates_in_sums`]).
//!
//! ```
//! use groundlore_weather::{Cutoff, DegreeDays, Ensemble, Heat, Method, Odds, ReadOptions, read_text};
//! use jiff::civil::date;
//!
//! // Three years of an invented station: warm by day in summer, cool by night.
//! let mut text = String::from("date,TMIN (degC),TMAX (degC)\n");
//! let mut day = date(2013, 1, 1);
//! while day < date(2015, 6, 1) {
//!     let season = -(f64::from(day.day_of_year()) * 6.283 / 365.0).cos();
//!     text += &format!("{day},{:.1},{:.1}\n", 5.0 + 10.0 * season, 15.0 + 10.0 * season);
//!     day = day.tomorrow().unwrap();
//! }
//! let series = read_text(&text, "invented.csv", &ReadOptions::default())?.series;
//!
//! let ensemble = Ensemble::years_of_record(&series, date(2015, 6, 1))?;
//! let model = DegreeDays::new(Method::SingleSine, 10.0, None, Cutoff::None)?;
//! let dates = ensemble.dates_reaching(&Heat { start: (1, 1), model, total: 500.0 })?;
//! let odds = Odds::from_dates(&dates, date(2015, 6, 1));
//! assert_eq!(odds.p50, Some(date(2015, 6, 20)));
//! # Ok::<(), groundlore_weather::WeatherError>(())
//! ```
#![cfg_attr(test, allow(clippy::unwrap_used))]

pub mod against_record;
pub mod calendar;
pub mod check;
pub mod chill;
pub mod climatology;
mod column_unit;
pub mod degree_days;
pub mod detect;
pub mod drought;
pub mod ensemble;
pub mod epw;
pub mod error;
pub mod evapotranspiration;
pub mod fill;
pub mod frost;
pub mod futures;
pub mod gauges;
pub mod generator;
pub mod ghcn_csv;
pub mod ghcn_dly;
pub mod growing_season;
pub mod growth_potential;
pub mod hardiness;
pub mod heat_days;
pub mod heat_sums;
pub mod hindcast;
pub mod hourly;
pub mod hourly_csv;
mod hourly_gathering;
mod least_squares;
mod lines;
pub mod neighbours;
mod normal_draws;
pub mod odds;
pub mod persistence;
pub mod place_series;
pub mod plain_csv;
pub mod quantile;
pub mod rain_chain;
pub mod reading;
pub mod recent;
pub mod remark;
pub mod season_curve;
pub mod season_events;
pub mod series;
pub mod soil_temperature;
pub mod stations;
pub mod sun;
pub mod trend;
pub mod typical_year;
mod wide;

pub use check::check;
pub use degree_days::{Cutoff, DegreeDays, Method};
pub use detect::{Form, detect, read_bytes, read_text};
pub use ensemble::{Ensemble, EnsembleRules, Heat};
pub use epw::{EpwOptions, EpwReading, read_epw};
pub use error::{Problem, ProblemKind, WeatherError};
pub use fill::{Filled, fill_errors, fill_gaps, fill_gaps_up_to};
pub use futures::{Forecast, ForecastDay, Futures, Kind};
pub use gauges::{GaugeOptions, GaugeReading, ReadingDay, read_gauges};
pub use ghcn_csv::read_ghcn_csv;
pub use ghcn_dly::read_ghcn_dly;
pub use heat_sums::{HeatSum, HeatSums};
pub use hourly::{DailyRules, DailyWeather, HourStamp, HourlyElement, HourlySeries};
pub use hourly_csv::{HourlyOptions, HourlyReading, read_days, read_hourly_csv};
pub use neighbours::{Flag, FlagReason, NeighbourLimits, look_over};
pub use odds::Odds;
pub use plain_csv::read_plain_csv;
pub use reading::{AssumedUnits, ReadOptions, Reading};
pub use recent::Recent;
pub use remark::{Remark, RemarkKind};
pub use series::{Columns, Day, Doubt, Element, FillMethod, Hemisphere, Mark, Series, Station};
pub use stations::{Combined, OwnShift, Place, ShiftPrior, StationWeight, WeightRules, combine, fill_from_neighbours, weights};
