//! Phases 3 to 5 for one line: strip, match all layouts, or see a dump row.

use codebook::Book;
use codebook::model::{Field, Layout, Part};
use std::cell::Cell;
use std::rc::Rc;

use crate::dump::{Row, row};
use crate::markup::{body_start, without_stamps};
use crate::matcher::{Hit, How, Lenient, match_at};
use crate::plan::{LinePlan, Piece, plan_line, plan_text, weight};
use crate::view::{View, is_soft, is_wordy};

/// How much matching each book may still cause in this paste. Usual books come
/// nowhere near the end of it; one made to be slow is set aside for the rest of
/// the paste, and the others go on.
#[derive(Debug, Default)]
pub(crate) struct Budget(Vec<Cell<u64>>);

impl Budget {
    /// For a paste of so many bytes.
    pub fn new(books: usize, bytes: usize) -> Self {
        let all = FIRST_STEPS.saturating_add(STEPS_A_BYTE.saturating_mul(bytes as u64));
        Self(vec![Cell::new(all); books])
    }

    /// Whether the book has used up its share.
    pub fn is_spent(&self, book: usize) -> bool {
        self.0.get(book).is_some_and(|left| left.get() == 0)
    }

    /// Takes the steps of a match off the book's share.
    pub fn spend(&self, book: usize, steps: u32) {
        if let Some(left) = self.0.get(book) {
            left.set(left.get().saturating_sub(u64::from(steps)));
        }
    }
}

/// Matching steps of a book: for any paste, and for each byte of it.
const FIRST_STEPS: u64 = 500_000;
const STEPS_A_BYTE: u64 = 60;

/// All layouts of all books, ready for matching.
pub(crate) struct Plans {
    /// The books.
    pub books: Vec<Rc<Book>>,
    /// The layouts, in the order of the books.
    pub layouts: Vec<LayoutPlan>,
}

/// A layout, ready for matching.
pub(crate) struct LayoutPlan {
    /// The book's number.
    pub book: usize,
    /// The layout's number in the book.
    pub layout: usize,
    /// The lines it is known by: the entry (text layouts only), unused slots,
    /// headers.
    pub lines: Vec<KnownLine>,
}

/// A line that a layout knows.
pub(crate) struct KnownLine {
    /// The plan.
    pub plan: LinePlan,
    /// What it is.
    pub role: Role,
    /// Fields that a cut-off entry must hold whole.
    pub keys: Vec<usize>,
    /// Bits of the fullest variant.
    pub weight: u32,
}

/// What a known line is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Role {
    /// An entry.
    Entry,
    /// An unused slot.
    Empty,
    /// A header; `true` when a dump begins with it.
    Header(bool),
}

impl Plans {
    /// Plans all layouts.
    pub fn new(books: Vec<Rc<Book>>) -> Self {
        let mut layouts = Vec::new();
        for (b, book) in books.iter().enumerate() {
            for (l, layout) in book.model.layouts.iter().enumerate() {
                let mut lines = Vec::new();
                let headers = match layout {
                    Layout::Text(t) => {
                        let text = plan_text(t);
                        let keys = keys(&text.entry, layout);
                        lines.push(known(text.entry, Role::Entry, keys));
                        lines.extend(
                            text.empty
                                .into_iter()
                                .map(|p| known(p, Role::Empty, Vec::new())),
                        );
                        &t.headers
                    }
                    Layout::Bytes(t) => &t.headers,
                };
                for h in headers {
                    lines.push(known(
                        plan_line(&h.line),
                        Role::Header(h.starts),
                        Vec::new(),
                    ));
                }
                layouts.push(LayoutPlan {
                    book: b,
                    layout: l,
                    lines,
                });
            }
        }
        Self { books, layouts }
    }

    /// Book and layout of a plan.
    pub fn layout(&self, plan: usize) -> Option<(&Book, usize, &Layout, usize)> {
        let p = self.layouts.get(plan)?;
        let book = self.books.get(p.book)?;
        Some((book, p.book, book.model.layouts.get(p.layout)?, p.layout))
    }
}

