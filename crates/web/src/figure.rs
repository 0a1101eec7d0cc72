//! A picture inside a page: it takes the width it is given, keeps its shape, and says what it shows.

/// Makes an SVG document fit the page: width and height go (the `viewBox` stays), the alternative text becomes its label, and its ids
/// are marked, since a page may hold several pictures.
pub(crate) fn responsive(svg: &str, alt: &str, mark: &str) -> String {
    let svg = svg.find("<svg").map_or(svg, |start| &svg[start..]);
    let Some(end) = svg.find('>') else { return String::new() };
    let (tag, rest) = svg.split_at(end);
    let tag = without(&without(&without(&without(tag, "width"), "height"), "role"), "aria-label");
    let body = rest
        .replace(" id=\"", &format!(" id=\"{mark}"))
        .replace("url(#", &format!("url(#{mark}"))
        .replace("href=\"#", &format!("href=\"#{mark}"));
    format!("{tag} role=\"img\" aria-label=\"{}\" focusable=\"false\"{body}", escaped(alt))
}

/// The tag without an attribute.
fn without(tag: &str, attribute: &str) -> String {
    let lead = format!(" {attribute}=\"");
    let Some(start) = tag.find(&lead) else { return tag.to_owned() };
    let value = start + lead.len();
    let Some(close) = tag[value..].find('"') else { return tag.to_owned() };
    format!("{}{}", &tag[..start], &tag[value + close + 1..])
}

fn escaped(text: &str) -> String {
    text.replace('&', "&amp;").replace('<', "&lt;").replace('>', "&gt;").replace('"', "&quot;")
}
