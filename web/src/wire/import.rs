//! The reply of `import --json`.

use indexer::finding::{Finding, Severity, grouped};
use indexer::sheet::column_letters;
use indexer::shop::Understood;
use indexer::store::ChangeId;
use serde::Serialize;

/// What an import did or would do.
#[derive(Clone, Debug, Serialize)]
pub struct ImportReply {
    sheet: String,
    supplier: String,
    rows: usize,
    new: usize,
    changed: usize,
    unchanged: usize,
    held: usize,
    missing: usize,
    change: Option<i64>,
    findings: Vec<FindingReply>,
}

/// One kind of finding, with its first place and its true number.
#[derive(Clone, Debug, Serialize)]
pub struct FindingReply {
    code: &'static str,
    severity: &'static str,
    sheet: String,
    row: u32,
    column: Option<String>,
    heading: String,
    text: String,
    say: String,
    count: usize,
}

impl ImportReply {
    /// The reply of a sheet that was understood, and of the change that was made of it, if any.
    pub fn of(understood: &Understood, change: Option<ChangeId>) -> Self {
        let counts = &understood.proposal.counts;
        let groups = grouped(&understood.proposal.findings);
        Self {
            sheet: understood.reading.sheet.clone(),
            supplier: understood.reading.supplier.clone(),
            rows: counts.data_rows,
            new: counts.new,
            changed: counts.changed,
            unchanged: counts.unchanged,
            held: counts.held,
            missing: counts.missing,
            change: change.map(|change| change.0),
            findings: groups.iter().map(|group| FindingReply::of(group.first, group.all.len())).collect(),
        }
    }
}

impl FindingReply {
    fn of(finding: &Finding, count: usize) -> Self {
        Self {
            code: finding.code.word(),
            severity: severity(finding.code.severity()),
            sheet: finding.place.sheet.to_string(),
            row: finding.place.row,
            column: finding.place.column.map(column_letters),
            heading: finding.heading.clone(),
            text: finding.text.clone(),
            say: finding.say.clone(),
            count,
        }
    }
}

fn severity(severity: Severity) -> &'static str {
    match severity {
        Severity::Stop => "stop",
        Severity::Warn => "warn",
        Severity::Note => "note",
    }
}
