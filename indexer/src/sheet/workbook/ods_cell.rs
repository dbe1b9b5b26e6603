//! One cell of an `.ods`: its value as it is stored, and its text as it is displayed.
//!
//! The number formats of OpenDocument stand in styles of many layers, but the text that they make stands in the
//! cell. So the value gives the digits, and the text what a format adds to them: zeros, a fraction, a unit.

use super::super::WorkbookFault as Fault;
use super::format::Shows;
use super::number::{Stored, Text, shown};
use super::xlsx_sheet::day;
use super::xml::Tag;

/// A cell as it is read.
#[derive(Default)]
pub(super) struct Cell {
    pub(super) repeated: u64,
    /// Under another cell that is merged over it.
    pub(super) covered: bool,
    /// Rows and columns, where it is merged over others.
    pub(super) spans: Option<(u64, u64)>,
    kind: Kind,
    value: String,
    currency: String,
    origin: Origin,
    text: String,
    /// A paragraph has ended; the next begins a line.
    break_due: bool,
    /// The last character was white space of the XML, of which a run is one blank.
    blank: bool,
}

/// What a cell stores (ODF 1.3 part 3, 19.387).
#[derive(Clone, Copy, Default, PartialEq, Eq)]
enum Kind {
    #[default]
    None,
    Number,
    Percentage,
    Currency,
    Date,
    Time,
    Boolean,
    String,
}

/// Where a cell's value comes from.
#[derive(Clone, Copy, Default, PartialEq, Eq)]
enum Origin {
    #[default]
    Typed,
    Formula,
    /// A formula that failed.
    Error,
}

impl Cell {
    pub(super) fn of(tag: &Tag<'_>, repeated: u64, covered: bool) -> Self {
        let (kind, value) = match tag.get("office:value-type").as_deref() {
            Some("float") => (Kind::Number, "office:value"),
            Some("percentage") => (Kind::Percentage, "office:value"),
            Some("currency") => (Kind::Currency, "office:value"),
            Some("date") => (Kind::Date, "office:date-value"),
            Some("time") => (Kind::Time, "office:time-value"),
            Some("boolean") => (Kind::Boolean, "office:boolean-value"),
            Some("string") => (Kind::String, "office:string-value"),
            _ => (Kind::None, "office:string-value"),
        };
        let span = |key| tag.get(key).and_then(|number| number.parse().ok());
        let spans = (span("table:number-rows-spanned"), span("table:number-columns-spanned"));
        Self {
            repeated,
            covered,
            spans: (spans != (None, None)).then(|| (spans.0.unwrap_or(1), spans.1.unwrap_or(1))),
            kind,
            value: tag.get(value).unwrap_or_default().into(),
            currency: tag.get("office:currency").unwrap_or_default().into(),
            origin: match (tag.get("calcext:value-type").as_deref(), tag.get("table:formula")) {
                (Some("error"), _) => Origin::Error,
                (_, Some(_)) => Origin::Formula,
                (_, None) => Origin::Typed,
            },
            blank: true,
            ..Self::default()
        }
    }

    /// Text within a paragraph, its white space as ODF 1.3 part 3, 6.1.2 takes it.
    pub(super) fn add(&mut self, text: &str) -> Result<(), Fault> {
        for character in text.chars() {
            let blank = matches!(character, ' ' | '\t' | '\r' | '\n');
            if !(blank && self.blank) {
                self.put(if blank { ' ' } else { character })?;
            }
            self.blank = blank;
        }
        Ok(())
    }

    /// An element within a paragraph: blanks, tabs and line breaks are elements of their own.
    pub(super) fn mark(&mut self, name: &str, tag: &Tag<'_>) -> Result<(), Fault> {
        match name {
            "p" if std::mem::take(&mut self.break_due) => self.put('\n')?,
            "p" => {}
            "s" => {
                let count = tag.get("text:c").and_then(|count| count.parse::<u64>().ok());
                for _ in 0..count.unwrap_or(1) {
                    self.put(' ')?;
                }
            }
            "tab" => self.put('\t')?,
            "line-break" => self.put('\n')?,
            _ => return Ok(()),
        }
        self.blank = name == "p";
        Ok(())
    }

