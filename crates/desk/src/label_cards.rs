//! Label cards: what the user typed from the label in hand. We ship none.

use crate::{Desk, DeskError};
use groundlore_book::label_cards::LabelCard;
use groundlore_book::prices::Price;

impl Desk {
    /// Writes cards into the book; a card of a name that is there already replaces it, and the old one stays in its history.
    ///
    /// # Errors
    /// A card that the book refuses; then none is written.
    pub fn add_label_cards(&mut self, cards: &[LabelCard]) -> Result<usize, DeskError> {
        self.book.write(|tx| {
            for card in cards {
                match tx.label_card_named(&card.name)? {
                    Some(old) => tx.replace_label_card(old.id, card)?,
                    None => tx.add(card)?,
                };
            }
            Ok(())
        })?;
        Ok(cards.len())
    }

    /// Writes rates into the book; a rate of the same item and first day takes the place of the old one.
    ///
    /// # Errors
    /// A rate that the book refuses; then none is written.
    pub fn add_rates(&mut self, rates: &[Price]) -> Result<usize, DeskError> {
        self.book.write(|tx| rates.iter().try_for_each(|rate| tx.set_price(rate).map(|_| ())))?;
        Ok(rates.len())
    }
}
