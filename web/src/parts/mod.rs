//! Recurring parts of a page, each a struct of decided data that renders itself.

pub mod act;
pub mod axis;
pub mod beside_table;
pub mod brief;
pub mod chips;
pub mod control;
pub mod dot_rows;
pub mod evidence;
pub mod facets;
pub mod fields;
pub mod findings;
pub mod form;
pub mod group;
pub mod layout;
pub mod marked;
pub mod narrowing;
pub mod notes;
pub mod origin;
pub mod pager;
pub mod problems;
pub mod qr;
pub mod ranges;
pub mod ranked_row;
pub mod remark;
pub mod row_mark;
pub mod scan_box;
pub mod search_box;
pub mod sole_drop;
pub mod sole_line;
pub mod sole_path;
pub mod stock_map;
pub mod table;
pub mod text_field;

use maud::Markup;

/// A page, drawn: what a handler hands on and never writes.
pub type Drawn = Markup;

/// A link in words.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Link {
    /// The words.
    pub label: String,
    /// Where it leads; blank for words alone, where whoever looks may not follow.
    pub href: String,
}

impl Link {
    /// A link from its words and its address.
    pub fn new(label: impl Into<String>, href: impl Into<String>) -> Self {
        Self { label: label.into(), href: href.into() }
    }
}

impl maud::Render for Link {
    fn render(&self) -> Markup {
        maud::html! {
            @if self.href.is_empty() { (self.label) } @else { a href=(self.href) { (self.label) } }
        }
    }
}
