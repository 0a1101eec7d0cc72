//! The API described by OpenAPI 3.1, made from its routes.

use super::{Parameter, Route, Verb};
use serde_json::{Map, Value, json};

/// The description as JSON.
pub(super) fn openapi(routes: &[Route]) -> Value {
    let mut paths: Map<String, Value> = Map::new();
    for route in routes {
        let operations = paths.entry(route.path).or_insert_with(|| json!({}));
        operations[verb(route.verb)] = operation(route);
    }
    json!({
        "openapi": "3.1.0",
        "info": {
            "title": "Groundlore",
            "version": "1",
            "description": "The same results as `--json` on the command line. Dates are YYYY-MM-DD; quantities are text with their unit, such as `12.5 ft`; bare numbers are SI, with the unit at the end of their name.",
        },
        "servers": [{"url": "/"}],
        "paths": paths,
        "components": {
            "schemas": {
                "Problem": {
                    "type": "object",
                    "description": "Problem details (RFC 9457).",
                    "required": ["type", "title", "status", "detail"],
                    "properties": {
                        "type": {"type": "string", "format": "uri-reference"},
                        "title": {"type": "string"},
                        "status": {"type": "integer"},
                        "detail": {"type": "string", "description": "What is wrong, the value seen, and what to do."},
                        "instance": {"type": "string", "format": "uri-reference"},
                        "field": {"type": "string", "description": "The field that it is about, if it is about one."},
                    },
                },
            },
            "responses": {
                "Problem": {"description": "What went wrong, and what to do.", "content": {"application/problem+json": {"schema": {"$ref": "#/components/schemas/Problem"}}}},
            },
        },
    })
}

fn verb(verb: Verb) -> &'static str {
    match verb {
        Verb::Get => "get",
        Verb::Post => "post",
    }
}

fn operation(route: &Route) -> Value {
    let answer = json!({"description": "The result.", "content": {"application/json": {"schema": {}}}});
    let mut operation = json!({
        "operationId": route.name,
        "summary": route.about,
        "parameters": route.parameters.iter().map(parameter).collect::<Vec<_>>(),
        "responses": {"2XX": answer, "4XX": {"$ref": "#/components/responses/Problem"}, "5XX": {"$ref": "#/components/responses/Problem"}},
    });
    if !route.body.is_empty() {
        let properties: Map<String, Value> =
            route.body.iter().map(|(name, kind, about)| ((*name).to_owned(), json!({"type": kind, "description": about}))).collect();
        operation["requestBody"] =
            json!({"required": true, "content": {"application/json": {"schema": {"type": "object", "properties": properties}}}});
    }
    operation
}

fn parameter(parameter: &Parameter) -> Value {
    json!({
        "name": parameter.name,
        "in": if parameter.in_path { "path" } else { "query" },
        "required": parameter.in_path,
        "description": parameter.about,
        "schema": {"type": "string"},
        "example": parameter.example,
    })
}
