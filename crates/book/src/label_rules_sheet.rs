//! What else a label rules, from the cells of a sheet of cards: weather, people, turf, seedlings, roots, clippings, mixing, disposal.
//!
//! Each cell that begins with a number must be a quantity of its kind; any other words are kept as words; `none` says that the label was
//! read and says nothing of it; a blank is not checked.

use groundlore_quantity::{Kind, Quantity};

use crate::label_cards::{ApplicatorRule, BloomLimit, InversionRule, LabelCard, LeafRule, SoilMoistureRule, droplet_range, says_nothing};
use crate::label_cards_sheet::{begins_with_number, measured};
use crate::sheet::{RowFault, SheetColumn, SheetRow, may};

/// The columns.
pub(crate) const COLUMNS: [SheetColumn; 31] = [
    may("label_edition"),
    may("mode_of_action_edition"),
    may("formulation"),
    may("people_statement"),
    may("applicator"),
    may("bloom_limit"),
    may("water_distance"),
    may("well_distance"),
    may("wind"),
    may("gusts"),
    may("temperature"),
    may("rain_free"),
    may("leaves"),
    may("inversion"),
    may("droplets"),
    may("turf_allowed"),
    may("turf_injured"),
    may("seedling_age"),
    may("reseeding_interval"),
    may("tree_roots"),
    may("clippings"),
    may("compost"),
    may("mixing_order"),
    may("mixing_distance"),
    may("backflow"),
    may("rinsing"),
    may("disposal"),
    may("posting"),
    may("soil_temperature"),
    may("soil_moisture"),
    may("age_limit"),
];

/// The card with the rules of a row.
pub(crate) fn with_rules(row: &SheetRow<'_>, card: LabelCard) -> Result<LabelCard, Box<RowFault>> {
    let metres = |field: &str| Ok::<_, Box<RowFault>>(measured(row, field, Kind::Length)?.map(|length| length.si()));
    let days = |field: &str| Ok::<_, Box<RowFault>>(measured(row, field, Kind::Time)?.map(|time| time.si() / 86_400.0));
    let hours = |field: &str| Ok::<_, Box<RowFault>>(measured(row, field, Kind::Time)?.map(|time| time.si() / 3_600.0));
    let wind = range(row, "wind", Kind::Speed, |quantity| Some(quantity.si()))?;
    let temperature = range(row, "temperature", Kind::Temperature, Quantity::celsius)?;
    let soil = range(row, "soil_temperature", Kind::Temperature, Quantity::celsius)?;
    if let Some(text) = row.cell("droplets").filter(|text| !says_nothing(text))
        && droplet_range(text).is_none()
    {
        return Err(row.fault(
            "droplets",
            "this is no droplet class",
            "Write a class or a range of the standard, as `coarse` or `medium to very coarse`: extremely fine, very fine, fine, medium, coarse, very coarse, extremely coarse, ultra coarse",
        ));
    }
    Ok(LabelCard {
        label_edition: row.text("label_edition"),
        mode_of_action_edition: row.text("mode_of_action_edition"),
        formulation: row.text("formulation"),
        reentry_h: reentry_hours(row)?,
        people_statement: row.text("people_statement"),
        applicator_rule: row.word("applicator", ApplicatorRule::from_word, &["licensed", "anyone"])?,
        bloom_limit: row.word("bloom_limit", BloomLimit::from_word, &["forbidden", "not while bees forage", "none"])?,
        water_distance_text: row.text("water_distance"),
        water_distance_m: metres("water_distance")?,
        well_distance_text: row.text("well_distance"),
        well_distance_m: metres("well_distance")?,
        wind_text: row.text("wind"),
        wind_low_m_s: wind.0,
        wind_high_m_s: wind.1,
        gust_text: row.text("gusts"),
        gust_high_m_s: measured(row, "gusts", Kind::Speed)?.map(|speed| speed.si()),
        temperature_text: row.text("temperature"),
        temperature_low_c: temperature.0,
        temperature_high_c: temperature.1,
        rain_free_text: row.text("rain_free"),
        rain_free_h: hours("rain_free")?,
        leaves: row.word("leaves", LeafRule::from_word, &["dry", "wet", "none"])?,
        inversion: row.word("inversion", InversionRule::from_word, &["forbidden", "none"])?,
        droplets_text: row.text("droplets"),
        turf_allowed: list_or_none(row, "turf_allowed"),
        turf_injured: list_or_none(row, "turf_injured"),
        plants_injured: list_or_none(row, "plants_injured"),
        seedling_age_text: row.text("seedling_age"),
        seedling_age_days: if mowings(row, "seedling_age") { None } else { days("seedling_age")? },
        reseeding_text: row.text("reseeding_interval"),
        reseeding_days: days("reseeding_interval")?,
        tree_roots_text: row.text("tree_roots"),
        tree_roots_m: metres("tree_roots")?,
        clippings_text: row.text("clippings"),
        compost_text: row.text("compost"),
        mixing_order_text: row.text("mixing_order"),
        mixing_distance_text: row.text("mixing_distance"),
        mixing_distance_m: metres("mixing_distance")?,
        backflow_text: row.text("backflow"),
        rinsing_text: row.text("rinsing"),
        disposal_text: row.text("disposal"),
        posting_text: row.text("posting"),
        soil_temperature_text: row.text("soil_temperature"),
        soil_temperature_low_c: soil.0,
        soil_temperature_high_c: soil.1,
        soil_moisture: row.word("soil_moisture", SoilMoistureRule::from_word, &["moist", "none"])?,
        age_limit_text: row.text("age_limit"),
        age_limit_days: days("age_limit")?,
        ..card
    })
}

