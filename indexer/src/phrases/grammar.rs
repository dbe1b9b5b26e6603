//! How tokens make phrases. At each place the longest phrase counts; what makes none is left to the words.

use std::ops::Range as Span;

use catalogue::size::{SizeLabel, SizeSystem};
use catalogue::units::Decimal;

use super::Means;
use super::tokens::{Kind, Token};
use super::vocabulary::{self, End};
use crate::search::Range;
use crate::snapshot::{Group, Snapshot};

/// A drop is up to so many mm where a bare length may be a drop or a stack, which goes up to the other.
const MOST_DROP_MM: i64 = 15;
const MOST_STACK_MM: i64 = 60;
/// A length said without decimals means what rounds to it; a mass what is within so much of it. Tenths.
const ABOUT_LENGTH: i64 = 5;
const ABOUT_MASS: i64 = 50;
/// EU labels of grown-ups and youth; other systems print no such numbers.
const EU_LABELS: Span<u16> = 30..53;

/// Reads the phrases of one question.
pub(super) struct Reader<'r> {
    snapshot: &'r Snapshot,
    tokens: &'r [Token<'r>],
}

/// A phrase on the way: how many tokens it takes, and what it means.
type Read = (usize, Means);

/// A number with what stands beside it.
#[derive(Clone, Copy)]
struct Quantity<'r> {
    number: &'r str,
    unit: Option<Unit>,
}

#[derive(Clone, Copy, PartialEq, Eq)]
enum Unit {
    Mm,
    Gram,
    Money,
}

