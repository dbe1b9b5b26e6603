//! All findings of one kind in a sheet, page by page.

use maud::{Markup, html};

use crate::parts::Link;
use crate::parts::findings::FindingGroup;
use crate::parts::layout::{Frame, Width, heading, page};
use crate::parts::pager::Pager;

/// One kind of finding.
#[derive(Clone, Debug)]
pub struct SheetFindingsPage {
    /// The file's name.
    pub sheet: String,
    /// The group with the places of this page.
    pub group: FindingGroup,
    /// Its pages.
    pub pager: Pager,
    /// Back to the sheet.
    pub back: Link,
}

impl SheetFindingsPage {
    /// The whole page.
    pub fn view(&self, frame: &Frame) -> Markup {
        let title = match self.pager.pages {
            0 | 1 => say!("Findings of one kind").to_owned(),
            pages => say!("Findings of one kind, page {page} of {pages}", page = self.pager.page, pages),
        };
        let body = html! {
            p { (self.back) }
            (heading(&self.sheet, say!("All findings of one kind, with their places.")))
            (self.group)
            (self.pager)
        };
        page(frame, &title, Width::Wide, &body)
    }
}
