//! The style sheet, the one script and the icon, held in the binary.

use crate::app::Shared;
use axum::Router;
use axum::http::header;
use axum::response::IntoResponse;
use axum::routing::get;

const STYLE: &str = include_str!("../assets/style.css");
const COUNT: &str = include_str!("../assets/count.js");
const ICON: &str = include_str!("../assets/icon.svg");

/// Routes of the assets.
pub(crate) fn routes() -> Router<Shared> {
    Router::new()
        .route("/style.css", get(async || asset("text/css; charset=utf-8", STYLE)))
        .route("/count.js", get(async || asset("text/javascript; charset=utf-8", COUNT)))
        .route("/icon.svg", get(async || asset("image/svg+xml", ICON)))
}

fn asset(kind: &'static str, text: &'static str) -> impl IntoResponse {
    ([(header::CONTENT_TYPE, kind), (header::CACHE_CONTROL, "no-cache")], text)
}

#[cfg(test)]
mod tests {
    #[test]
    fn the_style_sheet_and_the_script_are_light() {
        assert!(super::STYLE.len() < 12_000, "{} bytes", super::STYLE.len());
        assert!(super::COUNT.len() < 4_000, "{} bytes", super::COUNT.len());
    }
}
