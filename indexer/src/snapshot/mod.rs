//! The catalogue at one sequence, in memory: what answers a whole request.

pub(crate) mod bands;
pub(crate) mod bits;
mod group;
#[cfg(test)]
pub(crate) mod invented;
mod new_runs;
pub(crate) mod restocked;
pub(crate) mod sku_sets;
mod skus;
pub(crate) mod stock;
pub(crate) mod styles;
mod successors;
pub(crate) mod vocabulary;

use catalogue::key::StyleKey;
use catalogue::measures::Measures;
use catalogue::policy::HousePolicy;
use catalogue::size::{FootLength, LabelledFoot, SizeCharts, SizeLabel};
use catalogue::stock::{Gtin, Sku};
use catalogue::style::Style;

use std::sync::Arc;

pub use group::Group;
pub use skus::Skus;
pub use vocabulary::NOT_GIVEN;

use crate::loaded::{Loaded, Seq};
use crate::words::{Synonyms, Words};
use stock::{Fits, Stock};
use styles::Styles;
use vocabulary::Vocabulary;

/// Words, styles, stock, policy and charts at one sequence. Never changes; a change makes the next one.
pub struct Snapshot {
    pub(crate) words: Arc<Words>,
    pub(crate) columns: Arc<Styles>,
    pub(crate) stock: Stock,
    seq: Seq,
    styles: Arc<[Style]>,
    skus: Skus,
    /// The places of the SKUs with a number on the box, in the order of these numbers.
    gtins: Arc<[u32]>,
    policy: HousePolicy,
    charts: Arc<SizeCharts>,
    stock_told: Option<i64>,
    pub(crate) synonyms: Arc<Synonyms>,
}

/// One style with all that hangs on it.
#[derive(Clone, Copy, Debug)]
pub struct StyleCard<'s> {
    /// Its row in this snapshot; never kept beyond it.
    pub row: u32,
    /// What the sheets say.
    pub style: &'s Style,
    /// What ranks.
    pub measures: Measures,
    /// Its SKUs by colourway, system, size and width.
    pub skus: &'s [Sku],
}

impl Snapshot {
    /// The snapshot of what is loaded; `words` are those of the same [`Loaded`].
    pub fn build(loaded: Loaded, words: impl Into<Arc<Words>>) -> Self {
        let Loaded { seq, styles, skus, policy, charts, stock_told, synonyms } = loaded;
        let stock = Stock::of(&styles, &skus, &charts, &policy.currency);
        let mut gtins: Vec<u32> =
            (0..).zip(&skus).filter(|(_, sku)| sku.gtin.is_some()).map(|(at, _)| at).collect();
        gtins.sort_by_key(|at| skus[*at as usize].gtin);
        Self {
            words: words.into(),
            columns: Arc::new(Styles::of(&styles)),
            seq,
            styles: styles.into(),
            skus: Skus::of(skus, &stock.ends),
            stock,
            gtins: gtins.into(),
            policy,
            charts: Arc::new(charts),
            stock_told,
            synonyms: Arc::new(synonyms),
        }
    }

    /// The last change in it.
    pub fn seq(&self) -> Seq {
        self.seq
    }

    /// Whether its word index had to be built anew.
    pub fn has_new_index(&self) -> bool {
        self.words.is_new()
    }

    /// The shop's opinion.
    pub fn policy(&self) -> &HousePolicy {
        &self.policy
    }

    /// What words mean besides themselves in this shop.
    pub fn synonyms(&self) -> &Synonyms {
        &self.synonyms
    }

    /// When stock was last told, seconds since 1970.
    pub fn stock_told(&self) -> Option<i64> {
        self.stock_told
    }

    /// Every style in the order of keys, retired ones included: row n is the n-th.
    pub fn styles(&self) -> &[Style] {
        &self.styles
    }

    /// Every SKU in the order of styles.
    pub fn skus(&self) -> &Skus {
        &self.skus
    }

