//! Dumps cut into records: how long a record is, and what stands before the
//! first one.
//!
//! The length under which the columns are simplest wins: each column costs as
//! many bits as it takes to write down its different values and which comes
//! when, or its steps from record to record. That is the idea of shortest
//! description; constants, counters and values that come again all make a column
//! cheap, and a wrong length mixes columns up.

use reading::bare::BareDump;

/// Longest record.
pub(crate) const LONGEST: usize = 128;
/// Bytes by which the length is judged.
const SAMPLE: usize = 2048;
/// Most bytes that are looked at.
const MOST_BYTES: usize = 32 << 10;
/// Most records that are compared.
const MOST_RECORDS: usize = 512;
/// Most bytes in front of the first record.
const MOST_SKIP: usize = 64;
/// Widest hole between two offsets that is bridged.
const HOLE: u64 = 4096;

/// Bytes in a row, with the line each is on.
#[derive(Clone, Debug, Default)]
pub(crate) struct Run {
    /// The bytes; `None` where one is missing or unclear.
    pub bytes: Vec<Option<u8>>,
    /// Physical line of each, from 1.
    pub lines: Vec<usize>,
    /// Bytes of a row, if rows have no offsets and are all as long.
    pub row: Option<usize>,
    /// Bytes of a printed group.
    pub group: usize,
    /// Whether it is a single row without an offset.
    pub alone: bool,
}

/// The dumps as runs of bytes, with holes where offsets leave some out.
pub(crate) fn runs(dumps: &[BareDump]) -> Vec<Run> {
    let mut out: Vec<Run> = Vec::new();
    let mut left = MOST_BYTES;
    for d in dumps {
        let mut run = Run {
            group: d.group,
            ..Run::default()
        };
        let mut base: Option<u64> = None;
        let offsets = d.rows.iter().all(|r| r.offset.is_some());
        for row in &d.rows {
            let at = row.offset.filter(|_| offsets);
            base = base.or(at);
            if let (Some(at), Some(b)) = (at, base) {
                let here = run.bytes.len() as u64;
                let want = at.saturating_sub(b);
                if want > here && want - here <= HOLE {
                    let n = usize::try_from(want).unwrap_or(0);
                    run.bytes.resize(n, None);
                    run.lines.resize(n, row.line);
                }
            }
            let n = row.bytes.len().min(left);
            left -= n;
            run.bytes.extend(row.bytes.iter().take(n));
            run.lines.resize(run.bytes.len(), row.line);
        }
        let even = d
            .rows
            .iter()
            .rev()
            .skip(1)
            .all(|r| r.bytes.len() == d.per_row)
            && d.rows.last().is_some_and(|r| r.bytes.len() <= d.per_row);
        run.alone = !offsets && d.rows.len() == 1;
        run.row = (!offsets && even && d.rows.len() > 1).then_some(d.per_row);
        out.push(run);
    }
    out
}

/// The bytes of each row or of the whole turned around in groups, as some tools
/// print words.
pub(crate) fn turned(run: &Run, size: usize) -> Run {
    let mut out = run.clone();
    for (chunk, lines) in out
        .bytes
        .chunks_mut(size.max(1))
        .zip(out.lines.chunks_mut(size.max(1)))
    {
        chunk.reverse();
        lines.reverse();
    }
    out
}

impl Cut {
    /// The same with nothing in front.
    pub fn straight(&self) -> Self {
        Self { skip: 0, ..*self }
    }
}

/// One record.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Record {
    /// The bytes.
    pub bytes: Vec<u8>,
    /// Line of the first byte.
    pub line: usize,
}

/// A way to cut.
#[derive(Clone, Debug, Default)]
pub(crate) struct Cut {
    /// Bytes of a record.
    pub length: usize,
    /// Bytes in front.
    pub skip: usize,
    /// Bits that the columns cost, for comparing.
    pub cost: f64,
}

/// The records of all runs, without unused ones; how many were unused, and the
/// byte those are filled with.
pub(crate) fn records(
    runs: &[Run],
    length: usize,
    skip: usize,
) -> (Vec<Record>, usize, Option<u8>) {
    let mut out = Vec::new();
    let (mut unused, mut fill) = (0, None);
    for (k, run) in runs.iter().enumerate() {
        let from = if k == 0 { skip } else { 0 };
        let rest = run.bytes.get(from..).unwrap_or(&[]);
        for (i, chunk) in rest.chunks_exact(length.max(1)).enumerate() {
            let bytes: Vec<u8> = chunk.iter().flatten().copied().collect();
            if bytes.len() < length {
                continue;
            }
            match bytes.first() {
                Some(&b @ (0xFF | 0x00)) if bytes.iter().all(|x| *x == b) => {
                    unused += 1;
                    fill = Some(b);
                }
                _ => out.push(Record {
                    bytes,
                    line: run.lines.get(from + i * length).copied().unwrap_or(0),
                }),
            }
        }
    }
    (out, unused, fill)
}

