//! A group of the ranked list: how it came about, said once, and its rows.

use maud::{Markup, Render, html};

use crate::parts::Link;
use crate::parts::ranked_row::RankedRow;

/// A group of the ranked list.
#[derive(Clone, Debug)]
pub struct Group {
    /// `first`, `also`, `further` or `too-little`.
    pub id: String,
    /// `Bring out first`.
    pub heading: String,
    /// How the group came about; with no rows, why it is empty.
    pub lead: String,
    /// The rows shown.
    pub rows: Vec<RankedRow>,
    /// `Show all 112`, where not all are shown.
    pub all: Option<Link>,
}

impl Render for Group {
    fn render(&self) -> Markup {
        html! {
            section .group aria-labelledby=(self.id) {
                h2 id=(self.id) { (self.heading) }
                p .lead { (self.lead) }
                @if !self.rows.is_empty() { ol .rows { @for row in &self.rows { (row) } } }
                @if let Some(all) = &self.all { p .all { (all) } }
            }
        }
    }
}
