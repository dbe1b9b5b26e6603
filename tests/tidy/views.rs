//! Handlers hold no markup, views no decisions.

use crate::none_of;
use crate::tree::sources;

/// What a view never names: it is given plain data and draws it.
const DECISIONS: [&str; 8] =
    ["Snapshot", "Shop", "Store", "Ranker", "Fittings", "indexer::search", "indexer::store", "indexer::shop"];

#[test]
fn handlers_hold_no_markup() {
    let mut found = Vec::new();
    for source in sources().iter().filter(|source| source.path.starts_with("web/src/handlers")) {
        let macros = ["html", "PreEscaped", "Markup"].iter().filter(|word| source.names(word));
        found.extend(macros.map(|word| format!("{}: {word}", source.path)));
        let tags = source.strings.iter().filter(|string| holds_tag(string));
        found.extend(tags.map(|string| format!("{}: \"{string}\"", source.path)));
    }
    none_of(&found, "handlers gather; markup stands in web/src/pages and web/src/parts");
}

#[test]
fn views_hold_no_decisions() {
    let mut found = Vec::new();
    let views = ["web/src/pages/", "web/src/parts/"];
    for source in sources().iter().filter(|source| views.iter().any(|view| source.path.starts_with(view))) {
        let named = DECISIONS.iter().filter(|word| source.names(word));
        found.extend(named.map(|word| format!("{}: {word}", source.path)));
    }
    none_of(&found, "a view draws plain data; let the handler ask, and hand the answer in");
}

/// `<p`, `</p` or `<!` in a text.
fn holds_tag(text: &str) -> bool {
    text.match_indices('<')
        .any(|(at, _)| text[at + 1..].starts_with(|c: char| c.is_ascii_alphabetic() || c == '/' || c == '!'))
}

#[test]
fn a_tag_is_told_from_a_comparison() {
    assert!(holds_tag("<p>") && holds_tag("a</b>") && holds_tag("<!doctype html>"));
    assert!(!holds_tag("3 < 4") && !holds_tag("<= 400"));
}
