//! Sizes, codes and numbers of pairs.

use super::*;

#[test]
fn pairs_are_whole_none_or_more_and_x_is_in_stock() {
    assert_eq!(word("quantity", "0"), "0");
    assert_eq!(word("quantity", "10+"), "10+");
    assert_eq!(word("quantity", "X"), "x");
    assert_eq!(code("quantity", "-2"), Code::QuantityNegative);
    assert_eq!(code("quantity", "2.5"), Code::NotANumber);
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
fn a_damaged_code_says_how_to_mend_it() {
    assert!(read("gtin", "6.29104E+12", POINT).unwrap_err().say.contains("Format the column as text"));
    assert_eq!(code("gtin", "6291041500214"), Code::GtinCheckDigit);
    assert_eq!(int("gtin", "6291041500213", POINT), 6_291_041_500_213);
}

#[test]
fn a_style_number_that_a_spreadsheet_has_shortened_is_refused_with_how_to_mend_it() {
    for short in ["1E+11", "9,78E+12", "9.78e+12"] {
        let refused = read("style_number", short, POINT).unwrap_err();
        assert_eq!(refused.code, Code::StyleNumberShortened, "{short}");
        assert!(refused.say.contains(short) && refused.say.contains("Format the column as text"));
    }
    assert_eq!(code("replaces", "1E+11"), Code::ReplacesShortened);
    for number in ["1E11", "E+11", "1E+", "A1E+11", "12E+B", "1E-5"] {
        assert_eq!(word("style_number", number), number, "may be a number as it stands");
    }
    assert_eq!(word("notes", "1E+11"), "1E+11");
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
