//! From what the TOML reader says to what a person should write.

/// A reader's message turned into plain words.
pub(crate) struct Advice {
    pub(crate) wrong: String,
    pub(crate) remedy: String,
    /// The field that is missing, if that is the fault.
    pub(crate) missing: Option<String>,
}

/// Lines that would be right, by field.
const EXAMPLES: &[(&str, &str)] = &[
    ("key", "key = \"dollar-spot\""),
    ("name", "name = \"dollar spot\""),
    ("region", "region = \"cool-season lawns of eastern North America\""),
    ("reviewed", "reviewed = \"2026-11-25\""),
    ("prior", "prior = { low = 0.02, high = 0.1, source = \"memory\" }"),
    ("background", "background = { low = 0.05, high = 0.2, source = \"memory\" }"),
    ("source", "source = \"memory\""),
    ("site_source", "site_source = \"memory\""),
    ("effort", "effort = \"5 min\""),
    ("time", "time = { low = \"30 min\", high = \"60 min\", source = \"common practice\" }"),
    ("height", "height = { low = \"2 ft\", high = \"3 ft\", source = \"memory\" }"),
    ("spread", "spread = { low = \"1 ft\", high = \"2 ft\", source = \"memory\" }"),
    ("spacing", "spacing = { low = \"12 in\", high = \"18 in\", source = \"memory\" }"),
    ("control", "control = { low = 0.5, high = 0.9, source = \"memory\" }"),
    ("factor", "factor = { low = 2.0, high = 5.0, source = \"memory\" }"),
    ("low", "low = 0.2"),
    ("high", "high = 0.6"),
    ("needs_label", "needs_label = true"),
    ("said_as", "said_as = [\"turf lifts\", \"rolls up|back carpet\"]"),
    ("class", "class = \"practice\""),
    ("rotation", "rotation = \"exempt\""),
    ("targets", "targets = []"),
    ("cautions", "cautions = []"),
];

/// Puts a message of the TOML reader into plain words.
pub(crate) fn of_serde(message: &str) -> Advice {
    let message = message.lines().next().unwrap_or_default();
    let words = quoted(message);
    let first = words.first().copied().unwrap_or_default();
    if message.starts_with("missing field") {
        let example = EXAMPLES.iter().find(|(field, _)| *field == first).map(|(_, line)| (*line).to_owned());
        let remedy = example.map_or_else(|| format!("Add a line `{first} = …`."), |line| format!("Add it, for example `{line}`."));
        return Advice { wrong: "this field is missing".into(), remedy, missing: Some(first.to_owned()) };
    }
    if message.starts_with("unknown field") || message.starts_with("unknown variant") {
        let known = words.get(1..).unwrap_or_default();
        let what = if message.starts_with("unknown field") { "field" } else { "word" };
        return Advice { wrong: format!("the {what} `{first}` is not known here"), remedy: choose(first, known), missing: None };
    }
    let remedy = if message.contains("expected f64") || message.contains("expected floating") {
        "Write a bare number, for example `0.3`.".into()
    } else if message.contains("expected a boolean") {
        "Write `true` or `false`.".into()
    } else if message.contains("expected a string") || message.contains("expected string") {
        "Write it in double quotes, for example `\"30 min\"`.".into()
    } else if message.contains("expected a sequence") {
        "Write a list in square brackets, for example `[\"lawn\"]`.".into()
    } else if message.contains("struct QuantityRange") {
        "Write `{ low = \"5 ft\", high = \"7 ft\", source = \"memory\" }`.".into()
    } else if message.contains("struct ShareRange") {
        "Write `{ low = 0.5, high = 0.8, source = \"memory\" }`.".into()
    } else {
        "See CONTRIBUTING.md for what an entry holds.".into()
    };
    Advice { wrong: message.trim_end_matches('.').to_owned(), remedy, missing: None }
}

fn choose(word: &str, known: &[&str]) -> String {
    let list = known.iter().map(|word| format!("`{word}`")).collect::<Vec<_>>().join(", ");
    let nearest = known.iter().map(|candidate| (distance(word, candidate), *candidate)).min();
    match nearest {
        Some((steps, near)) if steps <= 3 => format!("Did you mean `{near}`? Known: {list}."),
        _ if known.is_empty() => "Take it out.".into(),
        _ => format!("Use one of {list}."),
    }
}

/// The parts of a message between backticks.
fn quoted(message: &str) -> Vec<&str> {
    message.split('`').skip(1).step_by(2).collect()
}

/// Least number of letters to put in, take out or change to make one word of the other (Levenshtein 1966).
fn distance(a: &str, b: &str) -> usize {
    let b: Vec<char> = b.chars().collect();
    let mut row: Vec<usize> = (0..=b.len()).collect();
    for (i, ca) in a.chars().enumerate() {
        let mut diagonal = row[0];
        row[0] = i + 1;
        for (j, cb) in b.iter().enumerate() {
            let changed = diagonal + usize::from(ca != *cb);
            diagonal = row[j + 1];
            row[j + 1] = changed.min(row[j] + 1).min(diagonal + 1);
        }
    }
    row[b.len()]
}

/// The nearest of some known words, if it is near enough to be a slip of the pen.
pub(crate) fn nearest<'a>(word: &str, known: impl Iterator<Item = &'a String>) -> Option<&'a str> {
    known.map(|candidate| (distance(word, candidate), candidate.as_str())).min().filter(|(steps, _)| *steps <= 4).map(|(_, near)| near)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn kitten_is_three_letters_from_sitting() {
        assert_eq!(distance("kitten", "sitting"), 3);
    }

    #[test]
    fn a_slip_of_the_pen_is_put_right() {
        let advice = of_serde("unknown field `reviewd`, expected one of `region`, `reviewed`");
        assert!(advice.remedy.starts_with("Did you mean `reviewed`?"), "{}", advice.remedy);
    }
}
