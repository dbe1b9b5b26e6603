//! What a supplier could tell, as a letter: plain words, a line a shoe, ready to be mailed.

use std::fmt::Write as _;

use super::{Shoe, WANTED, contradictions};

/// Whether a supplier could mend anything of a shoe.
fn is_asked_about(shoe: &Shoe<'_>) -> bool {
    !wants(shoe).is_empty() || !contradictions(std::slice::from_ref(shoe)).is_empty()
}

/// The letter about these shoes, all of one supplier; `None` when there is nothing to ask.
pub fn letter(supplier: &str, shoes: &[Shoe<'_>]) -> Option<String> {
    let asked: Vec<_> = shoes.iter().filter(|shoe| is_asked_about(shoe)).collect();
    if asked.is_empty() {
        return None;
    }
    let mut text = format!(
        "What we are asking you for\n\nTo: {supplier}\n\nSome values of your range are not on the sheets we have, or \
         do not agree with each other ({} of {} styles). Please send us what you can: any sheet will do, with the \
         style number in a column of its own.\n",
        asked.len(),
        shoes.iter().filter(|shoe| !shoe.style.retired).count()
    );
    for shoe in asked {
        push(&mut text, shoe);
    }
    text.push_str("\nThank you.\n");
    Some(text)
}

fn push(text: &mut String, shoe: &Shoe<'_>) {
    let number = shoe.style.number.as_deref().unwrap_or("no style number");
    // Writing to a string does not fail.
    let _ = writeln!(text, "\n{number}  {} {}", one_line(&shoe.style.maker), one_line(&shoe.style.name));
    for wanted in wants(shoe) {
        let _ = writeln!(text, "  - {wanted}");
    }
    for doubt in contradictions(std::slice::from_ref(shoe)) {
        let _ = writeln!(text, "  - please check: {}", doubt.say);
    }
}

fn wants(shoe: &Shoe<'_>) -> Vec<&'static str> {
    WANTED.iter().filter(|wanted| wanted.is_missing(shoe)).filter_map(|wanted| wanted.ask).collect()
}

fn one_line(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}
