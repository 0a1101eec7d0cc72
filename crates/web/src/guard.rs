//! What every request must pass: it names this server (so that no foreign name can be pointed at it), and what it changes is sent from this
//! server's own pages. What every answer carries: nothing may be loaded from elsewhere, framed, guessed at or kept.

use crate::app::Shared;
use axum::extract::{Request, State};
use axum::http::{HeaderMap, HeaderName, HeaderValue, Method, StatusCode, header};
use axum::middleware::Next;
use axum::response::{IntoResponse as _, Response};

/// Headers of every answer.
const HEADERS: [(&str, &str); 9] = [
    (
        "content-security-policy",
        "default-src 'none'; style-src 'self'; script-src 'self'; img-src 'self'; connect-src 'self'; form-action 'self'; base-uri 'none'; frame-ancestors 'none'",
    ),
    ("x-content-type-options", "nosniff"),
    ("x-frame-options", "DENY"),
    ("referrer-policy", "same-origin"),
    ("cross-origin-opener-policy", "same-origin"),
    ("cross-origin-resource-policy", "same-origin"),
    ("permissions-policy", "camera=(), microphone=(), geolocation=()"),
    ("x-robots-tag", "noindex"),
    ("cache-control", "no-store"),
];

/// Lets a request through, or says why not.
pub async fn guard(State(app): State<Shared>, request: Request, next: Next) -> Response {
    let refused = refusal(request.method(), request.headers(), request.uri().host(), app.port);
    let mut answer = match refused {
        Some((status, why)) => (status, [(header::CONTENT_TYPE, "text/plain; charset=utf-8")], why).into_response(),
        None => next.run(request).await,
    };
    for (name, value) in HEADERS {
        answer.headers_mut().entry(HeaderName::from_static(name)).or_insert(HeaderValue::from_static(value));
    }
    answer
}

fn refusal(method: &Method, headers: &HeaderMap, uri_host: Option<&str>, port: Option<u16>) -> Option<(StatusCode, &'static str)> {
    const WRONG_NAME: &str =
        "This server answers only to localhost, 127.0.0.1 and [::1], with its own port. Open it under one of these names.\n";
    const FOREIGN: &str = "This was sent from another site's page, so nothing was done. Open the page here and send it again.\n";
    let host = headers.get(header::HOST).and_then(|value| value.to_str().ok()).or(uri_host).unwrap_or_default();
    if !is_own_name(host, port) {
        return Some((StatusCode::MISDIRECTED_REQUEST, WRONG_NAME));
    }
    let reads = matches!(*method, Method::GET | Method::HEAD | Method::OPTIONS);
    if !reads && !is_own_page(headers, host) {
        return Some((StatusCode::FORBIDDEN, FOREIGN));
    }
    None
}

/// Is this host one of the names of this machine to itself, with the server's port?
///
/// ```
/// use groundlore_web::guard::is_own_name;
/// assert!(is_own_name("localhost:7878", Some(7878)) && is_own_name("[::1]:7878", Some(7878)));
/// assert!(!is_own_name("localhost:7879", Some(7878)) && !is_own_name("garden.example:7878", Some(7878)));
/// ```
pub fn is_own_name(host: &str, port: Option<u16>) -> bool {
    let (name, said) = match host.rsplit_once(':') {
        Some((name, digits)) if !name.ends_with(':') && (!name.starts_with('[') || name.ends_with(']')) => {
            (name, digits.parse::<u16>().ok())
        }
        _ => (host, Some(80)),
    };
    let own = ["localhost", "127.0.0.1", "[::1]"].iter().any(|own| name.eq_ignore_ascii_case(own));
    own && said.is_some() && port.is_none_or(|port| said == Some(port))
}

/// Was this sent from one of our own pages, or by a program that is no browser?
fn is_own_page(headers: &HeaderMap, host: &str) -> bool {
    let text = |name: &str| headers.get(name).map(|value| value.to_str().unwrap_or("unreadable"));
    let fetched = text("sec-fetch-site").is_none_or(|site| matches!(site, "same-origin" | "none"));
    let sent = text("origin").is_none_or(|origin| origin.strip_prefix("http://").is_some_and(|from| from.eq_ignore_ascii_case(host)));
    fetched && sent
}
