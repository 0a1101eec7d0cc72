//! Records of pesticide and fertiliser applications. They are append-only, in this program and in the file itself.
//!
//! A mistake stays readable: a correction is a new line that names the old one and says why; a line that never should have
//! been written is struck out by a new one. Each line can be corrected once, so the lines form chains, and the end of each
//! chain is what holds: the *effective* records. Each line carries its own copy of the label card, yard name and address, so
//! that later changes elsewhere cannot change what was recorded.

use jiff::{Timestamp, civil::Date};
use serde_json::Value as Json;

use crate::book::{Reading, Writing};
use crate::error::BookError;
use crate::label_cards::{ActiveIngredient, LabelCard};
use crate::record::{record, refuse, words};

words! {
    /// What was applied.
    pub enum ApplicationKind {
        /// A pesticide, in the wide sense: against insects, weeds, diseases.
        #[default]
        Pesticide = "pesticide",
        /// A fertiliser or soil amendment.
        Fertiliser = "fertiliser",
    }
}

record! {
    /// One line of the record.
    pub struct ApplicationRecord in "application_records" checked by stands_on_its_own {
        /// What was applied.
        kind: ApplicationKind,
        /// The yard.
        yard_id: i64,
        /// The plan that it carried out.
        treatment_id: Option<i64>,
        /// When this line was written.
        written_at: Timestamp,
        /// The day of the application, at the yard.
        date: Date,
        /// When it began.
        started_at: Option<Timestamp>,
        /// When it ended.
        ended_at: Option<Timestamp>,
        /// The yard's name on that day.
        yard_name: String => Filled,
        /// The yard's address on that day.
        yard_address: Option<String>,
        /// The area, by the map's name or feature id.
        area: Option<String>,
        /// The area treated.
        area_m2: f64 => Positive,
        /// The same as the user wrote it.
        area_text: Option<String>,
        /// The label card as it stood, whole.
        label_card: Option<Json>,
        /// The product's name as typed.
        product: String => Filled,
        /// Its registration number as typed.
        registration_number: Option<String>,
        /// Active ingredients.
        active_ingredients: Option<Vec<ActiveIngredient>>,
        /// Fertiliser analysis, as `28-3-6`.
        analysis: Option<String>,
        /// The rate as typed.
        rate_text: Option<String>,
        /// The total amount as typed.
        amount_text: Option<String>,
        /// The total amount by mass.
        amount_kg: Option<f64> => Positive,
        /// The total amount by volume.
        amount_m3: Option<f64> => Positive,
        /// The water that carried it, as typed.
        carrier_text: Option<String>,
        /// The water that carried it.
        carrier_m3: Option<f64> => Positive,
        /// What it was aimed at.
        target: Option<String>,
        /// Who applied it.
        applicator: String => Filled,
        /// That person's licence, as typed.
        licence: Option<String>,
        /// Wind speed.
        wind_m_s: Option<f64> => NotNegative,
        /// Where the wind came from, degrees clockwise from north.
        wind_from_deg: Option<f64> => NotNegative,
        /// Air temperature.
        temperature_c: Option<f64>,
        /// The sky, in words.
        sky: Option<String>,
        /// Re-entry, as on the label.
        reentry_text: Option<String>,
        /// Anything else.
        note: Option<String>,
        /// The line that this one corrects.
        corrects_id: Option<i64>,
        /// Why it corrects it.
        why: Option<String>,
        /// The corrected line never should have been written, and nothing stands in its place.
        strikes_out: bool,
        /// For whom it was done.
        customer_name: Option<String>,
        /// That person's address.
        customer_address: Option<String>,
        /// The crop, plant or kind of place treated, as `home lawn`.
        site: Option<String>,
        /// How it was applied, as `broadcast, rotary spreader`.
        method: Option<String>,
        /// Does the label say that it is for restricted use? Blank is not checked.
        restricted_use: Option<bool>,
        /// The certified applicator who answers for it, where another applied it under supervision.
        certified_applicator: Option<String>,
        /// The number of that certificate.
        certified_number: Option<String>,
        /// Keys of the rules that the line was held to when it was written. Blank: none.
        rules: Option<Vec<String>>,
        /// The short form for a spot treatment, as the user asked.
        short_form: bool,
    }
}

