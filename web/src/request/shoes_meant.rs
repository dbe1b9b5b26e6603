//! Words of a question that mean filters, in the address of the list: the filters stand there as any others do, beside
//! what was said, so that the page can tell it and offer the words instead.

use indexer::phrases::{Means, Phrase, without};
use indexer::search::Range;
use indexer::snapshot::{Group, Snapshot};

use super::shoes::ShoesQuery;

/// What was typed when phrases of it became filters.
pub const SAID: &str = "said";
/// The longest query of an address to which words lead, in bytes: within what the server takes.
const LONGEST_ADDRESS: usize = 1_900;

/// The words are looked for exactly as typed.
pub const EXACT: &str = "exact";

impl ShoesQuery {
    /// Whether the words are looked for exactly as typed.
    pub fn is_exact(&self) -> bool {
        self.first(EXACT) == "yes"
    }

    /// The state that the words lead to: phrases become filters in place of others of their groups, the rest stays
    /// words; `None` when it is this one.
    pub fn as_meant(&self, snapshot: &Snapshot) -> Option<Self> {
        if self.is_exact() {
            return None;
        }
        let phrases = snapshot.phrases(self.words());
        let filters = || phrases.iter().filter(|phrase| phrase.is_filter());
        if phrases.iter().all(|phrase| phrase.is_name) {
            return None;
        }
        let plain = filters().fold(self.clone(), |state, phrase| state.without_group(phrase.group()));
        let narrowed = filters().fold(plain, |state, phrase| state.meaning(&phrase.means));
        let meant = narrowed.said(&without(self.words(), &phrases), self.words());
        // Beyond what an address may hold they stay words.
        (meant.href("").len() <= LONGEST_ADDRESS).then_some(meant)
    }

    /// The sizes that were said without a system, while no size is chosen.
    pub fn sizes_asked_back(&self, snapshot: &Snapshot) -> Vec<Phrase> {
        let phrases = snapshot.phrases(self.first(SAID)).into_iter();
        let open = self.chosen(Group::Size).is_empty();
        phrases.filter(|phrase| open && matches!(phrase.means, Means::SizeOf(_))).collect()
    }

    /// The state that the words lead to, or this one: for programs and files, which are sent nowhere else.
    #[must_use]
    pub fn meant(self, snapshot: &Snapshot) -> Self {
        self.as_meant(snapshot).unwrap_or(self)
    }

    /// The phrases of what was said that are filters still in force.
    pub fn phrases_in_force(&self, snapshot: &Snapshot) -> Vec<Phrase> {
        let phrases = snapshot.phrases(self.first(SAID)).into_iter();
        phrases.filter(|phrase| phrase.is_filter() && self.is_narrowed_by(&phrase.means)).collect()
    }

    /// This state with the words as they were said, exactly, and without the filters that they were read as.
    pub fn as_said(&self, phrases: &[Phrase]) -> Self {
        let plain = phrases.iter().fold(self.clone(), |state, phrase| state.without_group(phrase.group()));
        let said = self.first(SAID).to_owned();
        plain.without(SAID).with_words(&said).with(EXACT, "yes")
    }

    /// This state with the words that are left and what was said as a whole.
    pub fn said(&self, words: &str, said: &str) -> Self {
        self.without("page").with_words(words).with(SAID, said)
    }

    /// This state with a filter that words mean.
    pub fn meaning(&self, means: &Means) -> Self {
        match means {
            Means::Range(group, range) => ends(*group, range)
                .into_iter()
                .fold(self.clone(), |state, (key, number)| state.with(&key, &number)),
            Means::Values(group, values) => self.with_values(group.key(), values),
            Means::SizeOf(_) => self.clone(),
        }
    }

    fn is_narrowed_by(&self, means: &Means) -> bool {
        match means {
            Means::Range(group, range) => {
                ends(*group, range).into_iter().all(|(key, number)| self.first(&key) == number)
            }
            Means::Values(group, values) => {
                let chosen = self.chosen(*group);
                values.iter().all(|value| chosen.contains(&value.as_str()))
            }
            Means::SizeOf(_) => false,
        }
    }
}

/// The ends of a range as keys and numbers in the units people read; an open end is empty.
fn ends(group: Group, range: &Range) -> [(String, String); 2] {
    let scale = if group == Group::Price { 100 } else { 10 };
    let number = |end: Option<i64>| end.map_or_else(String::new, |number| plain(number, scale));
    [("from", range.from), ("to", range.to)]
        .map(|(end, number_at)| (format!("{}_{end}", group.key()), number(number_at)))
}

/// A whole number of parts as a decimal one without needless noughts.
fn plain(number: i64, scale: i64) -> String {
    let digits = if scale == 100 { 2 } else { 1 };
    let sign = if number < 0 { "-" } else { "" };
    let (whole, rest) = (number.abs() / scale, number.abs() % scale);
    if rest == 0 { format!("{sign}{whole}") } else { format!("{sign}{whole}.{rest:0digits$}") }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_are_written_as_people_read_them() {
        assert_eq!([(35, 10), (40, 10), (-5, 10)].map(|(n, scale)| plain(n, scale)), ["3.5", "4", "-0.5"]);
        assert_eq!([(15_000, 100), (12_950, 100)].map(|(n, scale)| plain(n, scale)), ["150", "129.50"]);
    }
}
