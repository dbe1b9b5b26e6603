//! Cells that hold words: bending, yes and no, audiences, surfaces, purposes, status.

use catalogue::size::SizeSystem;
use catalogue::style::{Audience, BendingWord, Purpose, Surface};

use super::digits::plain_signs;
use super::manner::Manner;
use super::vocabulary::{
    AUDIENCES, BENDING, PURPOSES, RETIRED, SURFACES, Vocabulary, YES_NO, find, is_both,
    is_letter_that_differs, letter_in,
};
use super::{CellFault, fault, quoted};
use crate::draft::Value;
use crate::finding::Code;
use crate::heading::{folded, system_of};

/// One of the five words, a step `4` or `4/5`, or a value with its unit, which is kept as it stands.
pub(super) fn bending(text: &str) -> Result<Value, CellFault> {
    let plain = plain_signs(text);
    if let Some(word) = find(&BENDING, &plain).or_else(|| step(&plain)) {
        return Ok(Value::Text(format!("word:{}", word.word()).into()));
    }
    let letters = plain.contains(|c: char| c.is_alphabetic());
    if plain.starts_with(|c: char| c.is_ascii_digit()) && letters {
        return Ok(Value::Text(format!("value:{text}").into()));
    }
    Err(unknown_word(
        text,
        "very flexible, flexible, medium, stiff, very stiff, 1 to 5, or a value with its unit",
    ))
}

fn step(plain: &str) -> Option<BendingWord> {
    let step =
        plain.split_once('/').map_or(plain, |(step, of)| if of.trim() == "5" { step.trim() } else { plain });
    let step = step.strip_suffix(".0").unwrap_or(step);
    step.parse().ok().filter(|_| step.len() == 1).and_then(BendingWord::from_step)
}

fn unknown_word(text: &str, known: &str) -> CellFault {
    fault(Code::WordUnknown, format!("{} is not known here. Use {known}.", quoted(text)))
}

/// Yes or no, in words, as a tick or as 1 and 0.
pub(super) fn yes_no(text: &str) -> Result<Value, CellFault> {
    let said = match text {
        "✓" | "✔" | "☑" | "✅" | "●" | "+" => Some(true),
        "✗" | "✘" | "☐" | "❌" | "○" => Some(false),
        _ => find(&YES_NO, text),
    };
    said.map(|said| Value::Int(said.into())).ok_or_else(|| unknown_word(text, "yes or no"))
}

/// Women, men, both or youth. A letter that differs by language is read only under a heading of one language.
pub(super) fn audience(text: &str, manner: Manner) -> Result<Audience, CellFault> {
    if let Some(audience) = manner.language.and_then(|language| letter_in(language, text)) {
        return Ok(audience);
    }
    if is_letter_that_differs(text) {
        let say = format!(
            "{} stands for one thing in one language and for another in the next. Write women, men, unisex or youth, or give the column a heading in the sheet's language.",
            quoted(text)
        );
        return Err(fault(Code::WordUnclear, say));
    }
    if let Some(audience) = find(&AUDIENCES, text) {
        return Ok(audience);
    }
    let unknown = || unknown_word(text, "women, men, unisex or youth");
    if is_both(text) {
        return Ok(Audience::Unisex);
    }
    let parts = text.split(['/', '&', '+', ',', ';', ' ']).filter(|part| !folded(part).is_empty());
    let parts = parts.filter(|part| !["and", "und", "et", "en", "y", "e"].contains(&folded(part).as_str()));
    let named: Vec<_> =
        parts.map(|part| find(&AUDIENCES, part)).collect::<Option<_>>().ok_or_else(unknown)?;
    let has = |audience| named.contains(&audience);
    match (has(Audience::Women), has(Audience::Men), has(Audience::Youth) || has(Audience::Unisex)) {
        (true, true, false) => Ok(Audience::Unisex),
        (true, false, false) => Ok(Audience::Women),
        (false, true, false) => Ok(Audience::Men),
        _ => Err(unknown()),
    }
}

pub(super) fn surfaces(text: &str) -> Result<Value, CellFault> {
    listed(text, &SURFACES, Surface::ALL, Surface::word)
}

pub(super) fn purposes(text: &str) -> Result<Value, CellFault> {
    listed(text, &PURPOSES, Purpose::ALL, Purpose::word)
}

/// A list of words as canonical words in their own order; one unknown word holds the cell.
fn listed<T: Copy + PartialEq>(
    text: &str,
    words: &Vocabulary<T>,
    all: &[T],
    word: fn(T) -> &'static str,
) -> Result<Value, CellFault> {
    let mut found = Vec::new();
    for part in text.split([';', ',', '/', '+', '&', '|']).map(str::trim).filter(|part| !part.is_empty()) {
        let known: Vec<_> = all.iter().map(|member| word(*member)).collect();
        found.push(find(words, part).ok_or_else(|| unknown_word(part, &known.join(", ")))?);
    }
    let words: Vec<_> =
        all.iter().filter(|member| found.contains(member)).map(|member| word(*member)).collect();
    Ok(Value::Text(words.join(",").into()))
}

pub(super) fn status(text: &str) -> Result<Value, CellFault> {
    let retired = find(&RETIRED, text).ok_or_else(|| unknown_word(text, "in range or retired"))?;
    Ok(Value::Text(if retired { "retired" } else { "in range" }.into()))
}

pub(super) fn size_system(text: &str) -> Result<SizeSystem, CellFault> {
    let plain = plain_signs(text);
    // Beside sizes EUR is the European system; beside prices it is money.
    let system = system_of(&plain).or_else(|| plain.eq_ignore_ascii_case("eur").then_some(SizeSystem::Eu));
    system.ok_or_else(|| unknown_word(text, "EU, UK, US, MP or CM"))
}
