//! Label cards from a sheet. Every column but `name` may be blank: not checked.

use groundlore_quantity::{Kind, Quantity, Unit};
use jiff::Timestamp;

use crate::error::BookError;
use crate::label_cards::{ActiveIngredient, LabelCard, RateUnit};
use crate::label_rules_sheet::{self, with_rules};
use crate::record::Record;
use crate::sheet::{RowFault, SheetColumn, SheetReading, SheetRow, may, needed, read_rows};

/// The columns of a sheet of label cards.
pub const COLUMNS: [SheetColumn; 51] = with_the_rules();

/// The columns that name and describe a card, with those of [`label_rules_sheet`](crate::label_rules_sheet) after them.
const fn with_the_rules() -> [SheetColumn; 51] {
    let mut all = [may(""); 51];
    let mut place = 0;
    while place < all.len() {
        all[place] = if place < FIRST.len() { FIRST[place] } else { label_rules_sheet::COLUMNS[place - FIRST.len()] };
        place += 1;
    }
    all
}

const FIRST: [SheetColumn; 20] = [
    needed("name"),
    may("registration_number"),
    may("signal_word"),
    may("active_ingredients"),
    may("sites"),
    may("targets"),
    may("rate"),
    may("carrier"),
    may("yearly_limit"),
    may("minimum_interval"),
    may("reentry"),
    may("protective_gear"),
    may("bee_statement"),
    may("water_statement"),
    may("plants_injured"),
    may("watering_in"),
    may("consecutive_run_limit"),
    may("mode_of_action_group"),
    may("entered_by"),
    may("note"),
];

/// Kinds of rate that a label may give.
const RATES: [(Kind, RateUnit); 3] = [
    (Kind::MassPerArea, RateUnit::KilogramPerSquareMetre),
    (Kind::VolumePerArea, RateUnit::CubicMetrePerSquareMetre),
    (Kind::CountPerArea, RateUnit::PiecesPerSquareMetre),
];

/// Reads label cards typed into a CSV sheet.
///
/// Lists (`active_ingredients`, `sites`, `targets`, `plants_injured`) are parted by `;`. A `rate` is one quantity or a range
/// (`3 to 5 lb/1000ft2`); `yearly_limit` is a quantity like the rate or a number of applications (`2 applications`);
/// `minimum_interval` is a time, `watering_in` a depth, `carrier` a volume on an area; `wind`, `gusts` and `temperature` are one figure (the
/// most), `at least` one, or a range; distances are lengths, `rain_free`, `seedling_age` and `reseeding_interval` times; each of these may be
/// words instead, as long as they do not begin with a digit. `none` says that the label was read and says nothing of it. `entered_at` goes into every card.
///
/// # Errors
/// [`BookError::Rows`] with every wrong row, or, with `skip_bad`, only if no row can be told at all.
///
/// # Example
/// ```
/// let sheet = "name,rate,minimum_interval\nDemo card,3 to 5 lb/1000ft2,\n";
/// let cards = groundlore_book::read_label_cards_csv(sheet, "cards.csv", false, Default::default())?.rows;
/// assert!((cards[0].rate_low_si.unwrap() - 0.014_647_3).abs() < 1e-6); // 3 × 0.453592 kg / 92.903 m²
/// assert_eq!(cards[0].minimum_interval_days, None); // not checked
/// # Ok::<(), groundlore_book::BookError>(())
/// ```
pub fn read_label_cards_csv(
    text: &str,
    file_name: &str,
    skip_bad: bool,
    entered_at: Timestamp,
) -> Result<SheetReading<LabelCard>, BookError> {
    read_rows(text, file_name, &COLUMNS, skip_bad, |row| {
        let card = LabelCard { entered_at, ..read_card(row)? };
        card.values().map_err(|error| row.fault("name", error.to_string(), "Compare the row with the label"))?;
        Ok(card)
    })
}

fn read_card(row: &SheetRow<'_>) -> Result<LabelCard, Box<RowFault>> {
    let card = LabelCard {
        name: row.text("name").unwrap_or_default(),
        registration_number: row.text("registration_number"),
        signal_word: row.text("signal_word"),
        active_ingredients: read_active_ingredients(row)?,
        sites: row.list("sites"),
        targets: row.list("targets"),
        rate_text: row.text("rate"),
        carrier_text: row.text("carrier"),
        yearly_limit_text: row.text("yearly_limit"),
        minimum_interval_text: row.text("minimum_interval"),
        minimum_interval_days: measured(row, "minimum_interval", Kind::Time)?.map(|time| time.si() / 86_400.0),
        reentry_text: row.text("reentry"),
        protective_gear: row.text("protective_gear"),
        bee_statement: row.text("bee_statement"),
        water_statement: row.text("water_statement"),
        watering_in_text: row.text("watering_in"),
        watering_in_depth_mm: measured(row, "watering_in", Kind::Length)?.map(|depth| depth.si() * 1000.0),
        consecutive_run_limit: row.whole("consecutive_run_limit")?,
        mode_of_action_group: row.text("mode_of_action_group"),
        entered_by: row.text("entered_by"),
        note: row.text("note"),
        ..LabelCard::default()
    };
    measured(row, "carrier", Kind::VolumePerArea)?;
    with_rules(row, with_yearly_limit(row, with_rate(row, card)?)?)
}

