//! A request as a page reads it: parts of the address, the query, and the form or JSON that was sent.

use crate::fault::Fault;
use axum::body::Bytes;
use axum::extract::{FromRequest as _, Multipart, RawPathParams, Request};
use axum::http::{HeaderMap, Method, header};
use serde_json::Value;

/// A file that was sent.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct SentFile {
    /// Field of the form.
    pub(crate) field: String,
    /// Its name, without folders.
    pub(crate) name: String,
    pub(crate) bytes: Vec<u8>,
}

/// A request.
#[derive(Debug, Clone, Default)]
pub(crate) struct Asked {
    pub(crate) posted: bool,
    /// Path with its query, as it came.
    pub(crate) address: String,
    parts: Vec<(String, String)>,
    query: Vec<(String, String)>,
    form: Vec<(String, String)>,
    files: Vec<SentFile>,
    /// JSON that was sent.
    pub(crate) json: Option<Value>,
}

impl Asked {
    /// Reads a request whole.
    pub(crate) async fn read(params: &RawPathParams, request: Request) -> Result<Self, Fault> {
        let uri = request.uri().clone();
        let mut asked = Self {
            posted: request.method() == Method::POST,
            address: uri.path_and_query().map(ToString::to_string).unwrap_or_default(),
            parts: params.iter().map(|(name, value)| (name.to_owned(), value.to_owned())).collect(),
            query: decoded(uri.query().unwrap_or_default().as_bytes()),
            ..Self::default()
        };
        if asked.posted {
            asked.read_body(request).await?;
        }
        Ok(asked)
    }

    async fn read_body(&mut self, request: Request) -> Result<(), Fault> {
        let kind = content_kind(request.headers());
        match kind.as_str() {
            "application/x-www-form-urlencoded" => self.form = decoded(&body(request).await?),
            "multipart/form-data" => (self.form, self.files) = parts_of(request).await?,
            "application/json" => {
                let body = body(request).await?;
                let read = serde_json::from_slice(&body)
                    .map_err(|e| Fault::new(400, "The JSON cannot be read", format!("{e}; send one JSON object")))?;
                self.json = Some(read);
            }
            "" => {
                if !body(request).await?.is_empty() {
                    return Err(unknown_kind("none"));
                }
            }
            other => return Err(unknown_kind(other)),
        }
        Ok(())
    }

    /// A part of the address, by the name it has in the route.
    pub(crate) fn part(&self, name: &str) -> &str {
        find(&self.parts, name).unwrap_or_default()
    }

    /// A parameter of the query, if it is given and not blank.
    pub(crate) fn query(&self, name: &str) -> Option<&str> {
        find(&self.query, name).map(str::trim).filter(|value| !value.is_empty())
    }

    /// All parameters of the query.
    pub(crate) fn query_pairs(&self) -> &[(String, String)] {
        &self.query
    }

    /// A field of the form as typed, if the form was sent.
    pub(crate) fn typed(&self, name: &str) -> Option<&str> {
        find(&self.form, name)
    }

    /// A field of the form, if it is filled in; blanks around it go.
    pub(crate) fn given(&self, name: &str) -> Option<String> {
        self.typed(name).map(str::trim).filter(|value| !value.is_empty()).map(str::to_owned)
    }

    /// The files that were sent in a field, as they came; each name once with its bytes.
    pub(crate) fn files(&self, field: &str) -> Vec<(String, Vec<u8>)> {
        self.files.iter().filter(|file| file.field == field).map(|file| (file.name.clone(), file.bytes.clone())).collect()
    }

    /// Were files sent?
    pub(crate) fn sent_files(&self) -> bool {
        !self.files.is_empty()
    }

    /// All fields of the form.
    pub(crate) fn form_pairs(&self) -> &[(String, String)] {
        &self.form
    }
}

fn find<'a>(pairs: &'a [(String, String)], name: &str) -> Option<&'a str> {
    pairs.iter().find(|(given, _)| given == name).map(|(_, value)| value.as_str())
}

fn content_kind(headers: &HeaderMap) -> String {
    let full = headers.get(header::CONTENT_TYPE).and_then(|value| value.to_str().ok()).unwrap_or_default();
    full.split(';').next().unwrap_or_default().trim().to_ascii_lowercase()
}

fn unknown_kind(kind: &str) -> Fault {
    Fault::new(415, "This kind of content is not read", format!("content type `{kind}`; send a form, or JSON as `application/json`"))
}

fn too_large(error: &impl std::fmt::Display) -> Fault {
    Fault::new(
        413,
        "Too large, or cut off",
        format!("{error}; send less at a time: forms up to 512 kB, maps up to 8 MB, letters with their photos up to 64 MB"),
    )
}

