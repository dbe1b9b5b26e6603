//! The query string of the list of shoes: low, as pairs of text, then high, as a search. Every state of the list is
//! in its URL, in one form only: sorted keys, sorted values, no empties.

use std::cmp::Ordering;
use std::collections::{BTreeMap, BTreeSet};

use catalogue::units::Decimal;
use indexer::search::{Choice, Range, Search};
use indexer::snapshot::Group;

use super::shoes_meant::{EXACT, SAID};

/// Rows on a page of the list.
pub const PAGE: usize = 20;
/// The last page that can be asked for: beyond it a search should be narrowed.
const LAST_PAGE: usize = 50;

/// The longest value of a filter, in bytes.
const LONGEST_VALUE: usize = 400;
/// The longest question that is kept beside its filters, in bytes: as many characters as are looked up.
const LONGEST_SAID: usize = 4 * indexer::words::MOST_CHARS;

/// What the URL says of the list, as text.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct ShoesQuery {
    pairs: BTreeMap<String, BTreeSet<String>>,
}

/// The groups that can be narrowed by a range, with the tenths or cents in one of their units.
const RANGES: [(Group, i64); 4] =
    [(Group::Drop, 10), (Group::Stack, 10), (Group::Mass, 10), (Group::Price, 100)];

impl ShoesQuery {
    /// Reads a query string; keys that mean nothing here are dropped, and so are values longer than any can be.
    /// Words of any length stay: the search says that they are too many, where none would find everything.
    pub fn parse(query: &str) -> Self {
        let mut read = Self::default();
        for (key, value) in form_urlencoded::parse(query.as_bytes()) {
            let value = value.trim();
            if is_known(&key) && !value.is_empty() && may_be(&key, value) {
                read.pairs.entry(key.into_owned()).or_default().insert(value.to_owned());
            }
        }
        if read.page() == 1 {
            read.pairs.remove("page");
        }
        read
    }

    /// Whether a key means something here.
    pub fn knows(key: &str) -> bool {
        is_known(key)
    }

    /// The words typed.
    pub fn words(&self) -> &str {
        self.first("q")
    }

    /// The page, from 1; beyond what can be asked for it is the last.
    pub fn page(&self) -> usize {
        self.first("page").parse::<u64>().map_or(1, |page| page.clamp(1, LAST_PAGE as u64) as usize)
    }

    /// Whether the page asked for lies beyond the last that can be.
    pub fn is_beyond_the_last_page(&self) -> bool {
        self.first("page").parse::<u128>().is_ok_and(|page| page > LAST_PAGE as u128)
    }

    /// The search that is asked for.
    pub fn search(&self) -> Search {
        let mut search = Search {
            words: self.words().to_owned(),
            exactly: self.is_exact(),
            limit: Some(PAGE),
            offset: (self.page() - 1) * PAGE,
            ..Search::default()
        };
        for group in Group::ALL {
            if let Some(values) = self.pairs.get(group.key()) {
                let values: Vec<&str> = values.iter().map(String::as_str).collect();
                search.choices.insert(group, Choice::of(&values));
            }
        }
        for (group, in_a_unit) in RANGES {
            let end = |which: &str| number(self.first(&format!("{}_{which}", group.key())), in_a_unit);
            let range = Range { from: end("from"), to: end("to"), keep_unknown: false };
            if range.from.is_some() || range.to.is_some() {
                search.ranges.insert(group, range);
            }
        }
        search
    }

    /// The canonical address of this state below `path`.
    pub fn href(&self, path: &str) -> String {
        let mut query = form_urlencoded::Serializer::new(String::new());
        for (key, values) in &self.pairs {
            for value in values {
                query.append_pair(key, value);
            }
        }
        match query.finish() {
            empty if empty.is_empty() => path.to_owned(),
            query => format!("{path}?{query}"),
        }
    }

