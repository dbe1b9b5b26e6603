//! Units against `tables/units_exact.csv`: 16 CFR 500.19, and NIST SP 811 from memory.

use catalogue::size::{SizeLabel, SizeSystem};
use catalogue::units::{Decimal, LengthUnit, MassUnit};

use crate::outside_tables::{Table, scaled};

const PLACES: usize = 9;

/// The factor of a unit, in 10^-9 of its target.
fn factor(from: &str) -> i64 {
    scaled(cell(from).split(' ').next().unwrap_or_default(), PLACES)
}

fn cell(from: &str) -> String {
    let table = Table::read("units_exact.csv");
    let row = table.rows().find(|row| row.get("from") == from);
    row.unwrap_or_else(|| panic!("no unit {from}")).get("factor").into()
}

/// Every hundredth up to `most` times the factor, in tenths, halves away from zero.
fn agrees(from: &str, most: i64, tenths: impl Fn(Decimal) -> Option<i32>) {
    let factor = i128::from(factor(from));
    for hundredths in 0..=most * 100 {
        let text = format!("{}.{:02}", hundredths / 100, hundredths % 100);
        let expected = (i128::from(hundredths) * factor * 2 + 10_i128.pow(10)) / (2 * 10_i128.pow(10));
        let read = Decimal::parse(&text, '.').and_then(&tenths);
        assert_eq!(read.map(i128::from), Some(expected), "{text} {from}");
    }
}

#[test]
fn inches_and_centimetres_are_exact_over_all_that_a_shoe_can_be() {
    agrees("inch", 39, |number| Some(LengthUnit::Inch.to_mm(number)?.in_tenths()));
    agrees("cm", 99, |number| Some(LengthUnit::Cm.to_mm(number)?.in_tenths()));
}

#[test]
fn ounces_and_pounds_are_exact_over_all_that_a_shoe_can_weigh() {
    agrees("ounce avdp", 70, |number| Some(MassUnit::Ounce.to_grams(number)?.in_tenths()));
    agrees("pound avdp", 4, |number| Some(MassUnit::Pound.to_grams(number)?.in_tenths()));
}

#[test]
fn a_size_is_a_barleycorn_in_the_uk_and_us_and_a_paris_point_in_the_eu() {
    for (from, system) in [
        ("barleycorn (1/3 in)", SizeSystem::Uk),
        ("barleycorn (1/3 in)", SizeSystem::Us),
        ("Paris point", SizeSystem::Eu),
    ] {
        let fraction = cell(from);
        let (numerator, denominator) = fraction
            .rsplit_once('=')
            .and_then(|(_, fraction)| fraction.split_once('/'))
            .expect("a fraction behind the decimals");
        let of = |text: &str| text.parse::<i32>().expect("a whole number");
        let foot = |size: &str| {
            let label = SizeLabel::parse(Some(system), size);
            label.and_then(|l| l.foot(Some(catalogue::style::Audience::Men))).expect("a foot").in_360ths()
        };
        assert_eq!((foot("41") - foot("40")) * of(denominator), of(numerator) * 360, "{from}");
    }
}
