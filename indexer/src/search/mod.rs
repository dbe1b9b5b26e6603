//! One search over one snapshot: words, filters, counts and order in a single pass.

mod asked;
#[cfg(test)]
mod brute;
mod facets;
mod filter;
mod pass;
mod results;

use catalogue::rank::Ranker;

pub use asked::{Choice, Counts, MOST_HITS, MOST_OFFSET, Range, Search, Warning, size_label};
pub use facets::{Bin, FacetGroup, FacetValue, RangeFacet};
pub use results::{Hit, Results};

use crate::snapshot::Snapshot;
use crate::words::{Word, WordsError};
use filter::Filter;
use pass::Pass;
use results::Order;

impl Snapshot {
    /// The answer to `search`, in the order of suitability when there is a ranker. Retired styles are not found.
    pub fn search(&self, search: &Search, ranker: Option<&Ranker>) -> Result<Results, WordsError> {
        let mut warnings = Vec::new();
        let by_words = self.by_words(&search.words, &mut warnings)?;
        let order = match (ranker, &by_words) {
            (Some(ranker), _) => Order::Suitability(ranker),
            (None, Some(_)) => Order::Relevance,
            (None, None) => Order::Reading,
        };
        let filter = Filter::of(search, self, &mut warnings);
        let tally = Pass::new(&self.columns, &self.stock, &filter, search.counts).over(by_words);
        let (facets, ranges) = facets::facets(search, self, &tally);
        let window = search.window(&mut warnings);
        Ok(Results {
            total: tally.hits.len() as u32,
            pairs: tally.hits.iter().map(|found| u64::from(found.pairs)).sum(),
            facets,
            ranges,
            hits: order.part(&tally.hits, window, self, &filter),
            hidden: facets::hidden(&filter, &tally),
            warnings,
        })
    }

    /// The rows that hold the words; `None` when there are no words to look for.
    fn by_words(
        &self,
        typed: &str,
        warnings: &mut Vec<Warning>,
    ) -> Result<Option<Vec<(u32, f32)>>, WordsError> {
        if typed.trim().is_empty() {
            return Ok(None);
        }
        let words = Word::read(typed)?;
        if words.is_empty() {
            warnings.push(Warning::NoWords);
            return Ok(None);
        }
        self.words.hits(&words).map(Some)
    }
}
