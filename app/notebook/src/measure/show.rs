//! Numbers as text, by whole-number arithmetic: every digit that was typed is
//! shown, and no other.

use super::{Value, times_ten};
use crate::timeline::cat;

impl Value {
    /// The difference, with all digits of both; nothing when they are too many.
    pub(super) fn less(&self, other: &Self) -> Option<Self> {
        let exp = self.exp.min(other.exp);
        let steps = |v: &Self| {
            let by = 10_i64.checked_pow(u32::try_from(v.exp - exp).ok()?)?;
            v.digits.checked_mul(by)
        };
        let digits = steps(self)?.checked_sub(steps(other)?)?;
        Some(Self {
            number: times_ten(digits as f64, exp),
            last_digit: times_ten(1.0, exp),
            digits,
            exp,
            ..self.clone()
        })
    }

    /// The value with all its digits, a prefix where one helps, and the unit.
    /// Reading it again gives the same value.
    pub fn show(&self) -> String {
        let prefix = self.shown_prefix();
        cat(&[
            &decimal(self.digits, self.exp - prefix),
            &self.behind(prefix),
        ])
    }

    /// The prefix to show: the typed one; else one that spares zeros.
    pub(super) fn shown_prefix(&self) -> i32 {
        if self.prefix != 0 || !self.prefixed || self.digits == 0 {
            return self.prefix;
        }
        let size = self.number.abs();
        let prefix = match self.unit.as_str() {
            // Mega and giga are for ohms and hertz.
            "\u{3A9}" | "Hz" if size >= 1e9 => 9,
            "\u{3A9}" | "Hz" if size >= 1e6 => 6,
            "\u{3A9}" | "Hz" | "V" | "A" if size >= 1e3 => 3,
            "Hz" => 0,
            _ if size >= 0.01 => 0,
            _ if size >= 1e-3 => -3,
            _ if size >= 1e-6 => -6,
            // No table has smaller ohms or henries.
            "\u{3A9}" => -6,
            _ if size >= 1e-9 => -9,
            _ => -12,
        };
        // No more digits behind the mark than are read again.
        if prefix - self.exp > 10 {
            return 0;
        }
        // A prefix below the last digit would show digits that nobody saw.
        let least = self.exp.div_euclid(3) * 3 + if self.exp.rem_euclid(3) > 0 { 3 } else { 0 };
        prefix.max(least.min(0))
    }

    /// Space, prefix and unit.
    pub(super) fn behind(&self, prefix: i32) -> String {
        let sign = match prefix {
            -12 => "p",
            -9 => "n",
            -6 => "\u{B5}",
            -3 => "m",
            3 => "k",
            6 => "M",
            9 => "G",
            _ => "",
        };
        if sign.is_empty() && self.unit.is_empty() {
            String::new()
        } else {
            cat(&[" ", sign, &self.unit])
        }
    }
}

/// `digits` times ten to the power of `exp`, written out.
pub(super) fn decimal(digits: i64, exp: i32) -> String {
    let sign = if digits < 0 { "-" } else { "" };
    let mut text = digits.unsigned_abs().to_string();
    if exp >= 0 {
        if digits != 0 {
            for _ in 0..exp {
                text.push('0');
            }
        }
        return cat(&[sign, &text]);
    }
    let places = usize::try_from(-exp).unwrap_or(0);
    while text.len() <= places {
        text.insert(0, '0');
    }
    let (whole, part) = text
        .split_at_checked(text.len() - places)
        .unwrap_or((&text, ""));
    cat(&[sign, whole, ".", part])
}
