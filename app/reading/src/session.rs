//! The reading of one paste, in steps, so that a long one can be read in slices
//! with progress and a way to stop.

use std::rc::Rc;

use crate::assemble::assemble;
use crate::blocks;
use crate::decode::{Decoded, decode, lines};
use crate::fold::fold;
use crate::item::{Item, Kind};
use crate::join::join;
use crate::markup::{Carry, strip};
use crate::matcher::How;
use crate::result::Reading;
use crate::scan::{Budget, LineHit, LineScan, Plans, Role, scan, scan_again};
use crate::text_item::{Line, bare, entry};

/// How much of a paste is read. What lies beyond is kept and said to be unread.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Limits {
    /// Bytes read.
    pub bytes: usize,
    /// Physical lines read.
    pub lines: usize,
}

impl Default for Limits {
    fn default() -> Self {
        Self {
            bytes: 8 << 20,
            lines: 150_000,
        }
    }
}

/// Longest stretch of a line that is looked at in one go.
const STRETCH: usize = 16 << 10;

/// A stretch of a physical line. Lines of usual length are one segment.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Segment {
    /// The physical line, from 0.
    pub line: usize,
    /// Text range.
    pub range: (usize, usize),
}

/// How far a session is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Progress {
    /// Steps done.
    pub done: usize,
    /// Steps in all.
    pub total: usize,
    /// Whether [`Session::finish`] has nothing long left to do.
    pub finished: bool,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Stage {
    Scan(usize),
    Join,
    Again(usize),
    Read(usize),
    Done,
}

/// What all later phases look at.
pub(crate) struct Material {
    /// The layouts.
    pub plans: Rc<Plans>,
    /// How much matching they may still cause.
    pub budget: Budget,
    /// The text.
    pub decoded: Decoded,
    /// Physical lines, as text ranges.
    pub lines: Vec<(usize, usize)>,
    /// How many of them are read.
    pub read_lines: usize,
    /// The segments of those.
    pub segments: Vec<Segment>,
    /// What each segment holds.
    pub scans: Vec<LineScan>,
    /// Physical lines used up by an entry that begins above.
    pub joined: Vec<bool>,
    /// Whether dumps went on beyond what is read of them.
    pub dump_cut: bool,
}

/// The reading of one paste in progress.
pub struct Session {
    material: Material,
    carry: Carry,
    stage: Stage,
    items: Vec<Item>,
    no_zeros: Vec<bool>,
    last: Vec<Vec<u64>>,
    note_cap: Option<String>,
}

impl Session {
    pub(crate) fn new(plans: Rc<Plans>, paste: &[u8], limits: Limits) -> Self {
        let mut cut = paste.len().min(limits.bytes);
        // Do not cut a UTF-8 character in two.
        while cut > 0 && cut < paste.len() && paste.get(cut).is_some_and(|b| b & 0xC0 == 0x80) {
            cut -= 1;
        }
        let decoded = decode(paste.get(..cut).unwrap_or(paste));
        let all = lines(&decoded.text);
        let read_lines = all.len().min(limits.lines);
        let mut note_cap = None;
        if cut < paste.len() {
            note_cap = Some(format!(
                "The paste is {} bytes long; the first {cut} were read. The rest is kept as it is.",
                paste.len()
            ));
        } else if read_lines < all.len() {
            note_cap = Some(format!(
                "The paste has {} lines; the first {read_lines} were read. The rest is kept as it is.",
                all.len()
            ));
        }
        let mut segments = Vec::new();
        for (line, &(from, to)) in all.iter().enumerate().take(read_lines) {
            cut_line(&decoded.text, line, from, to, &mut segments);
        }
        let layouts = plans.layouts.len();
        Self {
            material: Material {
                joined: vec![false; segments.len()],
                dump_cut: false,
                scans: Vec::with_capacity(segments.len()),
                budget: Budget::new(plans.books.len(), cut),
                plans,
                decoded,
                lines: all,
                read_lines,
                segments,
            },
            carry: Carry::default(),
            stage: Stage::Scan(0),
            items: Vec::new(),
            no_zeros: vec![false; layouts],
            last: vec![Vec::new(); layouts * 2],
            note_cap,
        }
    }

    /// Scans all lines and goes no further, for [`crate::bare`].
    pub(crate) fn scan_all(&mut self) {
        while let Stage::Scan(_) = self.stage {
            self.step(4096);
        }
    }

    /// Physical lines of the paste.
    pub(crate) fn physical(&self) -> usize {
        self.material.lines.len()
    }

    /// The stretches of lines that are read.
    pub(crate) fn segments(&self) -> &[Segment] {
        &self.material.segments
    }

