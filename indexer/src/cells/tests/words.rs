//! Words, and text that is taken, cleaned or refused.

use super::*;

/// Found by fuzzing.
#[test]
fn what_says_nothing_says_nothing_with_a_sign_in_it_that_cannot_be_seen() {
    for text in ["\u{a0}n/\u{feff}a", "-\u{feff}"] {
        assert_eq!(read("name", text, POINT), Ok(None), "{text:?}");
    }
}

#[test]
fn a_blank_or_a_dash_says_nothing_and_a_zero_says_zero() {
    for text in ["", "  ", "-", "–", "n/a"] {
        assert_eq!(read("drop", text, POINT), Ok(None), "{text:?}");
    }
    assert_eq!(int("drop", "0", POINT), 0);
}

#[test]
fn the_quote_mark_that_guards_an_exported_cell_comes_off_once() {
    assert_eq!(word("notes", "'=1+1"), "=1+1");
    assert_eq!(word("notes", "''=1+1"), "''=1+1");
    assert_eq!(word("notes", "'t Hof"), "'t Hof");
}

#[test]
fn bending_is_a_word_a_step_or_a_value_with_its_unit() {
    assert_eq!(word("bending", "Stiff"), "word:stiff");
    assert_eq!(word("bending", "2"), "word:flexible");
    assert_eq!(word("bending", "0.25 N m/deg"), "value:0.25 N m/deg");
    assert_eq!(code("bending", "7"), Code::WordUnknown);
    assert_eq!(word("stiffness", "7"), "7", "a bare stiffness is kept, its kind unknown");
}

#[test]
fn lists_come_in_canonical_order_and_one_unknown_word_holds_the_cell() {
    assert_eq!(word("surface", "Gelände, Straße"), "road,trail");
    assert_eq!(word("purpose", "long; daily"), "daily,long");
    assert_eq!(code("purpose", "daily, dancing"), Code::WordUnknown);
}

#[test]
fn a_tick_is_a_yes_in_every_language() {
    for text in ["yes", "Ja", "oui", "sí", "Sì", "x", "✓", "1", "TRUE", "wahr", "vrai", "waar", "mit"] {
        assert_eq!(int("plate", text, POINT), 1, "{text}");
    }
    for text in ["no", "Nein", "non", "nee", "0", "false", "ohne", "sin", "senza", "✗"] {
        assert_eq!(int("plate", text, POINT), 0, "{text}");
    }
    assert_eq!(code("plate", "perhaps"), Code::WordUnknown);
}

#[test]
fn an_audience_is_known_in_six_languages() {
    for (word_of, audience) in [
        ("Women's", "women"),
        ("Damen", "women"),
        ("femme", "women"),
        ("dames", "women"),
        ("mujer", "women"),
        ("donna", "women"),
        ("W", "women"),
        ("Herren", "men"),
        ("Homme", "men"),
        ("heren", "men"),
        ("hombre", "men"),
        ("uomo", "men"),
        ("H/F", "unisex"),
        ("M/W", "unisex"),
        ("Damen/Herren", "unisex"),
        ("mixte", "unisex"),
        ("junior", "youth"),
        ("enfant", "youth"),
        ("niños", "youth"),
    ] {
        assert_eq!(word("audience", word_of), audience, "{word_of}");
    }
}

#[test]
fn a_letter_that_differs_by_language_needs_a_heading_of_one() {
    for letter in ["H", "D", "M", "U"] {
        assert_eq!(code("audience", letter), Code::WordUnclear, "{letter}");
    }
    let under = |language, letter| {
        let manner = POINT.language(Some(language));
        match read("audience", letter, manner) {
            Ok(Some(Value::Text(word))) => word.to_string(),
            other => format!("{other:?}"),
        }
    };
    assert_eq!(under(Language::German, "D"), "women");
    assert_eq!(under(Language::French, "H"), "men");
    assert_eq!(under(Language::English, "M"), "men");
    assert_eq!(under(Language::Italian, "U"), "men");
    assert!(under(Language::Spanish, "M").contains("WordUnclear"), "mujer or masculino");
}

#[test]
fn bending_surfaces_and_purposes_are_known_in_six_languages() {
    for text in ["sehr steif", "très rigide", "zeer stijf", "muy rígido", "molto rigido", "5", "5/5"] {
        assert_eq!(word("bending", text), "word:very stiff", "{text}");
    }
    assert_eq!(code("bending", "4/10"), Code::WordUnknown, "another scale");
    assert_eq!(word("surface", "route / sentier"), "road,trail");
    assert_eq!(word("surface", "asfalto"), "road");
    assert_eq!(word("purpose", "Wettkampf"), "race");
    assert_eq!(word("purpose", "entraînement; compétition"), "daily,race");
    assert_eq!(word("status", "Auslaufmodell"), "retired");
    assert_eq!(word("status", "en gamme"), "in range");
}

#[test]
fn a_formula_that_failed_is_no_name() {
    assert_eq!(code("name", "#REF!"), Code::CellError);
    assert_eq!(code("drop", "#NV"), Code::CellError);
}

#[test]
fn a_message_quotes_a_long_text_in_short() {
    let say = read("drop", &"9".repeat(400), POINT).unwrap_err().say;
    assert!(say.len() < 200 && say.contains('…'), "{say}");
}

#[test]
fn what_cannot_be_seen_is_taken_out_of_a_name_with_a_word_and_of_a_number_without() {
    assert_eq!(word("name", "Ma\u{200b}rl"), "Marl");
    assert_eq!(noted("name", "Ma\u{200b}rl"), [Code::TextCleaned]);
    assert_eq!(noted("name", "M\u{430}rl"), [Code::MixedScripts]);
    assert_eq!(int("drop", "8\u{200b}", POINT), 80);
    assert_eq!(code("price", "1\u{202e}39"), Code::TextRefused);
    assert_eq!(code("name", "a\0b"), Code::NameRefused);
}
