//! Spells what the fonts can print, and gives long words places to break.

use crate::case::CASE;
use std::fmt::Write as _;

/// Letters of a word after which a place to break is given.
const LONGEST_RUN: usize = 24;
/// A place to break that is not seen (U+200B).
const BREAK: char = '\u{200b}';

/// Spells a text for paper.
///
/// A letter that no font has is printed by its number (`[U+1F41B]`), so that it is neither lost nor an empty box. Control signs other
/// than a new line go; a tab becomes a space. Straight apostrophes and paired quotation marks become round ones beside letters, not
/// beside figures (`5'`, `12"` are feet and inches).
pub(crate) fn spell(text: &str) -> String {
    let mut out = String::with_capacity(text.len() + 8);
    let mut run = 0;
    let mut before = None;
    let mut quote_open = false;
    let mut rest = text.chars().peekable();
    while let Some(letter) = rest.next() {
        let after = rest.peek().copied();
        match letter {
            '\r' if after == Some('\n') => continue,
            '\n' | '\r' | '\u{2028}' | '\u{2029}' | '\u{0b}' | '\u{0c}' | '\u{85}' => out.push('\n'),
            '\t' => out.push(' '),
            '\'' if is_letter(before) && is_letter(after) => out.push('\u{2019}'),
            '"' if !quote_open && opens(before) && is_letter(after) => {
                quote_open = true;
                out.push('\u{201c}');
            }
            '"' if quote_open && !before.is_some_and(char::is_numeric) => {
                quote_open = false;
                out.push('\u{201d}');
            }
            unseen if is_unseen(unseen) => continue,
            ' '..='~' => out.push(letter),
            printed if CASE.has(printed) && !is_private(printed) => out.push(printed),
            missing => {
                let _ = write!(out, "[U+{:04X}]", u32::from(missing));
            }
        }
        run = if letter.is_whitespace() { 0 } else { run + 1 };
        if run >= LONGEST_RUN || (run > 6 && letter == '/' && after != Some('/')) {
            out.push(BREAK);
            run = 0;
        }
        before = Some(letter);
    }
    out
}

fn is_letter(letter: Option<char>) -> bool {
    letter.is_some_and(char::is_alphabetic)
}

fn opens(before: Option<char>) -> bool {
    before.is_none_or(|letter| letter.is_whitespace() || matches!(letter, '(' | '[' | '–' | '—'))
}

/// Signs that steer and are not seen: controls, joiners, direction marks, variation selectors, noncharacters.
fn is_unseen(letter: char) -> bool {
    letter.is_control()
        || matches!(
            u32::from(letter),
            0xad | 0x034f | 0x061c | 0x180b..=0x180f | 0x200b..=0x200f | 0x202a..=0x202e | 0x2060..=0x206f | 0xfe00..=0xfe0f | 0xfeff
                | 0xfff0..=0xfffb | 0xfffe | 0xffff | 0xe0000..=0xe0fff
        )
}

fn is_private(letter: char) -> bool {
    matches!(u32::from(letter), 0xe000..=0xf8ff | 0xf0000..=0x10_ffff)
}

#[cfg(test)]
mod tests {
    use super::spell;

    #[test]
    fn apostrophes_and_quotes_are_round_beside_letters_only() {
        assert_eq!(spell("the owner's \"brown patch\", 5' 3\" wide"), "the owner’s “brown patch”, 5' 3\" wide");
    }

    #[test]
    fn a_letter_no_font_has_is_printed_by_its_number() {
        assert_eq!(spell("grub 🐛\u{fe0f} here\u{7}"), "grub [U+1F41B] here");
        assert_eq!(spell("≥ 2 ft² · ½ in → 40 °F – é ñ"), "≥ 2 ft² · ½ in → 40 °F – é ñ");
    }

    #[test]
    fn a_long_word_gets_places_to_break() {
        assert_eq!(spell(&"a".repeat(50)).matches('\u{200b}').count(), 2);
        assert_eq!(spell("one\r\ntwo\tthree"), "one\ntwo three");
    }
}
