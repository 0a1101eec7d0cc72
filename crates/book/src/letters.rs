//! Letters from owners, what was read in them, and the causes that were found.

use jiff::civil::Date;
use serde_json::Value as Json;

use crate::book::Reading;
use crate::error::BookError;
use crate::record::{Amendable, record, refuse};

record! {
    /// A letter as it came.
    pub struct Letter in "letters" {
        /// The yard, where it is one of ours.
        yard_id: Option<i64>,
        /// Its date.
        date: Date,
        /// Who wrote.
        sender: Option<String>,
        /// The plant or turf that it is about.
        host: Option<String>,
        /// The place in words or coordinates, where there is no yard.
        place: Option<String>,
        /// Its text, as it came.
        text: String,
        /// What was understood.
        findings: Option<Json>,
        /// What was answered.
        answer: Option<Json>,
    }
}
impl Amendable for Letter {}

record! {
    /// A cause named for what a letter or a yard shows.
    pub struct Diagnosis in "diagnoses" checked by belongs_somewhere {
        /// The letter.
        letter_id: Option<i64>,
        /// The yard.
        yard_id: Option<i64>,
        /// The day of the diagnosis.
        date: Date,
        /// The trouble's lore key, or `harmless`, `something else`, or free words.
        trouble: String => Filled,
        /// How likely it was held to be.
        probability: Option<f64> => Share,
        /// Was it confirmed on the ground or in a laboratory?
        confirmed: bool,
        /// By whom or by what.
        confirmed_by: Option<String>,
        /// Anything else.
        note: Option<String>,
    }
}
impl Amendable for Diagnosis {}

record! {
    /// A photo that came with a letter: kept and shown, and nothing claimed from it.
    pub struct LetterPhoto in "letter_photos" {
        /// The letter.
        letter_id: i64,
        /// Its file name.
        name: String => Filled,
        /// Its media type, as `image/jpeg`.
        media_type: String => Filled,
        /// The picture as it came, in base 64 (RFC 4648).
        picture_base64: String => Filled,
    }
}
impl Amendable for LetterPhoto {}

fn belongs_somewhere(diagnosis: &Diagnosis) -> Result<(), BookError> {
    if diagnosis.letter_id.is_none() && diagnosis.yard_id.is_none() {
        return refuse("diagnoses", "letter_id", "blank", "Name the letter or the yard that it is about");
    }
    Ok(())
}

impl Reading {
    /// The letters of a yard, newest first.
    ///
    /// # Errors
    /// If the book cannot be read.
    pub fn letters_of(&self, yard_id: i64) -> Result<Vec<Letter>, BookError> {
        self.rows_where("yard_id = ?1 ORDER BY date DESC, id DESC", [yard_id])
    }

    /// All letters of a span of days, oldest first.
    ///
    /// # Errors
    /// If the book cannot be read.
    pub fn letters_between(&self, first: Date, last: Date) -> Result<Vec<Letter>, BookError> {
        self.rows_where("date BETWEEN ?1 AND ?2 ORDER BY date, id", [first.to_string(), last.to_string()])
    }

    /// A letter of the same day with the same words, where one is kept already.
    ///
    /// # Errors
    /// If the book cannot be read.
    pub fn same_letter(&self, date: Date, text: &str) -> Result<Option<Letter>, BookError> {
        self.first_where("date = ?1 AND text = ?2", [date.to_string(), text.to_owned()])
    }

    /// The photos of a letter, in the order they came.
    ///
    /// # Errors
    /// If the book cannot be read.
    pub fn photos_of_letter(&self, letter_id: i64) -> Result<Vec<LetterPhoto>, BookError> {
        self.rows_where("letter_id = ?1 ORDER BY id", [letter_id])
    }

    /// The yards of the owner with this e-mail address.
    ///
    /// # Errors
    /// If the book cannot be read.
    pub fn yards_of_address(&self, email: &str) -> Result<Vec<crate::yards::Yard>, BookError> {
        self.rows_where("owner_id IN (SELECT id FROM owners WHERE lower(email) = lower(?1)) ORDER BY name", [email])
    }

    /// The diagnoses of a letter, likeliest first.
    ///
    /// # Errors
    /// If the book cannot be read.
    pub fn diagnoses_of_letter(&self, letter_id: i64) -> Result<Vec<Diagnosis>, BookError> {
        self.rows_where("letter_id = ?1 ORDER BY confirmed DESC, probability DESC, id", [letter_id])
    }

    /// The diagnoses of a yard, its letters' included, newest first.
    ///
    /// # Errors
    /// If the book cannot be read.
    pub fn diagnoses_of_yard(&self, yard_id: i64) -> Result<Vec<Diagnosis>, BookError> {
        let condition = "yard_id = ?1 OR letter_id IN (SELECT id FROM letters WHERE yard_id = ?1) ORDER BY date DESC, id DESC";
        self.rows_where(condition, [yard_id])
    }
}
