//! What the cells of a column look like, for columns whose head says nothing.

use crate::codes::{items, range_of};
use crate::sheet::{Sheet, Spread};
use crate::style::{Style, look};
use crate::words::is_board;

/// Rows that are looked at; more tell nothing new.
const MAX_LOOKED: usize = 400;

/// Counts over the filled cells of a column.
#[derive(Debug, Default)]
pub(crate) struct Shape {
    /// Filled cells.
    pub filled: usize,
    /// Cells that stand there by themselves and hold only codes.
    pub codes: usize,
    /// Of those, with hex digits only.
    pub hex: usize,
    /// Characters of the codes, added up.
    pub code_width: usize,
    /// Cells unlike any before them.
    pub distinct: usize,
    /// Characters of all cells.
    pub chars: usize,
    /// Cells of several words.
    pub wordy: usize,
    /// Cells with parts as printed on boards: `U20`, `C211`.
    pub parts: usize,
    /// Cells with names of rails: `V_GFX`, `3V3`.
    pub rails: usize,
    /// Cells with volts.
    pub volts: usize,
    /// Cells with names of boards.
    pub boards: usize,
    /// Cells that count 1, 2, 3.
    pub counting: usize,
}

impl Shape {
    /// Whether at least so many of ten filled cells are counted in `n`.
    pub fn most(&self, n: usize, tenths: usize) -> bool {
        self.filled > 0 && n * 10 >= self.filled * tenths
    }
}

/// The shape of a column.
pub(crate) fn of(sheet: &Sheet, column: usize) -> Shape {
    let mut shape = Shape::default();
    let mut seen: Vec<&str> = Vec::new();
    for (n, row) in sheet.rows.iter().take(MAX_LOOKED).enumerate() {
        let Some(cell) = row.cells.get(column) else {
            continue;
        };
        let text = cell.text.as_str();
        if text.is_empty() {
            continue;
        }
        shape.filled += 1;
        shape.chars += text.chars().count();
        shape.wordy += usize::from(text.trim().contains([' ', '\n']));
        if !seen.contains(&text) {
            seen.push(text);
            shape.distinct += 1;
        }
        if cell.spread != Spread::Beside
            && let Some((hex, width)) = only_codes(text)
        {
            shape.codes += 1;
            shape.hex += usize::from(hex);
            shape.code_width += width;
        }
        let all = |is: &dyn Fn(&str) -> bool| {
            text.split([',', ';', '/', '\n', ' '])
                .filter(|t| !t.is_empty())
                .all(is)
        };
        shape.parts += usize::from(all(&is_part));
        shape.rails += usize::from(all(&is_rail));
        shape.boards += usize::from(all(&is_board));
        shape.volts += usize::from(volts(text).is_some());
        shape.counting += usize::from(text.parse() == Ok(n + 1));
    }
    shape
}

/// Whether a cell holds nothing but codes, hex ones, and how long the first is.
pub(crate) fn only_codes(text: &str) -> Option<(bool, usize)> {
    if text.len() > 200 {
        return None;
    }
    let style = Style::default();
    let mut found = None;
    for item in items(text, &style) {
        let first = range_of(item, &style).map_or(item, |(a, _)| a);
        let look = look(first)?;
        found = found.or(Some((look.hex, look.width)));
    }
    found
}

/// Letters and a number, as parts are printed: `U20`, `IC1`, `C211`.
fn is_part(text: &str) -> bool {
    let letters = text.bytes().take_while(u8::is_ascii_uppercase).count();
    let rest = text.get(letters..).unwrap_or("");
    (1..=3).contains(&letters)
        && (1..=4).contains(&rest.len())
        && rest.bytes().all(|b| b.is_ascii_digit())
}

