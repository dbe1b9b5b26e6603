//! The page of one shoe.

use catalogue::minimalism::MinimalistIndex;
use catalogue::size::{SizeSource, SizeSystem};
use catalogue::stock::Sku;
use catalogue::style::{Audience, Bending, Style};
use indexer::sheet::column_letters;
use indexer::snapshot::{Snapshot, StyleCard};
use indexer::store::Origin;

use super::list::{facts, remarks};
use crate::labels::NOT_GIVEN;
use crate::pages::shoe::ShoePage;
use crate::parts::Link;
use crate::parts::sole_line::Scale;
use crate::parts::table::{Cell, Head, Table};
use crate::visit::money::money;
use crate::visit::shoe;

/// The page, with where each value came from.
pub fn page(card: &StyleCard<'_>, snapshot: &Snapshot, origins: &[Origin]) -> ShoePage {
    let style = card.style;
    ShoePage {
        maker: style.maker.clone(),
        name: style.name.clone(),
        facts: facts(card),
        remarks: remarks(style),
        sole: shoe::sole(&card.measures, None, Scale::Large),
        findings: findings(card),
        specification: specification(card, origins),
        minimalist_index: Some(minimalist_index(style)),
        stock: stock(card, snapshot),
        stock_in_words: stock_in_words(card.skus),
        notes: style.notes.clone(),
        rules: vec![Link::new("All rules and what they rest on", "/rules")],
        related: related(style, snapshot),
        compare: Some(Link::new("Set beside others", format!("/compare?shoe={}", style.key))),
        bring_out: None,
    }
}

fn findings(card: &StyleCard<'_>) -> Vec<String> {
    let disagrees = card.measures.drop_disagrees().then(|| {
        "The stated drop and the two stacks are more than half a millimetre apart; the stacks rank."
            .to_owned()
    });
    disagrees.into_iter().collect()
}

fn specification(card: &StyleCard<'_>, origins: &[Origin]) -> Table {
    let spec = &card.style.specification;
    let measures = &card.measures;
    let yes = |value: Option<bool>| value.map(|yes| if yes { "yes" } else { "no" }.to_owned());
    let worked_out = |value: Option<String>, derived: bool| {
        value.map(|value| if derived { format!("{value} (worked out)") } else { value })
    };
    let show = |mm: Option<catalogue::units::Mm>| mm.map(|mm| mm.to_string());
    let mass = spec.mass.map(|mass| match &spec.mass_size {
        Some(size) => format!("{mass} at {size}"),
        None => format!("{mass}, size of the weighing not given"),
    });
    let rows: [(&str, &str, Option<String>); 12] = [
        ("Heel stack", "heel_stack", worked_out(show(measures.heel_stack()), measures.heel_is_derived())),
        (
            "Forefoot stack",
            "forefoot_stack",
            worked_out(show(measures.forefoot_stack()), measures.forefoot_is_derived()),
        ),
        ("Drop", "drop", worked_out(show(measures.drop()), measures.drop_is_derived())),
        ("Weight of one shoe", "mass", mass),
        ("Bending", "bending", spec.bending.as_ref().map(bending)),
        (
            "Compression",
            "compression",
            spec.compression.as_ref().map(|c| format!("{} ({})", c.stiffness, c.method)),
        ),
        ("Torsion", "torsion", spec.torsion.clone()),
        ("Rocker sole", "rocker", yes(spec.rocker)),
        ("Plate", "plate", yes(spec.plate)),
        ("Stability devices", "devices", spec.devices.map(|n| n.to_string())),
        ("Liner comes out", "liner_removable", yes(spec.liner_removable)),
        ("Stacks include the liner", "liner_included", yes(spec.liner_included)),
    ];
    Table {
        caption: "Specification, and where each value was read".to_owned(),
        heads: vec![Head::words("Measure"), Head::words("Value")],
        rows: rows
            .into_iter()
            .map(|(label, key, value)| vec![Cell::text(label), valued(value, key, origins)])
            .collect(),
    }
}

fn bending(bending: &Bending) -> String {
    match bending {
        Bending::Word(word) => word.word().to_owned(),
        Bending::Value(value) => format!("{value} (a laboratory value, not turned into a word)"),
        Bending::KindUnknown(text) => format!("stiffness {text}, kind unknown"),
    }
}