    /// The style of a key, retired or not: a runner may wear what nobody supplies any more.
    pub fn style(&self, key: &StyleKey) -> Option<StyleCard<'_>> {
        let row = self.styles.binary_search_by_key(&key, |style| &style.key).ok()?;
        self.card(row as u32)
    }

    /// The style of a row.
    pub fn card(&self, row: u32) -> Option<StyleCard<'_>> {
        let at = row as usize;
        let style = self.styles.get(at)?;
        Some(StyleCard { row, style, measures: self.columns.measures[at], skus: self.skus.run(at) })
    }

    /// The SKUs on whose box this number is: one, unless a sheet gave it twice.
    pub fn by_gtin(&self, gtin: Gtin) -> impl Iterator<Item = &Sku> {
        self.places_of_gtin(gtin).map(|at| &self.skus[at])
    }

    /// The SKU of a key; `None` when there is none.
    pub fn sku(&self, key: &str) -> Option<&Sku> {
        self.place_of_key(key).map(|at| &self.skus[at])
    }

    /// The places of the SKUs on whose box this number is.
    pub(crate) fn places_of_gtin(&self, gtin: Gtin) -> impl Iterator<Item = usize> {
        let on_box = |at: &u32| self.skus[*at as usize].gtin;
        let first = self.gtins.partition_point(|at| on_box(at) < Some(gtin));
        self.gtins[first..].iter().take_while(move |at| on_box(at) == Some(gtin)).map(|at| *at as usize)
    }

    /// The place of the SKU of a key.
    pub(crate) fn place_of_key(&self, key: &str) -> Option<usize> {
        let style = StyleKey::parse(key.split('/').next()?)?;
        let row = self.style(&style)?.row as usize;
        self.stock.range(row).find(|at| self.skus[*at].key().as_str() == key)
    }

    /// What the codes of a group stand for.
    pub(crate) fn vocabulary(&self, group: Group) -> &Vocabulary {
        let level = if group.is_of_sku() { &self.stock.level } else { &self.columns.level };
        &level.vocabularies[group.place()]
    }

    /// For each SKU of a style whether it is made for one of these feet, in stock or not; no feet are any.
    pub(crate) fn made_for(&self, card: &StyleCard<'_>, feet: &[FootLength]) -> Vec<bool> {
        let fits = stock::fits_of_run(card.style, card.skus, &self.charts);
        let meets = |fits: &Fits| feet.iter().any(|foot| fits.meets(*foot));
        fits.iter().map(|fits| feet.is_empty() || fits.as_ref().is_some_and(meets)).collect()
    }

    /// The foot a label of this style is made for, and by what.
    pub fn foot(&self, style: &Style, label: &SizeLabel) -> Option<LabelledFoot> {
        self.charts.foot(&style.key.maker(), style.audience, label)
    }
}

#[cfg(test)]
mod tests {
    use super::invented::{label, sku, snapshot, style};
    use super::*;

    #[test]
    fn a_style_card_holds_its_own_skus_and_no_others() {
        let (a, b) = (style("Orrelby", "1", "Sound"), style("Orrelby", "10", "Sound"));
        let skus = vec![sku(&b, "grey", "EU 42"), sku(&a, "grey", "EU 41"), sku(&a, "grey", "EU 42")];
        let snapshot = snapshot(vec![b.clone(), a.clone()], skus);
        let of = |style: &Style| {
            snapshot.style(&style.key).unwrap().skus.iter().map(|s| &s.style).collect::<Vec<_>>()
        };
        assert_eq!(of(&a), [&a.key, &a.key]);
        assert_eq!(of(&b), [&b.key]);
        assert!(snapshot.card(2).is_none());
        assert_eq!(snapshot.seq(), Seq(7));
    }

    #[test]
    fn a_scanned_code_finds_its_sku_and_another_none() {
        let style = style("Orrelby", "1", "Sound");
        let gtin = |text| Gtin::parse(text).unwrap();
        let boxed = Sku { gtin: Some(gtin("6291041500213")), ..sku(&style, "grey", "EU 42") };
        let snapshot = snapshot(vec![style.clone()], vec![sku(&style, "red", "EU 42"), boxed.clone()]);
        assert_eq!(snapshot.by_gtin(gtin("06291041500213")).collect::<Vec<_>>(), [&boxed]);
        assert_eq!(snapshot.by_gtin(gtin("7300011000017")).count(), 0);
        assert!(snapshot.foot(&style, &label("EU 42")).is_some());
    }
}
