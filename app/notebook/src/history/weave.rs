//! From readings in line to one list of events, and what each join says.

use super::chain::{Lines, Link};
use super::fit::How;
use super::pulled::Pulled;
use super::told;
use super::types::{Apart, Event, History, Join, Lost, Why};
use reading::sorted::{sort, sort_by_key};

/// Makes the history of one console's readings, given in any order.
pub fn history(readings: &[Pulled]) -> History {
    let mut out = History::default();
    let mut order: Vec<usize> = (0..readings.len()).collect();
    sort_by_key(&mut order, |&r| {
        readings
            .get(r)
            .map(|p| (p.order_day(), p.created, p.id.as_str()))
    });
    let mut lines = Lines::new(readings);
    for r in order {
        match readings.get(r) {
            Some(p) if p.entries.is_empty() => out.leave(r, Why::Empty, 0, 0),
            Some(p) if p.unordered && p.entries.len() > 1 => out.leave(r, Why::Unordered, 0, 0),
            _ => lines.take(r),
        }
    }
    let (main, others) = lines.longest();
    let book = |r: usize| readings.get(r).map(|p| &p.book);
    for r in others {
        let own = main.first().is_none_or(|l| book(l.reading) == book(r));
        out.leave(r, if own { Why::Clash } else { Why::Book }, 0, 0);
    }
    let seen = out.weave(&main, &lines);
    for (i, link) in main.iter().enumerate() {
        if let Some(before) = i.checked_sub(1).and_then(|k| main.get(k)) {
            let join = out.join(readings, &lines, i, before, link, &seen);
            out.joins.push(join);
        }
    }
    out.count_shared(readings, &lines);
    out
}

impl History {
    fn leave(&mut self, reading: usize, why: Why, shared: usize, of: usize) {
        let text = match why {
            Why::Empty => "No entry was read in it.".to_owned(),
            Why::Unordered => {
                "Nothing tells which of its entries is the oldest, so it can't be put in line. "
                    .to_owned()
                    + &shared.to_string()
                    + " of its "
                    + &told::many(of as u64, "entry stands", "entries stand")
                    + " in the other readings."
            }
            Why::Book => "Another code book read it: probably another console's log. It is left \
                          out."
                .to_owned(),
            Why::Clash => {
                "Its entries can't be put in line with those of the other readings. Most \
                           often it is another console's log; a wrong day, a cleared log or a \
                           clock set back can look the same. It is left out."
                    .to_owned()
            }
        };
        self.apart.push(Apart { reading, why, text });
    }

    /// Lays the readings in line over each other. Gives the events of each.
    fn weave(&mut self, main: &[Link], lines: &Lines) -> Vec<Vec<usize>> {
        let (mut run, mut end) = (0, 0);
        // Run, place, which of the line, which of its cells.
        let mut all: Vec<(usize, i64, usize, usize)> = Vec::new();
        for (i, link) in main.iter().enumerate() {
            match link.shift {
                Some(by) => end += by,
                None if i > 0 => (run, end) = (run + 1, 0),
                None => {}
            }
            self.order.push(link.reading);
            self.ends.push((run, end));
            let cells = lines.strips.get(link.reading).map(|s| s.cells.as_slice());
            for (k, cell) in cells.into_iter().flatten().enumerate() {
                all.push((run, end + cell.place, i, k));
            }
        }
        sort(&mut all);
        let mut seen: Vec<Vec<usize>> = main.iter().map(|_| Vec::new()).collect();
        // The events at the place looked at, what each says, whether it is sure.
        let mut here: Vec<(usize, u64, bool)> = Vec::new();
        let mut place = None;
        for (run, at, i, k) in all {
            let Some((reading, cell)) = main.get(i).and_then(|l| {
                let cell = lines.strips.get(l.reading)?.cells.get(k)?;
                Some((l.reading, cell))
            }) else {
                continue;
            };
            if place != Some((run, at)) {
                place = Some((run, at));
                here.clear();
            }
            let same = here
                .iter_mut()
                .find(|h| !h.2 || !cell.sure || h.1 == cell.says);
            let event = if let Some(h) = same {
                if cell.sure {
                    (h.1, h.2) = (cell.says, true);
                }
                if let Some(e) = self.events.get_mut(h.0) {
                    if cell.sure {
                        e.at = (reading, cell.entry);
                    }
                    e.readings.push(reading);
                }
                h.0
            } else {
                here.push((self.events.len(), cell.says, cell.sure));
                let other = here.first().and_then(|h| self.events.get_mut(h.0));
                if let Some(other) = other.filter(|_| here.len() > 1) {
                    other.disputed = true;
                }
                self.events.push(Event {
                    at: (reading, cell.entry),
                    readings: vec![reading],
                    disputed: here.len() > 1,
                    run,
                    place: at,
                });
                self.events.len() - 1
            };
            if let Some(list) = seen.get_mut(i) {
                list.push(event);
            }
        }
        seen
    }

