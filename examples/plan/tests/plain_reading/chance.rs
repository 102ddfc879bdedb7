//! A small generator of its own, so that a seed draws the same scenario on every machine and for
//! ever.

/// SplitMix64 (G. L. Steele, D. Lea, C. H. Flood, "Fast splittable pseudorandom number
/// generators", 2014).
#[derive(Clone, Debug)]
pub(crate) struct Chance(u64);

impl Chance {
    pub(crate) fn new(seed: u64) -> Self {
        Self(seed)
    }

    fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        z ^ (z >> 31)
    }

    /// From 0 to below `below`.
    pub(crate) fn below(&mut self, below: usize) -> usize {
        (self.next() % below as u64) as usize
    }

    /// One of a number of percent.
    pub(crate) fn percent(&mut self, percent: usize) -> bool {
        self.below(100) < percent
    }

    /// A number between two, in hundredths.
    pub(crate) fn between(&mut self, low: f64, high: f64) -> f64 {
        let share = (self.next() >> 11) as f64 / (1_u64 << 53) as f64;
        ((low + share * (high - low)) * 100.0).round() / 100.0
    }

    /// A whole number of minutes (or metres) between two, both included.
    pub(crate) fn whole(&mut self, low: usize, high: usize) -> f64 {
        (low + self.below(high - low + 1)) as f64
    }

    pub(crate) fn pick<T: Copy>(&mut self, from: &[T]) -> T {
        from[self.below(from.len())]
    }
}
