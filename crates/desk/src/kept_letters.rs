//! Letters that the book keeps, read again as they were answered.

use crate::letters::Answered;
use crate::{Desk, DeskError};
use groundlore_book::letters::Letter as LetterRow;
use groundlore_plant_health::letter::Answer;
use groundlore_sheet::{Block, Sheet};

impl Desk {
    /// A letter of the book with the answer that it was given.
    ///
    /// # Errors
    /// An unknown letter; one whose answer was written by an edition of the program that this one cannot read.
    pub fn kept_letter(&self, letter_id: i64) -> Result<Answered, DeskError> {
        let row: LetterRow = self.book.one(letter_id)?;
        let yard = self.book.yards()?.into_iter().find(|yard| Some(yard.id) == row.yard_id).map(|yard| yard.name);
        let kept = row.answer.unwrap_or_default();
        let known = serde_json::from_value(kept["known"].clone()).unwrap_or_default();
        let answer: Answer = serde_json::from_value(kept).map_err(|why| {
            DeskError::missing(
                format!("the answer kept with letter {letter_id} cannot be read ({why})"),
                "put something right below, or answer it again: the letter itself is kept",
            )
        })?;
        Ok(Answered { letter_id: Some(row.id), yard, date: row.date, text: row.text, known, answer })
    }

    /// A kept letter for people: its answer, the letter as it came, and the names of its photos. An answer that cannot be read leaves the
    /// rest to be read.
    ///
    /// # Errors
    /// An unknown letter; if the book cannot be read.
    pub fn kept_letter_sheet(&self, letter_id: i64) -> Result<Sheet, DeskError> {
        let row: LetterRow = self.book.one(letter_id)?;
        let mut sheet = match self.kept_letter(letter_id) {
            Ok(answered) => self.letter_sheet(&answered),
            Err(why) => self.sheet("letter", "A letter").with(Block::paragraph(why.to_string())),
        };
        sheet.subtitle = Some(format!("Of {}, kept as number {letter_id}", row.date.strftime("%-d %B %Y")));
        sheet.push(Block::heading("The letter as it came"));
        for part in row.text.split("\n\n").map(str::trim).filter(|part| !part.is_empty()) {
            sheet.push(Block::paragraph(part));
        }
        let photos = self.book.photos_of_letter(letter_id)?;
        if !photos.is_empty() {
            let names = photos.iter().map(|photo| photo.name.as_str()).collect::<Vec<_>>().join(", ");
            let so_many = if photos.len() == 1 { "1 photo".to_owned() } else { format!("{} photos", photos.len()) };
            sheet.push(Block::paragraph(format!("{so_many} kept with it: {names}. Nothing is claimed from them.")));
        }
        Ok(sheet)
    }
}
