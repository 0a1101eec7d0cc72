//! A small checker of what every page owes its reader.

use std::collections::BTreeSet;

/// A tag with its attributes.
struct Tag<'a> {
    name: &'a str,
    text: &'a str,
}

impl Tag<'_> {
    fn attribute(&self, name: &str) -> Option<&str> {
        let lead = format!(" {name}=\"");
        let start = self.text.find(&lead)? + lead.len();
        self.text[start..].split('"').next()
    }
}

fn tags(html: &str) -> Vec<Tag<'_>> {
    html.split('<')
        .skip(1)
        .filter_map(|piece| {
            let text = piece.split('>').next()?;
            let name = text.split([' ', '/']).next()?;
            (!name.is_empty()).then_some(Tag { name, text })
        })
        .collect()
}

/// Checks a page: language, title, one heading of the first level and no level left out, a label for every field, no id twice, nothing
/// inline that the policy forbids, nothing from elsewhere.
pub(crate) fn check(html: &str) -> Result<(), String> {
    let tags = tags(html);
    let first = |name: &str| tags.iter().find(|tag| tag.name == name);
    if first("html").and_then(|tag| tag.attribute("lang")) != Some("en") {
        return Err("the page has no language".to_owned());
    }
    if html.split("<title>").nth(1).is_none_or(|rest| rest.starts_with(" ·") || rest.starts_with('<')) {
        return Err("the page has no title".to_owned());
    }
    for landmark in ["header", "main", "footer"] {
        if tags.iter().filter(|tag| tag.name == landmark).count() != 1 {
            return Err(format!("the page has not one {landmark}"));
        }
    }
    headings(&tags)?;
    fields(&tags)?;
    ids(&tags)?;
    nothing_foreign(&tags)
}

fn headings(tags: &[Tag<'_>]) -> Result<(), String> {
    let levels: Vec<u32> = tags.iter().filter_map(|tag| tag.name.strip_prefix('h')?.parse().ok()).collect();
    if levels.iter().filter(|level| **level == 1).count() != 1 || levels.first() != Some(&1) {
        return Err(format!("headings are {levels:?}; one of the first level should lead"));
    }
    match levels.windows(2).find(|pair| pair[1] > pair[0] + 1) {
        Some(pair) => Err(format!("a heading of level {} follows one of level {}", pair[1], pair[0])),
        None => Ok(()),
    }
}

fn fields(tags: &[Tag<'_>]) -> Result<(), String> {
    let labelled: BTreeSet<&str> = tags.iter().filter(|tag| tag.name == "label").filter_map(|tag| tag.attribute("for")).collect();
    for field in tags.iter().filter(|tag| matches!(tag.name, "input" | "select" | "textarea")) {
        let hidden = field.attribute("type") == Some("hidden");
        if !hidden && !field.attribute("id").is_some_and(|id| labelled.contains(id)) {
            return Err(format!("a field has no label: <{}>", field.text));
        }
    }
    for by in tags.iter().filter_map(|tag| tag.attribute("aria-describedby").or_else(|| tag.attribute("aria-labelledby"))) {
        if let Some(lost) = by.split(' ').find(|id| !tags.iter().any(|tag| tag.attribute("id") == Some(id))) {
            return Err(format!("`{lost}` describes or labels something and is not on the page"));
        }
    }
    Ok(())
}

fn ids(tags: &[Tag<'_>]) -> Result<(), String> {
    let mut seen = BTreeSet::new();
    match tags.iter().filter_map(|tag| tag.attribute("id")).find(|id| !seen.insert(*id)) {
        Some(twice) => Err(format!("the id `{twice}` stands twice")),
        None => Ok(()),
    }
}

fn nothing_foreign(tags: &[Tag<'_>]) -> Result<(), String> {
    for tag in tags {
        let inline_script = tag.name == "script" && tag.attribute("src").is_none();
        let handler = tag.text.split(' ').skip(1).any(|part| part.starts_with("on") && part.contains("=\""));
        if inline_script || (handler && tag.name != "option") || tag.attribute("style").is_some() {
            return Err(format!("something inline that the policy forbids: <{}>", tag.text));
        }
        let address = tag.attribute("src").or_else(|| tag.attribute("href")).or_else(|| tag.attribute("action")).unwrap_or("/");
        if !address.starts_with('/') && !address.starts_with('#') {
            return Err(format!("something from elsewhere: <{}>", tag.text));
        }
    }
    Ok(())
}

/// The page without its pictures.
pub(crate) fn without_figures(html: &str) -> String {
    html.split("<svg")
        .enumerate()
        .map(|(place, part)| if place == 0 { part } else { part.split("</svg>").nth(1).unwrap_or_default() })
        .collect()
}
