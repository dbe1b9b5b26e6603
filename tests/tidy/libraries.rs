//! Each library of weight stands in one place, so that it can be exchanged there.

use crate::none_of;
use crate::tree::{Source, sources};

/// A library and the folders that may name it.
const PLACES: [(&str, &[&str]); 8] = [
    ("tantivy", &["indexer/src/words/", "tests/benches/"]),
    ("rusqlite", &["indexer/src/store/", "tests/"]),
    // Outside it is a peer, and reads what another program has written down as true.
    ("csv", &["indexer/src/sheet/", "tests/benches/", "tests/integration/supplier_sheets/"]),
    ("quick_xml", &["indexer/src/sheet/workbook/", "indexer/src/sheet/workbook.rs"]),
    ("flate2", &["indexer/src/sheet/workbook/", "tests/integration/"]),
    ("rust_xlsxwriter", &["indexer/src/export/"]),
    ("fast_qr", &["web/src/parts/qr.rs"]),
    ("maud", &["web/src/pages/", "web/src/parts/"]),
];
/// Where a type may be public and written out: the wire, and the mapping file that the owner keeps.
const WRITTEN_OUT: [&str; 3] = ["web/src/wire", "indexer/src/mapping.rs", "indexer/src/mapping/"];

#[test]
fn every_library_of_weight_is_named_in_its_own_place_alone() {
    let mut astray = Vec::new();
    for source in sources() {
        let named =
            PLACES.iter().filter(|(library, places)| !stands_in(&source, places) && source.uses(library));
        astray.extend(
            named.map(|(library, places)| format!("{}: {library}, whose place is {places:?}", source.path)),
        );
    }
    none_of(&astray, "a library stands in one place; give the caller a type of ours instead");
}

#[test]
fn a_public_type_is_written_out_on_the_wire_and_in_the_mapping_file_alone() {
    let mut astray = Vec::new();
    for source in sources().iter().filter(|source| !stands_in(source, &WRITTEN_OUT)) {
        astray.extend(public_serialize(&source.code).map(|item| format!("{}: {item}", source.path)));
    }
    none_of(&astray, "inner types are not written out; copy them into a type of web/src/wire");
}

/// Public items that derive `Serialize`, and every implementation by hand.
fn public_serialize(code: &str) -> impl Iterator<Item = &str> {
    let derived = |line: &str| line.starts_with("#[derive(") && line.contains("Serialize");
    let lines: Vec<&str> = code.lines().map(str::trim_start).collect();
    let items: Vec<&str> = (0..lines.len())
        .filter_map(|at| {
            if lines[at].starts_with("impl") && lines[at].contains("Serialize for") {
                return Some(lines[at]);
            }
            let item = lines[at..].iter().find(|line| !line.starts_with("#[") && !line.is_empty())?;
            (derived(lines[at]) && item.starts_with("pub ")).then_some(*item)
        })
        .collect();
    items.into_iter()
}

fn stands_in(source: &Source, places: &[&str]) -> bool {
    places.iter().any(|place| source.path.starts_with(place))
}

#[test]
fn a_public_type_that_is_written_out_is_found_and_a_private_one_is_not() {
    let found = |code: &'static str| public_serialize(code).count();
    assert_eq!(found("#[derive(Debug, Serialize)]\n#[serde(untagged)]\npub struct A;"), 1);
    assert_eq!(found("impl Serialize for A {}"), 1);
    assert_eq!(found("#[derive(Serialize)]\nstruct A;\n#[derive(Debug)]\npub struct B;"), 0);
}
