//! The filters that can be added to the list of a fitting, folded behind one chip. All of it is posted: the list keeps
//! its address.

use maud::{Markup, Render, html};

use crate::parts::act::{Act, Tone};
use crate::parts::facets::Facet;
use crate::parts::ranges::RangeFacet;

/// The filters that can be added.
#[derive(Clone, Debug)]
pub struct Narrowing {
    /// Where a filter is posted.
    pub action: String,
    /// The words in force.
    pub words: String,
    /// Groups of values.
    pub facets: Vec<Facet>,
    /// Measures and price.
    pub ranges: Vec<RangeFacet>,
    /// Takes all of them off; `None` when none was added.
    pub clear: Option<Act>,
    /// Unfolded when the page arrives.
    pub open: bool,
}

impl Render for Narrowing {
    fn render(&self) -> Markup {
        html! {
            details .narrow #narrow open[self.open] {
                summary .chip { (say!("+ add a filter")) }
                p .hint { (say!("A filter only narrows the list; every place stays. The numbers are shoes of this list.")) }
                form .line .words method="post" action=(self.action) {
                    div {
                        label for="narrow-q" { (say!("Words")) }
                        input #narrow-q .words type="text" name="q" value=(self.words) autocomplete="off"
                            autocapitalize="off" spellcheck="false";
                    }
                    button .button .quiet type="submit" { (say!("Apply")) span .sr { " " (say!("words")) } }
                    @if let Some(clear) = &self.clear {
                        (clear.button(say!("Take all added filters off"), say!("Take all added filters off"), Tone::Quiet))
                    }
                }
                div .facets {
                    @for facet in &self.facets { (facet) }
                    @for range in &self.ranges { (range) }
                }
            }
        }
    }
}
