//! Where on a shoe the words stand that were looked for, beside its maker and its name.

use std::ops::Range;

use indexer::snapshot::StyleCard;
use indexer::words::Told;

use crate::parts::marked::Marked;

/// So many characters of a long text are shown before the first mark, and so many in all.
const BEFORE: usize = 30;
const ALL: usize = 90;

/// Where beside maker and name something stands that was looked for.
pub fn found_in(card: &StyleCard<'_>, told: &Told) -> Vec<(String, Marked)> {
    let style = card.style;
    let mut colourways: Vec<&str> = card.skus.iter().map(|sku| sku.colourway.as_str()).collect();
    colourways.sort_unstable();
    colourways.dedup();
    colourways.retain(|colourway| !told.marked(colourway).is_empty());
    let of_notes = |notes: &str| told.marked(notes).first().map(|first| around(notes, first));
    let texts = [
        (say!("style number"), style.number.as_deref().map(ToOwned::to_owned)),
        (say!("colour"), Some(colourways.join(", "))),
        (say!("notes"), style.notes.as_deref().and_then(of_notes)),
        (say!("shop note"), style.shop_note.as_ref().map(ToString::to_string)),
    ];
    let marked = texts.into_iter().filter_map(|(label, text)| {
        let text = text?;
        let marks = told.marked(&text);
        (!marks.is_empty()).then(|| (label.to_owned(), Marked::of(text, marks)))
    });
    marked.collect()
}

/// As much of a long text as stands around what was found first, from the beginning of a word on.
fn around(text: &str, first: &Range<usize>) -> String {
    let before = text[..first.start].char_indices().rev().take(BEFORE).last();
    let start = before.map_or(first.start, |(at, _)| at);
    let to_word = |from: usize| text[from..first.start].find(' ').map_or(0, |blank| blank + 1);
    let start = if start == 0 { 0 } else { start + to_word(start) };
    let part: String = text[start..].chars().take(ALL).collect();
    let (before, behind) = (if start > 0 { "… " } else { "" }, start + part.len() < text.len());
    format!("{before}{part}{}", if behind { "…" } else { "" })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_long_text_is_shown_from_the_beginning_of_a_word_around_what_was_found() {
        let text = format!("{} for the wet Straße and {}", "a light shoe ".repeat(9), "more ".repeat(40));
        let at = text.find("Straße").unwrap();
        let shown = around(&text, &(at..at + "Straße".len()));
        assert!(shown.starts_with("… a light shoe  for the wet Straße and more"), "{shown}");
        assert!(shown.ends_with('…'), "{shown}");
        assert_eq!(around("for the Straße", &(8..15)), "for the Straße");
        assert_eq!(around("äöüß".repeat(20).as_str(), &(0..4)).chars().count(), 80);
    }
}