/// `V_GFX`, `VCC`, `3V3`, `+12V`.
fn is_rail(text: &str) -> bool {
    let bare = text.trim_start_matches('+');
    let upper = bare
        .bytes()
        .all(|b| b.is_ascii_uppercase() || b.is_ascii_digit() || b == b'_' || b == b'.');
    upper
        && bare.len() >= 3
        && bare.contains('V')
        && (bare.starts_with('V')
            || bare.starts_with(|c: char| c.is_ascii_digit())
            || bare.contains('_'))
}

/// Volts: `3.3 V`, `+12`, `1,8V`, `900 mV`.
pub(crate) fn volts(text: &str) -> Option<f64> {
    let text = text.trim().trim_start_matches(['+', '~', '≈']).trim();
    let number = ["volts", "volt", "V", "v"]
        .iter()
        .find_map(|unit| text.strip_suffix(unit))
        .unwrap_or(text)
        .trim();
    let milli = number.strip_suffix('m').filter(|_| text.ends_with('V'));
    let (minus, digits) = match number.strip_prefix(['-', '−']) {
        Some(rest) => (true, rest),
        None => (false, milli.map_or(number, str::trim)),
    };
    // Both parts of the quotient are exact, so the result is the nearest value
    // there is, as a parser of the standard library would give it.
    let (mut value, mut parts) = (0_u64, 1_u64);
    let mut point = false;
    let mut any = false;
    for c in digits.chars() {
        match c.to_digit(10) {
            Some(digit) => {
                value = value.checked_mul(10)?.checked_add(u64::from(digit))?;
                parts *= if point { 10 } else { 1 };
                any = true;
            }
            None if matches!(c, '.' | ',') && !point => point = true,
            None => return None,
        }
        if value > 1 << 50 || parts > 1_000_000_000_000 {
            return None;
        }
    }
    if milli.is_some() {
        parts *= 1000;
    }
    #[allow(
        clippy::cast_precision_loss,
        reason = "both are below 2 to the power of 53"
    )]
    let volts = value as f64 / parts as f64;
    (any && volts < 1e6).then_some(if minus { -volts } else { volts })
}

/// A value as text that [`volts`] reads back; up to nine places.
pub(crate) fn volts_text(volts: f64) -> String {
    let mut parts = 1_u64;
    let size = volts.abs();
    if size.is_nan() || size >= 1e6 {
        return String::new();
    }
    #[allow(
        clippy::cast_precision_loss,
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "below a million volts and a thousand million parts"
    )]
    let (whole, rest, places) = loop {
        let scaled = (size * parts as f64).round();
        let n = scaled as u64;
        if scaled / parts as f64 == size || parts >= 1_000_000_000 {
            break (n / parts, n % parts, parts.to_string().len() - 1);
        }
        parts *= 10;
    };
    let mut out = if volts < 0.0 {
        "-".to_owned()
    } else {
        String::new()
    };
    out.push_str(&whole.to_string());
    if places > 0 {
        let digits = rest.to_string();
        out.push('.');
        out.push_str(&"0".repeat(places.saturating_sub(digits.len())));
        out.push_str(&digits);
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    proptest! {
        #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::default() })]

        /// The standard library's parser and printer are the outside measure.
        #[test]
        fn volts_are_read_and_written_exactly(n in 0u64..100_000_000, places in 0i32..8) {
            let value: f64 = format!("{n}e-{places}").parse().unwrap_or(0.0);
            prop_assume!(value < 1e6);
            prop_assert_eq!(volts(&format!("{value} V")), Some(value));
            prop_assert_eq!(volts_text(value), value.to_string());
        }
    }

    #[test]
    fn volts_come_in_several_ways() {
        for (text, value) in [
            ("3.3 V", Some(3.3)),
            ("+12V", Some(12.0)),
            ("1,8", Some(1.8)),
            ("900 mV", Some(0.9)),
            ("-5 V", Some(-5.0)),
            ("5 or 12", None),
            ("V", None),
            ("", None),
            ("1.2.3", None),
        ] {
            assert_eq!(volts(text), value, "{text}");
        }
    }
}