    /// The dumps with the physical lines of their rows, from 0.
    pub(crate) fn streams(&mut self) -> Vec<(crate::dump::Stream, Vec<usize>)> {
        let line_of = |m: &Material, s: usize| m.segments.get(s).map_or(0, |x| x.line);
        let m = &mut self.material;
        let streams = blocks::streams(m).into_iter();
        streams
            .map(|s| {
                let lines = s.rows.iter().map(|r| line_of(m, r.segment)).collect();
                (s, lines)
            })
            .collect()
    }

    /// Does about `n` lines' worth of work.
    pub fn step(&mut self, n: usize) -> Progress {
        let total = self.material.segments.len();
        let n = n.max(1);
        match self.stage {
            Stage::Scan(at) => {
                let to = (at + n).min(total);
                for k in at..to {
                    self.scan(k);
                }
                self.stage = if to == total {
                    Stage::Join
                } else {
                    Stage::Scan(to)
                };
            }
            Stage::Join => {
                blocks::prefer_dumps(&mut self.material);
                join(&mut self.material);
                self.items = blocks::items(&mut self.material);
                self.stage = Stage::Again(0);
            }
            Stage::Again(at) => {
                let to = (at + n).min(total);
                for k in at..to {
                    self.again(k);
                }
                if to == total {
                    self.settle_zeros();
                    self.stage = Stage::Read(0);
                } else {
                    self.stage = Stage::Again(to);
                }
            }
            Stage::Read(at) => {
                let to = (at + n).min(total);
                for k in at..to {
                    self.read(k);
                }
                self.stage = if to == total {
                    Stage::Done
                } else {
                    Stage::Read(to)
                };
            }
            Stage::Done => {}
        }
        let done = match self.stage {
            Stage::Scan(k) => k,
            Stage::Join => total,
            Stage::Again(k) => total + k,
            Stage::Read(k) => 2 * total + k,
            Stage::Done => 3 * total,
        };
        Progress {
            done,
            total: 3 * total,
            finished: self.stage == Stage::Done,
        }
    }

    /// Does what is left and gives the reading.
    #[must_use]
    pub fn finish(mut self) -> Reading {
        while !self.step(4096).finished {}
        let mut reading = assemble(&self.material, self.items);
        if let Some(note) = self.material.decoded.note {
            reading.notes.push(note.into());
        }
        for (b, book) in self.material.plans.books.iter().enumerate() {
            if self.material.budget.is_spent(b) {
                reading.notes.push(format!(
                    "The layouts of the book \u{201c}{}\u{201d} take too long on this paste. They were set aside part of the way, so entries in its form may be missing.",
                    book.model.name.chars().take(80).collect::<String>()
                ));
            }
        }
        if self.material.dump_cut {
            reading.notes.push(
                "The hex dump goes on for more than 256 KiB; no fault log is as long. The rest was not read.".into(),
            );
        }
        reading.notes.extend(self.note_cap);
        reading
    }

    fn scan(&mut self, k: usize) {
        let m = &mut self.material;
        let Some(segment) = m.segments.get(k) else {
            return;
        };
        let view = fold(&m.decoded.text, segment.range.0, segment.range.1);
        let before = view.len();
        let view = strip(view, &mut self.carry);
        let stripped = view.len() != before;
        let scan = scan(&m.plans, &m.budget, view, k, stripped);
        m.scans.push(scan);
    }

    fn again(&mut self, k: usize) {
        let m = &mut self.material;
        if m.joined.get(k) == Some(&true) {
            return;
        }
        if let Some(scan) = m.scans.get_mut(k)
            && scan.hits.is_empty()
            && scan.row.is_none()
        {
            scan_again(&m.plans, &m.budget, scan);
        }
    }

    /// Finds the layouts whose values are written without leading zeros
    /// throughout the paste.
    fn settle_zeros(&mut self) {
        let m = &self.material;
        for (p, flag) in self.no_zeros.iter_mut().enumerate() {
            let (mut short, mut kept) = (0, 0);
            for scan in &m.scans {
                for hit in scan.hits.iter().filter(|h| h.plan == p) {
                    let Some(known) = m.plans.layouts.get(p).and_then(|l| l.lines.get(hit.known))
                    else {
                        continue;
                    };
                    for cap in &hit.hit.caps {
                        let Some(field) = known.plan.fields.get(cap.field) else {
                            continue;
                        };
                        let fixed = field.width.0 == field.width.1 && field.width.0 > 1;
                        if cap.how == How::Short {
                            short += 1;
                        } else if cap.how == How::Exact
                            && fixed
                            && scan.view.byte(cap.from) == b'0'
                            && field.date.is_empty()
                        {
                            kept += 1;
                        }
                    }
                }
            }
            *flag = short >= 2 && kept == 0;
        }
    }

