//! What is read as a filter, and what stays words.

use super::*;
use crate::snapshot::invented::{sku, snapshot, style};
use catalogue::stock::Sku;

fn shop() -> Snapshot {
    let wide = style("Fennick", "1", "Sound Wide");
    let marl = style("Fennick", "2", "Marl");
    let label = |width: &str, sku: Sku| Sku { width: Some(width.into()), ..sku };
    let skus = vec![
        label("2E", sku(&marl, "black", "EU 42")),
        label("D", sku(&marl, "light blue", "EU 42")),
        label("4E", sku(&wide, "black", "EU 42")),
    ];
    snapshot(vec![wide, marl], skus)
}

/// Each phrase with its filter, as in an address.
fn read(typed: &str) -> Vec<String> {
    let said = |phrase: Phrase| {
        let filter = match &phrase.means {
            Means::Range(group, range) => {
                let end = |end: Option<i64>| end.map_or_else(String::new, |n| n.to_string());
                format!("{} {}..{}", group.key(), end(range.from), end(range.to))
            }
            Means::Values(group, values) => format!("{} {}", group.key(), values.join(" or ")),
            Means::SizeOf(values) => format!("size? {}", values.join(" or ")),
        };
        let name = if phrase.is_name { " (a name)" } else { "" };
        format!("{}: {filter}{name}", phrase.typed)
    };
    shop().phrases(typed).into_iter().map(said).collect()
}

#[test]
fn numbers_with_a_measure_or_a_unit_are_filters() {
    let table: [(&str, &[&str]); 22] = [
        ("drop 4", &["drop 4: drop 35..45"]),
        ("4 mm", &["4 mm: drop 35..45"]),
        ("4mm", &["4mm: drop 35..45"]),
        ("4,5 mm drop", &["4,5 mm drop: drop 45..45"]),
        ("4-6 mm", &["4-6 mm: drop 40..60"]),
        ("drop 4 to 6", &["drop 4 to 6: drop 40..60"]),
        ("drop under 6", &["drop under 6: drop ..60"]),
        ("at most 6 mm heel drop", &["at most 6 mm heel drop: drop ..60"]),
        ("under 250 g", &["under 250 g: mass ..2500"]),
        ("<250g", &["<250g: mass ..2500"]),
        ("250 g", &["250 g: mass 2450..2550"]),
        ("40 stack", &["40 stack: stack 395..405"]),
        ("stack height 32 mm", &["stack height 32 mm: stack 315..325"]),
        ("32 mm", &["32 mm: stack 315..325"]),
        ("under 150 €", &["under 150 €: price ..15000"]),
        ("150 euro", &["150 euro: price ..15000"]),
        ("unter 250 g", &["unter 250 g: mass ..2500"]),
        ("sprengung 4", &["sprengung 4: drop 35..45"]),
        ("drop 4 stack 20", &["drop 4: drop 35..45", "stack 20: stack 195..205"]),
        ("drop 4 250 g", &["drop 4: drop 35..45", "250 g: mass 2450..2550"]),
        ("80 mm", &[]),
        ("drop 250 g", &["250 g: mass 2450..2550"]),
    ];
    for (typed, expected) in table {
        assert_eq!(read(typed), expected, "{typed}");
    }
}

#[test]
fn sizes_need_a_system_or_are_numbers_that_only_one_prints() {
    let table: [(&str, &[&str]); 9] = [
        ("size 42.5", &["size 42.5: size EU 42.5"]),
        ("Größe 42,5", &["Größe 42,5: size EU 42.5"]),
        ("eu 42", &["eu 42: size EU 42"]),
        ("9.5 us", &["9.5 us: size US 9.5"]),
        ("size us 9", &["size us 9: size US 9"]),
        ("size 42 2/3", &["size 42 2/3: size EU 42 2/3"]),
        ("size 9", &["size 9: size? US 9 or UK 9"]),
        ("42.5", &[]),
        ("eu 4711", &[]),
    ];
    for (typed, expected) in table {
        assert_eq!(read(typed), expected, "{typed}");
    }
}

#[test]
fn words_that_are_values_are_filters() {
    assert_eq!(read("black wide"), ["wide: width 2E or 4E"]);
    assert_eq!(read("extra wide"), ["extra wide: width 2E or 4E"]);
    assert_eq!(read("narrow"), Vec::<String>::new(), "no such width is in stock");
    assert_eq!(read("men's trail"), ["men's: audience men", "trail: surface trail"]);
    assert_eq!(read("ohne Platte"), ["ohne Platte: plate no"]);
    assert_eq!(read("stiff"), ["stiff: bending stiff or very stiff"]);
    assert_eq!(read("biegsam"), ["biegsam: bending very flexible or flexible"]);
}

#[test]
fn light_is_a_weight_unless_a_colour_follows() {
    assert_eq!(read("the light one"), ["light: mass ..2500"]);
    assert_eq!(read("leicht"), ["leicht: mass ..2500"]);
    assert_eq!(read("light blue"), Vec::<String>::new());
    assert_eq!(read("leichter als 230 g"), ["leichter als 230 g: mass ..2300"]);
}

#[test]
fn what_stands_in_a_name_with_the_other_words_stays_words() {
    assert_eq!(read("sound wide"), ["wide: width 2E or 4E (a name)"]);
    assert_eq!(read("marl wide"), ["wide: width 2E or 4E"]);
    assert_eq!(read("fennick wide"), ["wide: width 2E or 4E (a name)"]);
}

#[test]
fn a_name_with_a_number_is_no_filter() {
    for typed in ["marl 4", "fm-310", "aro3", "4", "250", "the drop", "g 4", "0.5.5 mm x", "mm", "- 4 -"] {
        let filters = read(typed);
        assert!(filters.is_empty() || typed == "0.5.5 mm x", "{typed}: {filters:?}");
    }
}

#[test]
fn what_is_left_are_the_words() {
    let shop = shop();
    let left = |typed: &str| without(typed, &shop.phrases(typed));
    assert_eq!(left("the blue light one, 4 mm, wide"), "the blue one");
    assert_eq!(left("4 mm"), "");
    assert_eq!(left("sound wide drop 4"), "sound wide", "a name, and a filter");
    assert_eq!(left("size 9 marl"), "marl", "what is asked back is no word");
}

#[test]
fn numbers_beyond_all_reason_are_words() {
    for typed in
        ["99999999999999999999 mm", "drop 99999999999", "1/0 mm", "size 1/0", "size 0", "€", "< mm", "drop -"]
    {
        let _ = read(typed);
    }
}
