//! One cell at a time: from the text read to what it says, or to what is wrong with it.
//!
//! A blank says nothing and so does a dash: neither overwrites what is known. Nothing is guessed: what can be read in
//! two ways, or is likely in another unit, is asked. [`Manner`] tells what heading, column and owner have said.

mod canon;
mod codes;
mod counts;
mod dates;
mod digits;
mod manner;
mod measures;
mod money;
mod sizes;
mod vocabulary;
mod words;

use std::fmt::Write as _;

use crate::columns::{Column, Reads, STYLE_NUMBER};
use crate::draft::Value;
use crate::finding::Code;
use canon::{canon, mixed_scripts};
pub(crate) use counts::is_cross;
pub use manner::{Manner, Mark};

/// What a cell says: each column it speaks for, with its value. A cell may speak for more than its own, as `32/24`
/// does for both stacks; empty says nothing.
pub type Said = Vec<(&'static Column, Value)>;

/// What a cell says, and what the owner should know of how it was read.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Heard {
    /// What it says.
    pub said: Said,
    /// Warnings and notes; none of them holds anything back.
    pub notes: Vec<CellFault>,
}

/// What is wrong with a cell.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct CellFault {
    /// What kind.
    pub code: Code,
    /// What is wrong and what to do.
    pub say: String,
}

/// What spreadsheets print where a formula has failed, in several languages.
const ERRORS: [&str; 15] = [
    "#REF!", "#VALUE!", "#DIV/0!", "#NAME?", "#NUM!", "#NULL!", "#N/A", "#BEZUG!", "#WERT!", "#ZAHL!", "#NV",
    "#VALEUR!", "#NOMBRE!", "#VALOR!", "#N/D",
];

/// Texts that say nothing.
const NOTHING: [&str; 15] =
    ["", "-", "–", "—", "--", "n/a", "n.a.", "n. a.", "k.a.", "k. a.", "n.v.t.", "nvt", "n/d", "n.d.", "s/d"];

/// A text without blanks around it. Most cells begin and end in a sign of ASCII that is none, which is soon seen; the
/// blanks of all scripts are asked of the others only.
pub fn trimmed(text: &str) -> &str {
    let is_sign = |byte: Option<&u8>| byte.is_some_and(u8::is_ascii_graphic);
    let bytes = text.as_bytes();
    if is_sign(bytes.first()) && is_sign(bytes.last()) { text } else { text.trim() }
}

/// Whether a text says nothing.
pub fn says_nothing(text: &str) -> bool {
    let text = trimmed(text);
    // Asked of nearly every cell of a sheet: most are told by their length or their first letter.
    match text.as_bytes() {
        [] => true,
        [_, _, _, _, _, _, _, ..] => false,
        [b'-' | b'n' | b'N' | b'k' | b'K' | b's' | b'S', ..] if text.is_ascii() => {
            NOTHING.iter().any(|nothing| nothing.eq_ignore_ascii_case(text))
        }
        _ if text.is_ascii() => false,
        _ => NOTHING.contains(&text.to_lowercase().as_str()),
    }
}

/// Reads all that one cell of a column says, and how it was understood.
///
/// # Errors
/// The cell cannot be read; nothing of it is taken.
pub fn heard(column: &'static Column, text: &str, manner: Manner) -> Result<Heard, CellFault> {
    let text = without_guard(text.trim());
    if says_nothing(text) || column.reads == Reads::Nothing {
        return Ok(Heard::default());
    }
    if ERRORS.contains(&text) {
        let say = format!(
            "{text}: a formula of the spreadsheet has failed. Mend it there, or leave the cell blank."
        );
        return Err(fault(Code::CellError, say));
    }
    let clean = canon(column, text)?;
    let mut notes = Vec::new();
    if clean.dropped > 0 && is_text(column) {
        let say = format!(
            "{} held {} characters that cannot be seen; they were taken out.",
            quoted(&clean.text),
            clean.dropped
        );
        notes.push(fault(Code::TextCleaned, say));
    }
    // Signs that cannot be seen may have stood within a word that says nothing.
    if says_nothing(&clean.text) {
        return Ok(Heard { said: Said::new(), notes });
    }
    let said = meaning(column, &clean.text, manner, &mut notes)?;
    Ok(Heard { said, notes })
}