fn valued(value: Option<String>, key: &str, origins: &[Origin]) -> Cell {
    let Some(value) = value else { return Cell::not_given() };
    let cell = Cell::text(value);
    match origins.iter().find(|origin| origin.column == key) {
        Some(origin) => cell.below(place(origin)),
        None => cell,
    }
}

/// `“36” in range.csv, row 12, column G`.
fn place(origin: &Origin) -> String {
    match (&origin.sheet, origin.row, origin.sheet_column) {
        _ if origin.by_hand => format!("said by hand: {}", origin.text),
        (Some(sheet), Some(row), Some(column)) => {
            format!("“{}” in {sheet}, row {row}, column {}", origin.text, column_letters(column))
        }
        (Some(sheet), ..) => format!("from {sheet}"),
        (None, ..) => origin.text.clone(),
    }
}

/// `44 to 64 of 100: four of five parts are known`.
fn minimalist_index(style: &Style) -> String {
    let index = MinimalistIndex::of(&style.specification, None);
    let known = format!("{} of its five parts are known", index.known);
    if index.low == index.high {
        format!("{} of 100", index.low)
    } else {
        format!("between {} and {} of 100: {known}", index.low, index.high)
    }
}

fn stock(card: &StyleCard<'_>, snapshot: &Snapshot) -> Table {
    Table {
        caption: "Sizes, with the foot each label is made for".to_owned(),
        heads: vec![
            Head::words("Colourway"),
            Head::words("Size and width"),
            Head::number("Pairs"),
            Head::number("Price"),
            Head::words("Place"),
        ],
        rows: card.skus.iter().map(|sku| sku_row(card.style, sku, snapshot)).collect(),
    }
}

fn sku_row(style: &Style, sku: &Sku, snapshot: &Snapshot) -> Vec<Cell> {
    let known = |value: Option<String>| value.map_or_else(Cell::not_given, Cell::text);
    let price = sku.price.map(|price| money(price, snapshot.policy().currency));
    let width = sku.width.as_ref().map_or_else(String::new, |width| format!(", {width}"));
    vec![
        known(Some(sku.colourway.clone()).filter(|colour| !colour.is_empty())),
        Cell::text(format!("{}{width}", sku.label)).below(foot(style, sku, snapshot)),
        known(sku.quantity.map(|quantity| quantity.to_string())),
        known(price),
        known(sku.place.clone()),
    ]
}

/// The foot a label is made for, by the maker's chart or the formula; for US women's labels the retail scale
/// disagrees, and the page says so.
fn foot(style: &Style, sku: &Sku, snapshot: &Snapshot) -> String {
    let Some(foot) = snapshot.foot(style, &sku.label) else { return format!("foot {NOT_GIVEN}") };
    let length = format!("foot {} mm", shoe::plain(foot.length.mm_tenths()));
    let retail = sku.label.system() == Some(SizeSystem::Us) && style.audience == Some(Audience::Women);
    match foot.by {
        SizeSource::Chart => format!("{length}, by the maker's chart"),
        SizeSource::Formula if retail => format!("{length} by formula; the retail scale is half a size off"),
        SizeSource::Formula => length,
    }
}

fn stock_in_words(skus: &[Sku]) -> String {
    let pairs: u32 = skus.iter().filter_map(|sku| sku.quantity).map(|quantity| quantity.counted()).sum();
    match pairs {
        0 => "none in stock".to_owned(),
        1 => "1 pair in stock".to_owned(),
        pairs => format!("{pairs} pairs in stock"),
    }
}

/// The shoe it follows, and those that follow it.
fn related(style: &Style, snapshot: &Snapshot) -> Vec<Link> {
    let before = style.replaces.as_ref().and_then(|key| snapshot.style(key));
    let before =
        before.map(|card| Link::new(format!("Follows {}", shoe::name(card.style)), shoe::href(card.style)));
    let after = snapshot.styles().iter().filter(|other| other.replaces.as_ref() == Some(&style.key));
    let after = after.map(|other| Link::new(format!("Followed by {}", shoe::name(other)), shoe::href(other)));
    before.into_iter().chain(after).collect()
}
