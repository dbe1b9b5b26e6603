//! Times counted by how long they were.

use std::time::Duration;

/// How many times were at most so long, for each of some bounds.
#[derive(Clone, Debug)]
pub struct Histogram {
    bounds: &'static [u64],
    /// One a bound, and one for what is beyond the last.
    counts: [u64; MOST + 1],
    sum: Duration,
}

/// The most bounds a histogram has.
const MOST: usize = 13;

impl Histogram {
    /// An empty one with these bounds in microseconds, ascending.
    pub const fn of(bounds: &'static [u64]) -> Self {
        assert!(bounds.len() <= MOST, "a histogram has at most thirteen bounds");
        Self { bounds, counts: [0; MOST + 1], sum: Duration::ZERO }
    }

    /// Counts one time.
    pub fn add(&mut self, took: Duration) {
        let micros = took.as_micros();
        let at = self.bounds.iter().position(|bound| micros <= u128::from(*bound));
        self.counts[at.unwrap_or(self.bounds.len())] += 1;
        self.sum += took;
    }

    /// Each bound in seconds with how many times it holds, those of smaller bounds included.
    pub fn buckets(&self) -> impl Iterator<Item = (f64, u64)> {
        let within = self.counts.iter().scan(0, |sum, count| {
            *sum += count;
            Some(*sum)
        });
        self.bounds.iter().map(|micros| *micros as f64 / 1e6).zip(within)
    }

    /// How many there were.
    pub fn count(&self) -> u64 {
        self.counts.iter().sum()
    }

    /// All of them together, in seconds.
    pub fn sum(&self) -> f64 {
        self.sum.as_secs_f64()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_time_counts_in_its_bound_and_in_every_larger_one() {
        let mut times = Histogram::of(&[100, 1_000]);
        for micros in [100, 101, 5_000_000] {
            times.add(Duration::from_micros(micros));
        }
        assert_eq!(times.buckets().collect::<Vec<_>>(), [(0.000_1, 1), (0.001, 2)]);
        assert_eq!(times.count(), 3, "what is beyond the last bound is counted too");
        assert!((times.sum() - 5.000_201).abs() < 1e-9, "{}", times.sum());
    }
}
