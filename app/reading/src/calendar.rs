//! Dates and seconds: as much of the Gregorian calendar as logs need.
//!
//! A date library does more and costs about 25 KB of the first load (measured
//! with brotli); this does four things and is checked against one in the tests.
//! The day count is the well-known shift of the year to March with eras of 400
//! years (146,097 days).

use std::fmt;

/// A date and time of day, without a zone.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct DateTime {
    /// Year, 1 to 9999.
    pub year: i64,
    /// Month, 1 to 12.
    pub month: i64,
    /// Day, from 1.
    pub day: i64,
    /// Hour, 0 to 23.
    pub hour: i64,
    /// Minute, 0 to 59.
    pub minute: i64,
    /// Second, 0 to 59.
    pub second: i64,
}

const DAY: i64 = 86_400;

fn days_in(year: i64, month: i64) -> i64 {
    match month {
        4 | 6 | 9 | 11 => 30,
        2 if year % 4 == 0 && (year % 100 != 0 || year % 400 == 0) => 29,
        2 => 28,
        _ => 31,
    }
}

impl DateTime {
    /// The same, if there is such a date and time.
    pub fn checked(self) -> Option<Self> {
        let date = (1..=9999).contains(&self.year)
            && (1..=12).contains(&self.month)
            && (1..=days_in(self.year, self.month)).contains(&self.day);
        let time = (0..24).contains(&self.hour)
            && (0..60).contains(&self.minute)
            && (0..60).contains(&self.second);
        (date && time).then_some(self)
    }

    /// Seconds since 1970 if this is in UTC.
    pub fn seconds(self) -> i64 {
        let year = if self.month > 2 {
            self.year
        } else {
            self.year - 1
        };
        let era = year.div_euclid(400);
        let of_era = year.rem_euclid(400);
        let from_march = (self.month + 9) % 12;
        let of_year = (153 * from_march + 2) / 5 + self.day - 1;
        let days = era * 146_097 + of_era * 365 + of_era / 4 - of_era / 100 + of_year - 719_468;
        days * DAY + self.hour * 3600 + self.minute * 60 + self.second
    }

    /// The date and time in UTC that many seconds after 1970 began. `None`
    /// outside the years 1 to 9999.
    pub fn at(seconds: i64) -> Option<Self> {
        let days = seconds.div_euclid(DAY).checked_add(719_468)?;
        let time = seconds.rem_euclid(DAY);
        let era = days.div_euclid(146_097);
        let of_era = days.rem_euclid(146_097);
        let year = (of_era - of_era / 1460 + of_era / 36_524 - of_era / 146_096) / 365;
        let of_year = of_era - (365 * year + year / 4 - year / 100);
        let from_march = (5 * of_year + 2) / 153;
        let month = if from_march < 10 {
            from_march + 3
        } else {
            from_march - 9
        };
        Self {
            year: year + era * 400 + i64::from(month <= 2),
            month,
            day: of_year - (153 * from_march + 2) / 5 + 1,
            hour: time / 3600,
            minute: time / 60 % 60,
            second: time % 60,
        }
        .checked()
    }

    /// Reads `YYYY-MM-DDThh:mm:ss`; what follows is given back.
    pub fn read(text: &str) -> Option<(Self, &str)> {
        let number = |from: usize, to: usize| {
            let part = text.get(from..to)?;
            part.bytes()
                .all(|b| b.is_ascii_digit())
                .then(|| part.parse::<i64>().ok())?
        };
        let signs = [(4, "-"), (7, "-"), (13, ":"), (16, ":")];
        let apart = text.get(10..11)?;
        if signs
            .iter()
            .any(|&(at, sign)| text.get(at..at + 1) != Some(sign))
            || !matches!(apart, "T" | "t" | " ")
        {
            return None;
        }
        // A leap second has no number of its own in a count of seconds.
        let second = number(17, 19)?;
        let date = Self {
            year: number(0, 4)?,
            month: number(5, 7)?,
            day: number(8, 10)?,
            hour: number(11, 13)?,
            minute: number(14, 16)?,
            second: if second == 60 { 59 } else { second },
        };
        Some((date.checked()?, text.get(19..)?))
    }
}

