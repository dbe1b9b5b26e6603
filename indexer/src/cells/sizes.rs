//! Cells that hold a size: a label with or without its system, at times in two systems, at times turned into a date.

use catalogue::size::{FootLength, SizeLabel, SizeSystem};
use catalogue::style::Audience;

use super::dates::{DayMonth, date_in};
use super::digits::plain_signs;
use super::manner::Manner;
use super::{CellFault, fault, quoted};
use crate::columns::{SIZE, SIZE_SYSTEM};
use crate::draft::Value;
use crate::finding::Code;
use crate::heading::{is_word_of, system_of};

/// A size as a cell says it.
#[derive(Clone, Debug, PartialEq, Eq)]
struct Said {
    label: SizeLabel,
    /// The system that the cell itself names.
    named: Option<SizeSystem>,
    /// For whom, when the cell says it.
    whom: Option<Audience>,
}

/// Reads a size: the label as printed, and its system when the cell names one.
pub(super) fn size(text: &str, manner: Manner, notes: &mut Vec<CellFault>) -> Result<super::Said, CellFault> {
    let said = read(text, manner, notes)?;
    if said.whom.is_some() {
        let say = format!(
            "{} says for whom it is. Only the column for that is taken; check that it says the same.",
            quoted(text)
        );
        notes.push(fault(Code::SizeOfWhom, say));
    }
    let system = said.named.map(|system| (&SIZE_SYSTEM, Value::Text(system.word().into())));
    let label = (&SIZE, Value::Text(said.label.printed().into()));
    Ok([label].into_iter().chain(system).collect())
}

/// The size a shoe was weighed at, with its system: `EU 42`.
pub(super) fn weighed_at(text: &str, manner: Manner) -> Result<String, CellFault> {
    let said = read(text, manner, &mut Vec::new()).map_err(|told| fault(Code::WordUnknown, told.say))?;
    if said.label.system().is_some() {
        return Ok(said.label.to_string());
    }
    let say = format!("{} does not say in which system. Write EU, UK or US before it.", quoted(text));
    Err(fault(Code::WordUnknown, say))
}

fn read(text: &str, manner: Manner, notes: &mut Vec<CellFault>) -> Result<Said, CellFault> {
    let plain = plain_signs(text);
    let said = match one(&plain, manner) {
        Some(said) => said,
        None => several(&plain, text, manner, notes)?.ok_or_else(|| no_size(text, &plain))?,
    };
    in_range(text, &said)?;
    Ok(said)
}

/// `42`, `UK8`, `42 2/3 EU`, `US M 9`, `K 13`: words before and behind one label.
fn one(text: &str, manner: Manner) -> Option<Said> {
    let is_label = |c: char| c.is_ascii_digit() || "½⅓⅔¼¾".contains(c);
    // `-42` is no size, and `8-` may be a half.
    if text.starts_with('-') || text.ends_with('-') {
        return None;
    }
    let start = text.find(is_label)?;
    let end = text.rfind(is_label).map(|at| at + text[at..].chars().next().map_or(0, char::len_utf8))?;
    let (mut named, mut whom) = (None, None);
    for word in words(&text[..start]) {
        match (system_of(word).or_else(|| european(word)), for_whom(word)) {
            (Some(system), _) => named = Some(system),
            (_, Some(audience)) => whom = Some(audience),
            _ if is_word_of(&SIZE, word) => {}
            _ => return None,
        }
    }
    // Behind a label a single M, W or D may be its width, so only systems and words stand there.
    for word in words(&text[end..]) {
        match (system_of(word).or_else(|| european(word)), for_whom(word)) {
            (Some(system), _) => named = Some(system),
            (_, Some(audience)) if word.len() > 1 || audience == Audience::Youth => whom = Some(audience),
            _ => return None,
        }
    }
    let label = SizeLabel::parse(named.or(manner.system()), &text[start..end])?;
    Some(Said { label, named, whom })
}

fn words(text: &str) -> impl Iterator<Item = &str> {
    text.split([' ', '.', ':', '-', '\'']).filter(|word| !word.is_empty())
}

/// `EUR 42` is a size, wherever it is no price.
fn european(word: &str) -> Option<SizeSystem> {
    word.eq_ignore_ascii_case("eur").then_some(SizeSystem::Eu)
}

fn for_whom(word: &str) -> Option<Audience> {
    match word.to_lowercase().as_str() {
        "m" | "men" | "mens" | "herren" => Some(Audience::Men),
        "w" | "women" | "womens" | "damen" => Some(Audience::Women),
        "y" | "k" | "kids" | "youth" | "junior" | "kinder" => Some(Audience::Youth),
        _ => None,
    }
}

