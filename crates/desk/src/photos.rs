//! Photos that came with letters: told apart by their first bytes, measured, kept once, and shown. Nothing is claimed from them.

use crate::inbox::Inbox;
use crate::{Desk, DeskError};
use base64::Engine as _;
use base64::engine::general_purpose::STANDARD as BASE64;
use groundlore_plant_health::letter::mail::{LARGEST_PHOTO, Photo};

/// Most photos of one letter.
pub const MOST_PHOTOS: usize = 24;
/// What stands for a photo where it cannot be seen.
pub const ALT: &str = "photo sent with the letter; nothing is claimed from it";

/// A photo in the book, without its bytes.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct KeptPhoto {
    /// Number in the book.
    pub id: i64,
    /// File name as it came.
    pub name: String,
    /// Media type by its first bytes; none where they are no picture's that is known here.
    pub media_type: Option<&'static str>,
    /// Width and height in pixels, where the file tells them.
    pub size: Option<(u32, u32)>,
}

/// Media type of a picture by its first bytes: JPEG, PNG, GIF, WebP, AVIF and HEIC.
///
/// ```
/// # use groundlore_desk::photos::picture_kind;
/// assert_eq!(picture_kind(b"GIF89a\x02\x00\x01\x00"), Some("image/gif"));
/// assert_eq!(picture_kind(b"<svg onload='x()'>"), None);
/// ```
pub fn picture_kind(bytes: &[u8]) -> Option<&'static str> {
    let brand = || (bytes.get(4..8) == Some(b"ftyp")).then(|| bytes.get(8..12)).flatten();
    if bytes.starts_with(&[0xff, 0xd8, 0xff]) {
        Some("image/jpeg")
    } else if bytes.starts_with(b"\x89PNG\r\n\x1a\n") {
        Some("image/png")
    } else if bytes.starts_with(b"GIF87a") || bytes.starts_with(b"GIF89a") {
        Some("image/gif")
    } else if bytes.starts_with(b"RIFF") && bytes.get(8..12) == Some(b"WEBP") {
        Some("image/webp")
    } else {
        match brand()? {
            b"avif" | b"avis" => Some("image/avif"),
            b"heic" | b"heix" | b"heim" | b"heis" | b"hevc" | b"hevx" | b"mif1" | b"msf1" => Some("image/heic"),
            _ => None,
        }
    }
}

/// Width and height in pixels of a JPEG, PNG, GIF or WebP file (ISO/IEC 10918-1, ISO/IEC 15948, GIF89a, RFC 9649); none where they
/// cannot be read. A JPEG that says it lies on its side is measured as it is shown.
pub fn picture_size(bytes: &[u8]) -> Option<(u32, u32)> {
    let size = match picture_kind(bytes)? {
        "image/png" => (big(bytes.get(16..20)?), big(bytes.get(20..24)?)),
        "image/gif" => (little(bytes.get(6..8)?), little(bytes.get(8..10)?)),
        "image/webp" => webp_size(bytes)?,
        "image/jpeg" => jpeg_size(bytes)?,
        _ => return None,
    };
    (size.0 > 0 && size.1 > 0).then_some(size)
}

fn big(bytes: &[u8]) -> u32 {
    bytes.iter().fold(0, |sum, byte| (sum << 8) | u32::from(*byte))
}

fn little(bytes: &[u8]) -> u32 {
    bytes.iter().rev().fold(0, |sum, byte| (sum << 8) | u32::from(*byte))
}

fn webp_size(bytes: &[u8]) -> Option<(u32, u32)> {
    match bytes.get(12..16)? {
        b"VP8X" => Some((little(bytes.get(24..27)?) + 1, little(bytes.get(27..30)?) + 1)),
        b"VP8 " => Some((little(bytes.get(26..28)?) & 0x3fff, little(bytes.get(28..30)?) & 0x3fff)),
        b"VP8L" => {
            let bits = little(bytes.get(21..25)?);
            Some(((bits & 0x3fff) + 1, ((bits >> 14) & 0x3fff) + 1))
        }
        _ => None,
    }
}

