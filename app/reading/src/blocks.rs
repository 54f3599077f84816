//! Hex dumps, part three: which rows belong together, which layout they are
//! written in, and what their records say.

use codebook::Book;
use codebook::model::{ByteLayout, Layout};
use std::rc::Rc;

use crate::byte_item::{Record, cut, loose, plain, record};
use crate::dump::{Row, Stream, stream, turns};
use crate::frame::{Frame, Framing, frame, values};
use crate::item::{Item, Kind};
use crate::markup::why_ignored;
use crate::scan::{Plans, Role, dump_row, is_weak};
use crate::session::Material;
use crate::view::View;

/// Bytes by which a long dump is judged.
const SAMPLE: usize = 16 << 10;

/// Most bytes of dumps in one paste. No fault log is as long; a flash image is.
const MOST_BYTES: usize = 256 << 10;

/// A byte layout with its numbers.
struct Candidate<'a> {
    plan: usize,
    book: &'a Book,
    b: usize,
    whole: &'a Layout,
    layout: &'a ByteLayout,
    l: usize,
}

/// A stream read by a layout.
struct Claim {
    candidate: usize,
    framing: Framing,
}

/// Lines that a layout of bare columns took, or would go on with, but that are
/// rows of a dump whose check fields agree, go to the dump.
pub(crate) fn prefer_dumps(m: &mut Material) {
    let plans = Rc::clone(&m.plans);
    let mut saved = Vec::new();
    for (k, scan) in m.scans.iter_mut().enumerate() {
        let had = scan.row.clone();
        let row = match &had {
            Some(_) if scan.open.is_some() => had.clone(),
            None if is_weak(&plans, scan) => dump_row(&scan.view, k),
            _ => None,
        };
        if row.is_some() {
            saved.push((k, std::mem::take(&mut scan.hits), scan.open.take(), had));
            scan.row = row;
        }
    }
    if saved.is_empty() {
        return;
    }
    let candidates = candidates(&plans);
    let blocks = gather(m).0;
    let mut proved: Vec<usize> = Vec::new();
    for rows in blocks {
        let segments: Vec<usize> = rows.iter().map(|r| r.segment).collect();
        let stream = stream(rows, &|s| view_of(m, s));
        let sure = claim(&stream, &candidates, None).is_some_and(|c| {
            let checked = candidates
                .get(c.candidate)
                .is_some_and(|x| x.layout.check.is_some());
            checked && c.framing.good > 1
        });
        if sure {
            proved.extend(segments);
        }
    }
    for &k in &proved {
        if let Some(scan) = m.scans.get_mut(k) {
            scan.proved = true;
            scan.open = None;
        }
    }
    for (k, hits, open, row) in saved {
        if let Some(scan) = m.scans.get_mut(k).filter(|s| !s.proved) {
            (scan.hits, scan.open, scan.row) = (hits, open, row);
        }
    }
}

/// The byte layouts of all books.
fn candidates(plans: &Plans) -> Vec<Candidate<'_>> {
    (0..plans.layouts.len())
        .filter_map(|plan| {
            let (book, b, whole, l) = plans.layout(plan)?;
            match whole {
                Layout::Bytes(layout) => Some(Candidate {
                    plan,
                    book,
                    b,
                    whole,
                    layout,
                    l,
                }),
                Layout::Text(_) => None,
            }
        })
        .collect()
}

