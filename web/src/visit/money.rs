//! Money in words: whole amounts without decimals, others with all of them.

use crate::words;
use catalogue::policy::Currency;
use catalogue::stock::Price;

/// `€ 139`, `€ 139.90`, `CHF 139`.
pub fn money(price: Price, currency: Currency) -> String {
    let unit = 10_u32.saturating_pow(u32::from(currency.decimals));
    let (whole, rest) = (price.0 / unit, price.0 % unit);
    let sign = symbol(currency);
    match rest {
        0 => format!("{sign} {whole}"),
        _ => words::number(format!("{sign} {whole}.{rest:0width$}", width = usize::from(currency.decimals))),
    }
}

/// The sign of a currency where it has one of its own, else its code.
pub fn symbol(currency: Currency) -> &'static str {
    match currency.code {
        "EUR" => "€",
        "GBP" => "£",
        code => code,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_whole_amount_has_no_decimals_and_another_has_both() {
        let euro = Currency { code: "EUR", decimals: 2 };
        assert_eq!(money(Price(13_900), euro), "€ 139");
        assert_eq!(money(Price(13_990), euro), "€ 139.90");
        assert_eq!(money(Price(13_905), euro), "€ 139.05");
    }

    #[test]
    fn a_currency_without_minor_units_or_sign_is_named_by_its_code() {
        assert_eq!(money(Price(13_900), Currency { code: "JPY", decimals: 0 }), "JPY 13900");
    }
}
