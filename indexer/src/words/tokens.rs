//! How text becomes words: one function for what is indexed and for what is asked.
//!
//! Lower case, diacritics folded, letters and digits split (`aro3` is `aro 3`). An umlaut is kept as the plain
//! letter and as two letters, so that `müller` is found by `muller` and by `mueller`.

use tantivy::tokenizer::{AsciiFoldingFilter, RawTokenizer, TextAnalyzer};

/// The most characters a question may have.
pub const MOST_CHARS: usize = 200;
/// The most words a question may have, letters and digits split.
pub const MOST_WORDS: usize = 12;
/// The most characters a word may have.
pub const MOST_WORD_CHARS: usize = 64;

/// One word in the form in which it is indexed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Word {
    folded: String,
    spelt: Option<String>,
}

/// Why words are not looked up.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
pub enum WordsRefused {
    /// More characters than anyone types.
    #[error("the words have {0} characters; at most {MOST_CHARS} are looked up: leave some out")]
    TooLong(usize),
    /// More words than a shoe has.
    #[error("{0} words were given; at most {MOST_WORDS} are looked up: leave some out")]
    TooMany(usize),
    /// A word longer than any name.
    #[error("a word has {0} characters; at most {MOST_WORD_CHARS} are looked up: shorten it")]
    WordTooLong(usize),
}

impl Word {
    /// The words of a question; none when it holds no letter and no digit.
    pub fn read(question: &str) -> Result<Vec<Self>, WordsRefused> {
        let chars = question.chars().count();
        if chars > MOST_CHARS {
            return Err(WordsRefused::TooLong(chars));
        }
        let words = words_of(question);
        if words.len() > MOST_WORDS {
            return Err(WordsRefused::TooMany(words.len()));
        }
        let longest = words.iter().map(|word| word.folded.chars().count()).max().unwrap_or(0);
        if longest > MOST_WORD_CHARS {
            return Err(WordsRefused::WordTooLong(longest));
        }
        Ok(words)
    }

    /// The word as folded and, where it has an umlaut, as spelt out.
    pub(super) fn forms(&self) -> impl Iterator<Item = &str> {
        std::iter::once(self.folded.as_str()).chain(self.spelt.as_deref())
    }
}

/// A text as it is indexed: its words in all their forms, with blanks between.
pub(super) fn indexed(text: &str) -> String {
    let words = words_of(text);
    words.iter().flat_map(Word::forms).collect::<Vec<_>>().join(" ")
}

fn words_of(text: &str) -> Vec<Word> {
    if text.is_ascii() {
        let words = split(&text.to_ascii_lowercase());
        return words.into_iter().map(|folded| Word { folded, spelt: None }).collect();
    }
    let lower = composed(&text.to_lowercase());
    let spelt = lower.replace('ä', "ae").replace('ö', "oe").replace('ü', "ue");
    let pairs = split(&fold(&lower)).into_iter().zip(split(&fold(&spelt)));
    pairs.map(|(folded, spelt)| Word { spelt: (spelt != folded).then_some(spelt), folded }).collect()
}

/// Umlauts written as two characters become one; other combining marks are left out.
fn composed(lower: &str) -> String {
    let umlauts = lower.replace("a\u{308}", "ä").replace("o\u{308}", "ö").replace("u\u{308}", "ü");
    umlauts.chars().filter(|c| !('\u{300}'..='\u{36f}').contains(c)).collect()
}

fn fold(lower: &str) -> String {
    let mut analyzer = TextAnalyzer::builder(RawTokenizer::default()).filter(AsciiFoldingFilter).build();
    let mut stream = analyzer.token_stream(lower);
    if stream.advance() { stream.token().text.clone() } else { String::new() }
}

/// Cuts at whatever is no letter and no digit, and between a letter and a digit.
fn split(text: &str) -> Vec<String> {
    let mut words: Vec<String> = Vec::new();
    let mut before: Option<char> = None;
    for c in text.chars() {
        let here = c.is_alphanumeric().then_some(c);
        match (before, here) {
            (Some(b), Some(c)) if b.is_numeric() == c.is_numeric() => {
                if let Some(word) = words.last_mut() {
                    word.push(c);
                }
            }
            (_, Some(c)) => words.push(c.to_string()),
            (_, None) => {}
        }
        before = here;
    }
    words
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn letters_and_digits_are_split_and_marks_folded() {
        assert_eq!(indexed("Aro3 GTX-2, Fénnick  ß"), "aro 3 gtx 2 fennick ss");
    }

    #[test]
    fn an_umlaut_is_found_by_the_plain_letter_and_by_two_letters() {
        assert_eq!(indexed("Müller"), "muller mueller");
        assert_eq!(indexed("Mu\u{308}ller"), "muller mueller", "written as two characters");
    }

    #[test]
    fn brackets_are_no_words() {
        assert_eq!(Word::read(&"(".repeat(150)), Ok(vec![]));
        assert_eq!(Word::read(&"[".repeat(3000)), Err(WordsRefused::TooLong(3000)));
    }

    #[test]
    fn what_nobody_types_is_refused_with_what_to_do() {
        assert_eq!(Word::read(&"a ".repeat(13)), Err(WordsRefused::TooMany(13)));
        assert_eq!(Word::read(&"1a".repeat(7)), Err(WordsRefused::TooMany(14)));
        let refused = Word::read(&"a".repeat(65)).unwrap_err();
        assert_eq!(refused.to_string(), "a word has 65 characters; at most 64 are looked up: shorten it");
    }
}
