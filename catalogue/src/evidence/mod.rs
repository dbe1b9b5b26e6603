//! What stands behind a rule: grade, sources, who was studied, what it does not show.

mod claim;
pub mod sources;
pub mod unsupported;

pub use claim::{Claim, claims};
pub use sources::{SOURCES, Source};
pub use unsupported::{UNSUPPORTED, Unsupported};

use crate::style::words;

words! {
    /// How far the studies carry the claim as it is used here.
    Grade {
        /// Consistent trials or meta-analyses.
        Strong => "strong",
        /// One sound trial, or a consistent laboratory meta-analysis.
        Moderate => "moderate",
        /// Small or single laboratory studies, cohorts, a subgroup of one trial.
        Limited => "limited",
        /// Studies that point both ways.
        Conflicting => "conflicting",
        /// Nothing found.
        None => "none",
    }
}

/// The evidence of a rule. No field may be left out: a rule without one does not compile.
#[derive(Clone, Copy, Debug)]
pub struct Evidence {
    /// How far it carries.
    pub grade: Grade,
    /// Where it is published.
    pub sources: &'static [&'static Source],
    /// What was found, with its numbers.
    pub shows: &'static str,
    /// Who was studied.
    pub studied: &'static str,
    /// What it does not show.
    pub limits: &'static str,
}

impl Grade {
    /// Its weight, in tenths of a point of evidence; 0 is printed only. *Our choice*: evidence section 11.3.
    pub const fn weight(self) -> i32 {
        match self {
            Self::Strong => 200,
            Self::Moderate => 120,
            Self::Limited => 60,
            Self::Conflicting | Self::None => 0,
        }
    }

    /// How strongly a page may speak: the one place where a grade becomes words.
    pub const fn verb(self) -> &'static str {
        match self {
            Self::Strong => "Several studies agree",
            Self::Moderate => "One sound study leans this way",
            Self::Limited => "Small studies lean this way",
            Self::Conflicting => "Studies point both ways",
            Self::None => "We know of no study",
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_weaker_grade_never_weighs_more() {
        let weights: Vec<_> = Grade::ALL.iter().map(|grade| grade.weight()).collect();
        assert!(weights.is_sorted_by(|a, b| a >= b));
    }

    #[test]
    fn no_grade_promises() {
        for grade in Grade::ALL {
            for word in ["prevent", "cure", "correct", "prove"] {
                assert!(!grade.verb().to_lowercase().contains(word));
            }
        }
    }
}
