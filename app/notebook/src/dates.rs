//! Days, written `2026-03-12`, without a zone: what a person writes beside a
//! thing that was done.

use reading::calendar::DateTime;

/// Milliseconds of a day.
pub const DAY_MS: i64 = 86_400_000;

const NAMES: [&str; 12] = [
    "January",
    "February",
    "March",
    "April",
    "May",
    "June",
    "July",
    "August",
    "September",
    "October",
    "November",
    "December",
];

/// Days since 1970-01-01, if the text is a day of the years 1 to 9999.
pub fn number(day: &str) -> Option<i64> {
    Some(parse(day)?.seconds().div_euclid(86_400))
}

/// The day with this number.
pub fn written(number: i64) -> Option<String> {
    let date = DateTime::at(number.checked_mul(86_400)?)?;
    Some(date.to_string().get(..10)?.to_owned())
}

/// The number of days from one day to another.
pub fn between(from: &str, to: &str) -> Option<i64> {
    Some(number(to)? - number(from)?)
}

/// A day in words, such as `12 March` in the year of `today` and `12 March 2025`
/// else. A text that is no day is given as it is.
pub fn words(day: &str, today: &str) -> String {
    let Some(d) = parse(day) else {
        return day.to_owned();
    };
    let month = usize::try_from(d.month - 1)
        .ok()
        .and_then(|m| NAMES.get(m))
        .copied()
        .unwrap_or_default();
    let short = d.day.to_string() + " " + month;
    if day.get(..4) == today.get(..4) {
        short
    } else {
        short + " " + &d.year.to_string()
    }
}

fn parse(day: &str) -> Option<DateTime> {
    let mut parts = day.split('-');
    let mut part = |width: usize| {
        let text = parts.next()?;
        if text.len() == width && text.bytes().all(|b| b.is_ascii_digit()) {
            text.parse().ok()
        } else {
            None
        }
    };
    let (year, month, day) = (part(4)?, part(2)?, part(2)?);
    if parts.next().is_some() {
        return None;
    }
    DateTime {
        year,
        month,
        day,
        hour: 0,
        minute: 0,
        second: 0,
    }
    .checked()
}
