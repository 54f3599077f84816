//! What can be said about the time of an entry, and no more than that.

use serde_json::Value;

use crate::result::Entry;

/// When an entry was written.
#[derive(Clone, Debug, Default, PartialEq)]
pub enum When {
    /// By a clock that was set, in UTC: the text of the time and its seconds
    /// since 1970.
    Utc(String, i64),
    /// By a clock that was set, in the owner's local time. The seconds are
    /// those of the same time in UTC and only good for differences.
    Local(String, i64),
    /// The clock was not set: seconds since the console started.
    SinceStart(f64),
    /// The clock was not set and nothing more is known.
    NotSet,
    /// The log says that there is no time.
    Absent,
    /// The layout has no time, or it could not be read.
    #[default]
    Unknown,
}

impl When {
    /// Seconds since 1970 by a clock that was set.
    #[must_use]
    pub fn seconds(&self) -> Option<i64> {
        match self {
            Self::Utc(_, s) | Self::Local(_, s) => Some(*s),
            _ => None,
        }
    }
}

impl std::fmt::Display for When {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Self::Utc(text, _) => write!(f, "{text} UTC"),
            Self::Local(text, _) => write!(f, "{text} local time"),
            Self::SinceStart(s) => write!(f, "{} since start, clock not set", seconds_text(*s)),
            Self::NotSet => f.write_str("clock not set"),
            Self::Absent => f.write_str("no time in the entry"),
            Self::Unknown => f.write_str("no time"),
        }
    }
}

/// The time of an entry. A date is given only where the clock was set.
#[must_use]
pub fn when(entry: &Entry) -> When {
    let text = |name: &str| entry.fields.get(name).and_then(Value::as_str);
    match text("clock") {
        Some("set") => {
            let utc = text("time_utc").and_then(|t| Some((t, utc_seconds(t)?)));
            let local = text("time_local").and_then(|t| Some((t, local_seconds(t)?)));
            match (utc, local) {
                (Some((t, s)), _) => When::Utc(plain(t), s),
                (None, Some((t, s))) => When::Local(plain(t), s),
                (None, None) => When::Unknown,
            }
        }
        Some("not set") => match entry.fields.get("time_rel_s").and_then(Value::as_f64) {
            Some(s) => When::SinceStart(s),
            None => When::NotSet,
        },
        Some("absent") => When::Absent,
        _ => When::Unknown,
    }
}

fn utc_seconds(text: &str) -> Option<i64> {
    crate::calendar::read_utc(text)
}

fn local_seconds(text: &str) -> Option<i64> {
    Some(crate::calendar::DateTime::read(text)?.0.seconds())
}

/// `2016-05-02T07:41:10Z` as `2016-05-02 07:41:10`.
fn plain(text: &str) -> String {
    text.trim_end_matches('Z').replace('T', " ")
}

/// A stretch of time in seconds, and from two minutes on also in larger units.
#[must_use]
#[allow(clippy::cast_possible_truncation, reason = "float casts saturate")]
pub fn seconds_text(s: f64) -> String {
    let number = if s.fract() == 0.0 {
        format!("{s:.0}")
    } else {
        format!("{s:.1}")
    };
    let whole = s as i64;
    let (d, h, m, sec) = (
        whole / 86_400,
        whole / 3600 % 24,
        whole / 60 % 60,
        whole % 60,
    );
    let larger = match (d, h, m) {
        (0, 0, 0 | 1) => return format!("{number} s"),
        (0, 0, m) => format!("{m} min {sec} s"),
        (0, h, m) => format!("{h} h {m} min"),
        (d, h, _) => format!("{d} d {h} h"),
    };
    format!("{number} s ({larger})")
}

/// What the dates of these entries are worth, in a sentence or two. That a clock
/// was not set is among the notes of the reading already.
pub(super) fn worth(shown: &[(usize, &Entry)]) -> String {
    let (mut utc, mut local, mut unset, mut none) = (0_usize, 0_usize, 0_usize, 0_usize);
    for (_, e) in shown {
        match when(e) {
            When::Utc(..) => utc += 1,
            When::Local(..) => local += 1,
            When::SinceStart(_) | When::NotSet => unset += 1,
            When::Absent | When::Unknown => none += 1,
        }
    }
    let set = utc + local;
    let mut out: Vec<String> = Vec::new();
    if set > 0 {
        let whose = if local > 0 {
            ", in the owner's local time"
        } else {
            ""
        };
        out.push(format!(
            "Dates are what the console's own clock said{whose}; the log can't tell whether it was right."
        ));
    }
    if none > 0 && set + unset > 0 {
        let how = super::summary::of(none, set + unset + none, "entry has", "entries have");
        out.push(format!("{how} no time."));
    }
    out.join(" ")
}
