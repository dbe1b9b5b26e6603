//! Names made to hurt (U41 to U54, C31 to C33), from the sheet to the pages: what is kept, and what a reader sees.

#![allow(clippy::unwrap_used, reason = "a test may fail loudly")]

use serde_json::Value;

use crate::hostile::server::{Place, Server};
use crate::hostile::text;

/// Texts that are harmless as texts: C31 formulas, C32 markup, C33 SQL.
const TEXTS: [&str; 7] = [
    "=cmd|' /C calc'!A0",
    "@SUM(A1)",
    "+1+1",
    "<script>alert(1)</script>",
    "\"><img src=x onerror=alert(1)>",
    "'); drop table styles;--",
    "{{7*7}}",
];

/// Names that two sheets may give one shoe, or two shoes that look like one.
const PAIRS: [(&str, &str, &str); 4] = [
    ("U43 zero width", "Runner", "Run\u{200B}n\u{AD}er\u{200D}"),
    ("U44 NFC and NFD", "Z\u{FC}rich", "Zu\u{308}rich"),
    ("U52 dotless I", "ISIK", "isik"),
    ("U53 sharp s", "Strasse", "Stra\u{DF}e"),
];

/// A sheet with a style for each name, numbered from 1.
fn sheet<'n>(names: impl IntoIterator<Item = &'n str>) -> String {
    let row = |(at, name): (usize, &str)| format!("Feldrast,NR-{at},\"{}\"\n", name.replace('"', "\"\""));
    let rows: String = (1..).zip(names).map(row).collect();
    format!("Maker,Style number,Name\n{rows}")
}

/// The names in the catalogue, by the key of their style.
fn kept(place: &Place) -> Vec<(String, String)> {
    let lines = place.lastbench.done(&["export"]);
    let style = |line| {
        let style: Value = serde_json::from_str(line).unwrap();
        (style["style"].as_str().unwrap().to_owned(), style["name"].as_str().unwrap().to_owned())
    };
    lines.lines().map(style).collect()
}

/// Direction marks (UAX 9) and code points that are no characters.
fn turns_or_is_none(c: char) -> bool {
    matches!(c, '\u{202A}'..='\u{202E}' | '\u{2066}'..='\u{2069}' | '\u{200E}' | '\u{200F}' | '\u{61C}' | '\u{FFFF}')
}

fn escaped(name: &str) -> String {
    name.replace('&', "&amp;").replace('<', "&lt;").replace('>', "&gt;").replace('"', "&quot;")
}

#[test]
fn a_name_that_turns_or_hides_what_is_read_is_held_with_its_cell_and_every_other_is_kept() {
    let names = text::names();
    let place = Place::new();
    for (id, name) in &names {
        let ran = place.check("a.csv", sheet([name.as_str()]).as_bytes());
        let reply: Value = serde_json::from_str(&ran.stdout).unwrap();
        let found = &reply["findings"][0];
        let expected = match &id[..3] {
            "U41" | "U42" | "U48" | "U51" => ("name-refused", Some(1)),
            "U43" => ("text-cleaned", Some(0)),
            "U47" => ("mixed-scripts", Some(0)),
            _ => ("", Some(0)),
        };
        assert_eq!((found["code"].as_str().unwrap_or_default(), ran.code), expected, "{id}: {reply}");
        if !expected.0.is_empty() {
            assert_eq!((&found["row"], &found["column"]), (&2.into(), &"C".into()), "{id}");
        }
        assert_eq!(reply["held"], u64::from(expected.1 == Some(1)), "{id}");
    }
}

#[test]
fn names_stand_on_the_pages_as_text_and_turn_nothing() {
    let names: Vec<String> = text::names().into_iter().map(|(_, name)| name).collect();
    let names = names.iter().map(String::as_str).chain(TEXTS);
    let place = Place::of(&sheet(names));
    let kept = kept(&place);
    assert_eq!(kept.len(), text::names().len() + TEXTS.len() - 4, "four names are held");
    let server = Server::start(place);
    let all = server.get("/shoes").body;
    for (style, name) in kept {
        let page = server.get(&format!("/shoes/{style}"));
        assert_eq!(page.status, 200, "{style}");
        for body in [&all, &page.body] {
            assert!(body.contains(&escaped(&name)), "{style}: {name}");
            assert!(!body.contains(turns_or_is_none), "{style}: {name}");
            assert!(!body.contains("<script>alert") && !body.contains("<img src=x"), "{style}: {name}");
        }
    }
}

#[test]
fn a_sheet_under_review_turns_nothing_on_its_page() {
    let server = Server::start(Place::new());
    for (id, name) in text::names() {
        let (_, page) = server.sheet("a.csv", sheet([name.as_str()]).as_bytes());
        assert!(!page.body.contains(turns_or_is_none), "{id}");
    }
    let (_, page) = server.sheet("a\u{202E}vsc.csv", sheet(["Egge"]).as_bytes());
    assert!(!page.body.contains(turns_or_is_none), "{}", page.body);
    assert!(!server.get("/sheets").body.contains(turns_or_is_none), "the list of sheets");
}

/// A dotted capital I is two characters in lower case, mathematical capitals have no lower case, and a key holds 200
/// bytes: whatever a sheet says, what was stored can be read again.
#[test]
fn a_name_that_makes_no_key_is_held_and_the_catalogue_can_be_read_afterwards() {
    let long = "Egge".repeat(60);
    for name in ["\u{130}STANBUL", "\u{1D400}B", "\u{1F130}", &long] {
        for row in [format!("{name},1,Egge"), format!("Feldrast,{name},Egge"), format!("Feldrast,,{name}")] {
            let place = Place::new();
            place.lastbench.write("a.csv", &format!("Maker,Style number,Name\n{row}\n"));
            place.lastbench.run(&["import", "--yes", "a.csv"]);
            let after = place.lastbench.run(&["export"]);
            assert_eq!(after.code, Some(0), "{row}: {}", after.stderr);
        }
    }
}

#[test]
fn the_sheet_written_out_guards_its_formulas_and_comes_in_again_as_nothing_new() {
    let place = Place::of(&sheet(TEXTS));
    let csv = place.lastbench.done(&["export", "--csv"]);
    for formula in &TEXTS[..3] {
        assert!(csv.contains(&format!("'{formula}")), "{formula}: {csv}");
        assert!(!csv.contains(&format!(",{formula}")), "{formula}: {csv}");
    }
    let reply: Value = serde_json::from_str(&place.check("a.csv", csv.as_bytes()).stdout).unwrap();
    let counted = [&reply["new"], &reply["changed"], &reply["held"]].map(|count| count.as_u64().unwrap());
    assert_eq!(counted, [0; 3], "{reply}");
}

#[test]
fn names_that_are_one_when_written_plainly_are_one_style_or_asked_about() {
    for (id, one, other) in PAIRS {
        let place = Place::of(&format!("Maker,Name\nFeldrast,{one}\nFeldrast,{other}\n"));
        let gaps = place.lastbench.run(&["gaps"]);
        let asked = gaps.stdout.contains("are they one?");
        assert!(kept(&place).len() == 1 || asked, "{id}: {}", gaps.stdout);
    }
}

#[test]
fn a_word_of_60_bytes_is_found_by_searching_for_it() {
    let word = text::names().into_iter().find(|(id, _)| id.starts_with("U54")).unwrap().1;
    let place = Place::of(&sheet([word.as_str(), "Egge"]));
    let found = place.lastbench.done(&["search", &word]);
    assert!(found.contains(&word) && !found.contains("Egge"), "{found}");
}
