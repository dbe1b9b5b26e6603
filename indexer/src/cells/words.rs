//! Cells that hold words: bending, yes and no, audiences, surfaces, purposes.

use catalogue::size::SizeSystem;
use catalogue::style::{Audience, BendingWord, Purpose, Surface};

use super::{CellFault, fault, tidy};
use crate::draft::Value;
use crate::finding::Code;
use crate::heading::system_of;

pub(super) fn bending(text: &str) -> Result<Value, CellFault> {
    let lower = text.to_lowercase();
    let word = match lower.as_str() {
        "sehr biegsam" => Some(BendingWord::VeryFlexible),
        "biegsam" => Some(BendingWord::Flexible),
        "mittel" => Some(BendingWord::Medium),
        "steif" => Some(BendingWord::Stiff),
        "sehr steif" => Some(BendingWord::VeryStiff),
        step if step.len() == 1 => step.parse().ok().and_then(BendingWord::from_step),
        other => BendingWord::from_word(other),
    };
    if let Some(word) = word {
        return Ok(Value::Text(format!("word:{}", word.word())));
    }
    let has = |test: fn(&char) -> bool| lower.chars().any(|c| test(&c));
    if has(|c| c.is_ascii_digit()) && has(|c| c.is_alphabetic()) {
        return Ok(Value::Text(format!("value:{}", tidy(text))));
    }
    Err(unknown_word(
        text,
        "very flexible, flexible, medium, stiff, very stiff, 1 to 5, or a value with its unit",
    ))
}

fn unknown_word(text: &str, known: &str) -> CellFault {
    fault(Code::WordUnknown, format!("\"{text}\" is not known here. Use {known}."))
}

pub(super) fn yes_no(text: &str) -> Result<Value, CellFault> {
    match text.to_lowercase().as_str() {
        "yes" | "y" | "ja" | "j" | "true" | "1" => Ok(Value::Int(1)),
        "no" | "n" | "nein" | "false" | "0" => Ok(Value::Int(0)),
        _ => Err(unknown_word(text, "yes or no")),
    }
}

pub(super) fn audience(text: &str) -> Result<Audience, CellFault> {
    match text.to_lowercase().as_str() {
        "women" | "woman" | "womens" | "women's" | "w" | "female" | "ladies" | "damen" => Ok(Audience::Women),
        "men" | "man" | "mens" | "men's" | "m" | "male" | "herren" => Ok(Audience::Men),
        "unisex" | "u" => Ok(Audience::Unisex),
        "youth" | "kids" | "junior" | "children" | "kinder" | "jugend" => Ok(Audience::Youth),
        _ => Err(unknown_word(text, "women, men, unisex or youth")),
    }
}

pub(super) fn surface(word: &str) -> Option<Surface> {
    match word {
        "road" | "straße" | "strasse" => Some(Surface::Road),
        "trail" | "gelände" => Some(Surface::Trail),
        "track" | "bahn" => Some(Surface::Track),
        "indoor" | "halle" => Some(Surface::Indoor),
        _ => None,
    }
}

pub(super) fn purpose(word: &str) -> Option<Purpose> {
    match word {
        "daily" | "training" | "alltag" => Some(Purpose::Daily),
        "tempo" => Some(Purpose::Tempo),
        "race" | "racing" | "wettkampf" => Some(Purpose::Race),
        "long" | "lang" => Some(Purpose::Long),
        "walk" | "walking" | "gehen" => Some(Purpose::Walk),
        _ => None,
    }
}

/// A list of words as canonical words in their own order; one unknown word holds the cell.
pub(super) fn listed<T: Copy + PartialEq>(
    text: &str,
    find: fn(&str) -> Option<T>,
    all: &[T],
    word: fn(T) -> &'static str,
) -> Result<Value, CellFault> {
    let mut found = Vec::new();
    for part in text.to_lowercase().split([';', ',', '/', '+', '&']).map(str::trim).filter(|p| !p.is_empty())
    {
        let known: Vec<_> = all.iter().map(|member| word(*member)).collect();
        found.push(find(part).ok_or_else(|| unknown_word(part, &known.join(", ")))?);
    }
    let words: Vec<_> =
        all.iter().filter(|member| found.contains(member)).map(|member| word(*member)).collect();
    Ok(Value::Text(words.join(",")))
}

pub(super) fn status(text: &str) -> Result<Value, CellFault> {
    match text.to_lowercase().as_str() {
        "retired" | "discontinued" | "ausgelaufen" => Ok(Value::Text("retired".to_owned())),
        "in range" | "active" | "current" | "aktiv" => Ok(Value::Text("in range".to_owned())),
        _ => Err(unknown_word(text, "in range or retired")),
    }
}

pub(super) fn size_system(text: &str) -> Result<SizeSystem, CellFault> {
    system_of(text).ok_or_else(|| unknown_word(text, "EU, UK, US, MP or CM"))
}