    pub(super) fn paragraph_ends(&mut self) {
        if self.blank && self.text.ends_with(' ') {
            self.text.pop();
        }
        (self.break_due, self.blank) = (true, true);
    }

    fn put(&mut self, character: char) -> Result<(), Fault> {
        const LONGEST: usize = 1 << 20;
        self.text.push(character);
        if self.text.len() > LONGEST { Err(Fault::Shape) } else { Ok(()) }
    }

    pub(super) fn stored(self) -> Stored {
        let Self { kind, value, text, .. } = self;
        let failed = kind == Kind::None || text.starts_with('#') || text.starts_with("Err:");
        if self.origin == Origin::Error || (self.origin == Origin::Formula && failed) {
            return Stored::NoResult;
        }
        let number = |shows| Stored::Text(shown(&value, &shows, false));
        match kind {
            Kind::None | Kind::String if text.is_empty() => Stored::plain(value),
            Kind::None | Kind::String => Stored::plain(text),
            Kind::Boolean => Stored::plain(if value == "true" { "yes" } else { "no" }.into()),
            Kind::Date => Stored::plain(day(&value)),
            Kind::Time => Stored::plain(if text.is_empty() { value } else { text }),
            _ if value.is_empty() => Stored::plain(text),
            Kind::Percentage => number(Shows::Percent),
            Kind::Currency if !self.currency.is_empty() => number(Shows::Money(self.currency)),
            Kind::Number | Kind::Currency => {
                Stored::Text(displayed(shown(&value, &Shows::Plain, false), &text))
            }
        }
    }
}

/// A number with what its display adds: zeros in front, a fraction, words behind it.
fn displayed(number: Text, text: &str) -> Text {
    let Text::Number(digits) = number else { return number };
    let code = text.len() > digits.len() && text.bytes().all(|byte| byte.is_ascii_digit());
    if code && text.trim_start_matches('0') == digits.trim_start_matches('0') {
        return Text::Plain(text.into());
    }
    if is_fraction(text) {
        return Text::Plain(text.into());
    }
    let behind = text.trim_start_matches(|c: char| {
        c.is_ascii_digit() || matches!(c, '.' | ',' | '-' | '\u{202F}' | '\u{A0}')
    });
    let unit = behind.trim_start();
    let scientific = unit.starts_with(['E', 'e'])
        && unit.get(1..2).is_some_and(|c| c.starts_with(['+', '-']) || c.as_bytes()[0].is_ascii_digit());
    let words =
        unit.starts_with(|c: char| c.is_alphabetic() || c == '″' || c == '"') && behind.len() < text.len();
    if words && !scientific && !unit.bytes().any(|byte| byte.is_ascii_digit()) {
        return Text::Number(format!("{digits}{behind}"));
    }
    Text::Number(digits)
}

/// `42 2/3` or `2/3`.
fn is_fraction(text: &str) -> bool {
    let digits = |part: &str| !part.is_empty() && part.bytes().all(|byte| byte.is_ascii_digit());
    let Some((top, bottom)) = text.split_once('/') else { return false };
    let (whole, top) = top.trim().rsplit_once(' ').unwrap_or(("0", top.trim()));
    digits(whole.trim_end()) && digits(top) && digits(bottom.trim())
}

#[cfg(test)]
mod tests {
    use super::*;

    fn shown_as(value: &str, text: &str) -> Text {
        displayed(shown(value, &Shows::Plain, false), text)
    }

    #[test]
    fn the_display_adds_zeros_fractions_and_units_and_takes_no_digit_away() {
        for (value, text, meant) in [
            ("123", "000123", Text::Plain("000123".into())),
            ("42.6666666666667", "42 2/3", Text::Plain("42 2/3".into())),
            ("8.46", "8,5 mm", Text::Number("8.46 mm".into())),
            ("280", "280g", Text::Number("280g".into())),
            ("18.8", "18,80", Text::Number("18.8".into())),
            ("1234.5", "1.234,50", Text::Number("1234.5".into())),
            ("4006381333931", "4.01E+12", Text::Number("4006381333931".into())),
            ("5", "", Text::Number("5".into())),
            ("5", "###", Text::Number("5".into())),
        ] {
            assert_eq!(shown_as(value, text), meant, "{value} shown as {text}");
        }
    }
}