/// Reads all dumps of the paste. Rows that no layout reads lose their mark, so
/// that text layouts may look at them again.
pub(crate) fn items(m: &mut Material) -> Vec<Item> {
    drop_stray_rests(m);
    let (blocks, headed, cut) = gather(m);
    m.dump_cut = cut;
    if blocks.is_empty() {
        return Vec::new();
    }
    let plans = Rc::clone(&m.plans);
    let candidates = candidates(&plans);
    let streams: Vec<Stream> = {
        let view_of = |s: usize| view_of(m, s);
        blocks
            .into_iter()
            .map(|rows| stream(rows, &view_of))
            .collect()
    };
    let mut claims: Vec<Option<Claim>> = streams
        .iter()
        .map(|s| claim(s, &candidates, None))
        .collect();
    // A dump with nothing in it, or one odd record, goes with the dumps around it.
    let used: Vec<usize> = claims.iter().flatten().map(|c| c.candidate).collect();
    for (k, s) in streams.iter().enumerate() {
        let missing = claims.get(k).is_some_and(Option::is_none);
        if missing {
            let by_header = headed
                .get(k)
                .copied()
                .flatten()
                .and_then(|plan| candidates.iter().position(|c| c.plan == plan));
            let wanted = by_header.or_else(|| used.first().copied());
            if let (Some(w), Some(slot)) = (wanted, claims.get_mut(k)) {
                *slot = claim(s, &candidates, Some((w, by_header.is_some())));
            }
        }
    }
    let mut out = Vec::new();
    for (k, (s, claimed)) in streams.iter().zip(&claims).enumerate() {
        match claimed {
            Some(c) => {
                if let Some(candidate) = candidates.get(c.candidate) {
                    out.extend(read(m, s, c, candidate, &candidates, k));
                }
            }
            None => {
                if let Some(c) = candidates.iter().find(|c| has_length(s, c.layout)) {
                    out.extend(misfits(m, s, c, k));
                    continue;
                }
                for row in &s.rows {
                    if let Some(scan) = m.scans.get_mut(row.segment) {
                        scan.row = None;
                    }
                }
            }
        }
    }
    out
}

/// All dumps of the paste as streams of bytes, with no layout in mind.
pub(crate) fn streams(m: &mut Material) -> Vec<Stream> {
    drop_stray_rests(m);
    let blocks = gather(m).0;
    let view_of = |s: usize| view_of(m, s);
    blocks
        .into_iter()
        .map(|rows| stream(rows, &view_of))
        .collect()
}

/// A few bytes are the rest of a row only right below a longer row of the same
/// kind: without offset, or with one that they go on from.
fn drop_stray_rests(m: &mut Material) {
    let mut above: Option<(usize, Option<u64>)> = None;
    for scan in &mut m.scans {
        let stray = scan.row.as_ref().is_some_and(|r| {
            let goes_on = |(n, end): (usize, Option<u64>)| r.offset == end && r.groups.len() < n;
            r.rest && !above.is_some_and(goes_on)
        });
        if stray {
            scan.row = None;
        }
        above = scan
            .row
            .as_ref()
            .filter(|r| !r.rest && r.group == 2)
            .map(|r| {
                let n = r.groups.len();
                (n, r.offset.map(|o| o.saturating_add(n as u64)))
            });
    }
}

/// Whether the rows are of a layout's length, byte by byte.
fn has_length(s: &Stream, layout: &ByteLayout) -> bool {
    let bytes = s.rows.iter().all(|r| r.group == 2 && r.groups.len() >= 4);
    layout.check.is_some()
        && layout.length >= 4
        && bytes
        && s.bytes.len() == layout.length as usize * s.rows.len()
        && s.per_row == layout.length as usize
}

/// Rows of the right length of which no check field fits.
fn misfits(m: &Material, s: &Stream, c: &Candidate<'_>, block: usize) -> Vec<Item> {
    let view_of = |seg: usize| view_of(m, seg);
    let line_of = |seg: usize| m.segments.get(seg).map_or(0, |x| x.line);
    let all: Vec<usize> = (0..s.bytes.len()).collect();
    all.chunks(c.layout.length as usize)
        .map(|places| {
            let r = record_at(m, s, c, places, (&view_of, &line_of), block);
            loose(&r, "as long as a record, but its check field does not fit, and no line around it helps")
        })
        .collect()
}

/// Ways back from a segment: to its view and to its physical line.
type WaysBack<'a> = (&'a dyn Fn(usize) -> &'a View, &'a dyn Fn(usize) -> usize);

fn record_at<'a>(
    m: &'a Material,
    stream: &'a Stream,
    c: &Candidate<'a>,
    places: &'a [usize],
    (view_of, line_of): WaysBack<'a>,
    block: usize,
) -> Record<'a> {
    Record {
        text: &m.decoded.text,
        stream,
        places,
        view_of,
        line_of,
        book: (c.book, c.b),
        layout: (c.layout, c.whole, c.l),
        block,
    }
}

