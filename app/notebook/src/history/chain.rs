//! Readings in line, each joined to the one before. A reading that can't be from
//! the same log begins a line of its own, and the longest line is the console's.

use super::fit::{Fit, How, TOTAL, fit};
use super::pulled::Pulled;
use super::strip::Strip;

/// How many readings back a join is looked for that bridges an unclear one.
pub const BACK: usize = 8;
/// How many lines a reading is tried with.
const LINES: usize = 6;

/// A reading in line.
#[derive(Debug, Default)]
pub(super) struct Link {
    /// Which reading.
    pub reading: usize,
    /// How it lies over the one before; nothing for the first.
    pub fit: Fit,
    /// By how much it ends behind the one before, as taken; nothing if it is
    /// not known.
    pub shift: Option<i64>,
    /// No other shift is possible.
    pub exact: bool,
}

/// Where a reading belongs in a line.
#[derive(Debug, Default)]
struct Place {
    at: usize,
    /// How it lies over the one before.
    fit: Fit,
    /// It shares nothing with the readings behind that place, and nothing says
    /// that they are later.
    skips: bool,
}

/// All readings of a console while they are put in line.
#[derive(Debug)]
pub(super) struct Lines<'a> {
    pulled: &'a [Pulled],
    pub strips: Vec<Strip>,
    pub lines: Vec<Vec<Link>>,
    left: u64,
}

impl<'a> Lines<'a> {
    pub fn new(pulled: &'a [Pulled]) -> Self {
        Self {
            pulled,
            strips: pulled.iter().map(Strip::of).collect(),
            lines: Vec::new(),
            left: TOTAL,
        }
    }

    /// Puts a reading in line; they come in the order of their days.
    pub fn take(&mut self, reading: usize) {
        let mut chosen: Option<(usize, Place)> = None;
        for line in 0..self.lines.len().min(LINES) {
            if let Some(place) = self.seek(line, reading) {
                let meets = place
                    .at
                    .checked_sub(1)
                    .is_some_and(|k| self.meets(k, line, reading, &place.fit));
                if meets || chosen.is_none() {
                    chosen = Some((line, place));
                }
                if meets {
                    break;
                }
            }
        }
        let mut link = Link {
            reading,
            ..Link::default()
        };
        let Some((line, place)) = chosen else {
            self.lines.push(vec![link]);
            return;
        };
        // What shares nothing with two readings can't stand between them if they
        // share entries: either it has no place there, or, if it is met first,
        // those that are skipped have not, whichever are fewer.
        let at = place.at;
        let list = self.lines.get(line).map_or(&[][..], Vec::as_slice);
        let no_place = if place.skips {
            list.len() > 2 * at
        } else {
            at > 0
                && !self.meets(at - 1, line, reading, &place.fit)
                && list.get(at).is_some_and(|next| {
                    next.exact && self.meets(at - 1, line, next.reading, &next.fit)
                })
        };
        if no_place {
            self.lines.push(vec![link]);
            return;
        }
        if place.skips {
            let skipped = self.lines.get_mut(line).map(|l| l.split_off(at));
            self.lines.extend(skipped);
        }
        let behind = self.at(line, at).map(|r| self.fit(reading, r));
        if let Some(list) = self.lines.get_mut(line) {
            if let (Some(next), Some(behind)) = (list.get_mut(at), behind) {
                next.set(behind);
            }
            if at > 0 {
                link.set(place.fit);
            }
            list.insert(at, link);
            for end in at..=(at + 1).min(list.len() - 1) {
                self.bridge(line, end);
            }
        }
    }

    /// Where in a line a reading belongs. Nothing if it can't be from that log.
    fn seek(&mut self, line: usize, reading: usize) -> Option<Place> {
        let len = self.lines.get(line)?.len();
        let mut place = Place {
            at: len,
            ..Place::default()
        };
        while let Some(last) = place.at.checked_sub(1) {
            let before = self.at(line, last)?;
            let book = |r: usize| self.pulled.get(r).map(|p| &p.book);
            if book(before) != book(reading) {
                return None;
            }
            place.fit = self.fit(before, reading);
            let by = place.fit.taken().map(|s| s.by);
            let older = place.fit.how == How::Older
                || by.is_some_and(|by| by < 0 || by == 0 && self.shrunk(before, reading));
            if place.fit.how == How::Clash || !older {
                break;
            }
            place.at = last;
        }
        let last = place.at.checked_sub(1);
        // Nothing shared with the last one: perhaps with one further back.
        if let Some(last) = last
            && place.at == len
            && !self.meets(last, line, reading, &place.fit)
        {
            for back in (len.saturating_sub(BACK + 1)..last).rev() {
                let fit = self.fit(self.at(line, back)?, reading);
                let forward = fit.taken().is_some_and(|s| s.by >= 0);
                if fit.exact() && forward && self.meets(back, line, reading, &fit) {
                    // If the clock says so too, those behind are later indeed,
                    // and only the day is wrong.
                    let mut behind = self.lines.get(line)?.iter().skip(back + 1);
                    let own = self.strips.get(reading)?;
                    let later = behind.all(|l| {
                        let other = self.strips.get(l.reading);
                        other.is_some_and(|s| own.earlier_than(s))
                    });
                    return Some(Place {
                        at: back + 1,
                        fit,
                        skips: !later,
                    });
                }
            }
        }
        (place.fit.how != How::Clash).then_some(place)
    }

