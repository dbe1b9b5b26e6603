//! The ranked list of a fitting over the sample shop: filters added, ways out, marks, what an answer changed, a scan.

#![allow(clippy::unwrap_used, reason = "a test may fail loudly")]

mod changed;
mod marks;
mod narrow;
mod scan;
mod ways;

/// The part of a page under the heading of this id, to the next section's end.
fn section<'h>(html: &'h str, id: &str) -> &'h str {
    let from = html.split_once(&format!("aria-labelledby=\"{id}\"")).map_or("", |(_, rest)| rest);
    from.split("</section>").next().unwrap()
}

/// The number that stands right before these words.
fn number_before(text: &str, words: &str) -> usize {
    let before = text.split(words).next().unwrap();
    let digits: String = before.chars().rev().take_while(char::is_ascii_digit).collect();
    digits.chars().rev().collect::<String>().parse().unwrap()
}