fn known(plan: LinePlan, role: Role, keys: Vec<usize>) -> KnownLine {
    let full = plan
        .variants
        .first()
        .map_or(0, |v| v.iter().map(|p| weight(&plan, p)).sum());
    KnownLine {
        plan,
        role,
        keys,
        weight: full,
    }
}

/// The fields an entry can't do without: what it says and which one it is.
fn keys(plan: &LinePlan, layout: &Layout) -> Vec<usize> {
    let mut names: Vec<&str> = vec!["slot", "seq"];
    match layout.derived().iter().find(|d: &&Field| d.field == "code") {
        Some(d) => names.extend(d.join.iter().filter_map(|p| match p {
            Part::Field(f) => Some(f.field.as_str()),
            _ => None,
        })),
        None => names.push("code"),
    }
    (0..plan.fields.len())
        .filter(|&k| {
            plan.fields
                .get(k)
                .is_some_and(|f| names.contains(&f.field.field.as_str()))
        })
        .collect()
}

/// A known line found in a view.
#[derive(Clone, Debug)]
pub(crate) struct LineHit {
    /// The layout plan.
    pub plan: usize,
    /// The known line of it.
    pub known: usize,
    /// The match.
    pub hit: Hit,
    /// Other layouts that match the same place as well.
    pub others: Vec<LineHit>,
}

/// What one line holds.
#[derive(Debug, Default)]
pub(crate) struct LineScan {
    /// The view that matched best (stamps taken out where that helped).
    pub view: View,
    /// Known lines in it, from left to right.
    pub hits: Vec<LineHit>,
    /// A place from which a known line ran into the end of the view.
    pub open: Option<Open>,
    /// The line as a row of a dump.
    pub row: Option<Row>,
    /// Whether anything was stripped.
    pub stripped: bool,
    /// The view without time stamps, where there are any and they are still in.
    pub bare: Option<View>,
    /// The layout whose fixed words are all here although it does not match.
    pub resembles: Option<usize>,
    /// Whether check fields prove that this is a row of a dump.
    pub proved: bool,
}

/// A known line that ran into the end of the view.
#[derive(Clone, Debug)]
pub(crate) struct Open {
    /// Where it begins.
    pub from: usize,
    /// What was read before the end, with all key fields, if so.
    pub cut: Option<LineHit>,
    /// The layout plan.
    pub plan: usize,
    /// Fields read before the end.
    pub fields: usize,
    /// Whether the last hit is this very line, whole but perhaps not to its end.
    pub instead: bool,
}

/// Scans one line.
pub(crate) fn scan(
    plans: &Plans,
    budget: &Budget,
    view: View,
    segment: usize,
    stripped: bool,
) -> LineScan {
    let strict = Lenient::default();
    let mut out = LineScan {
        stripped,
        ..LineScan::default()
    };
    (out.hits, out.open) = find(plans, budget, &view, strict);
    // A layout of bare columns may take the numbers of a stamp for values with
    // their zeros left out.
    if out.hits.iter().any(|h| h.hit.cost >= 5)
        && let Some(bare) = without_stamps(&view)
    {
        let (hits, open) = find(plans, budget, &bare, strict);
        if !hits.is_empty() && hits.iter().all(|h| h.hit.cost < 5) {
            (out.hits, out.open, out.view, out.stripped) = (hits, open, bare, true);
            return out;
        }
    }
    if out.hits.is_empty()
        && let Some(bare) = without_stamps(&view)
    {
        let (hits, open) = find(plans, budget, &bare, strict);
        let dump = if hits.is_empty() {
            dump_row(&bare, segment)
        } else {
            None
        };
        if !hits.is_empty() || dump.is_some() || (open.is_some() && out.open.is_none()) {
            (out.hits, out.open, out.row, out.view, out.stripped) = (hits, open, dump, bare, true);
            return out;
        }
        out.bare = Some(bare);
    }
    if out.hits.is_empty() {
        out.row = dump_row(&view, segment);
    }
    out.view = view;
    out
}

