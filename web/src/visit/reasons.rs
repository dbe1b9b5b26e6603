//! One reason for a shoe or against it, in words.

use catalogue::measures::Measure;
use catalogue::rank::{Reason, Say};

use super::{capital, listed, why};
use crate::words;

/// What a reason says.
pub fn in_words(reason: &Reason) -> String {
    match &reason.say {
        Say::Sentence(sentence) => words::of(sentence).to_owned(),
        Say::AsLookedFor(measures) => say!("{measures} as looked for.", measures = named(measures)),
        Say::NotGiven(measures) => say!("{measures} not given.", measures = named(measures)),
    }
}

fn named(measures: &[Measure]) -> String {
    let names: Vec<&str> = measures.iter().map(|of| why::measure(*of)).collect();
    capital(&listed(&names, say!("and")))
}
