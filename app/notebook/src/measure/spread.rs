//! How far a meter can be off, by its data sheet: so many per cent of the
//! reading, plus so many steps of the last digit.

use super::show::decimal;
use super::{Typed, Value, parse, plain, times_ten};
use crate::timeline::{cat, put};

/// How far the true value can be from the reading, by the meter's data sheet.
/// All in the base unit.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Spread {
    /// Half the width of the range.
    pub half: f64,
    /// Lowest value.
    pub low: f64,
    /// Highest value.
    pub high: f64,
    /// Standard uncertainty. Nothing is known but the limits, so every value
    /// between them counts as equally likely: half width / square root of 3
    /// (JCGM 100:2008, 4.3.7).
    pub standard: f64,
    /// The part of `half` that comes from the last digits.
    pub from_digits: f64,
}

/// The spread of a reading: `percent` of it, and `counts` steps of its last
/// digit. `None` when neither is given, or one is below zero or no number.
pub fn spread(value: &Value, percent: Option<f64>, counts: Option<f64>) -> Option<Spread> {
    if percent.is_none() && counts.is_none() {
        return None;
    }
    let (percent, counts) = (percent.unwrap_or(0.0), counts.unwrap_or(0.0));
    if !(percent >= 0.0 && counts >= 0.0) {
        return None;
    }
    let from_digits = counts * value.last_digit;
    let half = value.number.abs() * percent / 100.0 + from_digits;
    half.is_finite().then(|| Spread {
        half,
        low: value.number - half,
        high: value.number + half,
        standard: half / 3.0_f64.sqrt(),
        from_digits,
    })
}

/// A measured value in words: `0.42 Ω ± 0.034 Ω (0.386 to 0.454 Ω)`. The half
/// width has two digits and is rounded up; the range is rounded outwards. A
/// text that can't be read is given as it is.
pub fn told(quantity: &str, value: &str, percent: &str, counts: &str) -> String {
    tell(quantity, value, percent, counts, true)
}

/// The same without the range: `0.42 Ω ± 0.034 Ω`.
pub fn short(quantity: &str, value: &str, percent: &str, counts: &str) -> String {
    tell(quantity, value, percent, counts, false)
}

fn tell(quantity: &str, value: &str, percent: &str, counts: &str, range: bool) -> String {
    let number = match parse(value, quantity) {
        Ok(Typed::Number(number)) => number,
        Ok(Typed::Over) => return cat(&[value.trim(), " (over the range)"]),
        Err(_) => return value.trim().to_owned(),
    };
    let mut text = number.show();
    let Some((spread, exp)) = spread(&number, plain(percent), plain(counts)).and_then(|s| {
        let (_, exp) = two_digits(s.half)?;
        Some((s, exp))
    }) else {
        return text;
    };
    text += &give_or_take(&number, spread.half);
    let prefix = number.shown_prefix();
    let behind = number.behind(prefix);
    if range && let (Some(low), Some(high)) = (outward(-spread.low, exp), outward(spread.high, exp))
    {
        let (low, high) = (decimal(-low, exp - prefix), decimal(high, exp - prefix));
        put(&mut text, &[" (", &low, " to ", &high, &behind, ")"]);
    }
    text
}

/// ` ± 0.034 Ω`, with the prefix of the value; nothing for 0.
pub(super) fn give_or_take(value: &Value, half: f64) -> String {
    let prefix = value.shown_prefix();
    two_digits(half).map_or_else(String::new, |(steps, exp)| {
        let half = decimal(steps, exp - prefix);
        cat(&[" \u{B1} ", &half, &value.behind(prefix)])
    })
}

/// A positive number, rounded up to two digits: the digits and the power of ten
/// that they count.
fn two_digits(number: f64) -> Option<(i64, i32)> {
    if !(number > 0.0 && number.is_finite()) {
        return None;
    }
    let mut exp = -30;
    while exp < 30 && times_ten(number, -exp) >= 100.0 - NOISE {
        exp += 1;
    }
    match outward(number, exp)? {
        100.. => Some((10, exp + 1)),
        0 => None,
        steps => Some((steps, exp)),
    }
}

/// How much of a step may be noise of the arithmetic: sums such as 2.0 + 0.013
/// are not exact in binary.
const NOISE: f64 = 1e-6;

/// Rounds up to whole steps of ten to the power of `exp`.
fn outward(number: f64, exp: i32) -> Option<i64> {
    let steps = (times_ten(number, -exp) - NOISE).ceil();
    // Beyond this a step is less than the noise.
    (steps.abs() < 1e15).then_some(steps as i64)
}

/// What would make this measurement tell more, when there is something.
pub fn advice(quantity: &str, value: &str, percent: &str, counts: &str) -> Option<&'static str> {
    let Ok(Typed::Number(number)) = parse(value, quantity) else {
        return None;
    };
    let spread = spread(&number, plain(percent), plain(counts))?;
    let wide = spread.half > number.number.abs() * 0.03;
    let from_percent = spread.half - spread.from_digits;
    (wide && spread.from_digits > 4.0 * from_percent).then_some(
        "Most of this comes from the meter's last digits. A lower range, if there is one, tells more.",
    )
}
