//! Hex dumps, part one: rows of bytes in the lines of a paste, and the streams
//! of bytes that rows make up.
//!
//! Understood: offsets or none (with or without a colon, also glued to colon
//! bytes), bytes or words of 2, 4 or 8 bytes, `0x`, `\x` and `h` notation, text
//! gutters behind a bar or wide space, and rows of any length.

use crate::slips;
use crate::view::{BREAK, View, is_space};

/// One row of a dump.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(crate) struct Row {
    /// The segment it is in.
    pub segment: usize,
    /// The offset in front, if there surely is one.
    pub offset: Option<u64>,
    /// Whether the first group may be an offset, to be told by the rows around.
    pub maybe_offset: bool,
    /// The groups of hex digits, as cells.
    pub groups: Vec<(usize, usize)>,
    /// Digits of a whole group.
    pub group: usize,
    /// Whether it is only a row if it ends the row right above: too short to
    /// tell by itself.
    pub rest: bool,
}

const HEX: &[u8] = b"0123456789ABCDEF";

fn hexish(b: u8) -> bool {
    b.is_ascii_alphanumeric() || matches!(b, b'|' | b'!' | b'$' | b'?')
}

/// Whether all characters are hex digits, and how many are not.
fn illegal(view: &View, from: usize, to: usize) -> usize {
    view.slice(from, to)
        .iter()
        .filter(|b| !b.is_ascii_hexdigit())
        .count()
}

/// Whether each character is a hex digit or a known slip for one.
fn readable(view: &View, from: usize, to: usize) -> bool {
    view.slice(from, to)
        .iter()
        .all(|&b| slips::readable_as(b, HEX).is_some() || slips::is_lost(b))
}

struct Token {
    from: usize,
    to: usize,
    colon: bool,
    wide: bool,
}

fn tokens(view: &View, start: usize) -> Vec<Token> {
    let mut out: Vec<Token> = Vec::new();
    let mut i = start;
    while matches!(view.byte(i), b'`' | b'"' | b'{' | b'[' | b'(' | BREAK) && i < view.len() {
        i += 1;
    }
    while i < view.len() && view.byte(i) != BREAK {
        if view.byte(i) == b'|' && !view.byte(i + 1).is_ascii_hexdigit() && i > start
            || view.byte(i) == b'|'
                && is_space(view.byte(i.wrapping_sub(1)))
                && !slipped_byte(view, i)
        {
            break;
        }
        if view.byte(i) == b'\\' || view.byte(i) == b'0' {
            // Notation in front of a byte: 0x1A, \x1A.
            if matches!(view.byte(i + 1), b'x' | b'X') {
                i += 2;
            }
        }
        let from = i;
        while hexish(view.byte(i)) && i < view.len() {
            i += 1;
        }
        let mut to = i;
        if to > from + 1 && matches!(view.byte(to - 1), b'h' | b'H') && (to - from) % 2 == 1 {
            to -= 1;
        }
        if to > from {
            out.push(Token {
                from,
                to,
                colon: view.byte(i) == b':',
                wide: false,
            });
        } else if !matches!(
            view.byte(i),
            b' ' | b'\t' | b':' | b'-' | b',' | b';' | b'{' | b'}' | b'"' | b'\''
        ) {
            break;
        }
        let gap = i;
        while matches!(
            view.byte(i),
            b' ' | b'\t' | b':' | b'-' | b',' | b';' | b'{' | b'}' | b'"' | b'\''
        ) {
            i += 1;
        }
        if let Some(t) = out.last_mut() {
            t.wide = i - gap > 1 && is_space(view.byte(gap));
        }
        if i == gap && to == from {
            break;
        }
    }
    out
}

