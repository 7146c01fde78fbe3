//! Order by chance, from a seed that is kept with the answers, so that it can be read again in six years.
//!
//! Numbers by `SplitMix64` (G. L. Steele, D. Lea, C. H. Flood, "Fast splittable pseudorandom number generators", 2014), orders by the
//! shuffle of R. Fisher and F. Yates in R. Durstenfeld's form (1964).

/// Numbers by chance, the same ones for the same seed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Chance(u64);

impl Chance {
    /// From a seed.
    pub const fn new(seed: u64) -> Self {
        Self(seed)
    }

    /// From a seed, for the listener with that number: each has an order of their own.
    pub fn for_listener(seed: u64, listener: u32) -> Self {
        let mut chance = Self(seed ^ (u64::from(listener) << 32));
        Self(chance.draw())
    }

    /// The next number.
    pub const fn draw(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        z ^ (z >> 31)
    }

    /// A number below `end`, each as likely as any other; 0 where `end` is 0.
    pub fn below(&mut self, end: u64) -> u64 {
        if end == 0 {
            return 0;
        }
        // What would make the first numbers likelier is drawn again.
        let fair = u64::MAX - u64::MAX % end;
        loop {
            let drawn = self.draw();
            if drawn < fair {
                return drawn % end;
            }
        }
    }

    /// Heads or tails.
    pub fn coin(&mut self) -> bool {
        self.below(2) == 1
    }

    /// Brings things into an order by chance.
    pub fn shuffle<T>(&mut self, things: &mut [T]) {
        for last in (1..things.len()).rev() {
            let other = usize::try_from(self.below(last as u64 + 1)).unwrap_or(last);
            things.swap(last, other);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn listeners_have_orders_of_their_own() {
        let order = |listener| {
            let mut all: Vec<u32> = (0..20).collect();
            Chance::for_listener(7, listener).shuffle(&mut all);
            all
        };
        assert_eq!(order(0), order(0));
        assert_ne!(order(0), order(1));
    }

    #[test]
    fn every_order_of_three_comes_about_as_often() {
        let mut counts = std::collections::BTreeMap::<Vec<u8>, u32>::new();
        for seed in 0..6000 {
            let mut three = vec![0, 1, 2];
            Chance::new(seed).shuffle(&mut three);
            *counts.entry(three).or_default() += 1;
        }
        // Six orders, a thousand each; six standard deviations of 29 either way.
        assert!(counts.len() == 6 && counts.values().all(|n| (826..1174).contains(n)), "{counts:?}");
    }

    proptest! {
        #[test]
        fn nothing_is_lost(seed: u64, n in 0_usize..50) {
            let mut all: Vec<usize> = (0..n).collect();
            Chance::new(seed).shuffle(&mut all);
            all.sort_unstable();
            prop_assert_eq!(all, (0..n).collect::<Vec<_>>());
        }

        #[test]
        fn numbers_stay_below(seed: u64, end in 1_u64..) {
            prop_assert!(Chance::new(seed).below(end) < end);
        }
    }
}
