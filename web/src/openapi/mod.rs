//! `/openapi.json`: every address of the program, with what it takes and gives (OpenAPI 3.1).
//!
//! Method, address and access come from the routes themselves, the schemas of replies from the types of the wire
//! (derived beside them, so that they cannot fall behind). Only what neither knows stands in a table here: a sentence,
//! the names of fields, the kind of answer. An annotation on each of the ninety handlers would say the addresses and
//! methods a second time.

use std::sync::LazyLock;

use serde_json::{Map, Value, json};

use crate::access::{Access, Declared};
use crate::routes::routes;

mod kinds;
mod operations;
mod schemas;

use kinds::Operation;

/// The document as text, made once.
pub fn document() -> &'static str {
    static TEXT: LazyLock<String> = LazyLock::new(|| of(routes().declared()).to_string());
    &TEXT
}

const DESCRIPTION: &str = "\
Pages for people and replies for programs of one shop's catalogue and fitting room.

Stability: keys that stand here stay, with their meaning and unit; new keys may come, so a reader passes over those it \
does not know. Keys carry their unit (`_mm`, `_g`, `_percent`); numbers are never localised; what is not known is `null` \
and never 0; times are seconds since 1970. Tokens such as `next` and `toggle` are addresses to be followed as they are.

Limits: 2 kB of path and query (414), 64 kB of a form or JSON body and 40 MB of a sheet (413), 20 rows on a page, 50 pages, \
10 seconds for an answer and two minutes for a sheet (503). Whoever is turned away with 503 finds `Retry-After`.

A refusal is `application/problem+json` (RFC 9457) for whoever accepts JSON, and a page for everybody else. What changes \
anything is posted by a page of the same origin: `Origin` or `Sec-Fetch-Site` must say so, `/rank.json` apart.";

fn of(declared: &[Declared]) -> Value {
    let mut paths = Map::new();
    for route in declared {
        let Some(operation) = operations::of(route) else { continue };
        let item = paths.entry(route.path).or_insert_with(|| json!({}));
        item[route.method.as_str().to_lowercase()] = described(route, operation);
    }
    json!({
        "openapi": "3.1.0",
        "info": {
            "title": "Lastbench",
            "version": env!("CARGO_PKG_VERSION"),
            "summary": "A shoe-spec catalogue and fitting advisor for a running shop's fitting room.",
            "description": DESCRIPTION,
            "license": { "name": "MIT", "identifier": "MIT" },
        },
        "paths": paths,
        "components": {
            "schemas": schemas::all(),
            "headers": {
                "RequestId": {
                    "description": "By which the log knows this request.",
                    "schema": { "type": "string" },
                },
            },
        },
    })
}

fn described(route: &Declared, operation: &Operation) -> Value {
    let named = route.path.replace(['{', '}'], "");
    let name = named.split(['/', '.', '-']).filter(|part| !part.is_empty()).collect::<Vec<_>>().join("_");
    let name = if name.is_empty() { "desk".to_owned() } else { name };
    let mut described = json!({
        "operationId": format!("{}_{name}", route.method.as_str().to_lowercase()),
        "summary": operation.says,
        "parameters": operation.parameters(),
        "responses": operation.responses(),
        "x-access": access(route.access),
    });
    if let Some(body) = operation.body() {
        described["requestBody"] = body;
    }
    described
}

const fn access(access: Access) -> &'static str {
    match access {
        Access::Anybody => "anybody",
        Access::Fitter => "fitter",
        Access::Scraper => {
            "owner, or a scraper on the server's own computer where that was allowed at its start"
        }
        Access::Owner => "owner",
        Access::OwnerAnew => "owner, password given anew",
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::collections::BTreeSet;

    #[test]
    fn every_declared_route_is_described_and_nothing_else() {
        let document: Value = serde_json::from_str(document()).unwrap();
        let described: BTreeSet<(String, String)> = document["paths"]
            .as_object()
            .unwrap()
            .iter()
            .flat_map(|(path, methods)| {
                methods.as_object().unwrap().keys().map(|method| (path.clone(), method.to_uppercase()))
            })
            .collect();
        let routes = routes();
        let declared: BTreeSet<(String, String)> =
            routes.declared().iter().map(|route| (route.path.to_owned(), route.method.to_string())).collect();
        assert_eq!(described, declared, "add a line to openapi/operations.rs, or take one out");
        assert_eq!(operations::count(), declared.len(), "a line of openapi/operations.rs describes no route");
    }

    #[test]
    fn every_description_is_a_sentence_of_its_own_and_every_name_of_an_operation_too() {
        let document: Value = serde_json::from_str(document()).unwrap();
        let (mut names, mut sentences) = (BTreeSet::new(), BTreeSet::new());
        for (path, methods) in document["paths"].as_object().unwrap() {
            for operation in methods.as_object().unwrap().values() {
                let (name, says) =
                    (operation["operationId"].as_str().unwrap(), operation["summary"].as_str().unwrap());
                assert!(names.insert(name.to_owned()), "{path}: {name}");
                assert!(says.ends_with('.') && sentences.insert(says.to_owned()), "{path}: {says}");
            }
        }
    }

    #[test]
    fn every_reference_leads_to_a_part_of_the_document() {
        let document: Value = serde_json::from_str(document()).unwrap();
        let text = document.to_string();
        let references: BTreeSet<&str> =
            text.split("\"$ref\":\"#").skip(1).filter_map(|rest| rest.split('"').next()).collect();
        assert!(references.len() > 20);
        for reference in references {
            assert!(document.pointer(reference).is_some(), "{reference}");
        }
    }
}
