//! The German table holds every sentence that is said, and no other.

use std::collections::BTreeSet;
use std::path::Path;

use catalogue::evidence::Evidence;
use catalogue::rules::RULES;

use super::*;
use crate::labels::{self, Choices, Kind, RUNNER_FIELDS};

/// The string literals of a source text, each with what stands before it: enough of a lexer for our own code.
fn literals(source: &str) -> Vec<(String, String)> {
    let code: String = source.lines().filter(|line| !line.trim_start().starts_with("//")).fold(
        String::new(),
        |mut code, line| {
            code.push_str(line);
            code.push('\n');
            code
        },
    );
    let code = code.replace("'\"'", "' '").replace("(b\"", "(\"").replace(" b\"", " \"");
    let mut found = Vec::new();
    let (mut before, mut rest) = (String::new(), code.as_str());
    while let Some((code, text)) = rest.split_once('"') {
        before.push_str(code.trim());
        let (literal, behind) = literal(text);
        found.push((std::mem::take(&mut before), literal));
        rest = behind;
    }
    found
}

fn literal(text: &str) -> (String, &str) {
    let mut literal = String::new();
    let mut letters = text.char_indices();
    while let Some((at, letter)) = letters.next() {
        match letter {
            '"' => return (literal, &text[at + 1..]),
            '\\' => match letters.next() {
                Some((_, 'n')) => literal.push('\n'),
                // A line that goes on: its break and the blanks before the next word are no part of it.
                Some((at, '\n')) => {
                    let blanks = text[at + 1..].len() - text[at + 1..].trim_start().len();
                    (0..blanks).for_each(|_| _ = letters.next());
                }
                Some((_, other)) => literal.push(other),
                None => {}
            },
            other => literal.push(other),
        }
    }
    (literal, "")
}

fn sources(folder: &Path, read: &mut dyn FnMut(&str)) {
    for entry in std::fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        if path.is_dir() {
            sources(&path, read);
        } else if path.extension().is_some_and(|kind| kind == "rs") {
            read(&std::fs::read_to_string(&path).unwrap());
        }
    }
}

fn home() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

/// Every sentence that the code says or marks.
fn said() -> BTreeSet<String> {
    let mut said = BTreeSet::new();
    sources(&home().join("src"), &mut |source| {
        let spoken = literals(source)
            .into_iter()
            .filter(|(before, _)| before.ends_with("say!(") || before.ends_with("word!("));
        said.extend(spoken.map(|(_, sentence)| sentence));
    });
    // This file names them to look for them.
    said.remove(") || before.ends_with(");
    said
}

/// What the tables of labels hold.
fn labelled() -> BTreeSet<&'static str> {
    let of_choices = |choices: Choices| choices.iter().map(|(_, label)| *label).collect::<Vec<_>>();
    let of_fields = RUNNER_FIELDS.iter().flat_map(|field| {
        let choices = match field.kind {
            Kind::Radio(choices) | Kind::Select(choices) => of_choices(choices),
            _ => Vec::new(),
        };
        [field.label, field.hint].into_iter().chain(choices)
    });
    let on_foot = labels::ON_FOOT
        .iter()
        .flat_map(|(_, label, choices)| std::iter::once(*label).chain(of_choices(choices)));
    let tables = [labels::HOLDS, labels::REGIONS, labels::INJURY_DETAILS, labels::YES_NO];
    let tables = tables.into_iter().flat_map(of_choices);
    let places = labels::PLACES.iter().map(|(label, ..)| *label);
    of_fields.chain(on_foot).chain(tables).chain(places).filter(|label| is_word(label)).collect()
}

/// The catalogue's own sentences.
fn of_the_catalogue() -> BTreeSet<&'static str> {
    let of_evidence = |of: &Evidence| [of.shows, of.studied, of.limits, of.grade.word(), of.grade.verb()];
    let rules = RULES.iter().flat_map(|rule| {
        let examples = rule.examples.iter().map(|example| example.says);
        of_evidence(&rule.evidence).into_iter().chain([rule.says, rule.question.word()]).chain(examples)
    });
    let claims = catalogue::evidence::claims();
    let claims = claims.flat_map(|claim| of_evidence(&claim.evidence).into_iter().chain([claim.says]));
    let flags = catalogue::flags::Flag::ALL.iter().flat_map(|flag| [flag.sign(), flag.why(), flag.see()]);
    rules.chain(claims).chain(flags).filter(|text| is_word(text)).collect()
}