impl fmt::Display for DateTime {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let Self {
            year,
            month,
            day,
            hour,
            minute,
            second,
        } = self;
        write!(
            f,
            "{year:04}-{month:02}-{day:02}T{hour:02}:{minute:02}:{second:02}"
        )
    }
}

/// Seconds since 1970 of an RFC 3339 time; a fraction is left out.
pub fn read_utc(text: &str) -> Option<i64> {
    let (date, rest) = DateTime::read(text)?;
    let zone = match rest.strip_prefix('.') {
        Some(fraction) => fraction.trim_start_matches(|c: char| c.is_ascii_digit()),
        None => rest,
    };
    let shift = match zone.as_bytes() {
        [b'Z' | b'z'] => 0,
        [sign @ (b'+' | b'-'), h1, h2, b':', m1, m2] => {
            let digit = |b: &u8| b.is_ascii_digit().then(|| i64::from(b - b'0'));
            let seconds =
                (digit(h1)? * 10 + digit(h2)?) * 3600 + (digit(m1)? * 10 + digit(m2)?) * 60;
            if *sign == b'+' { seconds } else { -seconds }
        }
        _ => return None,
    };
    Some(date.seconds() - shift)
}

/// A time in UTC as RFC 3339.
pub fn write_utc(seconds: i64) -> Option<String> {
    DateTime::at(seconds).map(|d| format!("{d}Z"))
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    /// Computed by another library (`references.md` k lists the values).
    #[test]
    fn known_moments() {
        for (seconds, text) in [
            (0, "1970-01-01T00:00:00Z"),
            (-1, "1969-12-31T23:59:59Z"),
            (951_782_400, "2000-02-29T00:00:00Z"),
            (951_868_800, "2000-03-01T00:00:00Z"),
            (4_107_542_400, "2100-03-01T00:00:00Z"),
            (1_000_000_000, "2001-09-09T01:46:40Z"),
            (-2_208_988_800, "1900-01-01T00:00:00Z"),
            (4_294_967_295, "2106-02-07T06:28:15Z"),
        ] {
            assert_eq!(write_utc(seconds).as_deref(), Some(text));
            assert_eq!(read_utc(text), Some(seconds));
        }
    }

    /// RFC 3339, 5.8, examples.
    #[test]
    fn the_examples_of_rfc_3339() {
        assert_eq!(read_utc("1985-04-12T23:20:50.52Z"), Some(482_196_050));
        assert_eq!(read_utc("1996-12-19T16:39:57-08:00"), Some(851_042_397));
        assert_eq!(
            read_utc("1937-01-01T12:00:27.87+00:20"),
            Some(-1_041_337_173)
        );
        assert!(read_utc("1990-12-31T23:59:60Z").is_some());
        for bad in [
            "1985-04-12",
            "1985-04-12T23:20:50",
            "1900-02-29T00:00:00Z",
            "x",
            "1985-4-12T23:20:50Z",
        ] {
            assert_eq!(read_utc(bad), None, "{bad}");
        }
    }

    proptest! {
        /// jiff is the outside measure.
        #[test]
        fn agrees_with_a_date_library(seconds in -62_000_000_000_i64..253_000_000_000) {
            let other = jiff::Timestamp::from_second(seconds).unwrap().to_string();
            let ours = write_utc(seconds);
            prop_assert_eq!(ours.as_deref(), Some(other.as_str()));
            prop_assert_eq!(read_utc(&other), Some(seconds));
        }

        #[test]
        fn any_text_is_read_or_refused(text in ".{0,40}") {
            let _ = read_utc(&text);
        }
    }
}
