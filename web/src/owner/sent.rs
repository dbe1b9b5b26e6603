//! A sheet as it was posted, and how it is read.

use std::error::Error as _;

use axum::extract::Multipart;
use axum::extract::multipart::MultipartError;
use axum::http::StatusCode;
use indexer::mapping::{MappingFile, SheetKind};
use indexer::shop::{ImportError, Shop, Told, Understood};

use crate::clock::Moment;
use crate::parts::problems::Problem;
use crate::refusal::Refusal;
use crate::waiting::WaitingSheet;

/// Characters of a supplier's name.
const LONGEST_SUPPLIER: usize = 80;

/// What is posted with a sheet.
#[derive(Default)]
pub struct Sent {
    name: String,
    bytes: Vec<u8>,
    /// Who sent it, as typed; blank for nobody.
    pub supplier: String,
    kind: SheetKind,
}

impl Sent {
    /// Takes a posted form in; `limit` is the most bytes it may have.
    pub async fn read(mut multipart: Multipart, limit: usize) -> Result<Self, Refusal> {
        let mut sent = Self::default();
        let broken = |fault| not_arrived(&fault, limit);
        while let Some(field) = multipart.next_field().await.map_err(broken)? {
            let name = field.name().unwrap_or_default().to_owned();
            match name.as_str() {
                "file" => {
                    field.file_name().unwrap_or_default().clone_into(&mut sent.name);
                    sent.bytes = field.bytes().await.map_err(broken)?.into();
                }
                "supplier" => field.text().await.map_err(broken)?.trim().clone_into(&mut sent.supplier),
                "kind" if field.text().await.map_err(broken)? == "full" => sent.kind = SheetKind::Full,
                _ => {}
            }
        }
        Ok(sent)
    }

    /// What is wrong with the form, before the sheet is read.
    pub fn problems(&self) -> Vec<Problem> {
        let supplier = &self.supplier;
        let unfit = supplier.chars().count() > LONGEST_SUPPLIER || supplier.chars().any(char::is_control);
        let problem = |field: &str, say: String| Problem { field: field.to_owned(), say };
        let no_file = self.name.is_empty().then(|| {
            problem("file", "No file was chosen. Choose a sheet saved as CSV, then send it again.".to_owned())
        });
        let no_name = unfit.then(|| {
            let say = format!(
                "A supplier's name has at most {LONGEST_SUPPLIER} characters, in one line. Shorten it, and choose the sheet again."
            );
            problem("supplier", say)
        });
        no_file.into_iter().chain(no_name).collect()
    }

    /// Reads the sheet in a child process. How its headings were read the last time is remembered; what it is, full
    /// or partial, is said each time.
    pub fn understood(self, shop: &Shop, at: Moment) -> Result<WaitingSheet, ImportError> {
        let Self { name, bytes, supplier, kind } = self;
        let told = Told { supplier: Some(supplier).filter(|name| !name.is_empty()), mapping: None };
        let understood = shop.understand(&name, bytes, &told)?;
        let (supplier, headings) = (&understood.mapping.supplier, understood.mapping.fingerprint());
        let remembered = shop.ask(|store| store.remembered(supplier, &headings))?;
        let told = MappingFile { kind, ..remembered.unwrap_or_default() };
        let understood =
            if understood.mapping.kind == kind { understood } else { again(shop, understood, &told)? };
        Ok(WaitingSheet { understood, told, at })
    }
}

/// Reads a waiting sheet once more, with what is told of its headings, against the catalogue as it is now.
pub fn anew(shop: &Shop, waiting: &WaitingSheet, told: MappingFile) -> Result<WaitingSheet, ImportError> {
    let Understood { bytes, reading, mapping, .. } = &waiting.understood;
    let by = Told { supplier: Some(mapping.supplier.clone()), mapping: Some(told.clone()) };
    let understood = shop.understand(&reading.sheet, bytes.clone(), &by)?;
    Ok(WaitingSheet { understood, told, at: waiting.at })
}

fn again(shop: &Shop, understood: Understood, told: &MappingFile) -> Result<Understood, ImportError> {
    let Understood { bytes, reading, mapping, .. } = understood;
    let by = Told { supplier: Some(mapping.supplier), mapping: Some(told.clone()) };
    shop.understand(&reading.sheet, bytes, &by)
}

fn not_arrived(fault: &MultipartError, limit: usize) -> Refusal {
    if fault.status() == StatusCode::PAYLOAD_TOO_LARGE || is_cut_off(fault) {
        return Refusal::too_large(limit, None).back_to("To the sheets", "/sheets");
    }
    let say =
        "The form did not arrive whole, so nothing was read or stored. Send the sheet again from its page.";
    Refusal::new(StatusCode::BAD_REQUEST, "The sheet did not arrive", say).back_to("To the sheets", "/sheets")
}

/// Whether the body was cut off at its limit. The framework looks for that one cause too shallowly, and the cause's
/// type is not exported: its words have to do.
fn is_cut_off(fault: &MultipartError) -> bool {
    let mut causes = std::iter::successors(fault.source(), |&cause| cause.source());
    causes.any(|cause| cause.to_string() == "length limit exceeded")
}
