//! The third peer, and the bound of the memory: the columns that a search reads, summed and nothing else.
//!
//! Of styles so many bytes as their codes and measures take in the narrowest form, which is what
//! the rows of 30 bytes of the measured design are; of SKUs what the search holds of each.

use std::hint::black_box;

/// Eight bytes each, so that thirty bytes a style are nearly four of them.
const WORDS_OF_STYLE: usize = 4;
/// Four codes, pairs and the answer whether any is there: 24 bytes.
const WORDS_OF_SKU: usize = 3;

/// Columns of a shop.
pub(crate) struct Scan {
    styles: Vec<u64>,
    skus: Vec<u64>,
}

impl Scan {
    /// Of so many styles and SKUs.
    pub(crate) fn of(styles: usize, skus: usize) -> Self {
        let filled = |words: usize| (0..words as u64).collect();
        Self { styles: filled(styles * WORDS_OF_STYLE), skus: filled(skus * WORDS_OF_SKU) }
    }

    /// Reads the columns of all styles.
    pub(crate) fn styles(&self) -> u64 {
        black_box(sum(&self.styles))
    }

    /// Reads the columns of all SKUs.
    pub(crate) fn skus(&self) -> u64 {
        black_box(sum(&self.skus))
    }
}

/// In eight lanes, so that no addition waits for the one before it.
fn sum(words: &[u64]) -> u64 {
    let mut lanes = [0_u64; 8];
    for chunk in words.chunks_exact(lanes.len()) {
        for (lane, word) in lanes.iter_mut().zip(chunk) {
            *lane = lane.wrapping_add(*word);
        }
    }
    lanes.into_iter().fold(0, u64::wrapping_add)
}