impl<'r> Reader<'r> {
    pub(super) fn of(snapshot: &'r Snapshot, tokens: &'r [Token<'r>]) -> Self {
        Self { snapshot, tokens }
    }

    /// All phrases with their places in the text.
    pub(super) fn all(&self) -> Vec<(Span<usize>, Means)> {
        let mut found = Vec::new();
        let mut at = 0;
        while at < self.tokens.len() {
            match self.longest(at) {
                Some((length, means)) => {
                    let span = self.tokens[at].at.start..self.tokens[at + length - 1].at.end;
                    found.push((span, means));
                    at += length;
                }
                None => at += 1,
            }
        }
        found
    }

    fn longest(&self, at: usize) -> Option<Read> {
        let ways = [
            self.measure_first(at),
            self.number_first(at),
            self.size(at),
            self.value(at),
            self.width(at),
            self.light(at),
            self.bending(at),
        ];
        ways.into_iter().flatten().max_by_key(|(length, _)| *length)
    }

    /// `drop 4`, `drop under 6 mm`, `heel stack 20-25`.
    fn measure_first(&self, at: usize) -> Option<Read> {
        let fillers = self.fillers(at);
        let group = vocabulary::measure(self.word(at + fillers)?)?;
        let named = fillers + 1 + self.fillers(at + fillers + 1);
        let (length, range) = self.range(at + named, Some(group))?;
        Some((named + length, Means::Range(group, range)))
    }

    /// `4 mm`, `under 250 g`, `40 stack`, `4 mm heel drop`.
    fn number_first(&self, at: usize) -> Option<Read> {
        let length = self.length_of_numbers(at)?;
        let fillers = self.fillers(at + length);
        let named = self.word(at + length + fillers).and_then(vocabulary::measure);
        // `drop 4 drop 6`: the second word belongs to what follows.
        let own = named.filter(|_| self.length_of_numbers(at + length + fillers + 1).is_none());
        let group = own.or_else(|| self.group_of_bare(at))?;
        let (_, range) = self.range(at, Some(group))?;
        let length = if own.is_some() { length + fillers + 1 } else { length };
        Some((length, Means::Range(group, range)))
    }

    /// The measure of a number with a unit alone.
    fn group_of_bare(&self, at: usize) -> Option<Group> {
        let start = at + self.end_of_range(at).map_or(0, |(length, _)| length);
        let (first, length) = self.quantity(start)?;
        let second = self.dash(start + length).then(|| self.quantity(start + length + 1)).flatten();
        let unit = second.and_then(|(second, _)| second.unit).or(first.unit)?;
        match unit {
            Unit::Gram => Some(Group::Mass),
            Unit::Money => Some(Group::Price),
            Unit::Mm => match tenths(first.number)? {
                mm if mm <= MOST_DROP_MM * 10 => Some(Group::Drop),
                mm if mm <= MOST_STACK_MM * 10 => Some(Group::Stack),
                _ => None,
            },
        }
    }

    fn length_of_numbers(&self, at: usize) -> Option<usize> {
        self.range(at, None).map(|(length, _)| length)
    }

    /// A number, one behind a word for an end, or two with a dash between; of what it is when that is known.
    fn range(&self, at: usize, group: Option<Group>) -> Option<(usize, Range)> {
        let (before, end) = self.end_of_range(at).map_or((0, None), |(length, end)| (length, Some(end)));
        let (first, length) = self.quantity(at + before)?;
        let scale = |number: &str| scaled(number, group.unwrap_or(Group::Drop));
        let fits = |unit: Option<Unit>| group.is_none_or(|group| unit.is_none_or(|unit| unit.is_of(group)));
        let after = at + before + length;
        let second = (end.is_none() && self.dash(after)).then(|| self.quantity(after + 1)).flatten();
        if let Some((second, more)) = second.filter(|(second, _)| fits(second.unit)) {
            let range = Range {
                from: Some(scale(first.number)?),
                to: Some(scale(second.number)?),
                keep_unknown: false,
            };
            return (range.from <= range.to).then_some((before + length + 1 + more, range));
        }
        if !fits(first.unit) {
            return None;
        }
        let number = scale(first.number)?;
        let about = about(first.number, group);
        let (from, to) = match (end, group) {
            (Some(End::From), _) => (Some(number), None),
            (Some(End::To), _) | (None, Some(Group::Price)) => (None, Some(number)),
            (None, _) => (Some(number - about), Some(number + about)),
        };
        Some((before + length, Range { from, to, keep_unknown: false }))
    }

    /// `under`, `less than`, `<`: how many tokens, and which end.
    fn end_of_range(&self, at: usize) -> Option<(usize, End)> {
        if let (Some(first), Some(second)) = (self.word(at), self.word(at + 1))
            && let Some(end) = vocabulary::end_of_two(first, second)
        {
            return Some((2, end));
        }
        let sign = |c: char| vocabulary::end(c.encode_utf8(&mut [0; 4]));
        let end = match &self.tokens.get(at)?.kind {
            Kind::Word(word) => vocabulary::end(word),
            Kind::Sign(c) => sign(*c),
            Kind::Number(_) => None,
        };
        Some((1, end?))
    }

    /// A number and its unit: how many tokens.
    fn quantity(&self, at: usize) -> Option<(Quantity<'r>, usize)> {
        if self.money_sign(at) {
            let number = self.number(at + 1)?;
            return Some((Quantity { number, unit: Some(Unit::Money) }, 2));
        }
        let number = self.number(at)?;
        let unit = match self.tokens.get(at + 1).map(|token| &token.kind) {
            Some(Kind::Word(word)) => self.unit(word),
            Some(Kind::Sign('€' | '£' | '$')) => Some(Unit::Money),
            _ => None,
        };
        Some((Quantity { number, unit }, 1 + usize::from(unit.is_some())))
    }

    fn unit(&self, word: &str) -> Option<Unit> {
        let currency = self.snapshot.policy().currency.code.to_lowercase();
        match word {
            "mm" | "millimeter" | "millimetre" | "millimetres" => Some(Unit::Mm),
            "g" | "gram" | "grams" | "gramm" => Some(Unit::Gram),
            "euro" | "euros" => Some(Unit::Money),
            word if word == currency => Some(Unit::Money),
            _ => None,
        }
    }

    /// `size 42.5`, `EU 42.5`, `42.5 EU`, `size US 9`, `size 42 2/3`.
    fn size(&self, at: usize) -> Option<Read> {
        let announced = usize::from(self.word(at).is_some_and(vocabulary::is_size));
        let before = self.system(at + announced);
        let start = at + announced + usize::from(before.is_some());
        let (printed, length) = self.label(start)?;
        let behind = before.is_none().then(|| self.system(start + length)).flatten();
        let length = announced + usize::from(before.is_some()) + length + usize::from(behind.is_some());
        let system = before.or(behind);
        if announced == 0 && system.is_none() {
            return None;
        }
        let in_system = |system: SizeSystem| {
            let label = SizeLabel::parse(Some(system), &printed)?;
            (system != SizeSystem::Eu || EU_LABELS.contains(&(label.twelfths() / 12)))
                .then(|| label.to_string())
        };
        let means = match system {
            Some(system) => Means::Values(Group::Size, vec![in_system(system)?]),
            None => match in_system(SizeSystem::Eu) {
                Some(eu) => Means::Values(Group::Size, vec![eu]),
                None => Means::SizeOf(
                    [SizeSystem::Us, SizeSystem::Uk].into_iter().filter_map(in_system).collect(),
                ),
            },
        };
        Some((length, means))
    }

    /// A size as printed: a number, or one with a fraction behind it.
    fn label(&self, at: usize) -> Option<(String, usize)> {
        let whole = self.number(at)?;
        let slash = matches!(self.tokens.get(at + 2).map(|token| &token.kind), Some(Kind::Sign('/')));
        if slash && let (Some(over), Some(under)) = (self.number(at + 1), self.number(at + 3)) {
            return Some((format!("{whole} {over}/{under}"), 4));
        }
        Some((whole.replace(',', "."), 1))
    }

    fn system(&self, at: usize) -> Option<SizeSystem> {
        let system = SizeSystem::from_word(&self.word(at)?.to_uppercase())?;
        matches!(system, SizeSystem::Eu | SizeSystem::Uk | SizeSystem::Us).then_some(system)
    }

    /// `trail`, `men's`, `no plate`.
    fn value(&self, at: usize) -> Option<Read> {
        let word = self.word(at)?;
        if matches!(word, "no" | "without" | "ohne" | "keine")
            && let Some((group @ (Group::Plate | Group::Rocker), _)) =
                self.word(at + 1).and_then(vocabulary::value)
        {
            return Some((2, Means::Values(group, vec!["no".to_owned()])));
        }
        let (group, value) = vocabulary::value(word)?;
        Some((1, Means::Values(group, vec![value.to_owned()])))
    }

    /// `wide`, `extra wide`, `width 2E`: labels that are in stock.
    fn width(&self, at: usize) -> Option<Read> {
        let known = &self.snapshot.vocabulary(Group::Width).values;
        let labels = |wanted: &[&str]| -> Vec<String> {
            let meant = known.iter().filter(|v| wanted.iter().any(|w| v.value.eq_ignore_ascii_case(w)));
            meant.map(|value| value.value.clone()).collect()
        };
        let extra = usize::from(matches!(self.word(at)?, "extra" | "x"));
        let labels = labels(vocabulary::widths(self.word(at + extra)?)?);
        (!labels.is_empty()).then_some((1 + extra, Means::Values(Group::Width, labels)))
    }

    /// `light`, but not `light blue`.
    fn light(&self, at: usize) -> Option<Read> {
        let of_a_colour = self.word(at + 1).is_some_and(vocabulary::is_colour);
        let range = Range { from: None, to: Some(vocabulary::LIGHT), keep_unknown: false };
        (vocabulary::is_light(self.word(at)?) && !of_a_colour)
            .then_some((1, Means::Range(Group::Mass, range)))
    }

    /// `flexible`, `stiff`, and the words beyond them.
    fn bending(&self, at: usize) -> Option<Read> {
        let words = vocabulary::bending(self.word(at)?)?;
        Some((1, Means::Values(Group::Bending, words.map(|word| word.word().to_owned()).into())))
    }

    fn fillers(&self, at: usize) -> usize {
        let fillers =
            (at..self.tokens.len()).take_while(|at| self.word(*at).is_some_and(vocabulary::is_filler));
        fillers.count()
    }

    fn word(&self, at: usize) -> Option<&'r str> {
        match &self.tokens.get(at)?.kind {
            Kind::Word(word) => Some(word),
            _ => None,
        }
    }

