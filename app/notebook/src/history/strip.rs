//! A reading as a strip of places, the newest at 0 and older ones below, with
//! what makes its entries tell-tale worked out once.

use super::pulled::{Entry, Pulled};
use reading::sorted::sort;

/// Proof enough to rule the other shifts out.
pub(super) const PROOF: u32 = 40;
/// An entry with the seconds since start says a little, one without next to
/// nothing: a console that fails the same way writes the same entry again.
pub(super) const HINT: u32 = 4;

/// One entry at its place.
#[derive(Clone, Copy, Debug)]
pub(super) struct Cell {
    /// Its place; the newest place of the reading is 0.
    pub place: i64,
    /// What it says, as a number: equal entries have equal ones.
    pub says: u64,
    /// Its count.
    pub count: Option<u64>,
    /// Which entry of the reading.
    pub entry: usize,
    /// Whether all of it is read for sure.
    pub sure: bool,
    /// Whether its clock was set.
    pub set: bool,
}

/// A reading, ready to be laid over others.
#[derive(Debug, Default)]
pub(super) struct Strip {
    pub cells: Vec<Cell>,
    /// Its oldest place.
    pub first: i64,
    /// Running numbers or slots: after how many they start again, and the one
    /// at place 0.
    pub numbers: Option<(u64, u64)>,
    /// What sure entries say that are there once: what, place, proof. Sorted.
    pub once: Vec<(u64, i64, u32)>,
    /// The numbers begin at their start and have not gone round.
    pub fresh: bool,
    /// Least and greatest time by a set clock.
    pub times: Option<(i64, i64)>,
    /// There are three such times at least, and they run forward.
    pub steady: bool,
}

impl Strip {
    pub fn of(p: &Pulled) -> Self {
        let mut out = Self::default();
        let counted = counter(p);
        let number = |e: &Entry| match counted {
            Some((_, true)) => e.seq,
            Some((_, false)) => e.slot,
            None => None,
        };
        let mut place = 0_i64;
        // Number and place of the last sure entry that has one.
        let mut last: Option<(u64, i64)> = None;
        let mut leading = 0;
        for (entry, e) in p.entries.iter().enumerate() {
            let lost = i64::try_from(e.lost_before).unwrap_or(0);
            if entry == 0 {
                leading = lost;
            } else {
                place += lost;
            }
            let n = number(e).filter(|_| !e.unsure);
            if let (Some((m, _)), Some(n)) = (counted, n) {
                if let Some((before, at)) = last {
                    let step = apart(before, n, m);
                    if step > place - at && (m < BIG || step <= (m / 2).cast_signed()) {
                        place = at + step;
                    }
                }
                last = Some((n, place));
            }
            out.cells.push(Cell {
                place,
                says: says(e),
                count: e.count,
                entry,
                sure: !e.unsure,
                set: e.set_at().is_some(),
            });
            place += 1;
        }
        let newest = place - 1 + i64::try_from(p.lost_after).unwrap_or(0);
        for cell in &mut out.cells {
            cell.place -= newest;
        }
        out.first = out.cells.first().map_or(0, |c| c.place) - leading;
        out.numbers = counted.and_then(|(m, _)| {
            let at = out.cells.iter().filter(|c| c.sure).filter_map(|c| {
                let n = number(p.entries.get(c.entry)?)?;
                Some(ahead(n, -c.place, m))
            });
            Some((m, most(at)?))
        });
        if let Some((m, zero)) = out.numbers {
            let oldest = ahead(zero, out.first, m);
            out.fresh = oldest <= 1 && out.first > -m.min(1 << 40).cast_signed() + 1;
        }
        out.once = once(&out.cells, &p.entries);
        let times: Vec<i64> = p
            .entries
            .iter()
            .filter(|e| !e.unsure)
            .filter_map(Entry::set_at)
            .collect();
        out.steady = times.len() > 2 && times.iter().zip(times.iter().skip(1)).all(|(a, b)| a < b);
        out.times = times.iter().min().copied().zip(times.iter().max().copied());
        out
    }

    /// Whether all its set clocks are before all those of another.
    pub fn earlier_than(&self, other: &Self) -> bool {
        matches!((self.times, other.times), (Some(a), Some(b)) if a.1 < b.0)
    }

    /// Number of places.
    pub fn len(&self) -> i64 {
        1 - self.first
    }
}

/// Numbers that start again after so many tell a shift exactly; fewer tell it up
/// to whole rounds.
pub(super) const BIG: u64 = 1000;

/// After how many the numbers start again, and whether they are running numbers
/// (else slots of a ring).
fn counter(p: &Pulled) -> Option<(u64, bool)> {
    if p.entries.iter().any(|e| e.seq.is_some()) {
        return Some((p.modulus.unwrap_or(1 << 40).min(1 << 40), true));
    }
    p.ring.map(|r| (r.min(1 << 40), false))
}

/// The number `by` places ahead of `n`.
fn ahead(n: u64, by: i64, m: u64) -> u64 {
    let m = m.cast_signed().max(1);
    (n.cast_signed() % m + by % m).rem_euclid(m).cast_unsigned()
}

/// How far it is from one number forward to another.
pub(super) fn apart(from: u64, to: u64, m: u64) -> i64 {
    ahead(to, -(from % m.max(1)).cast_signed(), m).cast_signed()
}

/// The value that more than half of these are; any of them if there is none
/// (Boyer and Moore's vote, from memory).
fn most(values: impl Iterator<Item = u64>) -> Option<u64> {
    let mut held = None;
    let mut votes = 0_usize;
    for v in values {
        if held == Some(v) {
            votes += 1;
        } else if votes == 0 {
            held = Some(v);
            votes = 1;
        } else {
            votes -= 1;
        }
    }
    held
}

/// FNV-1a with 64 bits (from memory; any hash that spreads well would do). Two
/// different entries with the same one are not to be expected in a million
/// notebooks.
fn says(e: &Entry) -> u64 {
    let mut h = 0xcbf2_9ce4_8422_2325_u64;
    for part in [&e.code, &e.step, &e.time, &e.clock] {
        for b in part.bytes().chain([0xFF]) {
            h = (h ^ u64::from(b)).wrapping_mul(0x0100_0000_01b3);
        }
    }
    h
}

/// How much an entry proves that is there once.
fn proof(e: &Entry) -> u32 {
    match e.set_at() {
        // A date alone is shared by all entries of a day.
        Some(t) if t % 86_400 != 0 => PROOF,
        _ if e.time.is_empty() || e.clock == "absent" => 1,
        _ => HINT,
    }
}

fn once(cells: &[Cell], entries: &[Entry]) -> Vec<(u64, i64, u32)> {
    let mut all: Vec<(u64, i64, u32)> = cells
        .iter()
        .filter(|c| c.sure)
        .filter_map(|c| Some((c.says, c.place, proof(entries.get(c.entry)?))))
        .collect();
    sort(&mut all);
    let says = |i: Option<usize>| i.and_then(|i| all.get(i)).map(|c| c.0);
    (0..all.len())
        .filter_map(|i| {
            let own = says(Some(i));
            let alone = own != says(i.checked_sub(1)) && own != says(Some(i + 1));
            all.get(i).copied().filter(|_| alone)
        })
        .collect()
}
