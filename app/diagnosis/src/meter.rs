//! A measured value against its window: evidence that grows smoothly, as the
//! meter itself can be off.

use notebook::measure::{Typed, parse, plain, spread};

/// One measurement in a hundred goes wrong by itself: a slipped probe, the wrong
/// point. Common practice, no source.
pub const SLIP: f64 = 0.01;

/// The window that a good board lies in, in the unit of the quantity.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Limits {
    /// Lowest value.
    pub low: Option<f64>,
    /// Highest value.
    pub high: Option<f64>,
}

/// How probably the true value lies below and above the window.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Outside {
    /// Below it.
    pub below: f64,
    /// Above it.
    pub above: f64,
}

/// A value as it was typed, with the meter's accuracy as typed.
#[derive(Clone, Copy, Debug, Default)]
pub struct Typing<'a> {
    /// What is measured, as in [`notebook::measure::QUANTITIES`].
    pub quantity: &'a str,
    /// The value.
    pub value: &'a str,
    /// Per cent of reading.
    pub percent: &'a str,
    /// Digits.
    pub counts: &'a str,
}

/// Where the true value lies. Every value that the meter allows counts as
/// equally likely (JCGM 100:2008, 4.3.7: only the limits are known). Without
/// the meter's accuracy the value is taken as it stands. `Err` says what can't
/// be read.
pub fn outside(typed: Typing, limits: Limits) -> Result<Outside, String> {
    let value = match parse(typed.value, typed.quantity) {
        Ok(Typed::Number(value)) => value,
        Ok(Typed::Over) => {
            // Over the range: above any highest value there is.
            let above = if limits.high.is_some() {
                1.0 - SLIP
            } else {
                0.0
            };
            return Ok(Outside { below: 0.0, above });
        }
        Err(problem) => return Err(problem),
    };
    let natural = matches!(
        typed.quantity,
        "resistance" | "esr" | "capacitance" | "frequency"
    );
    if natural && value.number < 0.0 {
        return Err("A value below 0 can't be. Look at the leads and the range.".to_owned());
    }
    for text in [typed.percent, typed.counts] {
        if !text.trim().is_empty() && plain(text).is_none_or(|n| !n.is_finite() || n < 0.0) {
            return Err("The meter's accuracy is no number.".to_owned());
        }
    }
    // No meter is better than its last digit.
    let half = spread(&value, plain(typed.percent), plain(typed.counts)).map_or(0.0, |s| s.half);
    let half = half.max(value.last_digit);
    let below = limits
        .low
        .map_or(0.0, |low| part_below(value.number, half, low));
    let above = limits
        .high
        .map_or(0.0, |high| 1.0 - part_below(value.number, half, high));
    let slip = |p: f64| p * (1.0 - SLIP);
    Ok(Outside {
        below: slip(below),
        above: slip(above),
    })
}

/// Which part of value - half to value + half lies below a limit.
fn part_below(value: f64, half: f64, limit: f64) -> f64 {
    if half > 0.0 {
        ((limit - (value - half)) / (2.0 * half)).clamp(0.0, 1.0)
    } else if value < limit {
        1.0
    } else {
        0.0
    }
}
