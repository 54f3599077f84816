//! Laying one reading over another: by how many entries did the log move on
//! between the two pulls?

use super::compare::{Compared, compare, votes};
use super::strip::{BIG, HINT, PROOF, Strip, apart};

/// Comparisons one pair of readings may take, for each of their entries.
pub const PAIR: u64 = 128;
/// Comparisons all pairs of a history may take.
pub const TOTAL: u64 = 60_000_000;

/// So many equal entries in a row are not chance.
const MANY: u32 = 8;

/// One shift that nothing speaks against.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(super) struct Shift {
    /// How many places the second reading ends behind the first; below zero, it
    /// ends earlier.
    pub by: i64,
    /// How much speaks for it.
    pub proof: u32,
    /// Entries that both show and that differ all the same.
    pub differ: u32,
}

/// What kind of pair it is.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(super) enum How {
    /// Readings of one log, one after the other.
    #[default]
    Plain,
    /// The numbers start again in the second.
    Restart,
    /// The second is wholly older, by its times.
    Older,
    /// They can't be from one log.
    Clash,
}

/// How a second reading lies over a first.
#[derive(Clone, Debug, Default)]
pub(super) struct Fit {
    pub how: How,
    /// All shifts that nothing speaks against, and that leave a shared place or
    /// are known from running numbers. In order.
    pub shifts: Vec<Shift>,
    /// The least shift without a shared place, if such can't be ruled out.
    pub beyond: Option<i64>,
}

impl Fit {
    /// The shift to take: the one with the most proof, and of those that have
    /// about as much, the largest.
    pub fn taken(&self) -> Option<Shift> {
        let most = self.shifts.iter().map(|s| s.proof).max()?;
        let near = self.shifts.iter().filter(|s| s.proof + HINT > most);
        near.max_by_key(|s| s.by).copied()
    }

    /// Whether the two share places, by the shift taken.
    pub fn meets(&self, x: &Strip, y: &Strip) -> bool {
        self.taken()
            .is_some_and(|s| s.by >= x.first && s.by < y.len())
    }

    /// Whether only one shift is possible.
    pub fn exact(&self) -> bool {
        self.shifts.len() == 1 && self.beyond.is_none()
    }

    fn only(how: How) -> Self {
        Self {
            how,
            ..Self::default()
        }
    }

    fn exactly(shift: Shift) -> Self {
        Self {
            shifts: vec![shift],
            ..Self::default()
        }
    }
}

/// Lays `y` over `x`. `later`: by its day, y was pulled after x, and hints are
/// not enough to say otherwise. Takes what it compares off `left`.
pub(super) fn fit(x: &Strip, y: &Strip, later: bool, left: &mut u64) -> Fit {
    let votes = votes(x, y);
    let best = votes.iter().max_by_key(|v| v.1).copied();
    let strong = best.filter(|v| v.1 >= PROOF);
    let rival = votes
        .iter()
        .filter(|v| Some(v.0) != strong.map(|s| s.0))
        .map(|v| v.1)
        .max()
        .unwrap_or(0);
    let numbers = match (x.numbers, y.numbers) {
        (Some((m, a)), Some((n, b))) if m == n => Some((m, apart(a, b, m))),
        _ => None,
    };
    let mut pair = (PAIR * (x.cells.len() + y.cells.len()) as u64).min(*left);
    let before = pair;
    let proof_of = |by: i64| {
        let at = votes.binary_search_by_key(&by, |v| v.0).ok();
        at.and_then(|at| votes.get(at)).map_or(0, |v| v.1)
    };
    let fit = if let Some((m, ahead)) = numbers.filter(|n| n.0 >= BIG) {
        let half = (m / 2).cast_signed();
        let by = if ahead <= half {
            ahead
        } else {
            ahead - m.cast_signed()
        };
        let c = compare(x, y, by, &mut pair);
        counted(x, y, by, later, &c, strong)
    } else if strong.is_some_and(|s| rival >= PROOF && rival * 4 > s.1) {
        Fit::only(How::Clash)
    } else if let Some((by, proof)) = strong {
        let c = compare(x, y, by, &mut pair);
        if c.shared >= 4 * c.differ {
            Fit::exactly(Shift {
                by,
                proof,
                differ: c.differ,
            })
        } else {
            Fit::only(How::Clash)
        }
    } else {
        hinted(x, y, numbers, later, &proof_of, &mut pair)
    };
    let spent = before - pair + (x.once.len() + y.once.len()) as u64;
    *left = left.saturating_sub(spent);
    fit
}

/// By running numbers, which leave one shift only.
fn counted(
    x: &Strip,
    y: &Strip,
    by: i64,
    later: bool,
    c: &Compared,
    strong: Option<(i64, u32)>,
) -> Fit {
    let overlap = by >= x.first && by < y.len();
    let exactly = Fit::exactly(Shift {
        by,
        proof: PROOF,
        differ: c.differ,
    });
    // What their clocks say, if they can be trusted.
    let steady = x.steady && y.steady;
    let (older, newer) = (steady && y.earlier_than(x), steady && x.earlier_than(y));
    if overlap {
        if c.shared >= 4 * c.differ {
            return exactly;
        }
        let restart = y.fresh && !older && strong.is_none();
        return Fit::only(if restart { How::Restart } else { How::Clash });
    }
    if strong.is_some_and(|s| s.1 > PROOF) {
        return Fit::only(How::Clash);
    }
    // Lower numbers in a later reading, or numbers from the very start.
    if !older && (y.fresh || by < 0 && (newer || later)) {
        Fit::only(How::Restart)
    } else {
        exactly
    }
}

/// Without running numbers and without proof: every shift that fits.
fn hinted(
    x: &Strip,
    y: &Strip,
    numbers: Option<(u64, i64)>,
    later: bool,
    proof_of: &dyn Fn(i64) -> u32,
    pair: &mut u64,
) -> Fit {
    let (every, from) = numbers.map_or((1, 0), |(m, ahead)| (m.cast_signed().max(1), ahead));
    let mut fit = Fit::default();
    // Forward shifts first, the smallest first, as they are the likeliest.
    let forward = (from..y.len()).step_by(usize::try_from(every).unwrap_or(1));
    for by in forward {
        let proof = proof_of(by);
        let c = compare(x, y, by, pair);
        if c.differ == 0 || proof >= PROOF / 2 && c.shared >= 4 * c.differ {
            fit.shifts.push(Shift {
                by,
                proof,
                differ: c.differ,
            });
        }
    }
    // Of one day, and only backward it fits: then many entries have to agree.
    let back = (1..)
        .map(|k| from - k * every)
        .take_while(|by| *by >= x.first && !later);
    if fit.shifts.is_empty() {
        for by in back {
            let c = compare(x, y, by, pair);
            if c.differ == 0 && c.shared >= MANY {
                fit.shifts.push(Shift {
                    by,
                    proof: proof_of(by),
                    differ: 0,
                });
            }
        }
    }
    reading::sorted::sort_by_key(&mut fit.shifts, |s| s.by);
    let beyond = from
        + (y.len() - from)
            .max(0)
            .cast_unsigned()
            .div_ceil(every.cast_unsigned())
            .cast_signed()
            * every;
    fit.beyond = Some(beyond);
    if fit.shifts.is_empty() {
        if x.steady && y.steady {
            if !x.earlier_than(y) && !y.earlier_than(x) {
                return Fit::only(How::Clash);
            }
            if y.earlier_than(x) && !later {
                return Fit::only(How::Older);
            }
        }
        if y.fresh {
            fit.how = How::Restart;
        }
    }
    fit
}
