//! The box that takes a scan or words inside a fitting, and again where a code was not known.

use maud::{Markup, Render, html};

/// The box.
#[derive(Clone, Debug)]
pub struct ScanBox {
    /// Where it is sent; a code or words are nothing about a runner, and may stand in an address.
    pub action: String,
    /// It takes the focus when the page arrives, so that the next scan is not lost.
    pub focus: bool,
}

impl Render for ScanBox {
    fn render(&self) -> Markup {
        html! {
            form .scan role="search" method="get" action=(self.action) {
                label for="scan" { (say!("Scan or find")) }
                input #scan type="search" name="code" autocomplete="off" autocapitalize="off" spellcheck="false"
                    autofocus[self.focus];
                button .button .quiet type="submit" { (say!("Find")) }
            }
        }
    }
}
