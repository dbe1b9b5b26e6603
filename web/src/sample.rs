//! The invented sample catalogue, compiled in and imported through the real pipeline.

use indexer::error::OpenError;
use indexer::sheet::SheetReader;
use indexer::shop::{Shop, Told};
use indexer::store::Signed;

/// The three sheets, in the order in which they came: three changes in the history.
const SHEETS: [(&str, &[u8]); 3] = [
    ("range.csv", include_bytes!("../../sample-catalogue/range.csv")),
    ("stock.csv", include_bytes!("../../sample-catalogue/stock.csv")),
    ("corrections.csv", include_bytes!("../../sample-catalogue/corrections.csv")),
];

/// The sample's runners, by the names of their files.
pub const RUNNERS: [(&str, &str); 8] = [
    ("by-feel", include_str!("../../sample-catalogue/runners/by-feel.toml")),
    ("calf-strain", include_str!("../../sample-catalogue/runners/calf-strain.toml")),
    ("closed-gate", include_str!("../../sample-catalogue/runners/closed-gate.toml")),
    ("conflict", include_str!("../../sample-catalogue/runners/conflict.toml")),
    ("empty-list", include_str!("../../sample-catalogue/runners/empty-list.toml")),
    ("nothing-first", include_str!("../../sample-catalogue/runners/nothing-first.toml")),
    ("race", include_str!("../../sample-catalogue/runners/race.toml")),
    ("stop", include_str!("../../sample-catalogue/runners/stop.toml")),
];

/// Who sends the sample's sheets.
const SUPPLIER: &str = "Sample supplier";

/// Why the sample is not there.
#[derive(Debug, thiserror::Error)]
pub enum NoSample {
    /// No catalogue in memory.
    #[error("the sample catalogue could not be opened: {0}")]
    Open(#[from] OpenError),
    /// One of its sheets could not be imported.
    #[error("the sample sheet {sheet} could not be imported: {why}")]
    Sheet {
        /// Which sheet.
        sheet: &'static str,
        /// What the import said.
        why: String,
    },
}

/// The sample shop in memory; `now` is noted as the time of its imports.
pub fn sample_shop(reader: SheetReader, now: i64) -> Result<Shop, NoSample> {
    let shop = Shop::in_memory(reader)?;
    let told = Told { supplier: Some(SUPPLIER.to_owned()), ..Told::default() };
    for (sheet, bytes) in SHEETS {
        let fail = |why: String| NoSample::Sheet { sheet, why };
        let understood = shop.understand(sheet, bytes.to_vec(), &told).map_err(|e| fail(e.to_string()))?;
        let by = Signed { actor: "sample".to_owned(), at: now, key: format!("sample-{sheet}") };
        shop.apply(&understood, &by).map_err(|e| fail(e.to_string()))?;
    }
    Ok(shop)
}
