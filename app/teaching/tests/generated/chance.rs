//! A small generator of numbers (SplitMix64), so that a seed gives the same
//! logs everywhere.

/// The generator.
pub struct Chance(pub u64);

impl Chance {
    /// The next number.
    pub fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        z ^ (z >> 31)
    }

    /// A number from `low` to `high`.
    pub fn within(&mut self, low: u64, high: u64) -> u64 {
        low + self.next() % (high - low + 1)
    }

    /// True in so many of a hundred cases.
    pub fn percent(&mut self, p: u64) -> bool {
        self.next() % 100 < p
    }

    /// One of a list.
    pub fn one<'a, T: ?Sized>(&mut self, list: &[&'a T]) -> &'a T {
        list[(self.next() % list.len() as u64) as usize]
    }

    /// A place in a list, by weight.
    pub fn weighted(&mut self, weights: &[u64]) -> usize {
        let mut at = self.next() % weights.iter().sum::<u64>();
        for (i, w) in weights.iter().enumerate() {
            if at < *w {
                return i;
            }
            at -= w;
        }
        0
    }
}
