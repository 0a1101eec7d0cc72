//! The application: the desk behind a lock, the printer, the clock; and the router over it.

use crate::asked::Asked;
use crate::fault::Fault;
use crate::reply::{Reply, Voice, respond};
use crate::{api, assets, guard, pages};
use axum::Router;
use axum::extract::{DefaultBodyLimit, RawPathParams, Request, State};
use axum::response::Response;
use axum::routing::{MethodFilter, MethodRouter, on};
use groundlore_desk::Desk;
use groundlore_sheet::Sheet;
use jiff::Timestamp;
use jiff::civil::Date;
use std::sync::{Arc, Mutex, PoisonError};

/// Prints a sheet as PDF; the binary gives it, so that this crate need not know how paper is made. The error is said to the person as it is.
pub type Printer = Arc<dyn Fn(&Sheet) -> Result<Vec<u8>, String> + Send + Sync>;

/// Tells the day and the moment, asked before each request. Without one the desk stays on the day it was made for.
pub type Clock = Arc<dyn Fn() -> (Date, Timestamp) + Send + Sync>;

/// Largest body of a form or an API call, in bytes.
const LARGEST_BODY: usize = 512 * 1024;
/// Largest body of a map that is brought in, in bytes.
const LARGEST_MAP: usize = 8 * 1024 * 1024;

/// Largest body of letters with their photos, in bytes.
const LARGEST_POST: usize = 64 * 1024 * 1024;

/// What the pages stand on.
pub struct App {
    desk: Mutex<Desk>,
    printer: Option<Printer>,
    clock: Option<Clock>,
    pub(crate) port: Option<u16>,
}

impl std::fmt::Debug for App {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("App").field("port", &self.port).field("prints", &self.printer.is_some()).finish_non_exhaustive()
    }
}

/// The application as handlers share it.
pub(crate) type Shared = Arc<App>;

/// What a page or a route of the API does: it reads the request, works at the desk, and replies. It may block.
pub(crate) type Run = fn(&mut Desk, &Asked) -> Result<Reply, Fault>;

impl App {
    /// An application over a desk, without a printer, on the desk's own day.
    pub fn new(desk: Desk) -> Self {
        Self { desk: Mutex::new(desk), printer: None, clock: None, port: None }
    }

    /// Offers each sheet as PDF too.
    #[must_use]
    pub fn printing_with(mut self, printer: Printer) -> Self {
        self.printer = Some(printer);
        self
    }

    /// Moves the desk's day and moment on by a clock.
    #[must_use]
    pub fn by_the_clock(mut self, clock: Clock) -> Self {
        self.clock = Some(clock);
        self
    }

    /// The port that the server listens on: requests that name another are refused.
    #[must_use]
    pub fn on_port(mut self, port: u16) -> Self {
        self.port = Some(port);
        self
    }

    /// Can sheets be printed?
    pub(crate) fn prints(&self) -> bool {
        self.printer.is_some()
    }

    /// A sheet as PDF.
    pub(crate) fn print(&self, sheet: &Sheet) -> Result<Vec<u8>, Fault> {
        let printer = self
            .printer
            .as_ref()
            .ok_or_else(|| Fault::new(501, "No printer", "this server was started without one; read the page instead"))?;
        printer(sheet).map_err(|why| Fault::new(500, "The sheet could not be printed", why))
    }

    /// Works at the desk, on the clock's day. A panic of an earlier request does not lock the book: what it had not finished was undone.
    pub(crate) fn at_desk<T>(&self, work: impl FnOnce(&mut Desk) -> T) -> T {
        let mut desk = self.desk.lock().unwrap_or_else(PoisonError::into_inner);
        if let Some(clock) = &self.clock {
            (desk.today, desk.now) = clock();
        }
        work(&mut desk)
    }
}

/// The router: pages, assets and API, behind the guards.
pub fn router(app: App) -> Router {
    let shared = Arc::new(app);
    let maps = pages::map_routes().layer(DefaultBodyLimit::max(LARGEST_MAP));
    let post = pages::post_routes().layer(DefaultBodyLimit::max(LARGEST_POST));
    Router::new()
        .merge(pages::routes())
        .merge(api::routes())
        .layer(DefaultBodyLimit::max(LARGEST_BODY))
        .merge(maps)
        .merge(post)
        .merge(assets::routes())
        .fallback(pages::nothing_here)
        .layer(axum::middleware::from_fn_with_state(Arc::clone(&shared), guard::guard))
        .with_state(shared)
}

/// A page read with GET.
pub(crate) fn get(run: Run) -> MethodRouter<Shared> {
    on(MethodFilter::GET, move |state, params, request| answer(state, params, request, run, Voice::Page))
}

/// A form sent with POST.
pub(crate) fn post(run: Run) -> MethodRouter<Shared> {
    on(MethodFilter::POST, move |state, params, request| answer(state, params, request, run, Voice::Page))
}

/// A route of the API.
pub(crate) fn api_on(method: MethodFilter, run: Run) -> MethodRouter<Shared> {
    on(method, move |state, params, request| answer(state, params, request, run, Voice::Api))
}

async fn answer(State(app): State<Shared>, params: RawPathParams, request: Request, run: Run, voice: Voice) -> Response {
    let asked = match Asked::read(&params, request).await {
        Ok(asked) => asked,
        Err(fault) => return respond(&app, None, Err(fault), voice),
    };
    let worker = Arc::clone(&app);
    let worked = tokio::task::spawn_blocking(move || {
        let outcome = worker.at_desk(|desk| run(desk, &asked));
        respond(&worker, Some(&asked), outcome, voice)
    });
    worked.await.unwrap_or_else(|error| {
        tracing::error!(%error, "a page failed");
        let detail = "this is a fault of the program, not of what you sent; nothing was half-written. Go back and try once more";
        respond(&app, None, Err(Fault::new(500, "The program stumbled", detail)), voice)
    })
}
