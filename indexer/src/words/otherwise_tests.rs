//! What is found when words are not as the catalogue has them, and what is told of it.

use super::super::Words;
use super::*;
use crate::search::Search;
use crate::snapshot::Snapshot;
use crate::snapshot::invented::{loaded, sku, style};

fn shop() -> Snapshot {
    shop_meaning("")
}

/// A shop whose words mean more by these lines.
fn shop_meaning(lines: &str) -> Snapshot {
    let noted = |number: &str, name: &str, notes: &str| catalogue::style::Style {
        notes: Some(notes.into()),
        ..style("Fénnick", number, name)
    };
    let gone = catalogue::style::Style { retired: true, ..style("Orrelby", "9", "Quillon") };
    let styles = vec![
        noted("FM-310", "Marlen 3", "light trail shoe"),
        noted("FM-311", "Marlon", "waterproof, for the wet Straße"),
        style("Orrelby", "S2", "Sound Müller"),
        style("Orrelby", "S3", "Tern"),
        gone,
    ];
    let skus = vec![sku(&styles[2], "Light Blue", "EU 42"), sku(&styles[3], "Sky", "EU 42")];
    let loaded = crate::loaded::Loaded { synonyms: Synonyms::read(lines).unwrap(), ..loaded(styles, skus) };
    let words = Words::open_or_build(None, &loaded).unwrap();
    Snapshot::build(loaded, words)
}

/// Words as typed, and what was found for them.
type Read = (String, Vec<String>);

/// The names found, best first; what was read otherwise; what was left out.
fn asked(shop: &Snapshot, typed: &str) -> (Vec<String>, Vec<Read>, Vec<String>) {
    let results = shop.search(&Search { words: typed.into(), ..Search::default() }, None).unwrap();
    let names = results.hits.iter().map(|hit| shop.card(hit.row).unwrap().style.name.to_string());
    let read = results
        .told
        .read
        .iter()
        .map(|read| (read.typed.clone(), read.found.iter().map(|meant| shop.spelt(meant)).collect()));
    (names.collect(), read.collect(), results.told.left_out.clone())
}

fn names(typed: &str) -> Vec<String> {
    asked(&shop(), typed).0
}

#[test]
fn wrong_letters_are_seen_through_by_the_length_of_the_word_and_it_is_said() {
    // Typed, found, meant: one wrong letter from four on, two from five on, the first counted twice.
    let table: [(&str, &[&str], &[&str]); 8] = [
        ("fenick marlen", &["Marlen 3"], &["Fénnick"]),
        ("tren", &["Tern"], &["Tern"]),
        ("tne", &[], &[]),
        ("bern", &[], &[]),
        ("mralne", &["Marlen 3"], &["Marlen"]),
        ("xarlon", &["Marlon"], &["Marlon"]),
        ("xrlon", &[], &[]),
        ("orelbi tern", &["Tern"], &["Orrelby"]),
    ];
    for (typed, found, meant) in table {
        let (names, read, _) = asked(&shop(), typed);
        assert_eq!(names, found, "{typed}");
        let said: Vec<_> = read.into_iter().flat_map(|(_, meant)| meant).collect();
        assert!(meant.iter().all(|meant| said.contains(&(*meant).to_owned())), "{typed}: {said:?}");
        assert_eq!(said.is_empty(), meant.is_empty(), "{typed}: {said:?}");
    }
}

#[test]
fn codes_sizes_and_numbers_are_never_taken_to_be_others() {
    for typed in ["fm-312", "fn310", "s4", "4711", "310x"] {
        assert_eq!(names(typed), Vec::<String>::new(), "{typed}");
    }
    assert_eq!(names("fm310"), ["Marlen 3"]);
    let (found, _, left_out) = asked(&shop(), "marlon fm-312");
    assert_eq!(
        (found, left_out),
        (vec!["Marlon".to_owned()], vec!["fm 312".to_owned()]),
        "a code goes whole"
    );
}

#[test]
fn a_number_is_no_beginning_of_a_longer_one() {
    assert_eq!(names("31"), Vec::<String>::new());
    assert_eq!(names("310"), ["Marlen 3"]);
}

#[test]
fn one_wrong_letter_comes_before_two_and_what_was_typed_before_both() {
    // One letter from Marlen and one from Marlon; two from neither.
    let (names, read, _) = asked(&shop(), "marlin");
    assert_eq!(names.len(), 2);
    assert_eq!(read, [("marlin".to_owned(), vec!["Marlen".to_owned(), "Marlon".to_owned()])]);
    // One from Marlen, two from Marlon: the nearest will do, unless another word is not found with it.
    assert_eq!(asked(&shop(), "marlem").0, ["Marlen 3"]);
    assert_eq!(asked(&shop(), "marlem waterproof").0, ["Marlon"]);
    // A word that a shoe has is as it was typed.
    assert_eq!(asked(&shop(), "marlen"), (vec!["Marlen 3".to_owned()], vec![], vec![]));
}

