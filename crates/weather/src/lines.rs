//! Lines and cells of a text file.
//!
//! Each line is split by itself, because no weather cell runs over a line: an open quote then costs one line and not the rest of the
//! file. Within a line the quoting is that of RFC 4180.

use std::borrow::Cow;

/// The lines of a text with their numbers from 1: `\n`, `\r\n` or `\r` ends a line, and a byte-order mark in front is dropped.
pub(crate) fn numbered_lines(text: &str) -> impl Iterator<Item = (u64, &str)> {
    let text = text.strip_prefix('\u{feff}').unwrap_or(text);
    let end = if text.contains('\n') { '\n' } else { '\r' };
    text.split(end).map(|line| line.trim_end_matches('\r')).zip(1..).map(|(line, number)| (number, line))
}

/// A quote that is opened and not closed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct OpenQuote;

/// The cells of a line parted by commas, blanks around them dropped, doubled quotes inside quotes made single.
pub(crate) fn cells(line: &str) -> Result<Vec<Cow<'_, str>>, OpenQuote> {
    if !line.contains('"') {
        return Ok(line.split(',').map(|cell| Cow::Borrowed(cell.trim())).collect());
    }
    let mut found = Vec::new();
    let mut rest = line;
    loop {
        let (cell, after) = first_cell(rest)?;
        found.push(cell);
        match after {
            Some(after) => rest = after,
            None => return Ok(found),
        }
    }
}

/// The first cell of a line and what comes after its comma, if there is one.
fn first_cell(line: &str) -> Result<(Cow<'_, str>, Option<&str>), OpenQuote> {
    let start = line.trim_start();
    let Some(quoted) = start.strip_prefix('"') else {
        return Ok(match line.split_once(',') {
            Some((cell, after)) => (Cow::Borrowed(cell.trim()), Some(after)),
            None => (Cow::Borrowed(line.trim()), None),
        });
    };
    let mut cell = String::new();
    let mut rest = quoted;
    loop {
        let (part, after) = rest.split_once('"').ok_or(OpenQuote)?;
        cell.push_str(part);
        if let Some(more) = after.strip_prefix('"') {
            cell.push('"');
            rest = more;
            continue;
        }
        // What stands between the closing quote and the comma belongs to the cell, so that nothing is lost unseen.
        let (tail, next) = after.split_once(',').map_or((after, None), |(tail, next)| (tail, Some(next)));
        cell.push_str(tail.trim_end());
        return Ok((Cow::Owned(cell.trim().to_owned()), next));
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;

    #[test]
    fn quotes_hold_commas_and_doubled_quotes() {
        assert_eq!(cells(r#"a,"b, c","d ""e""",,"f""#).unwrap(), ["a", "b, c", "d \"e\"", "", "f"]);
        assert_eq!(cells("a, b ,").unwrap(), ["a", "b", ""]);
        assert_eq!(cells("\"a"), Err(OpenQuote));
        assert_eq!(cells("\"a\"b,c").unwrap(), ["ab", "c"]);
    }

    #[test]
    fn lines_end_in_any_of_the_three_ways_and_a_byte_order_mark_is_dropped() {
        for text in ["a\nb\nc", "\u{feff}a\r\nb\r\nc", "a\rb\rc"] {
            assert_eq!(numbered_lines(text).collect::<Vec<_>>(), [(1, "a"), (2, "b"), (3, "c")]);
        }
    }
}
