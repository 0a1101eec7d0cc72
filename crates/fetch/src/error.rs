//! What can go wrong on the way to a file, said so that it can be put right.

use std::path::PathBuf;

/// A text fit to be shown in one line: control characters dropped, at most 120 characters.
pub(crate) fn shown(text: &str) -> String {
    let mut short: String = text.chars().filter(|letter| !letter.is_control()).take(120).collect();
    if text.chars().nth(120).is_some() {
        short.push('…');
    }
    short
}

/// What can go wrong in this crate.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum FetchError {
    /// A setting that cannot be used.
    #[error("setting {setting}: `{value}` cannot be used. {remedy}")]
    BadSetting {
        /// The setting's name.
        setting: &'static str,
        /// What it holds.
        value: String,
        /// What to do about it, with an example.
        remedy: String,
    },
    /// A station's id that cannot be one.
    #[error(
        "station `{value}` is no id: letters, digits, `_` and `-`, 1 to 20 of them. Give the id as the archive writes it, such as USW00014922"
    )]
    BadStation {
        /// What was given.
        value: String,
    },
    /// A place that is not on Earth.
    #[error("{coordinate} {value} is not on Earth. Give degrees from -{limit} to {limit}, north and east positive")]
    BadPlace {
        /// `latitude` or `longitude`.
        coordinate: &'static str,
        /// What was given.
        value: String,
        /// The largest that may be given.
        limit: i16,
    },
    /// No address for forecasts is set.
    #[error(
        "no address for forecasts is set. Set `forecast` to an address with {{latitude}} and {{longitude}} in it, or go without a forecast"
    )]
    NoForecastAddress,
    /// An address that is not asked.
    #[error("address `{address}` is not asked: {why}")]
    BadAddress {
        /// The address.
        address: String,
        /// What is wrong and what would be right.
        why: String,
    },
    /// No answer came.
    #[error(
        "{address}: the server did not answer ({why}; tries: {tries}), and no earlier copy is kept here. Look to the network and ask again, or fetch the file elsewhere and read it from disk"
    )]
    NoAnswer {
        /// The address.
        address: String,
        /// How often it was asked.
        tries: u32,
        /// What happened last.
        why: String,
    },
    /// The server answered that it will not give the file.
    #[error("{address}: the server answered {status} (tries: {tries}), and no earlier copy is kept here. {remedy}")]
    Refused {
        /// The address.
        address: String,
        /// The HTTP status.
        status: u16,
        /// How often it was asked.
        tries: u32,
        /// What to do about it.
        remedy: String,
    },
    /// What the server gave cannot be used.
    #[error("{address}: {why} (tries: {tries}), and no earlier copy is kept here. {remedy}")]
    BadAnswer {
        /// The address.
        address: String,
        /// What is wrong with it.
        why: String,
        /// How often it was asked.
        tries: u32,
        /// What to do about it.
        remedy: String,
    },
    /// The cache's folder cannot be read or written.
    #[error("{}: cannot be {doing}: {why}. Look to the folder's rights and room, or give another folder", .path.display())]
    Cache {
        /// File or folder.
        path: PathBuf,
        /// `read` or `written`.
        doing: &'static str,
        /// What the system says.
        why: String,
    },
    /// A forecast that cannot be read.
    #[error("hourly forecast, {place}: {}. {remedy}", seen(.value))]
    BadForecast {
        /// The period's number, counted from 1, and the field.
        place: String,
        /// What stands there; empty where nothing does.
        value: String,
        /// What would be right.
        remedy: String,
    },
}

fn seen(value: &str) -> String {
    if value.is_empty() { "nothing stands there".to_owned() } else { format!("`{value}` cannot be used") }
}

/// Why one request brought no file.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) enum Failure {
    /// No connection, no answer in time, or an answer that broke off.
    NoAnswer { why: String },
    /// A status other than the ones that are understood.
    Status { status: u16, wait: Option<std::time::Duration> },
    /// An answer that cannot be used; `again` when another try may help.
    Answer { why: String, remedy: String, again: bool },
}

impl Failure {
    /// Whether another try may help.
    pub(crate) fn again(&self) -> bool {
        match self {
            Failure::NoAnswer { .. } => true,
            Failure::Status { status, .. } => matches!(status, 408 | 429 | 500..=599),
            Failure::Answer { again, .. } => *again,
        }
    }

    /// The reason in half a sentence, to stand after the age of what is given instead.
    pub(crate) fn because(&self) -> String {
        match self {
            Failure::NoAnswer { why } => format!("the server did not answer ({why})"),
            Failure::Status { status, .. } => format!("the server answered {status}, {}", status_words(*status)),
            Failure::Answer { why, .. } => why.clone(),
        }
    }

    /// The failure as an error, where there is no earlier copy.
    pub(crate) fn into_error(self, address: &str, tries: u32) -> FetchError {
        let address = shown(address);
        match self {
            Failure::NoAnswer { why } => FetchError::NoAnswer { address, tries, why },
            Failure::Status { status, .. } => FetchError::Refused { address, status, tries, remedy: status_remedy(status).to_owned() },
            Failure::Answer { why, remedy, .. } => FetchError::BadAnswer { address, why, tries, remedy },
        }
    }
}

fn status_words(status: u16) -> &'static str {
    match status {
        401 | 403 => "which means that it does not let us in",
        404 | 410 => "which means that it has no such file",
        408 | 504 => "which means that it took too long",
        429 => "which means that it was asked too often",
        500..=599 => "which means that it is in trouble",
        _ => "which is not understood here",
    }
}

fn status_remedy(status: u16) -> &'static str {
    match status {
        401 | 403 => "It does not let us in; set `user_agent` to a name with a way to reach you, as some public servers ask",
        404 | 410 => "It has no such file; check the station's id, the place, and the address in the settings",
        429 => "It was asked too often; wait some minutes and ask again",
        408 | 500..=599 => "It is in trouble; ask again later",
        _ => "Check the address in the settings by opening it in a browser",
    }
}
