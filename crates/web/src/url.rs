//! Parts of addresses.

use std::fmt::Write as _;

/// A text as one segment of a path: everything but letters, digits, `-`, `_` and `~` is written as `%XX`.
///
/// ```
/// assert_eq!(groundlore_web::url::segment("Alder Bank 4/5"), "Alder%20Bank%204%2F5");
/// ```
pub fn segment(text: &str) -> String {
    text.bytes().fold(String::with_capacity(text.len()), |mut out, byte| {
        if byte.is_ascii_alphanumeric() || matches!(byte, b'-' | b'_' | b'~') {
            out.push(char::from(byte));
        } else {
            let _ = write!(out, "%{byte:02X}");
        }
        out
    })
}

/// The address of a yard's page, or of a room under it.
pub fn yard(name: &str, room: &str) -> String {
    let room = if room.is_empty() { String::new() } else { format!("/{room}") };
    format!("/yards/{}{room}", segment(name))
}

/// The address of the entry of lore with a key.
pub fn lore(shelf: &str, key: &str) -> String {
    format!("/lore/{shelf}/{}", segment(key))
}
