//! The shoes that a search found as a table, a row a style, in the order in which they were found.
//!
//! Headings that the registry knows stand over what sheets have said, and over that alone: a list that is sent in again
//! changes nothing. What was worked out, and what is true of this search only, has headings that a reader understands
//! and the registry does not.

use catalogue::stock::Sku;
use catalogue::style::Style;

use super::table::{self, Cell, OF_STYLE, OfStyle};
use super::workbook::{self, NotWritten};
use crate::search::Hit;
use crate::snapshot::{Snapshot, StyleCard};

/// The columns of an export that a list of shoes has too.
const AS_TOLD: [&str; 14] = [
    "Maker",
    "Style number",
    "Name",
    "Audience",
    "Surface",
    "Purpose",
    "Heel stack mm",
    "Forefoot stack mm",
    "Drop mm",
    "Mass g",
    "Weighed at",
    "Bending",
    "Rocker",
    "Plate",
];
const KEY: &str = "Style key";
/// Heads the prices; the shop's currency stands behind it.
const LOWEST_PRICE: &str = "Lowest price";

/// One shoe that was found.
struct Found<'s> {
    card: StyleCard<'s>,
    pairs: u32,
    /// What is in stock and matches.
    stocked: Vec<&'s Sku>,
    href: String,
}

/// A heading and what stands below it.
type OfFound = (&'static str, fn(&Found<'_>) -> Cell);

/// Behind those of the style.
static OF_FOUND: [OfFound; 8] = [
    ("Heel stack stated or worked out mm", |found| Cell::mm(found.card.measures.heel_stack())),
    ("Forefoot stack stated or worked out mm", |found| Cell::mm(found.card.measures.forefoot_stack())),
    ("Drop stated or worked out mm", |found| Cell::mm(found.card.measures.drop())),
    (LOWEST_PRICE, |found| Cell::price(found.stocked.iter().filter_map(|sku| sku.price).min().map(|p| p.0))),
    ("Pairs that match (at least)", |found| Cell::number(found.pairs())),
    ("Sizes that match", |found| found.sizes()),
    ("Where they stand", |found| found.places()),
    ("Page", |found| Cell::text(&found.href)),
];

impl Snapshot {
    /// These hits as a table of text. `href` is the address of a shoe's page.
    pub fn found_csv(&self, hits: &[Hit], href: fn(&Style) -> String) -> String {
        let headings = headings(self);
        let mut out = table::head(headings.iter().map(String::as_str));
        for cells in rows(self, hits, href) {
            table::line(&mut out, cells.into_iter());
        }
        out
    }

    /// The same as a workbook. A text longer than a spreadsheet takes in one cell is cut there.
    pub fn found_workbook(&self, hits: &[Hit], href: fn(&Style) -> String) -> Result<Vec<u8>, NotWritten> {
        workbook::of_table("Shoes", &headings(self), rows(self, hits, href))
    }
}

fn headings(snapshot: &Snapshot) -> Vec<String> {
    let told = as_told().map(|(heading, _)| *heading);
    let found = OF_FOUND.iter().map(|(heading, _)| *heading);
    let code = snapshot.policy().currency.code;
    let named = |heading: &str| {
        if heading == LOWEST_PRICE { format!("{heading} {code}") } else { heading.to_owned() }
    };
    [KEY].into_iter().chain(told).chain(found).map(named).collect()
}

fn as_told() -> impl Iterator<Item = &'static OfStyle> {
    OF_STYLE.iter().filter(|(heading, _)| AS_TOLD.contains(heading))
}

fn rows<'s>(
    snapshot: &'s Snapshot,
    hits: &'s [Hit],
    href: fn(&Style) -> String,
) -> impl Iterator<Item = Vec<Cell>> + 's {
    hits.iter().filter_map(move |hit| {
        let card = snapshot.card(hit.row)?;
        let stocked = snapshot.in_stock(hit).collect();
        Some(Found { card, pairs: hit.pairs, stocked, href: href(card.style) }.cells())
    })
}

