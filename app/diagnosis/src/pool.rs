//! Partial pooling: what several small counts say about each other.
//!
//! How often one cause is found on each board revision of a family is taken to
//! vary around a common share. How much it varies is not known and is summed
//! over (beta-binomial model with the prior of Gelman et al., Bayesian Data
//! Analysis, chapter 5: the mean evenly spread, the size a + b with density
//! proportional to its power -3/2). A revision with three known cases borrows
//! from its siblings, one with three hundred hardly.

use crate::random::Random;

/// One count: so many cases of so many consoles. Fractions are fine: a word
/// stands for a part of a case.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Count {
    /// Consoles in which it was this.
    pub cases: f64,
    /// Consoles in all.
    pub of: f64,
}

/// Steps of the mean, 0 to 1.
const MEANS: usize = 24;
/// Steps of the size, on a logarithmic scale.
const SIZES: usize = 16;
/// How often the sum is taken, each time over the part that matters.
const TURNS: usize = 2;
/// A cell with less than this part of the most probable one does not matter.
const MATTERS: f64 = 1e-5;
/// Range of the size: as if so many consoles were known of the family.
const SIZE: (f64, f64) = (1.0, 10_000.0);

/// What the counts say together.
#[derive(Clone, Debug, Default)]
pub struct Pool {
    /// Mean and size of each cell of the sum.
    cells: Vec<(f64, f64)>,
    /// How probable the cells up to this one are, rising to 1.
    up_to: Vec<f64>,
    counts: Vec<Count>,
    /// Choices beyond two.
    others: f64,
}

impl Pool {
    /// Sums over all means and sizes: first coarsely, then closely where the
    /// counts leave them probable. Counts that are no numbers count as none.
    ///
    /// `choices` is how many causes there are to choose from: before any count
    /// each of them is as probable as the next, so the mean has the density
    /// Beta(1, choices - 1). With 2 every mean counts alike, as in the book
    /// named above.
    pub fn new(counts: &[Count], choices: usize) -> Self {
        let sound = |c: &Count| c.cases >= 0.0 && c.of >= c.cases && c.of.is_finite();
        let mut pool = Self {
            others: choices.max(2) as f64 - 2.0,
            cells: Vec::new(),
            up_to: Vec::new(),
            counts: counts
                .iter()
                .map(|c| if sound(c) { *c } else { Count::default() })
                .collect(),
        };
        let mut angles = (0.0, std::f64::consts::FRAC_PI_2);
        let mut sizes = (SIZE.0.ln(), SIZE.1.ln());
        for _ in 0..TURNS {
            (angles, sizes) = pool.sum(angles, sizes);
        }
        pool
    }

    /// Sums over a range of means (as angles, see [`mean_at`]) and of
    /// logarithms of sizes; gives the ranges that matter.
    fn sum(&mut self, angles: (f64, f64), sizes: (f64, f64)) -> ((f64, f64), (f64, f64)) {
        let wide = (angles.1 - angles.0) / MEANS as f64;
        let high = (sizes.1 - sizes.0) / SIZES as f64;
        self.cells.clear();
        self.up_to.clear();
        let mut places = Vec::with_capacity(MEANS * SIZES);
        for i in 0..SIZES {
            let log = sizes.0 + high * (i as f64 + 0.5);
            for j in 0..MEANS {
                let angle = angles.0 + wide * (j as f64 + 0.5);
                let (mean, size) = (mean_at(angle), log.exp());
                let (a, b) = (mean * size, (1.0 - mean) * size);
                // The density in the size times the width of a step of its
                // logarithm; the width of a step of the mean.
                let mut weight = -0.5 * log + (2.0 * angle).sin().ln();
                weight += self.others * (1.0 - mean).max(1e-300).ln();
                for c in self.counts.iter().filter(|c| c.of > 0.0) {
                    weight += rising(a, c.cases) + rising(b, c.of - c.cases) - rising(size, c.of);
                }
                self.cells.push((mean, size));
                self.up_to.push(weight);
                places.push((angle, log));
            }
        }
        let most = self.up_to.iter().fold(f64::NEG_INFINITY, |m, w| m.max(*w));
        let (mut near, mut far) = ((angles.1, sizes.1), (angles.0, sizes.0));
        let mut sum = 0.0;
        for (weight, (angle, log)) in self.up_to.iter_mut().zip(places) {
            let part = (*weight - most).exp();
            if part > MATTERS {
                near = (near.0.min(angle - wide), near.1.min(log - high));
                far = (far.0.max(angle + wide), far.1.max(log + high));
            }
            sum += part;
            *weight = sum;
        }
        for weight in &mut self.up_to {
            *weight /= sum;
        }
        (
            (near.0.max(angles.0), far.0.min(angles.1)),
            (near.1.max(sizes.0), far.1.min(sizes.1)),
        )
    }

