//! The words that mean filters, in English and in German. *Common practice*, but for width letters: see
//! `tests/tables/width_codes.csv` of the standards.

use catalogue::style::BendingWord;

use crate::snapshot::Group;

/// The words of a measure.
pub(super) fn measure(word: &str) -> Option<Group> {
    Some(match word {
        "drop" | "sprengung" => Group::Drop,
        "stack" | "stacks" | "sohlenhöhe" | "fersenhöhe" => Group::Stack,
        "weight" | "weighs" | "weighing" | "gewicht" => Group::Mass,
        "price" | "budget" | "preis" => Group::Price,
        _ => return None,
    })
}

/// Words before or behind a measure that say nothing more: *heel drop*, *stack height*.
pub(super) fn is_filler(word: &str) -> bool {
    matches!(word, "heel" | "height" | "toe" | "of" | "von" | "ferse")
}

/// Which end of a range a word or sign gives.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum End {
    To,
    From,
}

/// A word or a sign for one end of a range.
pub(super) fn end(word: &str) -> Option<End> {
    Some(match word {
        "under" | "below" | "max" | "maximum" | "unter" | "bis" | "höchstens" | "maximal" | "<" | "≤" => {
            End::To
        }
        "over" | "above" | "min" | "minimum" | "über" | "ab" | "mindestens" | ">" | "≥" => End::From,
        _ => return None,
    })
}

/// Two words for one end of a range.
pub(super) fn end_of_two(first: &str, second: &str) -> Option<End> {
    Some(match (first, second) {
        ("less" | "lighter" | "lower" | "cheaper", "than")
        | ("at", "most")
        | ("up", "to")
        | ("weniger" | "leichter" | "niedriger", "als") => End::To,
        ("more" | "heavier" | "higher", "than")
        | ("at", "least")
        | ("mehr" | "schwerer" | "höher", "als") => End::From,
        _ => return None,
    })
}

/// The words that announce a size.
pub(super) fn is_size(word: &str) -> bool {
    matches!(word, "size" | "sz" | "größe" | "grösse" | "groesse" | "gr")
}

/// One word that is a value of a group whose values are the same in every catalogue.
pub(super) fn value(word: &str) -> Option<(Group, &'static str)> {
    Some(match word {
        "men" | "mens" | "man" | "herren" | "männer" => (Group::Audience, "men"),
        "women" | "womens" | "woman" | "ladies" | "damen" | "frauen" => (Group::Audience, "women"),
        "unisex" => (Group::Audience, "unisex"),
        "youth" | "kids" | "junior" | "kinder" | "jugend" => (Group::Audience, "youth"),
        "road" | "straße" | "strasse" => (Group::Surface, "road"),
        "trail" | "gelände" => (Group::Surface, "trail"),
        "track" => (Group::Surface, "track"),
        "indoor" | "halle" => (Group::Surface, "indoor"),
        "daily" | "alltag" => (Group::Purpose, "daily"),
        "tempo" => (Group::Purpose, "tempo"),
        "race" | "racing" | "racer" | "wettkampf" => (Group::Purpose, "race"),
        "walking" | "gehen" => (Group::Purpose, "walk"),
        "plate" | "plated" | "platte" => (Group::Plate, "yes"),
        "rocker" => (Group::Rocker, "yes"),
        _ => return None,
    })
}

/// A shoe that is called light weighs at most this, *our choice*; tenths of g.
pub(super) const LIGHT: i64 = 2_500;

/// Whether a word asks for a light shoe.
pub(super) fn is_light(word: &str) -> bool {
    matches!(word, "light" | "lightweight" | "leicht" | "leichte" | "leichter" | "leichtes" | "leichten")
}

/// The colours that *light* stands before: *light blue* says nothing of a weight.
pub(super) fn is_colour(word: &str) -> bool {
    const COLOURS: [&str; 18] = [
        "aqua", "beige", "blue", "brown", "coral", "cyan", "gold", "gray", "green", "grey", "lilac", "olive",
        "orange", "pink", "purple", "red", "violet", "yellow",
    ];
    COLOURS.contains(&word)
}

/// The bending words that a word means.
pub(super) fn bending(word: &str) -> Option<[BendingWord; 2]> {
    Some(match word {
        "flexible" | "bendy" | "flexibel" | "biegsam" => [BendingWord::VeryFlexible, BendingWord::Flexible],
        "stiff" | "steif" => [BendingWord::Stiff, BendingWord::VeryStiff],
        _ => return None,
    })
}

/// The letters of width that are wide for everybody, and narrow for everybody.
const WIDE: [&str; 14] =
    ["E", "EE", "EEE", "EEEE", "2E", "3E", "4E", "6E", "W", "WW", "XW", "WIDE", "EXTRA WIDE", "X-WIDE"];
const NARROW: [&str; 9] = ["A", "AA", "AAA", "2A", "3A", "4A", "N", "NARROW", "SLIM"];

/// Whether a word means a width, and which of the labels in stock it means.
pub(super) fn widths(word: &str) -> Option<&'static [&'static str]> {
    Some(match word {
        "wide" | "weit" | "breit" => &WIDE,
        "narrow" | "schmal" | "eng" => &NARROW,
        _ => return None,
    })
}
