//! One sheet before it is applied: how it was understood, what would change, and what is wrong where.

use indexer::draft::Value;
use indexer::finding::{Finding, FindingGroup as Grouped, Holds, Severity, grouped};
use indexer::heading::Unit;
use indexer::mapping::{Feeds, MappedColumn, SheetKind};
use indexer::proposal::{CellChange, RowChange};
use indexer::sheet::column_letters;
use indexer::shop::Understood;

use crate::labels::NOT_GIVEN;
use crate::owner::settle;
use crate::owner::values::in_words;
use crate::pages::sheet_preview::{Count, SheetPreviewPage};
use crate::parts::act::Act;
use crate::parts::findings::{FindingGroup, Findings, Place, Severity as Shown};
use crate::parts::table::{Cell, Head, Table};
use crate::waiting::WaitingSheet;

/// The field of Apply that says which reading was seen: only that one is applied.
pub const SEEN: &str = "seen";
/// Changes shown before `and 212 more`.
const CHANGES_SHOWN: usize = 50;
/// Places shown of one kind of finding.
const PLACES_SHOWN: usize = 5;

/// The preview of the sheet of this number.
pub fn page(number: u64, waiting: &WaitingSheet) -> SheetPreviewPage {
    let understood = &waiting.understood;
    let Understood { reading, proposal, sheet, .. } = understood;
    let kind = if reading.kind == SheetKind::Full { "full" } else { "partial" };
    let cells: usize = proposal.changes.iter().map(|row| row.cells.len()).sum();
    let more = cells.saturating_sub(CHANGES_SHOWN);
    SheetPreviewPage {
        sheet: reading.sheet.clone(),
        facts: format!("from {}, {kind}, {} rows", reading.supplier, reading.data_rows),
        read_as: vec![sheet.how.to_string()],
        counts: counts(understood),
        undecided: settle::form(number, waiting),
        mapping: mapped(understood),
        changes: changes(&proposal.changes),
        more_changes: if more > 0 { format!("and {more} more") } else { String::new() },
        findings: Findings { groups: grouped(&proposal.findings).iter().map(finding_group).collect() },
        apply: (!proposal.is_refused() && proposal.is_worth_applying())
            .then(|| Act::post(format!("/sheets/{number}/apply"), SEEN, &proposal.digest)),
        leave: Act::Post { action: format!("/sheets/{number}/leave"), fields: Vec::new() },
    }
}

fn counts(understood: &Understood) -> Vec<Count> {
    let counts = &understood.proposal.counts;
    let count = |label: &str, count: usize, means: &str| Count {
        label: label.to_owned(),
        count,
        means: means.to_owned(),
    };
    vec![
        count("new", counts.new, "rows of shoes or sizes that the catalogue does not hold"),
        count("changed", counts.changed, "rows that change a value"),
        count("unchanged", counts.unchanged, "rows that change nothing"),
        count("held", counts.held, "rows that wait for a mend"),
        count("cells held", counts.held_cells, "single cells that wait, in rows that are taken"),
        count("missing", counts.missing, "shoes and sizes of this supplier that a full sheet does not list"),
    ]
}

fn mapped(understood: &Understood) -> Table {
    let heads = ["Heading", "Understood as", "Unit", "First cell"].map(Head::words);
    let columns = understood.mapping.tabs.iter().flat_map(|tab| &tab.columns);
    let rows = columns.map(mapped_row);
    Table {
        caption: "How the headings were understood".to_owned(),
        heads: heads.into(),
        rows: rows.collect(),
    }
}

fn mapped_row(column: &MappedColumn) -> Vec<Cell> {
    let feeds = match &column.feeds {
        Feeds::Column(column) => Cell::text(column.headings[0]).below(column.says),
        Feeds::LeftOut(column) => Cell::text("left out").below(column.says),
        Feeds::Ignored => Cell::text("left out").below("As you said."),
        Feeds::Size(size) => Cell::text(format!("pairs of size {}", size.label)),
        Feeds::Unknown => Cell::text("left out").below("Nobody knows this heading."),
        Feeds::Undecided(_) => Cell::text("undecided"),
    };
    vec![
        Cell::text(&column.heading),
        feeds,
        Cell::text(column.unit.map_or("", Unit::word)),
        column.samples.first().map_or_else(Cell::not_given, Cell::text),
    ]
}

fn changes(rows: &[RowChange]) -> Table {
    let heads = ["Shoe or size", "What", "Before", "After"].map(Head::words);
    let cells = rows.iter().flat_map(|row| row.cells.iter().map(move |cell| change_row(row, cell)));
    Table {
        caption: "What would change".to_owned(),
        heads: heads.into(),
        rows: cells.take(CHANGES_SHOWN).collect(),
    }
}

fn change_row(row: &RowChange, cell: &CellChange) -> Vec<Cell> {
    let shown = |value: Option<&Value>| {
        value.map_or_else(|| Cell::text(NOT_GIVEN), |v| Cell::text(in_words(cell.column, v)))
    };
    let new = if row.new { " (new)" } else { "" };
    vec![
        Cell::text(format!("{}{new}", row.key)),
        Cell::text(cell.column.headings[0]),
        shown(cell.before.as_ref()),
        shown(cell.after.as_ref()).below(format!("“{}” in row {}", cell.text, cell.place.row)),
    ]
}

fn finding_group(group: &Grouped<'_>) -> FindingGroup {
    let code = group.first.code;
    let severity = match code.severity() {
        Severity::Stop => Shown::Stop,
        Severity::Warn => Shown::Warn,
        Severity::Note => Shown::Note,
    };
    let held = match code.holds() {
        Holds::Nothing => "",
        Holds::Cell => " The cell is held; the rest of its row is taken.",
        Holds::Row => " The row is held.",
        Holds::Sheet => " Nothing can be applied before this is settled.",
    };
    FindingGroup {
        code: code.word().to_owned(),
        severity,
        say: format!("{}{held}", code.says()),
        mend: group.first.say.clone(),
        count: group.all.len(),
        places: group.all.iter().take(PLACES_SHOWN).map(|finding| place(finding)).collect(),
    }
}

fn place(finding: &Finding) -> Place {
    let Finding { place, heading, text, .. } = finding;
    let column = place.column.map_or_else(String::new, |at| format!(", column {}", column_letters(at)));
    let heading = if heading.is_empty() { String::new() } else { format!(" ({heading})") };
    let at = match place.row {
        0 => "the sheet as a whole".to_owned(),
        row => format!("row {row}{column}{heading}"),
    };
    Place { at, text: text.clone() }
}
