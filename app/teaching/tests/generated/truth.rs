//! What a generated log really is.

use super::chance::Chance;
use teaching::{Kind, Role};

/// A value as it is in one entry.
#[derive(Clone, Debug, PartialEq)]
pub struct Value {
    /// As the reading may show it: text in upper case.
    pub text: String,
    /// As a number.
    pub number: Option<u64>,
}

/// One part of the layout.
#[derive(Clone, Debug)]
pub struct TruePart {
    /// What it is.
    pub role: Role,
    /// Lowest byte first (records).
    pub little: bool,
    /// A decimal number.
    pub decimal: bool,
}

/// One entry.
#[derive(Clone, Debug)]
pub struct Entry {
    /// Physical line, from 1 (for records, the line of the first byte).
    pub line: usize,
    /// The entry by itself: the line's text, or the bytes in hex.
    pub text: String,
    /// Where the parts are in it.
    pub spans: Vec<(usize, usize)>,
    /// The values; `None` where there is none.
    pub values: Vec<Option<Value>>,
    /// Whether nothing in it was spoilt.
    pub clean: bool,
}

/// A log with the truth about it.
#[derive(Clone, Debug)]
pub struct Case {
    /// The paste.
    pub paste: String,
    /// Text or bytes.
    pub kind: Kind,
    /// Parts with a value, and fixed bytes.
    pub parts: Vec<TruePart>,
    /// Entries.
    pub entries: Vec<Entry>,
    /// Bytes of a record.
    pub record: usize,
    /// Bytes in front.
    pub skip: usize,
    /// Place of the epoch in the table of the proposal, for times in numbers.
    pub epoch: Option<usize>,
    /// All codes.
    pub codes: Vec<String>,
    /// Whether the entries have words of their own. Columns without any are not
    /// told from talk by the reader when something stands in front or behind.
    pub worded: bool,
    /// For written dates: the day comes first.
    pub day_first: Option<bool>,
}

/// Entries of a log: 1 to 40, mostly 6 to 24.
pub fn how_many(c: &mut Chance) -> usize {
    let n = match c.weighted(&[1, 6, 75, 18]) {
        0 => 1,
        1 => c.within(2, 5),
        2 => c.within(6, 24),
        _ => c.within(25, 40),
    };
    n as usize
}

/// Epochs by their place in the proposal's table, with their offset to 1970.
const EPOCHS: [(usize, i64, u64); 5] = [
    (0, 0, 40),
    (1, 946_684_800, 45),
    (2, 978_307_200, 5),
    (3, 820_454_400, 5),
    (4, 315_532_800, 5),
];

/// Moments of entries, oldest first, in seconds since 1970: from 2006 to 2024.
pub fn moments(c: &mut Chance, n: usize) -> Vec<i64> {
    let mut at = c.within(1_136_073_600, 1_600_000_000);
    (0..n)
        .map(|_| {
            at += match c.weighted(&[3, 4, 3]) {
                0 => c.within(1, 200),
                1 => c.within(200, 100_000),
                _ => c.within(100_000, 2_500_000),
            };
            at as i64
        })
        .collect()
}

/// An epoch: its place in the table and the seconds to take off.
pub fn epoch(c: &mut Chance) -> (usize, i64) {
    let weights: Vec<u64> = EPOCHS.iter().map(|e| e.2).collect();
    let e = EPOCHS[c.weighted(&weights)];
    (e.0, e.1)
}

/// Steps and codes that go together, as power-up goes: a few of each, some far
/// more frequent.
pub struct Faults {
    /// Step and code.
    pub list: Vec<(u64, u64)>,
}

impl Faults {
    /// A few faults with codes of `bits` bits.
    pub fn new(c: &mut Chance, bits: u32) -> Self {
        let mut list = Vec::new();
        let classes: Vec<u64> = (0..3).map(|_| c.within(0x1, 0xF)).collect();
        for _ in 0..c.within(2, 7) {
            let class = classes[(c.next() % 3) as usize];
            let code = (class << (bits - 4)) | (c.next() & ((1 << (bits - 4)) - 1));
            list.push((c.within(0, 0x1F), code));
        }
        Self { list }
    }

    /// The fault of one entry.
    pub fn one(&self, c: &mut Chance) -> (u64, u64) {
        let n = self.list.len() as u64;
        let k = c.within(0, n - 1).min(c.within(0, n - 1));
        self.list[k as usize]
    }
}
