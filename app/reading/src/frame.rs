//! Hex dumps, part two: cut a stream of bytes into records.
//!
//! Where the rows carry offsets, records lie at multiples of their length. Where
//! each row is one record, rows are records. Else records follow each other, and
//! where a check field exists the cut that makes most checks agree wins, so that
//! a lost byte costs one record only.

use codebook::checksum;
use codebook::model::{ByteLayout, Encoding, Endian, Field};

use crate::dump::{Byte, Stream};

/// A piece of a stream.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) enum Frame {
    /// A record: places in the stream, in reading order.
    Record(Vec<usize>),
    /// An unused slot.
    Empty(Vec<usize>),
    /// Bytes that make no whole record.
    Loose(Vec<usize>),
    /// The header.
    Header(Vec<usize>),
}

/// A way to cut a stream, and how good it is.
#[derive(Clone, Debug, Default)]
pub(crate) struct Framing {
    /// The pieces.
    pub frames: Vec<Frame>,
    /// Records whose check agrees, or whose fixed values are there.
    pub good: usize,
    /// Records where they do not.
    pub bad: usize,
    /// Sequence numbers that follow one another.
    pub runs: usize,
    /// Unused slots.
    pub empty: usize,
}

impl Framing {
    /// For comparing framings.
    pub fn score(&self) -> i64 {
        let n = |x: usize| i64::try_from(x).unwrap_or(i64::MAX / 8);
        4 * n(self.good) - 2 * n(self.bad) + n(self.runs)
    }
}

/// The value of a byte, if both characters are hex digits.
pub(crate) fn value(b: Byte) -> Option<u8> {
    let d = |c: u8| (c as char).to_digit(16).and_then(|x| u8::try_from(x).ok());
    Some(d(b.text[0])? << 4 | d(b.text[1])?)
}

/// The bytes at these places, `None` if any is unclear.
pub(crate) fn values(stream: &Stream, places: &[usize]) -> Option<Vec<u8>> {
    places
        .iter()
        .map(|&i| value(*stream.bytes.get(i)?))
        .collect()
}

/// Number and hex width of a byte field.
pub(crate) fn field_number(field: &Field, bytes: &[u8]) -> Option<(u64, usize)> {
    let at = field.at? as usize;
    let size = field.size.unwrap_or(1) as usize;
    let part = bytes.get(at..at + size)?;
    if size > 8 {
        return None;
    }
    let fold = |n: u64, b: &u8| n << 8 | u64::from(*b);
    let n = match field.endian {
        Endian::Big => part.iter().fold(0, fold),
        Endian::Little => part.iter().rev().fold(0, fold),
    };
    if field.encoding == Encoding::Bcd {
        let text = format!("{n:0w$X}", w = size * 2);
        return Some((text.parse().ok()?, size * 2));
    }
    match field.bits {
        Some([high, low]) if high < 64 && low <= high => {
            let width = high - low + 1;
            let mask = if width >= 64 {
                u64::MAX
            } else {
                (1 << width) - 1
            };
            Some((n >> low & mask, width.div_ceil(4) as usize))
        }
        _ => Some((n, size * 2)),
    }
}

/// Whether the fixed values and the check of a record agree. `None` when the
/// layout has neither.
pub(crate) fn agrees(layout: &ByteLayout, bytes: &[u8]) -> Option<bool> {
    let fixed = fixed(layout, bytes);
    if fixed == Some(false) {
        return fixed;
    }
    check_ok(layout, bytes).or(fixed)
}

/// Whether the fixed values of a record are there. `None` when the layout has
/// none.
pub(crate) fn fixed(layout: &ByteLayout, bytes: &[u8]) -> Option<bool> {
    let mut any = None;
    for f in &layout.fields {
        if let Some(want) = &f.equals {
            let (n, _) = field_number(f, bytes)?;
            if u64::from_str_radix(want.strip_prefix("0x").unwrap_or(want), 16) != Ok(n) {
                return Some(false);
            }
            any = Some(true);
        }
    }
    any
}

/// Whether the check field agrees; `None` without one.
pub(crate) fn check_ok(layout: &ByteLayout, bytes: &[u8]) -> Option<bool> {
    let check = layout.check.as_ref()?;
    let field = layout.fields.iter().find(|f| f.field == check.field)?;
    let (want, _) = field_number(field, bytes)?;
    let [from, count] = check.over.bytes?;
    let (from, to) = (from as usize, from as usize + count as usize);
    let mut covered = bytes.get(from..to)?.to_vec();
    // The check field inside its own range counts as zero.
    let at = field.at? as usize;
    for i in at..at + field.size.unwrap_or(1) as usize {
        if let Some(b) = i.checked_sub(from).and_then(|k| covered.get_mut(k)) {
            *b = 0;
        }
    }
    Some(checksum::compute_bytes(check, &covered) == want)
}

