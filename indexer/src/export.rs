//! The catalogue written out: as JSON with where each value came from, and as a sheet that can be imported again.
//!
//! No numbers of changes and no times: an export before an import equals the one after its undo, byte for byte.

mod found;
mod problems;
mod table;
mod workbook;

use std::collections::BTreeMap;
use std::fmt::Write as _;

use catalogue::measures::Measures;
use catalogue::stock::{Quantity, Sku};
use catalogue::style::{Bending, Style};
use catalogue::units::{Mm, Tenths};

use crate::loaded::Loaded;
use crate::sheet::column_letters;
use crate::store::Origin;

pub(crate) use problems::{has_problem_rows, problem_rows};
use table::{Cell, OF_STYLE, head, line, money};
pub use workbook::NotWritten;

/// Origins by key and column.
type Origins = std::collections::HashMap<(String, String), Origin>;

/// One style a line, sorted by key, in canonical units.
pub(crate) fn ndjson(loaded: &Loaded, origins: &Origins) -> String {
    let mut out = String::new();
    for style in &loaded.styles {
        let mut object = Object::new();
        of_style(&mut object, style);
        object.raw("sizes", &array(skus_of(loaded, style).map(|sku| of_sku(sku, origins))));
        object.raw("origins", &origins_of(style.key.as_str(), origins));
        out.push_str(&object.done());
        out.push('\n');
    }
    out
}

fn skus_of<'l>(loaded: &'l Loaded, style: &Style) -> impl Iterator<Item = &'l Sku> {
    let from = loaded.skus.partition_point(|sku| sku.style < style.key);
    let key = style.key.clone();
    loaded.skus[from..].iter().take_while(move |sku| sku.style == key)
}

fn of_style(object: &mut Object, style: &Style) {
    let spec = &style.specification;
    let measures = Measures::of(spec, style.audience);
    object.text("style", Some(style.key.as_str()));
    object.text("maker", Some(&style.maker));
    object.text("number", style.number.as_deref());
    object.text("name", Some(&style.name));
    object.text("audience", style.audience.map(|a| a.word()));
    object.raw("surfaces", &array(style.surfaces.iter().map(|s| quoted(s.word()))));
    object.raw("purposes", &array(style.purposes.iter().map(|p| quoted(p.word()))));
    object.tenths("heel_stack_mm", spec.heel_stack.map(Mm::in_tenths));
    object.tenths("forefoot_stack_mm", spec.forefoot_stack.map(Mm::in_tenths));
    object.tenths("drop_stated_mm", spec.drop_stated.map(Mm::in_tenths));
    object.tenths("drop_mm", measures.drop().map(Mm::in_tenths));
    object.tenths("mass_g", spec.mass.map(|m| m.in_tenths()));
    object.text("mass_size", spec.mass_size.as_ref().map(ToString::to_string).as_deref());
    object.text("bending", spec.bending.as_ref().map(bending).as_deref());
    object.tenths("compression_n_per_mm", spec.compression.as_ref().map(|c| c.stiffness.in_tenths()));
    object.text("compression_method", spec.compression.as_ref().map(|c| c.method.as_str()));
    object.text("torsion", spec.torsion.as_deref());
    object.raw("devices", &spec.devices.map_or_else(null, |n| n.to_string()));
    object.yes("rocker", spec.rocker);
    object.yes("plate", spec.plate);
    object.yes("liner_removable", spec.liner_removable);
    object.yes("liner_included", spec.liner_included);
    object.text("season", style.season.as_deref());
    object.text("replaces", style.replaces.as_ref().map(|key| key.as_str()));
    object.yes("retired", Some(style.retired));
    object.text("notes", style.notes.as_deref());
    object.text("shop_note", style.shop_note.as_deref());
}

fn bending(bending: &Bending) -> String {
    match bending {
        Bending::Word(word) => word.word().to_owned(),
        Bending::Value(value) => value.to_string(),
        Bending::KindUnknown(text) => format!("stiffness {text}, kind unknown"),
    }
}

fn of_sku(sku: &Sku, origins: &Origins) -> String {
    let mut object = Object::new();
    let key = sku.key();
    object.text("sku", Some(key.as_str()));
    object.text("colourway", Some(sku.colourway.as_str()).filter(|c| !c.is_empty()));
    object.text("system", sku.label.system().map(|s| s.word()));
    object.text("size", Some(sku.label.printed()));
    object.text("width", sku.width.as_deref());
    object.text("gtin", sku.gtin.map(|gtin| gtin.to_string()).as_deref());
    object.text("pairs", sku.quantity.map(pairs).as_deref());
    object.raw("price", &sku.price.map_or_else(null, |price| money(price.0)));
    object.text("place", sku.place.as_deref());
    object.raw("origins", &origins_of(key.as_str(), origins));
    object.done()
}

fn pairs(quantity: Quantity) -> String {
    match quantity {
        Quantity::Some => "x".to_owned(),
        counted => counted.to_string(),
    }
}

/// Column by column: the sheet and its cell, or that a person said it.
fn origins_of(key: &str, origins: &Origins) -> String {
    let of_key = crate::columns::COLUMNS.iter().filter_map(|column| {
        let origin = origins.get(&(key.to_owned(), column.key.to_owned()))?;
        Some((column.key, place(origin)))
    });
    let mut object = Object::new();
    for (column, place) in of_key {
        object.text(column, Some(&place));
    }
    object.done()
}

