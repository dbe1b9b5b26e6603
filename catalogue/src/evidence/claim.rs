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

/// All claims, subject by subject: how a strike is read, feet and sizes, plans.
pub fn claims() -> impl Iterator<Item = &'static Claim> {
    [crate::strike::CLAIMS, crate::fit::CLAIMS, crate::plan::advice::CLAIMS].into_iter().flatten().copied()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::evidence::Grade;
    use std::collections::BTreeSet;

    #[test]
    fn every_claim_has_people_limits_and_either_sources_or_the_house() {
        for claim in claims() {
            let evidence = &claim.evidence;
            for sentence in [claim.says, evidence.shows, evidence.studied, evidence.limits] {
                assert!(sentence.ends_with('.') && sentence.len() < 320, "{}: {sentence}", claim.id);
            }
            assert!(!claim.is_house_view() || evidence.grade == Grade::None, "{}", claim.id);
        }
    }

    #[test]
    fn no_claim_promises() {
        for claim in claims() {
            let words = format!("{} {}", claim.says, claim.evidence.shows).to_lowercase();
            for word in ["prevents", "cures", "corrects", "protects", "safe"] {
                assert!(!words.contains(word), "{} says {word}", claim.id);
            }
        }
    }

    #[test]
    fn ids_are_unique_and_no_rules() {
        let ids: BTreeSet<_> = claims().map(|claim| claim.id).collect();
        assert_eq!(ids.len(), claims().count());
        assert!(ids.iter().all(|id| crate::rules::Rule::find(id).is_none()));
    }
}
