//! Measured values as they are typed, and how far a meter can be off.
//!
//! A value is kept as the text that was typed. What is worked out from it is
//! worked out each time: nothing is lost when a text can't be understood.

mod leads;
mod parse;
mod propagate;
mod show;
mod spread;
mod units;

pub use leads::{LEADS_UNKNOWN, Meant, Typing};
pub use parse::{parse, plain};
pub use propagate::combined;
pub use spread::{Spread, advice, short, spread, told};

/// What can be measured: the value kept and what a person calls it.
pub const QUANTITIES: &[(&str, &str)] = &[
    ("resistance", "Resistance"),
    ("voltage", "Voltage"),
    ("diode", "Diode drop"),
    ("current", "Current"),
    ("capacitance", "Capacitance"),
    ("esr", "Series resistance (ESR)"),
    ("inductance", "Inductance"),
    ("frequency", "Frequency"),
    ("time", "Time"),
    ("temperature", "Temperature"),
    ("other", "Something else"),
];

/// The base unit of a quantity; empty for `other` and for names that are not in
/// [`QUANTITIES`].
pub fn unit(quantity: &str) -> &'static str {
    match quantity {
        "resistance" | "esr" => "\u{3A9}",
        "voltage" | "diode" => "V",
        "current" => "A",
        "capacitance" => "F",
        "inductance" => "H",
        "frequency" => "Hz",
        "time" => "s",
        "temperature" => "\u{B0}C",
        _ => "",
    }
}

/// What a text says.
#[derive(Clone, Debug, PartialEq)]
pub enum Typed {
    /// A number.
    Number(Value),
    /// The meter showed that the value is over its range, or that nothing is
    /// connected: `OL`, `open`. It is a finding, and it is no number.
    Over,
}

/// A number as a meter showed it.
#[derive(Clone, Debug, PartialEq)]
pub struct Value {
    /// The value, in the base unit.
    pub number: f64,
    /// What one step of the last digit shown is worth, in the base unit.
    pub last_digit: f64,
    /// The base unit.
    pub unit: String,
    /// All digits as one whole number, with the sign.
    digits: i64,
    /// What power of ten they count.
    exp: i32,
    /// The power of ten of the prefix that was typed.
    prefix: i32,
    /// Whether the quantity is written with prefixes.
    prefixed: bool,
}

/// `digits` times ten to the power of `exp`. Right to the last bit for up to 15
/// digits and powers from -22 to 22, as both factors are exact then.
fn times_ten(digits: f64, exp: i32) -> f64 {
    let power = (0..exp.unsigned_abs()).fold(1.0, |p, _| p * 10.0);
    if exp < 0 {
        digits / power
    } else {
        digits * power
    }
}
