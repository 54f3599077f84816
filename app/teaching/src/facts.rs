//! What the values of one column have in common, as far as it tells roles
//! apart. The same facts serve columns of text and bytes of records.

/// Facts about the numbers of one column, in the order of the paste.
#[derive(Clone, Debug, Default, PartialEq)]
pub(crate) struct Facts {
    /// Number of values.
    pub n: usize,
    /// Number of different values.
    pub distinct: usize,
    /// Width in bits of the place they stand in.
    pub bits: u32,
    /// Smallest and largest.
    pub low: u64,
    /// Largest.
    pub high: u64,
    /// Share (0 to 1) of neighbours that differ by exactly one, in the more
    /// frequent direction; steps back over the end of a ring count.
    pub counts: f64,
    /// The direction: 1 or -1; 0 when it does not count.
    pub way: i8,
    /// Share of neighbours that go up or stay, or that go down or stay, the
    /// larger of the two, with one turn of a ring allowed.
    pub rises: f64,
    /// Share of neighbours that differ at all.
    pub moves: f64,
    /// Share of the values that are the commonest one.
    pub mode: f64,
    /// The commonest value.
    pub usual: u64,
    /// For each entry which of the different values it has.
    pub ids: Vec<usize>,
}

/// A share of two counts.
#[allow(clippy::cast_precision_loss, reason = "counts are small")]
pub(crate) fn share(part: usize, of: usize) -> f64 {
    if of == 0 {
        0.0
    } else {
        part as f64 / of as f64
    }
}

impl Facts {
    /// Looks at numbers that stand in `bits` bits.
    pub fn of(numbers: &[u64], bits: u32) -> Self {
        let mut sorted = numbers.to_vec();
        reading::sorted::sort(&mut sorted);
        let (mut distinct, mut most, mut usual) = (0, 0, 0);
        for run in sorted.chunk_by(|a, b| a == b) {
            distinct += 1;
            if run.len() > most {
                most = run.len();
                usual = run.first().copied().unwrap_or(0);
            }
        }
        let pairs: Vec<(u64, u64)> = numbers
            .windows(2)
            .filter_map(|w| Some((*w.first()?, *w.get(1)?)))
            .collect();
        let count = |f: &dyn Fn(u64, u64) -> bool| pairs.iter().filter(|p| f(p.0, p.1)).count();
        let low = sorted.first().copied().unwrap_or(0);
        let high = sorted.last().copied().unwrap_or(0);
        let all = if bits >= 64 {
            u64::MAX
        } else {
            (1 << bits) - 1
        };
        let up = count(&|a, b| {
            b == a.wrapping_add(1) || (b <= 1 && b == low && (a == high || a == all))
        });
        let down = count(&|a, b| {
            a == b.wrapping_add(1) || (a <= 1 && a == low && (b == high || b == all))
        });
        // In a wide number all ones and small values mean that no clock was set.
        let set: Vec<u64> = numbers
            .iter()
            .copied()
            .filter(|n| *n >= 1 << 24 && *n != all)
            .collect();
        let wide = bits >= 28 && set.len() * 2 >= numbers.len();
        let steps = if wide { set.as_slice() } else { numbers };
        let (mut falls, mut climbs) = (0, 0);
        for w in steps.windows(2) {
            falls += usize::from(w.get(1) < w.first());
            climbs += usize::from(w.get(1) > w.first());
        }
        let turns = falls.min(climbs).saturating_sub(1);
        let steps = steps.len().saturating_sub(1);
        Self {
            n: numbers.len(),
            distinct,
            bits,
            low,
            high,
            counts: share(up.max(down), pairs.len()),
            way: if up.max(down) == 0 {
                0
            } else if up >= down {
                1
            } else {
                -1
            },
            rises: 1.0 - share(turns, steps),
            moves: share(count(&|a, b| a != b), pairs.len()),
            mode: share(most, numbers.len()),
            usual,
            ids: {
                sorted.dedup();
                numbers
                    .iter()
                    .map(|n| sorted.binary_search(n).unwrap_or(0))
                    .collect()
            },
        }
    }

    /// Whether this value is nearly always the same for one value of the other.
    pub fn follows(&self, other: &Self) -> bool {
        let mut pairs: Vec<(usize, usize)> = other
            .ids
            .iter()
            .copied()
            .zip(self.ids.iter().copied())
            .collect();
        reading::sorted::sort(&mut pairs);
        pairs.dedup();
        pairs.len() <= other.distinct + other.distinct / 4
    }

    /// Whether it goes on by one from line to line.
    pub fn is_counter(&self) -> bool {
        // Some may be missing in between.
        let dense = self.n > 4
            && self.high - self.low <= 2 * self.n as u64
            && self.rises > 0.95
            && self.counts >= 0.5;
        self.n >= 3 && (self.counts >= 0.75 || dense) && self.distinct * 4 >= self.n * 3
    }

    /// Whether two entries are all there is, and they differ by one.
    pub fn may_count(&self) -> bool {
        self.n == 2 && self.counts > 0.5
    }

    /// Whether all values are one.
    pub fn is_constant(&self) -> bool {
        self.distinct <= 1
    }

    /// Whether values come again and again.
    pub fn repeats(&self) -> bool {
        self.n >= 3 && self.distinct * 4 <= self.n * 3
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn counters_go_on_by_one_also_over_the_end_of_a_ring() {
        assert!(Facts::of(&[3, 4, 5, 6], 8).is_counter());
        assert!(Facts::of(&[9, 8, 7, 6], 8).is_counter());
        assert!(Facts::of(&[22, 23, 0, 1, 2], 8).is_counter());
        assert!(Facts::of(&[254, 255, 0, 1], 8).is_counter());
        assert!(!Facts::of(&[3, 3, 3, 3], 8).is_counter());
        assert!(!Facts::of(&[3, 9, 4, 5], 8).is_counter());
    }

    #[test]
    fn times_rise_with_one_turn_of_the_ring_left_out() {
        assert!(Facts::of(&[50, 60, 10, 20, 30], 32).rises > 0.99);
        assert!(Facts::of(&[50, 10, 60, 20, 55], 32).rises < 0.9);
    }
}