    /// The addresses below `path` that put a value of `key` in or take it out.
    pub fn toggles<'q>(&'q self, path: &'q str, key: &'q str) -> Toggles<'q> {
        let said = |wanted: Ordering| {
            let others = self.pairs.iter().filter(|(own, _)| own.as_str() != "page");
            let others = others.filter(|(own, _)| own.as_str().cmp(key) == wanted);
            let said = others.flat_map(|(own, values)| values.iter().map(|value| pair(own, value)));
            said.collect::<Vec<_>>().join("&")
        };
        let own =
            self.pairs.get(key).map_or_else(Vec::new, |values| values.iter().map(String::as_str).collect());
        Toggles { path, before: said(Ordering::Less), key, own, behind: said(Ordering::Greater) }
    }

    /// This state with a value of a group put in, or taken out when it is in; on its first page.
    pub fn toggled(&self, key: &str, value: &str) -> Self {
        let mut next = self.without("page");
        let values = next.pairs.entry(key.to_owned()).or_default();
        if !values.remove(value) {
            values.insert(value.to_owned());
        }
        next.pairs.retain(|_, values| !values.is_empty());
        next
    }

    /// This state with one value of a key in place of what it had; a blank takes the key out. Keys that mean nothing
    /// here, and values longer than any can be, change nothing.
    pub fn with(&self, key: &str, value: &str) -> Self {
        let value = value.trim();
        let mut next = self.clone();
        if is_known(key) && may_be(key, value) {
            next.pairs.remove(key);
            if !value.is_empty() {
                next.pairs.insert(key.to_owned(), BTreeSet::from([value.to_owned()]));
            }
        }
        next
    }

    /// This state with these words.
    pub fn with_words(&self, words: &str) -> Self {
        self.with("q", words)
    }

    /// This state with these values of a key beside those that it has.
    pub fn with_values(&self, key: &str, values: &[String]) -> Self {
        let mut next = self.clone();
        next.pairs.entry(key.to_owned()).or_default().extend(values.iter().cloned());
        next
    }

    /// The ends of ranges that are no numbers, each with its group.
    pub fn ends_that_are_no_numbers(&self) -> Vec<(Group, &str)> {
        let ends = RANGES.iter().flat_map(|(group, unit)| ["from", "to"].map(|end| (*group, *unit, end)));
        let typed =
            ends.map(|(group, unit, end)| (group, unit, self.first(&format!("{}_{end}", group.key()))));
        let wrong = typed.filter(|(_, unit, text)| !text.is_empty() && number(text, *unit).is_none());
        wrong.map(|(group, _, text)| (group, text)).collect()
    }

    /// Whether nothing is asked for.
    pub fn is_empty(&self) -> bool {
        self.pairs.is_empty()
    }

    /// This state without a key.
    pub fn without(&self, key: &str) -> Self {
        let mut next = self.clone();
        next.pairs.remove(key);
        next
    }

    /// This state without anything that narrows a group: its values and both ends of its range. On its first page.
    pub fn without_group(&self, group: Group) -> Self {
        let key = group.key();
        self.without("page").without(key).without(&format!("{key}_from")).without(&format!("{key}_to"))
    }

    /// This state on another page.
    pub fn on_page(&self, page: usize) -> Self {
        let mut next = self.without("page");
        if page > 1 {
            next.pairs.insert("page".to_owned(), BTreeSet::from([page.to_string()]));
        }
        next
    }

    /// What is chosen of a group.
    pub fn chosen(&self, group: Group) -> Vec<&str> {
        self.pairs
            .get(group.key())
            .map_or_else(Vec::new, |values| values.iter().map(String::as_str).collect())
    }

    /// The one value of a key; empty when there is none.
    pub fn first(&self, key: &str) -> &str {
        self.pairs.get(key).and_then(|values| values.first()).map_or("", String::as_str)
    }

    /// All pairs but those of some keys: the hidden fields of a form.
    pub fn hidden(&self, but: &[&str]) -> Vec<(String, String)> {
        let kept =
            self.pairs.iter().filter(|(key, _)| !but.contains(&key.as_str()) && key.as_str() != "page");
        kept.flat_map(|(key, values)| values.iter().map(|value| (key.clone(), value.clone()))).collect()
    }

    /// Whether a filter is in force.
    pub fn is_narrowed(&self) -> bool {
        self.pairs.keys().any(|key| !is_of_words(key) && key != "page")
    }
}

/// The addresses that toggle the values of one key. What else they say is written once for all of them.
pub struct Toggles<'q> {
    path: &'q str,
    /// The pairs of the keys before this one, as an address has them.
    before: String,
    key: &'q str,
    own: Vec<&'q str>,
    /// The pairs of the keys behind this one.
    behind: String,
}

impl Toggles<'_> {
    /// The address of the state with a value put in, or taken out when it is in; on its first page.
    pub fn href(&self, value: &str) -> String {
        let around = self.path.len() + self.before.len() + self.behind.len() + self.key.len();
        // Signs between pairs, and some of the letters written as three.
        let mut address = String::with_capacity(around + 2 * value.len() + 4);
        address.push_str(self.path);
        let mut mark = '?';
        let mut next = |address: &mut String| address.push(std::mem::replace(&mut mark, '&'));
        let (in_it, at) = match self.own.binary_search(&value) {
            Ok(at) => (true, at),
            Err(at) => (false, at),
        };
        let (before, behind) = (&self.own[..at], &self.own[at + usize::from(in_it)..]);
        let new = (!in_it).then_some(&value);
        if !self.before.is_empty() {
            next(&mut address);
            address.push_str(&self.before);
        }
        for own in before.iter().chain(new).chain(behind) {
            next(&mut address);
            push_pair(&mut address, self.key, own);
        }
        if !self.behind.is_empty() {
            next(&mut address);
            address.push_str(&self.behind);
        }
        address
    }
}

/// A key and a value, as an address has them.
fn pair(key: &str, value: &str) -> String {
    let mut pair = String::with_capacity(key.len() + 2 * value.len() + 1);
    push_pair(&mut pair, key, value);
    pair
}

