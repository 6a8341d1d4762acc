//! Random numbers that are the same on every machine.

/// SplitMix64 (Steele, Lea & Flood 2014): small, and the same on every machine.
#[derive(Debug, Clone)]
pub(crate) struct Random(pub(crate) u64);

impl Random {
    /// The next 64 bits.
    pub(crate) fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        z ^ (z >> 31)
    }

    /// From 0 up to but not including 1.
    pub(crate) fn unit(&mut self) -> f64 {
        (self.next() >> 11) as f64 / (1u64 << 53) as f64
    }

    /// A whole number below `n` (at most a few thousand, so that the bias of the remainder is nothing).
    pub(crate) fn below(&mut self, n: usize) -> usize {
        (self.next() % n.max(1) as u64) as usize
    }
}
