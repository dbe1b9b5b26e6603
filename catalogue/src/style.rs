//! What is ranked and indexed: a style of shoe and its specification, every field of which may be unknown.

use crate::key::StyleKey;
use crate::size::SizeLabel;
use crate::text::Text;
use crate::units::{Grams, Mm, NewtonsPerMm};

/// A style: one shoe of one maker, in all its colours and sizes.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Style {
    /// The name that never changes.
    pub key: StyleKey,
    /// The maker as printed.
    pub maker: Text,
    /// The style number as printed.
    pub number: Option<Box<str>>,
    /// The name as printed.
    pub name: Text,
    /// For whom it is built.
    pub audience: Option<Audience>,
    /// What it runs on; empty is not given.
    pub surfaces: Surfaces,
    /// What it is for; empty is not given.
    pub purposes: Purposes,
    /// The measures.
    pub specification: Specification,
    /// The supplier's words.
    pub notes: Option<Box<str>>,
    /// The shop's words: runs short, roomy toes, narrow heel.
    pub shop_note: Option<Text>,
    /// The season as printed.
    pub season: Option<Text>,
    /// The style this one follows.
    pub replaces: Option<StyleKey>,
    /// No longer supplied.
    pub retired: bool,
}

/// The measures of a style as stated. Where each value came from is in the ledger, one step away.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Specification {
    /// Stack height under the heel, in mm.
    pub heel_stack: Option<Mm>,
    /// Stack height under the forefoot, in mm.
    pub forefoot_stack: Option<Mm>,
    /// Heel-to-toe drop as the sheet states it, in mm; it may disagree with the stacks.
    pub drop_stated: Option<Mm>,
    /// Mass of one shoe.
    pub mass: Option<Grams>,
    /// The size it was weighed at.
    pub mass_size: Option<SizeLabel>,
    /// How it bends lengthwise.
    pub bending: Option<Bending>,
    /// Compression stiffness of the midsole.
    pub compression: Option<Compression>,
    /// Torsion as printed; kept, not ranked.
    pub torsion: Option<Text>,
    /// How many motion-control and stability devices it has, 0..=6.
    pub devices: Option<u8>,
    /// A rocker sole.
    pub rocker: Option<bool>,
    /// A stiff plate in the sole.
    pub plate: Option<bool>,
    /// The liner comes out.
    pub liner_removable: Option<bool>,
    /// The stacks include the liner.
    pub liner_included: Option<bool>,
}

/// Longitudinal bending: a word, a laboratory value, or a "stiffness" whose kind nobody said.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Bending {
    /// The five-step word.
    Word(BendingWord),
    /// A laboratory value with its unit and method, kept as printed and never turned into a word.
    Value(Text),
    /// A bare "stiffness": bending, compression or torsion, the owner has not said which.
    KindUnknown(Text),
}

/// The five-step bending word, 1 very flexible to 5 very stiff.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum BendingWord {
    /// Step 1.
    VeryFlexible = 1,
    /// Step 2.
    Flexible = 2,
    /// Step 3.
    Medium = 3,
    /// Step 4.
    Stiff = 4,
    /// Step 5.
    VeryStiff = 5,
}

/// Compression stiffness with the method it was measured by; values of two methods are not comparable.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Compression {
    /// The value in N/mm.
    pub stiffness: NewtonsPerMm,
    /// The method as printed.
    pub method: Text,
}

/// What a shop notes of how a style fits, in the words that can be searched by; free words may stand beside them.
pub const FIT_NOTES: [&str; 5] = ["runs short", "runs long", "roomy toes", "narrow heel", "high instep"];

/// What free words in a shop's note count as: the note is given, in no word that can be searched by.
pub const OTHER_NOTE: &str = "other note";

/// Which of [`FIT_NOTES`] stand in a shop's note, a bit each in their order, and behind them one for [`OTHER_NOTE`].
pub fn fit_notes(note: Option<&str>) -> u8 {
    let parts = note_parts(note.unwrap_or_default()).map(str::to_lowercase);
    let place = |part: String| FIT_NOTES.iter().position(|word| *word == part).unwrap_or(FIT_NOTES.len());
    parts.fold(0, |bits, part| bits | 1 << place(part))
}

/// The parts of a shop's note, as a sheet or the form joins them.
pub fn note_parts(note: &str) -> impl Iterator<Item = &str> {
    note.split([',', ';']).map(str::trim).filter(|part| !part.is_empty())
}

