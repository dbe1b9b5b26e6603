//! Cells of sheets against tables from outside: factors of `tables/units_exact.csv`, codes of
//! `tables/gtin_examples.csv`, minor units of `tables/iso4217_minor_units.csv`, sizes of
//! `tables/shoe_size_formula_adult.csv`.

use catalogue::policy::Currency;
use indexer::cells::{Manner, heard, read_cell, said};
use indexer::columns::{GTIN, HEEL_STACK, MASS, PRICE, SIZE};
use indexer::draft::Value;
use indexer::finding::Code;

use crate::outside_tables::{Table, scaled};

const POINT: Manner = Manner::new('.', None);

fn int(value: Option<Value>) -> i64 {
    match value {
        Some(Value::Int(value)) => value,
        other => panic!("{other:?} is no number"),
    }
}

/// The factor of a unit, in 10^-9 of its target.
fn factor(unit: &str) -> i128 {
    let table = Table::read("units_exact.csv");
    let row = table.rows().find(|row| row.get("from") == unit);
    let factor = row.unwrap_or_else(|| panic!("no unit {unit}")).get("factor");
    scaled(factor.split(' ').next().unwrap_or_default(), 9).into()
}

/// `number` thousandths of a unit, in tenths of its target, halves away from zero.
fn tenths(unit: &str, thousandths: i64) -> i64 {
    let all = i128::from(thousandths) * factor(unit);
    i64::try_from((all + 10_i128.pow(11) / 2) / 10_i128.pow(11)).expect("a shoe")
}

#[test]
fn a_cell_in_ounces_or_inches_is_what_the_published_factor_makes_of_it() {
    for (text, thousandths) in [("9.4 oz", 9400), ("9 3/8 oz", 9375), ("1 lb 2 oz", 18_000), ("8½ oz", 8500)]
    {
        let read = read_cell(&MASS, text, POINT).expect("a mass");
        assert_eq!(int(read), tenths("ounce avdp", thousandths), "{text}");
    }
    for (text, thousandths) in [("1.26 in", 1260), ("1 1/4\"", 1250), ("1⅜ in", 1375), ("0.875″", 875)] {
        let read = read_cell(&HEEL_STACK, text, POINT).expect("a length");
        assert_eq!(int(read), tenths("inch", thousandths), "{text}");
    }
}

#[test]
fn a_published_code_is_taken_as_its_fourteen_digits_and_a_damaged_one_is_not() {
    for row in Table::read("gtin_examples.csv").rows() {
        let (code, kind) = (row.get("code"), row.get("kind"));
        let read = heard(&GTIN, code, POINT);
        if row.get("stdnum_valid").eq_ignore_ascii_case("yes") && code != "00000000" {
            let heard = read.unwrap_or_else(|fault| panic!("{code}: {fault:?}"));
            let value = int(heard.said.into_iter().next().map(|(_, value)| value));
            assert_eq!(format!("{value:014}"), format!("{code:0>14}"));
            assert_eq!(heard.notes.len(), usize::from(code.len() == 12), "{code}");
        } else {
            let expected = match kind {
                "11 digits" => Code::GtinZeroLost,
                "spreadsheet damage" | "letter O" | "all zero" => Code::GtinDamaged,
                _ => Code::GtinCheckDigit,
            };
            assert_eq!(read.map_err(|fault| fault.code).err(), Some(expected), "{code}");
        }
    }
}

#[test]
fn a_price_counts_in_the_minor_units_of_its_currency() {
    for row in Table::read("iso4217_minor_units.csv").rows() {
        let decimals: u8 = row.get("minor_units").parse().expect("a digit");
        let code: &'static str = row.get("code").to_owned().leak();
        let manner = POINT.currency(Currency { code, decimals });
        let fraction = match decimals {
            0 => String::new(),
            places => format!(".{}", &"125"[..usize::from(places)]),
        };
        let expected: i64 = format!("4200{}", fraction.trim_start_matches('.')).parse().expect("a number");
        for text in
            [format!("4200{fraction} {code}"), format!("{code} 4200{fraction}"), format!("4200{fraction}")]
        {
            assert_eq!(int(read_cell(&PRICE, &text, manner).expect("a price")), expected, "{text}");
        }
        if code != "EUR" {
            let other = read_cell(&PRICE, &format!("4200 {code}"), POINT);
            assert_eq!(other.map_err(|fault| fault.code), Err(Code::CurrencyOther), "{code}");
        }
    }
}

#[test]
fn two_systems_that_the_formula_makes_one_foot_are_one_size() {
    for row in Table::read("shoe_size_formula_adult.csv").rows() {
        let (eu, uk, us) = (row.get("eu_half"), row.get("uk_half"), row.get("us_men_half"));
        for text in
            [format!("EU {eu} / UK {uk}"), format!("EU {eu} (US M {us})"), format!("EU {eu} = UK {uk}")]
        {
            let said = said(&SIZE, &text, POINT).unwrap_or_else(|fault| panic!("{text}: {fault:?}"));
            assert_eq!(said[0].1, Value::Text(eu.into()), "{text}");
        }
        let off = format!("EU {eu} / UK {}", uk.parse::<f32>().expect("a size") + 2.0);
        assert_eq!(said(&SIZE, &off, POINT).map_err(|fault| fault.code), Err(Code::SizesDisagree), "{off}");
    }
}
