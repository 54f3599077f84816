//! What checks and repairs cost a person: minutes, money and risk on one scale.

use codebook::model::{BenchCheck, Repair};
use serde_json::{Value, json};

/// What things cost this person. Money is in the unit of the book's choice.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Weights {
    /// What an hour at the bench counts as.
    pub hour: f64,
    /// What a small risk to board or person counts as.
    pub small: f64,
    /// What a real risk counts as.
    pub real: f64,
    /// What it counts as to heat a board that did not need it.
    pub needless: f64,
    /// What the console is worth mended: the cost of giving up.
    pub console: f64,
}

impl Default for Weights {
    /// Our choice, to be changed by the person.
    fn default() -> Self {
        Self {
            hour: 3.0,
            small: 2.0,
            real: 10.0,
            needless: 10.0,
            console: 120.0,
        }
    }
}

impl Weights {
    /// From JSON; what is missing or no sound number is as at the start.
    pub fn from_json(value: &Value) -> Self {
        let own = Self::default();
        let number = |key: &str, or: f64| {
            let n = value.get(key).and_then(Value::as_f64);
            n.filter(|n| (0.0..=MOST_COST).contains(n)).unwrap_or(or)
        };
        Self {
            hour: number("hour", own.hour),
            small: number("small", own.small),
            real: number("real", own.real),
            needless: number("needless", own.needless),
            console: number("console", own.console),
        }
    }

    /// As JSON.
    pub fn to_json(self) -> Value {
        json!({
            "hour": self.hour,
            "small": self.small,
            "real": self.real,
            "needless": self.needless,
            "console": self.console,
        })
    }
}

/// The highest cost that can be set.
pub const MOST_COST: f64 = 100_000.0;
/// Minutes to put the console together and try it after a repair. Common
/// practice, no source.
pub const TRY_MINUTES: f64 = 10.0;
/// A cost and what it is made of.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Price {
    /// Minutes.
    pub minutes: f64,
    /// Money.
    pub money: f64,
    /// What its risk counts as.
    pub risk: f64,
    /// All together.
    pub all: f64,
}

/// The price of a check.
pub fn check_price(check: &BenchCheck, weights: &Weights) -> Price {
    price(
        check.minutes,
        check.money,
        risk(&check.risk, weights),
        weights,
    )
}

/// The price of a repair, with trying the console afterwards. One with heat has
/// at least a small risk.
pub fn repair_price(repair: &Repair, weights: &Weights) -> Price {
    let word = match (repair.risk.as_str(), repair.difficulty) {
        ("", 4..) => "real",
        ("", 3) => "small",
        ("" | "none", _) if repair.heat => "small",
        (word, _) => word,
    };
    let minutes = repair.minutes + TRY_MINUTES;
    price(minutes, repair.money, risk(word, weights), weights)
}

fn price(minutes: f64, money: f64, risk: f64, weights: &Weights) -> Price {
    Price {
        minutes,
        money,
        risk,
        // Nothing is free: a hand has to move.
        all: (minutes / 60.0 * weights.hour + money + risk).max(0.05),
    }
}

fn risk(word: &str, weights: &Weights) -> f64 {
    match word {
        "small" => weights.small,
        "real" => weights.real,
        _ => 0.0,
    }
}