impl ApplicationRecord {
    /// Takes over what a label card says: the card whole, name, number, active ingredients, re-entry.
    ///
    /// # Errors
    /// [`BookError::InvalidValue`] if the card cannot be written as JSON.
    pub fn with_label_card(self, card: &LabelCard) -> Result<ApplicationRecord, BookError> {
        let snapshot = serde_json::to_value(card).map_err(|error| BookError::InvalidValue {
            table: "application_records".into(),
            column: "label_card".into(),
            value: card.name.clone(),
            remedy: format!("The card cannot be copied into the record: {error}"),
        })?;
        Ok(ApplicationRecord {
            label_card: Some(snapshot),
            product: card.name.clone(),
            registration_number: card.registration_number.clone(),
            active_ingredients: card.active_ingredients.clone(),
            reentry_text: card.reentry_text.clone(),
            ..self
        })
    }
}

fn stands_on_its_own(line: &ApplicationRecord) -> Result<(), BookError> {
    let table = "application_records";
    if line.corrects_id.is_some() != line.why.is_some() {
        return refuse(table, "why", "one without the other", "A correction names the old line and says why; a first line has neither");
    }
    if line.why.as_deref().is_some_and(|why| why.trim().is_empty()) {
        return refuse(table, "why", "blank", "Say why the old line is wrong, for example `area was measured again`");
    }
    if line.strikes_out && line.corrects_id.is_none() {
        return refuse(table, "strikes_out", "true", "Name the line that is struck out");
    }
    if let (Some(start), Some(end)) = (line.started_at, line.ended_at)
        && end < start
    {
        return refuse(table, "ended_at", end, "The end comes after the start");
    }
    if let Some(degrees) = line.wind_from_deg.filter(|degrees| *degrees > 360.0) {
        return refuse(table, "wind_from_deg", degrees, "A direction lies between 0 and 360 degrees from north, for example 225");
    }
    if let Some(celsius) = line.temperature_c.filter(|celsius| !(-90.0..=60.0).contains(celsius)) {
        return refuse(table, "temperature_c", celsius, "Give the air temperature in degC, for example 18.5");
    }
    Ok(())
}

impl Reading {
    /// Every line ever written for a yard, in the order of writing.
    ///
    /// # Errors
    /// If the book cannot be read.
    pub fn application_lines_of(&self, yard_id: i64) -> Result<Vec<ApplicationRecord>, BookError> {
        self.rows_where("yard_id = ?1 ORDER BY id", [yard_id])
    }

    /// The lines that hold (corrected and struck-out ones left out) for a yard, by date.
    ///
    /// # Errors
    /// If the book cannot be read.
    pub fn applications_of(&self, yard_id: i64) -> Result<Vec<ApplicationRecord>, BookError> {
        self.rows_from("effective_application_records", "yard_id = ?1 ORDER BY date, id", [yard_id])
    }

    /// The lines that hold for the whole firm between two days, both included, by date.
    ///
    /// # Errors
    /// If the book cannot be read.
    pub fn applications_between(&self, from: Date, to: Date) -> Result<Vec<ApplicationRecord>, BookError> {
        let days = [from.to_string(), to.to_string()];
        self.rows_from("effective_application_records", "date BETWEEN ?1 AND ?2 ORDER BY date, id", days)
    }

    /// A line with the ones that it corrected, newest first.
    ///
    /// # Errors
    /// [`BookError::NotFound`].
    pub fn application_history(&self, id: i64) -> Result<Vec<ApplicationRecord>, BookError> {
        let mut history = vec![self.one::<ApplicationRecord>(id)?];
        while let Some(older) = history.last().and_then(|line| line.corrects_id) {
            history.push(self.one(older)?);
        }
        Ok(history)
    }
}

impl Writing<'_> {
    /// Writes `line` as the correction of line `old_id`, with why, and returns its number.
    ///
    /// # Errors
    /// [`BookError::AppendOnly`] if `old_id` was corrected already: correct the newest line.
    pub fn correct_application(&self, old_id: i64, why: &str, line: &ApplicationRecord) -> Result<i64, BookError> {
        self.one::<ApplicationRecord>(old_id)?;
        self.add(&ApplicationRecord { corrects_id: Some(old_id), why: Some(why.into()), ..line.clone() })
    }

    /// Strikes out line `old_id` (it never happened), with why, and returns the number of the line that does so.
    ///
    /// # Errors
    /// As [`Writing::correct_application`].
    pub fn strike_out_application(&self, old_id: i64, why: &str, written_at: Timestamp) -> Result<i64, BookError> {
        let old = self.one::<ApplicationRecord>(old_id)?;
        self.correct_application(old_id, why, &ApplicationRecord { strikes_out: true, written_at, ..old })
    }
}