/// Whether all that was found here is of layouts without a fixed word: columns
/// of hex may be anything.
pub(crate) fn is_weak(plans: &Plans, scan: &LineScan) -> bool {
    let wordless = |h: &LineHit| {
        let known = plans.layouts.get(h.plan).and_then(|l| l.lines.get(h.known));
        known.is_some_and(|k| {
            k.plan
                .variants
                .iter()
                .flatten()
                .all(|p| !matches!(p, Piece::Word(w) if w.len() > 2))
        })
    };
    !scan.hits.is_empty() && scan.hits.iter().all(wordless)
}

/// The line as a row of a dump, also behind a speaker's name.
pub(crate) fn dump_row(view: &View, segment: usize) -> Option<Row> {
    let body = body_start(view);
    row(view, segment, body).or_else(|| {
        (body + 2..(body + 80).min(view.len()))
            .filter(|&i| matches!(view.byte(i - 2), b':' | b'>' | b']') && view.byte(i - 1) == b' ')
            .find_map(|i| row(view, segment, i))
    })
}

/// Looks again, with less strictness, at a line that held nothing.
pub(crate) fn scan_again(plans: &Plans, budget: &Budget, scan: &mut LineScan) {
    let view = &scan.view;
    if !view.bytes.iter().any(u8::is_ascii_digit) {
        return;
    }
    let cells = view
        .bytes
        .iter()
        .filter(|b| matches!(b, b'|' | b'\t' | b';' | b','))
        .count();
    if cells >= 2 {
        let lenient = Lenient {
            cells: true,
            slips: false,
        };
        let (hits, _) = find(plans, budget, view, lenient);
        let whole = hits.first().is_some_and(|h| covers_body(view, &h.hit));
        let exact =
            |h: &LineHit| h.hit.caps.len() >= 3 && h.hit.caps.iter().all(|c| c.how != How::Short);
        if whole && hits.iter().all(exact) {
            scan.hits = hits;
            scan.open = None;
            return;
        }
    }
    let lenient = Lenient {
        slips: true,
        cells: false,
    };
    let (mut hits, mut open) = find(plans, budget, view, lenient);
    if hits.is_empty()
        && let Some(bare) = scan.bare.take()
    {
        let (again, cut) = find(plans, budget, &bare, lenient);
        if !again.is_empty() || (cut.is_some() && open.is_none() && scan.open.is_none()) {
            (hits, open, scan.view) = (again, cut, bare);
        }
    }
    if !hits.is_empty() {
        scan.hits = hits;
        scan.open = None;
    } else if scan.open.is_none() {
        scan.resembles = if open.is_none() {
            resembles(plans, &scan.view)
        } else {
            None
        };
        scan.open = open;
    } else if let (Some(o), Some(n)) = (&mut scan.open, open)
        && o.cut.is_none()
    {
        o.cut = n.cut;
    }
}

/// The layout of which a line has most fixed words, in their order (at least
/// three, and three in four), and enough numbers to be no talk about it.
fn resembles(plans: &Plans, view: &View) -> Option<usize> {
    let words: Vec<&[u8]> = view
        .bytes
        .split(|&b| !is_wordy(b))
        .filter(|w| w.len() > 2)
        .collect();
    plans.layouts.iter().position(|layout| {
        let entry = layout.lines.iter().find(|l| l.role == Role::Entry);
        let pieces = entry.and_then(|e| e.plan.variants.first());
        let fixed: Vec<&Vec<u8>> = pieces
            .into_iter()
            .flatten()
            .filter_map(|p| match p {
                Piece::Word(w) if w.len() > 2 => Some(w),
                _ => None,
            })
            .collect();
        let mut rest = words.iter();
        let found = fixed
            .iter()
            .filter(|w| {
                rest.clone().any(|x| x.eq_ignore_ascii_case(w))
                    && rest.any(|x| x.eq_ignore_ascii_case(w))
            })
            .count();
        let numbers = view
            .bytes
            .split(|&b| !is_wordy(b))
            .filter(|w| w.iter().any(u8::is_ascii_digit))
            .count();
        let fields = entry.map_or(0, |e| e.plan.fields.len());
        found >= 3 && found * 4 >= fixed.len() * 3 && numbers * 2 >= fields
    })
}

