//! What was typed into the form of a shoe, read: corrections, or what is wrong at which field.

use catalogue::key::StyleKey;
use indexer::cells::{Manner, said};
use indexer::columns::{Column, Reads};
use indexer::draft::Value;
use indexer::proposal::Entity;
use indexer::snapshot::Snapshot;
use indexer::store::Correction;

use crate::owner::edit::{GROUPS, NOTE, NOTE_TICK, NOTE_WORDS, REASONS, Shoe, note_parts};
use crate::parts::form::Answers;
use crate::parts::problems::Problem;
use crate::words;

/// Characters of one field.
const LONGEST: usize = 1_000;
/// Characters of a reason.
const LONGEST_REASON: usize = 200;

/// A cell as it is said: its column, and its value.
type Said = (&'static Column, Option<Value>);

/// The corrections that a form says, one a cell that is another now; or everything that is wrong with it.
pub fn read(
    shoe: &Shoe<'_>,
    answers: &Answers,
    snapshot: &Snapshot,
) -> Result<Vec<Correction>, Vec<Problem>> {
    let (mut said, mut problems) = (Vec::new(), Vec::new());
    let columns = GROUPS.iter().flat_map(|(_, columns)| *columns).chain([&NOTE]);
    for column in columns.filter_map(|key| Column::find(key)) {
        match cell(shoe, column, answers, snapshot) {
            Ok(changed) => said.extend(changed),
            Err(say) => problems.push(problem(column.key, say)),
        }
    }
    let text = reason(answers).map_err(|problem| problems.push(problem)).unwrap_or_default();
    if said.is_empty() && problems.iter().all(|problem| problem.field.starts_with("reason")) {
        let say = say!("Nothing differs from what stands here. Change a value, then send the form.");
        return Err(vec![problem("", say.to_owned())]);
    }
    if !problems.is_empty() {
        return Err(problems);
    }
    let key = shoe.style.key.to_string();
    let correction = |(column, value): Said| Correction {
        entity: Entity::Style,
        key: key.clone(),
        column,
        value,
        text: text.clone(),
    };
    Ok(said.into_iter().map(correction).collect())
}

/// One cell: `None` where nothing else is said of it.
fn cell(
    shoe: &Shoe<'_>,
    column: &'static Column,
    answers: &Answers,
    snapshot: &Snapshot,
) -> Result<Option<Said>, String> {
    if !answers.0.iter().any(|(name, _)| name == column.key) {
        return Ok(None);
    }
    let typed = typed(column, answers);
    if typed == stands(shoe, column) {
        return Ok(None);
    }
    if typed.chars().count() > LONGEST {
        return Err(say!("At most {value} characters. Shorten it.", value = LONGEST));
    }
    let value = value(shoe, column, &typed, snapshot)?;
    if value.is_none() && column.key == "name" {
        return Err(say!("A shoe needs a name. Type one.").to_owned());
    }
    Ok((value.as_ref() != shoe.value(column.key)).then_some((column, value)))
}

/// What is typed for a column; for the shop's note its ticks too.
fn typed(column: &Column, answers: &Answers) -> String {
    let text = answers.get(column.key).trim();
    if column.key != NOTE {
        return text.to_owned();
    }
    let ticked = NOTE_WORDS.into_iter().filter(|word| answers.has(NOTE_TICK, word));
    ticked.chain(Some(text).filter(|text| !text.is_empty())).collect::<Vec<_>>().join(", ")
}

/// What stands in the field of a column before anything is typed.
fn stands(shoe: &Shoe<'_>, column: &Column) -> String {
    let stands = shoe.as_typed(column);
    if column.key != NOTE {
        return stands;
    }
    let (ticked, free) = note_parts(&stands);
    let ticked = NOTE_WORDS.into_iter().filter(|word| ticked.iter().any(|ticked| ticked == word));
    ticked.chain(Some(free.as_str()).filter(|free| !free.is_empty())).collect::<Vec<_>>().join(", ")
}

fn value(
    shoe: &Shoe<'_>,
    column: &'static Column,
    typed: &str,
    snapshot: &Snapshot,
) -> Result<Option<Value>, String> {
    match heard(column, typed)? {
        Some(Value::Text(number)) if column.reads == Reads::Replaces => {
            replaced(shoe, &number, snapshot).map(Some)
        }
        value => Ok(value),
    }
}

/// What a text says under a column, and of nothing else.
pub(super) fn heard(column: &'static Column, typed: &str) -> Result<Option<Value>, String> {
    let mut said = said(column, typed, Manner::new(decimal_mark(typed), None))
        .map_err(|fault| words::made(&fault.say))?;
    let own = said.iter().position(|(of, _)| *of == column).map(|at| said.swap_remove(at).1);
    match (own, said.first()) {
        (None, Some((other, _))) => {
            Err(say!("This speaks of the {headings}. Type it there.", headings = other.headings[0]))
        }
        (value, _) => Ok(value),
    }
}

/// The last of the two marks is the decimal mark: `32,5`, `1.299,00`, `9.4 oz`.
fn decimal_mark(typed: &str) -> char {
    if typed.rfind(',') > typed.rfind('.') { ',' } else { '.' }
}

/// The style that this one follows: a number of the same maker, or the key of any.
fn replaced(shoe: &Shoe<'_>, typed: &str, snapshot: &Snapshot) -> Result<Value, String> {
    let of_maker = StyleKey::of_number(&shoe.style.maker, typed);
    let known = |key: &StyleKey| snapshot.style(key).is_some() && *key != shoe.style.key;
    let found = of_maker.filter(known).or_else(|| StyleKey::parse(typed).filter(known));
    found.map(|key| Value::Text(key.to_string().into())).ok_or_else(|| {
        say!("The catalogue holds no other shoe of {maker} with the number “{typed}”. Type its number as the sheet prints it.", maker = shoe.style.maker, typed)
    })
}

/// The word that stands at the values: `measured in the shop: calliper, second pair`.
pub(super) fn reason(answers: &Answers) -> Result<String, Problem> {
    let chosen = REASONS.iter().find(|(value, _)| *value == answers.get("reason"));
    let Some((_, word)) = chosen else {
        let say = say!("Say where the values come from: corrected, measured here, or told by the supplier.");
        return Err(problem("reason", say.to_owned()));
    };
    let own = answers.get("reason_words").split_whitespace().collect::<Vec<_>>().join(" ");
    let own: String = own.chars().filter(|letter| !letter.is_control()).collect();
    match own.chars().count() {
        0 => Ok((*word).to_owned()),
        1..=LONGEST_REASON => Ok(format!("{word}: {own}")),
        _ => Err(problem(
            "reason_words",
            say!("At most {value} characters. Shorten it.", value = LONGEST_REASON),
        )),
    }
}

pub(super) fn problem(field: &str, say: String) -> Problem {
    Problem { field: field.to_owned(), say }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn answers(fields: &[(&str, &str)]) -> Answers {
        Answers(fields.iter().map(|(name, value)| ((*name).to_owned(), (*value).to_owned())).collect())
    }

    #[test]
    fn the_last_mark_is_the_decimal_mark() {
        let marks = ["32,5", "9.4 oz", "1.299,00", "1,299.00", "8"].map(decimal_mark);
        assert_eq!(marks, [',', '.', ',', '.', '.']);
    }

    #[test]
    fn a_reason_is_one_of_three_with_own_words_behind_it() {
        let told = reason(&answers(&[("reason", "measured"), ("reason_words", " second \n pair ")]));
        assert_eq!(told.unwrap(), "measured in the shop: second pair");
        assert_eq!(reason(&answers(&[("reason", "guessed")])).unwrap_err().field, "reason");
        let long = "x".repeat(LONGEST_REASON + 1);
        let refused = reason(&answers(&[("reason", "told"), ("reason_words", &long)]));
        assert_eq!(refused.unwrap_err().field, "reason_words");
    }

    #[test]
    fn ticks_and_other_words_are_one_note() {
        let column = Column::find(NOTE).unwrap();
        let said = answers(&[(NOTE_TICK, "roomy toes"), (NOTE_TICK, "runs short"), (NOTE, "stiff tongue")]);
        assert_eq!(typed(column, &said), "runs short, roomy toes, stiff tongue");
    }
}