fn view_of(m: &Material, segment: usize) -> &View {
    static NONE: View = View {
        bytes: Vec::new(),
        at: Vec::new(),
        len: Vec::new(),
    };
    m.scans.get(segment).map_or(&NONE, |s| &s.view)
}

/// Rows that follow one another, the layout whose header stands before them, and
/// whether there were more than is read.
fn gather(m: &Material) -> (Vec<Vec<Row>>, Vec<Option<usize>>, bool) {
    let mut blocks: Vec<Vec<Row>> = Vec::new();
    let mut headed = Vec::new();
    let mut header = None;
    let mut open = false;
    let mut bytes = 0;
    for (k, scan) in m.scans.iter().enumerate() {
        if let Some(row) = &scan.row
            && m.joined.get(k) != Some(&true)
        {
            bytes += row.groups.iter().map(|g| g.1 - g.0).sum::<usize>() / 2;
            if bytes > MOST_BYTES {
                return (blocks, headed, true);
            }
            let back = |last: &Row| row.offset.zip(last.offset).is_some_and(|(n, l)| n <= l);
            let other =
                |last: &Row| row.offset.is_some() != last.offset.is_some() && !row.maybe_offset;
            let size = |last: &Row| {
                last.group != row.group && row.groups.len() > 1 && last.groups.len() > 1
            };
            match blocks.last_mut().filter(|_| open) {
                Some(block)
                    if block
                        .last()
                        .is_some_and(|l| !back(l) && !other(l) && !size(l)) =>
                {
                    block.push(row.clone())
                }
                _ => {
                    blocks.push(vec![row.clone()]);
                    headed.push(header);
                }
            }
            open = true;
            continue;
        }
        if let Some(hit) = scan.hits.first() {
            let role = m
                .plans
                .layouts
                .get(hit.plan)
                .and_then(|l| l.lines.get(hit.known))
                .map(|l| l.role);
            if matches!(role, Some(Role::Header(_))) {
                header = Some(hit.plan);
            }
            open = false;
        } else if !scan.view.bytes.iter().all(|&b| crate::view::is_soft(b))
            && !matches!(
                why_ignored(&scan.view, false),
                "pager" | "code fence" | "ruler" | "mark-up only"
            )
        {
            // Prose between two rows with offsets that go on does not part them.
            let next = m
                .scans
                .iter()
                .skip(k + 1)
                .take(3)
                .find_map(|s| s.row.as_ref());
            let last = blocks.last().and_then(|b| b.last());
            let goes_on = next
                .zip(last)
                .is_some_and(|(n, l)| match (n.offset, l.offset) {
                    (Some(n), Some(l)) => n > l && n - l <= 64,
                    _ => false,
                });
            if !goes_on {
                open = false;
            }
        }
    }
    (blocks, headed, false)
}

