//! What can be wrong with one answer, and the readers that find it out.

use std::fmt;

use catalogue::injury::Answer;
use catalogue::size::SizeSystem;
use catalogue::units::{Decimal, Tenths};

use crate::words;

/// Why an answer cannot be read. Displayed as what to do instead, to stand behind the text that was read.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) enum Wrong {
    /// None of the known words.
    Word(Vec<&'static str>),
    /// No yes and no no.
    YesNo,
    /// No plain number.
    Number,
    /// More decimals than are kept.
    Decimals(u8),
    /// A number beyond what can be meant, in tenths.
    Range { from: i32, to: i32, unit: &'static str },
    /// No size label.
    Size,
    /// A size label whose system nobody has said.
    SizeSystem,
    /// A size that no runner's foot has, with the whole sizes of its system that one can have.
    SizeRange { system: SizeSystem, from: u16, to: u16 },
    /// Not the label of a width.
    Width,
    /// No key of a style.
    Key,
    /// A key that no style has.
    NoStyle,
    /// One value was expected and several came.
    OneOnly,
    /// Not two numbers.
    TwoEnds,
    /// The second number is below the first.
    EndsSwapped,
}

/// What a reader finds.
pub(super) type Read<T> = Result<T, Wrong>;

/// A number with its unit and the range that can be meant, ends included, in tenths.
///
/// The ranges are *our choice*: wide enough for anything worn, narrow enough to catch a slip of the pen.
#[derive(Clone, Copy)]
pub(super) struct Range {
    from: i32,
    to: i32,
    unit: &'static str,
}

impl Range {
    /// From and to in whole units.
    pub(super) const fn whole(from: i32, to: i32, unit: &'static str) -> Self {
        Self { from: from * 10, to: to * 10, unit }
    }

    /// Reads a number with at most one decimal as exact tenths.
    pub(super) fn tenths(self, text: &str) -> Read<i32> {
        self.within(self.decimal(text, 1)?.scaled(10, 1))
    }

    /// Reads a whole number.
    pub(super) fn units(self, text: &str) -> Read<u16> {
        let tenths = self.within(self.decimal(text, 0)?.scaled(10, 1))?;
        u16::try_from(tenths / 10).map_err(|_| self.fault())
    }

    /// Reads a number with at most two decimals as hundredths.
    pub(super) fn hundredths(self, text: &str) -> Read<u32> {
        let number = self.decimal(text, 2)?;
        self.within(number.scaled(10, 1))?;
        number.scaled(100, 1).and_then(|hundredths| u32::try_from(hundredths).ok()).ok_or(self.fault())
    }

    /// Tenths that can be meant.
    pub(super) fn within(self, tenths: Option<i32>) -> Read<i32> {
        tenths.filter(|t| (self.from..=self.to).contains(t)).ok_or(self.fault())
    }

    /// A number with at most so many decimals, with a point or a comma. `8.10` is 8.1, but `1.000` is refused: it may
    /// be a thousand. More digits than can be held are out of range.
    fn decimal(self, text: &str, decimals: u8) -> Read<Decimal> {
        let text = text.replace(',', ".");
        let kept = match text.split_once('.') {
            Some((whole, "0" | "00")) => whole,
            Some((_, fraction)) if fraction.len() == 2 => text.strip_suffix('0').unwrap_or(&text),
            _ => &text,
        };
        let only_digits = !kept.is_empty() && kept.bytes().all(|b| b.is_ascii_digit());
        let unread = if only_digits { self.fault() } else { Wrong::Number };
        let number = Decimal::parse(kept, '.').ok_or(unread)?;
        let has = kept.split_once('.').map_or(0, |(_, fraction)| fraction.len());
        if has > usize::from(decimals) { Err(Wrong::Decimals(decimals)) } else { Ok(number) }
    }

    const fn fault(self) -> Wrong {
        Wrong::Range { from: self.from, to: self.to, unit: self.unit }
    }
}

/// The member that `text` names, of all the members of a word enumeration.
pub(super) fn word<T: Copy>(text: &str, all: &[T], word: fn(T) -> &'static str) -> Read<T> {
    let named = all.iter().copied().find(|member| word(*member) == text);
    named.ok_or_else(|| Wrong::Word(all.iter().map(|member| word(*member)).collect()))
}

/// Yes or no, as a form or a file says it.
pub(super) fn yes_no(text: &str) -> Read<bool> {
    match text {
        "yes" | "true" => Ok(true),
        "no" | "false" => Ok(false),
        _ => Err(Wrong::YesNo),
    }
}

/// An answer that was given.
pub(super) fn answer(text: &str) -> Read<Answer> {
    yes_no(text).map(|said| Answer::from(Some(said)))
}

impl fmt::Display for Wrong {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Word(known) => {
                f.write_str(&say!("is not one of the words known here: {known}", known = known.join(", ")))
            }
            Self::YesNo => {
                f.write_str(say!("is neither yes nor no; write yes or no (true or false in a file)"))
            }
            Self::Number => f.write_str(say!("is no number; write digits only, such as 8 or 8.5")),
            Self::Decimals(0) => f.write_str(say!("has decimals; write a whole number")),
            Self::Decimals(1) => f.write_str(say!("is finer than a tenth; write one decimal at most")),
            Self::Decimals(most) => f.write_str(&say!("has more than {most} decimals; round it", most)),
            Self::Range { from, to, unit } => f.write_str(&say!(
                "is out of range; {from} to {to} {unit} can be meant",
                from = words::number(Tenths(*from)),
                to = words::number(Tenths(*to)),
                unit = words::of(unit)
            )),
            Self::Size => f.write_str(say!("is no size; write it as printed, such as 42, 42.5 or 42 2/3")),
            Self::SizeSystem => f.write_str(say!(
                "is a size of no known system; answer the size system too (EU, UK, US, MP or CM)"
            )),
            Self::SizeRange { system, from, to } => f.write_str(&say!(
                "is no size of a runner in {system}; {from} to {to} can be meant",
                system = system.word(),
                from,
                to
            )),
            Self::Width => f.write_str(say!("is no width label; write it as on the box, such as D or 2E")),
            Self::Key => {
                f.write_str(say!("is no key of a style; copy it from the shoe's page, such as maker.number"))
            }
            Self::NoStyle => f.write_str(say!(
                "is no style of this catalogue; look its key up among the shoes, or give its measures instead"
            )),
            Self::OneOnly => f.write_str(say!("are several answers; give one")),
            Self::TwoEnds => f.write_str(say!("is not a range; give two numbers, from and to")),
            Self::EndsSwapped => f.write_str(say!("runs backwards; give the smaller number first")),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const DROP: Range = Range::whole(-20, 40, "mm");

    #[test]
    fn tenths_are_exact_and_a_needless_zero_does_no_harm() {
        for (text, tenths) in [("8", 80), ("8.5", 85), ("8,5", 85), ("-0.1", -1), ("8.10", 81), ("8.0", 80)] {
            assert_eq!(DROP.tenths(text), Ok(tenths), "{text}");
        }
    }

    #[test]
    fn what_is_no_number_too_fine_or_out_of_range_is_told_apart() {
        for text in ["", "8 mm", "1e1", "nan", "true", "8."] {
            assert_eq!(DROP.tenths(text), Err(Wrong::Number), "{text:?}");
        }
        assert_eq!(DROP.tenths("8.25"), Err(Wrong::Decimals(1)));
        assert_eq!(DROP.units("8.5"), Err(Wrong::Decimals(0)));
        assert_eq!(DROP.tenths("1.000"), Err(Wrong::Decimals(1)), "a thousand, or one");
        for text in ["40.1", "-20.1", "999999999999", "999999999999999999999"] {
            assert_eq!(DROP.tenths(text), Err(DROP.fault()), "{text}");
        }
        assert_eq!(DROP.fault().to_string(), "is out of range; -20 to 40 mm can be meant");
    }

    #[test]
    fn a_price_keeps_its_cents() {
        let price = Range::whole(0, 10_000, "");
        assert_eq!((price.hundredths("150.00"), price.hundredths("149.95")), (Ok(15_000), Ok(14_995)));
        assert_eq!(price.hundredths("1,000"), Err(Wrong::Decimals(2)));
        assert_eq!(price.hundredths("-1"), Err(price.fault()));
    }

    #[test]
    fn yes_and_no_have_two_spellings_and_maybe_has_none() {
        assert_eq!((yes_no("yes"), yes_no("false")), (Ok(true), Ok(false)));
        assert_eq!(answer("not asked"), Err(Wrong::YesNo));
    }
}
