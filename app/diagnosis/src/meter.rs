//! A measured value against its window: evidence that grows smoothly, as the
//! meter itself can be off.

use notebook::measure::Typing;

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

/// Where the true value lies, with the meter's error and the leads (see
/// [`Typing::meant`]). `Err` says what can't be read.
pub fn outside(typed: Typing, limits: Limits) -> Result<Outside, String> {
    let Some(meant) = typed.meant()? else {
        // Over the range: above any highest value there is.
        let above = if limits.high.is_some() {
            1.0 - SLIP
        } else {
            0.0
        };
        return Ok(Outside { below: 0.0, above });
    };
    let part = |limit| part_below(meant.number, meant.half, limit);
    let slip = |p: f64| p * (1.0 - SLIP);
    Ok(Outside {
        below: slip(limits.low.map_or(0.0, part)),
        above: slip(limits.high.map_or(0.0, |high| 1.0 - part(high))),
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
