//! Findings of a sheet: grouped with true totals on its page, all of one kind on a page of their own.

use indexer::finding::{Code, Finding, FindingGroup as Grouped, Holds, Severity, grouped};
use indexer::sheet::{Place as At, column_letters};
use serde::Deserialize;

use super::sheet_changes::pager;
use crate::pages::sheet_findings::SheetFindingsPage;
use crate::parts::Link;
use crate::parts::findings::{FindingGroup, Findings, Place, Severity as Shown};
use crate::waiting::{Sent, SheetId, WaitingSheet};
use crate::words;

/// Places shown of one kind on the sheet's page.
const SHOWN: usize = 5;
/// Places on one page of a kind.
const A_PAGE: usize = 100;

/// Which kind is asked for.
#[derive(Clone, Debug, Default, Deserialize)]
pub struct Asked {
    #[serde(default)]
    code: String,
    #[serde(default)]
    heading: String,
    #[serde(default)]
    page: Option<usize>,
}

/// All kinds, what holds most back first, each with its first places.
pub fn findings(id: SheetId, waiting: &WaitingSheet) -> Findings {
    let groups = grouped(&waiting.understood.proposal.findings);
    let shown = groups.iter().map(|group| {
        let all = (group.all.len() > SHOWN).then(|| href(id, group.first.code, &group.first.heading, 1));
        FindingGroup { all, ..shown(group, 0, SHOWN) }
    });
    Findings { groups: shown.collect() }
}

/// One kind, page by page; `None` when the sheet has no such finding.
pub fn page(sent: &Sent, waiting: &WaitingSheet, asked: &Asked) -> Option<SheetFindingsPage> {
    let groups = grouped(&waiting.understood.proposal.findings);
    let group = groups
        .iter()
        .find(|group| group.first.code.word() == asked.code && group.first.heading == asked.heading)?;
    let to = |page| href(sent.id, group.first.code, &group.first.heading, page);
    let pager = pager(asked.page.unwrap_or(1), group.all.len(), A_PAGE, to);
    Some(SheetFindingsPage {
        sheet: sent.name.clone(),
        group: shown(group, (pager.page - 1) * A_PAGE, A_PAGE),
        pager,
        back: Link::new(say!("Back to the sheet"), format!("{}#findings", sent.href())),
    })
}

fn href(id: SheetId, code: Code, heading: &str, page: usize) -> String {
    let mut query = form_urlencoded::Serializer::new(String::new());
    query.append_pair("code", code.word());
    if !heading.is_empty() {
        query.append_pair("heading", heading);
    }
    if page > 1 {
        query.append_pair("page", &page.to_string());
    }
    format!("{}/findings?{}", id.href(), query.finish())
}

fn shown(group: &Grouped<'_>, skip: usize, most: usize) -> FindingGroup {
    let code = group.first.code;
    let severity = match code.severity() {
        Severity::Stop => Shown::Stop,
        Severity::Warn => Shown::Warn,
        Severity::Note => Shown::Note,
    };
    let held = match code.holds() {
        Holds::Nothing => "",
        Holds::Cell => say!(" The cell is held; the rest of its row is taken."),
        Holds::Row => say!(" The row is held."),
        Holds::Sheet => say!(" Nothing can be applied before this is settled."),
    };
    let places: Vec<_> = group.all.iter().skip(skip).take(most).map(|finding| place(finding)).collect();
    FindingGroup {
        code: code.word().to_owned(),
        severity,
        say: format!("{}{held}", words::of(code.says())),
        mend: words::made(&group.first.say),
        count: group.all.len(),
        places,
        all: None,
    }
}

fn place(finding: &Finding) -> Place {
    let Finding { place, heading, text, .. } = finding;
    let column = place.column.map_or_else(String::new, |at| {
        say!(", column {column_letters}", column_letters = column_letters(at))
    });
    let heading = if heading.is_empty() { String::new() } else { format!(" ({heading})") };
    let at = match place.row {
        0 => tab_of(place)
            .map_or_else(|| say!("the sheet as a whole").to_owned(), |tab| say!("{tab} as a whole", tab)),
        row => {
            let tab = tab_of(place).map_or_else(String::new, |tab| format!("{tab}, "));
            say!("{tab}row {row}{column}{heading}", tab, row, column, heading)
        }
    };
    Place { at, text: text.clone() }
}

/// The tab of a workbook, as it stands in the label of a place; `None` for a table of text.
fn tab_of(place: &At) -> Option<&str> {
    place.sheet.rsplit_once(", tab ").map(|(_, tab)| tab)
}
