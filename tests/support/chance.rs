//! Chance that can be had again: a seed gives the same numbers on every machine.

/// Numbers by the SplitMix64 of Steele, Lea and Flood (2014).
#[derive(Clone, Debug)]
pub struct Chance(u64);

impl Chance {
    /// Numbers that follow from `seed`.
    pub fn of(seed: u64) -> Self {
        Self(seed)
    }

    /// The seed in `LASTBENCH_SEED`, else 1.
    pub fn seed() -> u64 {
        number("LASTBENCH_SEED").unwrap_or(1)
    }

    /// The next number.
    pub fn draw(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut mixed = self.0;
        mixed = (mixed ^ (mixed >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        mixed = (mixed ^ (mixed >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        mixed ^ (mixed >> 31)
    }

    /// A number below `end`; 0 when there is none.
    pub fn below(&mut self, end: usize) -> usize {
        if end == 0 { 0 } else { (self.draw() % end as u64) as usize }
    }

    /// One of these.
    pub fn one<'t, T>(&mut self, of: &'t [T]) -> Option<&'t T> {
        let at = self.below(of.len());
        of.get(at)
    }

    /// Puts these into another order.
    pub fn shuffle<T>(&mut self, these: &mut [T]) {
        for last in (1..these.len()).rev() {
            let at = self.below(last + 1);
            these.swap(last, at);
        }
    }
}

/// The number that the environment gives under this name.
pub fn number(name: &str) -> Option<u64> {
    std::env::var(name).ok()?.parse().ok()
}
