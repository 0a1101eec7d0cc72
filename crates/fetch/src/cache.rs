//! Files as last fetched, in one folder.
//!
//! Each address has a small JSON file, which names the file that holds the bytes and their checksum. The bytes are written first, under a
//! name of their own; the JSON is then put in place by one rename. Whoever is killed between the two leaves the earlier copy whole.

use std::fs::{self, File};
use std::io::{ErrorKind, Write};
use std::path::{Path, PathBuf};
use std::sync::atomic::{AtomicU64, Ordering};
use std::time::Duration;

use jiff::Timestamp;
use serde::{Deserialize, Serialize};

use crate::error::FetchError;

/// Unfinished files older than this were left by a killed process.
const ABANDONED: Duration = Duration::from_secs(24 * 3600);

/// What is known of a kept file.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub(crate) struct Note {
    /// The address it came from.
    pub(crate) address: String,
    /// The server's mark of this version.
    pub(crate) etag: Option<String>,
    /// The server's date of this version, as it wrote it.
    pub(crate) last_modified: Option<String>,
    /// When the server last gave or confirmed it.
    pub(crate) fetched_at: Timestamp,
    /// Bytes in it.
    pub(crate) content_length: u64,
    /// Checksum of the bytes.
    pub(crate) checksum: String,
    /// The file that holds the bytes, in the same folder.
    pub(crate) body: String,
}

/// A kept file.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Kept {
    pub(crate) note: Note,
    pub(crate) bytes: Vec<u8>,
}

/// The folder.
#[derive(Debug, Clone)]
pub(crate) struct Cache {
    folder: PathBuf,
}

impl Cache {
    pub(crate) fn in_folder(folder: PathBuf) -> Cache {
        Cache { folder }
    }

    /// The copy kept of an address. A damaged one counts as none; a folder that cannot be read is an error.
    pub(crate) fn look_up(&self, address: &str) -> Result<Option<Kept>, FetchError> {
        // Twice, as another process may put a new copy in place between the two reads.
        for _ in 0..2 {
            let Some(text) = read(&self.note_path(address))? else { return Ok(None) };
            let Ok(note) = serde_json::from_slice::<Note>(&text) else { return Ok(None) };
            if note.address != address || !is_own_name(&note.body) {
                return Ok(None);
            }
            if let Some(bytes) = read(&self.folder.join(&note.body))? {
                let whole = bytes.len() as u64 == note.content_length && checksum(&bytes) == note.checksum;
                return Ok(whole.then_some(Kept { note, bytes }));
            }
        }
        Ok(None)
    }

    /// Keeps bytes for an address in place of what was kept before.
    pub(crate) fn keep(
        &self,
        address: &str,
        etag: Option<String>,
        last_modified: Option<String>,
        fetched_at: Timestamp,
        bytes: &[u8],
    ) -> Result<(), FetchError> {
        fs::create_dir_all(&self.folder).map_err(|error| written(&self.folder, &error))?;
        self.sweep();
        let checksum = checksum(bytes);
        let body = format!("{}.{checksum}.body", stem(address));
        let before = self.look_up(address).ok().flatten().map(|kept| kept.note.body);
        self.put(&self.folder.join(&body), bytes)?;
        let note = Note {
            address: address.to_owned(),
            etag,
            last_modified,
            fetched_at,
            content_length: bytes.len() as u64,
            checksum,
            body: body.clone(),
        };
        self.write_note(&note)?;
        if let Some(before) = before.filter(|before| *before != body) {
            // What stays behind costs room and nothing else.
            let _ = fs::remove_file(self.folder.join(before));
        }
        Ok(())
    }

    /// Puts a note in place.
    pub(crate) fn write_note(&self, note: &Note) -> Result<(), FetchError> {
        let path = self.note_path(&note.address);
        let text = serde_json::to_vec_pretty(note).map_err(|error| FetchError::Cache {
            path: path.clone(),
            doing: "written",
            why: error.to_string(),
        })?;
        self.put(&path, &text)
    }

    fn note_path(&self, address: &str) -> PathBuf {
        self.folder.join(format!("{}.json", stem(address)))
    }

    /// Writes beside the place, then renames into it.
    fn put(&self, path: &Path, bytes: &[u8]) -> Result<(), FetchError> {
        static COUNT: AtomicU64 = AtomicU64::new(0);
        let number = COUNT.fetch_add(1, Ordering::Relaxed);
        let beside = self.folder.join(format!("{}-{number}.part", std::process::id()));
        let write = || -> std::io::Result<()> {
            let mut file = File::create(&beside)?;
            file.write_all(bytes)?;
            file.sync_all()?;
            drop(file);
            fs::rename(&beside, path)
        };
        write().map_err(|error| {
            let _ = fs::remove_file(&beside);
            written(path, &error)
        })
    }

    /// Removes what killed processes left unfinished.
    fn sweep(&self) {
        let Ok(entries) = fs::read_dir(&self.folder) else { return };
        for entry in entries.flatten() {
            let unfinished = entry.file_name().to_string_lossy().ends_with(".part");
            let age = entry.metadata().and_then(|data| data.modified()).ok().and_then(|time| time.elapsed().ok());
            if unfinished && age.is_some_and(|age| age > ABANDONED) {
                let _ = fs::remove_file(entry.path());
            }
        }
    }
}

