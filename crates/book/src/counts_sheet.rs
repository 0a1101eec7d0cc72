//! Scouting counts from a sheet.

use groundlore_quantity::{Kind, Quantity};

use crate::counts::Count;
use crate::error::BookError;
use crate::record::Record;
use crate::sheet::{RowFault, SheetColumn, SheetReading, SheetRow, may, needed, read_rows};

/// The columns of a sheet of counts.
pub const COLUMNS: [SheetColumn; 15] = [
    needed("date"),
    needed("trouble"),
    needed("count"),
    may("sample"),
    may("area"),
    may("species"),
    may("stage"),
    may("stratum"),
    may("method"),
    may("latitude"),
    may("longitude"),
    may("who"),
    may("note"),
    may("out_of"),
    may("nights"),
];

/// Samples that are counted rather than measured.
const COUNTED: [&str; 24] = [
    "leaf", "leaves", "leaflet", "leaflets", "shoot", "shoots", "plant", "plants", "branch", "branches", "twig", "twigs", "flower",
    "flowers", "beat", "beats", "tap", "taps", "sweep", "sweeps", "trap", "traps", "flap", "flaps",
];

/// Reads scouting counts from a CSV sheet; each becomes a [`Count`] without a session.
///
/// `sample` is the area looked at (`1 ft2`, `0.25 m2`) or a counted sample (`10 leaves`, `1 trap`); blank is unknown.
///
/// # Errors
/// [`BookError::Rows`] with every wrong row, or, with `skip_bad`, only if no row can be told at all.
///
/// # Example
/// ```
/// let sheet = "date,trouble,count,sample\n2015-08-14,white-grub,7,1 ft2\n2015-08-14,white-grub,many,1 ft2\n";
/// let reading = groundlore_book::read_counts_csv(sheet, "counts.csv", true)?;
/// assert_eq!(reading.rows[0].count, 7);
/// assert_eq!(reading.skipped[0].line, 3);
/// # Ok::<(), groundlore_book::BookError>(())
/// ```
pub fn read_counts_csv(text: &str, file_name: &str, skip_bad: bool) -> Result<SheetReading<Count>, BookError> {
    read_rows(text, file_name, &COLUMNS, skip_bad, |row| {
        let count = read_count(row)?;
        count.values().map_err(|error| row.fault("count", error.to_string(), "Compare the row with the sheet from the ground"))?;
        Ok(count)
    })
}

fn read_count(row: &SheetRow<'_>) -> Result<Count, Box<RowFault>> {
    let (latitude, longitude) = (row.degrees("latitude", 90.0)?, row.degrees("longitude", 180.0)?);
    if latitude.is_some() != longitude.is_some() {
        let blank = if latitude.is_some() { "longitude" } else { "latitude" };
        return Err(row.fault(blank, "a place needs both latitude and longitude", "Fill in both, or neither"));
    }
    Ok(Count {
        date: row.date("date")?.unwrap_or_default(),
        trouble: row.text("trouble").unwrap_or_default(),
        count: row.whole("count")?.unwrap_or_default(),
        sample_area_m2: sample_area_m2(row)?,
        sample_text: row.text("sample"),
        area: row.text("area"),
        species: row.text("species"),
        stage: row.text("stage"),
        stratum: row.text("stratum"),
        method: row.text("method"),
        latitude,
        longitude,
        who: row.text("who"),
        note: row.text("note"),
        out_of: row.whole("out_of")?,
        nights: nights(row)?,
        ..Count::default()
    })
}

/// Nights that a trap stood; blank for what is no trap.
fn nights(row: &SheetRow<'_>) -> Result<Option<f64>, Box<RowFault>> {
    let Some(text) = row.cell("nights") else { return Ok(None) };
    match text.parse::<f64>() {
        Ok(nights) if nights > 0.0 && nights.is_finite() => Ok(Some(nights)),
        _ => Err(row.fault(
            "nights",
            "this is no number of nights",
            "Write the nights that the trap stood, for example 3; blank for no trap",
        )),
    }
}

/// The area looked at, or `None` for a counted sample or a blank.
fn sample_area_m2(row: &SheetRow<'_>) -> Result<Option<f64>, Box<RowFault>> {
    let field = "sample";
    let Some(text) = row.cell(field) else { return Ok(None) };
    let remedy = "Write the area looked at, for example `1 ft2`, or what was looked at, for example `10 leaves`";
    let lower = text.to_lowercase();
    if let Some(number) = COUNTED.iter().find_map(|word| lower.strip_suffix(word)) {
        let number = number.trim();
        let some = number.is_empty() || number.parse::<f64>().is_ok_and(|number| number > 0.0 && number.is_finite());
        return if some { Ok(None) } else { Err(row.fault(field, "the number of this sample cannot be read", remedy)) };
    }
    let area = Quantity::parse_as(text, Kind::Area).map_err(|error| row.fault(field, error.to_string(), remedy))?.si();
    if area.is_finite() && area > 0.0 { Ok(Some(area)) } else { Err(row.fault(field, "an area looked at is more than nothing", remedy)) }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;

    #[test]
    fn shares_and_nights_are_read_and_impossible_ones_named() {
        let head = "date,trouble,count,sample,out_of,nights\n";
        let read = |row: &str| read_counts_csv(&format!("{head}{row}\n"), "counts.csv", false);
        let share = read("2015-08-14,crabgrass,7,1 ft2,25,").unwrap().rows[0].clone();
        assert_eq!((share.out_of, share.nights), (Some(25), None));
        let trap = read("2015-08-14,slugs,12,5 traps,,2").unwrap().rows[0].clone();
        assert_eq!((trap.out_of, trap.nights), (None, Some(2.0)));
        let said = |row: &str| read(row).unwrap_err().to_string();
        assert!(said("2015-08-14,crabgrass,26,1 ft2,25,").contains("25"));
        assert!(said("2015-08-14,slugs,12,5 traps,,none").contains("nights"));
    }
}
