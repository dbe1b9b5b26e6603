//! The reply of `gaps --json`.

use indexer::gaps::{Doubt, Hole, Shoe, contradictions, duplicates, holes, outliers};
use serde::Serialize;

/// What the catalogue does not know.
#[derive(Clone, Debug, Serialize)]
pub struct GapsReply {
    styles: usize,
    missing: Vec<HoleReply>,
    contradictions: Vec<DoubtReply>,
    outliers: Vec<DoubtReply>,
    duplicates: Vec<DoubtReply>,
}

/// How many styles lack one thing, of those it applies to.
#[derive(Clone, Debug, Serialize)]
pub struct HoleReply {
    measure: &'static str,
    missing: usize,
    of: usize,
    styles: Vec<String>,
}

/// Values that can hardly be true together.
#[derive(Clone, Debug, Serialize)]
pub struct DoubtReply {
    code: &'static str,
    styles: Vec<String>,
    say: String,
}

impl GapsReply {
    /// The gaps of these shoes.
    pub fn of(shoes: &[Shoe<'_>]) -> Self {
        let doubts = |found: Vec<Doubt>| found.into_iter().map(DoubtReply::of).collect();
        Self {
            styles: shoes.iter().filter(|shoe| !shoe.style.retired).count(),
            missing: holes(shoes).iter().map(|hole| HoleReply::of(hole, shoes)).collect(),
            contradictions: doubts(contradictions(shoes)),
            outliers: doubts(outliers(shoes)),
            duplicates: doubts(duplicates(shoes)),
        }
    }
}

impl HoleReply {
    fn of(hole: &Hole, shoes: &[Shoe<'_>]) -> Self {
        let lacking = shoes.iter().filter(|shoe| hole.wanted.is_missing(shoe));
        Self {
            measure: hole.wanted.key,
            missing: hole.missing,
            of: hole.of,
            styles: lacking.map(|shoe| shoe.style.key.to_string()).collect(),
        }
    }
}

impl DoubtReply {
    fn of(doubt: Doubt) -> Self {
        let Doubt { code, styles, say } = doubt;
        Self { code, styles: styles.iter().map(ToString::to_string).collect(), say }
    }
}