fn covers_body(view: &View, hit: &Hit) -> bool {
    let before = view
        .slice(body_start(view).min(hit.from), hit.from)
        .iter()
        .all(|&b| is_soft(b));
    let after = view
        .slice(hit.to, view.len())
        .iter()
        .all(|&b| is_soft(b) || b == crate::view::BREAK);
    before && after
}

/// Most matching steps spent on one line. Usual lines take some hundreds; only a
/// book made to be slow comes here, and then the rest of the line is not read.
const MOST_STEPS: u32 = 200_000;

/// Finds all known lines of a view, from left to right.
fn find(
    plans: &Plans,
    budget: &Budget,
    view: &View,
    lenient: Lenient,
) -> (Vec<LineHit>, Option<Open>) {
    let mut hits: Vec<LineHit> = Vec::new();
    let mut open: Option<Open> = None;
    let mut open_bits = 0;
    let body = body_start(view);
    let mut pos = 0;
    let mut spent = 0;
    while pos < view.len() && spent < MOST_STEPS {
        let here = view.byte(pos);
        let starts = pos == body
            || (pos > body || body == 0)
                && !(is_soft(here) && here != b':')
                && here != crate::view::BREAK
                && (pos == 0 || !is_wordy(view.byte(pos - 1)));
        if !starts {
            pos += 1;
            continue;
        }
        let mut best: Option<LineHit> = None;
        for (p, plan) in plans.layouts.iter().enumerate() {
            for (k, known) in plan.lines.iter().enumerate() {
                if budget.is_spent(plan.book)
                    || lenient.cells && known.role != Role::Entry
                    || !may_begin(known, view, pos, lenient)
                {
                    continue;
                }
                let found = match_at(&known.plan, view, pos, lenient, &known.keys);
                spent += found.steps;
                budget.spend(plan.book, found.steps);
                if let Some(hit) = found.whole.filter(|h| enough(known, view, h, lenient)) {
                    let new = LineHit {
                        plan: p,
                        known: k,
                        hit,
                        others: Vec::new(),
                    };
                    best = Some(merge(best, new));
                } else if found.ran_out >= 8 && found.ran_out > open_bits {
                    open_bits = found.ran_out;
                    let cut = found
                        .cut
                        .filter(|h| enough_cut(view, h))
                        .map(|hit| LineHit {
                            plan: p,
                            known: k,
                            hit,
                            others: Vec::new(),
                        });
                    open = Some(Open {
                        from: pos,
                        cut,
                        plan: p,
                        fields: found.fields,
                        instead: false,
                    });
                }
            }
        }
        match best {
            Some(hit) => {
                let from = pos;
                pos = hit.hit.to.max(pos + 1);
                if !lenient.slips && unfinished(plans, &hit, view) {
                    hits.push(hit.clone());
                    let open = Open {
                        from,
                        cut: None,
                        plan: hit.plan,
                        fields: 0,
                        instead: true,
                    };
                    return (hits, Some(open));
                }
                if open.as_ref().is_some_and(|o| o.from < pos) {
                    open = None;
                    open_bits = 0;
                }
                hits.push(hit);
            }
            None => pos += 1,
        }
    }
    (hits, open)
}

