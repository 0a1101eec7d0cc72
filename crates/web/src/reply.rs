//! What comes back: a page, another address to look at, JSON, or a fault; as a person or a program reads it.

use crate::app::App;
use crate::asked::Asked;
use crate::fault::Fault;
use crate::frame;
use axum::body::Body;
use axum::http::{StatusCode, header};
use axum::response::{IntoResponse as _, Response};
use groundlore_sheet::Sheet;
use maud::{Markup, html};
use serde_json::Value;

/// Who listens.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Voice {
    /// A person at a page.
    Page,
    /// A program at the API.
    Api,
}

/// The rooms of the main navigation.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Room {
    Week,
    Yards,
    Letters,
    Price,
    Machines,
    Reckoner,
    Lore,
    Nowhere,
}

/// A page: a sheet with forms before and after it.
#[derive(Debug)]
pub(crate) struct Page {
    pub(crate) title: String,
    pub(crate) room: Room,
    /// The yard whose rooms are offered beside it, and the room that this is.
    pub(crate) yard: Option<(String, &'static str)>,
    pub(crate) sheet: Option<Sheet>,
    /// Offered on paper: only what can be asked for again by its address.
    pub(crate) on_paper: bool,
    pub(crate) before: Markup,
    pub(crate) after: Markup,
    pub(crate) status: u16,
    pub(crate) script: bool,
    /// A page for one task in the field: instead of all ways, one way out of it.
    pub(crate) way_out: Option<(String, &'static str)>,
}

impl Page {
    /// A page of a sheet.
    pub(crate) fn of(room: Room, sheet: Sheet) -> Self {
        Self { title: sheet.title.clone(), sheet: Some(sheet), on_paper: true, ..Self::titled(room, "") }
    }

    /// A page without a sheet; its content follows by [`Page::after`].
    pub(crate) fn titled(room: Room, title: impl Into<String>) -> Self {
        Self {
            title: title.into(),
            room,
            yard: None,
            sheet: None,
            on_paper: false,
            before: html! {},
            after: html! {},
            status: 200,
            script: false,
            way_out: None,
        }
    }

    pub(crate) fn at_yard(mut self, yard: &str, room: &'static str) -> Self {
        self.yard = Some((yard.to_owned(), room));
        self
    }

    pub(crate) fn before(mut self, markup: Markup) -> Self {
        self.before = markup;
        self
    }

    pub(crate) fn after(mut self, markup: Markup) -> Self {
        self.after = markup;
        self
    }

    /// The status of the fault that is shown on the page, if there is one.
    pub(crate) fn after_fault(mut self, fault: Option<&Fault>) -> Self {
        if let Some(fault) = fault {
            self.status = fault.status;
            self.on_paper = false;
        }
        self
    }
}

/// A reply.
#[derive(Debug)]
pub(crate) enum Reply {
    /// A page.
    Page(Box<Page>),
    /// Look there (after a form was taken).
    See(String),
    /// JSON.
    Json(Value),
    /// JSON of something that was written down.
    Made(Value),
    /// An iCalendar feed.
    Calendar(String),
    /// A table as CSV (RFC 4180).
    Csv(String),
    /// A picture: its media type, and its bytes as they came.
    Picture(&'static str, Vec<u8>),
}

impl From<Page> for Reply {
    fn from(page: Page) -> Self {
        Self::Page(Box::new(page))
    }
}

/// The reply as an HTTP response.
pub(crate) fn respond(app: &App, asked: Option<&Asked>, outcome: Result<Reply, Fault>, voice: Voice) -> Response {
    match (outcome, voice) {
        (Ok(Reply::Page(page)), _) => match (&page.sheet, asked.and_then(|a| a.query("as"))) {
            (Some(sheet), Some("pdf")) if page.on_paper => on_paper(app, sheet),
            _ => html_of(page.status, frame::page(app, asked, &page)),
        },
        (Ok(Reply::See(address)), _) => (StatusCode::SEE_OTHER, [(header::LOCATION, address)]).into_response(),
        (Ok(Reply::Csv(text)), _) => (StatusCode::OK, [(header::CONTENT_TYPE, "text/csv; charset=utf-8")], text).into_response(),
        (Ok(Reply::Calendar(text)), _) => (StatusCode::OK, [(header::CONTENT_TYPE, "text/calendar; charset=utf-8")], text).into_response(),
        (Ok(Reply::Picture(kind, bytes)), _) => {
            // No name and no script of its own: a picture is shown, or taken as a file, and nothing else.
            let headers = [
                (header::CONTENT_TYPE, kind),
                (header::CONTENT_DISPOSITION, "inline; filename=\"photo\""),
                (header::CONTENT_SECURITY_POLICY, "default-src 'none'; sandbox"),
            ];
            (StatusCode::OK, headers, Body::from(bytes)).into_response()
        }
        (Ok(Reply::Json(value)), _) => json(StatusCode::OK, "application/json", &value),
        (Ok(Reply::Made(value)), _) => json(StatusCode::CREATED, "application/json", &value),
        (Err(fault), Voice::Api) => {
            let address = asked.map_or("", |a| a.address.as_str());
            json(status(fault.status), "application/problem+json", &fault.problem(address))
        }
        (Err(fault), Voice::Page) => html_of(fault.status, frame::fault_page(asked, &fault)),
    }
}

fn on_paper(app: &App, sheet: &Sheet) -> Response {
    match app.print(sheet) {
        Ok(bytes) => {
            let name = format!("inline; filename=\"{}-{}.pdf\"", sheet.kind, sheet.date);
            ([(header::CONTENT_TYPE, "application/pdf".to_owned()), (header::CONTENT_DISPOSITION, name)], Body::from(bytes)).into_response()
        }
        Err(fault) => html_of(fault.status, frame::fault_page(None, &fault)),
    }
}

fn status(code: u16) -> StatusCode {
    StatusCode::from_u16(code).unwrap_or(StatusCode::INTERNAL_SERVER_ERROR)
}

fn html_of(code: u16, page: Markup) -> Response {
    (status(code), [(header::CONTENT_TYPE, "text/html; charset=utf-8")], page.into_string()).into_response()
}

fn json(code: StatusCode, kind: &'static str, value: &Value) -> Response {
    let text = serde_json::to_string_pretty(value).unwrap_or_else(|_| "{}".to_owned());
    (code, [(header::CONTENT_TYPE, kind)], text + "\n").into_response()
}