/// Reads all that one cell of a column says.
///
/// # Errors
/// The cell cannot be read; nothing of it is taken.
pub fn said(column: &'static Column, text: &str, manner: Manner) -> Result<Said, CellFault> {
    Ok(heard(column, text, manner)?.said)
}

/// Reads the one value that a cell says of its own column; `None` says nothing of it.
///
/// # Errors
/// The cell cannot be read.
pub fn read_cell(column: &'static Column, text: &str, manner: Manner) -> Result<Option<Value>, CellFault> {
    let said = said(column, text, manner)?;
    Ok(said.into_iter().find(|(of, _)| *of == column).map(|(_, value)| value))
}

fn meaning(
    column: &'static Column,
    text: &str,
    manner: Manner,
    notes: &mut Vec<CellFault>,
) -> Result<Said, CellFault> {
    let word = |word: &str| Value::Text(word.into());
    let value = match column.reads {
        Reads::Nothing => return Ok(Said::new()),
        Reads::Stacks => return measures::stacks(text, manner, notes),
        Reads::Mass => return measures::mass(column, text, manner),
        Reads::Size => return sizes::size(text, manner, notes),
        Reads::Currency => return money::currency_of_row(text, manner.currency).map(|()| Said::new()),
        // A bare stiffness is kept and ranks nothing until the mapping says what it is: in injury trials the word means
        // compression, in studies of economy bending (evidence, two words that break the data model).
        Reads::KindUnknown => word(text),
        Reads::Replaces => {
            codes::not_shortened(Code::ReplacesShortened, text)?;
            word(text)
        }
        Reads::Text => {
            if column.is(&STYLE_NUMBER) {
                codes::not_shortened(Code::StyleNumberShortened, text)?;
            }
            notes.extend(mixed_scripts(text).filter(|_| column.names_something()));
            word(text)
        }
        Reads::Length => measures::length(column, text, manner, notes)?,
        Reads::Compression => measures::compression(column, text, manner)?,
        Reads::MassSize => Value::Text(sizes::weighed_at(text, manner)?.into()),
        Reads::Bending => words::bending(text)?,
        Reads::YesNo => words::yes_no(text)?,
        Reads::Devices => counts::devices(text)?,
        Reads::Audience => word(words::audience(text, manner)?.word()),
        Reads::Surfaces => words::surfaces(text)?,
        Reads::Purposes => words::purposes(text)?,
        Reads::Status => words::status(text)?,
        Reads::SizeSystem => word(words::size_system(text)?.word()),
        Reads::Gtin => codes::gtin(text, manner, notes)?,
        Reads::Quantity => counts::quantity(text, manner)?,
        Reads::Price => money::price(text, manner)?,
    };
    Ok(vec![(column, value)])
}

/// Whether what is taken out of its cells changes what is kept.
fn is_text(column: &Column) -> bool {
    matches!(column.reads, Reads::Text | Reads::Replaces | Reads::KindUnknown)
}

fn fault(code: Code, say: impl Into<String>) -> CellFault {
    CellFault { code, say: say.into() }
}

/// A text between quotes, as a message quotes it: what is long, or not seen, is shown in short. The finding holds it
/// whole.
fn quoted(text: &str) -> String {
    const SHOWN: usize = 60;
    let mut shown = String::from("\"");
    for c in text.chars().take(SHOWN) {
        if c.is_control() || crate::characters::is_invisible(c) || crate::characters::is_bidi(c) {
            let _ = write!(shown, "\\u{{{:x}}}", c as u32);
        } else {
            shown.push(c);
        }
    }
    shown + if text.chars().nth(SHOWN).is_some() { "…\"" } else { "\"" }
}

/// A text without the quote mark that keeps a spreadsheet from taking it for a formula; exports write it, and exactly
/// one comes off again.
fn without_guard(text: &str) -> &str {
    text.strip_prefix('\'').filter(|rest| rest.starts_with(['=', '+', '-', '@'])).unwrap_or(text)
}

#[cfg(test)]
mod tests;
