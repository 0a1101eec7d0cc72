//! Pages and an HTTP API over the desk, for a browser on the same machine.
//!
//! Pages are written on the server from the same [sheets](groundlore_sheet::Sheet) that the terminal and the paper print; forms under them
//! post back to the desk. Everything works without JavaScript. The server listens on loopback only, answers only to its own name, and
//! takes a form only from its own pages.
//!
//! | to… | go to |
//! | --- | --- |
//! | start the server, or build the router for a test | [`serve()`], [`router()`], [`App`] |
//! | turn a sheet into HTML | [`show`] |
//! | refuse strangers: names, origins, headers, sizes | [`guard`] |
//! | see how a request reaches the desk and an answer comes back | `asked`, `reply`, `fault` |
//! | add a page | `pages`, `frame`, `field` |
//! | add a route of the API with its description | `api` |
//!
//! ```
//! # use std::sync::Arc;
//! use groundlore_web::{App, router};
//! # use groundlore_desk::{Desk, book::Book, lore::Lore};
//! let desk = Desk::new(Book::open_in_memory()?, Arc::new(Lore::default()), jiff::civil::date(2015, 8, 17), jiff::Timestamp::UNIX_EPOCH);
//! let router = router(App::new(desk));
//! # let _: axum::Router = router;
//! # Ok::<(), groundlore_desk::DeskError>(())
//! ```

mod api;
mod app;
mod asked;
mod assets;
mod fault;
mod field;
mod figure;
mod frame;
pub mod guard;
mod pages;
mod reply;
mod serve;
pub mod show;
pub mod url;

pub use app::{App, Clock, Printer, router};
pub use serve::{ServeError, bind, serve};
