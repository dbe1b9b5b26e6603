//! A sentence that is printed beside the rules, with what stands behind it.

use super::Evidence;

/// One claim. It gives no points and removes nothing; like a rule it cannot be written without its evidence.
#[derive(Clone, Copy, Debug)]
pub struct Claim {
    /// Its name in links; never changes.
    pub id: &'static str,
    /// One sentence or two, in the words of the shop.
    pub says: &'static str,
    /// What stands behind it; without a source it is the house's view, and its grade is none.
    pub evidence: Evidence,
}

impl Claim {
    /// Whether nobody has published it: it is the house's own view.
    pub const fn is_house_view(&self) -> bool {
        self.evidence.sources.is_empty()
    }
}
