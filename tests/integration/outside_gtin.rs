//! Check digits against `tables/gtin_examples.csv`: examples published by GS1 and others, judged by
//! python-stdnum 2.2, and damage made from them.

use catalogue::stock::{Gtin, GtinFault, check_digit};

use crate::outside_tables::{Row, Table};

fn rows(table: &Table, valid: bool) -> impl Iterator<Item = Row<'_>> {
    // All zeros pass the arithmetic and name no item: refused by our rule, whatever the outside says.
    table.rows().filter(move |row| {
        row.get("stdnum_valid").eq_ignore_ascii_case(if valid { "yes" } else { "no" })
            && row.get("code") != "00000000"
    })
}

#[test]
fn every_valid_number_is_read_and_kept_right_aligned_in_fourteen_digits() {
    for row in rows(&Table::read("gtin_examples.csv"), true) {
        let read = Gtin::parse(row.get("code")).map(|gtin| gtin.to_string());
        let expected = format!("{:0>14}", row.get("code"));
        assert_eq!(read.as_deref(), Ok(&*expected), "{}", row.get("source"));
        let told = row.get("as_14_digits");
        assert!(told.is_empty() || told == expected, "{told}");
    }
}

#[test]
fn every_invalid_number_is_refused_for_its_own_fault() {
    for row in rows(&Table::read("gtin_examples.csv"), false) {
        let expected = match row.get("kind") {
            "spreadsheet damage" => GtinFault::Scientific,
            "letter O" => GtinFault::NotDigits,
            "11 digits" => GtinFault::Length,
            _ => GtinFault::CheckDigit(row.get("computed_check_digit").parse().expect("a digit")),
        };
        assert_eq!(Gtin::parse(row.get("code")), Err(expected), "{}", row.get("source"));
    }
}

#[test]
fn eight_zeros_pass_the_arithmetic_and_are_refused() {
    assert_eq!(Gtin::parse("00000000"), Err(GtinFault::AllZero));
}

#[test]
fn every_check_digit_is_the_one_computed_outside() {
    for row in Table::read("gtin_examples.csv").rows() {
        let (Ok(code), Ok(expected)) =
            (row.get("code").parse::<u64>(), row.get("computed_check_digit").parse::<u8>())
        else {
            continue;
        };
        assert_eq!(check_digit(code / 10), expected, "{code}");
    }
}