/// Walks the segments of a JPEG to the frame header; an orientation met on the way (Exif 2.32, tag 0x0112) of 5 to 8 swaps the sides.
fn jpeg_size(bytes: &[u8]) -> Option<(u32, u32)> {
    let (mut at, mut on_its_side) = (2, false);
    loop {
        let marker = *bytes.get(at + 1).filter(|_| bytes[at] == 0xff)?;
        if marker == 0xff {
            at += 1;
            continue;
        }
        let length = big(bytes.get(at + 2..at + 4)?) as usize;
        let segment = bytes.get(at + 4..at + 2 + length.max(2))?;
        match marker {
            0xe1 => on_its_side |= exif_orientation(segment).is_some_and(|turn| (5..=8).contains(&turn)),
            0xc0..=0xcf if !matches!(marker, 0xc4 | 0xc8 | 0xcc) => {
                let (height, width) = (big(segment.get(1..3)?), big(segment.get(3..5)?));
                return Some(if on_its_side { (height, width) } else { (width, height) });
            }
            0xd9 | 0xda => return None,
            _ => {}
        }
        at += 2 + length.max(2);
    }
}

fn exif_orientation(segment: &[u8]) -> Option<u32> {
    let body = segment.strip_prefix(b"Exif\0\0")?;
    let read: fn(&[u8]) -> u32 = match body.get(..2)? {
        b"II" => little,
        b"MM" => big,
        _ => return None,
    };
    let directory = read(body.get(4..8)?) as usize;
    let entries = read(body.get(directory..directory.checked_add(2)?)?) as usize;
    (0..entries.min(200)).find_map(|entry| {
        let row = body.get(directory + 2 + 12 * entry..directory + 14 + 12 * entry)?;
        (read(&row[..2]) == 0x0112).then(|| read(&row[8..10]))
    })
}

impl Desk {
    /// The photos of a letter, in the order they came, without their bytes.
    ///
    /// # Errors
    /// If the book cannot be read.
    pub fn photos_of(&self, letter_id: i64) -> Result<Vec<KeptPhoto>, DeskError> {
        let rows = self.book.photos_of_letter(letter_id)?;
        Ok(rows
            .into_iter()
            .map(|row| {
                let bytes = BASE64.decode(row.picture_base64.as_bytes()).unwrap_or_default();
                KeptPhoto { id: row.id, name: row.name, media_type: picture_kind(&bytes), size: picture_size(&bytes) }
            })
            .collect())
    }

    /// Keeps files as photos of a letter, each once. Gives the files that were left aside, with why.
    ///
    /// # Errors
    /// An unknown letter; if the book cannot be written.
    pub fn add_photos(&mut self, letter_id: i64, files: &[(String, Vec<u8>)]) -> Result<Vec<(String, String)>, DeskError> {
        let letter: groundlore_book::letters::Letter = self.book.one(letter_id)?;
        let mut kept: Vec<String> = self.book.photos_of_letter(letter.id)?.into_iter().map(|row| row.picture_base64).collect();
        let (mut fresh, mut aside) = (Vec::new(), Vec::new());
        for (name, bytes) in files {
            let text = BASE64.encode(bytes);
            match why_not(bytes, kept.len()) {
                Some(why) => aside.push((name.clone(), format!("{name}: {why}"))),
                None if kept.contains(&text) => {}
                None => {
                    let media_type = picture_kind(bytes).unwrap_or_default().to_owned();
                    fresh.push(Photo { name: name.clone(), media_type, bytes: bytes.clone() });
                    kept.push(text);
                }
            }
        }
        self.keep_photos(letter.id, &fresh)?;
        Ok(aside)
    }

