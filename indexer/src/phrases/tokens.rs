//! What is typed, cut into numbers, words and signs.

use std::ops::Range;

/// One of them, and where it stands in bytes.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Token<'t> {
    pub(super) kind: Kind<'t>,
    pub(super) at: Range<usize>,
}

/// A number, a word in lower case, or a sign.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) enum Kind<'t> {
    /// Digits, with a decimal point or comma and the sign of a fraction where these stand: `42.5`, `42,5`, `8½`.
    Number(&'t str),
    /// Letters, an apostrophe among them.
    Word(String),
    Sign(char),
}

/// What a text is made of.
pub(super) fn of(text: &str) -> Vec<Token<'_>> {
    let mut tokens = Vec::new();
    let mut at = 0;
    while let Some(first) = text[at..].chars().next() {
        let length = match first {
            c if c.is_ascii_digit() => number(&text[at..]),
            c if c.is_alphabetic() => run(&text[at..], |c| c.is_alphabetic() || is_apostrophe(c)),
            c => c.len_utf8(),
        };
        let own = &text[at..at + length];
        let kind = match first {
            c if c.is_ascii_digit() => Some(Kind::Number(own)),
            c if c.is_alphabetic() => Some(Kind::Word(word(own))),
            c => (!c.is_whitespace()).then_some(Kind::Sign(c)),
        };
        tokens.extend(kind.map(|kind| Token { kind, at: at..at + length }));
        at += length;
    }
    tokens
}

/// In lower case, without the *s* of `men's`.
fn word(text: &str) -> String {
    let lower = text.to_lowercase().replace('\u{2019}', "'");
    lower.strip_suffix("'s").or(lower.strip_suffix('\'')).unwrap_or(&lower).to_owned()
}

fn is_apostrophe(c: char) -> bool {
    matches!(c, '\'' | '\u{2019}')
}

/// How long a number is.
fn number(text: &str) -> usize {
    let whole = run(text, |c| c.is_ascii_digit());
    let rest = &text[whole..];
    let mark = rest.starts_with(['.', ',']);
    let fraction = if mark { run(&rest[1..], |c| c.is_ascii_digit()) } else { 0 };
    let end = if fraction > 0 { whole + 1 + fraction } else { whole };
    end + run(&text[end..], |c| "½⅓⅔¼¾".contains(c))
}

fn run(text: &str, belongs: impl Fn(char) -> bool) -> usize {
    text.find(|c| !belongs(c)).unwrap_or(text.len())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_words_and_signs_are_told_apart_and_keep_their_place() {
        let text = "Men\u{2019}s 4mm, <250 g 42,5 8½";
        let tokens = of(text);
        let said: Vec<&str> = tokens.iter().map(|token| &text[token.at.clone()]).collect();
        assert_eq!(said, ["Men\u{2019}s", "4", "mm", ",", "<", "250", "g", "42,5", "8½"]);
        assert_eq!(tokens[0].kind, Kind::Word("men".into()));
        assert_eq!(tokens[7].kind, Kind::Number("42,5"));
    }
}
