//! What a sheet would change: values before and after, new shoes and sizes, and what a full sheet leaves out.

use maud::{Markup, Render, html};

use crate::parts::Link;
use crate::parts::fields::{Choice, radio};
use crate::parts::pager::Pager;
use crate::parts::table::Table;

/// What would change, one list at a time.
#[derive(Clone, Debug)]
pub struct Changes {
    /// The lists: words with their number, and whether it is the one shown.
    pub lists: Vec<(Link, bool)>,
    /// The page of the list that is shown.
    pub table: Table,
    /// Its pages.
    pub pager: Pager,
    /// `335 unchanged rows are not shown.`
    pub hidden: String,
}

/// What a full sheet leaves out, and what becomes of it.
#[derive(Clone, Debug)]
pub struct Missing {
    /// `12 shoes and 40 sizes of Brackwater are not in this full sheet.`
    pub say: String,
    /// The first of them.
    pub listed: Vec<String>,
    /// How many more there are.
    pub more: usize,
    /// The name of the choice.
    pub name: String,
    /// Keep, mark out of stock, retire.
    pub choices: Vec<Choice>,
    /// The one chosen.
    pub chosen: String,
}

impl Render for Changes {
    fn render(&self) -> Markup {
        html! {
            @if self.lists.len() > 1 {
                p .orders {
                    @for (link, shown) in &self.lists {
                        a href=(link.href) aria-current=[shown.then_some("true")] { (link.label) } " "
                    }
                }
            }
            @if self.table.rows.is_empty() { p { (say!("No value would change.")) } }
            @else { (self.table) (self.pager) }
            @if !self.hidden.is_empty() { p .soft { (self.hidden) } }
        }
    }
}

impl Render for Missing {
    fn render(&self) -> Markup {
        html! {
            fieldset .field {
                legend { (self.say) }
                p .hint { (say!("Nothing is ever deleted. What is chosen stands in the history and can be taken back.")) }
                @if !self.listed.is_empty() {
                    details {
                        summary { (say!("Which")) }
                        ul .plain { @for key in &self.listed { li { (key) } } }
                        @if self.more > 0 { p .soft { (say!("and")) " " (self.more) " " (say!("more")) } }
                    }
                }
                div .choices {
                    @for choice in &self.choices { (radio(&self.name, choice, self.chosen == choice.value)) }
                }
            }
        }
    }
}
