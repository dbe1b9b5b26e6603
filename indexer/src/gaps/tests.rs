//! Gaps over small invented catalogues.

use catalogue::size::{SizeLabel, SizeSystem};
use catalogue::stock::{Gtin, Price, Quantity, Sku};
use catalogue::style::{Audience, Bending, BendingWord, Purpose, Purposes, Style};
use catalogue::units::{Grams, Mm};
use proptest::prelude::*;

use super::*;
use crate::snapshot::invented::{sku, snapshot, stocked, style};

fn with(number: &str, change: impl FnOnce(&mut Style)) -> Style {
    let mut style = style("Feldrast", number, &format!("Egge {number}"));
    change(&mut style);
    style
}

/// What `look` finds among these shoes, in code and words.
fn found(
    look: fn(&[Shoe<'_>]) -> Vec<Doubt>,
    styles: Vec<Style>,
    skus: Vec<Sku>,
) -> Vec<(&'static str, String)> {
    let (snapshot, suppliers) = (snapshot(styles, skus), Suppliers::new());
    look(&Shoe::all(&snapshot, &suppliers)).into_iter().map(|doubt| (doubt.code, doubt.say)).collect()
}

fn codes(look: fn(&[Shoe<'_>]) -> Vec<Doubt>, styles: Vec<Style>, skus: Vec<Sku>) -> Vec<&'static str> {
    found(look, styles, skus).into_iter().map(|(code, _)| code).collect()
}

fn hole(styles: Vec<Style>, skus: Vec<Sku>, key: &str) -> (usize, usize) {
    let (snapshot, suppliers) = (snapshot(styles, skus), Suppliers::new());
    let holes = holes(&Shoe::all(&snapshot, &suppliers));
    holes.iter().find(|hole| hole.wanted.key == key).map(|hole| (hole.missing, hole.of)).unwrap()
}

#[test]
fn a_drop_that_follows_from_the_stacks_is_no_hole() {
    let stacks = with("1", |s| {
        s.specification.heel_stack = Mm::from_tenths(300);
        s.specification.forefoot_stack = Mm::from_tenths(240);
    });
    let heel_alone = with("2", |s| s.specification.heel_stack = Mm::from_tenths(300));
    let retired = with("3", |s| s.retired = true);
    let all = || vec![stacks.clone(), heel_alone.clone(), retired.clone()];
    assert_eq!(hole(all(), Vec::new(), "drop"), (1, 2), "retired shoes do not count");
    assert_eq!(hole(all(), Vec::new(), "forefoot_stack"), (1, 2));
    assert_eq!(hole(all(), Vec::new(), "heel_stack"), (0, 2));
}

#[test]
fn a_question_that_makes_no_sense_of_a_shoe_is_not_in_its_denominator() {
    let weighed = with("1", |s| s.specification.mass = Grams::from_tenths(2_500));
    let unweighed = with("2", |_| {});
    let size = sku(&weighed, "grey", "EU 42");
    let all = || vec![weighed.clone(), unweighed.clone()];
    assert_eq!(hole(all(), Vec::new(), "mass_size"), (1, 1));
    assert_eq!(hole(all(), vec![size.clone()], "gtin"), (1, 1));
    assert_eq!(hole(all(), vec![size], "sizes"), (1, 2));
    assert_eq!(hole(Vec::new(), Vec::new(), "drop"), (0, 0));
}

#[test]
fn a_bare_stiffness_does_not_say_how_a_shoe_bends() {
    let bare = with("1", |s| s.specification.bending = Some(Bending::KindUnknown("7".into())));
    let word = with("2", |s| s.specification.bending = Some(Bending::Word(BendingWord::Stiff)));
    assert_eq!(hole(vec![bare, word], Vec::new(), "bending"), (1, 2));
}

#[test]
fn a_stated_drop_may_differ_from_the_stacks_by_half_a_millimetre() {
    let shoe = |number: &str, drop: i32| {
        with(number, |s| {
            s.specification.heel_stack = Mm::from_tenths(300);
            s.specification.forefoot_stack = Mm::from_tenths(240);
            s.specification.drop_stated = Mm::from_tenths(drop);
        })
    };
    assert!(codes(contradictions, vec![shoe("1", 65)], Vec::new()).is_empty());
    let found = found(contradictions, vec![shoe("1", 66)], Vec::new());
    assert_eq!(found.len(), 1);
    assert!(found[0].1.contains("6.6 mm") && found[0].1.contains("make 6 mm"), "{found:?}");
}

#[test]
fn values_that_no_shoe_has_are_asked_about() {
    let odd = with("1", |s| {
        s.specification.drop_stated = Mm::from_tenths(-160);
        s.specification.heel_stack = Mm::from_tenths(-5);
        s.specification.mass = Grams::from_tenths(28);
        s.specification.mass_size = SizeLabel::parse(Some(SizeSystem::Us), "9");
        s.audience = Some(Audience::Unisex);
    });
    let expected = ["drop-out-of-range", "stack-out-of-range", "mass-out-of-range", "mass-size-unclear"];
    assert_eq!(codes(contradictions, vec![odd.clone()], Vec::new()), expected);
    assert!(codes(contradictions, vec![Style { retired: true, ..odd }], Vec::new()).is_empty());
}

#[test]
fn one_price_far_from_its_run_is_named_and_a_run_of_three_says_nothing() {
    let egge = with("1", |_| {});
    let run = |prices: &[u32]| -> Vec<Sku> {
        let sizes = ["EU 40", "EU 41", "EU 42", "EU 43", "EU 44"];
        prices.iter().zip(sizes).map(|(price, size)| stocked(&egge, size, 1, *price)).collect()
    };
    let far = found(outliers, vec![egge.clone()], run(&[140, 140, 14, 140, 140]));
    assert_eq!(far.len(), 1);
    assert!(far[0].1.contains("42") && far[0].1.contains("14.00") && far[0].1.contains("140.00"), "{far:?}");
    assert!(codes(outliers, vec![egge.clone()], run(&[140, 150, 130, 140, 120])).is_empty());
    assert!(codes(outliers, vec![egge.clone()], run(&[140, 14, 140])).is_empty());
}

#[test]
fn a_hundred_pairs_of_one_size_are_too_many() {
    let egge = with("1", |_| {});
    let size = |pairs| Sku { quantity: Some(Quantity::Pairs(pairs)), ..sku(&egge, "grey", "EU 42") };
    assert_eq!(codes(outliers, vec![egge.clone()], vec![size(100)]), ["pairs-absurd"]);
    assert!(codes(outliers, vec![egge.clone()], vec![size(99)]).is_empty());
}

#[test]
fn a_shoe_of_two_purposes_far_from_both_is_named_once() {
    let shoe = |at: i32, drop: i32| {
        with(&at.to_string(), |s| {
            s.specification.drop_stated = Mm::from_tenths(drop);
            s.purposes = Purposes::of(&[Purpose::Daily, Purpose::Long]);
        })
    };
    let usual = (0..8).map(|at| shoe(at, 80 + at % 3 * 5));
    let found = found(outliers, usual.chain([shoe(9, 240)]).collect(), Vec::new());
    assert_eq!(found.len(), 1);
    assert!(found[0].1.contains("24 mm; 9 shoes for daily"), "{found:?}");
}

#[test]
fn one_name_for_women_and_for_men_is_two_shoes_and_for_nobody_known_is_asked() {
    let named = |number: &str, name: &str, audience| Style { audience, ..style("Feldrast", number, name) };
    let women = named("1", "Égge Two", Some(Audience::Women));
    let men = named("2", "EGGE  two", Some(Audience::Men));
    assert!(codes(duplicates, vec![women.clone(), men.clone()], Vec::new()).is_empty());
    let again = named("3", "egge-two", Some(Audience::Men));
    assert_eq!(codes(duplicates, vec![women.clone(), men.clone(), again], Vec::new()), ["name-twice"]);
    assert_eq!(codes(duplicates, vec![women, named("4", "Eggetwo", None)], Vec::new()), ["name-twice"]);
}

/// Source of the code: a worked example of GS1, `tests/tables/gtin_examples.csv`.
#[test]
fn a_code_on_two_boxes_and_a_number_under_two_makers_and_an_unknown_forerunner_are_named() {
    let one = style("Feldrast", "FR 1", "Egge");
    let gtin = Gtin::parse("7300011000017").ok();
    let boxed = |size: &str| Sku { gtin, ..sku(&one, "grey", size) };
    assert_eq!(
        codes(duplicates, vec![one.clone()], vec![boxed("EU 42"), boxed("EU 43")]),
        ["code-on-two-sizes"]
    );
    let other = style("Orrelby", "fr-1", "Sound");
    assert_eq!(codes(duplicates, vec![one.clone(), other], Vec::new()), ["number-under-two-makers"]);
    let follower = Style { replaces: StyleKey::parse("feldrast.fr-0"), ..one.clone() };
    assert_eq!(codes(duplicates, vec![follower], Vec::new()), ["replaces-unknown"]);
    let known = Style { replaces: Some(one.key.clone()), ..style("Feldrast", "FR 2", "Eggen") };
    assert!(codes(duplicates, vec![Style { retired: true, ..one }, known], Vec::new()).is_empty());
}

#[test]
fn a_letter_asks_for_what_is_missing_and_for_nothing_that_is_known() {
    let lacking = with("1", |s| s.specification.drop_stated = Mm::from_tenths(80));
    let suppliers: Suppliers = [(lacking.key.clone(), "Trade Post".to_owned())].into();
    let snapshot = snapshot(vec![lacking], Vec::new());
    let shoes = Shoe::all(&snapshot, &suppliers);
    let text = letter("Trade Post", &shoes, &str::to_owned).unwrap();
    assert!(text.contains("1 of 1 styles") && text.contains("1  Feldrast Egge 1\n"), "{text}");
    assert!(text.contains("  - weight of one shoe in g") && !text.contains("heel-to-toe drop"), "{text}");
    assert_eq!(letter("Trade Post", &[], &str::to_owned), None);
}

#[test]
fn shoes_are_narrowed_by_maker_and_by_supplier() {
    let (one, two) = (style("Feldrast", "1", "Egge"), style("Orrelby", "2", "Sound"));
    let suppliers: Suppliers = [(one.key.clone(), "Trade Post".to_owned())].into();
    let snapshot = snapshot(vec![one, two], Vec::new());
    let shoes = Shoe::all(&snapshot, &suppliers);
    let admitted = |maker: Option<&str>, supplier: Option<&str>| {
        let owned = |text: Option<&str>| text.map(str::to_owned);
        let narrowed = Narrowed { maker: owned(maker), supplier: owned(supplier) };
        shoes
            .iter()
            .filter(|shoe| narrowed.admits(shoe))
            .map(|shoe| shoe.style.name.clone())
            .collect::<Vec<_>>()
    };
    assert_eq!(admitted(None, None), ["Egge", "Sound"]);
    assert_eq!(admitted(Some("Orrelby"), None), ["Sound"]);
    assert_eq!(admitted(None, Some("Trade Post")), ["Egge"]);
    assert!(admitted(Some("Orrelby"), Some("Trade Post")).is_empty());
}

/// A style of which each value is known or not, as one of these bits says.
fn some_style(number: usize, bits: u8) -> Style {
    let known = |bit: u8| bits >> bit & 1 == 1;
    with(&number.to_string(), |s| {
        s.specification.heel_stack = Mm::from_tenths(300).filter(|_| known(0));
        s.specification.forefoot_stack = Mm::from_tenths(220).filter(|_| known(1));
        s.specification.drop_stated = Mm::from_tenths(80).filter(|_| known(2));
        s.specification.mass = Grams::from_tenths(2_500).filter(|_| known(3));
        s.specification.plate = known(4).then_some(false);
        s.audience = known(5).then_some(Audience::Men);
        s.retired = known(6);
    })
}

proptest! {
    #[test]
    fn holes_and_what_is_given_are_all_shoes_that_are_asked(bits in prop::collection::vec(any::<u8>(), 0..12)) {
        let styles: Vec<_> = bits.iter().enumerate().map(|(at, bits)| some_style(at, *bits)).collect();
        let skus = styles.iter().map(|s| Sku { price: Some(Price(100)), ..sku(s, "grey", "EU 42") }).collect();
        let (snapshot, suppliers) = (snapshot(styles, skus), Suppliers::new());
        let shoes = Shoe::all(&snapshot, &suppliers);
        let supplied = shoes.iter().filter(|shoe| !shoe.style.retired).count();
        for hole in holes(&shoes) {
            let asked = shoes.iter().filter(|s| !s.style.retired && (hole.wanted.applies)(s));
            let given = asked.filter(|shoe| (hole.wanted.given)(shoe)).count();
            prop_assert_eq!(hole.missing + given, hole.of);
            prop_assert_eq!(hole.missing, shoes.iter().filter(|shoe| hole.wanted.is_missing(shoe)).count());
            prop_assert!(hole.of <= supplied);
        }
    }
}
