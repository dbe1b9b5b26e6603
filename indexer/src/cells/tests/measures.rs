//! Lengths, masses and prices.

use super::*;

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
fn prices_are_minor_units_of_the_shops_currency() {
    assert_eq!(int("price", "139,90", COMMA), 13_990);
    assert_eq!(int("price", "€ 139.90", POINT), 13_990);
    assert_eq!(int("price", "1.299,00", COMMA), 129_900);
    assert_eq!(code("price", "139 $"), Code::CurrencyOther);
    assert_eq!(code("price", "a. A."), Code::NotANumber);
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
