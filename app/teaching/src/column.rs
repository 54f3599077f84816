//! One column of values in lines of text: how they are written, and what
//! numbers they are.

use crate::facts::Facts;
use crate::pieces::Make;

/// How the values of a column are written.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Form {
    /// Digits 0 to 9 only.
    Digits,
    /// Hex digits, at least one of them a letter somewhere.
    Hex,
    /// Letters and digits that are no hex number.
    Mixed,
    /// Letters only.
    Words,
    /// A written date.
    Date,
    /// A number with a fraction.
    Fraction,
    /// Anything else without white space.
    Text,
}

/// A column.
#[derive(Clone, Debug)]
pub(crate) struct Column {
    /// The values, as written, in the order of the paste.
    pub values: Vec<String>,
    /// How they are written.
    pub form: Form,
    /// Smallest and largest number of characters.
    pub width: (usize, usize),
    /// Whether some value begins with a zero that could be left out.
    pub padded: bool,
    /// Facts about the numbers: decimal for [`Form::Digits`], else hex where it
    /// is that, else a number for each different value.
    pub facts: Facts,
    /// Whether the column is fixed in all lines.
    pub fixed: bool,
}

impl Column {
    /// Looks at a column.
    pub fn of(texts: &[&str], make: &Make) -> Self {
        let values: Vec<String> = texts.iter().map(|t| (*t).to_owned()).collect();
        let all = |f: fn(&u8) -> bool| {
            texts
                .iter()
                .all(|t| !t.is_empty() && t.bytes().all(|b| f(&b)))
        };
        let form = match make {
            Make::Date(..) => Form::Date,
            Make::Fraction => Form::Fraction,
            Make::Text => Form::Text,
            Make::Fixed => Form::Words,
            Make::Value if all(u8::is_ascii_digit) => Form::Digits,
            Make::Value if all(u8::is_ascii_hexdigit) && is_hex(texts) => Form::Hex,
            Make::Value if texts.iter().all(|t| t.chars().all(char::is_alphabetic)) => Form::Words,
            Make::Value if all(u8::is_ascii_alphanumeric) => Form::Mixed,
            Make::Value => Form::Text,
        };
        let least = texts.iter().map(|t| t.len()).min().unwrap_or(0);
        let most = texts.iter().map(|t| t.len()).max().unwrap_or(0);
        let mut out = Self {
            padded: texts.iter().any(|t| t.len() > 1 && t.starts_with('0')),
            width: (least, most),
            facts: Facts::default(),
            fixed: *make == Make::Fixed,
            form,
            values,
        };
        out.facts = Facts::of(&out.numbers(form == Form::Hex), out.bits());
        out
    }

    /// Bits of the widest value.
    fn bits(&self) -> u32 {
        let w = u32::try_from(self.width.1).unwrap_or(64);
        match self.form {
            Form::Digits => (w * 10 / 3).clamp(1, 64),
            Form::Hex => (w * 4).clamp(1, 64),
            _ => 24,
        }
    }

    /// The values as numbers: in hex, else decimal. For words it
    /// only matters which are the same.
    pub fn numbers(&self, hex: bool) -> Vec<u64> {
        let base = if hex { 16 } else { 10 };
        let mixed = |n: u64, b: u8| (n ^ u64::from(b)).wrapping_mul(0x0100_0193) & 0xFF_FFFF;
        self.values
            .iter()
            .map(|v| match self.form {
                Form::Digits | Form::Hex => u64::from_str_radix(v, base).unwrap_or(u64::MAX),
                _ => v.bytes().fold(0x811C, mixed),
            })
            .collect()
    }

    /// A few different values.
    pub fn sample(&self) -> Vec<String> {
        let mut out: Vec<String> = Vec::new();
        for v in &self.values {
            if !out.contains(v) {
                out.push(v.clone());
            }
            if out.len() == 4 {
                break;
            }
        }
        out
    }

    /// The different values, in order of first appearance, case put aside.
    pub fn words(&self) -> Vec<String> {
        let mut out: Vec<String> = Vec::new();
        for v in &self.values {
            if !out.iter().any(|o| o.eq_ignore_ascii_case(v)) {
                out.push(v.clone());
            }
        }
        out
    }
}

/// Whether values of hex digits are numbers: some digit, or all of one width and
/// in capitals as hex mostly is.
fn is_hex(texts: &[&str]) -> bool {
    let digit = texts.iter().any(|t| t.bytes().any(|b| b.is_ascii_digit()));
    let first = texts.first().map_or(0, |t| t.len());
    digit
        || (first.is_multiple_of(2)
            && texts
                .iter()
                .all(|t| t.len() == first && t.bytes().all(|b| b.is_ascii_uppercase())))
}
