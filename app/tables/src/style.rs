//! How the codes of a column are written, learnt from all its cells.

use crate::codes::{bare, closed, is_wild, items, range_of};
use crate::seek::has;

/// The way of writing.
#[derive(Clone, Debug, Default)]
pub(crate) struct Style {
    /// Nearly all codes are hex digits only.
    pub hex: bool,
    /// Usual number of characters; 0 when there is none.
    pub width: usize,
    /// Whether any digit is A to F.
    pub letters: bool,
    /// Taken off every code.
    pub prefix: String,
    /// Whether groups are put together.
    pub close_up: bool,
    /// A dash is part of a code and makes no range.
    pub dashes: bool,
    /// Codes are taken as they stand.
    pub verbatim: bool,
}

/// What a text looks like when it is taken for one code.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Look {
    /// Number of characters.
    pub width: usize,
    /// Only hex digits and wildcards.
    pub hex: bool,
    /// Whether there is a digit 0 to 9.
    pub digit: bool,
}

/// Looks at one text; nothing when it can hardly be a code.
pub(crate) fn look(text: &str) -> Option<Look> {
    let style = Style::default();
    let text = bare(text, &style);
    let width = text.chars().count();
    if width == 0 || width > 24 || !text.is_ascii() {
        return None;
    }
    if let Some(joined) = closed(text) {
        return Some(Look {
            width: joined.len(),
            hex: true,
            digit: joined.bytes().any(|b| b.is_ascii_digit()),
        });
    }
    let mut words = 0;
    let mut digit = false;
    let mut wild = false;
    let mut hex = true;
    let mut last_counts = false;
    for word in text.split(' ') {
        words += 1;
        let has_digit = word.bytes().any(|b| b.is_ascii_digit());
        let has_wild =
            word.contains(['?', '*', '#']) || has_digit && word.contains(['x', 'X', '_']);
        let crosses = word.chars().filter(|c| matches!(c, 'x' | 'X')).count();
        let hex_word = word.chars().all(|c| c.is_ascii_hexdigit() || is_wild(c));
        let has_wild = has_wild || hex_word && (crosses > 1 || word.chars().all(is_wild));
        let plain = word.bytes().all(|b| {
            b.is_ascii_alphanumeric() || matches!(b, b'?' | b'*' | b'#' | b'_' | b'-' | b'.')
        });
        if !plain || word.is_empty() || word.starts_with(['-', '.']) {
            return None;
        }
        // After the first word everything must count.
        if words > 1 && !has_digit && !has_wild {
            return None;
        }
        hex &= hex_word;
        digit |= has_digit;
        wild |= has_wild;
        last_counts = has_digit || has_wild;
    }
    hex &= words == 1;
    let upper_hex = hex && width.is_multiple_of(2) && text.bytes().all(|b| b.is_ascii_uppercase());
    let good = words <= 4 && (digit || wild || upper_hex) && (last_counts || upper_hex || hex);
    // A word of more than one letter case, such as "Fan2", is seldom a code.
    good.then_some(Look { width, hex, digit })
}

/// Counts of how often something was seen.
#[derive(Default)]
struct Seen {
    all: usize,
    hex: usize,
    letters: bool,
    widths: Vec<usize>,
    /// Groups of two digits, of four, and others.
    twos: usize,
    fours: usize,
    others: usize,
    dashed: usize,
    backward: usize,
    prefix: String,
    prefixed: usize,
}