fn place(origin: &Origin) -> String {
    let said = || format!("by hand: {}", origin.text);
    let Some(sheet) = origin.sheet.as_ref().filter(|_| !origin.by_hand) else { return said() };
    let mut place = sheet.clone();
    if let Some(tab) = &origin.tab {
        let _ = write!(place, ", tab {tab}");
    }
    if let Some(row) = origin.row {
        let _ = write!(place, ", row {row}");
    }
    if let Some(column) = origin.sheet_column {
        let _ = write!(place, ", column {}", column_letters(column));
    }
    place
}

/// The smallest writer of JSON that does.
struct Object(String);

impl Object {
    fn new() -> Self {
        Self("{".to_owned())
    }

    fn raw(&mut self, key: &str, value: &str) {
        if self.0.len() > 1 {
            self.0.push(',');
        }
        self.0.push_str(&quoted(key));
        self.0.push(':');
        self.0.push_str(value);
    }

    fn text(&mut self, key: &str, value: Option<&str>) {
        self.raw(key, &value.map_or_else(null, quoted));
    }

    fn tenths(&mut self, key: &str, value: Option<i32>) {
        self.raw(key, &value.map_or_else(null, |tenths| Tenths(tenths).to_string()));
    }

    fn yes(&mut self, key: &str, value: Option<bool>) {
        self.raw(key, &value.map_or_else(null, |yes| yes.to_string()));
    }

    fn done(mut self) -> String {
        self.0.push('}');
        self.0
    }
}

fn null() -> String {
    "null".to_owned()
}

fn array(items: impl Iterator<Item = String>) -> String {
    format!("[{}]", items.collect::<Vec<_>>().join(","))
}

/// A JSON string (RFC 8259).
fn quoted(text: &str) -> String {
    let mut out = String::with_capacity(text.len() + 2);
    out.push('"');
    for c in text.chars() {
        match c {
            '"' => out.push_str("\\\""),
            '\\' => out.push_str("\\\\"),
            c if u32::from(c) < 0x20 => {
                let _ = write!(out, "\\u{:04x}", u32::from(c));
            }
            c => out.push(c),
        }
    }
    out.push('"');
    out
}

/// Heads the prices; the shop's currency stands behind it.
const PRICE: &str = "Price";
/// The headings over what speaks of a size; each is a heading word of the registry.
const OF_SIZE: [&str; 8] = ["Colourway", "Size system", "Size", "Width", "GTIN", "Quantity", PRICE, "Place"];

fn headings() -> impl Iterator<Item = &'static str> {
    OF_STYLE.iter().map(|(heading, _)| *heading).chain(OF_SIZE)
}

/// A row a size; a style without sizes, or with a price that holds for those without their own, in a row of its own.
/// `prices` are those of styles, by key.
pub(crate) fn csv(loaded: &Loaded, prices: &BTreeMap<String, u32>) -> String {
    let priced = format!("{PRICE} {}", loaded.policy.currency.code);
    let mut out = head(headings().map(|heading| if heading == PRICE { priced.as_str() } else { heading }));
    for style in &loaded.styles {
        let of_style: Vec<Cell> = OF_STYLE.iter().map(|(_, cell)| cell(style)).collect();
        let price = prices.get(style.key.as_str()).copied();
        let mut skus = skus_of(loaded, style).peekable();
        if skus.peek().is_none() || price.is_some() {
            line(&mut out, of_style.iter().cloned().chain(without_size(price)));
        }
        for sku in skus {
            line(&mut out, of_style.iter().cloned().chain(sku_cells(sku, price)));
        }
    }
    out
}

/// The cells of sizes in the row of a style: its price alone.
fn without_size(price: Option<u32>) -> [Cell; 8] {
    let mut cells = [const { Cell::Unknown }; 8];
    cells[6] = Cell::price(price);
    cells
}

/// A price that is the style's stands in the row of the style.
fn sku_cells(sku: &Sku, of_style: Option<u32>) -> [Cell; 8] {
    let own = sku.price.filter(|price| Some(price.0) != of_style);
    [
        Cell::text(&sku.colourway),
        Cell::maybe(sku.label.system().map(|s| s.word())),
        Cell::text(sku.label.printed()),
        Cell::maybe(sku.width.as_deref()),
        Cell::maybe(sku.gtin.map(|gtin| gtin.to_string()).as_deref()),
        Cell::maybe(sku.quantity.map(pairs).as_deref()),
        Cell::price(own.map(|price| price.0)),
        Cell::maybe(sku.place.as_deref()),
    ]
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::heading::Heading;

    #[test]
    fn every_heading_of_the_exported_sheet_is_known_to_the_registry() {
        for heading in headings() {
            assert!(Heading::of(heading).column().is_some(), "{heading}");
        }
    }

    /// Source: RFC 8259 section 7.
    #[test]
    fn strings_are_escaped_as_json_asks() {
        assert_eq!(quoted("a\"b\\c\n"), "\"a\\\"b\\\\c\\u000a\"");
    }
}