/// Whether a record is an unused slot.
pub(crate) fn is_empty(layout: &ByteLayout, bytes: &[u8]) -> bool {
    if let Some(hex) = &layout.empty_byte
        && let Ok(e) = u8::from_str_radix(hex, 16)
        && bytes.iter().all(|&b| b == e)
    {
        return true;
    }
    !layout.empty_when.is_empty()
        && layout.empty_when.iter().all(|(name, want)| {
            let field = layout.fields.iter().find(|f| f.field == *name);
            let n = field.and_then(|f| field_number(f, bytes));
            n.is_some_and(|(n, w)| {
                format!("{n:0w$X}").eq_ignore_ascii_case(want) || n.to_string() == *want
            })
        })
}

/// Cuts the stream, read in `order`, for one layout.
pub(crate) fn frame(stream: &Stream, order: &[usize], layout: &ByteLayout) -> Framing {
    let n = layout.length as usize;
    let head = header_length(stream, order, layout);
    let by_rows = stream.base.is_none() && stream.per_row == n && stream.rows.len() > 1;
    let frames = if by_rows {
        rows_as_records(stream, order, n)
    } else if stream.base.is_some() {
        by_offsets(stream, order, layout, head)
    } else if layout.check.is_some() {
        best_cut(stream, order, layout, head)
    } else {
        chunks(order.get(head..).unwrap_or(&[]), n)
    };
    let mut out = Framing::default();
    if head > 0 {
        out.frames
            .push(Frame::Header(order.get(..head).unwrap_or(&[]).to_vec()));
    }
    let seq = layout.fields.iter().find(|f| f.field == "seq");
    let mut last: Option<u64> = None;
    for frame in frames {
        if let Frame::Record(places) = &frame {
            match values(stream, places) {
                Some(bytes) if is_empty(layout, &bytes) => {
                    out.empty += 1;
                    out.frames.push(Frame::Empty(places.clone()));
                    continue;
                }
                Some(bytes) => {
                    match agrees(layout, &bytes) {
                        Some(true) => out.good += 1,
                        Some(false) => out.bad += 1,
                        None => {}
                    }
                    let now = seq.and_then(|f| field_number(f, &bytes)).map(|s| s.0);
                    if let (Some(a), Some(b)) = (last, now)
                        && a.abs_diff(b) == 1
                    {
                        out.runs += 1;
                    }
                    last = now;
                }
                None => {}
            }
        }
        out.frames.push(frame);
    }
    out
}

fn header_length(stream: &Stream, order: &[usize], layout: &ByteLayout) -> usize {
    let Some(header) = &layout.header else {
        return 0;
    };
    let length = header.length as usize;
    let fixed: Vec<&Field> = header
        .fields
        .iter()
        .filter(|f| f.equals.is_some())
        .collect();
    let bytes = order.get(..length).and_then(|p| values(stream, p));
    let fits = bytes.is_some_and(|b| {
        fixed.iter().all(|f| {
            let want = f
                .equals
                .as_deref()
                .and_then(|w| u64::from_str_radix(w, 16).ok());
            field_number(f, &b).map(|x| x.0) == want && want.is_some()
        })
    });
    if fits && !fixed.is_empty() { length } else { 0 }
}

fn chunks(places: &[usize], n: usize) -> Vec<Frame> {
    places
        .chunks(n.max(1))
        .map(|c| {
            if c.len() == n {
                Frame::Record(c.to_vec())
            } else {
                Frame::Loose(c.to_vec())
            }
        })
        .collect()
}

fn rows_as_records(stream: &Stream, order: &[usize], n: usize) -> Vec<Frame> {
    let mut out = Vec::new();
    for (r, &from) in stream.starts.iter().enumerate().take(stream.rows.len()) {
        let to = stream.starts.get(r + 1).copied().unwrap_or(order.len());
        let places = order.get(from..to).unwrap_or(&[]).to_vec();
        let damaged = stream.damaged.get(r).copied().unwrap_or(false);
        if places.len() == n && !damaged {
            out.push(Frame::Record(places));
        } else if !places.is_empty() {
            out.push(Frame::Loose(places));
        }
    }
    out
}