impl Style {
    /// Learns from the cells of a column.
    pub fn learn(cells: &mut dyn Iterator<Item = &str>) -> Self {
        let plain = Self::default();
        let mut seen = Seen {
            widths: vec![0; 41],
            ..Seen::default()
        };
        let mut cell_count = 0;
        for cell in cells.filter(|c| !c.is_empty() && c.len() <= 400) {
            cell_count += 1;
            for (n, item) in items(cell, &plain).into_iter().enumerate() {
                let Some((a, b)) = range_of(item, &plain) else {
                    seen.note(item, n == 0);
                    continue;
                };
                seen.note(a, n == 0);
                // Only a bare dash may be something else than a range.
                if item.contains('-') && !has(item, " to ") && !has(item, "..") {
                    seen.dashed += 1;
                    let (a, b) = (bare(a, &plain), bare(b, &plain));
                    seen.backward += usize::from(a.len() == b.len() && a > b);
                }
            }
        }
        let mut style = Self::default();
        let mut shift = 0;
        if seen.prefixed > 1 && seen.prefixed == seen.all {
            shift = seen.prefix.len();
            seen.hex = seen.all;
            style.prefix = std::mem::take(&mut seen.prefix);
        }
        style.hex = seen.all > 0 && seen.hex * 10 >= seen.all * 7;
        style.letters = seen.letters;
        style.dashes = seen.backward * 3 >= seen.dashed
            && seen.backward > 0
            && seen.dashed * 10 >= cell_count * 6;
        let counted: usize = seen.widths.iter().sum();
        let mut most = 0;
        for (width, &n) in seen.widths.iter().enumerate() {
            if n > most && n * 10 >= counted * 6 {
                most = n;
                style.width = width.saturating_sub(shift);
            }
        }
        // Groups as wide as the other codes are codes of their own.
        let groups = if style.width == 2 { 0 } else { seen.twos };
        let groups = groups + if style.width == 4 { 0 } else { seen.fours };
        style.close_up = style.hex && groups > 0 && seen.others == 0;
        if style.dashes {
            // What was counted were the pieces between the dashes.
            style.hex = false;
            style.width = 0;
            style.close_up = false;
        }
        style
    }

    /// Whether a digit of the code goes beyond 9.
    pub fn tail_has_letter(&self, code: &str) -> bool {
        has_letter(code, self.hex)
    }
}

impl Seen {
    /// `first` is whether it stands first in its cell: what follows may be
    /// shortened and tells nothing of the width.
    fn note(&mut self, item: &str, first: bool) {
        let Some(look) = look(item) else {
            return;
        };
        self.all += 1;
        let text = bare(item, &Style::default());
        let front = front(text);
        if let Some(front) = &front {
            if self.prefix.is_empty() {
                self.prefix.clone_from(front);
            }
            self.prefixed += usize::from(self.prefix == *front);
        } else if text.contains([' ', '.', '-', ':']) {
            match closed(text).map(|_| text.find([' ', '.', ':', '-'])) {
                Some(Some(2)) => self.twos += 1,
                Some(Some(4)) => self.fours += 1,
                _ => self.others += 1,
            }
        }
        let rest = front.as_ref().map_or(0, String::len);
        self.hex += usize::from(look.hex);
        self.letters |= has_letter(text.get(rest..).unwrap_or(""), look.hex || rest > 0);
        // A list of codes looks like the groups of one.
        let list =
            text.contains(' ') && front.is_none() && look.width > 4 && closed(text).is_some();
        if let Some(n) = self.widths.get_mut(look.width).filter(|_| first && !list) {
            *n += 1;
        }
    }
}

fn has_letter(code: &str, hex: bool) -> bool {
    tail(code, hex)
        .bytes()
        .any(|b| matches!(b, b'A'..=b'F' | b'a'..=b'f'))
}

/// The digits of a code: all of a hex code, else what follows the letters in
/// front of the last group.
fn tail(code: &str, hex: bool) -> &str {
    if hex {
        return code;
    }
    let last = code.rsplit([' ', '-']).next().unwrap_or(code);
    last.trim_start_matches(|c: char| c.is_ascii_alphabetic())
}

/// Letters and a dash in front of hex digits, such as `E-` in `E-44D0`.
fn front(text: &str) -> Option<String> {
    let (letters, rest) = text.split_once('-')?;
    let good = (1..=4).contains(&letters.len())
        && letters.bytes().all(|b| b.is_ascii_alphabetic())
        && rest.len() >= 2
        && rest.chars().all(|c| c.is_ascii_hexdigit() || is_wild(c));
    good.then(|| [&letters.to_ascii_uppercase(), "-"].concat())
}
