//! What the law asks of a record of an application, rule by rule: what is missing, how long it is kept, when it is reported.
//!
//! The firm says which rules it is held to; we do not guess. A rule here is a list to work by and no legal advice: the authority's own
//! text is what counts, and a state may ask for more.
//!
//! | rule | of whom | asks | kept | reported |
//! | --- | --- | --- | --- | --- |
//! | 7 CFR 110.3 | private applicators, restricted-use products, where no equal state rule stands | product, registration number, total amount, location, area, crop or site, date, certified applicator with number; written within 14 days | 2 years | |
//! | the same, spot treatment under 1/10 acre | | product, registration number, total amount, location, date | 2 years | |
//! | 40 CFR 171.303(b)(7) | commercial applicators, restricted-use products | customer with address, location, area, site, date and time, product, registration number, amount, certified applicator with number, whoever applied under them | 2 years | |
//! | New York ECL 33-1205 | commercial applicators, every application | registration number, product, quantity, date, address with five-digit zip; beside it rate, method, target | 3 years | yearly by 1 February |
//!
//! # Source
//! 7 CFR 110.3 (edition of 2006, paragraph (a) read; its 14 days and 2 years in a stewardship page read); the spot treatment by a state
//! department's page on it (read); 40 CFR 171.303(b)(7) by a compliance summary (read; the crop or site is recalled, `memory`); New York
//! ECL 33-1205 (text published 2022-06-24, subdivision 1 read). Keys: [`RecordRule::sources`].

use jiff::ToSpan as _;
use jiff::civil::Date;
use serde::{Deserialize, Serialize};

use crate::applications::{ApplicationKind, ApplicationRecord};

/// Largest area of a spot treatment, m²: a tenth of an acre.
pub const SPOT_M2: f64 = 404.685_642_24;

/// A rule of record-keeping.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum RecordRule {
    /// Private applicators of restricted-use products, by 7 CFR 110.3.
    UsFederalPrivate,
    /// Commercial applicators of restricted-use products, by 40 CFR 171.303.
    UsFederalCommercial,
    /// Commercial applicators in New York, by ECL 33-1205.
    NewYorkCommercial,
}

/// Something that a rule asks and a line lacks.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Missing {
    /// Name of the field, as on the command line.
    pub field: &'static str,
    /// What is missing, in words.
    pub what: &'static str,
    /// What to do, with an example.
    pub remedy: &'static str,
    /// The rules that ask for it.
    pub asked_by: Vec<RecordRule>,
}

impl std::fmt::Display for Missing {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let rules: Vec<&str> = self.asked_by.iter().map(|rule| rule.cites()).collect();
        write!(f, "{} ({}): {}", self.what, rules.join(", "), self.remedy)
    }
}

/// One thing that a rule may ask: field, words, remedy, and whether a line has it.
struct Item {
    field: &'static str,
    what: &'static str,
    remedy: &'static str,
    has: fn(&ApplicationRecord) -> bool,
}

fn filled(text: Option<&String>) -> bool {
    text.is_some_and(|text| !text.trim().is_empty())
}

/// An address ends in a zip code of five digits, alone or with four more (`Elm Grove, NY 12345-6789`).
fn has_zip(line: &ApplicationRecord) -> bool {
    let digits = |part: &str, n: usize| part.len() == n && part.bytes().all(|b| b.is_ascii_digit());
    let words = line.yard_address.as_deref().unwrap_or_default().split(|c: char| c.is_whitespace() || c == ',');
    words.rev().find(|word| !word.is_empty()).is_some_and(|word| match word.split_once('-') {
        Some((five, four)) => digits(five, 5) && digits(four, 4),
        None => digits(word, 5),
    })
}

