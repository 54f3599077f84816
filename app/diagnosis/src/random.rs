//! Draws from a seed: the same seed gives the same numbers on every machine
//! and in every later version.

/// SplitMix64 (Steele, Lea and Flood 2014): small, fast, and good enough for
/// ranges.
#[derive(Clone, Debug)]
pub struct Random(u64);

impl Random {
    /// Begins at this seed.
    pub fn new(seed: u64) -> Self {
        Self(seed)
    }

    /// The next 64 bits.
    pub fn bits(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        z ^ (z >> 31)
    }

    /// Evenly between 0 and 1, neither of them.
    pub fn even(&mut self) -> f64 {
        ((self.bits() >> 11) as f64 + 0.5) / 9_007_199_254_740_992.0
    }

    /// Standard normal (polar method of Marsaglia; the second number is not
    /// kept).
    pub fn normal(&mut self) -> f64 {
        loop {
            let (x, y) = (2.0 * self.even() - 1.0, 2.0 * self.even() - 1.0);
            let r = x * x + y * y;
            if r > 0.0 && r < 1.0 {
                return x * (-2.0 * r.ln() / r).sqrt();
            }
        }
    }

    /// Gamma with this shape and scale 1 (Marsaglia and Tsang 2000).
    fn gamma(&mut self, shape: f64) -> f64 {
        if shape < 1.0 {
            let boost = self.even().powf(1.0 / shape);
            return self.gamma(shape + 1.0) * boost;
        }
        let d = shape - 1.0 / 3.0;
        let c = 1.0 / (9.0 * d).sqrt();
        loop {
            let x = self.normal();
            let v = (1.0 + c * x).powi(3);
            if v > 0.0 && self.even().ln() < 0.5 * x * x + d - d * v + d * v.ln() {
                return d * v;
            }
        }
    }

    /// Beta with these two counts, which are above 0.
    pub fn beta(&mut self, a: f64, b: f64) -> f64 {
        let (x, y) = (self.gamma(a), self.gamma(b));
        if x + y > 0.0 {
            x / (x + y)
        } else {
            a / (a + b)
        }
    }
}
