//! One search over one snapshot: words, filters, counts and order in a single pass.

mod asked;
#[cfg(test)]
mod brute;
mod count;
mod facets;
mod filter;
mod pass;
mod results;
mod sweep;
mod to_order;

use catalogue::rank::Ranker;

pub use asked::{Choice, Counts, MOST_HITS, MOST_OFFSET, Range, Search, Warning, Within, size_label};
pub use facets::{Bin, FacetGroup, FacetValue, FacetValues, Facets, RangeFacet};
pub use results::{Hit, Results, Stocked};

use crate::snapshot::Snapshot;
use crate::words::{Held, Told, Word, WordsError};
use count::Form;
use filter::Filter;
use pass::Tally;
use results::Order;

impl Snapshot {
    /// The answer to `search`, in the order of suitability when there is a ranker. Retired styles are not found.
    pub fn search(&self, search: &Search, ranker: Option<&Ranker>) -> Result<Results, WordsError> {
        self.answer(search, ranker, Form::Cheaper)
    }

    fn answer(&self, search: &Search, ranker: Option<&Ranker>, form: Form) -> Result<Results, WordsError> {
        let mut warnings = Vec::new();
        let (by_words, told) = self.by_words(search, &mut warnings)?.unzip();
        let order = match (ranker, &by_words) {
            (Some(ranker), _) => Order::Suitability(ranker),
            (None, Some(held)) => Order::Relevance(held),
            (None, None) => Order::Reading,
        };
        let filter = Filter::of(search, self, &mut warnings);
        let rows = by_words.as_ref().map(|held| &held.rows);
        let tally = Tally::of(self, &filter, rows, search.counts, form);
        let window = search.window(&mut warnings);
        let [hidden, hidden_within] = facets::hidden(&filter, &tally);
        Ok(Results {
            total: tally.total,
            pairs: tally.all_pairs,
            hits: order.part(&tally, by_words.as_ref(), window, self, &filter),
            ranges: facets::ranges(search, self, &tally),
            facets: Facets::of(search, self, tally),
            hidden,
            hidden_within,
            told: told.unwrap_or_default(),
            warnings,
        })
    }

    /// The rows that hold the words, and what was done to find them; `None` when there are no words to look for.
    fn by_words(
        &self,
        search: &Search,
        warnings: &mut Vec<Warning>,
    ) -> Result<Option<(Held, Told)>, WordsError> {
        if search.words.trim().is_empty() {
            return Ok(None);
        }
        let words = Word::read(&search.words)?;
        if words.is_empty() {
            warnings.push(Warning::NoWords);
            return Ok(None);
        }
        Ok(if search.exactly {
            self.words.answer_exactly(words)
        } else {
            self.words.answer(words, &self.synonyms, &self.columns.live)
        })
    }
}

#[cfg(test)]
mod tests {
    use catalogue::policy::HousePolicy;
    use catalogue::runner::Runner;
    use catalogue::stock::{Quantity, Sku};
    use catalogue::style::{Audience, Style};
    use catalogue::units::Mm;

    use super::*;
    use crate::snapshot::Group;
    use crate::snapshot::invented::{label, loaded, sku, snapshot, stocked, style};
    use crate::words::{Words, WordsRefused};

    fn choosing(group: Group, values: &[&str]) -> Search {
        Search { choices: [(group, Choice::of(values))].into(), ..Search::default() }
    }

    fn sized(text: &str) -> Search {
        let foot = label(text).foot(Some(Audience::Men)).unwrap();
        Search { feet: vec![foot], ..Search::default() }
    }

    fn keys(snapshot: &Snapshot, search: &Search) -> Vec<String> {
        let hits = snapshot.search(search, None).unwrap().hits;
        hits.iter().map(|hit| snapshot.card(hit.row).unwrap().style.key.to_string()).collect()
    }

    fn mens(number: &str) -> Style {
        Style { audience: Some(Audience::Men), ..style("Orrelby", number, "Sound") }
    }