/// Whether the bar at `i` is the first digit of a byte such as `|2` and not the
/// start of a text gutter: one space in front, one digit behind, no bar at the
/// end of the line.
fn slipped_byte(view: &View, i: usize) -> bool {
    let last = view.bytes.iter().rposition(|&b| !is_space(b));
    i > 1
        && !is_space(view.byte(i - 2))
        && view.byte(i + 1).is_ascii_hexdigit()
        && !hexish(view.byte(i + 2))
        && last.is_some_and(|at| view.byte(at) != b'|')
}

/// Reads a line as a row of a dump.
pub(crate) fn row(view: &View, segment: usize, start: usize) -> Option<Row> {
    let tokens = tokens(view, start);
    let first = tokens.first()?;
    let len = |t: &Token| t.to - t.from;
    let second = tokens.get(1);
    let pure = |t: &Token| illegal(view, t.from, t.to) == 0;
    let first_differs = second.is_some_and(|s| len(s) != len(first));
    let number = || {
        let text = String::from_utf8_lossy(view.slice(first.from, first.to)).into_owned();
        u64::from_str_radix(&text, 16).ok()
    };
    let colon_offset = first.colon
        && (len(first) >= 3 || second.is_some_and(|s| !s.colon) || tokens.get(2).is_none());
    let sure = pure(first)
        && second.is_some()
        && (colon_offset && (first_differs || len(first) > 2 || second.is_some_and(|s| !s.colon))
            || (first_differs && len(first) >= 3 && second.is_some_and(|s| len(s) == 2)));
    let offset = if sure { number() } else { None };
    let body = tokens.get(usize::from(offset.is_some())..)?;
    let group = body.first().map(&len)?;
    let mut groups = Vec::new();
    let mut bad = 0;
    for (k, t) in body.iter().enumerate() {
        let same = len(t) == group;
        let shorter = len(t) < group && k + 1 == body.len() && len(t) % 2 == 0;
        let near = len(t) + 1 == group || len(t) == group + 1;
        if !readable(view, t.from, t.to) || !(same || shorter || near) {
            break;
        }
        // Behind wide space a text gutter may begin.
        if k > 0 && body.get(k - 1).is_some_and(|p| p.wide) && !(same && pure(t)) {
            break;
        }
        bad += usize::from(!pure(t) || !(same || shorter));
        groups.push((t.from, t.to));
    }
    let digits: usize = groups.iter().map(|g| g.1 - g.0).sum();
    let has_digit = groups
        .iter()
        .any(|g| view.slice(g.0, g.1).iter().any(u8::is_ascii_digit))
        || groups.iter().all(|g| {
            view.slice(g.0, g.1)
                .iter()
                .all(|b| matches!(b, b'F' | b'f'))
        });
    let enough = match (offset, groups.len()) {
        (Some(_), n) => n >= 1 && digits >= 4,
        (None, 1) => digits >= 8 && bad == 0 && group % 2 == 0,
        (None, n) => digits >= 8 && n >= 2,
    };
    let small = group <= 16 || groups.len() == 1;
    // Behind an offset a text gutter may follow.
    let gutter = |b: &&u8| !is_space(**b);
    let bare = tokens.last().is_some_and(|t| {
        let first = view.slice(t.to, view.len()).iter().find(gutter);
        first.is_none() || offset.is_some() && first == Some(&b'|')
    });
    let rest = !enough
        && group == 2
        && bad <= 1
        && groups
            .iter()
            .any(|g| view.slice(g.0, g.1).iter().any(u8::is_ascii_hexdigit))
        && groups.len() + usize::from(offset.is_some()) == tokens.len()
        && bare;
    let sound = enough && has_digit && bad * 5 <= groups.len() * 2;
    if !(sound || rest) || !small || group % 2 == 1 {
        return None;
    }
    let maybe_offset = offset.is_none() && groups.len() > 1 && group >= 4;
    Some(Row {
        segment,
        offset,
        maybe_offset,
        groups,
        group,
        rest,
    })
}

/// One byte of a stream, as written.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Byte {
    /// The two characters.
    pub text: [u8; 2],
    /// The row it is in.
    pub row: usize,
    /// Cell of the first character.
    pub cell: usize,
}

