//! The firm's own rates from a sheet.

use groundlore_quantity::{Kind, Quantity, Unit};

use crate::error::BookError;
use crate::prices::{Price, PriceRule};
use crate::record::Record;
use crate::sheet::{RowFault, SheetColumn, SheetReading, SheetRow, may, needed, read_rows};

/// The columns of a sheet of rates.
pub const COLUMNS: [SheetColumn; 8] =
    [needed("item"), may("unit"), may("cost"), may("rule"), may("share"), may("price"), may("valid_from"), may("note")];

/// Units that are counted rather than measured.
const COUNTED: [&str; 8] = ["each", "visit", "load", "roll", "pallet", "job", "block", "plant"];

/// Reads the firm's rates from a CSV sheet.
///
/// `cost` and `price` are money for a unit (`$14.50/yd3`, `$38/h`) or plain money for one of `unit` (`$45`, with `each`).
/// `rule` is `markup` or `margin` (with `share`, `25%` or `0.25`), `fixed price` (with `price`) or `cost`; left out, it is
/// `fixed price` where a price stands, else `cost`.
///
/// # Errors
/// [`BookError::Rows`] with every wrong row, or, with `skip_bad`, only if no row can be told at all.
///
/// # Example
/// ```
/// let sheet = "item,unit,cost,rule,share\nshredded bark,m3,$14.50/yd3,markup,20%\n";
/// let price = &groundlore_book::read_rates_csv(sheet, "rates.csv", false)?.rows[0];
/// assert!((price.unit_price().unwrap() - 22.758).abs() < 0.001); // 14.50 × 1.307951 × 1.2
/// # Ok::<(), groundlore_book::BookError>(())
/// ```
pub fn read_rates_csv(text: &str, file_name: &str, skip_bad: bool) -> Result<SheetReading<Price>, BookError> {
    let mut seen = std::collections::BTreeSet::new();
    read_rows(text, file_name, &COLUMNS, skip_bad, |row| {
        let price = read_price(row)?;
        price.values().map_err(|error| row.fault("item", error.to_string(), "Compare the row with the others"))?;
        if !seen.insert((price.item.clone(), price.valid_from)) {
            return Err(row.fault("item", "the item stands here twice for the same day", "Keep one, or give the new one a `valid_from`"));
        }
        Ok(price)
    })
}

fn read_price(row: &SheetRow<'_>) -> Result<Price, Box<RowFault>> {
    let cost = money(row, "cost")?;
    let fixed = money(row, "price")?;
    let unit = unit_of(row, cost.as_ref().or(fixed.as_ref()))?;
    let rule = row.word("rule", PriceRule::from_word, &["markup", "margin", "fixed price", "cost"])?;
    let share = row.quantity("share", Kind::Share)?.map(|share| share.si());
    let rule = match (rule, share.is_some(), fixed.is_some()) {
        (Some(rule), ..) => rule,
        (None, true, _) => {
            return Err(row.fault(
                "rule",
                "a share stands here without its rule",
                "Write `markup` (on the cost) or `margin` (of the price)",
            ));
        }
        (None, false, true) => PriceRule::FixedPrice,
        (None, false, false) => PriceRule::Cost,
    };
    Ok(Price {
        id: 0,
        item: row.text("item").unwrap_or_default(),
        cost_text: row.text("cost"),
        cost_per_unit: cost.map(|cost| per_unit(row, "cost", &cost, &unit)).transpose()?,
        rule,
        rule_share: share,
        price_text: row.text("price"),
        price_per_unit: fixed.map(|fixed| per_unit(row, "price", &fixed, &unit)).transpose()?,
        note: row.text("note"),
        valid_from: row.date("valid_from")?,
        unit,
    })
}

fn money(row: &SheetRow<'_>, field: &str) -> Result<Option<Quantity>, Box<RowFault>> {
    let Some(text) = row.cell(field) else { return Ok(None) };
    let remedy = "Write money, or money for a unit: for example $45, $14.50/yd3, $38/h";
    let text = text.strip_suffix(" each").or_else(|| text.strip_suffix("/each")).unwrap_or(text);
    let quantity = Quantity::parse(text).map_err(|error| row.fault(field, error.to_string(), remedy))?;
    if !quantity.unit.is_money() {
        return Err(row.fault(field, "this is not money", remedy));
    }
    if !(quantity.value.is_finite() && quantity.value >= 0.0) {
        return Err(row.fault(field, "money here is 0 or more", remedy));
    }
    Ok(Some(quantity))
}

/// What follows the `/` of a money unit, or `None` for plain money.
fn denominator(quantity: &Quantity) -> Option<String> {
    quantity.unit.to_string().split_once('/').map(|(_, below)| below.to_string())
}

fn unit_of(row: &SheetRow<'_>, amount: Option<&Quantity>) -> Result<String, Box<RowFault>> {
    let Some(unit) = row.cell("unit") else {
        return Ok(amount.and_then(denominator).unwrap_or_else(|| "each".into()));
    };
    if COUNTED.contains(&unit) || Unit::parse(unit).is_ok_and(|unit| !unit.is_none()) {
        return Ok(unit.into());
    }
    Err(row.fault("unit", "this is no unit", format!("Write a unit such as yd3, ft2, h, lb, or one of: {}", COUNTED.join(", "))))
}

/// An amount as money for one of `unit`.
fn per_unit(row: &SheetRow<'_>, field: &str, amount: &Quantity, unit: &str) -> Result<f64, Box<RowFault>> {
    let Some(below) = denominator(amount) else { return Ok(amount.value) };
    if below == unit {
        return Ok(amount.value);
    }
    let sign: String = amount.unit.to_string().chars().take(1).collect();
    amount.in_unit(&format!("{sign}/{unit}")).map_err(|error| {
        row.fault(
            field,
            format!("it cannot be told for one {unit}: {error}"),
            format!("Give money for one {unit}, or change the unit to {below}"),
        )
    })
}
