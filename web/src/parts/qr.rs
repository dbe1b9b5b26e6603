//! An address as a square code that a telephone reads, drawn as one path.

use std::fmt::Write as _;

use fast_qr::{ECL, QRBuilder};
use maud::{Markup, Render, html};

/// Light modules on every side, as ISO/IEC 18004 asks for.
const QUIET: usize = 4;
/// The least side of the code without its quiet zone, in mm: a telephone at arm's length still reads it.
const LEAST: f32 = 20.0;
/// The least side of a module, in mm (common practice for office printers).
const LEAST_MODULE: f32 = 0.5;

/// A code, ready to be drawn in black on white.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Qr {
    /// What it says.
    says: String,
    /// Modules of a side, quiet zone included.
    side: usize,
    /// The dark modules.
    path: String,
}

impl Qr {
    /// The code of an address; `None` when it is too long for any (over 2,331 bytes).
    pub fn of(address: &str) -> Option<Self> {
        let code = QRBuilder::new(address).ecl(ECL::M).build().ok()?;
        let rows =
            (0..code.size).map(|y| (y, code[y].iter().map(|module| module.value()).collect::<Vec<_>>()));
        let path = rows.map(|(y, row)| drawn(&row, y)).collect();
        Some(Self { says: address.to_owned(), side: code.size + 2 * QUIET, path })
    }

    /// Side of the drawing on paper, in mm, quiet zone included: the code within it is 20 mm or more.
    pub fn millimetres(&self) -> f32 {
        let side = self.side as f32;
        (LEAST * side / (self.side - 2 * QUIET) as f32).max(LEAST_MODULE * side)
    }
}

/// As it stands in a page.
impl std::fmt::Display for Qr {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(&self.render().0)
    }
}

/// The runs of dark modules of one row.
fn drawn(row: &[bool], y: usize) -> String {
    let mut path = String::new();
    let mut x = 0;
    for run in row.chunk_by(|a, b| a == b) {
        let length = run.len();
        if run[0] {
            // A text cannot refuse what is written to it.
            let _ = write!(path, "M{} {}h{length}v1h-{length}z", x + QUIET, y + QUIET);
        }
        x += length;
    }
    path
}

impl Render for Qr {
    fn render(&self) -> Markup {
        let side = format!("{:.1}mm", self.millimetres());
        html! {
            svg .qr role="img" aria-label=(say!("Code of the address {address}", address = self.says)) viewBox={ "0 0 " (self.side) " " (self.side) }
                width=(side) height=(side) shape-rendering="crispEdges" {
                rect width=(self.side) height=(self.side) fill="#fff" {}
                path d=(self.path) fill="#000" {}
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_code_is_twenty_millimetres_or_more_beside_its_quiet_zone() {
        for length in [10, 60, 120, 300] {
            let qr = Qr::of(&"a".repeat(length)).unwrap();
            let module = qr.millimetres() / qr.side as f32;
            assert!(module * (qr.side - 2 * QUIET) as f32 >= 19.99 && module >= 0.499, "{length}: {module}");
        }
    }

    #[test]
    fn an_address_too_long_for_any_code_has_none() {
        assert!(Qr::of(&"a".repeat(2331)).is_some());
        assert_eq!(Qr::of(&"a".repeat(2332)), None);
    }

    #[test]
    fn runs_of_a_row_are_drawn_in_one_piece_each() {
        assert_eq!(drawn(&[true, true, false, true], 2), "M4 6h2v1h-2zM7 6h1v1h-1z");
    }
}
