//! From files to entries: one file or one entry that is wrong never takes a good one with it.

use crate::control::Control;
use crate::event_clock::EventClock;
use crate::fault::{LoreFault, Weight, shortened};
use crate::finding::Finding;
use crate::library::{Lore, Origin};
use crate::material::{Material, SourceEntry, WorkNorm};
use crate::place::{self, Part};
use crate::plant::Plant;
use crate::remedy;
use crate::shelf::{Entry, Shelf};
use crate::telling::{Telling, Words};
use crate::trouble::Trouble;
use include_dir::{Dir, include_dir};
use serde::Deserialize;
use serde::de::IntoDeserializer;
use std::collections::BTreeSet;
use std::path::{Path, PathBuf};
use std::sync::Arc;
use toml::de::{DeTable, DeValue};

static BUILT_IN: Dir<'static> = include_dir!("$CARGO_MANIFEST_DIR/../../lore");

/// A lore folder: the embedded one, one on disk, or a firm's overlay (where a missing shelf is no fault).
pub(crate) enum Layer {
    Embedded(&'static Dir<'static>),
    Folder(PathBuf),
}

impl Layer {
    pub(crate) fn embedded() -> Self {
        Self::Embedded(&BUILT_IN)
    }

    pub(crate) fn folder(dir: &Path) -> Self {
        Self::Folder(dir.to_path_buf())
    }

    pub(crate) fn overlay(dir: &Path) -> Self {
        Self::folder(dir)
    }

    /// Every `.toml` file: path relative to the folder, path as shown, and its text or why there is none.
    fn files(&self) -> Vec<LoreFile> {
        let mut files = Vec::new();
        match self {
            Self::Embedded(dir) => embedded_files(dir, &mut files),
            Self::Folder(dir) => disk_files(dir, dir, &mut files),
        }
        files.sort_by(|a, b| a.path.cmp(&b.path));
        files
    }
}

struct LoreFile {
    path: String,
    shown: String,
    text: Result<String, String>,
}

fn embedded_files(dir: &'static Dir<'static>, files: &mut Vec<LoreFile>) {
    for file in dir.files() {
        let path = slashed(file.path());
        if path.ends_with(".toml") {
            let text = file.contents_utf8().map(str::to_owned).ok_or_else(|| "the file is not UTF-8 text".to_owned());
            files.push(LoreFile { shown: path.clone(), path, text });
        }
    }
    for inner in dir.dirs() {
        embedded_files(inner, files);
    }
}

fn disk_files(root: &Path, dir: &Path, files: &mut Vec<LoreFile>) {
    let entries = match std::fs::read_dir(dir) {
        Ok(entries) => entries,
        Err(error) => {
            files.push(LoreFile { path: String::new(), shown: dir.display().to_string(), text: Err(error.to_string()) });
            return;
        }
    };
    for entry in entries.flatten() {
        let path = entry.path();
        if path.is_dir() {
            disk_files(root, &path, files);
        } else if path.extension().is_some_and(|ending| ending == "toml") {
            files.push(LoreFile {
                path: slashed(path.strip_prefix(root).unwrap_or(&path)),
                shown: path.display().to_string(),
                text: std::fs::read(&path)
                    .map_err(|error| error.to_string())
                    .and_then(|bytes| String::from_utf8(bytes).map_err(|_| "the file is not UTF-8 text".to_owned())),
            });
        }
    }
}

fn slashed(path: &Path) -> String {
    path.iter().map(|part| part.to_string_lossy()).collect::<Vec<_>>().join("/")
}

/// Gathers entries and faults, layer by layer.
#[derive(Default)]
pub(crate) struct Reader {
    lore: Lore,
    faults: Vec<LoreFault>,
    /// Entries of the present layer, to tell a double from an overlay.
    seen: BTreeSet<(Shelf, String)>,
}

/// A text that holds one or more entries, and where it lies in its file.
struct Piece {
    shown: String,
    stem: String,
    text: Arc<str>,
    lines_before: usize,
}

impl Reader {
    pub(crate) fn finish(self) -> (Lore, Vec<LoreFault>) {
        (self.lore, self.faults)
    }

    pub(crate) fn read_layer(&mut self, layer: &Layer) {
        self.seen.clear();
        for file in layer.files() {
            self.read_file(file);
        }
    }

    fn read_file(&mut self, file: LoreFile) {
        let text = match file.text {
            Ok(text) => text,
            Err(why) => {
                self.note(&file.shown, None, "", None, why, "Check that the folder and file exist and can be read.".into());
                return;
            }
        };
        let Some(shelf) = Shelf::of_file(&file.path) else {
            let places: Vec<&str> = Shelf::ALL.iter().map(|shelf| shelf.place()).collect();
            let remedy = format!("Move it to one of {}.", places.join(", "));
            self.note(&file.shown, None, "", None, "no shelf of the lore has this place".into(), remedy);
            return;
        };
        let stem = file.path.rsplit('/').next().unwrap_or_default().trim_end_matches(".toml").to_owned();
        let piece = Piece { shown: file.shown, stem, text: text.into(), lines_before: 0 };
        match shelf {
            Shelf::Troubles => self.read_piece::<Trouble>(&piece),
            Shelf::Findings => self.read_piece::<Finding>(&piece),
            Shelf::Plants => self.read_piece::<Plant>(&piece),
            Shelf::Controls => self.read_piece::<Control>(&piece),
            Shelf::Materials => self.read_piece::<Material>(&piece),
            Shelf::WorkNorms => self.read_piece::<WorkNorm>(&piece),
            Shelf::Sources => self.read_piece::<SourceEntry>(&piece),
            Shelf::Clocks => self.read_piece::<EventClock>(&piece),
            Shelf::Tellings => self.read_tellings(&piece),
        }
    }

