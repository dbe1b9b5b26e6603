//! Statements on headings.

use catalogue::size::SizeSystem;
use catalogue::units::{LengthUnit, MassUnit};

use super::*;

fn column(text: &str) -> Option<&'static str> {
    Heading::of(text).column().map(|column| column.key)
}

#[test]
fn headings_of_the_trade_are_known_in_english_and_german() {
    for (text, key) in [
        ("Heel stack mm", "heel_stack"),
        ("Fersenhöhe (mm)", "heel_stack"),
        ("Article no.", "style_number"),
        ("RRP EUR", "price"),
        ("UVP (€)", "price"),
        ("EK netto (€)", "trade_price"),
        ("Größe (EU)", "size"),
        ("Platte ja/nein", "plate"),
        ("HEEL-STACK [mm]", "heel_stack"),
        ("Weighed at", "mass_size"),
    ] {
        assert_eq!(column(text), Some(key), "{text}");
    }
}

#[test]
fn a_heading_names_its_unit() {
    assert_eq!(Heading::of("Weight oz").unit, Some(Unit::Mass(MassUnit::Ounce)));
    assert_eq!(Heading::of("Stack Heel (cm)").unit, Some(Unit::Length(LengthUnit::Cm)));
    assert_eq!(Heading::of("Size UK").unit, Some(Unit::System(SizeSystem::Uk)));
    assert_eq!(Heading::of("Drop").unit, None);
}

#[test]
fn a_near_miss_is_suggested_never_taken() {
    let heading = Heading::of("Colorway");
    assert_eq!(heading.column(), None);
    assert_eq!(heading.near().map(|c| c.key), Some("colourway"));
    assert_eq!(Heading::of("Origin").near(), None);
}

#[test]
fn headings_are_known_in_french_dutch_spanish_and_italian() {
    for (text, key) in [
        ("Hauteur talon (mm)", "heel_stack"),
        ("Avant-pied", "forefoot_stack"),
        ("Dénivelé mm", "drop"),
        ("Poids en g", "mass"),
        ("Pointure", "size"),
        ("Prix public TTC", "price"),
        ("Prix d’achat HT", "trade_price"),
        ("Prix carton", "carton_price"),
        ("Hielhoogte", "heel_stack"),
        ("Voorvoet", "forefoot_stack"),
        ("Gewicht (g)", "mass"),
        ("Maat", "size"),
        ("Adviesprijs", "price"),
        ("Inkoopprijs", "trade_price"),
        ("Altura talón", "heel_stack"),
        ("Antepié", "forefoot_stack"),
        ("Caída", "drop"),
        ("Peso [g]", "mass"),
        ("Talla", "size"),
        ("PVP €", "price"),
        ("Precio de compra", "trade_price"),
        ("Altezza tallone", "heel_stack"),
        ("Avampiede", "forefoot_stack"),
        ("Differenziale", "drop"),
        ("Taglia", "size"),
        ("Prezzo al pubblico", "price"),
        ("Prezzo d'acquisto", "trade_price"),
        ("Absatzhöhe", "heel_stack"),
        ("Kartonpreis", "carton_price"),
    ] {
        assert_eq!(column(text), Some(key), "{text}");
    }
}

#[test]
fn every_word_of_the_registry_is_found_as_a_heading_as_printed_and_without_diacritics() {
    for language in Language::ALL {
        for column in crate::columns::COLUMNS {
            for word in column.headings_in(*language) {
                for text in [word.to_string(), word.to_uppercase(), fold::written_out(word), folded(word)] {
                    let heading = Heading::of(&text);
                    assert!(heading.columns().contains(column), "{text} in {}: {heading:?}", language.word());
                }
            }
        }
    }
}

#[test]
fn case_diacritics_and_what_cannot_be_seen_make_no_difference() {
    for text in [
        "Größe",
        "Groesse",
        "Grosse",
        "GRÖSSE",
        "Grö\u{ad}ße",
        "\u{feff}Größe\u{a0}",
        "Gr\u{200b}öße",
        "Größe:",
    ] {
        assert_eq!(column(text), Some("size"), "{text:?}");
    }
    assert_eq!(column("Heel\nstack"), Some("heel_stack"));
    assert_eq!(column("heelStack"), Some("heel_stack"));
}

