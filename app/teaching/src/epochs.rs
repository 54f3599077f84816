//! What a number of a clock may mean: the usual epochs, and which of them fit.
//!
//! The offsets are those of `references.md` k (computed there by a date
//! library); that these epochs are the usual ones is common practice, no source.

use codebook::model::{TimeRule, Zone};
use reading::calendar::{read_utc, write_utc};

use crate::api::Epoch;

/// Numbers below this are seconds since the start rather than a date (194 days).
/// Common practice, no source.
pub(crate) const NOT_SET: u64 = 1 << 24;
/// No console of interest is older: 1995-01-01.
const OLDEST: i64 = 788_918_400;
/// Without a clock at hand nothing later is believed: 2060-01-01.
const LATEST: i64 = 2_840_140_800;

/// name, epoch, seconds a count.
const USUAL: &[(&str, &str, f64)] = &[
    ("seconds since 1970", "1970-01-01T00:00:00Z", 1.0),
    ("seconds since 2000", "2000-01-01T00:00:00Z", 1.0),
    ("seconds since 2001", "2001-01-01T00:00:00Z", 1.0),
    ("seconds since 1996", "1996-01-01T00:00:00Z", 1.0),
    ("seconds since 1980", "1980-01-01T00:00:00Z", 1.0),
    ("minutes since 2000", "2000-01-01T00:00:00Z", 60.0),
    ("minutes since 1970", "1970-01-01T00:00:00Z", 60.0),
    ("milliseconds since 1970", "1970-01-01T00:00:00Z", 0.001),
    ("seconds since the console started", "", 1.0),
    ("milliseconds since the console started", "", 0.001),
];

/// The numbers of a clock, apart from those that mean something else.
#[derive(Clone, Debug, Default)]
pub(crate) struct Times {
    /// Numbers that may be dates.
    pub set: Vec<u64>,
    /// Small numbers.
    pub small: Vec<u64>,
    /// Values as written that mean "no time".
    pub absent: Vec<String>,
}

impl Times {
    /// Sorts numbers of `digits` hex digits (or decimal ones) with their texts.
    pub fn of(numbers: &[u64], texts: &[String], most: u64) -> Self {
        let mut out = Self::default();
        let all_zero = numbers.iter().all(|n| *n == 0);
        for (n, text) in numbers.iter().zip(texts) {
            let none = *n == most && most > NOT_SET || *n == 0 && !all_zero;
            if none {
                if !out.absent.iter().any(|a| a.eq_ignore_ascii_case(text)) {
                    out.absent.push(text.to_ascii_uppercase());
                }
            } else if *n < NOT_SET {
                out.small.push(*n);
            } else {
                out.set.push(*n);
            }
        }
        out
    }
}

/// What the times are under each epoch, and which one is likeliest.
pub(crate) fn table(t: &Times, latest: Option<i64>) -> (Vec<Epoch>, Option<usize>) {
    let mut out = Vec::new();
    let mut chosen = None;
    let until = latest.unwrap_or(LATEST);
    for (k, (name, epoch, unit)) in USUAL.iter().enumerate() {
        let start = epoch.is_empty();
        // Minutes need not be many to be a date.
        let dates: Vec<u64> = if *unit > 1.0 || start {
            t.set.iter().chain(&t.small).copied().collect()
        } else {
            t.set.clone()
        };
        let (low, high) = (dates.iter().min().copied(), dates.iter().max().copied());
        let (first, last) = (
            low.and_then(|n| at(epoch, *unit, n)),
            high.and_then(|n| at(epoch, *unit, n)),
        );
        let mut row = Epoch {
            name: (*name).into(),
            epoch: (*epoch).into(),
            unit_seconds: *unit,
            first: String::new(),
            last: String::new(),
            fits: false,
            why: String::new(),
        };
        if start {
            row.first = low.map(|n| span(seconds(n, *unit))).unwrap_or_default();
            row.last = high.map(|n| span(seconds(n, *unit))).unwrap_or_default();
            row.fits = t.set.is_empty() && !t.small.is_empty();
            row.why = if row.fits {
                "all numbers are small".into()
            } else {
                "most numbers are too large for that".into()
            };
        } else if let (Some(first), Some(last)) = (first, last) {
            row.first = write_utc(first).unwrap_or_default();
            row.last = write_utc(last).unwrap_or_default();
            // A count of minutes that is hardly a year is more likely none.
            let young = *unit > 1.0 && low.is_some_and(|n| n < 500_000);
            row.fits = first >= OLDEST && last <= until && !young;
            row.why = if young {
                "too small for a count of minutes".into()
            } else if first < OLDEST {
                "older than any console".into()
            } else if last > until {
                if latest.is_some() {
                    "later than today".into()
                } else {
                    "too far ahead".into()
                }
            } else {
                "possible".into()
            };
        } else {
            row.why = "no number is large enough for a date".into();
        }
        if row.fits && chosen.is_none() {
            chosen = Some(k);
        }
        out.push(row);
    }
    (out, chosen)
}

#[allow(
    clippy::cast_precision_loss,
    clippy::cast_possible_truncation,
    reason = "float casts saturate"
)]
fn seconds(n: u64, unit: f64) -> i64 {
    (n as f64 * unit) as i64
}

/// Seconds since 1970, where that is a date that can be written.
fn at(epoch: &str, unit: f64, n: u64) -> Option<i64> {
    let t = read_utc(epoch)?.checked_add(seconds(n, unit))?;
    write_utc(t).map(|_| t)
}

/// A stretch of time in words.
fn span(s: i64) -> String {
    let (n, unit) = match s {
        0..=119 => (s, " s"),
        120..=7199 => (s / 60, " min"),
        7200..=172_799 => (s / 3600, " h"),
        _ => (s / 86_400, " days"),
    };
    [&n.to_string(), unit].concat()
}

/// The rule for a clock in numbers.
pub(crate) fn rule(t: &Times, epoch: &Epoch) -> TimeRule {
    let start = epoch.epoch.is_empty();
    let any = "1970-01-01T00:00:00Z";
    let seconds = (epoch.unit_seconds - 1.0).abs() < 1e-9;
    TimeRule {
        epoch: if start {
            any.into()
        } else {
            epoch.epoch.clone()
        },
        unit_seconds: (!seconds).then_some(epoch.unit_seconds),
        zone: Zone::Utc,
        absent: t.absent.clone(),
        // Since the start: every number is below this.
        not_set_below: if start {
            Some(u64::MAX >> 1)
        } else if seconds {
            Some(NOT_SET)
        } else {
            None
        },
        ..TimeRule::default()
    }
}

/// How many epochs fit besides the chosen one, in words; empty when none does.
pub(crate) fn doubt(rows: &[Epoch], chosen: Option<usize>) -> String {
    let Some(c) = chosen else {
        return "under no usual epoch do these numbers make sense".into();
    };
    let mut also: Vec<&str> = Vec::new();
    for (k, row) in rows.iter().enumerate() {
        let same = rows.get(c).is_some_and(|r| r.epoch.is_empty());
        if k != c && row.fits && !(same && row.epoch.is_empty()) {
            also.push(&row.name);
        }
    }
    if also.is_empty() {
        String::new()
    } else {
        ["other epochs fit as well: ", &also.join(", ")].concat()
    }
}