/// The layout and the turn that read a stream best. `wanted` asks for one
/// layout, with less proof (and even less when its header stands before).
fn claim(s: &Stream, candidates: &[Candidate<'_>], wanted: Option<(usize, bool)>) -> Option<Claim> {
    // A very long dump is judged by its beginning.
    let long = s.bytes.len() > SAMPLE;
    let sample = if long { s.beginning(SAMPLE) } else { s.clone() };
    let whole = s;
    let s = &sample;
    let mut best: Option<(i64, Claim, usize)> = None;
    for (candidate, c) in candidates.iter().enumerate() {
        if wanted.is_some_and(|w| w.0 != candidate) {
            continue;
        }
        for (size, order) in turns(s) {
            let mut framing = frame(s, &order, c.layout);
            if c.layout.check.is_none() {
                know(s, c, &mut framing);
            }
            let records = framing.good + framing.bad;
            let proved = framing.good > 0 && framing.good * 10 >= records * 4;
            let accepted = match wanted {
                None => proved,
                Some((_, headed)) => {
                    proved
                        || framing.empty > 0 && framing.bad == 0
                        || (headed || s.per_row == c.layout.length as usize)
                            && framing.frames.iter().any(|f| matches!(f, Frame::Record(_)))
                }
            };
            if !accepted {
                continue;
            }
            // Turned dumps must be better, not as good.
            let score = framing.score() * 4 - i64::from(size > 1);
            if best.as_ref().is_none_or(|b| score > b.0) {
                best = Some((score, Claim { candidate, framing }, size));
            }
        }
    }
    let (_, mut claim, size) = best?;
    if long && let Some(c) = candidates.get(claim.candidate) {
        let order = turns(whole).into_iter().find(|t| t.0 == size)?.1;
        claim.framing = frame(whole, &order, c.layout);
    }
    Some(claim)
}

/// Without a check field, known codes speak for a layout.
fn know(s: &Stream, c: &Candidate<'_>, framing: &mut Framing) {
    let (mut good, mut bad) = (0, 0);
    for f in &framing.frames {
        let Frame::Record(places) = f else { continue };
        let Some(bytes) = values(s, places) else {
            continue;
        };
        let fixed = crate::frame::agrees(c.layout, &bytes);
        let known = crate::byte_item::code_of(c.layout, &bytes)
            .is_some_and(|code| c.book.knows(&code, Some(c.whole.id())).is_some());
        match (fixed, known) {
            (Some(false), _) => bad += 1,
            (Some(true), _) | (None, true) => good += 1,
            (None, false) => bad += 1,
        }
    }
    framing.good = good;
    framing.bad = bad;
}

/// Another layout of the same book and length for a record whose fixed values
/// say that it is not of the layout of the dump around it.
fn instead<'c, 'b>(
    s: &Stream,
    f: &Frame,
    c: &Candidate<'_>,
    all: &'c [Candidate<'b>],
) -> Option<&'c Candidate<'b>> {
    let Frame::Record(places) = f else {
        return None;
    };
    let bytes = values(s, places)?;
    if crate::frame::fixed(c.layout, &bytes) != Some(false) {
        return None;
    }
    all.iter().find(|o| {
        o.b == c.b
            && o.layout.length == c.layout.length
            && crate::frame::fixed(o.layout, &bytes) == Some(true)
            && crate::frame::check_ok(o.layout, &bytes) != Some(false)
    })
}

fn read(
    m: &Material,
    s: &Stream,
    claim: &Claim,
    c: &Candidate<'_>,
    all: &[Candidate<'_>],
    block: usize,
) -> Vec<Item> {
    let view_of = |seg: usize| view_of(m, seg);
    let line_of = |seg: usize| m.segments.get(seg).map_or(0, |x| x.line);
    let mut out = Vec::new();
    let last = claim.framing.frames.len().saturating_sub(1);
    for (k, f) in claim.framing.frames.iter().enumerate() {
        let places = match f {
            Frame::Record(p) | Frame::Empty(p) | Frame::Loose(p) | Frame::Header(p) => p.as_slice(),
        };
        let c = instead(s, f, c, all).unwrap_or(c);
        let r = record_at(m, s, c, places, (&view_of, &line_of), block);
        out.push(match f {
            Frame::Record(_) => record(&r),
            Frame::Empty(_) => plain(&r, Kind::Empty),
            Frame::Header(_) => header(&r, c.layout),
            Frame::Loose(p) => {
                let bytes = values(s, p);
                let unused = c
                    .layout
                    .empty_byte
                    .as_deref()
                    .and_then(|e| u8::from_str_radix(e, 16).ok());
                let vacant = bytes.is_some_and(|b| b.iter().all(|&x| Some(x) == unused));
                let at_end = k == last && !s.damaged.last().copied().unwrap_or(false);
                if vacant {
                    plain(&r, Kind::Empty)
                } else if at_end && let Some(item) = cut(&r) {
                    item
                } else if at_end {
                    loose(&r, "cut off before the code is whole")
                } else if k == 0 && claim.framing.frames.len() > 1 && s.base.is_some_and(|b| b > 0)
                {
                    loose(&r, "the record begins above the pasted part")
                } else {
                    loose(
                        &r,
                        "a byte is missing or one too many, and nothing tells which",
                    )
                }
            }
        });
    }
    out
}

fn header(r: &Record<'_>, layout: &ByteLayout) -> Item {
    let mut item = plain(r, Kind::Header(true));
    let Some(header) = &layout.header else {
        return item;
    };
    if let Some(bytes) = values(r.stream, r.places) {
        for f in &header.fields {
            if let Some((n, _)) = crate::frame::field_number(f, &bytes) {
                item.fields.insert(f.field.clone(), n.into());
            }
        }
    }
    item
}
