//! Checks time rules. RFC 3339 times are only looked at, not computed with.

use crate::model::{Encoding, Field, TimeRule};
use crate::problem::{Findings, key, place};

/// Lists what is wrong with the time rule of a field.
pub(super) fn check(field: &Field, rule: &TimeRule, path: &str, found: &mut Findings) {
    const EXAMPLE: &str = "an RFC 3339 time in UTC, such as `2000-01-01T00:00:00Z`";
    let written = field.encoding == Encoding::Date;
    if field.field != "time" {
        found.note(
            path,
            "only the field named `time` is read as the entry's time",
            "name the field `time`",
        );
    }
    if !matches!(
        field.encoding,
        Encoding::Hex | Encoding::Decimal | Encoding::Bcd | Encoding::Date
    ) {
        found.problem(
            path,
            "only `hex`, `decimal`, `bcd` and `date` fields can be times",
            "change `as`, or take `time` out",
        );
    }
    let epoch = key(path, "epoch");
    if rule.epoch.is_empty() {
        if !written {
            found.problem(
                epoch,
                "is missing: what does the number 0 stand for?",
                EXAMPLE,
            );
        }
    } else if !is_rfc3339(&rule.epoch) {
        found.problem(epoch, "is no RFC 3339 time", EXAMPLE);
    }
    if let Some(before) = &rule.not_set_before {
        if !is_rfc3339(before) {
            found.problem(key(path, "not_set_before"), "is no RFC 3339 time", EXAMPLE);
        }
        if !written {
            found.problem(
                key(path, "not_set_before"),
                "is for written dates",
                "numbers have `not_set_below`",
            );
        }
    }
    if written && rule.not_set_below.is_some() {
        found.problem(
            key(path, "not_set_below"),
            "is for numbers",
            "written dates have `not_set_before`",
        );
    }
    if rule.unit_seconds.is_some_and(|u| u < 0.0) {
        found.problem(
            key(path, "unit_seconds"),
            "must not be negative",
            "seconds a count; 1 if left out",
        );
    }
    for (name, values) in [("absent", &rule.absent), ("not_set", &rule.not_set)] {
        let hint = "one for each way it is written";
        super::few(
            &key(path, name),
            values.len(),
            super::field::MAX_VALUES,
            hint,
            found,
        );
        for (i, value) in values.iter().enumerate() {
            let path = place(&key(path, name), i);
            super::names::filled(
                &path,
                value,
                "a value as the log writes it, such as `FFFFFFFF`",
                found,
            );
            super::field::value(field, value, &path, found);
        }
    }
}

/// Whether a text is an RFC 3339 date and time with a zone.
pub(super) fn is_rfc3339(text: &str) -> bool {
    let b = text.as_bytes();
    let number = |from: usize, to: usize| -> Option<u32> {
        let digits = b.get(from..to)?;
        digits.iter().try_fold(0, |n, d| {
            d.is_ascii_digit().then(|| n * 10 + u32::from(d - b'0'))
        })
    };
    let marks = [(4, b"-"), (7, b"-"), (13, b":"), (16, b":")];
    if marks.iter().any(|(at, mark)| b.get(*at) != Some(&mark[0]))
        || !matches!(b.get(10), Some(b'T' | b't' | b' '))
    {
        return false;
    }
    let parts = (
        number(0, 4),
        number(5, 7),
        number(8, 10),
        number(11, 13),
        number(14, 16),
        number(17, 19),
    );
    let (Some(y), Some(mo), Some(d), Some(h), Some(mi), Some(s)) = parts else {
        return false;
    };
    if !(1..=12).contains(&mo) || d == 0 || d > days(y, mo) || h > 23 || mi > 59 || s > 60 {
        return false;
    }
    let mut at = 19;
    if b.get(at) == Some(&b'.') {
        at += 1;
        let from = at;
        while b.get(at).is_some_and(u8::is_ascii_digit) {
            at += 1;
        }
        if at == from {
            return false;
        }
    }
    match b.get(at) {
        Some(b'Z' | b'z') => at + 1 == b.len(),
        Some(b'+' | b'-') => {
            at + 6 == b.len()
                && b.get(at + 3) == Some(&b':')
                && number(at + 1, at + 3).is_some_and(|h| h < 24)
                && number(at + 4, at + 6).is_some_and(|m| m < 60)
        }
        _ => false,
    }
}

fn days(year: u32, month: u32) -> u32 {
    match month {
        4 | 6 | 9 | 11 => 30,
        2 if year.is_multiple_of(4) && (!year.is_multiple_of(100) || year.is_multiple_of(400)) => {
            29
        }
        2 => 28,
        _ => 31,
    }
}

#[cfg(test)]
mod tests {
    use super::is_rfc3339;

    #[test]
    fn times() {
        for good in [
            "2000-01-01T00:00:00Z",
            "1996-02-29t23:59:60z",
            "2000-02-29T00:00:00.125+05:30",
            "1970-01-01 00:00:00-00:00",
        ] {
            assert!(is_rfc3339(good), "{good}");
        }
        for bad in [
            "",
            "2000",
            "2000-01-01",
            "2000-01-01T00:00:00",
            "2000-13-01T00:00:00Z",
            "1900-02-29T00:00:00Z",
            "2000-01-01T24:00:00Z",
            "2000-01-01T00:00:00.Z",
            "2000-01-01T00:00:00Zx",
            "2000-01-01T00:00:00+5:30",
            "２000-01-01T00:00:00Z",
            "2000-00-01T00:00:00Z",
            "2000-01-00T00:00:00Z",
            "+200-01-01T00:00:00Z",
        ] {
            assert!(!is_rfc3339(bad), "{bad}");
        }
    }
}