/// A quantity where the cell begins with a number; words are kept as words.
pub(crate) fn measured(row: &SheetRow<'_>, field: &str, kind: Kind) -> Result<Option<Quantity>, Box<RowFault>> {
    if !row.cell(field).is_some_and(begins_with_number) {
        return Ok(None);
    }
    row.quantity(field, kind)?.map(|quantity| not_negative(row, field, quantity)).transpose()
}

pub(crate) fn begins_with_number(text: &str) -> bool {
    text.starts_with(|first: char| first.is_ascii_digit() || matches!(first, '.' | '-' | '½' | '¼' | '¾'))
}

fn not_negative(row: &SheetRow<'_>, field: &str, quantity: Quantity) -> Result<Quantity, Box<RowFault>> {
    if quantity.value >= 0.0 { Ok(quantity) } else { Err(row.fault(field, "it is less than nothing", "Write what the label says")) }
}

/// `prodiamine 0.38%; other name 2%`.
fn read_active_ingredients(row: &SheetRow<'_>) -> Result<Option<Vec<ActiveIngredient>>, Box<RowFault>> {
    let field = "active_ingredients";
    let Some(parts) = row.list(field) else { return Ok(None) };
    parts.iter().map(|part| read_active_ingredient(row, field, part)).collect::<Result<Vec<_>, _>>().map(Some)
}

fn read_active_ingredient(row: &SheetRow<'_>, field: &str, part: &str) -> Result<ActiveIngredient, Box<RowFault>> {
    let Some((name, percent)) = part.strip_suffix('%').and_then(|front| front.trim_end().rsplit_once(' ')) else {
        return Ok(ActiveIngredient { name: part.into(), percent: None });
    };
    let percent = percent.parse::<f64>().ok().filter(|percent| *percent > 0.0 && *percent <= 100.0);
    let Some(percent) = percent else {
        return Err(row.fault(
            field,
            format!("`{part}` has no percentage over 0 and up to 100"),
            "Write name and percent, for example `prodiamine 0.38%`",
        ));
    };
    Ok(ActiveIngredient { name: name.trim().into(), percent: Some(percent) })
}

fn with_rate(row: &SheetRow<'_>, card: LabelCard) -> Result<LabelCard, Box<RowFault>> {
    let Some(text) = row.cell("rate").filter(|text| begins_with_number(text)) else { return Ok(card) };
    let (low, high) = match text.split_once(" to ") {
        Some((low, high)) => (low.trim().to_string(), high.trim()),
        None => (text.to_string(), text),
    };
    let (high_si, unit) = read_rate(row, "rate", high)?;
    let bare = Quantity::parse(&low).is_ok_and(|quantity| quantity.unit.is_none());
    let low = if bare { format!("{low} {}", unit_part(high)) } else { low };
    let (low_si, low_unit) = read_rate(row, "rate", &low)?;
    if low_unit != unit || low_si > high_si {
        return Err(row.fault(
            "rate",
            "the two ends of the range do not go together",
            "Write the lower end first, for example `3 to 5 lb/1000ft2`",
        ));
    }
    Ok(LabelCard { rate_low_si: Some(low_si), rate_high_si: Some(high_si), rate_si_unit: Some(unit), ..card })
}

/// The unit of a quantity's text: what follows its number.
fn unit_part(text: &str) -> String {
    Quantity::parse(text).map(|quantity| quantity.unit.to_string()).unwrap_or_default()
}

fn read_rate(row: &SheetRow<'_>, field: &str, text: &str) -> Result<(f64, RateUnit), Box<RowFault>> {
    let example = "Write mass, volume or number on an area, or a percentage: for example `3 lb/1000ft2`, `1.5 floz/1000ft2`, `2%`";
    let quantity = Quantity::parse(text).map_err(|error| row.fault(field, error.to_string(), example))?;
    let si = quantity.si();
    if !(si.is_finite() && si > 0.0) {
        return Err(row.fault(field, "a rate is more than nothing", example));
    }
    if quantity.unit.is_share() && !quantity.unit.is_none() {
        return Ok((si, RateUnit::Share));
    }
    let found = RATES.iter().find(|(kind, _)| kind.accepts(&quantity.unit));
    found.map(|(_, unit)| (si, *unit)).ok_or_else(|| row.fault(field, format!("{} is no rate", name_of(&quantity.unit)), example))
}

fn name_of(unit: &Unit) -> String {
    if unit.is_none() { "a bare number".into() } else { format!("`{unit}`") }
}

fn with_yearly_limit(row: &SheetRow<'_>, card: LabelCard) -> Result<LabelCard, Box<RowFault>> {
    let field = "yearly_limit";
    let Some(text) = row.cell(field).filter(|text| begins_with_number(text)) else { return Ok(card) };
    if let Some(number) = text.strip_suffix(" applications").or_else(|| text.strip_suffix(" application")) {
        let number = number.trim().parse::<u32>().ok().filter(|number| *number > 0);
        let number = number.ok_or_else(|| row.fault(field, "this is no number of applications", "Write for example `2 applications`"))?;
        return Ok(LabelCard { yearly_limit_applications: Some(number), ..card });
    }
    let (limit, unit) = read_rate(row, field, text)?;
    if card.rate_si_unit.is_some_and(|of_rate| of_rate != unit) {
        return Err(row.fault(field, "the limit is of another kind than the rate", "Write both by mass, or both by volume"));
    }
    Ok(LabelCard { yearly_limit_si: Some(limit), rate_si_unit: Some(unit), ..card })
}
