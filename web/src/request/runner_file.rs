//! The runner file, as TOML and as JSON, taken apart into flat answers with their places.
//!
//! Numbers stay the text they were written as, so that 8.1 is 81 tenths and not what a float makes of it.

use std::fmt;

use serde::de::{Deserialize, Deserializer, MapAccess, SeqAccess, Visitor};
use toml::de::{DeArray, DeTable, DeValue};

use super::runner::{Place, RunnerFault, Said};

/// A runner file of more than this is none.
const LARGEST: usize = 64 * 1024;

/// The answers of a TOML runner file, each with its line.
pub(super) fn of_toml(text: &str) -> Result<Vec<Said>, Vec<RunnerFault>> {
    refuse_large(text.len())?;
    let root = DeTable::parse(text).map_err(|fault| {
        let line = fault.span().map(|span| line_of(text, span.start));
        vec![RunnerFault::of_file(line, &format!("this is no TOML: {}", fault.message()))]
    })?;
    flat(&table(text, root.get_ref()))
}

/// The answers of a JSON object of the same tables.
pub(super) fn of_json(bytes: &[u8]) -> Result<Vec<Said>, Vec<RunnerFault>> {
    refuse_large(bytes.len())?;
    let node: Node = serde_json::from_slice(bytes).map_err(|fault| {
        vec![RunnerFault::of_file(Some(fault.line()), &format!("this is no JSON: {fault}"))]
    })?;
    match node {
        Node::Table(entries) => flat(&entries),
        _ => Err(vec![RunnerFault::of_file(
            None,
            "the body must be one JSON object of the runner file's tables",
        )]),
    }
}

fn refuse_large(length: usize) -> Result<(), Vec<RunnerFault>> {
    let say = "a runner file holds at most 64 kB; this one is larger";
    if length > LARGEST { Err(vec![RunnerFault::of_file(None, say)]) } else { Ok(()) }
}

/// One value of either format.
enum Node {
    /// JSON's null: not asked.
    Nothing,
    Text(String),
    List(Vec<Node>),
    Table(Vec<Entry>),
}

struct Entry {
    key: String,
    line: Option<usize>,
    value: Node,
}

/// One answer a key; a table's keys hang on its name by a point, an injury's on its region.
fn flat(entries: &[Entry]) -> Result<Vec<Said>, Vec<RunnerFault>> {
    let (mut said, mut faults) = (Vec::new(), Vec::new());
    for entry in entries {
        match (&entry.value, entry.key.as_str()) {
            (Node::List(list), "injury") => injuries(list, entry.line, &mut said, &mut faults),
            (value, key) => flatten(key, entry.line, value, &mut said, &mut faults),
        }
    }
    if faults.is_empty() { Ok(said) } else { Err(faults) }
}

fn flatten(
    key: &str,
    line: Option<usize>,
    value: &Node,
    said: &mut Vec<Said>,
    faults: &mut Vec<RunnerFault>,
) {
    let place = Place { key: key.to_owned(), line };
    match value {
        Node::Nothing => {}
        Node::Text(text) => said.push(Said { place, texts: vec![text.clone()] }),
        Node::List(list) => match list.iter().map(as_text).collect::<Option<Vec<_>>>() {
            Some(texts) => said.push(Said { place, texts }),
            None => faults.push(RunnerFault::new(place, "holds tables or lists; write plain values")),
        },
        Node::Table(entries) => {
            for entry in entries {
                flatten(&format!("{key}.{}", entry.key), entry.line, &entry.value, said, faults);
            }
        }
    }
}

fn as_text(node: &Node) -> Option<String> {
    if let Node::Text(text) = node { Some(text.clone()) } else { None }
}

/// An empty list says that the history was asked for and holds nothing.
fn injuries(list: &[Node], line: Option<usize>, said: &mut Vec<Said>, faults: &mut Vec<RunnerFault>) {
    if list.is_empty() {
        said.push(Said { place: Place { key: "injury".into(), line }, texts: vec!["none".into()] });
    }
    for node in list {
        let Node::Table(entries) = node else {
            let place = Place { key: "injury".into(), line };
            faults.push(RunnerFault::new(
                place,
                "holds something else than tables; write [[injury]] with a region",
            ));
            continue;
        };
        injury(entries, line, said, faults);
    }
}

