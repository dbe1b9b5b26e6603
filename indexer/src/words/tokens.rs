//! How text becomes words: one function for what is indexed, for what is asked, and for what is marked.
//!
//! Lower case, diacritics folded, letters and digits split (`aro3` is `aro 3`). An umlaut is kept as the plain
//! letter and as two letters, so that `müller` is found by `muller` and by `mueller`.

use std::ops::Range;

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
    /// As it was typed.
    pub(super) typed: String,
    pub(super) folded: String,
    spelt: Option<String>,
    /// Where the code begins of which it is a part: what was typed in one piece with a digit, as a style number is.
    pub(super) code: Option<usize>,
}

/// A piece of a text that becomes a word: letters or digits with no border between them.
pub(super) struct Piece<'t> {
    text: &'t str,
    /// Where it stands, in bytes.
    pub(super) at: Range<usize>,
    /// Where the code begins of which it is a part.
    code: Option<usize>,
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

    /// A word as it stands in the index.
    pub(super) fn indexed(folded: &str) -> Self {
        Self { typed: folded.to_owned(), folded: folded.to_owned(), spelt: None, code: None }
    }

    /// The word as folded and, where it has an umlaut, as spelt out.
    pub(super) fn forms(&self) -> impl Iterator<Item = &str> {
        std::iter::once(self.folded.as_str()).chain(self.spelt.as_deref())
    }

    /// Whether it may be the beginning of a longer word. A number of one or two digits is itself: 10 is no beginning of 100.
    pub(super) fn may_be_cut(&self) -> bool {
        self.folded.len() > 2 || !self.folded.chars().all(char::is_numeric)
    }

    /// Whether it is a code, a size or a number, of which every letter counts.
    pub(super) fn is_exact(&self) -> bool {
        self.code.is_some() || !self.folded.chars().all(char::is_alphabetic)
    }
}

/// A text as it is indexed: its words in all their forms, with blanks between.
pub(super) fn indexed(text: &str) -> String {
    let words = words_of(text);
    words.iter().flat_map(Word::forms).collect::<Vec<_>>().join(" ")
}

fn words_of(text: &str) -> Vec<Word> {
    pieces(text).iter().flat_map(Piece::words).collect()
}

/// Cuts at whatever is no letter and no digit, and between a letter and a digit. What stands between two blanks is one
/// code if a digit is in it.
pub(super) fn pieces(text: &str) -> Vec<Piece<'_>> {
    let mut pieces: Vec<Piece<'_>> = Vec::new();
    let mut start = 0;
    for chunk in text.split_inclusive(char::is_whitespace) {
        let code = chunk.contains(char::is_numeric).then_some(start);
        pieces.extend(cut(chunk).map(|at| {
            let at = start + at.start..start + at.end;
            Piece { text: &text[at.clone()], at, code }
        }));
        start += chunk.len();
    }
    pieces
}

/// Where the runs of letters and the runs of digits stand.
fn cut(chunk: &str) -> impl Iterator<Item = Range<usize>> {
    let mut runs: Vec<Range<usize>> = Vec::new();
    // Of the character before: whether it is a digit; none when it is neither that nor a letter.
    let mut before: Option<bool> = None;
    for (at, c) in chunk.char_indices() {
        let here = if is_mark(c) { before } else { c.is_alphanumeric().then(|| c.is_numeric()) };
        let end = at + c.len_utf8();
        match runs.last_mut() {
            Some(run) if here.is_some() && here == before => run.end = end,
            _ if here.is_some() => runs.push(at..end),
            _ => {}
        }
        before = here;
    }
    runs.into_iter()
}

/// A mark that stands over the letter before it.
fn is_mark(c: char) -> bool {
    ('\u{300}'..='\u{36f}').contains(&c)
}

impl Piece<'_> {
    /// The words that it becomes: one, or another number where a sign stands for several letters.
    pub(super) fn words(&self) -> Vec<Word> {
        let word = |folded: String, spelt: Option<String>| Word {
            typed: self.text.to_owned(),
            folded,
            spelt,
            code: self.code,
        };
        if self.text.is_ascii() {
            return vec![word(self.text.to_ascii_lowercase(), None)];
        }
        let lower = composed(&self.text.to_lowercase());
        let spelt = lower.replace('ä', "ae").replace('ö', "oe").replace('ü', "ue");
        let (folded, spelt) = (split(&fold(&lower)), split(&fold(&spelt)));
        let pairs = folded.into_iter().zip(spelt);
        pairs.map(|(folded, spelt)| word(folded.clone(), (spelt != folded).then_some(spelt))).collect()
    }
}

/// Umlauts written as two characters become one; other combining marks are left out.
fn composed(lower: &str) -> String {
    let umlauts = lower.replace("a\u{308}", "ä").replace("o\u{308}", "ö").replace("u\u{308}", "ü");
    umlauts.chars().filter(|c| !is_mark(*c)).collect()
}

fn fold(lower: &str) -> String {
    let mut analyzer = TextAnalyzer::builder(RawTokenizer::default()).filter(AsciiFoldingFilter).build();
    let mut stream = analyzer.token_stream(lower);
    if stream.advance() { stream.token().text.clone() } else { String::new() }
}

/// The pieces of a text as texts of their own.
fn split(text: &str) -> Vec<String> {
    pieces(text).into_iter().map(|piece| piece.text.to_owned()).collect()
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
    fn what_stands_in_one_piece_with_a_digit_is_a_code() {
        let exact = |typed: &str| {
            let words = Word::read(typed).unwrap();
            words.iter().map(|word| (word.folded.clone(), word.is_exact())).collect::<Vec<_>>()
        };
        let of = |expected: &[(&str, bool)]| {
            expected.iter().map(|(word, exact)| ((*word).to_owned(), *exact)).collect::<Vec<_>>()
        };
        assert_eq!(exact("marl FM-310"), of(&[("marl", false), ("fm", true), ("310", true)]));
        assert_eq!(exact("310fm marl 4"), of(&[("310", true), ("fm", true), ("marl", false), ("4", true)]));
    }

    #[test]
    fn a_word_keeps_how_it_was_typed_and_a_piece_where_it_stands() {
        let text = "Fénnick Mu\u{308}ller, Aro3";
        let typed: Vec<_> = Word::read(text).unwrap().into_iter().map(|word| word.typed).collect();
        assert_eq!(typed, ["Fénnick", "Mu\u{308}ller", "Aro", "3"]);
        let at: Vec<_> = pieces(text).iter().map(|piece| text[piece.at.clone()].to_owned()).collect();
        assert_eq!(at, typed);
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
