//! The languages of headings, and their words: a file a language.

mod dutch;
mod french;
mod german;
mod italian;
mod spanish;

/// Heading words by the key of their column.
type Words = &'static [(&'static str, &'static [&'static str])];

/// A language that headings and cells may be written in.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Language {
    /// English.
    English,
    /// German.
    German,
    /// French.
    French,
    /// Dutch.
    Dutch,
    /// Spanish.
    Spanish,
    /// Italian.
    Italian,
}

impl Language {
    /// All of them; English first.
    pub const ALL: &'static [Self] =
        &[Self::English, Self::German, Self::French, Self::Dutch, Self::Spanish, Self::Italian];

    /// Its name.
    pub const fn word(self) -> &'static str {
        match self {
            Self::English => "English",
            Self::German => "German",
            Self::French => "French",
            Self::Dutch => "Dutch",
            Self::Spanish => "Spanish",
            Self::Italian => "Italian",
        }
    }

    /// The words of its file; those of English stand in the registry.
    pub(super) const fn words(self) -> Words {
        match self {
            Self::English => &[],
            Self::German => german::WORDS,
            Self::French => french::WORDS,
            Self::Dutch => dutch::WORDS,
            Self::Spanish => spanish::WORDS,
            Self::Italian => italian::WORDS,
        }
    }
}
