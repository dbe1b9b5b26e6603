//! Plain tables: caption, scoped heads, numbers to the right.

use crate::words;
use maud::{Markup, Render, html};

/// A table of words and numbers.
#[derive(Clone, Debug, Default)]
pub struct Table {
    /// What the table shows.
    pub caption: String,
    /// The heads; the unit stands in the head.
    pub heads: Vec<Head>,
    /// The rows; the first cell names its row.
    pub rows: Vec<Vec<Cell>>,
}

/// The head of a column.
#[derive(Clone, Debug)]
pub struct Head {
    /// The words.
    pub label: String,
    /// Its cells are numbers.
    pub number: bool,
}

/// One cell.
#[derive(Clone, Debug, Default)]
pub struct Cell {
    /// What it says; *not given* is written out.
    pub text: String,
    /// A softer line below: where a value came from, a difference in words.
    pub below: Option<String>,
    /// Where it leads.
    pub href: Option<String>,
    /// It says that something is not known.
    pub unknown: bool,
    /// It differs from what it is compared with; said in `below` too.
    pub differs: bool,
}

impl Head {
    /// A column of words.
    pub fn words(label: impl Into<String>) -> Self {
        Self { label: label.into(), number: false }
    }

    /// A column of numbers.
    pub fn number(label: impl Into<String>) -> Self {
        Self { label: label.into(), number: true }
    }
}

impl Cell {
    /// A cell of plain words.
    pub fn text(text: impl Into<String>) -> Self {
        Self { text: text.into(), ..Self::default() }
    }

    /// A cell that says *not given*.
    pub fn not_given() -> Self {
        Self { text: words::of(crate::labels::NOT_GIVEN).to_owned(), unknown: true, ..Self::default() }
    }

    /// The same cell with a softer line below.
    #[must_use]
    pub fn below(self, below: impl Into<String>) -> Self {
        Self { below: Some(below.into()), ..self }
    }

    /// The same cell as a link.
    #[must_use]
    pub fn linked(self, href: impl Into<String>) -> Self {
        Self { href: Some(href.into()), ..self }
    }

    /// The same cell, marked as one that differs.
    #[must_use]
    pub fn differing(self) -> Self {
        Self { differs: true, ..self }
    }
}

impl Render for Table {
    fn render(&self) -> Markup {
        html! {
            div .table tabindex="0" role="region" aria-label=(self.caption) {
                table {
                    caption { (self.caption) }
                    thead { tr { @for head in &self.heads { th scope="col" .number[head.number] { (head.label) } } } }
                    tbody { @for row in &self.rows { (self.row(row)) } }
                }
            }
        }
    }
}

impl Table {
    fn row(&self, row: &[Cell]) -> Markup {
        html! {
            tr {
                @for (place, cell) in row.iter().enumerate() {
                    @let number = self.heads.get(place).is_some_and(|head| head.number);
                    @if place == 0 { th scope="row" .number[number] { (cell) } }
                    @else { td .number[number] .unknown[cell.unknown] .differs[cell.differs] { (cell) } }
                }
            }
        }
    }
}

impl Render for Cell {
    fn render(&self) -> Markup {
        html! {
            @match &self.href { Some(href) => a href=(href) { (self.text) }, None => (self.text) }
            @if let Some(below) = &self.below { small { (below) } }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_table_has_a_caption_and_scoped_heads() {
        let table = Table {
            caption: "Sizes".into(),
            heads: vec![Head::words("Size"), Head::number("Pairs")],
            rows: vec![vec![Cell::text("42.5"), Cell::not_given()]],
        };
        let html = table.render().into_string();
        assert!(html.contains("<caption>Sizes</caption>") && html.contains("scope=\"row\""));
        assert!(html.contains("class=\"number unknown\">not given"));
    }
}