#[test]
fn a_unit_may_stand_in_brackets_behind_an_underscore_or_a_preposition() {
    for (text, unit) in [
        ("drop_mm", Some(Unit::Length(LengthUnit::Mm))),
        ("Gewicht [g]", Some(Unit::Mass(MassUnit::Gram))),
        ("Stack (in)", Some(Unit::Length(LengthUnit::Inch))),
        ("Gewicht in g", Some(Unit::Mass(MassUnit::Gram))),
        ("Poids en g", Some(Unit::Mass(MassUnit::Gram))),
        ("Weight g/oz", Some(Unit::Several)),
        ("EU size", Some(Unit::System(SizeSystem::Eu))),
        ("Price (US$)", Some(Unit::Currency("us$"))),
        ("Pairs in stock", None),
    ] {
        let heading = Heading::of(text);
        assert_eq!(heading.unit, unit, "{text}");
        assert!(heading.column().is_some(), "{text}: {heading:?}");
    }
}

#[test]
fn of_two_parts_the_words_are_read_together_and_the_lower_unit_wins() {
    let of = |parts: &[&str]| {
        let heading = Heading::of_parts(parts);
        (heading.column().map(|column| column.key), heading.unit)
    };
    let mm = Some(Unit::Length(LengthUnit::Mm));
    assert_eq!(of(&["Stack height", "Heel"]), (Some("heel_stack"), None));
    assert_eq!(of(&["Stack height (cm)", "Forefoot", "mm"]), (Some("forefoot_stack"), mm));
    assert_eq!(of(&["Specifications", "Drop", "mm"]), (Some("drop"), mm));
    assert_eq!(of(&["Drop", "Drop"]), (Some("drop"), None));
    assert_eq!(of(&["Trade", "Price"]), (Some("trade_price"), None));
    assert_eq!(of(&["Dealer conditions", "Price"]).0, None, "whose price is not guessed");
}

#[test]
fn a_word_of_two_columns_in_two_languages_is_undecided() {
    let heading = Heading::of("Numero");
    assert_eq!(heading.columns().iter().map(|c| c.key).collect::<Vec<_>>(), ["style_number", "size"]);
    assert_eq!(heading.column(), None);
}

#[test]
fn the_language_of_a_heading_is_told_when_plain() {
    assert_eq!(Heading::of("Geschlecht").language(), Some(Language::German));
    assert_eq!(Heading::of("Gender").language(), Some(Language::English));
    assert_eq!(Heading::of("Drop").language(), Some(Language::English));
    assert_eq!(Heading::of("Saison").language(), None, "German and French");
}

#[test]
fn a_letter_of_another_alphabet_is_named() {
    let heading = Heading::of("dr\u{43e}p");
    assert_eq!(heading.column(), None);
    let first = &heading.suggestions()[0];
    assert_eq!(first.column.key, "drop");
    assert!(first.reason.contains("U+043E"), "{}", first.reason);
}

#[test]
fn suggestions_come_best_first_with_a_reason_and_three_at_most() {
    let of = |text| Heading::of(text).suggestions();
    assert!(of("Heel stak").first().is_some_and(|s| s.column.key == "heel_stack" && s.score >= 80));
    assert!(
        of("Manufacturer's weight").iter().any(|s| s.column.key == "mass" && s.reason.contains("weight"))
    );
    for text in ["Heel stak", "Price list of the shoe weight drop", "Colur"] {
        let all = of(text);
        assert!(all.len() <= 3 && all.windows(2).all(|pair| pair[0].score >= pair[1].score), "{text}");
        assert!(all.iter().all(|s| s.reason.ends_with('.')), "{all:?}");
    }
    assert_eq!(of("Weight"), [], "what is known needs no suggestion");
}