impl Found<'_> {
    fn cells(&self) -> Vec<Cell> {
        let told = as_told().map(|(_, cell)| cell(self.card.style));
        let found = OF_FOUND.iter().map(|(_, cell)| cell(self));
        [Cell::text(self.card.style.key.as_str())].into_iter().chain(told).chain(found).collect()
    }

    /// None are none only where stock was told of every size.
    fn pairs(&self) -> Option<u32> {
        let told = || self.card.skus.iter().all(|sku| sku.quantity.is_some());
        (self.pairs > 0 || (!self.card.skus.is_empty() && told())).then_some(self.pairs)
    }

    fn sizes(&self) -> Cell {
        let mut labels: Vec<_> = self.stocked.iter().map(|sku| &sku.label).collect();
        labels.sort_by_key(|label| (label.system(), label.twelfths()));
        let mut labels: Vec<String> = labels.into_iter().map(ToString::to_string).collect();
        labels.dedup();
        Cell::list(labels.iter().map(String::as_str))
    }

    fn places(&self) -> Cell {
        let mut places: Vec<&str> = self.stocked.iter().filter_map(|sku| sku.place.as_deref()).collect();
        places.sort_unstable();
        places.dedup();
        Cell::list(places.into_iter())
    }
}

#[cfg(test)]
mod tests {
    use catalogue::stock::Quantity;
    use catalogue::units::Mm;

    use super::*;
    use crate::heading::Heading;
    use crate::search::Search;
    use crate::snapshot::invented::{sku, snapshot, stocked, style};

    fn all(snapshot: &Snapshot) -> Vec<Vec<Cell>> {
        let hits = snapshot.search(&Search::default(), None).unwrap().hits;
        rows(snapshot, &hits, |style| format!("/shoes/{}", style.key)).collect()
    }

    fn under(snapshot: &Snapshot, heading: &str, row: usize) -> Cell {
        let at = headings(snapshot).iter().position(|own| own.starts_with(heading)).unwrap();
        all(snapshot)[row][at].clone()
    }

    #[test]
    fn the_registry_knows_the_headings_over_what_sheets_say_and_no_other_one_even_nearly() {
        let told: Vec<_> = as_told().map(|(heading, _)| *heading).collect();
        assert_eq!(told, AS_TOLD);
        for heading in headings(&snapshot(vec![], vec![])) {
            let read = Heading::of(&heading);
            assert_eq!(read.column().is_some(), told.contains(&heading.as_str()), "{heading}");
            assert_eq!(read.near(), None, "{heading}");
        }
    }

    #[test]
    fn a_drop_worked_out_of_the_stacks_stands_apart_from_what_a_sheet_has_said() {
        let mut style = style("Orrelby", "1", "Sound");
        style.specification.heel_stack = Some(Mm::whole(32));
        style.specification.forefoot_stack = Some(Mm::whole(24));
        let snapshot = snapshot(vec![style], vec![]);
        assert_eq!(under(&snapshot, "Drop mm", 0), Cell::Unknown);
        assert_eq!(under(&snapshot, "Drop stated or worked out", 0), Cell::Number("8".into()));
    }

    #[test]
    fn no_pairs_are_nought_only_where_stock_was_told_of_every_size() {
        let styles: Vec<_> =
            (1..=4).map(|n| style("Orrelby", &n.to_string(), &format!("Sound {n}"))).collect();
        let skus = vec![
            stocked(&styles[1], "EU 42", 0, 90),
            stocked(&styles[2], "EU 42", 0, 90),
            sku(&styles[2], "grey", "EU 43"),
            Sku { quantity: Some(Quantity::AtLeast(10)), ..sku(&styles[3], "grey", "EU 43") },
        ];
        let snapshot = snapshot(styles, skus);
        let pairs = |row| under(&snapshot, "Pairs", row);
        assert_eq!((pairs(0), pairs(2)), (Cell::Unknown, Cell::Unknown), "nobody has said");
        assert_eq!((pairs(1), pairs(3)), (Cell::Number("0".into()), Cell::Number("10".into())));
    }

    #[test]
    fn the_lowest_price_the_sizes_and_the_places_are_those_of_what_is_in_stock() {
        let style = style("Orrelby", "1", "Sound");
        let at = |place: &str, sku: Sku| Sku { place: Some(place.into()), ..sku };
        let skus = vec![
            at("C4", stocked(&style, "EU 43", 1, 150)),
            at("B1", stocked(&style, "EU 42.5", 2, 140)),
            at("A1", stocked(&style, "EU 40", 0, 90)),
        ];
        let snapshot = snapshot(vec![style], skus);
        let text = |text: &str| Cell::Text(text.into());
        assert_eq!(under(&snapshot, "Lowest price EUR", 0), Cell::Number("140.00".into()));
        assert_eq!(under(&snapshot, "Sizes", 0), text("EU 42.5; EU 43"));
        assert_eq!(under(&snapshot, "Where", 0), text("B1; C4"));
        assert_eq!(under(&snapshot, "Page", 0), text("/shoes/orrelby.1"));
    }
}
