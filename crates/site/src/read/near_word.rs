//! The nearest word of a list to one that was mistyped.

/// The word of `list` nearest to `word`, where it is near enough to be meant.
pub(crate) fn nearest<'a>(word: &str, list: impl IntoIterator<Item = &'a str>) -> Option<&'a str> {
    let plain: Vec<char> = word.to_lowercase().chars().take(40).collect();
    let allowed = (plain.len() / 3).max(1);
    let near = list.into_iter().map(|known| (changes(&plain, &known.chars().collect::<Vec<_>>()), known)).min_by_key(|(n, _)| *n)?;
    (near.0 <= allowed).then_some(near.1)
}

/// Fewest letters put in, taken out or changed to make one word of the other.
fn changes(a: &[char], b: &[char]) -> usize {
    let mut row: Vec<usize> = (0..=b.len()).collect();
    for (i, x) in a.iter().enumerate() {
        let mut corner = row[0];
        row[0] = i + 1;
        for (j, y) in b.iter().enumerate() {
            let best = (corner + usize::from(x != y)).min(row[j] + 1).min(row[j + 1] + 1);
            corner = row[j + 1];
            row[j + 1] = best;
        }
    }
    row[b.len()]
}

#[cfg(test)]
mod tests {
    use super::nearest;

    #[test]
    fn a_slip_finds_its_word_and_a_stranger_finds_none() {
        let kinds = ["lawn", "bed", "meadow"];
        assert_eq!(nearest("Lown", kinds), Some("lawn"));
        assert_eq!(nearest("medow", kinds), Some("meadow"));
        assert_eq!(nearest("swimming pool", kinds), None);
    }
}
