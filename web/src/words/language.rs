//! The language a request is answered in.

use std::future::Future;

/// A language the pages speak.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Language {
    /// English, in which the code is written.
    #[default]
    English,
    /// German.
    German,
}

tokio::task_local! {
    static LANGUAGE: Language;
}

impl Language {
    /// All of them, in the order of the switch.
    pub const ALL: [Self; 2] = [Self::English, Self::German];

    /// Its tag by BCP 47.
    pub const fn tag(self) -> &'static str {
        match self {
            Self::English => "en",
            Self::German => "de",
        }
    }

    /// What it calls itself.
    pub const fn own_name(self) -> &'static str {
        match self {
            Self::English => "English",
            Self::German => "Deutsch",
        }
    }

    /// The language of a tag: `de`, and `de-AT` as well.
    pub fn from_tag(tag: &str) -> Option<Self> {
        let primary = tag.split('-').next()?.trim();
        Self::ALL.into_iter().find(|language| language.tag().eq_ignore_ascii_case(primary))
    }

    /// The first known one of an `Accept-Language` header by its weights (RFC 9110, section 12.5.4).
    pub fn accepted(header: &str) -> Option<Self> {
        let weighed = header.split(',').filter_map(|range| {
            let (tag, weight) = range.split_once(";q=").unwrap_or((range, "1"));
            let weight: f32 = weight.trim().parse().ok()?;
            Some((Self::from_tag(tag.trim())?, weight))
        });
        // Among equals the one named first.
        weighed
            .filter(|(_, weight)| *weight > 0.0)
            .reduce(|best, next| if next.1 > best.1 { next } else { best })
            .map(|(language, _)| language)
    }
}

/// The language of the request at work; English outside of any, so on the command line.
pub fn language() -> Language {
    LANGUAGE.try_with(|language| *language).unwrap_or_default()
}

/// Answers a request in a language.
pub async fn scope<F: Future>(language: Language, answer: F) -> F::Output {
    LANGUAGE.scope(language, answer).await
}

/// Does work in a language, also on another thread than the one that answers.
pub fn within<T>(language: Language, work: impl FnOnce() -> T) -> T {
    LANGUAGE.sync_scope(language, work)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_browser_is_answered_in_the_language_it_likes_best_of_those_spoken_here() {
        let accepted = Language::accepted;
        assert_eq!(accepted("de-CH,de;q=0.9,en;q=0.8"), Some(Language::German));
        assert_eq!(accepted("fr, en-GB;q=0.5, de;q=0.7"), Some(Language::German));
        assert_eq!(accepted("en-US,en;q=0.9,de;q=0.8"), Some(Language::English));
        assert_eq!(accepted("fr;q=1, de;q=0"), None, "a weight of nought refuses");
        assert_eq!((accepted(""), accepted("*"), accepted("de;q=x")), (None, None, None));
    }
}
