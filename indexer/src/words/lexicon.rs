//! Every word of the index in order, in memory: finding a word or all that begin alike touches no file.

use std::cmp::Ordering;
use std::io;
use std::ops::Range;

use tantivy::SegmentReader;
use tantivy::index::InvertedIndexReader;
use tantivy::postings::TermInfo;
use tantivy::termdict::TermStreamer;

use super::build::{FIELDS, NUMBER, fields};

/// How many bytes of a word are its head.
const HEAD: usize = 8;

/// The words and, for each, the fields that hold it.
pub(super) struct Lexicon {
    /// All words one after the other, and where each ends.
    text: Vec<u8>,
    ends: Vec<u32>,
    /// The first bytes of each word, which nearly always tell two words apart.
    heads: Vec<u64>,
    /// Whether a field holds the word that is no code.
    is_of_texts: Vec<bool>,
}

/// A word in one field.
pub(super) struct Entry {
    /// The place of the field among [`super::build::FIELDS`].
    pub(super) field: usize,
    /// Where its rows stand.
    pub(super) info: TermInfo,
}

impl Lexicon {
    /// The words of a segment. `each` is told of them one after the other, as the fields that hold it.
    pub(super) fn of(
        segment: &SegmentReader,
        mut each: impl FnMut(&[Entry]) -> tantivy::Result<()>,
    ) -> tantivy::Result<Self> {
        let indexes = fields().map(|field| segment.inverted_index(field));
        let indexes = indexes.collect::<tantivy::Result<Vec<_>>>()?;
        let mut merged = Merged::of(indexes.iter().map(AsRef::as_ref))?;
        let mut all = Self { text: Vec::new(), ends: Vec::new(), heads: Vec::new(), is_of_texts: Vec::new() };
        while let Some((word, entries)) = merged.next() {
            all.text.extend(word);
            all.ends.push(all.text.len() as u32);
            all.heads.push(head(word));
            all.is_of_texts.push(entries.iter().any(|entry| FIELDS[entry.field].0 != NUMBER));
            each(entries)?;
        }
        Ok(all)
    }

    /// The place of a word among all; `None` when no field holds it.
    pub(super) fn whole(&self, word: &str) -> Option<usize> {
        let at = self.first_from(word.as_bytes());
        (at < self.ends.len() && self.word(at) == word.as_bytes()).then_some(at)
    }

    /// The places of all words that begin so.
    pub(super) fn beginning(&self, with: &str) -> Range<usize> {
        let with = with.as_bytes();
        let from = self.first_from(with);
        let (own, every) = (head(with), head_beyond(with));
        let begins = |at: usize| match with.len() {
            0..=HEAD => (own..=every).contains(&self.heads[at]),
            _ => self.word(at).starts_with(with),
        };
        from..partition_point(from..self.ends.len(), begins)
    }

    /// The first so many characters of every word that is as long, each once.
    pub(super) fn beginnings(&self, chars: usize) -> Vec<&str> {
        let beginning = |at| {
            let word = std::str::from_utf8(self.word(at)).ok()?;
            let last = word.char_indices().nth(chars - 1)?;
            Some(&word[..last.0 + last.1.len_utf8()])
        };
        let mut beginnings: Vec<&str> = (0..self.ends.len()).filter_map(beginning).collect();
        beginnings.dedup();
        beginnings
    }

    /// The places of the words that are about so many bytes long and stand elsewhere than in a style number alone.
    pub(super) fn of_about(&self, bytes: usize, more_or_less: usize) -> impl Iterator<Item = usize> {
        // A letter beyond ASCII is up to four bytes.
        let about = bytes.saturating_sub(4 * more_or_less)..=bytes + 4 * more_or_less;
        (0..self.ends.len()).filter(move |at| about.contains(&self.word(*at).len()) && self.is_of_words(*at))
    }

    /// A word as text.
    pub(super) fn text_of(&self, at: usize) -> Option<&str> {
        std::str::from_utf8(self.word(at)).ok()
    }