    /// A file of tellings: each table's name is the key of its trouble.
    fn read_tellings(&mut self, piece: &Piece) {
        let table = match DeTable::parse(&piece.text) {
            Ok(table) => table,
            Err(error) => return self.read_broken::<Telling>(piece, &error),
        };
        for (key, value) in table.into_inner() {
            let key = key.get_ref().to_string();
            let words = Words::deserialize(value.into_deserializer());
            self.take(piece, &key, words.map(|words| Telling { key: key.clone(), told: words.told }));
        }
    }

    fn read_piece<T: Entry>(&mut self, piece: &Piece) {
        let table = match DeTable::parse(&piece.text) {
            Ok(table) => table,
            Err(error) => return self.read_broken::<T>(piece, &error),
        };
        match T::SHELF.listed_as() {
            None => self.take(piece, "", T::deserialize(table.into_deserializer())),
            Some(header) => {
                for (key, value) in table.into_inner() {
                    if key.get_ref() != header {
                        let line = place::line_at(&piece.text, key.span().start) + piece.lines_before;
                        let remedy = format!("Entries of this file begin with `[[{header}]]`.");
                        self.note(&piece.shown, Some(line), key.get_ref(), None, "this word is not known here".into(), remedy);
                    } else if let DeValue::Array(items) = value.into_inner() {
                        for (i, item) in items.into_iter().enumerate() {
                            self.take(piece, &format!("{header}[{i}]"), T::deserialize(item.into_deserializer()));
                        }
                    } else {
                        let remedy = format!("Write `[[{header}]]` with two brackets on each side.");
                        self.note(&piece.shown, None, header, None, "this must be a list of entries".into(), remedy);
                    }
                }
            }
        }
    }

    /// A text that is not TOML: where it lists several entries, each is tried by itself.
    fn read_broken<T: Entry>(&mut self, piece: &Piece, error: &toml::de::Error) {
        let header = T::SHELF.listed_as().map(|word| format!("[[{word}]]"));
        let parts = header.map(|header| split_at(&piece.text, &header)).unwrap_or_default();
        if parts.len() > 1 {
            for (lines_before, text) in parts {
                let part = Piece {
                    shown: piece.shown.clone(),
                    stem: piece.stem.clone(),
                    text: text.into(),
                    lines_before: piece.lines_before + lines_before,
                };
                self.read_piece::<T>(&part);
            }
            return;
        }
        let offset = error.span().map_or(0, |span| span.start);
        let line = place::line_at(&piece.text, offset);
        let seen = piece.text.lines().nth(line - 1).map(shortened);
        let wrong = format!("this is not TOML: {}", error.message().lines().next().unwrap_or_default());
        let remedy = "A line is `name = value`; text stands in double quotes, for example `key = \"dollar-spot\"`.".into();
        self.note(&piece.shown, Some(line + piece.lines_before), "", seen, wrong, remedy);
    }

    fn take<T: Entry>(&mut self, piece: &Piece, root: &str, read: Result<T, toml::de::Error>) {
        let entry = match read {
            Ok(entry) => entry,
            Err(error) => return self.note_wrong_value(piece, root, &error),
        };
        let key = entry.key().to_owned();
        let origin =
            Origin { file: piece.shown.clone(), text: Arc::clone(&piece.text), lines_before: piece.lines_before, root: root.to_owned() };
        if root.is_empty() && key != piece.stem {
            let remedy = format!("Write `key = \"{}\"`, or name the file `{key}.toml`.", piece.stem);
            self.note(&piece.shown, origin.line_of("key"), "key", Some(key.clone()), "the key is not the file's name".into(), remedy);
        }
        if !self.seen.insert((T::SHELF, key.clone())) {
            let remedy = "Give this one another key, or take one of the two out; the first was kept.".into();
            self.note(&piece.shown, origin.line_of("key"), "key", Some(key), "this key is used twice".into(), remedy);
            return;
        }
        self.lore.origins.insert((T::SHELF, key.clone()), origin);
        T::shelf(&mut self.lore).insert(key, entry);
    }

    fn note_wrong_value(&mut self, piece: &Piece, root: &str, error: &toml::de::Error) {
        let told = remedy::of_serde(error.message());
        let line = error.span().map(|span| place::line_at(&piece.text, span.start) + piece.lines_before);
        let part = if told.missing.is_some() { Part::Value } else { Part::NameOrValue };
        let within = error.span().map(|span| place::field_at(&piece.text, &span, part)).filter(|field| !field.is_empty());
        let mut field = within.unwrap_or_else(|| root.to_owned());
        let mut seen = error.span().and_then(|span| piece.text.get(span)).map(shortened).filter(|seen| !seen.is_empty());
        if let Some(missing) = &told.missing {
            field = if field.is_empty() { missing.clone() } else { format!("{field}.{missing}") };
            seen = None;
        }
        self.note(&piece.shown, line, &field, seen, told.wrong, told.remedy);
    }

    fn note(&mut self, file: &str, line: Option<usize>, field: &str, seen: Option<String>, wrong: String, remedy: String) {
        self.faults.push(LoreFault {
            file: file.to_owned(),
            line,
            field: (!field.is_empty()).then(|| field.to_owned()),
            seen,
            wrong,
            remedy,
            weight: Weight::Fault,
        });
    }
}

/// Splits a text before each line that is the header; each part with the number of lines before it.
fn split_at(text: &str, header: &str) -> Vec<(usize, String)> {
    let mut parts: Vec<(usize, String)> = Vec::new();
    for (i, line) in text.split_inclusive('\n').enumerate() {
        match parts.last_mut() {
            Some((_, part)) if line.trim() != header => part.push_str(line),
            _ => parts.push((i, line.to_owned())),
        }
    }
    parts
}
