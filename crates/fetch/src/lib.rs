//! Fetches weather from public servers: a station's daily file, and an hourly forecast. What was fetched once is kept, so that a day
//! without a network is a day with older weather and not without any.
//!
//! | to… | go to |
//! | --- | --- |
//! | say where files come from, and how patiently to ask | [`Settings`] |
//! | have a station's daily file | [`Fetcher::daily`] |
//! | have a place's hourly forecast | [`Fetcher::forecast`], [`Fetcher::forecast_kept`] |
//! | have any public file | [`Fetcher::get`], [`Fetcher::get_if`] |
//! | have what is kept, without asking | [`Fetcher::kept`] |
//! | read an hourly forecast | [`read_hourly_forecast`] |
//!
//! What holds:
//!
//! - **Nothing is fetched unasked.** There is no thread, no timer, and no address but those in the settings and where they lead.
//! - **The age is said.** [`Fetched::words`] tells whether the bytes are of now or of three days ago, and why.
//! - **A good copy is not lost to a bad answer.** What broke off, is too large, is empty or fails its check is not kept; the copy before it
//!   stays. A killed process leaves the earlier copy whole.
//! - **Servers are spared.** An unchanged file is not sent again; a server in trouble is asked a few times, with growing waits, and as late
//!   as it wishes; one that says no is not asked again.
//! - **Only `https`.** Plain `http` goes to this machine itself and nowhere else, and no redirect leads out of `https`.
//!
//! What does not hold: trust stands on the certificates within the program, so a network that opens sealed traffic with a certificate of
//! its own is refused. A file whose length the server does not tell, and whose connection closes early, cannot be told from a short one;
//! that is for the file's reader to see.

mod address;
mod cache;
mod error;
mod fetcher;
mod forecast;
mod settings;

pub use error::FetchError;
pub use fetcher::{Fetched, Fetcher, How, age_words};
pub use forecast::{HourOfForecast, HourlyForecast, read_hourly_forecast};
pub use settings::Settings;