/// Declares an enumeration whose members have one word each, used in files, URLs and labels alike.
macro_rules! words {
    ($(#[$doc:meta])* $name:ident { $($(#[$vdoc:meta])* $variant:ident => $word:literal),+ $(,)? }) => {
        $(#[$doc])*
        #[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
        pub enum $name { $($(#[$vdoc])* $variant),+ }

        impl $name {
            /// All of them, in reading order.
            pub const ALL: &'static [Self] = &[$(Self::$variant),+];

            /// The word for it in files, URLs and labels.
            pub const fn word(self) -> &'static str {
                match self { $(Self::$variant => $word),+ }
            }

            /// The member that `word` names, exactly.
            pub fn from_word(word: &str) -> Option<Self> {
                Self::ALL.iter().copied().find(|member| member.word() == word)
            }
        }
    };
}
pub(crate) use words;

words! {
    /// For whom a shoe is built.
    Audience {
        /// Women.
        Women => "women",
        /// Men.
        Men => "men",
        /// Women and men.
        Unisex => "unisex",
        /// Children and youth.
        Youth => "youth",
    }
}
words! {
    /// What a shoe runs on.
    Surface {
        /// Road.
        Road => "road",
        /// Trail.
        Trail => "trail",
        /// Track.
        Track => "track",
        /// Indoors.
        Indoor => "indoor",
    }
}
words! {
    /// What a shoe is for, and what a runner wants it for.
    Purpose {
        /// Everyday running.
        Daily => "daily",
        /// Faster running.
        Tempo => "tempo",
        /// Racing.
        Race => "race",
        /// Long runs.
        Long => "long",
        /// Walking.
        Walk => "walk",
    }
}

/// Declares a small set over one of the word enumerations, as bits; empty means not given.
macro_rules! set {
    ($(#[$doc:meta])* $name:ident of $member:ident) => {
        $(#[$doc])*
        #[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
        pub struct $name(u8);

        impl $name {
            /// The set of nothing: not given.
            pub const NONE: Self = Self(0);

            /// The set of these members.
            pub fn of(members: &[$member]) -> Self {
                members.iter().fold(Self::NONE, |set, m| set.with(*m))
            }

            /// This set and `member`.
            pub const fn with(self, member: $member) -> Self {
                Self(self.0 | 1 << member as u8)
            }

            /// Whether `member` is in it.
            pub const fn contains(self, member: $member) -> bool {
                self.0 & 1 << member as u8 != 0
            }

            /// Whether nothing was given.
            pub const fn is_empty(self) -> bool {
                self.0 == 0
            }

            /// One bit a member, in the order of `ALL`.
            pub const fn bits(self) -> u8 {
                self.0
            }

            /// The members in reading order.
            pub fn iter(self) -> impl Iterator<Item = $member> {
                $member::ALL.iter().copied().filter(move |m| self.contains(*m))
            }
        }
    };
}

set! {
    /// The surfaces of a style.
    Surfaces of Surface
}
set! {
    /// The purposes of a style.
    Purposes of Purpose
}

impl BendingWord {
    /// All five, from flexible to stiff.
    pub const ALL: [Self; 5] =
        [Self::VeryFlexible, Self::Flexible, Self::Medium, Self::Stiff, Self::VeryStiff];

    /// The step, 1..=5.
    pub const fn step(self) -> u8 {
        self as u8
    }

    /// The word of a step.
    pub fn from_step(step: u8) -> Option<Self> {
        Self::ALL.into_iter().find(|word| word.step() == step)
    }

    /// The word as printed.
    pub const fn word(self) -> &'static str {
        match self {
            Self::VeryFlexible => "very flexible",
            Self::Flexible => "flexible",
            Self::Medium => "medium",
            Self::Stiff => "stiff",
            Self::VeryStiff => "very stiff",
        }
    }

    /// The step that `word` names, exactly.
    pub fn from_word(word: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|step| step.word() == word)
    }
}

impl Specification {
    /// The bending word, when there is one.
    pub fn bending_word(&self) -> Option<BendingWord> {
        match self.bending {
            Some(Bending::Word(word)) => Some(word),
            _ => None,
        }
    }
}

impl Purpose {
    /// The purposes of a shoe that serve this wish: long runs and walks are also served by a daily shoe.
    pub fn served_by(self) -> Purposes {
        match self {
            Self::Long | Self::Walk => Purposes::of(&[self, Self::Daily]),
            _ => Purposes::of(&[self]),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_shops_note_holds_the_words_that_can_be_searched_by_and_free_ones_beside() {
        assert_eq!(fit_notes(None), 0);
        assert_eq!(fit_notes(Some("Runs short; laces bite, narrow heel")), 0b10_1001);
        assert_eq!(fit_notes(Some("never runs short")), 0b10_0000, "only as a part of its own");
        assert_eq!(fit_notes(Some(" ; ,")), 0, "separators alone say nothing");
    }

    #[test]
    fn an_empty_set_says_not_given() {
        assert!(Surfaces::default().is_empty());
        let set = Surfaces::of(&[Surface::Track, Surface::Road]);
        assert_eq!(set.iter().collect::<Vec<_>>(), [Surface::Road, Surface::Track]);
    }

    #[test]
    fn words_read_back_to_what_they_name() {
        assert!(Purpose::ALL.iter().all(|p| Purpose::from_word(p.word()) == Some(*p)));
        assert_eq!(Audience::from_word("Men"), None);
    }

    #[test]
    fn the_five_bending_words_are_five_steps() {
        for word in BendingWord::ALL {
            assert_eq!(BendingWord::from_step(word.step()), Some(word));
            assert_eq!(BendingWord::from_word(word.word()), Some(word));
        }
        assert_eq!(BendingWord::from_step(0), None);
    }

    #[test]
    fn a_laboratory_value_is_not_turned_into_a_word() {
        let bending = Some(Bending::Value("0.25 N m/deg".into()));
        assert_eq!(Specification { bending, ..Default::default() }.bending_word(), None);
    }

    #[test]
    fn a_daily_shoe_serves_long_runs_and_walks_but_no_race() {
        assert!(Purpose::Long.served_by().contains(Purpose::Daily));
        assert!(Purpose::Walk.served_by().contains(Purpose::Walk));
        assert!(!Purpose::Race.served_by().contains(Purpose::Daily));
    }
}
