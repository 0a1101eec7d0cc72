//! What went wrong, as a page and the API say it: what, the value, and what to do; tied to the field that it is about.

use groundlore_book::BookError;
use groundlore_desk::DeskError;
use groundlore_reckoner::ReckonError;
use serde_json::{Value, json};

/// Something that went wrong.
#[derive(Debug, Clone)]
pub(crate) struct Fault {
    /// HTTP status.
    pub(crate) status: u16,
    /// In a few words.
    pub(crate) title: String,
    /// What, the value seen, and the remedy.
    pub(crate) detail: String,
    /// The field that it is about, if it is about one.
    pub(crate) field: Option<String>,
}

impl Fault {
    pub(crate) fn new(status: u16, title: impl Into<String>, detail: impl Into<String>) -> Self {
        Self { status, title: title.into(), detail: detail.into(), field: None }
    }

    /// Something that is not there.
    pub(crate) fn missing(what: impl std::fmt::Display, remedy: impl std::fmt::Display) -> Self {
        Self::new(404, "Not here", format!("{what}; {remedy}"))
    }

    /// A value of a form that cannot be used.
    pub(crate) fn at_field(field: &str, detail: impl Into<String>) -> Self {
        Self { field: Some(field.to_owned()), ..Self::new(422, "Something to put right", detail) }
    }

    /// Ties the fault to the field that its words are about; the first row whose words it holds wins.
    #[must_use]
    pub(crate) fn aimed(mut self, rows: &[(&str, &str)]) -> Self {
        let said = self.detail.to_lowercase();
        let found = rows.iter().find(|(words, _)| said.contains(words)).map(|(_, field)| (*field).to_owned());
        self.field = self.field.or(found);
        self
    }

    /// As problem details (RFC 9457).
    pub(crate) fn problem(&self, address: &str) -> Value {
        let mut problem =
            json!({"type": "about:blank", "title": self.title, "status": self.status, "detail": self.detail, "instance": address});
        if let Some(field) = &self.field {
            problem["field"] = json!(field);
        }
        problem
    }
}

impl From<DeskError> for Fault {
    fn from(error: DeskError) -> Self {
        let detail = error.to_string();
        match error {
            DeskError::Book(book) => book.into(),
            DeskError::Missing { .. } => Self::new(404, "Something is missing", detail),
            DeskError::Quantity { what, .. } | DeskError::Refused { what, .. } => {
                Self { field: Some(what), ..Self::new(422, "Something to put right", detail) }
            }
            DeskError::Letter(_) | DeskError::Map(_) | DeskError::Work(_) | DeskError::Science(_) | DeskError::Weather(_) => {
                Self::new(422, "Something to put right", detail)
            }
            _ => Self::new(500, "The desk could not do this", detail),
        }
    }
}

impl From<BookError> for Fault {
    fn from(error: BookError) -> Self {
        let (status, title) = match &error {
            BookError::NotFound { .. } => (404, "Not in the book"),
            BookError::Busy { .. } => (503, "The book is being written to"),
            BookError::InvalidValue { .. } | BookError::Refused { .. } | BookError::AppendOnly { .. } | BookError::Rows(_) => {
                (422, "Something to put right")
            }
            _ => (500, "The book could not do this"),
        };
        Self::new(status, title, error.to_string())
    }
}

impl From<ReckonError> for Fault {
    fn from(error: ReckonError) -> Self {
        let detail = error.to_string();
        match error {
            ReckonError::UnknownKey { .. } => Self::new(404, "No such calculator", detail),
            ReckonError::Missing { name, .. }
            | ReckonError::Wrong { name, .. }
            | ReckonError::UnknownInput { name, .. }
            | ReckonError::Twice { name } => Self::at_field(&name, detail),
            ReckonError::Output { .. } | ReckonError::NoAnswer(_) => Self::new(422, "Something to put right", detail),
        }
    }
}