    /// Whether it holds letters alone, and some field holds it that is no code.
    fn is_of_words(&self, at: usize) -> bool {
        let letters = self.text_of(at).is_some_and(|text| text.chars().all(char::is_alphabetic));
        letters && self.is_of_texts[at]
    }

    fn first_from(&self, word: &[u8]) -> usize {
        let own = head(word);
        partition_point(0..self.ends.len(), |at| match self.heads[at].cmp(&own) {
            Ordering::Equal => self.word(at) < word,
            order => order == Ordering::Less,
        })
    }

    fn word(&self, at: usize) -> &[u8] {
        &self.text[start(&self.ends, at)..self.ends[at] as usize]
    }
}

/// The words of all fields in one order, a word of several fields once.
struct Merged<'a> {
    /// The fields that still have words, by their places, each at its next word.
    fields: Vec<(usize, TermStreamer<'a>)>,
    word: Vec<u8>,
    entries: Vec<Entry>,
}

impl<'a> Merged<'a> {
    fn of(indexes: impl Iterator<Item = &'a InvertedIndexReader>) -> io::Result<Self> {
        let streams = indexes.map(|index| index.terms().stream()).collect::<io::Result<Vec<_>>>()?;
        let mut fields: Vec<_> = streams.into_iter().enumerate().collect();
        fields.retain_mut(|(_, words)| words.advance());
        Ok(Self { fields, word: Vec::new(), entries: Vec::new() })
    }

    fn next(&mut self) -> Option<(&[u8], &[Entry])> {
        let first = self.fields.iter().map(|(_, words)| words.key()).min()?;
        self.word.clear();
        self.word.extend(first);
        let word = self.word.as_slice();
        let own = self.fields.iter().filter(|(_, words)| words.key() == word);
        self.entries.clear();
        self.entries.extend(own.map(|(field, words)| Entry { field: *field, info: words.value().clone() }));
        self.fields.retain_mut(|(_, words)| words.key() != word || words.advance());
        Some((word, &self.entries))
    }
}

/// The first bytes of a word as a number that is in the same order; a word that ends sooner goes on with zeros.
fn head(word: &[u8]) -> u64 {
    let mut bytes = [0; HEAD];
    bytes.iter_mut().zip(word).for_each(|(byte, own)| *byte = *own);
    u64::from_be_bytes(bytes)
}

/// The greatest head of a word that begins so.
fn head_beyond(word: &[u8]) -> u64 {
    head(word) | u64::MAX.checked_shr(8 * word.len() as u32).unwrap_or(0)
}

fn start(ends: &[u32], at: usize) -> usize {
    if at == 0 { 0 } else { ends[at - 1] as usize }
}

/// The first place of a range for which `before` no longer holds.
fn partition_point(mut places: Range<usize>, before: impl Fn(usize) -> bool) -> usize {
    while !places.is_empty() {
        let middle = places.start + places.len() / 2;
        if before(middle) {
            places.start = middle + 1;
        } else {
            places.end = middle;
        }
    }
    places.start
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_place_where_a_statement_ends_is_found_at_both_ends_and_between() {
        for end in 0..6 {
            assert_eq!(partition_point(0..5, |at| at < end), end.min(5));
        }
        assert_eq!(partition_point(3..3, |_| true), 3);
    }

    #[test]
    fn heads_are_in_the_order_of_words_and_between_the_ends_of_what_they_begin_with() {
        let words = ["", "a", "ab", "abcdefgh", "abcdefghi", "abd", "\u{e9}a"].map(str::as_bytes);
        assert!(words.map(head).is_sorted());
        for (word, with) in words.iter().flat_map(|word| words.map(|with| (*word, with))) {
            let within = (head(with)..=head_beyond(with)).contains(&head(word));
            assert!(with.len() > HEAD || within == word.starts_with(with), "{word:?} {with:?}");
        }
    }
}