fn push_pair(address: &mut String, key: &str, value: &str) {
    let written = |text| form_urlencoded::byte_serialize(str::as_bytes(text));
    address.extend(written(key));
    address.push('=');
    address.extend(written(value));
}

/// Whether a key says something of the words, not of a filter.
fn is_of_words(key: &str) -> bool {
    matches!(key, "q" | SAID | EXACT)
}

/// Whether a value may be that long. Words of any length may: the search says that they are too many.
fn may_be(key: &str, value: &str) -> bool {
    match key {
        "q" => true,
        SAID => value.len() <= LONGEST_SAID,
        _ => value.len() <= LONGEST_VALUE,
    }
}

/// The keys of the filters that take values.
pub fn groups() -> impl Iterator<Item = &'static str> {
    Group::ALL.into_iter().map(Group::key)
}

/// The keys of the ends of ranges.
pub fn ends() -> impl Iterator<Item = String> {
    RANGES.iter().flat_map(|(group, _)| ["from", "to"].map(|end| format!("{}_{end}", group.key())))
}

fn is_known(key: &str) -> bool {
    let of_range = || {
        let group = key.strip_suffix("_from").or_else(|| key.strip_suffix("_to"));
        group.is_some_and(|group| RANGES.iter().any(|(of, _)| of.key() == group))
    };
    key == "page" || is_of_words(key) || Group::from_key(key).is_some() || of_range()
}

/// A number in the unit people read, as the whole number that is compared. A number that is none narrows nothing.
fn number(text: &str, in_a_unit: i64) -> Option<i64> {
    let mark = if text.contains(',') { ',' } else { '.' };
    Decimal::parse(text, mark)?.scaled(in_a_unit, 1).map(i64::from)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn href(query: &str) -> String {
        ShoesQuery::parse(query).href("/shoes")
    }

    #[test]
    fn one_state_has_one_address() {
        let canonical = "/shoes?audience=men&q=marl&surface=road&surface=trail";
        for query in [
            "surface=trail&surface=road&q=marl&audience=men",
            "q=+marl&audience=men&surface=road&surface=trail&surface=road&size=&x=y&page=1",
        ] {
            assert_eq!(href(query), canonical);
            assert_eq!(href(canonical.split_once('?').unwrap().1), canonical);
        }
        assert_eq!(href(""), "/shoes");
    }

    #[test]
    fn a_toggle_puts_in_and_takes_out_and_goes_to_the_first_page() {
        let asked = ShoesQuery::parse("surface=road&page=3");
        assert_eq!(asked.toggled("surface", "trail").href("/shoes"), "/shoes?surface=road&surface=trail");
        assert_eq!(asked.toggled("surface", "road").href("/shoes"), "/shoes");
    }

    /// Words and the page first: nobody toggles these.
    const KEYS: [&str; 8] = ["q", "page", "audience", "drop_from", "maker", "price", "size", "width"];
    /// Few values, so that some come twice, and some that are written otherwise than they read.
    const VALUES: [&str; 10] = ["a", "b", "2", "EU 42", "EU 42.5", "-_.*~", "x+y", "a&b=c", "50 %/#", "äß♥"];

    #[test]
    fn an_address_that_toggles_is_that_of_the_state_it_leads_to() {
        let mut state: u64 = 1;
        let mut below = |most: usize| {
            state = state.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
            (state >> 33) as usize % most
        };
        for _ in 0..2_000 {
            let mut query = form_urlencoded::Serializer::new(String::new());
            for _ in 0..below(10) {
                query.append_pair(KEYS[below(KEYS.len())], VALUES[below(VALUES.len())]);
            }
            let asked = ShoesQuery::parse(&query.finish());
            let key = KEYS[2 + below(KEYS.len() - 2)];
            let toggles = asked.toggles("/shoes", key);
            for value in VALUES {
                assert_eq!(toggles.href(value), asked.toggled(key, value).href("/shoes"), "{asked:?}");
            }
        }
    }

    #[test]
    fn numbers_are_read_in_the_units_people_read() {
        let search = ShoesQuery::parse("drop_from=3,5&drop_to=8&price_to=150").search();
        assert_eq!((search.ranges[&Group::Drop].from, search.ranges[&Group::Drop].to), (Some(35), Some(80)));
        assert_eq!(search.ranges[&Group::Price].to, Some(15_000));
        assert!(ShoesQuery::parse("drop_from=low").search().ranges.is_empty());
    }

    #[test]
    fn a_page_beyond_all_reason_is_the_last_that_can_be_asked_for() {
        for page in ["2000000000", "99999999999999999999999999999999"] {
            let asked = ShoesQuery::parse(&format!("page={page}"));
            assert!(asked.is_beyond_the_last_page() || asked.page() == 1, "{page}");
            assert!(asked.search().offset <= 1_000);
        }
        assert_eq!(ShoesQuery::parse("page=0").page(), 1);
    }
}
