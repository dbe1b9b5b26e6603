//! Facts of the catalogue in the words of the truth tables: as the store holds them, and as the tables say them.

use std::collections::{BTreeMap, BTreeSet};

use catalogue::key::{SkuKey, StyleKey};
use catalogue::size::{SizeLabel, SizeSystem};
use catalogue::style::Audience;
use rusqlite::Connection;
use rusqlite::types::Value;

/// A fact of the catalogue: key, column, value in the words of the truth tables.
pub(super) type Facts = BTreeSet<(String, String, String)>;

/// Columns that make up the keys; what they say stands in the keys.
const IN_KEYS: [&str; 8] =
    ["key", "style", "supplier", "shop", "maker", "style_number", "colourway", "size_system"];

pub(super) fn facts_of(database: &Connection, table: &str) -> Facts {
    let mut select = database.prepare(&format!("SELECT * FROM {table}")).unwrap();
    let names: Vec<String> = select.column_names().map(str::to_owned).collect();
    let mut rows = select.query([]).unwrap();
    let mut facts = Facts::new();
    while let Some(row) = rows.next().unwrap() {
        let key: String = row.get("key").unwrap();
        for (at, name) in names.iter().enumerate().filter(|(_, name)| !IN_KEYS.contains(&name.as_str())) {
            if let Some(value) = printed(name, row.get(at).unwrap()) {
                facts.insert((key.clone(), name.clone(), value));
            }
        }
    }
    facts
}

/// A value of the store in the words of the truth tables; `None` for none.
pub(super) fn printed(column: &str, value: Value) -> Option<String> {
    match (column, value) {
        (_, Value::Null) | ("width", _) => None,
        ("gtin", Value::Integer(gtin)) => Some(format!("{gtin:013}")),
        (_, Value::Integer(number)) => Some(number.to_string()),
        ("size", Value::Text(text)) => Some(twelfths(&text)),
        ("status", Value::Text(text)) => Some(text.replace("in range", "current")),
        ("bending", Value::Text(text)) => Some(text.trim_start_matches("word:").to_owned()),
        ("replaces", Value::Text(text)) => {
            Some(text.split_once('.').map_or(text.clone(), |(_, n)| n.to_owned()))
        }
        (_, Value::Text(text)) => Some(in_one_line(&text)),
        (_, other) => panic!("{column}: {other:?}"),
    }
}

pub(super) fn truth_of(bytes: &[u8]) -> Facts {
    let mut reader = csv::Reader::from_reader(bytes);
    let mut audiences: BTreeMap<(String, String), Audience> = BTreeMap::new();
    let rows: Vec<csv::StringRecord> = reader.records().map(Result::unwrap).collect();
    for row in rows.iter().filter(|row| &row[8] == "audience" && row[2].is_empty()) {
        audiences.insert((row[1].to_owned(), row[3].to_owned()), Audience::from_word(&row[9]).unwrap());
    }
    rows.iter()
        .map(|row| {
            let named = || {
                StyleKey::of_name(
                    &row[1],
                    &row[3],
                    audiences.get(&(row[1].to_owned(), row[3].to_owned())).copied(),
                )
            };
            let style =
                if row[2].is_empty() { named() } else { StyleKey::of_number(&row[1], &row[2]) }.unwrap();
            let key = if &row[0] == "style" { style.to_string() } else { sku_key(&style, row) };
            (key, row[8].to_owned(), slugged(&row[8], &row[9]))
        })
        .collect()
}

pub(super) fn sku_key(style: &StyleKey, row: &csv::StringRecord) -> String {
    let label = SizeLabel::parse(SizeSystem::from_word(&row[5]), &row[6]).unwrap();
    SkuKey::of(style, &row[4], &label, &row[7]).to_string()
}

/// A line break in a cell is kept as a blank.
pub(super) fn in_one_line(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// A size is kept as printed, in whatever spelling: compared is what it says.
pub(super) fn twelfths(size: &str) -> String {
    SizeLabel::parse(None, size).unwrap().twelfths().to_string()
}

/// A style number that is replaced stands in the catalogue as the key of that style.
pub(super) fn slugged(column: &str, value: &str) -> String {
    match column {
        "size" => twelfths(value),
        "replaces" => StyleKey::of_number("x", value).unwrap().as_str()[2..].to_owned(),
        _ => in_one_line(value),
    }
}