/// Records at multiples of the length behind the first offset. The phase that
/// makes most checks agree wins; the plain one in a draw.
fn by_offsets(stream: &Stream, order: &[usize], layout: &ByteLayout, head: usize) -> Vec<Frame> {
    let n = layout.length as usize;
    // Absolute place of each byte by its row's offset.
    let base = stream.base.unwrap_or(0);
    let mut places: Vec<(u64, usize, bool)> = Vec::with_capacity(order.len());
    for (i, &p) in order.iter().enumerate() {
        let Some(byte) = stream.bytes.get(i) else {
            continue;
        };
        let row = byte.row;
        let from = stream.starts.get(row).copied().unwrap_or(0);
        let row_base = stream.rows.get(row).and_then(|r| r.offset).unwrap_or(base);
        let damaged = stream.damaged.get(row).copied().unwrap_or(false);
        places.push((
            row_base.saturating_sub(base) + (i - from) as u64,
            p,
            damaged,
        ));
    }
    let cut = |phase: u64| {
        let mut out: Vec<Frame> = Vec::new();
        let mut now: Vec<usize> = Vec::new();
        let mut slot = u64::MAX;
        let mut next_at = 0;
        let mut hurt = false;
        let close = |now: &mut Vec<usize>, hurt: bool, out: &mut Vec<Frame>| {
            if now.is_empty() {
                return;
            }
            let whole = now.len() == n && !hurt;
            let taken = std::mem::take(now);
            out.push(if whole {
                Frame::Record(taken)
            } else {
                Frame::Loose(taken)
            });
        };
        for &(at, p, damaged) in places.iter().skip(head) {
            let at = at.saturating_sub(head as u64);
            if at < phase {
                out.push(Frame::Loose(vec![p]));
                continue;
            }
            let here = (at - phase) / n as u64;
            if here != slot || (at < next_at) {
                close(&mut now, hurt, &mut out);
                hurt = false;
                slot = here;
            }
            hurt |= damaged;
            next_at = at + 1;
            now.push(p);
        }
        close(&mut now, hurt, &mut out);
        out
    };
    let good = |frames: &[Frame]| {
        frames
            .iter()
            .filter(|f| match f {
                Frame::Record(p) => values(stream, p)
                    .is_some_and(|b| agrees(layout, &b) == Some(true) && !is_empty(layout, &b)),
                _ => false,
            })
            .count()
    };
    let plain = cut(0);
    let mut best = (good(&plain), plain);
    if best.0 == 0 {
        for phase in 1..n as u64 {
            let frames = cut(phase);
            let g = good(&frames);
            let records = frames
                .iter()
                .filter(|f| matches!(f, Frame::Record(_)))
                .count();
            if g > best.0 && g * 2 >= records && g > 1 {
                best = (g, frames);
            }
        }
    }
    merge_loose(best.1)
}

fn merge_loose(frames: Vec<Frame>) -> Vec<Frame> {
    let mut out: Vec<Frame> = Vec::new();
    for f in frames {
        match (out.last_mut(), f) {
            (Some(Frame::Loose(a)), Frame::Loose(b)) if a.len() + b.len() < 64 && a.len() == 1 => {
                a.extend(b)
            }
            (_, f) => out.push(f),
        }
    }
    out
}

/// The cut with the most agreeing checks, found from the end backwards.
fn best_cut(stream: &Stream, order: &[usize], layout: &ByteLayout, head: usize) -> Vec<Frame> {
    const GOOD: i64 = 60;
    const EMPTY: i64 = 45;
    const BAD: i64 = -10;
    // A record with a slip in it says neither yes nor no.
    const UNCLEAR: i64 = 0;
    const SKIP: i64 = -4;
    // Each stretch of loose bytes costs extra: one lost byte makes one stretch,
    // a check that agrees by chance in a wrong place needs two.
    const BREAK: i64 = -25;
    let n = layout.length as usize;
    let total = order.len();
    let mut best = vec![0_i64; total + 1];
    let mut take = vec![false; total + 1];
    for i in (head..total).rev() {
        let after = |k: usize| best.get(k).copied().unwrap_or(0);
        let last = i + 1 == total || take.get(i + 1) == Some(&true);
        let mut here = (after(i + 1) + SKIP + if last { BREAK } else { 0 }, false);
        if let Some(places) = order.get(i..i + n) {
            let worth = match values(stream, places) {
                Some(b) if is_empty(layout, &b) => EMPTY,
                Some(b) if agrees(layout, &b) == Some(true) => GOOD,
                Some(_) => BAD,
                None => UNCLEAR,
            };
            let score = after(i + n) + worth;
            if score >= here.0 {
                here = (score, true);
            }
        }
        if let (Some(b), Some(t)) = (best.get_mut(i), take.get_mut(i)) {
            (*b, *t) = here;
        }
    }
    let mut out = Vec::new();
    let mut loose = Vec::new();
    let mut i = head;
    while i < total {
        if take.get(i) == Some(&true) {
            if !loose.is_empty() {
                out.push(Frame::Loose(std::mem::take(&mut loose)));
            }
            out.push(Frame::Record(order.get(i..i + n).unwrap_or(&[]).to_vec()));
            i += n;
        } else {
            loose.extend(order.get(i));
            i += 1;
        }
    }
    if !loose.is_empty() {
        out.push(Frame::Loose(loose));
    }
    believed(out, stream, layout)
}

/// Records that follow each other without one whose check agrees may be cut
/// anywhere: their bytes say nothing.
fn believed(frames: Vec<Frame>, stream: &Stream, layout: &ByteLayout) -> Vec<Frame> {
    let sure = |f: &Frame| match f {
        Frame::Record(p) => values(stream, p)
            .is_some_and(|b| is_empty(layout, &b) || agrees(layout, &b) == Some(true)),
        _ => false,
    };
    let is_record = |f: &Frame| matches!(f, Frame::Record(_));
    let lone = frames.len() == 1;
    let mut out = Vec::with_capacity(frames.len());
    for run in frames.chunk_by(|a, b| is_record(a) && is_record(b)) {
        let keep = lone || run.iter().any(sure);
        out.extend(run.iter().cloned().map(|f| match f {
            Frame::Record(p) if !keep => Frame::Loose(p),
            other => other,
        }));
    }
    out
}