    #[test]
    fn size_width_stock_and_price_must_hold_on_the_same_sku() {
        let style = mens("1");
        let wide = |sku: Sku| Sku { width: Some("2E".into()), ..sku };
        let skus = vec![stocked(&style, "EU 42", 1, 150), wide(stocked(&style, "EU 44", 2, 90))];
        let snapshot = snapshot(vec![style], skus);
        let mut search = sized("EU 42");
        assert_eq!(keys(&snapshot, &search).len(), 1);
        search.choices.insert(Group::Width, Choice::of(&["2E"]));
        let found = snapshot.search(&search, None).unwrap();
        assert_eq!((found.total, found.hidden), (0, vec![(Group::Size, 1), (Group::Width, 1)]));
    }

    #[test]
    fn half_a_step_of_its_own_run_is_near_enough_and_a_hair_more_is_not() {
        // EU 42 and 43 are a run with a step of one size, half of it half a size.
        let style = mens("1");
        let snapshot = snapshot(
            vec![style.clone()],
            vec![stocked(&style, "EU 42", 0, 90), stocked(&style, "EU 43", 1, 90)],
        );
        assert_eq!(
            keys(&snapshot, &sized("EU 42.5")).len(),
            1,
            "half a step, and the run counts sold out labels"
        );
        assert_eq!(keys(&snapshot, &sized("EU 42 1/3")).len(), 0);
        assert_eq!(keys(&snapshot, &sized("EU 42")).len(), 0, "sold out");
        assert_eq!(keys(&snapshot, &choosing(Group::Size, &["EU 43.25"])).len(), 1, "a label nobody stocks");
    }

    #[test]
    fn a_shoe_that_does_not_say_is_kept_only_where_that_is_asked() {
        let unisex = Style { audience: Some(Audience::Unisex), ..style("Orrelby", "2", "Sound") };
        let women = Style { audience: Some(Audience::Women), ..style("Orrelby", "4", "Sound") };
        let snapshot = snapshot(vec![mens("1"), unisex, style("Orrelby", "3", "Sound"), women], vec![]);
        assert_eq!(keys(&snapshot, &choosing(Group::Audience, &["men"])), ["orrelby.1"]);
        let mut search = Search::default();
        let choice = Choice::of(&["men"]).admitting(&["unisex", crate::snapshot::NOT_GIVEN]);
        search.choices.insert(Group::Audience, choice);
        assert_eq!(keys(&snapshot, &search), ["orrelby.1", "orrelby.2", "orrelby.3"]);
        let found = snapshot.search(&search, None).unwrap();
        let audience = found.facets.group(Group::Audience).unwrap();
        let shown: Vec<_> = audience.values.iter().map(|v| (v.value, v.count, v.selected)).collect();
        let expected = [("women", 1, false), ("men", 1, true), ("unisex", 1, false), ("not-given", 1, false)];
        assert_eq!(shown, expected);
        assert_eq!(found.hidden, [(Group::Audience, 1)]);
    }

    #[test]
    fn a_chosen_value_without_a_shoe_still_stands_in_its_group() {
        let mut search = choosing(Group::Audience, &["men"]);
        search.choices.insert(Group::Surface, Choice::of(&["trail"]));
        let found = snapshot(vec![mens("1")], vec![]).search(&search, None).unwrap();
        let surface = found.facets.group(Group::Surface).unwrap();
        let shown: Vec<_> = surface.values.iter().map(|v| (v.value, v.count, v.selected)).collect();
        assert_eq!(shown, [("trail", 0, true), ("not-given", 1, false)]);
    }

    #[test]
    fn a_value_that_no_shoe_has_finds_none_and_is_named() {
        let found =
            snapshot(vec![mens("1")], vec![]).search(&choosing(Group::Maker, &["nobody"]), None).unwrap();
        assert_eq!(found.total, 0);
        assert_eq!(found.warnings[0].to_string(), "no shoe has the value \"nobody\" under maker");
    }

    #[test]
    fn a_number_unknown_is_in_stock_and_counts_one_pair() {
        let style = mens("1");
        let some = Sku { quantity: Some(Quantity::Some), ..sku(&style, "grey", "EU 42") };
        let untold = sku(&style, "red", "EU 42");
        let snapshot = snapshot(vec![style], vec![some, untold]);
        let found = snapshot.search(&sized("EU 42"), None).unwrap();
        assert_eq!((found.total, found.pairs, snapshot.in_stock(&found.hits[0]).count()), (1, 1, 1));
    }