/// The bytes of a block of rows.
#[derive(Clone, Debug, Default)]
pub(crate) struct Stream {
    /// All bytes.
    pub bytes: Vec<Byte>,
    /// The rows.
    pub rows: Vec<Row>,
    /// First byte of each row, and one more.
    pub starts: Vec<usize>,
    /// Rows that have a digit too many or too few, or fewer bytes than the
    /// offsets say.
    pub damaged: Vec<bool>,
    /// Offset of the first byte, if the rows have offsets.
    pub base: Option<u64>,
    /// Bytes of a group.
    pub group: usize,
    /// Bytes of most rows.
    pub per_row: usize,
}

impl Stream {
    /// The first rows, of about `bytes` bytes in all.
    pub fn beginning(&self, bytes: usize) -> Self {
        let rows = self
            .starts
            .iter()
            .take_while(|&&at| at < bytes)
            .count()
            .min(self.rows.len());
        let end = self.starts.get(rows).copied().unwrap_or(self.bytes.len());
        Self {
            bytes: self.bytes.iter().take(end).copied().collect(),
            rows: self.rows.iter().take(rows).cloned().collect(),
            starts: self.starts.iter().take(rows + 1).copied().collect(),
            damaged: self.damaged.iter().take(rows).copied().collect(),
            ..*self
        }
    }
}

/// Makes a stream of consecutive rows. `view_of` gives a segment's view.
pub(crate) fn stream<'v>(mut rows: Vec<Row>, view_of: &dyn Fn(usize) -> &'v View) -> Stream {
    settle_offsets(&mut rows, view_of);
    let digits = |r: &Row| r.groups.iter().map(|g| g.1 - g.0).sum::<usize>() / 2;
    let steps: Vec<usize> = rows
        .windows(2)
        .filter_map(|w| match w {
            [a, b] => usize::try_from(b.offset?.checked_sub(a.offset?)?)
                .ok()
                .filter(|&d| d > 0 && d <= 64),
            _ => None,
        })
        .collect();
    let by_offset = common(&steps);
    let per_row = by_offset
        .or_else(|| common(&rows.iter().map(digits).collect::<Vec<_>>()))
        .unwrap_or(0);
    let group = common(&rows.iter().map(|r| r.group / 2).collect::<Vec<_>>())
        .unwrap_or(1)
        .max(1);
    let mut out = Stream {
        base: rows.first().and_then(|r| r.offset),
        group,
        per_row,
        ..Stream::default()
    };
    for (r, row) in rows.iter().enumerate() {
        out.starts.push(out.bytes.len());
        let view = view_of(row.segment);
        let mut damaged = false;
        let mut count = 0;
        for &(from, to) in &row.groups {
            if (to - from) % 2 == 1 {
                damaged = true;
            }
            let mut at = from;
            while at + 1 < to {
                if rows.len() > 1 && per_row > 0 && count == per_row && digits(row) > per_row {
                    break; // A gutter that looks like hex.
                }
                out.bytes.push(Byte {
                    text: [view.byte(at), view.byte(at + 1)],
                    row: r,
                    cell: at,
                });
                at += 2;
                count += 1;
            }
        }
        let next = rows.get(r + 1).and_then(|n| n.offset);
        if let (Some(here), Some(next)) = (row.offset, next) {
            let said = next.saturating_sub(here);
            damaged |= said <= 64 && said > count as u64;
        }
        out.damaged.push(damaged);
    }
    out.starts.push(out.bytes.len());
    out.rows = rows;
    out
}

