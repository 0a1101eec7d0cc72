//! What a person reads: one model for the terminal, the page, the paper and the API.
//!
//! The desk writes a [`Sheet`]; [`text`] prints it to a terminal, the web crate to HTML, the paper crate to PDF, and serde to JSON. So a
//! figure, its reasons, its sources and its cautions are the same wherever they are read.
//!
//! ```
//! use groundlore_sheet::{Block, Sheet, text};
//! let sheet = Sheet::new("week", "This week", jiff::civil::date(2015, 8, 17)).with(Block::paragraph("Two things fall due."));
//! assert!(text::print(&sheet, 60).contains("Two things fall due."));
//! ```
pub mod text;

use jiff::civil::Date;
use serde::{Deserialize, Serialize};

/// Width in which a picture is drawn for a narrow screen, in CSS pixels: letters keep their size on a telephone of 360.
pub const NARROW: f64 = 320.0;

/// A sheet: a heading and blocks to be read from top to bottom.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Sheet {
    /// What kind of sheet it is, as a key (`week`, `scouting-sheet`, `letter-to-owner`).
    pub kind: String,
    /// Title.
    pub title: String,
    /// A line under the title.
    pub subtitle: Option<String>,
    /// Whose sheet it is.
    pub letterhead: Option<Letterhead>,
    /// Day of the sheet.
    pub date: Date,
    /// To whom it goes, line by line (letters and proposals).
    pub addressed_to: Vec<String>,
    /// The blocks.
    pub blocks: Vec<Block>,
    /// Small print at the foot.
    pub foot: Vec<String>,
}

/// The firm at the head of a sheet.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Letterhead {
    /// Name of the firm.
    pub name: String,
    /// Place and contact lines.
    pub lines: Vec<String>,
}

/// One block of a sheet.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(tag = "block", rename_all = "kebab-case")]
pub enum Block {
    /// A heading within the sheet.
    Heading {
        /// The heading.
        text: String,
    },
    /// A paragraph of plain text.
    Paragraph {
        /// The text.
        text: String,
    },
    /// The answer in a line, said large: a verdict, a class of action.
    Verdict {
        /// The words (`Count 6 more before deciding`).
        text: String,
        /// A sentence that carries it.
        why: String,
        /// How it is meant.
        tone: Tone,
    },
    /// A few figures said large.
    KeyFigures {
        /// The figures.
        figures: Vec<KeyFigure>,
    },
    /// Pairs of a name and a value.
    Facts {
        /// The pairs.
        facts: Vec<(String, String)>,
    },
    /// A table.
    Table(Table),
    /// A list.
    List {
        /// Numbered or not.
        ordered: bool,
        /// The items.
        items: Vec<String>,
    },
    /// Checks with their state.
    Checks {
        /// The checks.
        checks: Vec<Check>,
    },
    /// A picture.
    Figure {
        /// The picture as a whole SVG document.
        svg: String,
        /// The same drawn for a narrow screen, where it is; a page shows one of the two. Programs are given `svg` alone.
        #[serde(default, skip_serializing)]
        narrow: Option<String>,
        /// What it shows, for those who cannot see it.
        alt: String,
        /// Caption.
        caption: String,
    },
    /// A task with its window.
    Task(TaskCard),
    /// Cautions.
    Cautions {
        /// The cautions.
        cautions: Vec<String>,
    },
    /// Working, line by line; folded away on a page.
    Working {
        /// What it works out.
        title: String,
        /// The lines.
        lines: Vec<String>,
    },
    /// Blocks under a heading that is folded away on a page until it is asked for; open on paper and terminal.
    Fold {
        /// The heading.
        title: String,
        /// Stands open on a page from the first.
        open: bool,
        /// What is under it.
        blocks: Vec<Block>,
    },
    /// Lines to be filled in by hand on paper (`Wind, from and speed`).
    Fill {
        /// The labels.
        labels: Vec<String>,
    },
    /// Lines to sign on.
    Signatures {
        /// Who signs.
        who: Vec<String>,
    },
    /// Sources.
    Sources {
        /// The sources.
        sources: Vec<String>,
    },
    /// A new page on paper.
    PageBreak,
}

/// How a verdict is meant. It is always said in words too; the tone only sets weight and edge.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Tone {
    /// Danger: act for people's safety.
    Danger,
    /// Act.
    Act,
    /// Watch, or count more.
    Watch,
    /// Leave it alone; all is well.
    Calm,
}

/// A figure said large.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct KeyFigure {
    /// The figure with its unit (`8.4 per ft²`).
    pub value: String,
    /// What it is.
    pub label: String,
    /// Its interval, odds or source.
    pub note: String,
}