/// `US 9 / EU 42`: the first named system is taken, when the others name the same foot.
fn several(
    plain: &str,
    text: &str,
    manner: Manner,
    notes: &mut Vec<CellFault>,
) -> Result<Option<Said>, CellFault> {
    let parts: Option<Vec<Said>> =
        parts(plain).iter().map(|part| one(part, manner).filter(|said| said.named.is_some())).collect();
    let Some((first, others)) =
        parts.as_deref().and_then(<[Said]>::split_first).filter(|(_, others)| !others.is_empty())
    else {
        return Ok(None);
    };
    if let Some(other) = others.iter().find(|other| !same_foot(first, other)) {
        let say = format!(
            "{}: {} and {} are not the same foot. Ask the supplier which is right.",
            quoted(text),
            first.label,
            other.label
        );
        return Err(fault(Code::SizesDisagree, say));
    }
    notes.push(fault(
        Code::SizeOfTwo,
        format!("{} names several systems; {} is taken.", quoted(text), first.label),
    ));
    Ok(Some(first.clone()))
}

/// Split at bars and brackets that stand between a size and a word, never within `2/3`.
fn parts(text: &str) -> Vec<&str> {
    let letter = |c: Option<char>| c.is_some_and(char::is_alphabetic);
    let mut parts = Vec::new();
    let mut from = 0;
    for (at, c) in text.char_indices().filter(|(_, c)| "/(|=;,".contains(*c)) {
        let before = text[..at].trim_end().chars().next_back();
        let behind = text[at + c.len_utf8()..].trim_start().chars().next();
        if letter(before) || letter(behind) {
            parts.push(text[from..at].trim());
            from = at + c.len_utf8();
        }
    }
    parts.push(text[from..].trim_matches([' ', ')']));
    parts
}

/// Whether two labels name one foot: each may be half a size of its own system off, as charts of the trade are.
fn same_foot(one: &Said, other: &Said) -> bool {
    let audiences = match one.whom.or(other.whom) {
        Some(audience) => vec![audience],
        None => vec![Audience::Men, Audience::Women, Audience::Youth],
    };
    let foot = |said: &Said, audience| Some((said.label.foot(Some(audience))?, said.label.system()?));
    audiences.into_iter().any(|audience| match (foot(one, audience), foot(other, audience)) {
        (Some((a, first)), Some((b, second))) => apart(a, b) <= first.half_size() + second.half_size(),
        _ => false,
    })
}

fn apart(a: FootLength, b: FootLength) -> i32 {
    (a.in_360ths() - b.in_360ths()).abs()
}

/// The labels a system has, in whole sizes; common practice.
fn in_range(text: &str, said: &Said) -> Result<(), CellFault> {
    let twelfths = said.label.twelfths();
    let (from, to) = match said.label.system() {
        Some(SizeSystem::Eu) => (15, 55),
        Some(SizeSystem::Uk) => (0, 20),
        Some(SizeSystem::Us) => (0, 21),
        Some(SizeSystem::Mondopoint) => (90, 360),
        Some(SizeSystem::Cm) => (9, 36),
        None if twelfths > 60 * 12 => (90, 360),
        None => return Ok(()),
    };
    if (from * 12..=to * 12).contains(&twelfths) {
        return Ok(());
    }
    let system = said.label.system().map_or("any system", SizeSystem::word);
    Err(out_of_range(text, system, &format!(" They run from {from} to {to}.")))
}

fn out_of_range(text: &str, system: &str, run: &str) -> CellFault {
    let lost_mark = text.strip_suffix('5').filter(|whole| whole.len() == 2);
    let hint = lost_mark.map_or_else(String::new, |whole| format!(" It may be {whole}.5 without its mark."));
    let say = format!("{} is no size of {system}.{run}{hint} Check the size and its system.", quoted(text));
    fault(Code::SizeOutOfRange, say)
}

