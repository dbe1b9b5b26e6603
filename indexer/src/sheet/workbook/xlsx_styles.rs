//! What the styles of an `.xlsx` make of its numbers.

use std::collections::HashMap;
use std::rc::Rc;

use super::super::WorkbookFault as Fault;
use super::format::Shows;
use super::xml::{Piece, Xml};

/// Cell styles a spreadsheet may have (its published limit is 65,490).
const STYLES: usize = 65_536;

/// What each cell style shows, by its number.
pub(super) fn styles(mut xml: Xml<'_>) -> Result<Vec<Rc<Shows>>, Fault> {
    let mut formats: HashMap<u32, Rc<Shows>> = HashMap::new();
    let (mut styles, mut of_cells) = (Vec::new(), false);
    loop {
        match xml.next()? {
            Piece::Start(tag) => match tag.name() {
                "numFmt" if formats.len() < STYLES => {
                    if let Some(number) = tag.get("numFmtId").and_then(|number| number.parse().ok()) {
                        let shows = Shows::of(&tag.get("formatCode").unwrap_or_default());
                        formats.insert(number, Rc::new(shows));
                    }
                }
                "cellXfs" => of_cells = true,
                "xf" if of_cells && styles.len() < STYLES => {
                    let number = tag.get("numFmtId").and_then(|number| number.parse().ok()).unwrap_or(0);
                    let shows = formats.entry(number).or_insert_with(|| Rc::new(Shows::built_in(number)));
                    styles.push(Rc::clone(shows));
                }
                _ => {}
            },
            Piece::End(tag) if tag.name() == "cellXfs" => of_cells = false,
            Piece::Over => return Ok(styles),
            _ => {}
        }
    }
}
