//! The pair worn now: from the words of the form to a style of the catalogue, retired ones included.

use catalogue::key::StyleKey;
use catalogue::measures::{Landing, Measures};
use catalogue::runner::Now;
use catalogue::style::Style;
use indexer::snapshot::{Snapshot, StyleCard};

use super::{Visit, deltas, shoe};
use crate::parts::fields::Choice;

/// As many styles are offered to choose from.
const MOST: usize = 8;

/// The style worn now, where it is one of the catalogue.
pub fn style<'s>(visit: &Visit<'s>) -> Option<StyleCard<'s>> {
    match &visit.fitting.runner.now.shoe {
        Now::Style(key) => visit.snapshot.style(key),
        Now::NotAsked | Now::Feels(_) | Now::Measured(_) => None,
    }
}

/// That the style worn now has been replaced, by what, and how that differs.
pub fn replaced(visit: &Visit<'_>, landing: Landing) -> Option<String> {
    let worn = style(visit)?;
    let newest = visit.snapshot.successors(&worn.style.key).pop()?;
    let mass = newest.measures.mass().map(|mass| mass.in_tenths());
    let differs = deltas::in_words(&newest.measures, mass, Some(&worn.measures), landing);
    let stocked =
        if worn.style.retired { say!("is no longer stocked and has been") } else { say!("has been") };
    Some(say!(
        "{worn} {stocked} replaced by {newest}: {differs}.",
        worn = shoe::name(worn.style),
        stocked,
        newest = shoe::name(newest.style),
        differs
    ))
}

/// The styles whose maker, name and number hold all of the words; too many are cut off.
pub fn candidates<'s>(snapshot: &'s Snapshot, words: &str) -> Vec<&'s Style> {
    let words: Vec<String> = words.split_whitespace().map(str::to_lowercase).collect();
    let holds = |style: &&Style| {
        let text =
            format!("{} {} {} {}", style.maker, style.name, style.number.as_deref().unwrap_or(""), style.key);
        let text = text.to_lowercase();
        words.iter().all(|word| text.contains(word.as_str()))
    };
    let found = snapshot.styles().iter().filter(holds);
    if words.is_empty() { Vec::new() } else { found.take(MOST).collect() }
}

/// The styles to choose from: those that the words may mean, and the one that is chosen.
pub fn choices(snapshot: &Snapshot, words: &str, chosen: &str) -> Vec<Choice> {
    let mut styles = candidates(snapshot, words);
    let chosen = StyleKey::parse(chosen).and_then(|key| snapshot.style(&key)).map(|card| card.style);
    styles.extend(chosen.filter(|chosen| !styles.iter().any(|style| style.key == chosen.key)));
    styles.into_iter().map(choice).collect()
}

fn choice(style: &Style) -> Choice {
    let measures = shoe::measures_in_words(&Measures::of(&style.specification, style.audience));
    let retired = if style.retired { say!("no longer stocked; ") } else { "" };
    Choice { value: style.key.to_string(), label: shoe::name(style), hint: format!("{retired}{measures}") }
}