    fn meets(&self, at: usize, line: usize, reading: usize, fit: &Fit) -> bool {
        let before = self.at(line, at).and_then(|r| self.strips.get(r));
        match (before, self.strips.get(reading)) {
            (Some(x), Some(y)) => fit.meets(x, y),
            _ => false,
        }
    }

    fn at(&self, line: usize, at: usize) -> Option<usize> {
        Some(self.lines.get(line)?.get(at)?.reading)
    }

    fn day(&self, reading: usize) -> i64 {
        self.pulled.get(reading).map_or(0, Pulled::order_day)
    }

    fn fit(&mut self, a: usize, b: usize) -> Fit {
        let later = self.day(b) > self.day(a);
        match (self.strips.get(a), self.strips.get(b)) {
            (Some(x), Some(y)) => fit(x, y, later, &mut self.left),
            _ => Fit::default(),
        }
    }

    /// Whether the same newest entry has a smaller count in the second: then
    /// that one is the older.
    fn shrunk(&self, a: usize, b: usize) -> bool {
        let last = |r: usize| self.strips.get(r)?.cells.last().copied();
        match (last(a), last(b)) {
            (Some(x), Some(y)) => {
                x.sure && y.sure && x.says == y.says && y.count < x.count && y.count.is_some()
            }
            _ => false,
        }
    }

    /// Looks further back for a reading that settles an unclear join: one that
    /// overlaps both sides.
    fn bridge(&mut self, line: usize, end: usize) {
        // The one unclear join behind the reading looked at, and the sum of the
        // others.
        let mut unclear: Option<usize> = None;
        let mut sum = 0;
        for at in (end.saturating_sub(BACK)..end).rev() {
            let Some(list) = self.lines.get(line) else {
                return;
            };
            let Some(link) = list.get(at + 1) else { return };
            match link.shift.filter(|_| link.exact) {
                Some(by) => sum += by,
                None if unclear.is_some() || link.fit.how == How::Restart => return,
                None => unclear = Some(at + 1),
            }
            let (Some(at_unclear), Some(a), Some(b)) =
                (unclear, self.at(line, at), self.at(line, end))
            else {
                continue;
            };
            if at + 1 == end {
                continue;
            }
            let wide = self.fit(a, b);
            let Some(whole) = wide.taken().filter(|_| wide.exact()) else {
                continue;
            };
            let by = whole.by - sum;
            if let Some(link) = self.lines.get_mut(line).and_then(|l| l.get_mut(at_unclear))
                && link.may_be(by)
            {
                link.shift = Some(by);
                link.exact = true;
                return;
            }
        }
    }

    /// The longest line, of equal ones the first, and all the other readings.
    pub fn longest(&mut self) -> (Vec<Link>, Vec<usize>) {
        let mut best = 0;
        for (i, line) in self.lines.iter().enumerate() {
            if self.lines.get(best).is_some_and(|b| line.len() > b.len()) {
                best = i;
            }
        }
        let mut main = Vec::new();
        let mut others = Vec::new();
        for (i, line) in std::mem::take(&mut self.lines).into_iter().enumerate() {
            if i == best {
                main = line;
            } else {
                others.extend(line.iter().map(|l| l.reading));
            }
        }
        (main, others)
    }
}

impl Link {
    fn set(&mut self, fit: Fit) {
        self.shift = fit.taken().map(|s| s.by);
        self.exact = fit.exact();
        self.fit = fit;
    }

    fn may_be(&self, by: i64) -> bool {
        by >= 0
            && (self.fit.shifts.iter().any(|s| s.by == by)
                || self.fit.beyond.is_some_and(|least| by >= least))
    }
}