    fn read(&mut self, k: usize) {
        let hits = match self.material.scans.get(k) {
            Some(scan) => scan.hits.clone(),
            None => return,
        };
        for hit in hits {
            let mut item = self.item(k, &hit);
            if !hit.others.is_empty() {
                let mut best = worth(&item);
                for other in &hit.others {
                    let alt = self.item(k, other);
                    if worth(&alt) > best {
                        best = worth(&alt);
                        item = alt;
                    }
                }
            }
            self.remember(hit.plan, &item);
            self.items.push(item);
        }
        // A cut-off entry that nothing continues.
        if self.material.joined.get(k) != Some(&true)
            && let Some(cut) = self
                .material
                .scans
                .get(k)
                .and_then(|s| s.open.as_ref())
                .and_then(|o| o.cut.clone())
        {
            let item = self.item(k, &cut);
            self.items.push(item);
        }
    }

    fn item(&self, k: usize, hit: &LineHit) -> Item {
        let m = &self.material;
        let segment = m.segments.get(k).map_or(0, |s| s.line);
        let found = m.plans.layout(hit.plan);
        let known = m
            .plans
            .layouts
            .get(hit.plan)
            .and_then(|l| l.lines.get(hit.known));
        let (Some((book, b, layout, l)), Some(known), Some(scan)) = (found, known, m.scans.get(k))
        else {
            return crate::item::nothing(segment);
        };
        // A joined entry touches the lines that its cells are from.
        let mut lines = vec![segment];
        let mut end = m.lines.get(segment).map_or(usize::MAX, |l| l.1);
        for cell in hit.hit.from..hit.hit.to {
            let at = scan.view.start(cell) as usize;
            if at > end
                && let Some(n) =
                    (segment..m.lines.len()).find(|&n| m.lines.get(n).is_some_and(|l| l.1 > at))
            {
                end = m.lines.get(n).map_or(usize::MAX, |l| l.1);
                lines.push(n);
            }
        }
        let expected = [0, 1].map(|n| self.last.get(hit.plan * 2 + n).and_then(|l| going_on(l)));
        let line = Line {
            text: &m.decoded.text,
            view: &scan.view,
            hit: &hit.hit,
            plan: &known.plan,
            book: (book, b),
            layout: (layout, l),
            lines,
            no_zeros: self.no_zeros.get(hit.plan) == Some(&true),
            expected,
        };
        match known.role {
            Role::Entry => entry(&line),
            Role::Empty => bare(&line, Kind::Empty),
            Role::Header(starts) => bare(&line, Kind::Header(starts)),
        }
    }

    fn remember(&mut self, plan: usize, item: &Item) {
        for (n, name) in ["slot", "seq"].into_iter().enumerate() {
            if let Some(list) = self.last.get_mut(plan * 2 + n) {
                match item.fields.get(name).and_then(serde_json::Value::as_u64) {
                    Some(v) if matches!(item.kind, Kind::Entry | Kind::Empty) => {
                        if list.len() == 2 {
                            list.remove(0);
                        }
                        list.push(v);
                    }
                    _ => {}
                }
            }
        }
    }
}

/// The next number of a listing that goes up or down by one.
fn going_on(last: &[u64]) -> Option<u64> {
    match last {
        [a, b] if a.checked_add(1) == Some(*b) => b.checked_add(1),
        [a, b] if b.checked_add(1) == Some(*a) => b.checked_sub(1),
        _ => None,
    }
}

/// How good an item is, for choosing between layouts.
fn worth(item: &Item) -> (u8, usize) {
    let class = match (&item.kind, item.check_ok()) {
        (Kind::Doubt { .. }, _) => 0,
        (_, Some(false)) => 1,
        (Kind::Header(_), _) => 3,
        (_, None) => 4,
        (_, Some(true)) => 5,
    };
    (class, usize::MAX - item.guesses.len())
}

fn cut_line(text: &str, line: usize, from: usize, to: usize, out: &mut Vec<Segment>) {
    let mut at = from;
    while to - at > STRETCH {
        let bytes = text.as_bytes();
        let window = bytes.get(at + STRETCH / 2..at + STRETCH).unwrap_or(&[]);
        let space = window
            .iter()
            .rposition(|&b| b == b' ' || b == b'\t' || b == b'>');
        let mut end = at + STRETCH / 2 + space.map_or(STRETCH / 2, |s| s + 1);
        while !text.is_char_boundary(end) {
            end -= 1;
        }
        out.push(Segment {
            line,
            range: (at, end),
        });
        at = end;
    }
    out.push(Segment {
        line,
        range: (at, to),
    });
}
