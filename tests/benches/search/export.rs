//! The tables, the questions and our answers as files, for peers that are asked from another language:
//! `tests/benches/search/peers.py` reads them. Questions with words are left out, since these peers have no word index.

use std::fs::File;
use std::io::{BufWriter, Write};
use std::path::Path;

use rusqlite::Connection;
use serde_json::{Value, json};

use crate::question::{Answer, Question};
use crate::sqlite::{Sqlite, is_set};

/// One mix: its questions, what we answered, and the microseconds that took.
pub(crate) struct Mix<'m> {
    /// `styles` or `one_sku`.
    pub(crate) name: &'static str,
    /// The questions, those with words too.
    pub(crate) asked: &'m [Question],
    /// Our answers and microseconds, in the same order.
    pub(crate) answered: Vec<(&'m Answer, f64)>,
}

/// Writes `style.csv`, `sku.csv` and `questions.json` into a folder.
pub(crate) fn write(folder: &Path, peer: &Sqlite, mixes: &[Mix<'_>]) {
    std::fs::create_dir_all(folder).expect("a folder to write to");
    for table in ["style", "sku"] {
        let file = File::create(folder.join(format!("{table}.csv"))).expect("a file to write to");
        dump(peer.db(), table, BufWriter::new(file)).expect("a table in memory");
    }
    let mixes = mixes.iter().map(|mix| (mix.name.to_owned(), of_mix(peer, mix)));
    let text = Value::Object(mixes.collect()).to_string();
    std::fs::write(folder.join("questions.json"), text).expect("a file to write to");
}

/// A table of whole numbers; what is unknown is blank.
fn dump(db: &Connection, table: &str, mut to: impl Write) -> rusqlite::Result<()> {
    let mut statement = db.prepare(&format!("SELECT * FROM {table} ORDER BY rowid"))?;
    writeln!(to, "{}", statement.column_names().collect::<Vec<_>>().join(",")).expect("room for a file");
    let columns = statement.column_count();
    let mut rows = statement.query([])?;
    while let Some(row) = rows.next()? {
        let cells = (0..columns).map(|at| row.get::<_, Option<i64>>(at));
        let cells = cells.map(|cell| Ok(cell?.map_or_else(String::new, |number| number.to_string())));
        let cells: Vec<String> = cells.collect::<rusqlite::Result<_>>()?;
        writeln!(to, "{}", cells.join(",")).expect("room for a file");
    }
    Ok(())
}

fn of_mix(peer: &Sqlite, mix: &Mix<'_>) -> Value {
    let plain = mix.asked.iter().zip(&mix.answered).filter(|(question, _)| question.words.is_empty());
    plain.map(|(question, (answer, micros))| of_question(peer, question, answer, *micros)).collect()
}

fn of_question(peer: &Sqlite, question: &Question, answer: &Answer, micros: f64) -> Value {
    let chosen = question.styles.iter().map(|(group, values)| {
        (group.key().to_owned(), json!({ "codes": peer.codes(*group, values), "set": is_set(*group) }))
    });
    let ranges =
        question.ranges.iter().map(|(group, (from, to))| (group.key().to_owned(), json!([from, to])));
    json!({
        "chosen": Value::Object(chosen.collect()),
        "ranges": Value::Object(ranges.collect()),
        "sku": question.sku.as_ref().map(|sku| peer.codes_of_sku(sku)),
        "answer": {
            "total": answer.total,
            "pairs": answer.pairs,
            "counts": peer.counts_by_code(answer),
        },
        "micros": micros,
    })
}
