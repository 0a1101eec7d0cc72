//! Letters that come as mail: one message (`.eml`) or a mailbox of many (`.mbox`), with their photos.
//!
//! What the owner quotes of an earlier letter, and what stands under the signature's line, is not read: it is not news from the yard.

use super::Letter;
use super::parse::{LetterError, parse};
use jiff::civil::Date;
use mail_parser::mailbox::mbox::MessageIterator;
use mail_parser::{Message, MessageParser, MimeHeaders as _};

/// Largest photo that is kept, in bytes.
pub const LARGEST_PHOTO: usize = 20_000_000;
/// Largest message that is read, in bytes.
pub const LARGEST_MAIL: usize = 60_000_000;

/// A photo that came with a letter. Nothing is claimed from it: it is kept and shown.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Photo {
    /// Its file name, without folders.
    pub name: String,
    /// Its media type, as `image/jpeg`.
    pub media_type: String,
    /// The picture as it came.
    pub bytes: Vec<u8>,
}

/// A message read.
#[derive(Debug, Clone, PartialEq)]
pub struct Mail {
    /// Who wrote, as the message names them.
    pub from_name: Option<String>,
    /// The address it came from.
    pub from_address: Option<String>,
    /// The letter in it; its date is the message's where the text names none.
    pub letter: Letter,
    /// Photos that came with it.
    pub photos: Vec<Photo>,
}

/// Reads one message.
///
/// # Errors
/// A file that is no message, a message without words, and what [`parse`] refuses in its text.
///
/// ```
/// # use groundlore_plant_health::letter::mail::read_mail;
/// let mail = b"From: A. Neighbour <a@example.org>\r\nDate: Wed, 12 Aug 2015 09:30:00 -0500\r\nSubject: The lawn\r\n\r\nBrown patches.\r\n> your last letter\r\n";
/// let read = read_mail(mail, "lawn.eml")?;
/// assert_eq!(read.letter.date.unwrap().to_string(), "2015-08-12");
/// assert_eq!(read.letter.text, "The lawn.\n\nBrown patches.");
/// # Ok::<(), groundlore_plant_health::letter::LetterError>(())
/// ```
pub fn read_mail(bytes: &[u8], file: &str) -> Result<Mail, LetterError> {
    if bytes.len() > LARGEST_MAIL {
        return Err(LetterError::TooLong { file: file.to_owned(), bytes: bytes.len() });
    }
    let message = MessageParser::default().parse(bytes).filter(|m| m.date().is_some() || m.from().is_some() || m.subject().is_some());
    let Some(message) = message else {
        return Err(LetterError::NoMail { file: file.to_owned() });
    };
    let (photos, mut remarks) = photos(&message);
    let words = own_words(&message);
    let sender = message.from().and_then(|from| from.first());
    let mut letter = match (words.trim().is_empty(), photos.is_empty()) {
        (true, true) => return Err(LetterError::Empty { file: file.to_owned() }),
        (true, false) => Letter::default(),
        _ => parse(&words, "mail.txt").map_err(|e| e.in_file(file))?,
    };
    letter.date = letter.date.or_else(|| sent_on(&message));
    if letter.text.trim().is_empty() {
        remarks.push("the message holds photos but no words: ask the owner what they saw".to_owned());
    }
    letter.remarks.append(&mut remarks);
    Ok(Mail {
        from_name: sender.and_then(|s| s.name()).map(str::to_owned),
        from_address: sender.and_then(|s| s.address()).map(str::to_lowercase),
        letter,
        photos,
    })
}

/// Reads all messages of a mailbox, each with its place (`inbox.mbox, message 3`). A message that cannot be read does not stop the others.
pub fn read_mailbox(bytes: &[u8], file: &str) -> Vec<(String, Result<Mail, LetterError>)> {
    MessageIterator::new(bytes)
        .enumerate()
        .map(|(place, message)| {
            let at = format!("{file}, message {}", place + 1);
            let read = match message {
                Ok(message) => read_mail(message.contents(), &at),
                Err(_) => Err(LetterError::NoMail { file: at.clone() }),
            };
            (at, read)
        })
        .collect()
}

