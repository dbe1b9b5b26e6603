//! The next snapshot after a change of pairs and places alone: words and columns of styles are shared, and of the stock
//! only the runs that changed are worked out anew.
//!
//! Where more hangs on the change than that (a size in stock for the first time, a last pair gone, another quartile of the
//! prices) there is none, and the catalogue is loaded as a whole.

use std::collections::BTreeMap;
use std::sync::Arc;

use catalogue::stock::Sku;

use super::Snapshot;
use super::new_runs::NewRun;
use crate::loaded::Seq;

/// SKUs as they are now, of which nothing but pairs and place has changed.
#[derive(Clone, Debug)]
pub(crate) struct Restocked {
    /// The last change in it.
    pub(crate) seq: Seq,
    /// When stock was last told, seconds since 1970.
    pub(crate) stock_told: Option<i64>,
    /// The SKUs, in any order.
    pub(crate) skus: Vec<Sku>,
}

impl Snapshot {
    /// This snapshot with the SKUs of `news` as they are now; `None` where that is not all that changes.
    pub(crate) fn restocked(&self, news: Restocked) -> Option<Self> {
        let Restocked { seq, stock_told, skus: changed } = news;
        let runs = self.runs_with(changed)?;
        let new_runs: Vec<NewRun<'_>> =
            runs.iter().map(|(row, run)| (*row, &self.styles[*row], run.as_slice())).collect();
        let supplied = |row: usize| !self.styles[row].retired;
        let stock = self.stock.with_runs(&new_runs, &self.charts, &self.policy.currency, supplied)?;
        let mut skus = self.skus.clone();
        for (row, run) in runs {
            skus.exchange(row, run);
        }
        Some(Self {
            words: Arc::clone(&self.words),
            columns: Arc::clone(&self.columns),
            stock,
            seq,
            styles: Arc::clone(&self.styles),
            skus,
            gtins: Arc::clone(&self.gtins),
            policy: self.policy.clone(),
            charts: Arc::clone(&self.charts),
            stock_told,
            synonyms: Arc::clone(&self.synonyms),
        })
    }

    /// The runs that hold changed SKUs, each as it is now.
    fn runs_with(&self, changed: Vec<Sku>) -> Option<BTreeMap<usize, Vec<Sku>>> {
        let mut runs: BTreeMap<usize, Vec<Sku>> = BTreeMap::new();
        for sku in changed {
            let row = self.styles.binary_search_by(|style| style.key.cmp(&sku.style)).ok()?;
            let run = runs.entry(row).or_insert_with(|| self.skus.run(row).to_vec());
            let own = run.iter_mut().find(|own| own.is_same_size(&sku))?;
            let stays = Sku { quantity: sku.quantity, place: sku.place.clone(), ..own.clone() };
            if stays != sku {
                return None;
            }
            *own = sku;
        }
        Some(runs)
    }
}

#[cfg(test)]
mod tests {
    use catalogue::stock::Quantity;
    use catalogue::style::{Audience, Style};
    use proptest::prelude::*;

    use super::*;
    use crate::search::{Choice, Search};
    use crate::snapshot::Group;
    use crate::snapshot::invented::{snapshot, stocked, style};

    const LABELS: [&str; 4] = ["EU 41", "EU 42", "EU 42.5", "EU 44"];

    /// Styles with a run of sizes each: pairs and price of every size.
    fn shop(said: &[Vec<(Option<u32>, u32)>]) -> (Vec<Style>, Vec<Sku>) {
        let styles: Vec<Style> = (0..said.len())
            .map(|n| Style {
                audience: [Some(Audience::Men), Some(Audience::Women), None][n % 3],
                retired: n % 5 == 4,
                ..style("Orrelby", &n.to_string(), "Sound")
            })
            .collect();
        let skus = styles.iter().zip(said).flat_map(|(style, run)| {
            run.iter().zip(LABELS).map(|((pairs, price), label)| Sku {
                quantity: pairs.map(Quantity::Pairs),
                ..stocked(style, label, 0, 80 + 10 * price)
            })
        });
        (styles.clone(), skus.collect())
    }

