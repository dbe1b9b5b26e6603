//! Which style a row speaks of: by the maker's number, by a GTIN, or by the maker and the name.

use std::cell::RefCell;
use std::collections::HashMap;

use catalogue::key::{MakerKey, SkuKey, StyleKey};
use catalogue::policy::Currency;
use catalogue::style::Audience;
use foldhash::fast::RandomState;

use crate::draft::Join;

/// What the catalogue holds already, as far as reading needs it.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Known {
    /// Makers by key, with their names as printed.
    pub makers: HashMap<MakerKey, String, RandomState>,
    /// Styles by the number part of their keys.
    pub numbers: HashMap<String, Vec<StyleKey>, RandomState>,
    /// Styles by [`name_of`] maker and name, with their audiences.
    pub names: HashMap<String, Vec<(Option<Audience>, StyleKey)>, RandomState>,
    /// Sizes by their GTINs.
    pub gtins: HashMap<i64, (StyleKey, SkuKey), RandomState>,
    /// The shop's one currency.
    pub currency: Currency,
}

/// What a row says of its identity; blank where it does not.
#[derive(Clone, Debug)]
pub(super) struct Names<'r> {
    pub(super) maker: Option<String>,
    pub(super) number: &'r str,
    pub(super) name: &'r str,
    pub(super) audience: Option<Audience>,
    pub(super) gtin: Option<i64>,
}

/// The style of a row.
#[derive(Clone, Debug)]
pub(super) struct Found {
    /// The maker's name as printed; `None` when the row need not repeat it.
    pub(super) maker: Option<String>,
    pub(super) style: StyleKey,
    /// The size, where a GTIN has told.
    pub(super) sku: Option<SkuKey>,
    pub(super) join: Join,
}

/// Why no style was found.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Unfound {
    /// Neither number nor name nor GTIN.
    NoName,
    /// No maker, and the number is not of one known style alone.
    NoMaker,
    /// A GTIN alone, and nobody knows it.
    GtinUnknown,
}

/// What is known of styles and sizes: by the catalogue, and by rows of the same file read before.
pub(super) struct Identity<'k> {
    known: &'k Known,
    met: RefCell<Known>,
    /// Keys made once a style, by maker and number: a stock sheet names each many times over.
    made: RefCell<HashMap<String, Option<StyleKey>, RandomState>>,
}

/// The key under which a style is known by maker and name; `None` when either holds no letter or digit.
pub fn name_of(maker: &str, name: &str) -> Option<String> {
    StyleKey::of_name(maker, name, None).map(|key| key.to_string())
}

impl<'k> Identity<'k> {
    pub(super) fn new(known: &'k Known) -> Self {
        Self { known, met: RefCell::default(), made: RefCell::default() }
    }

    /// The shop's one currency.
    pub(super) fn currency(&self) -> Currency {
        self.known.currency
    }

    /// The maker's name as the catalogue prints it, when it is known.
    pub(super) fn maker_called(&self, name: &str) -> Option<String> {
        self.known.makers.get(&MakerKey::of(name)?).cloned()
    }

    /// The size that has this GTIN.
    pub(super) fn of_gtin(&self, gtin: i64) -> Option<(StyleKey, SkuKey)> {
        self.known.gtins.get(&gtin).or(self.met.borrow().gtins.get(&gtin)).cloned()
    }

    /// The style of a row.
    pub(super) fn find(&self, names: &Names<'_>) -> Result<Found, Unfound> {
        match (names.number, names.name, &names.maker, names.gtin) {
            ("", "", _, None) => Err(Unfound::NoName),
            ("", "", _, Some(gtin)) => {
                let (style, sku) = self.of_gtin(gtin).ok_or(Unfound::GtinUnknown)?;
                Ok(Found { maker: None, style, sku: Some(sku), join: Join::Gtin })
            }
            ("", name, Some(maker), _) => self.by_name(maker, name, names.audience),
            (number, _, Some(maker), _) => self.by_number(maker, number),
            (number, _, None, _) => self.by_number_alone(number),
        }
    }

    /// Remembers a row of this file for those that come after.
    pub(super) fn meet(&self, names: &Names<'_>, found: &Found) {
        let mut met = self.met.borrow_mut();
        let Some(maker) = &found.maker else { return };
        let number = found.style.as_str().split_once('.').map_or("", |(_, number)| number);
        let styles = met.numbers.entry(number.to_owned()).or_default();
        if !styles.contains(&found.style) {
            styles.push(found.style.clone());
            met.makers.insert(found.style.maker(), maker.clone());
        }
        let Some(called) = name_of(maker, names.name).filter(|_| !names.name.is_empty()) else { return };
        let styles = met.names.entry(called).or_default();
        if !styles.iter().any(|(_, style)| *style == found.style) {
            styles.push((names.audience, found.style.clone()));
        }
    }

    /// Remembers the GTIN of a size of this file.
    pub(super) fn meet_gtin(&self, gtin: i64, style: &StyleKey, sku: &SkuKey) {
        self.met.borrow_mut().gtins.entry(gtin).or_insert_with(|| (style.clone(), sku.clone()));
    }

    fn by_number(&self, maker: &str, number: &str) -> Result<Found, Unfound> {
        let mut made = self.made.borrow_mut();
        let printed = [maker, "\u{1f}", number].concat();
        let key = made.entry(printed).or_insert_with(|| StyleKey::of_number(maker, number));
        let style = key.clone().ok_or(Unfound::NoName)?;
        Ok(Found { maker: Some(maker.to_owned()), style, sku: None, join: Join::Number })
    }

    /// A row without a maker links only to a number that one style alone has.
    fn by_number_alone(&self, number: &str) -> Result<Found, Unfound> {
        let slug = StyleKey::of_number("x", number).ok_or(Unfound::NoMaker)?;
        let part = slug.as_str().trim_start_matches("x.");
        let met = self.met.borrow();
        let mut styles: Vec<&StyleKey> = [&self.known.numbers, &met.numbers]
            .into_iter()
            .filter_map(|all| all.get(part))
            .flatten()
            .collect();
        styles.sort_unstable();
        styles.dedup();
        match styles[..] {
            [style] => {
                let maker = style.maker();
                let printed = self.known.makers.get(&maker).or(met.makers.get(&maker)).cloned();
                Ok(Found { maker: printed, style: style.clone(), sku: None, join: Join::Number })
            }
            _ => Err(Unfound::NoMaker),
        }
    }

    /// A name links to the one style of the maker that is called so; else it makes a style of its own.
    fn by_name(&self, maker: &str, name: &str, audience: Option<Audience>) -> Result<Found, Unfound> {
        let called = name_of(maker, name).ok_or(Unfound::NoName)?;
        let met = self.met.borrow();
        let mut styles: Vec<&StyleKey> = [&self.known.names, &met.names]
            .into_iter()
            .filter_map(|all| all.get(&called))
            .flatten()
            .filter(|(own, _)| audience.is_none() || *own == audience)
            .map(|(_, style)| style)
            .collect();
        styles.sort_unstable();
        styles.dedup();
        let style = match styles[..] {
            [style] => style.clone(),
            _ => StyleKey::of_name(maker, name, audience).ok_or(Unfound::NoName)?,
        };
        Ok(Found { maker: Some(maker.to_owned()), style, sku: None, join: Join::Name })
    }
}
