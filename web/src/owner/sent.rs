//! A sheet as it was posted: a file, or what was pasted.

use std::error::Error as _;

use axum::extract::Multipart;
use axum::extract::multipart::MultipartError;
use axum::http::StatusCode;
use indexer::characters::may_be_shown;
use indexer::mapping::SheetKind;

use crate::parts::problems::Problem;
use crate::refusal::Refusal;

/// Characters of a supplier's name.
const LONGEST_SUPPLIER: usize = 80;
/// What a pasted sheet is called when nobody names it.
const PASTED: &str = "pasted.txt";

/// What is posted with a sheet.
#[derive(Clone, Debug, Default)]
pub struct Posted {
    /// The file's name.
    pub name: String,
    /// Its bytes.
    pub bytes: Vec<u8>,
    /// Who sent it, as typed; blank for nobody.
    pub supplier: String,
    /// Full or partial.
    pub kind: SheetKind,
    /// For whom a size chart is, as chosen; blank for a sheet of shoes.
    pub audience: String,
    /// What was pasted, when no file was chosen.
    pub pasted: String,
    /// The name typed for it.
    pub pasted_name: String,
    /// How many files came; one is read.
    files: usize,
}

impl Posted {
    /// Takes a posted form in; `limit` is the most bytes it may have.
    pub async fn read(mut multipart: Multipart, limit: usize) -> Result<Self, Refusal> {
        let mut posted = Self::default();
        let broken = |fault| not_arrived(&fault, limit);
        while let Some(field) = multipart.next_field().await.map_err(broken)? {
            let name = field.name().unwrap_or_default().to_owned();
            match name.as_str() {
                "file" => {
                    posted.files += usize::from(field.file_name().is_some_and(|name| !name.is_empty()));
                    field.file_name().unwrap_or_default().clone_into(&mut posted.name);
                    posted.bytes = field.bytes().await.map_err(broken)?.into();
                }
                "supplier" => posted.supplier = trimmed(&field.text().await.map_err(broken)?),
                "audience" => posted.audience = trimmed(&field.text().await.map_err(broken)?),
                "pasted" => posted.pasted = field.text().await.map_err(broken)?,
                "pasted-name" => posted.pasted_name = trimmed(&field.text().await.map_err(broken)?),
                "kind" if field.text().await.map_err(broken)? == "full" => posted.kind = SheetKind::Full,
                _ => {}
            }
        }
        posted.take_the_paste();
        Ok(posted)
    }

    /// What was pasted counts as a file of its own where none was chosen.
    fn take_the_paste(&mut self) {
        if !self.name.is_empty() || self.pasted.trim().is_empty() {
            return;
        }
        self.bytes = self.pasted.clone().into_bytes();
        self.name = match self.pasted_name.as_str() {
            "" => PASTED.to_owned(),
            name if name.contains('.') => name.to_owned(),
            name => format!("{name}.txt"),
        };
    }

    /// What is wrong with the form, before the sheet is read.
    pub fn problems(&self) -> Vec<Problem> {
        let problem = |field: &str, say: String| Problem { field: field.to_owned(), say };
        let no_file = self.name.is_empty().then(|| {
            let say = say!("No file was chosen and nothing was pasted. Choose a sheet or paste its cells, then send it again.");
            problem("file", say.to_owned())
        });
        let no_name = unfit_supplier(&self.supplier)
            .map(|say| problem("supplier", say!("{say} Shorten it, and choose the sheet again.", say)));
        let two_files = (self.files > 1).then(|| {
            let say = say!("Several files came at once, and none was read. Send one sheet after the other.");
            problem("file", say.to_owned())
        });
        no_file.into_iter().chain(two_files).chain(no_name).collect()
    }
}

/// What is wrong with a supplier's name, if anything.
pub fn unfit_supplier(name: &str) -> Option<String> {
    let unfit = name.chars().count() > LONGEST_SUPPLIER || !name.chars().all(may_be_shown);
    unfit.then(|| {
        say!("A supplier's name has at most {value} characters, in one line.", value = LONGEST_SUPPLIER)
    })
}

fn trimmed(text: &str) -> String {
    text.trim().to_owned()
}

/// What is said of a form that did not arrive, or not whole.
pub fn not_arrived(fault: &MultipartError, limit: usize) -> Refusal {
    if fault.status() == StatusCode::PAYLOAD_TOO_LARGE || is_cut_off(fault) {
        return Refusal::too_large(limit, None).back_to(say!("To the sheets"), "/sheets");
    }
    let say = say!(
        "The form did not arrive whole, so nothing was read or stored. Send the sheet again from its page."
    );
    Refusal::new(StatusCode::BAD_REQUEST, say!("The sheet did not arrive"), say)
        .back_to(say!("To the sheets"), "/sheets")
}

/// Whether the body was cut off at its limit. The framework looks for that one cause too shallowly, and the cause's
/// type is not exported: its words have to do.
fn is_cut_off(fault: &MultipartError) -> bool {
    let mut causes = std::iter::successors(fault.source(), |&cause| cause.source());
    causes.any(|cause| cause.to_string() == "length limit exceeded")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_pasted_is_a_file_of_its_own_name_unless_one_was_chosen() {
        let named = |name: &str, typed: &str, pasted: &str| {
            let mut posted = Posted {
                name: name.to_owned(),
                pasted: pasted.to_owned(),
                pasted_name: typed.to_owned(),
                ..Posted::default()
            };
            posted.take_the_paste();
            posted.name
        };
        assert_eq!(named("", "", "a\tb"), "pasted.txt");
        assert_eq!(named("", "spring", "a\tb"), "spring.txt");
        assert_eq!(named("", "spring.tsv", "a\tb"), "spring.tsv");
        assert_eq!(named("range.csv", "", "a\tb"), "range.csv");
        assert_eq!(named("", "spring", " \n"), "", "blanks are nothing");
    }
}