const PRODUCT: Item = Item {
    field: "product",
    what: "the product's name",
    remedy: "type it on the label card as the label has it",
    has: |line| !line.product.trim().is_empty(),
};
const REGISTRATION: Item = Item {
    field: "registration-number",
    what: "the registration number",
    remedy: "type it on the label card from the label in hand, for example `0000-000`",
    has: |line| filled(line.registration_number.as_ref()),
};
const AMOUNT: Item = Item {
    field: "amount",
    what: "the total amount of product",
    remedy: "give it with `--amount`, for example `12 oz` or `15 lb`",
    has: |line| line.amount_kg.is_some() || line.amount_m3.is_some(),
};
const LOCATION: Item = Item {
    field: "address",
    what: "the location",
    remedy: "give the yard its address with `groundlore yard import MAP --address`, for example `4 Mill Lane, Alder`",
    has: |line| filled(line.yard_address.as_ref()),
};
const ZIP: Item = Item {
    field: "address",
    what: "the address with its five-digit zip code",
    remedy: "give the yard its address with the zip code at its end, for example `4 Mill Lane, Alder, NY 12345`",
    has: has_zip,
};
const SITE: Item = Item {
    field: "site",
    what: "the crop, plant or kind of place treated",
    remedy: "give it with `--site`, for example `home lawn` or `boxwood hedge`",
    has: |line| filled(line.site.as_ref()),
};
const TIME: Item = Item {
    field: "started",
    what: "the time of day",
    remedy: "give it with `--started`, for example `07:30`",
    has: |line| line.started_at.is_some(),
};
const CUSTOMER: Item = Item {
    field: "customer",
    what: "for whom it was done",
    remedy: "give the yard its owner, or `--customer NAME`",
    has: |line| filled(line.customer_name.as_ref()),
};
const CUSTOMER_ADDRESS: Item = Item {
    field: "customer-address",
    what: "the customer's address",
    remedy: "give the owner an address, or `--customer-address`",
    has: |line| filled(line.customer_address.as_ref()),
};
const CERTIFIED: Item = Item {
    field: "licence",
    what: "the certified applicator and the certificate's number",
    remedy: "give `--licence NUMBER` of whoever applied it, or `--certified-applicator NAME` with `--certified-number` of who answers for them",
    has: |line| match &line.certified_applicator {
        Some(name) if !name.trim().is_empty() => filled(line.certified_number.as_ref()),
        _ => filled(line.licence.as_ref()),
    },
};
const RATE: Item = Item {
    field: "rate",
    what: "the rate",
    remedy: "give it with `--rate`, or type it on the label card",
    has: |line| filled(line.rate_text.as_ref()),
};
const METHOD: Item = Item {
    field: "method",
    what: "how it was applied",
    remedy: "give it with `--method`, for example `broadcast, rotary spreader`",
    has: |line| filled(line.method.as_ref()),
};
const TARGET: Item = Item {
    field: "target",
    what: "what it was aimed at",
    remedy: "name the trouble with `--trouble`",
    has: |line| filled(line.target.as_ref()),
};
const RESTRICTED: Item = Item {
    field: "restricted-use",
    what: "whether the label says that it is for restricted use",
    remedy: "look at the head of the label and say `--restricted-use yes` or `no`",
    has: |line| line.restricted_use.is_some(),
};
const SPOT_AREA: Item = Item {
    field: "short-form",
    what: "an area small enough for the short form",
    remedy: "the short form is for spots of under a tenth of an acre (4,356 ft2) in a day: leave `--short-form` out and fill in the whole record",
    has: |line| line.area_m2 < SPOT_M2,
};

impl RecordRule {
    /// All rules.
    pub const ALL: [Self; 3] = [Self::UsFederalPrivate, Self::UsFederalCommercial, Self::NewYorkCommercial];

