//! Numbers by chance from a seed, the same on every machine.

/// A generator of numbers by chance: `SplitMix64` (Steele, Lea and Flood 2014).
#[derive(Clone, Debug)]
pub struct Dice(u64);

impl Dice {
    /// The same seed gives the same numbers.
    pub const fn new(seed: u64) -> Self {
        Self(seed)
    }

    fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        z ^ (z >> 31)
    }

    /// From 0 up to 1, evenly.
    pub fn even(&mut self) -> f64 {
        // 53 bits are exactly a f64's.
        (self.next() >> 11) as f64 / (1u64 << 53) as f64
    }

    /// About 0 with a deviation of 1: the sum of four even ones, near enough to a bell curve for noise.
    pub fn normal(&mut self) -> f64 {
        let sum = self.even() + self.even() + self.even() + self.even();
        (sum - 2.0) * 3f64.sqrt()
    }
}

/// A seed from a word, such as an instrument's id: FNV-1a with 64 bits (IETF draft-eastlake-fnv).
pub fn seed_of(word: &str) -> u64 {
    word.bytes().fold(0xcbf2_9ce4_8422_2325, |hash, byte| {
        (hash ^ u64::from(byte)).wrapping_mul(0x0000_0100_0000_01b3)
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn published_values() {
        // FNV-1a of "a" and "foobar": test vectors of the draft.
        assert_eq!(seed_of("a"), 0xaf63_dc4c_8601_ec8c);
        assert_eq!(seed_of("foobar"), 0x8594_4171_f739_67e8);
        // The first number of `SplitMix64` from seed 0, as published with its reference code.
        assert_eq!(Dice::new(0).next(), 0xe220_a839_7b1d_cdaf);
    }

    #[test]
    fn even_and_normal_are_so() {
        let mut dice = Dice::new(7);
        let even: f64 = (0..20_000).map(|_| dice.even()).sum::<f64>() / 20_000.0;
        let square: f64 = (0..20_000).map(|_| dice.normal().powi(2)).sum::<f64>() / 20_000.0;
        assert!((even - 0.5).abs() < 0.01 && (square - 1.0).abs() < 0.05, "{even} {square}");
    }
}