    /// The common share and how many consoles it counts as, summed over what is
    /// not known: the two counts of a beta distribution.
    pub fn common(&self) -> (f64, f64) {
        let (mut before, mut a, mut b) = (0.0, 0.0, 0.0);
        for ((mean, size), up_to) in self.cells.iter().zip(&self.up_to) {
            a += (up_to - before) * mean * size;
            b += (up_to - before) * (1.0 - mean) * size;
            before = *up_to;
        }
        (a, b)
    }

    /// The mean share of one of the counts.
    pub fn mean(&self, group: usize) -> f64 {
        let count = self.counts.get(group).copied().unwrap_or_default();
        let mut before = 0.0;
        let mut sum = 0.0;
        for ((mean, size), up_to) in self.cells.iter().zip(&self.up_to) {
            sum += (up_to - before) * (mean * size + count.cases) / (size + count.of);
            before = *up_to;
        }
        sum
    }

    /// One draw of the share of one of the counts.
    pub fn draw(&self, group: usize, random: &mut Random) -> f64 {
        let count = self.counts.get(group).copied().unwrap_or_default();
        let u = random.even();
        let at = self.up_to.partition_point(|up| *up < u);
        let (mean, size) = self.cells.get(at).copied().unwrap_or((0.5, 2.0));
        let (a, b) = (mean * size, (1.0 - mean) * size);
        random.beta(a + count.cases, b + count.of - count.cases)
    }
}

/// The mean at an angle. Even steps of the angle are closer at both ends, where
/// the shares of single causes lie.
fn mean_at(angle: f64) -> f64 {
    angle.sin() * angle.sin()
}

/// Logarithm of the rising factorial: ln(gamma(a + n) / gamma(a)).
fn rising(a: f64, n: f64) -> f64 {
    ln_gamma(a + n) - ln_gamma(a)
}

/// Logarithm of the gamma function for x above 0: Stirling's series from 8 on,
/// and the recurrence below.
fn ln_gamma(x: f64) -> f64 {
    let (mut x, mut below) = (x, 1.0_f64);
    while x < 8.0 {
        below *= x;
        x += 1.0;
    }
    let inv = 1.0 / x;
    let sq = inv * inv;
    let series = inv * (1.0 / 12.0 - sq * (1.0 / 360.0 - sq * (1.0 / 1260.0 - sq / 1680.0)));
    (x - 0.5) * x.ln() - x + 0.918_938_533_204_672_7 + series - below.ln()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// DLMF 5.4: gamma(1/2) is the root of pi, gamma(n) is (n - 1)!.
    #[test]
    fn the_gamma_function() {
        assert!((ln_gamma(0.5) - 0.5 * std::f64::consts::PI.ln()).abs() < 1e-10);
        assert!((ln_gamma(11.0) - 3_628_800_f64.ln()).abs() < 1e-10);
        assert!(ln_gamma(1.0).abs() < 1e-10);
        assert!((ln_gamma(0.01) - 4.599_479_878_042_022).abs() < 1e-9);
    }
}