fn injury(entries: &[Entry], line: Option<usize>, said: &mut Vec<Said>, faults: &mut Vec<RunnerFault>) {
    let region = entries.iter().find(|entry| entry.key == "region");
    let first = entries.first().and_then(|entry| entry.line).or(line);
    let Some(region) = region.and_then(|entry| as_text(&entry.value)) else {
        let place = Place { key: "injury.region".into(), line: first };
        faults.push(RunnerFault::new(place, "is missing; write where it hurt, such as region = \"calf\""));
        return;
    };
    let named = Place { key: format!("injury.{region}"), line: first };
    said.push(Said { place: named, texts: vec!["yes".into()] });
    for entry in entries.iter().filter(|entry| entry.key != "region") {
        flatten(&format!("injury.{region}.{}", entry.key), entry.line, &entry.value, said, faults);
    }
}

fn table(text: &str, table: &DeTable<'_>) -> Vec<Entry> {
    let mut entries = Vec::new();
    for (key, value) in table {
        let line = Some(line_of(text, key.span().start));
        entries.push(Entry { key: key.get_ref().to_string(), line, value: node(text, value.get_ref()) });
    }
    entries
}

fn node(text: &str, value: &DeValue<'_>) -> Node {
    match value {
        DeValue::String(said) => Node::Text(said.to_string()),
        DeValue::Integer(number) => Node::Text(number.to_string()),
        DeValue::Float(number) => Node::Text(number.to_string()),
        DeValue::Boolean(said) => Node::Text(said.to_string()),
        DeValue::Datetime(time) => Node::Text(time.to_string()),
        DeValue::Array(list) => Node::List(array(text, list)),
        DeValue::Table(inner) => Node::Table(table(text, inner)),
    }
}

fn array(text: &str, list: &DeArray<'_>) -> Vec<Node> {
    list.iter().map(|value| node(text, value.get_ref())).collect()
}

/// The line of a byte, counted from 1.
fn line_of(text: &str, byte: usize) -> usize {
    1 + text.bytes().take(byte).filter(|b| *b == b'\n').count()
}

/// JSON read by hand, since the usual value lets a second `flags` silently replace the first.
impl<'de> Deserialize<'de> for Node {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        deserializer.deserialize_any(NodeVisitor)
    }
}

struct NodeVisitor;

impl<'de> Visitor<'de> for NodeVisitor {
    type Value = Node;

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("a table, a list, a text, a number, true, false or null")
    }

    fn visit_unit<E>(self) -> Result<Node, E> {
        Ok(Node::Nothing)
    }

    fn visit_bool<E>(self, said: bool) -> Result<Node, E> {
        Ok(Node::Text(said.to_string()))
    }

    fn visit_i64<E>(self, number: i64) -> Result<Node, E> {
        Ok(Node::Text(number.to_string()))
    }

    fn visit_u64<E>(self, number: u64) -> Result<Node, E> {
        Ok(Node::Text(number.to_string()))
    }

    /// The shortest text that reads back as this float is the text that was written, zeros aside.
    fn visit_f64<E>(self, number: f64) -> Result<Node, E> {
        Ok(Node::Text(number.to_string()))
    }

    fn visit_str<E>(self, said: &str) -> Result<Node, E> {
        Ok(Node::Text(said.to_owned()))
    }

    fn visit_seq<A: SeqAccess<'de>>(self, mut list: A) -> Result<Node, A::Error> {
        let mut nodes = Vec::new();
        while let Some(node) = list.next_element()? {
            nodes.push(node);
        }
        Ok(Node::List(nodes))
    }

    fn visit_map<A: MapAccess<'de>>(self, mut map: A) -> Result<Node, A::Error> {
        let mut entries = Vec::new();
        while let Some((key, value)) = map.next_entry()? {
            entries.push(Entry { key, line: None, value });
        }
        Ok(Node::Table(entries))
    }
}