/// Each record once: a dump that is pasted twice would spoil what goes on from
/// record to record. Only where two bytes side by side tell every record from
/// the others; else a record may well come twice.
pub(crate) fn once(mut records: Vec<Record>) -> Vec<Record> {
    records.truncate(MOST_RECORDS);
    let mut out: Vec<Record> = Vec::new();
    for r in &records {
        if !out.iter().any(|o| o.bytes == r.bytes) {
            out.push(r.clone());
        }
    }
    let length = out.first().map_or(0, |r| r.bytes.len());
    let tells = |at: usize| {
        let mut all: Vec<&[u8]> = out.iter().filter_map(|r| r.bytes.get(at..at + 2)).collect();
        reading::sorted::sort(&mut all);
        all.dedup();
        all.len() == out.len()
    };
    if out.len() < 3 || !(0..length.saturating_sub(1)).any(tells) {
        return records;
    }
    out
}

/// Lengths that may be, cheapest first.
pub(crate) fn cuts(runs: &[Run], length: Option<usize>, skip: Option<usize>) -> Vec<Cut> {
    let all: usize = runs.iter().map(|r| r.bytes.len()).sum();
    let longest = all.min(LONGEST);
    let rows: Vec<usize> = runs.iter().filter_map(|r| r.row).collect();
    let row = rows
        .first()
        .copied()
        .filter(|r| rows.iter().all(|x| x == r) && rows.len() * 2 >= runs.len());
    let alone = runs
        .first()
        .filter(|r| r.alone && runs.len() == 1)
        .map(|r| r.bytes.len());
    let mut out: Vec<Cut> = Vec::new();
    let lengths: Vec<usize> = match length {
        Some(n) => vec![n.clamp(2, 256)],
        None => (2..=longest).collect(),
    };
    for n in lengths {
        let first = runs.first().map_or(0, |r| r.bytes.len());
        let mut skips = match skip {
            Some(s) => vec![s],
            None if row == Some(n) => vec![0],
            None => vec![0, first % n.max(1), 4, 8, 16],
        };
        skips.dedup();
        let mut best: Option<Cut> = None;
        for s in skips
            .into_iter()
            .filter(|s| (*s == 0 || *s + 2 * n <= first || skip.is_some()) && *s <= MOST_SKIP)
        {
            let mut cost = price(runs, n, s);
            cost *= match n {
                _ if row == Some(n) => 0.85,
                // One row, and nothing else: that is the record.
                _ if alone == Some(n) => 0.5,
                2..=3 => 1.25,
                4..=5 => 1.1,
                8 | 12 | 16 | 20 | 24 | 32 => 0.97,
                _ => 1.0,
            };
            if best.as_ref().is_none_or(|b| cost < b.cost - 0.01) {
                best = Some(Cut {
                    length: n,
                    skip: s,
                    cost,
                });
            }
        }
        out.extend(best);
    }
    reading::sorted::sort_by(&mut out, |a, b| a.cost.total_cmp(&b.cost));
    out
}

#[allow(clippy::cast_precision_loss, reason = "counts are small")]
fn price(runs: &[Run], length: usize, skip: usize) -> f64 {
    let mut sample: Vec<Run> = Vec::new();
    let mut left = SAMPLE;
    for r in runs {
        let mut r = r.clone();
        r.bytes.truncate(left);
        left -= r.bytes.len();
        sample.push(r);
    }
    let all: usize = sample.iter().map(|r| r.bytes.len()).sum();
    let (records, unused, _) = records(&sample, length, skip);
    let n = records.len();
    if n == 0 {
        return f64::INFINITY;
    }
    let mut bits = unused as f64;
    for c in 0..length {
        let column: Vec<u8> = records
            .iter()
            .filter_map(|r| r.bytes.get(c).copied())
            .collect();
        let steps: Vec<u8> = column
            .windows(2)
            .filter_map(|w| Some(w.get(1)?.wrapping_sub(*w.first()?)))
            .collect();
        bits += listed(&column)
            .min(8.0 + 1.0 + listed(&steps))
            .min(8.0 * n as f64)
            + 6.0;
    }
    let used = (n + unused) * length;
    bits + 8.0 * all.saturating_sub(used) as f64
}

/// Bits of a list of different values and of which comes when.
#[allow(clippy::cast_precision_loss, reason = "counts are small")]
fn listed(column: &[u8]) -> f64 {
    let mut counts = [0_usize; 256];
    for b in column {
        if let Some(c) = counts.get_mut(usize::from(*b)) {
            *c += 1;
        }
    }
    let n = column.len() as f64;
    let mut bits = 0.0;
    for c in counts.into_iter().filter(|c| *c > 0) {
        let c = c as f64;
        bits += 8.0 - c * (c / n).log2();
    }
    bits
}

#[cfg(test)]
#[allow(clippy::indexing_slicing, reason = "tests may panic")]
mod tests {
    use super::*;

    #[test]
    fn the_length_with_the_simplest_columns_wins() {
        // Ten records of seven bytes: counter, fixed, two codes, noise.
        let mut noise = 77_u32;
        let mut bytes = Vec::new();
        for i in 0..10_u8 {
            noise = noise.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
            let code = [[0x44, 0xD0], [0x5E, 0x91]][usize::from(i % 2)];
            bytes.extend([
                i,
                0xA5,
                code[0],
                code[1],
                (noise >> 24) as u8,
                (noise >> 16) as u8,
                1,
            ]);
        }
        let run = Run {
            lines: vec![1; bytes.len()],
            bytes: bytes.into_iter().map(Some).collect(),
            ..Run::default()
        };
        let cuts = cuts(&[run], None, None);
        assert_eq!((cuts[0].length, cuts[0].skip), (7, 0));
    }
}