    /// Answers an inbox in which photos may lie beside the letters: they belong to its letter where there is just one. Where there are more,
    /// nobody can tell whose they are, and they are named among [`Inbox::unreadable`].
    ///
    /// # Errors
    /// As [`Desk::answer_inbox`].
    pub fn answer_inbox_with_photos(&mut self, files: &[(String, Vec<u8>)]) -> Result<Inbox, DeskError> {
        let (photos, letters): (Vec<_>, Vec<_>) = files.iter().cloned().partition(|(_, bytes)| picture_kind(bytes).is_some());
        let mut inbox = self.answer_inbox(&letters)?;
        let only = match inbox.letters.as_slice() {
            [only] => only.answered.letter_id,
            _ => None,
        };
        match only {
            Some(letter_id) => {
                let aside = self.add_photos(letter_id, &photos)?;
                let names = photos.into_iter().map(|(name, _)| name).filter(|name| aside.iter().all(|(left, _)| left != name));
                inbox.letters[0].photos.extend(names);
                inbox.unreadable.extend(aside);
            }
            None => inbox.unreadable.extend(photos.into_iter().map(|(name, _)| {
                let why = format!(
                    "{name}: a photo, and which letter it came with is not told; send it with that one letter, or add it on the letter's page"
                );
                (name, why)
            })),
        }
        Ok(inbox)
    }
}

/// Why a file is not kept as a photo beside so many.
fn why_not(bytes: &[u8], beside: usize) -> Option<String> {
    if picture_kind(bytes).is_none() {
        return Some("it does not begin like a picture; send JPEG, PNG, GIF, WebP, AVIF or HEIC".to_owned());
    }
    if bytes.len() > LARGEST_PHOTO {
        return Some(format!("it has {} bytes, more than {LARGEST_PHOTO}; send a smaller one", bytes.len()));
    }
    (beside >= MOST_PHOTOS).then(|| format!("the letter has {MOST_PHOTOS} photos already; send the ones that tell most"))
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;

    /// A JPEG's head: start, an Exif segment with one orientation entry, a frame of 40 by 30.
    fn jpeg(turn: u8) -> Vec<u8> {
        let mut exif = b"Exif\0\0MM\0\x2a\0\0\0\x08\0\x01\x01\x12\0\x03\0\0\0\x01\0".to_vec();
        exif.extend([turn, 0, 0, 0, 0, 0, 0]);
        let mut bytes = vec![0xff, 0xd8, 0xff, 0xe1];
        bytes.extend(u16::try_from(exif.len() + 2).unwrap().to_be_bytes());
        bytes.extend(exif);
        bytes.extend([0xff, 0xc0, 0, 11, 8, 0, 30, 0, 40, 1, 1, 0x11, 0]);
        bytes
    }

    #[test]
    fn sizes_are_read_from_the_heads_of_files() {
        let png = b"\x89PNG\r\n\x1a\n\0\0\0\x0dIHDR\0\0\x02\x80\0\0\x01\xe0\x08\x02";
        assert_eq!(picture_size(png), Some((640, 480)));
        assert_eq!(picture_size(b"GIF89a\x0a\0\x05\0"), Some((10, 5)));
        assert_eq!(picture_size(b"RIFF\0\0\0\0WEBPVP8X\x0a\0\0\0\0\0\0\0\x1f\x03\0\x57\x02\0"), Some((800, 600)));
        assert_eq!(picture_size(&jpeg(1)), Some((40, 30)));
        assert_eq!(picture_size(&jpeg(6)), Some((30, 40)), "a photo on its side is measured as it is shown");
    }

    #[test]
    fn a_cut_off_file_has_no_size_and_does_no_harm() {
        let whole = jpeg(6);
        for end in 0..whole.len() - 6 {
            assert_eq!(picture_size(&whole[..end]), None, "{end}");
        }
        for at in 0..whole.len() {
            for byte in [0, 1, 0x7f, 0xff] {
                let mut bent = whole.clone();
                bent[at] = byte;
                let _ = picture_size(&bent);
            }
        }
    }

    #[test]
    fn what_is_no_picture_is_left_aside() {
        for bytes in [&b"<svg xmlns='http://www.w3.org/2000/svg'/>"[..], b"%PDF-1.7", b"\0\0\0\x20ftypisom", b""] {
            assert!(why_not(bytes, 0).is_some(), "{bytes:?}");
        }
        assert_eq!(why_not(&jpeg(1), 0), None);
        assert!(why_not(&jpeg(1), MOST_PHOTOS).is_some());
    }
}