async fn body(request: Request) -> Result<Bytes, Fault> {
    Bytes::from_request(request, &()).await.map_err(|error| too_large(&error.body_text()))
}

/// `name=value` pairs joined by `&`, with `+` for a blank and `%XX` for a byte.
fn decoded(text: &[u8]) -> Vec<(String, String)> {
    text.split(|byte| *byte == b'&')
        .filter(|piece| !piece.is_empty())
        .map(|piece| {
            let cut = piece.iter().position(|byte| *byte == b'=');
            let (name, value) = cut.map_or((piece, &[][..]), |at| (&piece[..at], &piece[at + 1..]));
            (unescaped(name), unescaped(value))
        })
        .collect()
}

fn unescaped(text: &[u8]) -> String {
    let hex = |byte: Option<&u8>| byte.and_then(|b| char::from(*b).to_digit(16));
    let mut bytes = Vec::with_capacity(text.len());
    let mut at = 0;
    while at < text.len() {
        match (text[at], hex(text.get(at + 1)), hex(text.get(at + 2))) {
            (b'%', Some(high), Some(low)) => {
                bytes.push(u8::try_from(high * 16 + low).unwrap_or(b'?'));
                at += 3;
            }
            (byte, ..) => {
                bytes.push(if byte == b'+' { b' ' } else { byte });
                at += 1;
            }
        }
    }
    String::from_utf8_lossy(&bytes).into_owned()
}

/// Bytes of a file that are also held as text, for the pages that read it as a field; no page reads more.
const READ_AS_TEXT: usize = 8 * 1024 * 1024;
/// Most parts of a form.
const MOST_PARTS: usize = 500;

/// Fields and files of a form; a file that is text stands among the fields too, beside its name.
async fn parts_of(request: Request) -> Result<(Vec<(String, String)>, Vec<SentFile>), Fault> {
    let mut parts = Multipart::from_request(request, &()).await.map_err(|error| too_large(&error.body_text()))?;
    let (mut fields, mut files) = (Vec::new(), Vec::new());
    while let Some(part) = parts.next_field().await.map_err(|error| too_large(&error.body_text()))? {
        let Some(name) = part.name().map(str::to_owned) else { continue };
        if fields.len() >= 2 * MOST_PARTS {
            return Err(Fault::new(
                413,
                "Too many parts",
                format!("more than {MOST_PARTS} fields and files came at once; send fewer at a time"),
            ));
        }
        let file = part.file_name().filter(|file| !file.is_empty()).map(without_folders);
        let bytes = part.bytes().await.map_err(|error| too_large(&error.body_text()))?;
        if let Some(file) = &file {
            fields.push((format!("{name}.name"), file.clone()));
        }
        let as_text = &bytes[..bytes.len().min(READ_AS_TEXT)];
        fields.push((
            name.clone(),
            if file.is_some() && is_picture(as_text) { String::new() } else { String::from_utf8_lossy(as_text).into_owned() },
        ));
        if let Some(file) = file {
            files.push(SentFile { field: name, name: file, bytes: bytes.to_vec() });
        }
    }
    Ok((fields, files))
}

/// A picture is never read as text: it would only take room.
fn is_picture(bytes: &[u8]) -> bool {
    groundlore_desk::photos::picture_kind(bytes).is_some()
}

/// The last part of a path that a browser may send as a file's name.
fn without_folders(name: &str) -> String {
    name.rsplit(['/', '\\']).next().unwrap_or(name).chars().filter(|c| !c.is_control()).take(200).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_form_is_read_with_its_blanks_and_letters() {
        let read = decoded(b"text=brown+spots%2C+12+per+ft%C2%B2&host=&odd%zz=1");
        assert_eq!(read[0], ("text".to_owned(), "brown spots, 12 per ft²".to_owned()));
        assert_eq!(read[1], ("host".to_owned(), String::new()));
        assert_eq!(read[2].0, "odd%zz");
    }

    #[test]
    fn what_an_address_holds_comes_back_as_it_was() {
        for text in ["Alder Bank", "4/5 Larch & Elm", "50% off + more", "ft²", "a=b&c", "%%41", "\u{1f33f}", ""] {
            let read = decoded(format!("name={}", crate::url::segment(text)).as_bytes());
            assert_eq!(read[0].1, text);
        }
    }

    #[test]
    fn any_bytes_are_read_without_a_fall() {
        for seed in 0u32..2_000 {
            let bytes: Vec<u8> =
                (0..seed % 23).map(|place| (seed.wrapping_mul(2_654_435_761).wrapping_add(place * 40_503) >> 7) as u8).collect();
            assert!(decoded(&bytes).len() <= bytes.len());
        }
    }
}
