//! What is left of a reading: the meter's own error, and for a resistance the
//! leads and the pressure of the hand.

use super::propagate::combined;
use super::spread::give_or_take;
use super::{Typed, Value, parse, plain, short, spread, told};
use crate::timeline::put;

/// How far two readings of a small resistance by hand differ from contact alone,
/// as a standard uncertainty in ohm. Common practice, no source.
const CONTACT: f64 = 0.03;
/// Leads and tips have at most so many ohm; none when the meter was set to zero
/// with them. Common practice, no source.
const LEADS_MOST: f64 = 0.5;

/// Said of a resistance without [`Typing::leads`].
pub const LEADS_UNKNOWN: &str = "What the leads add is not known: 0 to 0.5 ohm is taken.";

/// A measured value as it was typed, with what belongs to it.
#[derive(Clone, Copy, Debug, Default)]
pub struct Typing<'a> {
    /// What is measured, as in [`super::QUANTITIES`].
    pub quantity: &'a str,
    /// The value.
    pub value: &'a str,
    /// Meter's accuracy: per cent of reading.
    pub percent: &'a str,
    /// Meter's accuracy: digits.
    pub counts: &'a str,
    /// For a resistance: what the meter shows with the tips held together.
    pub leads: &'a str,
}

/// The value that was meant.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Meant {
    /// The best value, in the base unit.
    pub number: f64,
    /// How far the true value can be from it, as if all values in between were
    /// alike: the meter's limit, or for what comes from several readings the
    /// limit with the same standard uncertainty.
    pub half: f64,
}

impl<'a> Typing<'a> {
    /// From the fields of a `measurement` record.
    pub fn of(field: impl Fn(&str) -> &'a str) -> Self {
        Self {
            quantity: field("quantity"),
            value: field("value"),
            percent: field("percent"),
            counts: field("counts"),
            leads: field("leads"),
        }
    }

    /// The value in words, with the range (see [`told`]), and what is left of it
    /// when the leads are taken off.
    pub fn told(&self) -> String {
        let all = told(self.quantity, self.value, self.percent, self.counts);
        self.with_leads(all)
    }

    /// The same without the range.
    pub fn short(&self) -> String {
        let all = short(self.quantity, self.value, self.percent, self.counts);
        self.with_leads(all)
    }

    fn with_leads(&self, mut text: String) -> String {
        if self.leads.trim().is_empty() {
            return text;
        }
        put(
            &mut text,
            &[", tips together ", &short("resistance", self.leads, "", "")],
        );
        if let (Ok(Typed::Number(value)), Some(Ok(leads))) = (self.parsed(), self.tips())
            && let (Some(left), Ok(Some(meant))) = (value.less(&leads), self.meant())
        {
            put(
                &mut text,
                &[": ", &left.show(), &give_or_take(&left, meant.half)],
            );
        }
        text
    }

    fn parsed(&self) -> Result<Typed, String> {
        parse(self.value, self.quantity)
    }

    /// What the tips read, if it was noted and counts here.
    fn tips(&self) -> Option<Result<Value, String>> {
        if self.quantity != "resistance" || self.leads.trim().is_empty() {
            return None;
        }
        Some(match parse(self.leads, "resistance") {
            Ok(Typed::Number(value)) if value.number >= 0.0 => Ok(value),
            Ok(Typed::Number(_)) => {
                Err("The tips held together can't read less than 0.".to_owned())
            }
            Ok(Typed::Over) => {
                Err("The tips held together read over the range. Look at the leads.".to_owned())
            }
            Err(why) => Err(["Tips held together: ", &why].concat()),
        })
    }

    /// The value and how far it can be off. Nothing for one over the range. Only
    /// the limits of a meter are known, so all values between them count alike
    /// (JCGM 100:2008, 4.3.7); without the meter's accuracy the last digit is
    /// taken. Of a resistance the leads are taken off: two readings of one meter,
    /// whose error by per cent is the same in both (5.2.2). Where they are not
    /// known they are 0 to 0.5 ohm.
    ///
    /// # Errors
    /// A sentence that says what can't be read or can't be.
    pub fn meant(&self) -> Result<Option<Meant>, String> {
        let tips = self.tips().transpose()?;
        let Typed::Number(value) = self.parsed()? else {
            return Ok(None);
        };
        let natural = matches!(
            self.quantity,
            "resistance" | "esr" | "capacitance" | "frequency"
        );
        if natural && value.number < 0.0 {
            return Err("A value below 0 can't be. Look at the leads and the range.".to_owned());
        }
        for text in [self.percent, self.counts] {
            if !text.trim().is_empty() && plain(text).is_none_or(|n| !n.is_finite() || n < 0.0) {
                return Err("The meter's accuracy is no number.".to_owned());
            }
        }
        let (half, shared) = self.limits(&value, value.last_digit);
        if self.quantity != "resistance" {
            let number = value.number;
            return Ok(Some(Meant { number, half }));
        }
        let root = 3.0_f64.sqrt();
        let (leads, off, together) = match tips {
            Some(tips) => {
                // One meter in one range: 0.3 is 0.30, written short.
                let digit = tips.last_digit.min(value.last_digit);
                let (off, own) = self.limits(&tips, digit);
                let both = half * off;
                let together = if both > 0.0 { shared * own / both } else { 0.0 };
                (tips.number, off, together)
            }
            None => (LEADS_MOST / 2.0, LEADS_MOST / 2.0, 0.0),
        };
        let inputs = [(1.0, half / root), (-1.0, off / root), (1.0, CONTACT)];
        let correlation = |i, j| if (i, j) == (0, 1) { together } else { 0.0 };
        let half = combined(&inputs, correlation) * root;
        let number = value.number - leads;
        if number < -half {
            return Err(
                "The tips held together read more than the point. Measure both again.".to_owned(),
            );
        }
        Ok(Some(Meant { number, half }))
    }

    /// How far a reading can be off by a meter with this last digit, and the part
    /// that comes from its per cent. No meter is better than its last digit.
    fn limits(&self, value: &Value, last_digit: f64) -> (f64, f64) {
        let value = Value {
            last_digit,
            ..value.clone()
        };
        let spread = spread(&value, plain(self.percent), plain(self.counts));
        let half = spread.map_or(0.0, |s| s.half).max(value.last_digit);
        (half, spread.map_or(0.0, |s| s.half - s.from_digits))
    }
}
