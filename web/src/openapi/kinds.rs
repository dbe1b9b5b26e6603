//! What an address takes and gives, in the words of OpenAPI.

use serde_json::{Map, Value, json};

/// What routes and types do not say of an address.
pub(super) struct Operation {
    pub(super) method: &'static str,
    pub(super) path: &'static str,
    pub(super) says: &'static str,
    /// Names of the query.
    pub(super) asks: Asks,
    pub(super) takes: Takes,
    pub(super) gives: Gives,
}

/// What the query may say.
pub(super) enum Asks {
    /// These names, each once.
    Names(&'static [&'static str]),
    /// Words and filters of the list of shoes, and these.
    Filters(&'static [&'static str]),
}

/// What is sent as the body.
pub(super) enum Takes {
    Nothing,
    /// A form with these fields, and such as the page names beside.
    Form(&'static [&'static str]),
    /// A form with one file and these fields.
    File(&'static [&'static str]),
    /// The runner file's tables.
    Runner,
}

/// What is answered.
#[derive(Clone, Copy)]
pub(super) enum Gives {
    /// A page.
    Page,
    /// A page, or another address.
    PageOrLead,
    /// The address where the result stands.
    Lead,
    /// The same, or the form again with what is to be put right.
    LeadOrForm,
    /// A reply of the wire.
    Json(&'static str),
    /// A page, or at `{style}.json` a reply of the wire.
    PageOrJson(&'static str),
    /// A file of this kind.
    File(&'static str),
}

const FORM: &str = "application/x-www-form-urlencoded";
const PROBLEM: &str = "#/components/schemas/Problem";

impl Operation {
    pub(super) fn parameters(&self) -> Vec<Value> {
        let of_path = self.path.split(['{', '}']).skip(1).step_by(2).map(of_path);
        let query = |name: &str, schema: Value| json!({ "name": name, "in": "query", "schema": schema });
        let once = |name: &&str| query(name, json!({ "type": "string" }));
        match self.asks {
            Asks::Names(names) => of_path.chain(names.iter().map(once)).collect(),
            Asks::Filters(names) => {
                let several = |name: &'static str| {
                    query(name, json!({ "type": "array", "items": { "type": "string" } }))
                };
                let filters = crate::request::shoes::groups().map(several);
                let ends = crate::request::shoes::ends().map(|end| query(&end, json!({ "type": "string" })));
                of_path.chain(names.iter().map(once)).chain(filters).chain(ends).collect()
            }
        }
    }

    pub(super) fn body(&self) -> Option<Value> {
        let content = match self.takes {
            Takes::Nothing => return None,
            Takes::Form(fields) => json!({ FORM: { "schema": form(fields, None) } }),
            Takes::File(fields) => json!({ "multipart/form-data": { "schema": form(fields, Some("file")) } }),
            Takes::Runner => {
                json!({ "application/json": { "schema": { "$ref": "#/components/schemas/Runner" } } })
            }
        };
        Some(json!({ "content": content, "required": matches!(self.takes, Takes::Runner) }))
    }

    pub(super) fn responses(&self) -> Value {
        let mut responses = Map::new();
        let mut add = |status: &str, description: &str, content: Option<Value>| {
            let mut response = json!({
                "description": description,
                "headers": { "x-request-id": { "$ref": "#/components/headers/RequestId" } },
            });
            if let Some(content) = content {
                response["content"] = content;
            }
            responses.insert(status.to_owned(), response);
        };
        let page = || json!({ "text/html": { "schema": { "type": "string" } } });
        let of_wire = |name: &str| json!({ "schema": { "$ref": format!("#/components/schemas/{name}") } });
        match self.gives {
            Gives::Page | Gives::PageOrLead => add("200", "The page.", Some(page())),
            Gives::Json(name) => add("200", "The reply.", Some(json!({ "application/json": of_wire(name) }))),
            Gives::PageOrJson(name) => {
                let both = json!({ "text/html": { "schema": { "type": "string" } }, "application/json": of_wire(name) });
                add("200", "The page, or the reply.", Some(both));
            }
            Gives::File(kind) => add("200", "The file.", Some(json!({ kind: {} }))),
            Gives::LeadOrForm => add("200", "The form, with what is to be looked at first.", Some(page())),
            Gives::Lead => {}
        }
        if matches!(self.gives, Gives::PageOrLead | Gives::Lead | Gives::LeadOrForm) {
            add("3XX", "The result stands at the address of Location.", None);
        }
        let refusal = || json!({ "application/problem+json": { "schema": { "$ref": PROBLEM } }, "text/html": { "schema": { "type": "string" } } });
        add("4XX", "Not done: what is wrong, where, and what to do.", Some(refusal()));
        add(
            "5XX",
            "Not done: the fault is on this side, or too many ask at once (503, with Retry-After).",
            Some(refusal()),
        );
        Value::Object(responses)
    }
}

fn of_path(name: &str) -> Value {
    let schema = match name {
        "id" => json!({ "type": "string", "pattern": "^[0-9a-f]{32}$" }),
        "number" => json!({ "type": "integer", "minimum": 1 }),
        "style" => json!({ "type": "string", "minLength": 1, "examples": ["fennick.fm-310"] }),
        _ => json!({ "type": "string", "minLength": 1 }),
    };
    json!({ "name": name, "in": "path", "required": true, "schema": schema })
}

fn form(fields: &[&str], file: Option<&str>) -> Value {
    let texts = fields.iter().map(|field| ((*field).to_owned(), json!({ "type": "string" })));
    let file = file.map(|name| {
        (name.to_owned(), json!({ "type": "string", "contentMediaType": "application/octet-stream" }))
    });
    let properties: Map<String, Value> = texts.chain(file).collect();
    json!({ "type": "object", "properties": properties, "additionalProperties": { "type": "string" } })
}
