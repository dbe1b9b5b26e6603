//! The table of texts that the cells of an `.xlsx` point into.

use super::super::WorkbookFault as Fault;
use super::xml::{Piece, Xml};

/// All texts in one string. What the part says of their number is not asked: it may say anything.
#[derive(Default)]
pub(super) struct Texts {
    all: String,
    ends: Vec<u32>,
}

impl Texts {
    pub(super) fn of(mut xml: Xml<'_>) -> Result<Self, Fault> {
        let mut texts = Self::default();
        let mut rich = Rich::default();
        loop {
            match xml.next()? {
                Piece::Start(tag) => rich.start(tag.name()),
                Piece::Text(text) if rich.speaks() => texts.all.push_str(&text),
                Piece::End(tag) if tag.name() == "si" => texts.ends.push(texts.all.len() as u32),
                Piece::End(tag) => rich.end(tag.name()),
                Piece::Over => return Ok(texts),
                Piece::Text(_) => {}
            }
        }
    }

    /// The text of this number, counted from 0.
    pub(super) fn get(&self, number: usize) -> Option<&str> {
        let end = *self.ends.get(number)? as usize;
        let start =
            number.checked_sub(1).map_or(Some(0), |above| self.ends.get(above).map(|end| *end as usize))?;
        self.all.get(start..end)
    }
}

/// Where in a text we are: runs of rich text are joined, hints at its pronunciation are not part of it.
#[derive(Default)]
pub(super) struct Rich {
    text: bool,
    pronounced: bool,
}

impl Rich {
    pub(super) fn start(&mut self, name: &str) {
        self.text |= name == "t";
        self.pronounced |= name == "rPh";
    }

    pub(super) fn end(&mut self, name: &str) {
        self.text &= name != "t";
        self.pronounced &= name != "rPh";
    }

    pub(super) fn speaks(&self) -> bool {
        self.text && !self.pronounced
    }
}

/// Undoes `_x000D_`, the way characters that XML cannot hold are written (ECMA-376 part 1, 22.9.2.19). What is
/// no character stays as it is written.
pub(super) fn unescaped(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    let mut rest = text;
    while let Some(at) = rest.find("_x") {
        let (before, from) = rest.split_at(at);
        out.push_str(before);
        let character = from.get(2..6).filter(|_| from.get(6..7) == Some("_")).and_then(hexadecimal);
        let taken = if character.is_some() { 7 } else { 2 };
        match character {
            Some(character) => out.push(character),
            None => out.push_str("_x"),
        }
        rest = from.get(taken..).unwrap_or_default();
    }
    out + rest
}

fn hexadecimal(digits: &str) -> Option<char> {
    let all = digits.bytes().all(|byte| byte.is_ascii_hexdigit());
    all.then(|| u32::from_str_radix(digits, 16).ok()).flatten().and_then(char::from_u32)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn escaped_characters_are_undone_and_what_is_none_is_left() {
        for (written, meant) in [
            ("a_x000D_b", "a\rb"),
            ("_x005F_x000D_", "_x000D_"),
            ("_xD800_", "_xD800_"),
            ("_x00G0_ max_x", "_x00G0_ max_x"),
            ("style_x1_é", "style_x1_é"),
            ("_x_x0041_", "_xA"),
        ] {
            assert_eq!(unescaped(written), meant);
        }
    }
}
