//! The currencies a shop may keep its prices in.

use super::Currency;

/// By code, those of two decimals: prices are kept and typed so. Source: `tests/tables/iso4217_minor_units.csv`, from list one of ISO 4217.
pub static CURRENCIES: [Currency; 14] = [
    Currency { code: "AUD", decimals: 2 },
    Currency { code: "CAD", decimals: 2 },
    Currency { code: "CHF", decimals: 2 },
    Currency { code: "CNY", decimals: 2 },
    Currency { code: "CZK", decimals: 2 },
    Currency { code: "DKK", decimals: 2 },
    Currency { code: "EUR", decimals: 2 },
    Currency { code: "GBP", decimals: 2 },
    Currency { code: "HUF", decimals: 2 },
    Currency { code: "NOK", decimals: 2 },
    Currency { code: "NZD", decimals: 2 },
    Currency { code: "PLN", decimals: 2 },
    Currency { code: "SEK", decimals: 2 },
    Currency { code: "USD", decimals: 2 },
];

/// The currency of a code.
pub fn currency(code: &str) -> Option<Currency> {
    CURRENCIES.iter().copied().find(|currency| currency.code == code)
}
