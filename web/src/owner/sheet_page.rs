//! The page of a sheet that waits, and the page of one at work.

use indexer::finding::Code;
use indexer::mapping::{MappingFile, SheetKind};
use indexer::shop::{Step, UNNAMED_SUPPLIER};

use super::sheet_changes::{Asked, changes, counts, joined, missing};
use super::sheet_findings::findings;
use super::sheet_headings::{headings, undecided};
use super::sheet_how::how;
use crate::pages::sheet::{Apply, AskedMaker, SheetPage};
use crate::pages::sheet_working::SheetWorkingPage;
use crate::parts::Link;
use crate::parts::act::Act;
use crate::parts::problems::Problem;
use crate::visit::number_of;
use crate::waiting::{Sent, State, WaitingSheet};

/// The field of Apply that says which reading was seen: only that one is applied.
pub const SEEN: &str = "seen";

/// The field of Apply that says what becomes of what a full sheet leaves out.
pub const MISSING: &str = "missing";

/// The page of a sheet that waits; `problems` are those of its form.
pub fn page(sent: &Sent, waiting: &WaitingSheet, asked: Asked, problems: Vec<Problem>) -> SheetPage {
    let understood = &waiting.understood;
    let (id, href) = (sent.id, sent.href());
    SheetPage {
        sheet: sent.name.clone(),
        facts: facts(sent, waiting),
        notices: notices(sent, waiting),
        counts: counts(understood),
        undecided: undecided(waiting),
        maker: maker(waiting),
        how: how(id, waiting, &problems),
        headings: headings(waiting),
        joined: joined(understood),
        changes: changes(id, understood, asked),
        missing: missing(understood),
        findings: findings(id, waiting),
        to_mend: understood
            .has_problem_rows()
            .then(|| Link::new(say!("Download the rows to mend (.xlsx)"), format!("{href}/problems.xlsx"))),
        apply: apply(sent, waiting),
        leave: Act::Post { action: format!("{href}/leave"), fields: Vec::new() },
        twins: vec![
            Link::new("JSON", format!("{href}.json")),
            Link::new(say!("mapping (TOML)"), format!("{href}/mapping.toml")),
        ],
        problems,
    }
}

/// Who makes the shoes, where nothing in the sheet says it; the supplier is proposed.
fn maker(waiting: &WaitingSheet) -> Option<AskedMaker> {
    let understood = &waiting.understood;
    let held =
        understood.proposal.findings.iter().filter(|finding| finding.code == Code::MakerUnknown).count();
    let supplier = understood.reading.supplier.as_str();
    (held > 0 && waiting.told.maker.is_none()).then(|| AskedMaker {
        say: say!(
            "No column names the maker, and {held} rows wait for it. It is remembered for this supplier.",
            held
        ),
        proposed: if supplier == UNNAMED_SUPPLIER { String::new() } else { supplier.to_owned() },
    })
}

/// The mapping as it was read, with all that was said.
pub fn mapping_file(waiting: &WaitingSheet) -> MappingFile {
    waiting.understood.mapping_file(Some(&waiting.told))
}

/// The page of a sheet at work.
pub fn working(sent: &Sent) -> SheetWorkingPage {
    let (step, rows) = sent.progress.now();
    let so_far = if rows > 0 {
        say!(": {rows} so far", rows = number_of(rows, say!("row"), say!("rows")))
    } else {
        String::new()
    };
    let say = match step {
        _ if matches!(sent.state, State::Applying(_)) => say!("Applying{so_far}.", so_far),
        Step::Reading => say!("Reading{so_far}.", so_far),
        Step::Comparing | Step::Applying => say!("Comparing with the catalogue{so_far}.", so_far),
    };
    SheetWorkingPage {
        sheet: sent.name.clone(),
        say,
        promise: say!("Nothing of it is stored before it is done, and the shop goes on meanwhile.")
            .to_owned(),
        again: sent.href(),
        cancel: Act::Post { action: format!("{}/cancel", sent.href()), fields: Vec::new() },
    }
}

fn facts(sent: &Sent, waiting: &WaitingSheet) -> String {
    let reading = &waiting.understood.reading;
    let kind = if reading.kind == SheetKind::Full { say!("full") } else { say!("partial") };
    let rows = number_of(reading.data_rows, say!("row"), say!("rows"));
    say!(
        "from {supplier}, {kind}, {rows}, {size}",
        supplier = reading.supplier,
        kind,
        rows,
        size = size(sent.size)
    )
}

fn size(bytes: usize) -> String {
    match bytes {
        0..1_000 => say!("{bytes} bytes", bytes),
        1_000..1_000_000 => format!("{} kB", bytes / 1_000),
        _ => format!("{:.1} MB", bytes as f64 / 1_000_000.0),
    }
}

fn notices(sent: &Sent, waiting: &WaitingSheet) -> Vec<String> {
    let refused = sent.refused.as_ref().map(|refusal| format!("{}: {}", refusal.title, refusal.say));
    let overtaken = waiting.overtaken.map(|(seq, before)| {
        let now = &waiting.understood.proposal.counts;
        say!("The catalogue has changed since this sheet was read; it was compared anew with change {seq}. New {new} (was {was_new}), changed {changed} (was {was_changed}), unchanged {unchanged} (was {was_unchanged}), held {held} (was {was_held}).", seq = seq.0, new = now.new, was_new = before.new, changed = now.changed, was_changed = before.changed, unchanged = now.unchanged, was_unchanged = before.unchanged, held = now.held, was_held = before.held)
    });
    refused.into_iter().chain(overtaken).collect()
}

fn apply(sent: &Sent, waiting: &WaitingSheet) -> Option<Apply> {
    let proposal = &waiting.understood.proposal;
    if proposal.is_refused() || !(proposal.is_worth_applying() || proposal.counts.missing > 0) {
        return None;
    }
    let counts = &proposal.counts;
    let held = match counts.held {
        0 => String::new(),
        1 => say!(" 1 held row stays out.").to_owned(),
        more => say!(" {more} held rows stay out.", more),
    };
    Some(Apply {
        action: format!("{}/apply", sent.href()),
        seen: (SEEN.to_owned(), proposal.digest.clone()),
        say: say!(
            "{new} new and {changed} changed rows become one change, which can be taken back as a whole.{held}",
            new = counts.new,
            changed = counts.changed,
            held
        ),
    })
}
