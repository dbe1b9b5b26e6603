//! The SKUs of a snapshot, style by style: the next snapshot shares those of all styles whose stock is the same.

use std::ops::Index;
use std::sync::Arc;

use catalogue::stock::Sku;

/// Every SKU in the order of styles.
#[derive(Clone, Debug)]
pub struct Skus {
    runs: Vec<Arc<[Sku]>>,
    /// Where the run of each style ends, counted through.
    ends: Arc<[u32]>,
}

impl Skus {
    /// SKUs in the order of their styles; `ends` says where the run of each style ends.
    pub(crate) fn of(skus: Vec<Sku>, ends: &Arc<[u32]>) -> Self {
        let mut skus = skus.into_iter();
        let mut start = 0;
        let runs = ends.iter().map(|end| {
            let run = skus.by_ref().take((end - start) as usize).collect();
            start = *end;
            run
        });
        Self { runs: runs.collect(), ends: Arc::clone(ends) }
    }

    /// How many there are.
    pub fn len(&self) -> usize {
        self.ends.last().map_or(0, |end| *end as usize)
    }

    /// Whether there is none.
    pub fn is_empty(&self) -> bool {
        self.len() == 0
    }

    /// All of them, in order.
    pub fn iter(&self) -> impl Iterator<Item = &Sku> + Clone {
        self.runs.iter().flat_map(|run| run.iter())
    }

    /// The SKU at a place counted through.
    pub fn get(&self, at: usize) -> Option<&Sku> {
        let row = self.ends.partition_point(|end| *end as usize <= at);
        let start = if row == 0 { 0 } else { self.ends[row - 1] as usize };
        self.runs.get(row)?.get(at - start)
    }

    /// Those of a row.
    pub(crate) fn run(&self, row: usize) -> &[Sku] {
        &self.runs[row]
    }

    /// The same with another run of as many SKUs for a row.
    pub(crate) fn exchange(&mut self, row: usize, run: Vec<Sku>) {
        debug_assert_eq!(run.len(), self.runs[row].len());
        self.runs[row] = run.into();
    }
}

impl Index<usize> for Skus {
    type Output = Sku;

    fn index(&self, at: usize) -> &Sku {
        let row = self.ends.partition_point(|end| *end as usize <= at);
        let start = if row == 0 { 0 } else { self.ends[row - 1] as usize };
        &self.runs[row][at - start]
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::snapshot::invented::{sku, style};

    #[test]
    fn a_place_counted_through_leads_to_its_sku_past_styles_without_any() {
        let style = style("Fennick", "1", "Marl");
        let labels = ["EU 40", "EU 41", "EU 42", "EU 43"];
        let all: Vec<Sku> = labels.iter().map(|label| sku(&style, "grey", label)).collect();
        let skus = Skus::of(all.clone(), &[0, 1, 1, 4].into());
        assert_eq!((skus.len(), skus.is_empty()), (4, false));
        assert_eq!(skus.iter().collect::<Vec<_>>(), all.iter().collect::<Vec<_>>());
        assert!((0..4).all(|at| skus[at] == all[at] && skus.get(at) == Some(&all[at])));
        assert_eq!(skus.get(4), None);
        assert_eq!(skus.run(3).len(), 3);
        assert!(skus.run(2).is_empty() && Skus::of(Vec::new(), &[].into()).is_empty());
    }
}
