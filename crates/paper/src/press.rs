//! Sets the copy and writes the PDF.

use crate::Paper;
use crate::case::CASE;
use crate::copy;
use crate::fault::PaperError;
use crate::format::{Page, PageSize};
use crate::letters::spell;
use groundlore_sheet::{Block, Sheet};
use std::sync::LazyLock;
use typst::diag::{FileError, FileResult, SourceDiagnostic};
use typst::foundations::{Bytes, Datetime, Duration, Smart};
use typst::syntax::{FileId, RootedPath, Source, VirtualPath, VirtualRoot};
use typst::text::{Font, FontBook};
use typst::utils::LazyHash;
use typst::visualize::SvgImage;
use typst::{Library, LibraryExt as _, World};
use typst_layout::PagedDocument;
use typst_pdf::{PdfOptions, PdfStandard, PdfStandards, Timestamp};

/// What does not change from sheet to sheet: the language, the template, and the names of the two files.
struct Forme {
    library: LazyHash<Library>,
    template: Source,
    copy: FileId,
}

static FORME: LazyLock<Option<Forme>> = LazyLock::new(|| {
    let file = |name: &str| Some(RootedPath::new(VirtualRoot::Project, VirtualPath::new(name).ok()?).intern());
    Some(Forme {
        library: LazyHash::new(Library::builder().build()),
        template: Source::new(file("sheet.typ")?, include_str!("sheet.typ").to_owned()),
        copy: file("sheet.json")?,
    })
});

/// All that the typesetter can see: the template, the copy, the fonts, and the sheet's own date.
struct Desk {
    forme: &'static Forme,
    copy: Bytes,
    today: Option<Datetime>,
}

impl World for Desk {
    fn library(&self) -> &LazyHash<Library> {
        &self.forme.library
    }

    fn book(&self) -> &LazyHash<FontBook> {
        &CASE.book
    }

    fn main(&self) -> FileId {
        self.forme.template.id()
    }

    fn source(&self, id: FileId) -> FileResult<Source> {
        if id == self.forme.template.id() { Ok(self.forme.template.clone()) } else { Err(FileError::AccessDenied) }
    }

    fn file(&self, id: FileId) -> FileResult<Bytes> {
        if id == self.forme.copy { Ok(self.copy.clone()) } else { Err(FileError::AccessDenied) }
    }

    fn font(&self, index: usize) -> Option<Font> {
        CASE.fonts.get(index).cloned()
    }

    fn today(&self, _offset: Option<Duration>) -> Option<Datetime> {
        self.today
    }
}

/// Prints a sheet.
pub(crate) fn print(sheet: &Sheet, size: PageSize) -> Result<Paper, PaperError> {
    let fault = |reason: String| PaperError::Setting { title: sheet.title.clone(), reason };
    let forme = FORME.as_ref().ok_or_else(|| fault("the template has no place".to_owned()))?;
    let page = Page::of(size, copy::is_letter(sheet));
    let copied = copy::copy(sheet, &page)
        .and_then(|value| serde_json::to_vec(&value))
        .map_err(|error| PaperError::Copy { title: sheet.title.clone(), reason: error.to_string() })?;
    let today = day(sheet);
    let desk = Desk { forme, copy: Bytes::new(copied), today };
    let set = typst::compile::<PagedDocument>(&desk).output;
    let document = set.map_err(|faults| bad_figure(sheet, &said(&faults)).unwrap_or_else(|| fault(said(&faults))))?;
    let written =
        write(&document, today, true).map(|bytes| (bytes, true)).or_else(|_| write(&document, today, false).map(|bytes| (bytes, false)));
    // What the typesetter remembers is dropped after it went unused for eight sheets, so that a long-running server stays small.
    typst::comemo::evict(8);
    let (bytes, archival) = written.map_err(fault)?;
    Ok(Paper { bytes, pages: document.pages().len(), archival })
}

fn day(sheet: &Sheet) -> Option<Datetime> {
    let year = sheet.date.year();
    let month = u8::try_from(sheet.date.month()).ok()?;
    (1..=9999).contains(&year).then(|| Datetime::from_ymd(year.into(), month, sheet.date.day().try_into().ok()?))?
}

fn write(document: &PagedDocument, today: Option<Datetime>, archival: bool) -> Result<Vec<u8>, String> {
    let standards: &[PdfStandard] = if archival { &[PdfStandard::A_2a, PdfStandard::Ua_1] } else { &[] };
    let options = PdfOptions {
        creator: Smart::Custom(Some("Groundlore".to_owned())),
        timestamp: today.map(Timestamp::new_utc),
        standards: PdfStandards::new(standards).map_err(|error| error.message().to_string())?,
        ..PdfOptions::default()
    };
    typst_pdf::pdf(document, &options).map_err(|faults| said(&faults))
}

fn said(faults: &[SourceDiagnostic]) -> String {
    faults.iter().map(|fault| fault.message.to_string()).collect::<Vec<_>>().join("; ")
}

/// The first picture that cannot be read. Asked only once setting has failed, so that good pictures are read once.
fn bad_figure(sheet: &Sheet, said: &str) -> Option<PaperError> {
    let pictures = sheet.unfolded().into_iter().filter_map(|block| match block {
        Block::Figure { svg, alt, caption, .. } => Some((svg, if caption.is_empty() { alt } else { caption })),
        _ => None,
    });
    pictures.enumerate().find_map(|(place, (svg, caption))| {
        let unread = SvgImage::new(Bytes::from_string(svg.clone())).is_err();
        if !unread && !refers_elsewhere(svg) {
            return None;
        }
        let reason = said.to_owned();
        Some(PaperError::Figure { number: place + 1, caption: spell(caption), reason })
    })
}

fn refers_elsewhere(svg: &str) -> bool {
    svg.contains("<image")
        && svg.match_indices("href=").any(|(at, mark)| {
            let value = svg[at + mark.len()..].trim_start_matches(['"', '\'']);
            !value.starts_with('#') && !value.starts_with("data:")
        })
}