    /// Key, as on the command line and in the firm's settings.
    pub fn key(self) -> &'static str {
        match self {
            Self::UsFederalPrivate => "us-federal-private",
            Self::UsFederalCommercial => "us-federal-commercial",
            Self::NewYorkCommercial => "new-york-commercial",
        }
    }

    /// The rule of a key.
    pub fn of_key(key: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|rule| rule.key() == key.trim())
    }

    /// Where it stands.
    pub fn cites(self) -> &'static str {
        match self {
            Self::UsFederalPrivate => "7 CFR 110.3",
            Self::UsFederalCommercial => "40 CFR 171.303(b)(7)",
            Self::NewYorkCommercial => "New York ECL 33-1205",
        }
    }

    /// In words, with of whom and of what it asks.
    pub fn words(self) -> &'static str {
        match self {
            Self::UsFederalPrivate => "private applicators of restricted-use products, where no equal state rule stands",
            Self::UsFederalCommercial => "commercial applicators of restricted-use products",
            Self::NewYorkCommercial => "commercial applicators in New York, every application",
        }
    }

    /// Keys of `lore/sources.toml`.
    pub fn sources(self) -> &'static [&'static str] {
        match self {
            Self::UsFederalPrivate => &["cfr-7-110-3", "private-records-stewardship", "mn-private-records"],
            Self::UsFederalCommercial => &["cfr-40-171-303-summary", "memory"],
            Self::NewYorkCommercial => &["ny-ecl-33-1205"],
        }
    }

    /// Years for which a record is kept.
    pub fn keep_years(self) -> i32 {
        match self {
            Self::UsFederalPrivate | Self::UsFederalCommercial => 2,
            Self::NewYorkCommercial => 3,
        }
    }

    /// The day up to which the record of an application is kept.
    pub fn keep_until(self, applied: Date) -> Date {
        applied.saturating_add(self.keep_years().years())
    }

    /// Days within which a record must be written, where the rule says so.
    pub fn write_within_days(self) -> Option<i32> {
        (self == Self::UsFederalPrivate).then_some(14)
    }

    /// The day by which the report of a year is due, where the rule asks for one.
    pub fn report_due(self, year: i16) -> Option<Date> {
        (self == Self::NewYorkCommercial).then(|| Date::new(year.saturating_add(1), 2, 1).ok()).flatten()
    }

    /// Does this rule ask anything of a line? Unknown restricted use counts as asked, so that it comes to light.
    pub fn covers(self, line: &ApplicationRecord) -> bool {
        line.kind == ApplicationKind::Pesticide
            && match self {
                Self::UsFederalPrivate | Self::UsFederalCommercial => line.restricted_use != Some(false),
                Self::NewYorkCommercial => true,
            }
    }

    fn items(self, line: &ApplicationRecord) -> &'static [Item] {
        const PRIVATE: &[Item] = &[RESTRICTED, PRODUCT, REGISTRATION, AMOUNT, LOCATION, SITE, CERTIFIED];
        const SPOT: &[Item] = &[RESTRICTED, SPOT_AREA, PRODUCT, REGISTRATION, AMOUNT, LOCATION];
        const COMMERCIAL: &[Item] =
            &[RESTRICTED, CUSTOMER, CUSTOMER_ADDRESS, LOCATION, SITE, TIME, PRODUCT, REGISTRATION, AMOUNT, CERTIFIED];
        const NEW_YORK: &[Item] = &[REGISTRATION, PRODUCT, AMOUNT, ZIP, RATE, METHOD, TARGET];
        match self {
            Self::UsFederalPrivate if line.short_form => SPOT,
            Self::UsFederalPrivate => PRIVATE,
            Self::UsFederalCommercial => COMMERCIAL,
            Self::NewYorkCommercial => NEW_YORK,
        }
    }
}

/// What a line lacks of what the rules ask, each once with all rules that ask for it. Date, area and who applied it stand in every line.
///
/// ```
/// use groundlore_book::applications::ApplicationRecord;
/// use groundlore_book::record_rules::{RecordRule, missing};
/// let line = ApplicationRecord { product: "as typed".into(), restricted_use: Some(false), ..ApplicationRecord::default() };
/// assert!(missing(&[RecordRule::UsFederalCommercial], &line).is_empty(), "it asks of restricted-use products only");
/// assert!(missing(&[RecordRule::NewYorkCommercial], &line).iter().any(|m| m.field == "address"));
/// ```
pub fn missing(rules: &[RecordRule], line: &ApplicationRecord) -> Vec<Missing> {
    let mut found: Vec<Missing> = Vec::new();
    for rule in rules.iter().copied().filter(|rule| rule.covers(line)) {
        for item in rule.items(line).iter().filter(|item| !(item.has)(line)) {
            match found.iter_mut().find(|known| known.field == item.field && known.what == item.what) {
                Some(known) => known.asked_by.push(rule),
                None => found.push(Missing { field: item.field, what: item.what, remedy: item.remedy, asked_by: vec![rule] }),
            }
        }
    }
    found
}

/// Days by which a line was written after a rule's time for it; none where it was in time or the rule sets none.
pub fn days_late(rule: RecordRule, line: &ApplicationRecord) -> Option<i32> {
    let within = rule.write_within_days().filter(|_| rule.covers(line))?;
    let written = jiff::tz::Offset::UTC.to_datetime(line.written_at).date();
    let after = (written - line.date).get_days();
    (after > within).then_some(after - within)
}

/// Reads a list of rules, as `us-federal-commercial, new-york-commercial`.
///
/// # Errors
/// The word that is no rule.
pub fn read_rules(text: &str) -> Result<Vec<RecordRule>, String> {
    let mut rules = Vec::new();
    for word in text.split([',', ' ']).map(str::trim).filter(|word| !word.is_empty()) {
        let rule = RecordRule::of_key(word).ok_or_else(|| word.to_owned())?;
        if !rules.contains(&rule) {
            rules.push(rule);
        }
    }
    Ok(rules)
}