/// True where a file is a mailbox rather than one message: its first line is the envelope line of one.
pub fn is_mailbox(bytes: &[u8]) -> bool {
    bytes.starts_with(b"From ")
}

/// The day on which the message was sent, where it was sent.
fn sent_on(message: &Message<'_>) -> Option<Date> {
    let sent = message.date()?;
    Date::new(i16::try_from(sent.year).ok()?, i8::try_from(sent.month).ok()?, i8::try_from(sent.day).ok()?).ok()
}

/// Subject and body without what is quoted and without the signature.
fn own_words(message: &Message<'_>) -> String {
    let mut words = String::new();
    if let Some(subject) = message.subject().map(without_reply_mark).filter(|s| !s.is_empty()) {
        words.push_str(subject);
        words.push_str(if subject.ends_with(['.', '!', '?']) { "\n\n" } else { ".\n\n" });
    }
    let body = message.body_text(0).unwrap_or_default();
    for line in body.lines() {
        let line = line.trim_end();
        if line == "--" || line == "-- " || introduces_quote(line) {
            break;
        }
        if !line.trim_start().starts_with('>') {
            words.push_str(line);
            words.push('\n');
        }
    }
    words
}

/// `Re: Re: The lawn` is about the lawn.
fn without_reply_mark(subject: &str) -> &str {
    let mut rest = subject.trim();
    loop {
        let mark = ["re:", "fw:", "fwd:", "aw:"].into_iter().find(|m| rest.get(..m.len()).is_some_and(|head| head.eq_ignore_ascii_case(m)));
        match mark {
            Some(mark) => rest = rest[mark.len()..].trim_start(),
            None => return rest,
        }
    }
}

/// `On 3 August 2015 the office wrote:` and the line that mail programs set over a forwarded message.
fn introduces_quote(line: &str) -> bool {
    let lower = line.trim().to_lowercase();
    (lower.starts_with("on ") && lower.ends_with("wrote:")) || (lower.starts_with("-----") && lower.contains("message"))
}

fn photos(message: &Message<'_>) -> (Vec<Photo>, Vec<String>) {
    let (mut kept, mut remarks) = (Vec::new(), Vec::new());
    for (place, part) in message.attachments().enumerate() {
        let media = part.content_type().map_or_else(
            || "application/octet-stream".to_owned(),
            |t| format!("{}/{}", t.ctype(), t.subtype().unwrap_or("octet-stream")).to_lowercase(),
        );
        let named = part.attachment_name().unwrap_or_default();
        let name = named.rsplit(['/', '\\']).next().filter(|n| !n.is_empty()).map_or_else(|| format!("photo {}", place + 1), str::to_owned);
        let bytes = part.contents();
        if !media.starts_with("image/") {
            remarks.push(format!("`{name}` ({media}) is no picture and was left aside"));
        } else if bytes.len() > LARGEST_PHOTO {
            remarks
                .push(format!("`{name}` has {} bytes, more than {LARGEST_PHOTO}, and was left aside; ask for a smaller one", bytes.len()));
        } else if !looks_like_picture(bytes) {
            remarks.push(format!("`{name}` says it is {media} but does not begin like a picture, and was left aside"));
        } else {
            kept.push(Photo { name, media_type: media, bytes: bytes.to_vec() });
        }
    }
    (kept, remarks)
}

/// First bytes of JPEG, PNG, GIF, WebP and HEIC files.
fn looks_like_picture(bytes: &[u8]) -> bool {
    bytes.starts_with(&[0xff, 0xd8, 0xff])
        || bytes.starts_with(b"\x89PNG\r\n\x1a\n")
        || bytes.starts_with(b"GIF8")
        || (bytes.starts_with(b"RIFF") && bytes.get(8..12) == Some(b"WEBP"))
        || bytes.get(4..8) == Some(b"ftyp")
}
