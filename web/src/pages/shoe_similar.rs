//! On the page of a shoe: what replaces it, and the shoes in stock that are like it.

use maud::{Markup, html};

use crate::pages::shoes::ShoeRow;
use crate::parts::Link;

/// What replaces a shoe, and shoes like it.
#[derive(Clone, Debug)]
pub struct Alike {
    /// What replaces it; `None` while it is supplied and there is a pair.
    pub replaced: Option<Replaced>,
    /// What this shoe does not give of what is compared.
    pub not_given: Option<String>,
    /// Shoes in stock, nearest first.
    pub rows: Vec<ShoeRow>,
    /// Why there is no row.
    pub none: Option<String>,
    /// The same for machines.
    pub twin: Link,
}

/// What replaces a shoe.
#[derive(Clone, Debug)]
pub struct Replaced {
    /// Who says so, or that nobody does.
    pub say: String,
    /// The newest that replaces it.
    pub row: Option<ShoeRow>,
}

impl Alike {
    /// Of a shoe that is gone, before its measures: what replaces it, and what is like it.
    pub fn of_one_gone(&self) -> Markup {
        html! {
            @if let Some(replaced) = &self.replaced {
                section .group .results aria-labelledby="replaces" {
                    h2 #replaces { (say!("What replaces it")) }
                    p .lead { (replaced.say) }
                    @if let Some(row) = &replaced.row { ol .rows .shoes { (row.view()) } }
                }
                (self.similar())
            }
        }
    }

    /// Of a shoe that is there, behind its sizes: what is like it.
    pub fn of_one_there(&self) -> Markup {
        html! { @if self.replaced.is_none() { (self.similar()) } }
    }

    /// The way there, past the sizes.
    pub fn way(&self) -> Option<Link> {
        let behind = self.replaced.is_none() && !self.rows.is_empty();
        behind.then(|| Link::new(say!("Similar shoes in stock"), "#similar"))
    }

    fn similar(&self) -> Markup {
        html! {
            section .group .results aria-labelledby="similar" {
                h2 #similar { (say!("Similar shoes in stock")) }
                @if let Some(none) = &self.none { p .lead { (none) } } @else { (self.list()) }
            }
        }
    }

    fn list(&self) -> Markup {
        html! {
            p .lead {
                (say!("Nearest first. A difference in drop counts up to 30 of 100, in the stacks under heel and forefoot 40, in weight 20, in bending 10; what is not given leaves its part open. All are for the same people, with a surface and a purpose in common as far as they say, and none is further away than 50."))
            }
            @if let Some(not_given) = &self.not_given { p .remark { (not_given) } }
            ol .rows .shoes { @for row in &self.rows { (row.view()) } }
            p .twins { (self.twin) }
        }
    }
}
