//! Statements on cells, column by column.

use catalogue::policy::Currency;
use catalogue::units::LengthUnit;

use super::*;
use crate::columns::Language;
use crate::heading::Unit;

const POINT: Manner = Manner::new('.', None);
const COMMA: Manner = Manner::new(',', None);

fn read(key: &str, text: &str, manner: Manner) -> Result<Option<Value>, CellFault> {
    read_cell(Column::find(key).unwrap(), text, manner)
}

fn int(key: &str, text: &str, manner: Manner) -> i64 {
    match read(key, text, manner) {
        Ok(Some(Value::Int(value))) => value,
        other => panic!("{key} {text}: {other:?}"),
    }
}

fn word(key: &str, text: &str) -> String {
    match read(key, text, POINT) {
        Ok(Some(Value::Text(value))) => value.to_string(),
        other => panic!("{key} {text}: {other:?}"),
    }
}

fn code(key: &str, text: &str) -> Code {
    read(key, text, POINT).unwrap_err().code
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
fn lengths_and_masses_are_read_in_the_unit_of_the_cell_or_the_heading() {
    let inches = Manner::new('.', Some(Unit::Length(LengthUnit::Inch)));
    assert_eq!(int("heel_stack", "32", POINT), 320);
    assert_eq!(int("heel_stack", "32,5", COMMA), 325);
    assert_eq!(int("heel_stack", "1.26", inches), 320);
    assert_eq!(int("heel_stack", "32 mm", inches), 320, "the cell wins over the heading");
    assert_eq!(int("mass", "9.4 oz", POINT), 2665);
}

#[test]
fn a_number_likely_in_another_unit_is_asked_not_mended() {
    assert_eq!(code("mass", "0.28"), Code::UnlikelyScale);
    assert_eq!(code("heel_stack", "2.6"), Code::UnlikelyScale);
    assert_eq!(code("heel_stack", "-3"), Code::OutOfRange);
}

#[test]
fn letters_in_a_number_cell_are_refused_with_what_to_do() {
    let fault = read("drop", "about eight", POINT).unwrap_err();
    assert_eq!(fault.code, Code::NotANumber);
    assert!(fault.say.contains("leave it blank"));
    assert_eq!(code("heel_stack", "32 furlongs"), Code::UnitUnknown);
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
fn pairs_are_whole_none_or_more_and_x_is_in_stock() {
    assert_eq!(word("quantity", "0"), "0");
    assert_eq!(word("quantity", "10+"), "10+");
    assert_eq!(word("quantity", "X"), "x");
    assert_eq!(code("quantity", "-2"), Code::QuantityNegative);
    assert_eq!(code("quantity", "2.5"), Code::NotANumber);
}

#[test]
fn prices_are_minor_units_of_the_shops_currency() {
    assert_eq!(int("price", "139,90", COMMA), 13_990);
    assert_eq!(int("price", "€ 139.90", POINT), 13_990);
    assert_eq!(int("price", "1.299,00", COMMA), 129_900);
    assert_eq!(code("price", "139 $"), Code::CurrencyOther);
    assert_eq!(code("price", "a. A."), Code::NotANumber);
}

#[test]
fn a_size_turned_into_a_date_is_refused_by_name() {
    assert_eq!(word("size", "42 2/3"), "42 2/3");
    assert_eq!(code("size", "10. May"), Code::SizeIsDate);
    assert_eq!(code("size", "2026-05-10"), Code::SizeIsDate);
    assert_eq!(code("size", "large"), Code::SizeNotRead);
}

#[test]
fn a_weighing_size_keeps_its_system() {
    assert_eq!(word("mass_size", "EU 42"), "EU 42");
    assert_eq!(code("mass_size", "42"), Code::WordUnknown);
}

#[test]
fn only_groups_of_three_are_thousands_and_a_number_in_two_pieces_is_none() {
    assert_eq!(int("price", "1.299,00 €", COMMA), 129_900);
    assert_eq!(int("price", "1 299,00", COMMA), 129_900);
    for text in ["1,2,6.5", "2,6.5", "3 4", "1 2.5"] {
        assert_eq!(code("heel_stack", text), Code::NotANumber, "{text}");
    }
    assert_eq!(code("price", "1,29.00"), Code::NotANumber);
}

#[test]
fn a_damaged_code_says_how_to_mend_it() {
    assert!(read("gtin", "6.29104E+12", POINT).unwrap_err().say.contains("Format the column as text"));
    assert_eq!(code("gtin", "6291041500214"), Code::GtinCheckDigit);
    assert_eq!(int("gtin", "6291041500213", POINT), 6_291_041_500_213);
}

fn all(key: &str, text: &str, manner: Manner) -> Vec<(&'static str, Value)> {
    let said =
        said(Column::find(key).unwrap(), text, manner).unwrap_or_else(|fault| panic!("{text}: {fault:?}"));
    said.into_iter().map(|(column, value)| (column.key, value)).collect()
}

fn noted(key: &str, text: &str) -> Vec<Code> {
    let heard = heard(Column::find(key).unwrap(), text, POINT).unwrap();
    heard.notes.into_iter().map(|note| note.code).collect()
}

fn tenths(key: &'static str, value: i64) -> (&'static str, Value) {
    (key, Value::Int(value))
}

#[test]
fn a_pair_of_stacks_speaks_for_heel_and_forefoot() {
    let both = [tenths("heel_stack", 320), tenths("forefoot_stack", 240)];
    for text in [
        "32/24",
        "32 / 24",
        "32-24 mm",
        "32mm/24mm",
        "32 mm – 24 mm",
        "32|24",
        "heel 32 / forefoot 24",
        "3.2/2.4 cm",
    ] {
        assert_eq!(all("stacks", text, POINT), both, "{text}");
    }
    assert_eq!(all("stacks", "32,0/24,0", COMMA), both);
    assert_eq!(all("stacks", "Vorfuß 24 / Ferse 32", POINT), [both[1].clone(), both[0].clone()]);
}

#[test]
fn a_third_number_behind_the_stacks_is_the_drop() {
    for text in ["32/24/8", "32/24 (8 mm drop)", "32 / 24 / 8 mm"] {
        assert_eq!(all("stacks", text, POINT)[2], tenths("drop", 80), "{text}");
    }
}

#[test]
fn a_pair_of_stacks_with_the_lower_first_is_asked_not_swapped() {
    assert_eq!(code("stacks", "24/32"), Code::StacksUnordered);
    assert_eq!(code("stacks", "32"), Code::NotANumber);
    assert_eq!(code("heel_stack", "32/24"), Code::NotANumber, "one column, two numbers");
}

#[test]
fn words_beside_a_number_say_nothing_new() {
    for text in ["8 mm drop", "8mm", "drop 8 mm", "8 mm Sprengung", "0.8 cm", "Drop: 8"] {
        assert_eq!(int("drop", text, POINT), 80, "{text}");
    }
}

#[test]
fn a_mass_may_say_the_size_it_was_weighed_at() {
    let weighed = |text, size: &str| {
        let said = all("mass", text, POINT);
        assert_eq!(said.len(), 2, "{text}");
        assert_eq!(said[1], ("mass_size", Value::Text(size.into())), "{text}");
    };
    weighed("265 g (US 9)", "US 9");
    weighed("9.4 oz @ US M 9", "US 9");
    weighed("265 g / EU 42", "EU 42");
    weighed("265g bei EU 42 2/3", "EU 42 2/3");
    assert_eq!(code("mass", "265 g (blue)"), Code::NotANumber);
}

#[test]
fn a_mass_in_two_units_is_one_mass_when_they_agree() {
    assert_eq!(all("mass", "265 g / 9.3 oz", POINT), [tenths("mass", 2650)]);
    assert_eq!(code("mass", "265 g / 10.3 oz"), Code::NotANumber);
}

/// Source: 16 CFR 500.19, an ounce is 28.3495 g and a pound 16 of them.
#[test]
fn ounces_come_as_fractions_and_behind_pounds() {
    assert_eq!(int("mass", "9 3/8 oz", POINT), 2658);
    assert_eq!(int("mass", "9⅜oz", POINT), 2658);
    assert_eq!(int("mass", "1 lb 2 oz", POINT), 5103);
    assert_eq!(int("heel_stack", "1 1/4\"", POINT), 318);
}

#[test]
fn a_mass_that_is_likely_in_another_unit_names_it() {
    let say = |text| read("mass", text, POINT).unwrap_err().say;
    assert!(say("0.28").contains("kg"), "{}", say("0.28"));
    assert!(say("9.4").contains("oz") && say("9.4 g").contains("oz"));
    assert!(say("560000").contains("Check"));
    assert!(say("620").contains("pair"));
    let say = |text| read("heel_stack", text, POINT).unwrap_err().say;
    assert!(say("2.6").contains("in cm it would be 26 mm"), "{}", say("2.6"));
    assert!(say("320").contains("tenths of a mm it would be 32 mm"), "{}", say("320"));
    assert_eq!(noted("drop", "0.8"), [Code::Unlikely]);
}

#[test]
fn a_percentage_is_no_measure() {
    assert_eq!(code("drop", "8 %"), Code::Percent);
    assert_eq!(code("price", "8%"), Code::Percent);
}

#[test]
fn a_heading_with_two_units_needs_one_in_each_cell() {
    let several = Manner::new('.', Some(Unit::Several));
    assert_eq!(int("mass", "265 g", several), 2650);
    assert_eq!(read("mass", "265", several).unwrap_err().code, Code::UnitUnknown);
}

#[test]
fn prices_in_another_currency_are_refused_by_name() {
    for text in ["$139.90", "139.90 USD", "£ 139", "CHF 139.90"] {
        let fault = read("price", text, POINT).unwrap_err();
        assert_eq!(fault.code, Code::CurrencyOther, "{text}");
        assert!(fault.say.contains("EUR"));
    }
    let dollars = Manner::new('.', Some(Unit::Currency("$")));
    assert_eq!(read("price", "139.90", dollars).unwrap_err().code, Code::CurrencyOther);
    assert_eq!(int("price", "139,- €", COMMA), 13_900);
    assert_eq!(int("price", "1'299.00", POINT), 129_900);
    assert_eq!(code("price", "139.905"), Code::OutOfRange, "nothing is rounded away");
    assert_eq!(said(Column::find("currency").unwrap(), "EUR", POINT), Ok(Said::new()));
    assert_eq!(said(Column::find("currency").unwrap(), "USD", POINT).unwrap_err().code, Code::CurrencyColumn);
}

#[test]
fn a_shop_of_another_country_has_its_own_minor_units() {
    let shop = |code, decimals| POINT.currency(Currency { code, decimals });
    assert_eq!(int("price", "CHF 139.90", shop("CHF", 2)), 13_990);
    assert_eq!(int("price", "¥14000", shop("JPY", 0)), 14_000);
    assert_eq!(int("price", "42.500", shop("KWD", 3)), 42_500);
    assert_eq!(int("price", "$139.90", shop("USD", 2)), 13_990);
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
fn blanks_and_dashes_say_nothing_and_crosses_are_in_stock_where_pairs_are_counted() {
    let pairs = |text| read("quantity", text, POINT).unwrap();
    assert_eq!((pairs(""), pairs("-"), pairs("–")), (None, None, None));
    for cross in ["x", "X", "✓", "×"] {
        assert_eq!(pairs(cross), Some(Value::Text("x".into())), "{cross}");
    }
    assert_eq!(word("stiffness", "3"), "3", "kept, its kind unknown");
}

#[test]
fn pairs_are_counted_with_and_without_words() {
    for text in ["12", "12 pairs", "12 Paar", "12.0", "１２"] {
        assert_eq!(word("quantity", text), "12", "{text}");
    }
    assert_eq!(word("quantity", ">10"), "10+");
    assert_eq!(word("quantity", "auf Lager"), "x");
    assert_eq!(word("quantity", "épuisé"), "0");
    assert_eq!(code("quantity", "2.04"), Code::NotANumber);
    assert_eq!(code("quantity", "1000000000"), Code::OutOfRange);
    assert_eq!(code("quantity", "9223372036854775808"), Code::NotANumber);
}

#[test]
fn twelve_digits_are_a_code_with_a_zero_before_it_and_fewer_are_asked() {
    assert_eq!(int("gtin", "036000241457", POINT), 36_000_241_457);
    assert_eq!(noted("gtin", "036000241457"), [Code::GtinPadded]);
    assert_eq!(noted("gtin", "6291041500213"), []);
    let fault = read("gtin", "36000241457", POINT).unwrap_err();
    assert_eq!(fault.code, Code::GtinZeroLost);
    assert!(fault.say.contains("036000241457"));
    assert!(read("gtin", "629104150O213", POINT).unwrap_err().say.contains("letter O"));
    assert_eq!(int("gtin", "6 291041-500213", POINT), 6_291_041_500_213);
    assert_eq!(int("gtin", "6.291041500213E12", POINT.typed_number(true)), 6_291_041_500_213);
    assert_eq!(code("gtin", "0000000000000"), Code::GtinDamaged);
}

#[test]
fn a_formula_that_failed_is_no_name() {
    assert_eq!(code("name", "#REF!"), Code::CellError);
    assert_eq!(code("drop", "#NV"), Code::CellError);
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

#[test]
fn a_message_quotes_a_long_text_in_short() {
    let say = read("drop", &"9".repeat(400), POINT).unwrap_err().say;
    assert!(say.len() < 200 && say.contains('…'), "{say}");
}
