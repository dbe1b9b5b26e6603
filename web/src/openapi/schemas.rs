//! The schemas: of replies from the types of the wire, of a refusal and of the runner file by hand.

use serde_json::{Map, Value, json};

use crate::request::runner::{Shape, keys};
use crate::wire;

/// Every schema by its name.
pub(super) fn all() -> Map<String, Value> {
    let mut all = wire::schemas();
    all.values_mut().for_each(with_every_key);
    all.insert("Problem".to_owned(), problem());
    all.insert("Runner".to_owned(), runner());
    all
}

/// A reply of ours leaves no key out: what is not known is `null`. The types do not say so by themselves.
fn with_every_key(schema: &mut Value) {
    if let Some(properties) = schema["properties"].as_object() {
        schema["required"] = properties.keys().cloned().collect();
    }
}

/// RFC 9457, with the single faults and the name of the request.
fn problem() -> Value {
    let text = || json!({ "type": "string" });
    json!({
        "type": "object",
        "required": ["type", "title", "status", "detail", "errors", "request_id"],
        "properties": {
            "type": text(),
            "title": text(),
            "status": { "type": "integer", "minimum": 400, "maximum": 599 },
            "detail": { "type": "string", "description": "What is wrong, where, and what to do." },
            "errors": {
                "type": "array",
                "items": {
                    "type": "object",
                    "required": ["place", "detail"],
                    "properties": { "place": text(), "detail": text() },
                },
            },
            "request_id": text(),
        },
    })
}

/// The tables of the runner file, from the registry of its keys; whatever is left out was not asked.
fn runner() -> Value {
    let one = json!({ "type": ["string", "number", "boolean", "null"] });
    let mut tables = Map::new();
    for (key, shape) in keys() {
        let Some((table, name)) = key.split_once('.') else { continue };
        let schema = match shape {
            Shape::One => one.clone(),
            Shape::Each => json!({ "type": "array", "items": { "type": ["string", "number"] } }),
            Shape::Ends => {
                json!({ "type": "array", "items": { "type": ["number", "string"] }, "minItems": 2, "maxItems": 2 })
            }
        };
        let table = tables.entry(table).or_insert_with(|| json!({ "type": "object", "properties": {} }));
        table["properties"][name] = schema;
    }
    let details = ["recent", "painful", "cleared", "current"];
    let mut injury: Map<String, Value> =
        details.iter().map(|detail| ((*detail).to_owned(), one.clone())).collect();
    injury.insert("region".to_owned(), json!({ "type": "string" }));
    let injury = json!({ "type": "object", "required": ["region"], "properties": injury });
    tables.insert("injury".to_owned(), json!({ "type": "array", "items": injury }));
    json!({ "type": "object", "properties": tables })
}