/// Whether an entry reaches the end of the view with its last value short, or
/// without the closing sign of its layout: the rest may be on the next line.
fn unfinished(plans: &Plans, hit: &LineHit, view: &View) -> bool {
    if view
        .slice(hit.hit.to, view.len())
        .iter()
        .any(|&b| !crate::view::is_space(b))
    {
        return false;
    }
    let known = plans
        .layouts
        .get(hit.plan)
        .and_then(|l| l.lines.get(hit.known));
    let Some(known) = known.filter(|k| k.role == Role::Entry) else {
        return false;
    };
    let last = hit.hit.caps.last();
    let short = last.is_some_and(|c| c.how == How::Short);
    // A value of no fixed width that ends where the line ends.
    let elastic = last
        .filter(|c| c.to == hit.hit.to)
        .and_then(|c| known.plan.fields.get(c.field))
        .is_some_and(|f| f.width.0 != f.width.1);
    let fullest = known.plan.variants.first();
    let closing = fullest.and_then(|v| v.last()).is_some_and(|p| match p {
        Piece::Gap(g) => g.iter().any(|&b| !crate::view::is_space(b)),
        _ => false,
    });
    let fields = fullest.map_or(0, |v| {
        v.iter().filter(|p| matches!(p, Piece::Field(_))).count()
    });
    let fuller = hit.hit.caps.len() < fields;
    short || closing || elastic || fuller
}

/// A quick look at the first letter, so that most places cost nothing.
fn may_begin(known: &KnownLine, view: &View, pos: usize, lenient: Lenient) -> bool {
    if lenient.slips || lenient.cells {
        return true;
    }
    known.plan.variants.iter().any(|v| {
        let first = v.iter().find(|p| !matches!(p, Piece::Gap(_)));
        match (v.first(), first) {
            (Some(Piece::Gap(_)), _) | (_, Some(Piece::Field(_)) | None) => true,
            (_, Some(Piece::Word(w))) => w
                .first()
                .is_some_and(|c| view.byte(pos).eq_ignore_ascii_case(c)),
            (_, Some(Piece::Gap(_))) => true,
        }
    })
}

/// Whether a match is telling enough to be believed.
fn enough(known: &KnownLine, view: &View, hit: &Hit, lenient: Lenient) -> bool {
    if lenient.cells {
        return true;
    }
    if lenient.slips && known.role != Role::Entry {
        return hit.evidence >= (known.weight * 45 / 100).max(12);
    }
    let exact = hit
        .caps
        .iter()
        .filter(|c| matches!(c.how, How::Exact | How::Special))
        .count();
    if lenient.slips {
        let strong =
            hit.evidence >= (known.weight * 45 / 100).max(20) && (exact > 0 || hit.evidence >= 24);
        let mostly =
            exact * 2 >= hit.caps.len() && hit.caps.len() > 2 && hit.evidence >= known.weight / 2;
        return strong || (mostly && covers_body(view, hit));
    }
    let short = hit.caps.iter().any(|c| c.how == How::Short);
    hit.evidence >= if known.role == Role::Entry { 20 } else { 12 }
        || (!short && covers_body(view, hit))
}

/// Whether what was read of a cut-off entry is telling enough.
fn enough_cut(view: &View, hit: &Hit) -> bool {
    let begins = body_start(view) == hit.from;
    let exact = hit
        .caps
        .iter()
        .all(|c| c.how != How::Short && c.how != How::Broken);
    begins && exact && hit.evidence >= 12 || hit.evidence >= 24 && exact
}

fn rank(h: &LineHit) -> (u32, u32) {
    (h.hit.cost, u32::MAX - h.hit.evidence)
}

fn merge(old: Option<LineHit>, mut new: LineHit) -> LineHit {
    let Some(mut old) = old else { return new };
    if old.plan == new.plan {
        return if rank(&new) < rank(&old) {
            new.others = std::mem::take(&mut old.others);
            new
        } else {
            old
        };
    }
    if rank(&new) < rank(&old) {
        let mut others = std::mem::take(&mut old.others);
        others.push(old);
        new.others = others;
        new
    } else {
        old.others.push(new);
        old
    }
}