    fn number(&self, at: usize) -> Option<&'r str> {
        match &self.tokens.get(at)?.kind {
            Kind::Number(number) => Some(number),
            _ => None,
        }
    }

    fn dash(&self, at: usize) -> bool {
        match self.tokens.get(at).map(|token| &token.kind) {
            Some(Kind::Sign(c)) => matches!(c, '-' | '–' | '\u{2212}'),
            Some(Kind::Word(word)) => matches!(word.as_str(), "to" | "bis"),
            _ => false,
        }
    }

    fn money_sign(&self, at: usize) -> bool {
        matches!(self.tokens.get(at).map(|token| &token.kind), Some(Kind::Sign('€' | '£' | '$')))
    }
}

impl Unit {
    fn is_of(self, group: Group) -> bool {
        match self {
            Self::Mm => matches!(group, Group::Drop | Group::Stack),
            Self::Gram => group == Group::Mass,
            Self::Money => group == Group::Price,
        }
    }
}

/// How far from a number another may be that is meant as well: nothing where decimals were typed.
fn about(number: &str, group: Option<Group>) -> i64 {
    match group {
        _ if number.contains(['.', ',']) => 0,
        Some(Group::Mass) => ABOUT_MASS,
        Some(Group::Drop | Group::Stack) => ABOUT_LENGTH,
        _ => 0,
    }
}

fn tenths(number: &str) -> Option<i64> {
    scaled(number, Group::Drop)
}

/// A number as a search has it: tenths of mm and g, minor units of money.
fn scaled(number: &str, group: Group) -> Option<i64> {
    let mark = if number.contains(',') { ',' } else { '.' };
    let scale = if group == Group::Price { 100 } else { 10 };
    Decimal::parse(number, mark)?.scaled(scale, 1).map(i64::from)
}