#[test]
fn two_words_are_read_as_one_and_one_as_two() {
    assert_eq!(asked(&shop(), "mar len").0, ["Marlen 3"]);
    assert_eq!(asked(&shop(), "water proof").1, [("water proof".to_owned(), vec!["waterproof".to_owned()])]);
    assert_eq!(asked(&shop(), "trailshoe").1, [("trailshoe".to_owned(), vec!["trail shoe".to_owned()])]);
    assert_eq!(names("lightblue"), ["Sound Müller"]);
    assert_eq!(names("trailsshoe"), ["Marlen 3"], "with what links the halves of a German word");
}

#[test]
fn all_words_but_one_are_the_last_thing_tried_and_it_is_said_which() {
    let (found, read, left_out) = asked(&shop(), "orrelby tern purple");
    assert_eq!((found, read, left_out), (vec!["Tern".to_owned()], vec![], vec!["purple".to_owned()]));
    let search = Search { words: "tern muller".into(), ..Search::default() };
    let found = shop().search(&search, None).unwrap();
    assert_eq!((found.total, found.told.left_out), (2, vec![]));
    assert_eq!(found.told.all_but_one_of, ["tern", "muller"], "one shoe lacks the one, another the other");
    assert_eq!(names("purple"), Vec::<String>::new(), "of one word none can be left out");
}

#[test]
fn words_that_say_nothing_of_a_shoe_are_left_out_before_anything_else() {
    let (found, read, left_out) = asked(&shop(), "the light blue one");
    assert_eq!((found, read), (vec!["Sound Müller".to_owned()], vec![]));
    assert_eq!(left_out, ["the", "one"]);
    assert_eq!(names("the shoe").len(), 2, "where all are fillers none is left out beforehand");
}

#[test]
fn a_shoe_that_is_no_longer_supplied_counts_as_none() {
    let (found, read, _) = asked(&shop(), "quillon");
    assert_eq!((found, read), (vec![], vec![]));
}

#[test]
fn what_the_shop_means_by_a_word_is_found_behind_what_was_typed() {
    let shop = shop_meaning("azure, light blue, sky\nrain => waterproof");
    let (found, read, _) = asked(&shop, "sky");
    assert_eq!(found, ["Tern", "Sound Müller"], "the word itself first");
    assert_eq!(read, [("sky".to_owned(), vec!["Light Blue".to_owned()])]);
    assert_eq!(asked(&shop, "azure").0.len(), 2);
    assert_eq!(asked(&shop, "rain").0, ["Marlon"]);
    assert_eq!(asked(&shop, "orrelby light blue").0, ["Sound Müller", "Tern"]);
    let exactly = Search { words: "rain".into(), exactly: true, ..Search::default() };
    assert_eq!(shop.search(&exactly, None).unwrap().total, 0);
}

#[test]
fn exactly_is_exactly() {
    let shop = shop();
    let total = |typed: &str| {
        let search = Search { words: typed.into(), exactly: true, ..Search::default() };
        shop.search(&search, None).unwrap().total
    };
    let totals = ["marlen", "marle", "marlin", "mar len", "orrelby tern purple"].map(total);
    assert_eq!(totals, [1, 1, 0, 0, 0]);
}

#[test]
fn what_was_looked_for_is_marked_where_it_stands() {
    let shop = shop();
    let marked = |typed: &str, text: &str| {
        let told = shop.search(&Search { words: typed.into(), ..Search::default() }, None).unwrap().told;
        told.marked(text).into_iter().map(|at| text[at].to_owned()).collect::<Vec<_>>()
    };
    assert_eq!(marked("fennick mar", "Fénnick Marlen 3, no mare"), ["Fénnick", "Marlen", "mare"]);
    assert_eq!(marked("fm310", "FM-310"), ["FM", "310"]);
    assert_eq!(marked("mueller", "Sound Müller <script>"), ["Müller"]);
    assert_eq!(marked("marlin", "Marlen 3"), ["Marlen"], "what was found instead");
    assert_eq!(marked("", "Marlen"), Vec::<String>::new());
}

#[test]
fn words_against_all_reason_are_answered() {
    let shop = shop();
    for typed in
        ["' OR 1=1", "*^2 \"", "a:b -c +d", "\u{202e}nelram", "\0marlen", "ﬁ ½ ² İ ẞ", "🥾", "--", "[[[["]
    {
        assert!(shop.search(&Search { words: typed.into(), ..Search::default() }, None).is_ok(), "{typed}");
    }
}
