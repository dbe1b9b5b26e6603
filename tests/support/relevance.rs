//! How good an order is against what was wanted: the usual measures of retrieval, with linear gain and a discount of
//! the binary logarithm of the place plus one.

/// Discounted cumulative gain of grades in the order in which they were found.
pub fn gain(grades: &[f64]) -> f64 {
    (2..).zip(grades).map(|(place, grade)| grade / f64::from(place).log2()).sum()
}

/// The same as a share of the best order of all that is graded, as deep as was looked; 0 when nothing is wanted.
pub fn normalised_gain(found: &[f64], all: &[f64]) -> f64 {
    let mut best = all.to_vec();
    best.sort_by(|one, other| other.total_cmp(one));
    best.truncate(found.len());
    let most = gain(&best);
    if most > 0.0 { gain(found) / most } else { 0.0 }
}

/// The mean of one over the place of the first hit, from 1; a question without a hit counts 0.
pub fn mean_reciprocal_rank(first_hits: &[Option<usize>]) -> f64 {
    let reciprocal = |place: &Option<usize>| place.map_or(0.0, |place| 1.0 / place as f64);
    first_hits.iter().map(reciprocal).sum::<f64>() / first_hits.len().max(1) as f64
}
