//! `columns` and `rules`: the registries, as they are checked by the tests.

use std::process::ExitCode;

use catalogue::rules::RULES;
use indexer::columns::COLUMNS;

use super::{Failure, Out};

pub(super) fn columns(out: &mut Out) -> Result<ExitCode, Failure> {
    for column in COLUMNS {
        out.line(format_args!("{:<20} {}", column.key, column.says))?;
        out.line(format_args!("{:<20} headings: {}", "", column.headings.join(", ")))?;
    }
    out.done()
}

pub(super) fn rules(out: &mut Out) -> Result<ExitCode, Failure> {
    for rule in RULES {
        let evidence = &rule.evidence;
        let sources: Vec<_> = evidence.sources.iter().map(|source| source.id).collect();
        out.line(format_args!("{} ({})", rule.id, evidence.grade.word()))?;
        out.line(format_args!("  {}", rule.says))?;
        out.line(format_args!("  Found: {}", evidence.shows))?;
        out.line(format_args!("  Studied: {}", evidence.studied))?;
        out.line(format_args!("  Not shown: {}", evidence.limits))?;
        out.line(format_args!("  Sources: {}", sources.join(", ")))?;
    }
    out.done()
}