/// Re-entry in hours where the whole cell is a time (`12 h`); `4 h and until dry` stays words.
fn reentry_hours(row: &SheetRow<'_>) -> Result<Option<f64>, Box<RowFault>> {
    let Some(text) = row.cell("reentry") else { return Ok(None) };
    let Ok(quantity) = Quantity::parse_as(text, Kind::Time) else { return Ok(None) };
    if quantity.value < 0.0 {
        return Err(row.fault("reentry", "it is less than nothing", "Write what the label says"));
    }
    Ok(Some(quantity.si() / 3_600.0))
}

/// `3 mowings`: a number of mowings, which is no time.
fn mowings(row: &SheetRow<'_>, field: &str) -> bool {
    row.cell(field).is_some_and(|text| text.to_lowercase().contains("mowing"))
}

/// A list; `none` is a list of nothing: read, and none named.
fn list_or_none(row: &SheetRow<'_>, field: &str) -> Option<Vec<String>> {
    let list = row.list(field)?;
    Some(if list.len() == 1 && says_nothing(&list[0]) { Vec::new() } else { list })
}

/// Low and high of `3 to 10 mph`; one figure is the high one (`10 mph`), `at least 50 degF` the low one.
fn range(
    row: &SheetRow<'_>,
    field: &str,
    kind: Kind,
    figure: impl Fn(&Quantity) -> Option<f64>,
) -> Result<(Option<f64>, Option<f64>), Box<RowFault>> {
    let Some(text) = row.cell(field) else { return Ok((None, None)) };
    let lowest = text.strip_prefix("at least ");
    let highest = text.strip_prefix("at most ").or_else(|| text.strip_prefix("up to "));
    let figures = lowest.or(highest).unwrap_or(text).trim();
    if !begins_with_number(figures) {
        return Ok((None, None));
    }
    let read = |text: &str| {
        let quantity = row.as_quantity(field, text, kind)?;
        let value = figure(&quantity).unwrap_or(f64::NAN);
        let sound = value.is_finite() && (kind != Kind::Speed || value >= 0.0);
        if sound { Ok(value) } else { Err(row.fault(field, "this figure cannot be", "Write what the label says")) }
    };
    let Some((low, high)) = figures.split_once(" to ") else {
        let value = Some(read(figures)?);
        return Ok(if lowest.is_some() { (value, None) } else { (None, value) });
    };
    let (low, high) = (low.trim(), high.trim());
    let unit = Quantity::parse(high).map(|quantity| quantity.unit.to_string()).unwrap_or_default();
    let bare = Quantity::parse(low).is_ok_and(|quantity| quantity.unit.is_none());
    let low = if bare { read(&format!("{low} {unit}"))? } else { read(low)? };
    let high = read(high)?;
    if low > high {
        return Err(row.fault(
            field,
            "the two ends of the range do not go together",
            "Write the lower end first, for example `3 to 10 mph`",
        ));
    }
    Ok((Some(low), Some(high)))
}
