//! Numbers that look random and are the same on every machine: SplitMix64 (Steele, Lea, Flood 2014).

/// A stream of numbers fixed by its seed.
#[derive(Debug, Clone)]
pub(crate) struct Random(u64);

impl Random {
    pub(crate) fn new(seed: u64) -> Self {
        Self(seed)
    }

    pub(crate) fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut mixed = self.0;
        mixed = (mixed ^ (mixed >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        mixed = (mixed ^ (mixed >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        mixed ^ (mixed >> 31)
    }

    /// A whole number from 0 up to, not including, `end` (0 where `end` is 0).
    pub(crate) fn below(&mut self, end: usize) -> usize {
        // The high half of a 32 × 32 bit product: no division, and a bias far under anything seen here.
        ((((self.next() >> 32) as u128) * end as u128) >> 32) as usize
    }

    /// A number from 0 up to, not including, 1.
    pub(crate) fn unit(&mut self) -> f64 {
        (self.next() >> 11) as f64 * (1.0 / (1u64 << 53) as f64)
    }

    /// A number over 0 with mean 1, larger ones ever rarer (exponential distribution).
    pub(crate) fn patience(&mut self) -> f64 {
        -libm::log(1.0 - self.unit())
    }
}