/// Tells whether first groups are offsets: they grow by the bytes of a row.
fn settle_offsets<'v>(rows: &mut [Row], view_of: &dyn Fn(usize) -> &'v View) {
    if rows.len() < 2 || !rows.iter().all(|r| r.maybe_offset) {
        return;
    }
    let first = |r: &Row| {
        let &(from, to) = r.groups.first()?;
        u64::from_str_radix(
            &String::from_utf8_lossy(view_of(r.segment).slice(from, to)),
            16,
        )
        .ok()
    };
    let values: Vec<Option<u64>> = rows.iter().map(first).collect();
    let grows = rows
        .windows(2)
        .zip(values.windows(2))
        .all(|(r, v)| match (r, v) {
            ([a, _], [Some(x), Some(y)]) => {
                let bytes: usize = a.groups.iter().skip(1).map(|g| (g.1 - g.0) / 2).sum();
                y.checked_sub(*x) == Some(bytes as u64)
            }
            _ => false,
        });
    if grows {
        for (row, value) in rows.iter_mut().zip(values) {
            row.offset = value;
            row.groups.remove(0);
        }
    }
}

fn common(values: &[usize]) -> Option<usize> {
    let mut sorted = values.to_vec();
    crate::sorted::sort(&mut sorted);
    let mut best: Option<(usize, usize)> = None;
    for chunk in sorted.chunk_by(|a, b| a == b) {
        if best.is_none_or(|b| chunk.len() >= b.0) {
            best = chunk.first().map(|&v| (chunk.len(), v));
        }
    }
    best.map(|b| b.1)
}

/// Ways in which a dump may have turned bytes around: the order in which the
/// bytes of a stream are to be read. The first is as written.
pub(crate) fn turns(stream: &Stream) -> Vec<(usize, Vec<usize>)> {
    let n = stream.bytes.len();
    let mut out = vec![(1, (0..n).collect::<Vec<_>>())];
    for size in [2_usize, 4, 8] {
        if stream.group > 1 && stream.group != size {
            continue;
        }
        let mut order = Vec::with_capacity(n);
        for (r, &from) in stream.starts.iter().enumerate().take(stream.rows.len()) {
            let to = stream.starts.get(r + 1).copied().unwrap_or(n);
            let mut at = from;
            while at < to {
                let end = (at + size).min(to);
                order.extend((at..end).rev());
                at = end;
            }
        }
        out.push((size, order));
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::fold::fold;

    fn groups(s: &str) -> Option<(Option<u64>, Vec<String>)> {
        let v = fold(s, 0, s.len());
        row(&v, 0, crate::markup::body_start(&v)).map(|r| {
            let g = r
                .groups
                .iter()
                .map(|g| String::from_utf8_lossy(v.slice(g.0, g.1)).into_owned());
            (r.offset, g.collect())
        })
    }

    #[test]
    fn rows_of_all_kinds() {
        let bytes = |n: usize| vec!["1A".to_owned(); n];
        assert_eq!(groups("1A 1A 1A 1A"), Some((None, bytes(4))));
        assert_eq!(
            groups("0010: 1A 1A 1A 1A  |DEAD|"),
            Some((Some(16), bytes(4)))
        );
        assert_eq!(
            groups("00000010  1A 1A 1A 1A  1A 1A 1A 1A  |..AF|"),
            Some((Some(16), bytes(8)))
        );
        assert_eq!(groups("0010:1A:1A:1A:1A"), Some((Some(16), bytes(4))));
        assert_eq!(groups("1A:1A:1A:1A"), Some((None, bytes(4))));
        assert_eq!(groups("0x1A, 0x1A, 0x1A, 0x1A,"), Some((None, bytes(4))));
        assert_eq!(groups("> 1Ah 1Ah 1Ah 1Ah"), Some((None, bytes(4))));
        assert_eq!(groups("1A1A 1A1A 1A1A").map(|g| g.1.len()), Some(3));
    }

    #[test]
    fn prose_is_no_row() {
        for s in [
            "be a bad dad",
            "it added 12 of 24",
            "call me at 5555 1234",
            "",
            "deadbeef",
            "12.05.2016 10:12:33",
        ] {
            assert_eq!(groups(s), None, "{s}");
        }
    }
}
