//! The arrows: `catalogue` <- `indexer` <- `web`, held in manifests and in sources.

use crate::manifests::Manifest;
use crate::none_of;
use crate::tree::sources;

/// What the catalogue, the pure domain, may never name: parts above it, and libraries that reach outside.
const NOT_IN_CATALOGUE: [&str; 17] = [
    "indexer",
    "web",
    "csv",
    "calamine",
    "tantivy",
    "axum",
    "axum_extra",
    "hyper",
    "tower",
    "maud",
    "rusqlite",
    "tokio",
    "serde",
    "serde_json",
    "toml",
    "clap",
    "tracing",
];
/// What the indexer may never name: the part above it, and the libraries of pages.
const NOT_IN_INDEXER: [&str; 8] =
    ["web", "axum", "axum_extra", "hyper", "tower", "tower_http", "maud", "clap"];

#[test]
fn catalogue_names_no_library_of_input_storage_search_or_pages() {
    nothing_in("catalogue", &NOT_IN_CATALOGUE);
}

#[test]
fn catalogue_needs_the_standard_library_alone() {
    let manifest = Manifest::read("catalogue/Cargo.toml");
    let needed: Vec<_> = manifest.of_section("[dependencies]").map(|line| line.name.clone()).collect();
    none_of(&needed, "catalogue is pure: take these out of [dependencies]");
}

#[test]
fn indexer_names_no_library_of_pages() {
    nothing_in("indexer", &NOT_IN_INDEXER);
}

fn nothing_in(part: &str, forbidden: &[&str]) {
    let of_sources = sources()
        .into_iter()
        .filter(|source| source.path.starts_with(&format!("{part}/")))
        .flat_map(|source| offences(&source.path, forbidden, |library| source.uses(library)));
    let path = format!("{part}/Cargo.toml");
    let manifest = Manifest::read(&path);
    let in_manifest = offences(&path, forbidden, |library| manifest.names(library));
    let all: Vec<_> = of_sources.chain(in_manifest).collect();
    none_of(&all, &format!("the arrows of the parts: {part} must not name these"));
}

fn offences(path: &str, forbidden: &[&str], named: impl Fn(&str) -> bool) -> Vec<String> {
    forbidden.iter().filter(|library| named(library)).map(|library| format!("{path}: {library}")).collect()
}
