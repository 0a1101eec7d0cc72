//! The JSON API under `/api/v1`: the same results as `--json` on the command line, errors as problem details (RFC 9457), described by
//! OpenAPI 3.1 at `/api/openapi.json`.
//!
//! A route is one row: method, address, what it does, what it takes, and the function that answers. The router and the description are both
//! made from these rows, so that neither can say what the other does not.

mod answers;
mod description;

use crate::app::{Shared, api_on, get};
use crate::asked::Asked;
use crate::fault::Fault;
use crate::reply::Reply;
use axum::Router;
use axum::routing::MethodFilter;
use groundlore_desk::Desk;
use serde::de::DeserializeOwned;
use serde_json::Value;

/// How a route is called.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Verb {
    /// Reads.
    Get,
    /// Writes.
    Post,
}

/// A parameter of the address or of the query.
struct Parameter {
    name: &'static str,
    /// In the address (and then needed), or in the query.
    in_path: bool,
    about: &'static str,
    example: &'static str,
}

/// A route of the API.
struct Route {
    verb: Verb,
    path: &'static str,
    /// Name of the operation for generated clients.
    name: &'static str,
    about: &'static str,
    parameters: &'static [Parameter],
    /// Fields of the JSON body: name, JSON type, what it is.
    body: &'static [(&'static str, &'static str, &'static str)],
    answer: crate::app::Run,
}

/// The routes, and the description.
pub(crate) fn routes() -> Router<Shared> {
    let mut router = Router::new().route("/api/openapi.json", get(description));
    for route in answers::ROUTES {
        let method = match route.verb {
            Verb::Get => MethodFilter::GET,
            Verb::Post => MethodFilter::POST,
        };
        router = router.route(route.path, api_on(method, route.answer));
    }
    router
}

fn description(_: &mut Desk, _: &Asked) -> Result<Reply, Fault> {
    Ok(Reply::Json(description::openapi(answers::ROUTES)))
}

/// A result as JSON.
fn json(value: impl serde::Serialize) -> Result<Value, Fault> {
    serde_json::to_value(value).map_err(|e| Fault::new(500, "The answer could not be written", e.to_string()))
}

/// The body of a request, read as what the route takes.
fn body<T: DeserializeOwned>(asked: &Asked) -> Result<T, Fault> {
    let value = asked
        .json
        .clone()
        .ok_or_else(|| Fault::new(400, "No JSON was sent", "send one JSON object with content type `application/json`"))?;
    serde_json::from_value(value)
        .map_err(|e| Fault::new(422, "The JSON is not what is expected", format!("{e}; see /api/openapi.json for the fields")))
}