    fn join(
        &self,
        readings: &[Pulled],
        lines: &Lines,
        i: usize,
        before: &Link,
        link: &Link,
        seen: &[Vec<usize>],
    ) -> Join {
        let (from, to) = (before.reading, link.reading);
        let end = |k: usize| self.ends.get(k).copied().unwrap_or_default();
        let ((run, end_from), (_, end_to)) = (end(i - 1), end(i));
        let len = |r: usize| lines.strips.get(r).map_or(0, super::strip::Strip::len);
        let own = seen.get(i).map_or(&[][..], Vec::as_slice);
        let other = seen.get(i - 1).map_or(&[][..], Vec::as_slice);
        let overlap = own
            .iter()
            .filter(|e| other.binary_search(e).is_ok())
            .count();
        let (mut new, mut earlier) = (Vec::new(), 0);
        for &e in own {
            let Some(event) = self.events.get(e) else {
                continue;
            };
            if (event.run, event.place) > (run, end_from) {
                new.push(e);
            } else if event.readings.first() == Some(&to) && !event.disputed {
                earlier += 1;
            }
        }
        let loose = |r: usize| readings.get(r).map_or(0, |p| p.loose);
        let day = |r: usize| readings.get(r).map_or(0, Pulled::order_day);
        let mut join = Join {
            from,
            to,
            overlap,
            earlier,
            restart: link.fit.how == How::Restart,
            loose: loose(from) + loose(to),
            day_off: day(from) > day(to),
            or_more: link
                .fit
                .beyond
                .filter(|_| !link.exact)
                .map(i64::cast_unsigned),
            ..Join::default()
        };
        if let Some(by) = link.shift {
            let hole = by - len(to);
            let by_shift = link.fit.shifts.iter().find(|s| s.by == by);
            join.differ = by_shift.map_or(0, |s| s.differ);
            join.taken = Some(by.max(0).cast_unsigned());
            let within = by.min(len(to)).max(0).cast_unsigned();
            join.unread = within.saturating_sub(new.len() as u64);
            if hole > 0 {
                let known = self.known(run, end_from, end_to - len(to));
                let hole = hole.cast_unsigned().saturating_sub(known);
                if hole > 0 {
                    join.lost = Lost::Exactly(hole);
                }
            }
            let shifts: Vec<i64> = if link.exact {
                vec![by]
            } else {
                link.fit.shifts.iter().map(|s| s.by).collect()
            };
            for by in shifts {
                let least = by - i64::try_from(loose(from)).unwrap_or(0);
                let most = by + i64::try_from(loose(to)).unwrap_or(0);
                join.possible
                    .extend((least..=most).map(|n| n.max(0).cast_unsigned()));
            }
            sort(&mut join.possible);
            join.possible.dedup();
        } else {
            let more = link.fit.beyond.map_or(0, |b| b - len(to));
            join.lost = match u64::try_from(more) {
                Ok(n) if n > 0 && !join.restart => Lost::AtLeast(n),
                _ => Lost::Unknown,
            };
            join.unread = len(to).cast_unsigned().saturating_sub(new.len() as u64);
        }
        join.new = new;
        join.clock_off = overlap == 0
            && matches!((lines.strips.get(from), lines.strips.get(to)),
                (Some(a), Some(b)) if b.earlier_than(a));
        join.text = told::sentence(&join, link.fit.shifts.len() > 1, own.len() as u64);
        join
    }

    /// How many places between two of a run hold an event.
    fn known(&self, run: usize, after: i64, upto: i64) -> u64 {
        let behind = |at: (usize, i64)| self.events.partition_point(|e| (e.run, e.place) <= at);
        let mut last = None;
        let between = behind((run, after))..behind((run, upto));
        let mut n = 0;
        for event in self.events.get(between).unwrap_or(&[]) {
            if last != Some(event.place) {
                n += 1;
            }
            last = Some(event.place);
        }
        n
    }

    /// Readings without an order: how many of their entries are in the history.
    fn count_shared(&mut self, readings: &[Pulled], lines: &Lines) {
        let cells = |r: usize| lines.strips.get(r).map_or(&[][..], |s| s.cells.as_slice());
        let mut says: Vec<u64> = self
            .order
            .iter()
            .flat_map(|&r| cells(r))
            .map(|c| c.says)
            .collect();
        sort(&mut says);
        for apart in std::mem::take(&mut self.apart) {
            let shared = cells(apart.reading)
                .iter()
                .filter(|c| says.binary_search(&c.says).is_ok())
                .count();
            let of = readings.get(apart.reading).map_or(0, |p| p.entries.len());
            self.leave(apart.reading, apart.why, shared, of);
        }
    }
}
