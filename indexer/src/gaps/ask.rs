//! What a supplier could tell, as a letter: plain words, a line a shoe, ready to be mailed.

use std::fmt::Write as _;

use super::{Shoe, WANTED, contradictions};
use crate::finding::Wording;

/// Whether a supplier could mend anything of a shoe.
fn is_asked_about(shoe: &Shoe<'_>) -> bool {
    !wants(shoe).is_empty() || !contradictions(std::slice::from_ref(shoe)).is_empty()
}

/// The letter about these shoes, all of one supplier; `None` when there is nothing to ask. `wording` puts each English
/// sentence into the language the letter is written in.
pub fn letter(supplier: &str, shoes: &[Shoe<'_>], wording: Wording<'_>) -> Option<String> {
    let asked: Vec<_> = shoes.iter().filter(|shoe| is_asked_about(shoe)).collect();
    if asked.is_empty() {
        return None;
    }
    let (styles, of) = (asked.len(), shoes.iter().filter(|shoe| !shoe.style.retired).count());
    let begins = [
        wording("What we are asking you for"),
        format!("{}: {supplier}", wording("To the supplier")),
        wording(&format!(
            "Values are missing on the sheets we have, or do not agree, for {styles} of {of} styles."
        )),
    ];
    let mut text = begins.join("\n\n");
    text.push('\n');
    text.push_str(&wording(
        "Please send us what you can: any sheet will do, with the style number in a column of its own.",
    ));
    text.push('\n');
    for shoe in asked {
        push(&mut text, shoe, wording);
    }
    let _ = writeln!(text, "\n{}", wording("Thank you."));
    Some(text)
}

fn push(text: &mut String, shoe: &Shoe<'_>, wording: Wording<'_>) {
    let number = shoe.style.number.as_deref().map_or_else(|| wording("no style number"), str::to_owned);
    // Writing to a string does not fail.
    let _ = writeln!(text, "\n{number}  {} {}", one_line(&shoe.style.maker), one_line(&shoe.style.name));
    for wanted in wants(shoe) {
        let _ = writeln!(text, "  - {}", wording(wanted));
    }
    for doubt in contradictions(std::slice::from_ref(shoe)) {
        let _ = writeln!(text, "  - {}: {}", wording("please check"), wording(&doubt.say));
    }
}

fn wants(shoe: &Shoe<'_>) -> Vec<&'static str> {
    WANTED.iter().filter(|wanted| wanted.is_missing(shoe)).filter_map(|wanted| wanted.ask).collect()
}

fn one_line(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}
