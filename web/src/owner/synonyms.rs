//! What words mean besides themselves: lines typed by the owner, and what each name in them finds now.

use indexer::loaded::Seq;
use indexer::search::{Counts, Search};
use indexer::snapshot::Snapshot;
use indexer::words::Synonyms;

use super::policy::{AT, WHY};
use crate::pages::synonyms::SynonymsPage;
use crate::parts::form::Answers;
use crate::parts::problems::Problem;
use crate::parts::table::{Cell, Head, Table};
use crate::words;

/// The address of the page.
pub const SYNONYMS: &str = "/synonyms";
/// The field of the lines.
const LINES: &str = "lines";
/// Characters of a reason.
const LONGEST_WHY: usize = 200;

/// What was posted, understood.
pub struct Asked {
    /// The lines.
    pub synonyms: Synonyms,
    /// Why.
    pub why: String,
    /// The change at which the form was drawn.
    pub seen: Seq,
}

/// Reads a posted form; all that is wrong with it at once.
pub fn read(answers: &Answers) -> Result<Asked, Vec<Problem>> {
    let why = answers.get(WHY).trim().to_owned();
    let mut problems = Vec::new();
    if why.chars().count() > LONGEST_WHY || why.chars().any(char::is_control) {
        let say = say!("Why: say it in one line of at most {value} characters.", value = LONGEST_WHY);
        problems.push(Problem { field: WHY.to_owned(), say });
    }
    let synonyms = Synonyms::read(answers.get(LINES)).unwrap_or_else(|faults| {
        problems.extend(faults.into_iter().map(|fault| Problem {
            field: LINES.to_owned(),
            say: say!("Line {line}: {why}.", line = fault.line, why = words::made(&fault.why.to_string())),
        }));
        Synonyms::default()
    });
    if problems.is_empty() {
        Ok(Asked { synonyms, why, seen: Seq(answers.get(AT).parse().unwrap_or_default()) })
    } else {
        Err(problems)
    }
}

/// The page, with what was typed when that was refused.
pub fn page(snapshot: &Snapshot, typed: Option<&Answers>, problems: Vec<Problem>) -> SynonymsPage {
    let kept = snapshot.synonyms();
    SynonymsPage {
        action: SYNONYMS.to_owned(),
        at: typed.map_or_else(|| snapshot.seq().0.to_string(), |typed| typed.get(AT).to_owned()),
        lines: typed.map_or_else(|| kept.lines().to_owned(), |typed| typed.get(LINES).to_owned()),
        why: typed.map_or_else(String::new, |typed| typed.get(WHY).to_owned()),
        problems,
        overtaken: String::new(),
        names: Some(names(kept, snapshot)).filter(|table| !table.rows.is_empty()),
    }
}

/// Each name with how many shoes hold it as it stands: one that none holds finds nothing of its own.
fn names(synonyms: &Synonyms, snapshot: &Snapshot) -> Table {
    let rows = synonyms.names().map(|name| {
        let search = Search { words: name.clone(), exactly: true, counts: Counts::None, ..Search::default() };
        let found = snapshot.search(&search, None).map_or(0, |results| results.total);
        vec![Cell::text(name), Cell::text(found.to_string())]
    });
    Table {
        caption: say!("What the names find by themselves now").to_owned(),
        heads: vec![Head::words(say!("Name")), Head::number(say!("Styles"))],
        rows: rows.collect(),
    }
}
