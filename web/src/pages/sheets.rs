//! Supplier's sheets: send one in, and what came in before.

use maud::{Markup, html};

use crate::parts::layout::{Frame, Width, heading, page};
use crate::parts::problems::{Problem, at, summary, title};
use crate::parts::table::Table;

/// The sheets.
#[derive(Clone, Debug)]
pub struct SheetsPage {
    /// Where a sheet is posted, as `multipart/form-data` with `file`, `supplier` and `kind`.
    pub action: String,
    /// `10 MB`.
    pub largest: String,
    /// `.csv,.tsv,.txt`: what the file picker offers.
    pub accept: String,
    /// Suppliers already known, offered below the field.
    pub suppliers: Vec<String>,
    /// The supplier as typed.
    pub supplier: String,
    /// It was said to be full.
    pub full: bool,
    /// What was pasted.
    pub pasted: String,
    /// The name typed for it.
    pub pasted_name: String,
    /// What was wrong; fields `file`, `supplier`.
    pub problems: Vec<Problem>,
    /// Sheets that wait for a decision: name, supplier, when, rows; linked to their preview.
    pub waiting: Table,
    /// Sheets that were applied.
    pub applied: Table,
}

impl SheetsPage {
    /// The whole page.
    pub fn view(&self, frame: &Frame) -> Markup {
        let lead = say!("Nothing is stored before you have seen what would change.");
        let body = html! {
            (summary(&self.problems))
            (heading(say!("Sheets"), lead))
            (self.upload())
            @if !self.waiting.rows.is_empty() { h2 { (say!("Waiting")) } (self.waiting) }
            @if !self.applied.rows.is_empty() { h2 { (say!("Taken in")) } (self.applied) }
        };
        page(frame, &title(say!("Sheets"), &self.problems), Width::Wide, &body)
    }

    fn upload(&self) -> Markup {
        html! {
            form .upload method="post" action=(self.action) enctype="multipart/form-data" novalidate {
                (self.file())
                (self.paste())
                (self.from())
                fieldset .field {
                    legend { (say!("What it is")) }
                    p .hint { (say!("A full sheet names what is missing from it; a partial one only adds and corrects.")) }
                    div .choices {
                        label .choice { input type="radio" name="kind" value="partial" checked[!self.full]; span { (say!("Partial: a part of the range")) } }
                        label .choice { input type="radio" name="kind" value="full" checked[self.full]; span { (say!("Full: all that this supplier has")) } }
                    }
                }
                p .buttons { button .button type="submit" { (say!("Look at it first")) } }
                p .soft { (say!("A maker's size chart goes to")) " " a href="/size-charts" { (say!("Size charts")) } "." }
            }
        }
    }

    fn file(&self) -> Markup {
        let error = at(&self.problems, "file");
        html! {
            div .field .wrong[error.is_some()] {
                label for="file" { (say!("Sheet")) }
                p .hint #file-hint { (say!("A workbook (.xlsx, .ods) or a text table (.csv, .tsv, .txt, any separator), up to")) " " (self.largest) "." }
                @if let Some(error) = error { p .error { (error) } }
                input #file name="file" type="file" accept=(self.accept) aria-describedby="file-hint";
            }
        }
    }

    fn paste(&self) -> Markup {
        html! {
            details .paste open[!self.pasted.is_empty()] {
                summary { (say!("Or paste its cells")) }
                div .field {
                    label for="pasted" { (say!("Cells, copied from a spreadsheet or a mail")) }
                    p .hint #pasted-hint { (say!("With the row of headings. It counts when no file is chosen.")) }
                    textarea #pasted name="pasted" rows="8" spellcheck="false" autocomplete="off" aria-describedby="pasted-hint" { (self.pasted) }
                }
                div .field {
                    label for="pasted-name" { (say!("Its name")) }
                    p .hint #pasted-name-hint { (say!("Blank: pasted.txt")) }
                    input #pasted-name .words name="pasted-name" type="text" value=(self.pasted_name) autocomplete="off"
                        aria-describedby="pasted-name-hint";
                }
            }
        }
    }

    fn from(&self) -> Markup {
        let error = at(&self.problems, "supplier");
        html! {
            div .field .wrong[error.is_some()] {
                label for="supplier" { (say!("Supplier")) }
                p .hint #supplier-hint { (say!("How its headings were understood is remembered under this name.")) }
                @if let Some(error) = error { p .error { (error) } }
                input #supplier .words name="supplier" type="text" list="suppliers" value=(self.supplier)
                    autocomplete="off" aria-describedby="supplier-hint";
                datalist #suppliers { @for supplier in &self.suppliers { option value=(supplier) {} } }
            }
        }
    }
}