    #[test]
    fn a_retired_style_is_found_by_no_search_but_known_by_its_key() {
        let retired = Style { retired: true, ..mens("1") };
        let key = retired.key.clone();
        let snapshot = snapshot(vec![retired], vec![]);
        assert!(keys(&snapshot, &Search { words: "sound".into(), ..Search::default() }).is_empty());
        assert!(keys(&snapshot, &Search::default()).is_empty());
        assert_eq!(snapshot.style(&key).map(|card| card.row), Some(0));
    }

    #[test]
    fn a_runner_orders_by_suitability_then_pairs_then_key_and_a_part_is_the_same_order() {
        let with_drop = |number: &str, drop: i32| {
            let mut style = mens(number);
            style.specification.drop_stated = Some(Mm::whole(drop));
            style
        };
        let styles: Vec<_> = (0..40).map(|n| with_drop(&n.to_string(), n % 9)).collect();
        let skus = styles.iter().zip(0..).map(|(style, n)| stocked(style, "EU 42", n % 3, 90)).collect();
        let snapshot = snapshot(styles, skus);
        let ranker = Ranker::prepare(&Runner::default(), None, &HousePolicy::standard()).unwrap();
        let whole = snapshot.search(&Search::default(), Some(&ranker)).unwrap().hits;
        let keys: Vec<_> =
            whole.iter().map(|hit| (hit.score.unwrap().order_key(hit.pairs), hit.row)).collect();
        assert_eq!(whole.len(), 40);
        assert!(keys.is_sorted());
        let part = Search { limit: Some(7), offset: 5, ..Search::default() };
        assert_eq!(snapshot.search(&part, Some(&ranker)).unwrap().hits, whole[5..12]);
    }

    #[test]
    fn limit_and_offset_are_clamped_and_the_answer_says_so() {
        let styles = (0..120).map(|n| mens(&n.to_string())).collect();
        let huge = Search { limit: Some(2_000_000_000), offset: 2_000_000_000, ..Search::default() };
        let snapshot = snapshot(styles, vec![]);
        let found = snapshot.search(&huge, None).unwrap();
        assert_eq!((found.total, found.hits.len(), found.warnings.len()), (120, 0, 2));
        assert_eq!(found.warnings[1].to_string(), "offset 2000000000 was taken as 1000");
        let none = Search { limit: Some(0), ..Search::default() };
        assert_eq!(snapshot.search(&none, None).unwrap().hits.len(), 1);
        let whole = snapshot.search(&Search::default(), None).unwrap();
        assert_eq!(whole.hits.len(), 120, "a ranked list is shown whole");
    }

    #[test]
    fn three_thousand_brackets_are_refused_and_a_hundred_narrow_nothing() {
        let snapshot = snapshot(vec![mens("1")], vec![]);
        let brackets = |n| Search { words: "(".repeat(n), ..Search::default() };
        let refused = snapshot.search(&brackets(3000), None);
        assert!(matches!(refused, Err(WordsError::Refused(WordsRefused::TooLong(3000)))));
        let found = snapshot.search(&brackets(100), None).unwrap();
        assert_eq!((found.total, found.warnings), (1, vec![Warning::NoWords]));
    }

    #[test]
    fn more_makers_than_sixteen_bits_can_number_are_all_found() {
        let styles = (0..66_000).map(|n| style(&format!("m{n}"), "1", "Sound")).collect();
        let snapshot = snapshot(styles, vec![]);
        assert_eq!(keys(&snapshot, &choosing(Group::Maker, &["m65999"])), ["m65999.1"]);
    }

    #[test]
    fn deleting_the_index_changes_no_answer() {
        let folder = tempfile::tempdir().unwrap();
        let styles = vec![style("Fennick", "310", "Aro 3"), style("Fennick", "311", "Aros"), mens("1")];
        let answer = || {
            let loaded = loaded(styles.clone(), vec![]);
            let words = Words::open_or_build(Some(folder.path()), &loaded).unwrap();
            let search = Search { words: "aro".into(), ..Search::default() };
            Snapshot::build(loaded, words).search(&search, None).unwrap().hits
        };
        let before = answer();
        std::fs::remove_dir_all(folder.path()).unwrap();
        assert_eq!(before.len(), 2);
        assert_eq!(answer(), before);
    }
}