fn written(path: &Path, error: &std::io::Error) -> FetchError {
    FetchError::Cache { path: path.to_owned(), doing: "written", why: error.to_string() }
}

/// A file's bytes; `None` where there is no such file.
fn read(path: &Path) -> Result<Option<Vec<u8>>, FetchError> {
    match fs::read(path) {
        Ok(bytes) => Ok(Some(bytes)),
        Err(error) if error.kind() == ErrorKind::NotFound => Ok(None),
        Err(error) => Err(FetchError::Cache { path: path.to_owned(), doing: "read", why: error.to_string() }),
    }
}

/// Whether a name stays in the folder, whatever a note says.
fn is_own_name(name: &str) -> bool {
    name.ends_with(".body") && !name.starts_with('.') && name.chars().all(|letter| letter.is_ascii_alphanumeric() || "._-".contains(letter))
}

/// An address as a file's name: its last part so that people find it, and a checksum so that it stands alone.
fn stem(address: &str) -> String {
    let last = address.trim_end_matches('/').rsplit('/').next().unwrap_or_default();
    let mut name: String =
        last.chars().take(40).map(|letter| if letter.is_ascii_alphanumeric() || letter == '-' { letter } else { '_' }).collect();
    if name.is_empty() {
        name.push('_');
    }
    format!("{name}.{}", checksum(address.as_bytes()))
}

/// FNV-1a in 128 bits: finds damage, and is the same on every machine. It is no guard against forgery.
pub(crate) fn checksum(bytes: &[u8]) -> String {
    const START: u128 = 0x6c62_272e_07bb_0142_62b8_2175_6295_c58d;
    const PRIME: u128 = 0x0000_0000_0100_0000_0000_0000_0000_013b;
    let sum = bytes.iter().fold(START, |sum, byte| (sum ^ u128::from(*byte)).wrapping_mul(PRIME));
    format!("{sum:032x}")
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;

    const ADDRESS: &str = "https://example.org/daily/XX000000001.csv";

    fn cache() -> (tempfile::TempDir, Cache) {
        let folder = tempfile::tempdir().unwrap();
        let cache = Cache::in_folder(folder.path().join("weather"));
        (folder, cache)
    }

    #[test]
    fn the_checksum_is_the_published_one() {
        // Of the empty text the sum is its start; of `a` it is the published value.
        assert_eq!(checksum(b""), "6c62272e07bb014262b821756295c58d");
        assert_eq!(checksum(b"a"), "d228cb696f1a8caf78912b704e4a8964");
    }

    #[test]
    fn a_new_copy_takes_the_place_of_the_old_one() {
        let (_folder, cache) = cache();
        assert_eq!(cache.look_up(ADDRESS).unwrap(), None);
        cache.keep(ADDRESS, Some("\"1\"".into()), None, Timestamp::UNIX_EPOCH, b"one").unwrap();
        cache.keep(ADDRESS, Some("\"2\"".into()), None, Timestamp::UNIX_EPOCH, b"two, longer").unwrap();
        let kept = cache.look_up(ADDRESS).unwrap().unwrap();
        assert_eq!((kept.bytes.as_slice(), kept.note.etag.as_deref()), (b"two, longer".as_slice(), Some("\"2\"")));
        assert_eq!(fs::read_dir(&cache.folder).unwrap().count(), 2, "one note, one body");
        assert_eq!(cache.look_up("https://example.org/other/XX000000001.csv").unwrap(), None);
    }

    #[test]
    fn a_damaged_copy_counts_as_none() {
        let (_folder, cache) = cache();
        cache.keep(ADDRESS, None, None, Timestamp::UNIX_EPOCH, b"whole").unwrap();
        let kept = cache.look_up(ADDRESS).unwrap().unwrap();
        for damage in [b"who".as_slice(), b"whol3", b""] {
            fs::write(cache.folder.join(&kept.note.body), damage).unwrap();
            assert_eq!(cache.look_up(ADDRESS).unwrap(), None);
        }
        fs::write(cache.folder.join(&kept.note.body), b"whole").unwrap();
        let outside = Note { body: "../secret.body".into(), ..kept.note.clone() };
        cache.write_note(&outside).unwrap();
        assert_eq!(cache.look_up(ADDRESS).unwrap(), None);
        fs::write(cache.note_path(ADDRESS), b"{\"address\":").unwrap();
        assert_eq!(cache.look_up(ADDRESS).unwrap(), None);
    }

    #[test]
    fn a_body_without_its_note_leaves_the_earlier_copy() {
        let (_folder, cache) = cache();
        cache.keep(ADDRESS, None, None, Timestamp::UNIX_EPOCH, b"earlier").unwrap();
        // As a process leaves it that is killed between the body and the note, and one killed within the body.
        fs::write(cache.folder.join(format!("{}.{}.body", stem(ADDRESS), checksum(b"later"))), b"later").unwrap();
        fs::write(cache.folder.join("1-0.part"), b"ha").unwrap();
        assert_eq!(cache.look_up(ADDRESS).unwrap().unwrap().bytes, b"earlier");
    }
}
