//! Holding two readings against each other, at one shift or at all that their
//! entries speak for.

use super::strip::{Cell, Strip};
use reading::sorted::sort;

/// What comes of comparing the places that two readings share.
#[derive(Default)]
pub(super) struct Compared {
    /// Entries that are the same in both.
    pub shared: u32,
    /// Entries that are not.
    pub differ: u32,
}

/// Compares the places shared at one shift, until it is clear that it does not
/// fit or `left` is used up; then it counts as fitting.
pub(super) fn compare(x: &Strip, y: &Strip, by: i64, left: &mut u64) -> Compared {
    let mut out = Compared::default();
    let start = x.cells.partition_point(|c| c.place < by + y.first);
    let mut xs = x.cells.iter().skip(start).peekable();
    let skip = y.cells.partition_point(|c| c.place + by < x.first);
    for b in y.cells.iter().skip(skip) {
        let place = b.place + by;
        while xs.next_if(|a| a.place < place).is_some() {}
        let Some(a) = xs.peek() else { break };
        if a.place > place || !a.sure || !b.sure {
            continue;
        }
        if *left == 0 {
            break;
        }
        *left -= 1;
        if same(a, b) {
            out.shared += 1;
        } else {
            out.differ += 1;
            if out.differ > 3 && out.differ > out.shared {
                break;
            }
        }
    }
    out
}

/// Whether two entries may be one. The count of the newest may have grown; a
/// set clock says enough whatever the count.
fn same(a: &Cell, b: &Cell) -> bool {
    let count = match (a.count, b.count) {
        (Some(m), Some(n)) => m == n || a.place == 0 && n > m || b.place == 0 && m > n,
        _ => true,
    };
    a.says == b.says && (count || a.set)
}

/// For each shift what speaks for it: entries that are there once in both.
pub(super) fn votes(x: &Strip, y: &Strip) -> Vec<(i64, u32)> {
    let mut all: Vec<(i64, u32)> = Vec::new();
    let mut ys = y.once.iter().peekable();
    for a in &x.once {
        while ys.next_if(|b| b.0 < a.0).is_some() {}
        if let Some(b) = ys.peek().filter(|b| b.0 == a.0) {
            all.push((a.1 - b.1, a.2));
        }
    }
    sort(&mut all);
    let mut out: Vec<(i64, u32)> = Vec::new();
    for (by, proof) in all {
        match out.last_mut() {
            Some(last) if last.0 == by => last.1 = last.1.saturating_add(proof),
            _ => out.push((by, proof)),
        }
    }
    out
}