    /// What a snapshot answers, in words that hold no code and no place.
    fn answers(snapshot: &Snapshot) -> Vec<String> {
        let sized = |label: &str| Search {
            choices: [(Group::Size, Choice::of(&[label]))].into(),
            ..Search::default()
        };
        let stock = Search { choices: [(Group::Stock, Choice::of(&["yes"]))].into(), ..Search::default() };
        let searches = [Search::default(), stock].into_iter().chain(LABELS.map(sized));
        let said = searches.map(|search| {
            let found = snapshot.search(&search, None).unwrap();
            let facets: Vec<_> = found
                .facets
                .iter()
                .map(|facet| {
                    facet.values.iter().map(|v| (v.value.to_owned(), v.count, v.selected)).collect::<Vec<_>>()
                })
                .collect();
            let hits: Vec<_> = found
                .hits
                .iter()
                .map(|hit| {
                    let skus: Vec<_> = snapshot
                        .in_stock(hit)
                        .map(|sku| (sku.key().to_string(), sku.quantity, sku.place.clone()))
                        .collect();
                    (hit.row, hit.pairs, skus)
                })
                .collect();
            format!(
                "{} {} {facets:?} {:?} {hits:?} {:?}",
                found.total, found.pairs, found.ranges, found.hidden
            )
        });
        said.collect()
    }

    fn any_run() -> impl Strategy<Value = Vec<(Option<u32>, u32)>> {
        prop::collection::vec((prop::option::weighted(0.8, 0_u32..4), 0_u32..9), 0..=LABELS.len())
    }

    proptest! {
        #[test]
        fn what_is_restocked_answers_as_what_is_built_anew(
            said in prop::collection::vec(any_run(), 1..9),
            news in prop::collection::vec((any::<prop::sample::Index>(), prop::option::weighted(0.9, 0_u32..4)), 0..4),
        ) {
            let (styles, mut skus) = shop(&said);
            let before = snapshot(styles.clone(), skus.clone());
            let mut changed = Vec::new();
            for (at, pairs) in news.iter().take(skus.len()) {
                let at = at.index(skus.len());
                skus[at].quantity = pairs.map(Quantity::Pairs);
                skus[at].place = Some(format!("bay {at}").into());
                changed.push(skus[at].clone());
            }
            let restocked = before.restocked(Restocked { seq: Seq(8), stock_told: Some(5), skus: changed });
            if let Some(restocked) = restocked {
                let anew = snapshot(styles, skus);
                prop_assert_eq!(answers(&restocked), answers(&anew));
                prop_assert_eq!((restocked.seq(), restocked.stock_told()), (Seq(8), Some(5)));
            }
        }
    }

    fn with_pairs(snapshot: &Snapshot, at: usize, pairs: u32) -> Option<Snapshot> {
        let sku = Sku { quantity: Some(Quantity::Pairs(pairs)), ..snapshot.skus()[at].clone() };
        snapshot.restocked(Restocked { seq: Seq(8), stock_told: None, skus: vec![sku] })
    }

    #[test]
    fn a_pair_more_or_less_needs_no_more_than_its_run() {
        let run = vec![(Some(2), 1), (Some(1), 1), (Some(3), 1), (Some(0), 1)];
        let (styles, skus) = shop(&[run.clone(), run]);
        let before = snapshot(styles, skus);
        let sold = with_pairs(&before, 0, 1).unwrap();
        let total = |snapshot: &Snapshot| snapshot.search(&Search::default(), None).unwrap().pairs;
        assert_eq!((total(&before), total(&sold)), (12, 11));
        assert!(with_pairs(&before, 0, 0).is_some(), "another pair of this size is there");
        assert!(with_pairs(&before, 3, 1).is_none(), "a size in stock for the first time");
    }

    #[test]
    fn whatever_else_changes_is_not_taken_for_news_of_stock() {
        let (styles, skus) = shop(&[vec![(Some(2), 1)]]);
        let before = snapshot(styles, skus.clone());
        let news = |sku: Sku| before.restocked(Restocked { seq: Seq(8), stock_told: None, skus: vec![sku] });
        assert!(news(skus[0].clone()).is_some());
        assert!(news(Sku { width: Some("2E".into()), ..skus[0].clone() }).is_none());
        assert!(news(Sku { price: None, ..skus[0].clone() }).is_none());
        let other = shop(&[vec![(Some(1), 1)], vec![(Some(1), 1)]]).1;
        assert!(news(other[1].clone()).is_none(), "of a style that is not there");
    }
}
