//! The measures of search against `tables/ndcg_mrr_examples.csv`: values of trec_eval (through pytrec-eval-terrier
//! 0.5.11) and plain arithmetic.

#![allow(clippy::unwrap_used, reason = "a test may fail loudly")]

use tests::relevance::{gain, mean_reciprocal_rank, normalised_gain};

/// The value of a row of the table.
fn published(quantity: &str) -> f64 {
    let table = include_str!("../tables/ndcg_mrr_examples.csv");
    let unquoted = table.lines().map(|line| line.replace('"', ""));
    let line = unquoted.into_iter().find(|line| line.starts_with(quantity)).unwrap();
    line[quantity.len() + 1..].split(',').next().unwrap().parse().unwrap()
}

#[test]
fn gain_and_reciprocal_ranks_are_those_of_the_published_examples() {
    let found = [3.0, 2.0, 3.0, 0.0, 1.0, 2.0];
    let with_two_more = [&found[..], &[3.0, 2.0]].concat();
    let exponential: Vec<f64> = found.iter().map(|grade: &f64| grade.exp2() - 1.0).collect();
    let checked = [
        ("DCG6 linear gain", gain(&found)),
        ("nDCG6 same six", normalised_gain(&found, &found)),
        ("nDCG6 with those", normalised_gain(&found, &with_two_more)),
        ("nDCG3 same six", normalised_gain(&found[..3], &found)),
        ("DCG6 exponential gain 2^rel-1", gain(&exponential)),
        ("MRR of first hits at ranks 3,2,1", mean_reciprocal_rank(&[Some(3), Some(2), Some(1)])),
    ];
    for (quantity, computed) in checked {
        assert!((computed - published(quantity)).abs() < 1e-6, "{quantity}: {computed}");
    }
    assert!((mean_reciprocal_rank(&[None, Some(1)]) - 0.5).abs() < 1e-9);
}
