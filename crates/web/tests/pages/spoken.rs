//! The pages, spoken to over HTTP without a network.

use crate::small_book::desk;
use axum::Router;
use axum::body::{Body, to_bytes};
use axum::http::{Request, Response, StatusCode, header};
use groundlore_web::{App, router};
use tower::ServiceExt as _;

/// The name and port that the pages answer to.
pub(crate) const HOST: &str = "127.0.0.1:7878";

/// The pages over the small book.
pub(crate) fn pages() -> Router {
    router(App::new(desk()).on_port(7878))
}

/// An answer.
pub(crate) struct Said {
    pub(crate) status: StatusCode,
    pub(crate) kind: String,
    pub(crate) to: String,
    pub(crate) text: String,
}

pub(crate) async fn send(router: &Router, request: Request<Body>) -> Said {
    let answer: Response<Body> = router.clone().oneshot(request).await.unwrap();
    let head = |name: header::HeaderName| answer.headers().get(name).map(|value| value.to_str().unwrap().to_owned()).unwrap_or_default();
    let (status, kind, to) = (answer.status(), head(header::CONTENT_TYPE), head(header::LOCATION));
    let bytes = to_bytes(answer.into_body(), 4_000_000).await.unwrap();
    Said { status, kind, to, text: String::from_utf8_lossy(&bytes).into_owned() }
}

pub(crate) async fn get(router: &Router, address: &str) -> Said {
    send(router, Request::get(address).header("host", HOST).body(Body::empty()).unwrap()).await
}

pub(crate) async fn post(router: &Router, address: &str, form: &str) -> Said {
    let request = Request::post(address)
        .header("host", HOST)
        .header("origin", format!("http://{HOST}"))
        .header("content-type", "application/x-www-form-urlencoded")
        .body(Body::from(form.to_owned()))
        .unwrap();
    send(router, request).await
}