/// A number or a sign needs no German.
fn is_word(text: &str) -> bool {
    text.chars().filter(|letter| letter.is_alphabetic()).count() > 1
}

fn blanks(sentence: &str) -> BTreeSet<&str> {
    sentence.split('{').skip(1).filter_map(|blank| Some(blank.split_once('}')?.0)).collect()
}

#[test]
fn the_table_can_be_read() {
    let table: HashMap<String, String> = toml::from_str(GERMAN).unwrap();
    assert!(table.len() > 1_000);
}

#[test]
fn every_sentence_that_is_said_has_its_german() {
    let missing: Vec<_> = said().into_iter().filter(|sentence| !german().contains_key(sentence)).collect();
    assert_eq!(missing, [""; 0]);
}

#[test]
fn every_label_and_every_sentence_of_the_catalogue_has_its_german() {
    let all = labelled().into_iter().chain(of_the_catalogue());
    let missing: Vec<_> = all.filter(|sentence| !german().contains_key(*sentence)).collect();
    assert_eq!(missing, [""; 0]);
}

#[test]
fn the_table_holds_nothing_that_nobody_says() {
    let mut known: BTreeSet<String> = BTreeSet::new();
    for part in ["web/src", "catalogue/src", "indexer/src"] {
        sources(&home().parent().unwrap().join(part), &mut |source| {
            known.extend(literals(source).into_iter().map(|(_, literal)| literal));
        });
    }
    known.extend(catalogue::policy::items::items().map(|item| item.label.to_owned()));
    let nobodys: Vec<_> = german().keys().filter(|sentence| !known.contains(*sentence)).collect();
    assert_eq!(nobodys, [""; 0]);
}

#[test]
fn a_sentence_has_the_same_blanks_in_both_languages() {
    for (english, german) in german() {
        assert_eq!(blanks(english), blanks(german), "{english}");
    }
}

/// What no study carries is promised in no language.
#[test]
fn no_german_sentence_promises_what_the_english_does_not() {
    for (english, german) in german() {
        let lower = german.to_lowercase();
        for promise in ["verhinder", "heilt", "beugt vor", "beugen vor", "vorbeug", "schützt vor"] {
            assert!(!lower.contains(promise), "{english}: {german}");
        }
    }
}

#[test]
fn blanks_are_filled_in_the_order_of_the_language() {
    let (count, size) = (3, "EU 42");
    let filled = fill("{count} Paare in {size}, {count} im Laden", &[("size", &size), ("count", &count)]);
    assert_eq!(filled, "3 Paare in EU 42, 3 im Laden");
    assert_eq!(fill("{nobody} bleibt {", &[]), "{nobody} bleibt {");
}

#[test]
fn a_number_has_the_mark_of_the_language() {
    assert_eq!(number("8.5"), "8.5");
    assert_eq!(within(Language::German, || number("8.5")), "8,5");
}

#[test]
fn a_sentence_that_a_library_made_is_said_anew() {
    let english = "\"12\" is no number that can be read here.";
    assert_eq!(within(Language::German, || made(english)), english, "what nobody knows stays as it is");
    let german = |english| within(Language::German, || made(english));
    let two = "\"0,28\" is not between 50 and 600 g. It may be in kg. Write the unit behind the number or in the heading.";
    assert_eq!(
        german(two),
        "\"0,28\" liegt nicht zwischen 50 und 600 g. Vielleicht ist es in kg. Die Einheit hinter die Zahl oder in die \
         Überschrift schreiben."
    );
    assert_eq!(
        german("in cm it would be 26 mm, in in it would be 66 mm"),
        "in cm wären es 26 mm, in in wären es 66 mm"
    );
}
