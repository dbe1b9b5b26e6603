//! The query string of the gaps: every state has one address, with sorted keys and no empties.

use indexer::gaps::{Narrowed, Wanted, wanted};

/// Its address.
pub const GAPS: &str = "/gaps";
/// The longest name of a maker or supplier, in bytes.
const LONGEST: usize = 400;
/// The last page that can be asked for.
const LAST_PAGE: usize = 2_000;

/// What the URL says of the gaps.
#[derive(Clone, Debug, Default)]
pub struct GapsQuery {
    /// Which shoes are looked at.
    pub narrowed: Narrowed,
    /// The shoes that lack this are listed; `None` for the page of counts.
    pub measure: Option<&'static Wanted>,
    /// The page of that list, from 1.
    pub page: usize,
}

impl GapsQuery {
    /// Reads a query string; what means nothing here is dropped.
    pub fn parse(query: &str) -> Self {
        let mut read = Self { page: 1, ..Self::default() };
        for (key, value) in form_urlencoded::parse(query.as_bytes()) {
            let value = value.trim();
            let name = Some(value.to_owned()).filter(|name| !name.is_empty() && name.len() <= LONGEST);
            match &*key {
                "maker" => read.narrowed.maker = name,
                "supplier" => read.narrowed.supplier = name,
                "measure" => read.measure = wanted(value),
                "page" => read.page = value.parse().map_or(1, |page: usize| page.clamp(1, LAST_PAGE)),
                _ => {}
            }
        }
        if read.measure.is_none() {
            read.page = 1;
        }
        read
    }

    /// The one address of this state.
    pub fn href(&self) -> String {
        let mut query = form_urlencoded::Serializer::new(String::new());
        let page = (self.page > 1).then(|| self.page.to_string());
        let pairs = [
            ("maker", self.narrowed.maker.as_deref()),
            ("measure", self.measure.map(|wanted| wanted.key)),
            ("page", page.as_deref()),
            ("supplier", self.narrowed.supplier.as_deref()),
        ];
        for (key, value) in pairs {
            if let Some(value) = value {
                query.append_pair(key, value);
            }
        }
        match query.finish() {
            empty if empty.is_empty() => GAPS.to_owned(),
            query => format!("{GAPS}?{query}"),
        }
    }

    /// The list of shoes that lack this.
    pub fn listing(&self, measure: &'static Wanted) -> Self {
        Self { measure: Some(measure), page: 1, ..self.clone() }
    }

    /// The counts of these shoes.
    pub fn counts(&self) -> Self {
        Self { measure: None, page: 1, ..self.clone() }
    }

    /// Another page of the list.
    pub fn at_page(&self, page: usize) -> Self {
        Self { page, ..self.clone() }
    }

    /// The counts of one supplier's shoes.
    pub fn of_supplier(supplier: &str) -> Self {
        let narrowed = Narrowed { supplier: Some(supplier.to_owned()), maker: None };
        Self { narrowed, measure: None, page: 1 }
    }

    /// The counts of one maker's shoes.
    pub fn of_maker(maker: &str) -> Self {
        let narrowed = Narrowed { maker: Some(maker.to_owned()), supplier: None };
        Self { narrowed, measure: None, page: 1 }
    }
}

/// Where the letter to a supplier is to be had as plain text.
pub fn ask_href(supplier: &str) -> String {
    let query = form_urlencoded::Serializer::new(String::new()).append_pair("supplier", supplier).finish();
    format!("{GAPS}/ask?{query}")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_state_has_one_address_with_sorted_keys() {
        let asked = GapsQuery::parse("supplier=Trade+Post&page=3&measure=drop&other=1&maker=");
        assert_eq!(asked.href(), "/gaps?measure=drop&page=3&supplier=Trade+Post");
        assert_eq!(asked.counts().href(), "/gaps?supplier=Trade+Post");
        assert_eq!(GapsQuery::parse("measure=wings&page=9").href(), "/gaps");
        assert_eq!(GapsQuery::parse("measure=drop&page=0").href(), "/gaps?measure=drop");
    }
}
