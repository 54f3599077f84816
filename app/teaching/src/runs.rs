//! Lines cut into runs of letters and digits, and what kind each run is.

/// Most runs of one line that are looked at.
pub(crate) const MOST_RUNS: usize = 64;

/// What a run of letters and digits looks like by itself.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Class {
    /// Has a digit.
    Value,
    /// Letters only.
    Word,
    /// Letters only, but all of them hex digits: may be either.
    Either,
}

/// A run of letters and digits.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Run {
    /// First byte in the line.
    pub from: usize,
    /// Byte behind the last.
    pub to: usize,
    /// What it looks like.
    pub class: Class,
}

/// A line with its runs.
#[derive(Clone, Debug, Default)]
pub(crate) struct Runs {
    /// The physical line, from 1.
    pub line: usize,
    /// The text.
    pub text: String,
    /// The runs.
    pub runs: Vec<Run>,
}

impl Runs {
    /// Cuts a line.
    pub fn of(line: usize, text: &str) -> Self {
        let mut out = Self {
            line,
            text: text.to_owned(),
            runs: Vec::new(),
        };
        let mut from = None;
        for (i, c) in text.char_indices().chain([(text.len(), ' ')]) {
            match (from, c.is_alphanumeric()) {
                (None, true) => from = Some(i),
                (Some(start), false) => {
                    out.push(start, i);
                    from = None;
                }
                _ => {}
            }
            if out.runs.len() >= MOST_RUNS {
                break;
            }
        }
        out
    }

    /// Adds a run; a date with its time behind a T is three.
    fn push(&mut self, from: usize, to: usize) {
        let text = self.text.get(from..to).unwrap_or("").to_owned();
        let text = text.as_str();
        if let Some(t) = text.find(['T', 't'])
            && matches!(t, 2 | 8)
        {
            let (day, rest) = text.split_at(t);
            let time = rest.get(1..).unwrap_or("");
            let time = time.trim_end_matches(['Z', 'z']);
            let digits = |s: &str| s.bytes().all(|b| b.is_ascii_digit());
            let fits = if t == 2 {
                time.len() == 2
            } else {
                matches!(time.len(), 4 | 6)
            };
            let dashed = t == 8
                || self
                    .text
                    .get(..from)
                    .is_some_and(|s| s.ends_with(['-', '.', '/']));
            if digits(day) && digits(time) && fits && dashed {
                let (a, b) = (from + t, from + t + 1);
                self.add(from, a);
                self.add(a, b);
                self.add(b, b + time.len());
                if b + time.len() < to {
                    self.add(b + time.len(), to);
                }
                return;
            }
        }
        // The 0x in front of a number and the h behind it are no part of it.
        let b = text.as_bytes();
        let hex = |s: Option<&[u8]>| {
            s.is_some_and(|s| !s.is_empty() && s.iter().all(u8::is_ascii_hexdigit))
        };
        if matches!(b, [b'0', b'x' | b'X', ..]) && hex(b.get(2..)) {
            self.add(from + 2, to);
        } else if matches!(b, [.., b'h' | b'H'])
            && b.len() % 2 == 1
            && (b.iter().any(u8::is_ascii_digit) || capitals(b))
            && hex(b.get(..b.len() - 1))
        {
            self.add(from, to - 1);
        } else {
            self.add(from, to);
        }
    }

    fn add(&mut self, from: usize, to: usize) {
        let text = self.text.get(from..to).unwrap_or("");
        let class = if text.bytes().any(|b| b.is_ascii_digit()) {
            Class::Value
        } else if text.bytes().all(|b| b.is_ascii_hexdigit()) {
            Class::Either
        } else {
            Class::Word
        };
        self.runs.push(Run { from, to, class });
    }

    /// The text of run `i`; empty behind the last.
    pub fn text(&self, i: usize) -> &str {
        self.runs
            .get(i)
            .and_then(|r| self.text.get(r.from..r.to))
            .unwrap_or("")
    }

    /// The class of run `i`.
    pub fn class(&self, i: usize) -> Option<Class> {
        self.runs.get(i).map(|r| r.class)
    }

    /// What stands between run `i` and the one before it.
    pub fn gap(&self, i: usize) -> &str {
        let from = match i.checked_sub(1).and_then(|p| self.runs.get(p)) {
            Some(r) => r.to,
            None => 0,
        };
        let to = self.runs.get(i).map_or(self.text.len(), |r| r.from);
        self.text.get(from..to).unwrap_or("")
    }

    /// Whether any run has a digit.
    pub fn has_value(&self) -> bool {
        self.runs.iter().any(|r| r.class == Class::Value)
    }
}

/// Capitals with a small letter at the end, as in `BAAEh`.
fn capitals(b: &[u8]) -> bool {
    matches!(b.split_last(), Some((b'h', rest)) if rest.iter().all(u8::is_ascii_uppercase))
}
