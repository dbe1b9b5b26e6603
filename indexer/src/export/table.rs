//! What every table that is written out shares: cells, what they say of a style, and how they stand in a line of text.

use catalogue::style::{Bending, Style};
use catalogue::units::{Mm, Tenths};

/// One cell of a table.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) enum Cell {
    /// Nobody has said it: blank.
    Unknown,
    /// A text, whatever it looks like.
    Text(String),
    /// A number as it is written, with a point.
    Number(String),
}

/// A column on styles: its heading and what it says of one.
pub(super) type OfStyle = (&'static str, fn(&Style) -> Cell);

/// The columns that speak of a style; each heading is a heading word of the registry.
pub(super) static OF_STYLE: [OfStyle; 26] = [
    ("Maker", |style| Cell::text(&style.maker)),
    ("Style number", |style| Cell::maybe(style.number.as_deref())),
    ("Name", |style| Cell::text(&style.name)),
    ("Audience", |style| Cell::maybe(style.audience.map(|a| a.word()))),
    ("Surface", |style| Cell::list(style.surfaces.iter().map(|s| s.word()))),
    ("Purpose", |style| Cell::list(style.purposes.iter().map(|p| p.word()))),
    ("Heel stack mm", |style| Cell::mm(style.specification.heel_stack)),
    ("Forefoot stack mm", |style| Cell::mm(style.specification.forefoot_stack)),
    ("Drop mm", |style| Cell::mm(style.specification.drop_stated)),
    ("Mass g", |style| Cell::tenths(style.specification.mass.map(|m| m.in_tenths()))),
    ("Weighed at", |style| {
        Cell::maybe(style.specification.mass_size.as_ref().map(ToString::to_string).as_deref())
    }),
    ("Bending", |style| Cell::maybe(bent(style).as_deref())),
    ("Stiffness", |style| match &style.specification.bending {
        Some(Bending::KindUnknown(text)) => Cell::text(text),
        _ => Cell::Unknown,
    }),
    ("Compression N/mm", |style| {
        Cell::tenths(style.specification.compression.as_ref().map(|c| c.stiffness.in_tenths()))
    }),
    ("Compression method", |style| {
        Cell::maybe(style.specification.compression.as_ref().map(|c| c.method.as_str()))
    }),
    ("Torsion", |style| Cell::maybe(style.specification.torsion.as_deref())),
    ("Stability devices", |style| Cell::number(style.specification.devices)),
    ("Rocker", |style| Cell::yes(style.specification.rocker)),
    ("Plate", |style| Cell::yes(style.specification.plate)),
    ("Liner removable", |style| Cell::yes(style.specification.liner_removable)),
    ("Liner included", |style| Cell::yes(style.specification.liner_included)),
    ("Season", |style| Cell::maybe(style.season.as_deref())),
    // The number's part of the key makes the same key again.
    ("Replaces", |style| {
        Cell::maybe(style.replaces.as_ref().and_then(|key| key.as_str().split_once('.')).map(|(_, n)| n))
    }),
    ("Status", |style| Cell::text(if style.retired { "retired" } else { "" })),
    ("Notes", |style| Cell::maybe(style.notes.as_deref())),
    ("Shop note", |style| Cell::maybe(style.shop_note.as_deref())),
];

fn bent(style: &Style) -> Option<String> {
    match style.specification.bending.as_ref()? {
        Bending::Word(word) => Some(word.word().to_owned()),
        Bending::Value(value) => Some(value.to_string()),
        Bending::KindUnknown(_) => None,
    }
}

impl Cell {
    /// A text; an empty one says nothing.
    pub(super) fn text(text: &str) -> Self {
        if text.is_empty() { Self::Unknown } else { Self::Text(text.to_owned()) }
    }

    pub(super) fn maybe(text: Option<&str>) -> Self {
        text.map_or(Self::Unknown, Self::text)
    }

    /// Several texts in one cell.
    pub(super) fn list<'t>(texts: impl Iterator<Item = &'t str>) -> Self {
        Self::text(&texts.collect::<Vec<_>>().join("; "))
    }

    pub(super) fn number(number: Option<impl ToString>) -> Self {
        number.map_or(Self::Unknown, |number| Self::Number(number.to_string()))
    }

    pub(super) fn tenths(tenths: Option<i32>) -> Self {
        Self::number(tenths.map(Tenths))
    }

    pub(super) fn mm(mm: Option<Mm>) -> Self {
        Self::tenths(mm.map(Mm::in_tenths))
    }

    /// A price, in minor units; every currency of a shop has two decimals.
    pub(super) fn price(minor: Option<u32>) -> Self {
        Self::number(minor.map(money))
    }

    fn yes(known: Option<bool>) -> Self {
        Self::maybe(known.map(|yes| if yes { "yes" } else { "no" }))
    }

    /// As it stands in a line of text.
    fn in_line(&self) -> String {
        match self {
            Self::Unknown => String::new(),
            Self::Text(text) => escaped(text),
            Self::Number(number) => number.clone(),
        }
    }
}

pub(super) fn money(minor: u32) -> String {
    format!("{}.{:02}", minor / 100, minor % 100)
}

/// The first line of a table of text.
pub(super) fn head<'h>(headings: impl Iterator<Item = &'h str>) -> String {
    format!("{}\r\n", headings.map(escaped).collect::<Vec<_>>().join(","))
}

/// One line more.
pub(super) fn line(out: &mut String, cells: impl Iterator<Item = Cell>) {
    let cells: Vec<_> = cells.map(|cell| cell.in_line()).collect();
    out.push_str(&cells.join(","));
    out.push_str("\r\n");
}

/// Quoted where needed; a cell that a spreadsheet would take for a formula gets a leading `'`.
fn escaped(cell: &str) -> String {
    let formula = cell.starts_with(['=', '+', '-', '@', '\t', '\r']) && cell.parse::<f64>().is_err();
    let cell = if formula { format!("'{cell}") } else { cell.to_owned() };
    if cell.contains(['"', ',', '\n', '\r']) { format!("\"{}\"", cell.replace('"', "\"\"")) } else { cell }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_cell_that_looks_like_a_formula_is_defused_and_a_number_is_not() {
        assert_eq!(escaped("=1+1"), "'=1+1");
        assert_eq!(escaped("@home"), "'@home");
        assert_eq!(escaped("-0.5"), "-0.5");
        assert_eq!(escaped("a \"b\", c"), "\"a \"\"b\"\", c\"");
    }

    #[test]
    fn what_nobody_has_said_is_blank_and_a_nought_that_was_said_is_not() {
        let said = |tenths| Cell::tenths(tenths).in_line();
        assert_eq!((said(None), said(Some(0)), said(Some(85))), (String::new(), "0".into(), "8.5".into()));
        assert_eq!(Cell::text(""), Cell::Unknown);
    }
}
