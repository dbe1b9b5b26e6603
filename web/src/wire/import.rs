//! The reply of `import --json`.

use indexer::draft::Join;
use indexer::finding::{Finding, Severity, grouped};
use indexer::sheet::column_letters;
use indexer::shop::Understood;
use indexer::store::ChangeId;
use serde::Serialize;

use crate::waiting::Source;

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
    joined: JoinedReply,
    mapping: MappingReply,
    findings: Vec<FindingReply>,
}

/// How many rows were joined to their shoes in each way.
#[derive(Clone, Debug, Serialize)]
pub struct JoinedReply {
    number: usize,
    gtin: usize,
    name: usize,
}

/// Where the mapping came from.
#[derive(Clone, Debug, Serialize)]
pub struct MappingReply {
    source: MappingSource,
}

/// Where a mapping comes from.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum MappingSource {
    /// From the sheet itself.
    Guessed,
    /// From the last sheet with these headings.
    Remembered,
    /// From a mapping file.
    File,
}

impl From<Source> for MappingSource {
    fn from(source: Source) -> Self {
        match source {
            Source::Guessed => Self::Guessed,
            Source::Remembered(_) => Self::Remembered,
            Source::File => Self::File,
        }
    }
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
    pub fn of(understood: &Understood, source: MappingSource, change: Option<ChangeId>) -> Self {
        let joined = |join| understood.reading.joined(join);
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
            joined: JoinedReply {
                number: joined(Join::Number),
                gtin: joined(Join::Gtin),
                name: joined(Join::Name),
            },
            mapping: MappingReply { source },
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
