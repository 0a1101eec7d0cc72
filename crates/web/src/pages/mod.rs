//! The pages, one room a file. Each page is a function of the desk and the request; its routes stand in its own file.

mod bed;
mod count;
mod label;
pub(crate) mod learned;
mod letter;
mod lore;
mod machine;
mod price;
mod reckon;
pub(crate) mod record_keeping;
mod season;
mod stock;
mod treatment;
mod treatment_paper;
mod week;
mod yard;

use crate::app::Shared;
use crate::fault::Fault;
use crate::reply::{Voice, respond};
use axum::Router;
use axum::extract::State;
use axum::http::Uri;
use axum::response::Response;

/// All pages but those that may be sent more at a time: maps, and letters with photos.
pub(crate) fn routes() -> Router<Shared> {
    Router::new()
        .merge(week::routes())
        .merge(yard::routes())
        .merge(letter::routes())
        .merge(count::routes())
        .merge(treatment::routes())
        .merge(treatment_paper::routes())
        .merge(label::routes())
        .merge(learned::routes())
        .merge(record_keeping::routes())
        .merge(bed::routes())
        .merge(stock::routes())
        .merge(season::routes())
        .merge(price::routes())
        .merge(machine::routes())
        .merge(reckon::routes())
        .merge(lore::routes())
}

/// Where maps are brought in.
pub(crate) fn map_routes() -> Router<Shared> {
    yard::map_routes()
}

/// Where letters come in with their photos.
pub(crate) fn post_routes() -> Router<Shared> {
    letter::post_routes()
}

/// The answer to an address that leads nowhere.
pub(crate) async fn nothing_here(State(app): State<Shared>, uri: Uri) -> Response {
    let voice = if uri.path().starts_with("/api/") { Voice::Api } else { Voice::Page };
    respond(&app, None, Err(Fault::missing(format!("there is no page `{}`", uri.path()), "begin at the week, or at the yards")), voice)
}