/// A table.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Table {
    /// Caption.
    pub caption: String,
    /// Columns.
    pub columns: Vec<Column>,
    /// Rows, each as long as `columns`.
    pub rows: Vec<Vec<String>>,
    /// Rows left empty to be written in on paper.
    pub blank_rows: usize,
    /// A last row that sums up.
    pub total: Option<Vec<String>>,
}

/// A column of a table.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Column {
    /// Heading.
    pub name: String,
    /// Numbers stand to the right.
    pub numeric: bool,
}

/// A check with its state.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Check {
    /// What is checked.
    pub what: String,
    /// State.
    pub state: CheckState,
    /// Why it stands so, or what to look for.
    pub why: String,
}

/// State of a check.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum CheckState {
    /// Passed.
    Pass,
    /// In doubt.
    Doubt,
    /// Refused.
    Refuse,
    /// Nobody has looked, or the label card is blank here.
    NotChecked,
}

impl CheckState {
    /// The word.
    pub fn word(self) -> &'static str {
        match self {
            Self::Pass => "pass",
            Self::Doubt => "doubt",
            Self::Refuse => "refuse",
            Self::NotChecked => "not checked",
        }
    }
}

/// A task as it is read.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct TaskCard {
    /// Key in the book.
    pub key: String,
    /// Yard.
    pub yard: String,
    /// What is to be done.
    pub what: String,
    /// Where.
    pub place: Option<String>,
    /// First day.
    pub earliest: Date,
    /// Best day.
    pub best: Date,
    /// Last day.
    pub latest: Date,
    /// How today stands to the window, in words (`open`, `past its best day`, `missed`, `opens on …`).
    pub standing: String,
    /// Odds behind the dates.
    pub odds: Vec<String>,
    /// Why, with figures and sources.
    pub reasons: Vec<String>,
    /// What it takes.
    pub takes: Vec<String>,
    /// What forbids it.
    pub forbids: Vec<String>,
    /// Cautions.
    pub cautions: Vec<String>,
    /// State: `to do`, `begun`, `done`, `could not`.
    pub state: String,
}

impl Sheet {
    /// An empty sheet.
    pub fn new(kind: &str, title: impl Into<String>, date: Date) -> Self {
        Self {
            kind: kind.to_owned(),
            title: title.into(),
            subtitle: None,
            letterhead: None,
            date,
            addressed_to: Vec::new(),
            blocks: Vec::new(),
            foot: Vec::new(),
        }
    }

    /// Sets the line under the title.
    #[must_use]
    pub fn subtitle(mut self, text: impl Into<String>) -> Self {
        self.subtitle = Some(text.into());
        self
    }

    /// Adds a block.
    #[must_use]
    pub fn with(mut self, block: Block) -> Self {
        self.blocks.push(block);
        self
    }

    /// The blocks with every fold opened: its heading, then what is under it.
    pub fn unfolded(&self) -> Vec<&Block> {
        fn open<'a>(blocks: &'a [Block], into: &mut Vec<&'a Block>) {
            for block in blocks {
                into.push(block);
                if let Block::Fold { blocks, .. } = block {
                    open(blocks, into);
                }
            }
        }
        let mut all = Vec::new();
        open(&self.blocks, &mut all);
        all
    }

    /// Adds a block.
    pub fn push(&mut self, block: Block) {
        self.blocks.push(block);
    }
}

impl Block {
    /// A heading.
    pub fn heading(text: impl Into<String>) -> Self {
        Self::Heading { text: text.into() }
    }

    /// A paragraph.
    pub fn paragraph(text: impl Into<String>) -> Self {
        Self::Paragraph { text: text.into() }
    }

    /// An unordered list.
    pub fn list(items: Vec<String>) -> Self {
        Self::List { ordered: false, items }
    }

    /// A picture drawn twice: wide for page and paper, and narrow for a small screen.
    pub fn figure(draw: impl Fn(f64) -> String, width: f64, alt: impl Into<String>, caption: impl Into<String>) -> Self {
        Self::Figure { svg: draw(width), narrow: Some(draw(NARROW)), alt: alt.into(), caption: caption.into() }
    }

    /// A table; a heading that ends in `#` is of a numeric column (the mark is taken off).
    pub fn table(caption: impl Into<String>, columns: &[&str], rows: Vec<Vec<String>>) -> Self {
        let columns =
            columns.iter().map(|name| Column { name: name.trim_end_matches('#').to_owned(), numeric: name.ends_with('#') }).collect();
        Self::Table(Table { caption: caption.into(), columns, rows, blank_rows: 0, total: None })
    }
}