fn no_size(text: &str, plain: &str) -> CellFault {
    let how = "Format the column as text and enter the size again.";
    if let Some(date) = date_in(plain) {
        let was = DayMonth::probably(date).map_or_else(String::new, |was| format!(" It was probably {was}."));
        return fault(
            Code::SizeIsDate,
            format!("{} is a date: a spreadsheet has changed a size.{was} {how}", quoted(text)),
        );
    }
    if plain.parse::<u32>().is_ok_and(|number| number > 400) {
        return out_of_range(text, "any system", "");
    }
    let hint = match plain.strip_suffix(['-', '+']) {
        Some(whole) if whole.bytes().all(|b| b.is_ascii_digit()) && !whole.is_empty() => {
            format!(" If it is {whole}.5, write that.")
        }
        _ => String::new(),
    };
    let say = format!(
        "{} is no size. Sizes are numbers such as 42, 42.5, 42 2/3 or 9½, with EU, UK or US before them; a width has its own column.{hint}",
        quoted(text)
    );
    fault(Code::SizeNotRead, say)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn words_of(text: &str) -> Result<Vec<String>, Code> {
        let said = size(text, Manner::new('.', None), &mut Vec::new()).map_err(|fault| fault.code)?;
        let word =
            |value: Value| if let Value::Text(word) = value { word.to_string() } else { String::new() };
        Ok(said.into_iter().map(|(_, value)| word(value)).collect())
    }

    fn noted(text: &str) -> Vec<Code> {
        let mut notes = Vec::new();
        size(text, Manner::new('.', None), &mut notes).unwrap();
        notes.into_iter().map(|note| note.code).collect()
    }

    #[test]
    fn a_size_may_name_its_system_before_or_behind_it() {
        for text in ["UK 8", "UK8", "8 UK", "uk: 8", "Size UK 8"] {
            assert_eq!(words_of(text), Ok(vec!["8".to_owned(), "UK".to_owned()]), "{text}");
        }
        assert_eq!(words_of("EU42"), Ok(vec!["42".to_owned(), "EU".to_owned()]));
        assert_eq!(words_of("EUR 42 2/3"), Ok(vec!["42 2/3".to_owned(), "EU".to_owned()]));
        assert_eq!(words_of("US M 9"), Ok(vec!["9".to_owned(), "US".to_owned()]));
        assert_eq!(words_of("42"), Ok(vec!["42".to_owned()]));
    }

    #[test]
    fn fractions_are_read_in_every_spelling() {
        for text in ["42 2/3", "42⅔", "42 ⅔", "42.2/3", "42-2/3", "42,67", "42.7"] {
            assert_eq!(words_of(text), Ok(vec![text.to_owned()]));
        }
        for text in ["8½", "8 ½", "8 1/2", "8.5", "8,5", "8-1/2"] {
            assert_eq!(SizeLabel::parse(None, text).map(|label| label.twelfths()), Some(102), "{text}");
        }
    }

    #[test]
    fn a_size_for_somebody_is_read_and_told() {
        assert_eq!(noted("US M 9"), [Code::SizeOfWhom]);
        assert_eq!(words_of("K 13"), Ok(vec!["13".to_owned()]));
        assert_eq!(noted("K 13"), [Code::SizeOfWhom]);
        assert_eq!(words_of("9 D"), Err(Code::SizeNotRead), "a width has its own column");
    }

    #[test]
    fn of_two_systems_the_first_is_taken_and_told() {
        assert_eq!(words_of("US 9 / EU 42"), Ok(vec!["9".to_owned(), "US".to_owned()]));
        assert_eq!(words_of("EU 42 2/3 (UK 8.5)"), Ok(vec!["42 2/3".to_owned(), "EU".to_owned()]));
        assert_eq!(noted("EU 42 / UK 8"), [Code::SizeOfTwo]);
        assert_eq!(words_of("EU 42 / UK 11"), Err(Code::SizesDisagree));
    }

    #[test]
    fn a_date_is_refused_with_the_size_it_was() {
        let fault = size("09. Mai", Manner::new('.', None), &mut Vec::new()).unwrap_err();
        assert_eq!(fault.code, Code::SizeIsDate);
        assert!(fault.say.contains("9.5") && fault.say.contains("as text"), "{}", fault.say);
    }

    #[test]
    fn a_size_beyond_its_system_is_out_of_range() {
        assert_eq!(words_of("EU 9"), Err(Code::SizeOutOfRange));
        assert_eq!(words_of("UK 42"), Err(Code::SizeOutOfRange));
        let lost = size("425", Manner::new('.', None), &mut Vec::new()).unwrap_err();
        assert!(lost.code == Code::SizeOutOfRange && lost.say.contains("42.5"), "{}", lost.say);
        assert_eq!(words_of("265"), Ok(vec!["265".to_owned()]), "a foot in mm");
    }

    #[test]
    fn a_half_in_shorthand_is_asked() {
        let fault = size("8-", Manner::new('.', None), &mut Vec::new()).unwrap_err();
        assert!(fault.say.contains("8.5"), "{}", fault.say);
    }
}
