//! Written dates and times: finding them in a view and reading them.

use crate::calendar::DateTime;
use crate::plan::{DatePart, DatePiece};
use crate::slips;
use crate::view::{View, is_soft, is_space, is_wordy};

/// Result of looking for a written date.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum DateMatch {
    /// It is there and ends before this cell.
    Yes {
        /// Cell behind the last.
        end: usize,
        /// Cost of its slips, in tenths.
        cost: u32,
    },
    /// The view ends in the middle of it.
    RanOut,
    /// It is not there.
    No,
}

const DIGITS: &[u8] = b"0123456789";

/// Looks for a date of this pattern at cell `p`.
pub(crate) fn match_date(pattern: &[DatePiece], view: &View, p: usize, slip: bool) -> DateMatch {
    let mut at = p;
    let mut cost = 0;
    let mut short = false;
    for piece in pattern {
        if at >= view.len() {
            return if at > p {
                DateMatch::RanOut
            } else {
                DateMatch::No
            };
        }
        match piece {
            DatePiece::Number(part, width) => {
                let mut n = 0;
                let mut c = 0;
                while n < *width {
                    match digit_cost(view.byte(at + n), slip) {
                        Some(extra) => c += extra,
                        None => break,
                    }
                    n += 1;
                }
                let enough = if *part == DatePart::Year { *width } else { 1 };
                if n < enough || n == 0 {
                    return if at + n >= view.len() && n > 0 {
                        DateMatch::RanOut
                    } else {
                        DateMatch::No
                    };
                }
                at += n;
                cost += c;
                short = n < *width;
            }
            DatePiece::Text(t) => match text_end(view, at, t) {
                Some(end) => at = end,
                None => return DateMatch::No,
            },
        }
    }
    // A sign that may be a digit, right behind a last number of one digit.
    let more = short && matches!(view.byte(at), b'|' | b'!' | b'?' | b'$' | b'&');
    if is_wordy(view.byte(at)) || more {
        return DateMatch::No;
    }
    DateMatch::Yes { end: at, cost }
}

fn digit_cost(b: u8, slip: bool) -> Option<u32> {
    if b.is_ascii_digit() {
        Some(0)
    } else if slip {
        slips::readable_as(b, DIGITS)
    } else {
        None
    }
}

/// Text between numbers: letters as they are, all else as any loose run.
fn text_end(view: &View, at: usize, text: &[u8]) -> Option<usize> {
    let mut p = at;
    let mut last_soft = false;
    for &t in text {
        if is_wordy(t) {
            if !view.byte(p).eq_ignore_ascii_case(&t) {
                return None;
            }
            p += 1;
            last_soft = false;
        } else if !last_soft {
            let from = p;
            // A bar between the numbers of a date is a slip for a 1.
            while (is_soft(view.byte(p)) && view.byte(p) != b'|' || view.byte(p) == t)
                && p < view.len()
            {
                p += 1;
            }
            if p == from && !is_space(t) {
                return None;
            }
            last_soft = true;
        }
    }
    Some(p)
}

/// Reads a written date. `None` when a number is out of range.
///
/// Two-digit years: 70-99 are 19xx, 00-69 are 20xx (POSIX `%y` puts the change
/// at 69; common practice, no single standard).
pub(crate) fn read_date(pattern: &[DatePiece], text: &str) -> Option<DateTime> {
    let mut w = DateTime {
        year: 0,
        month: 1,
        day: 1,
        hour: 0,
        minute: 0,
        second: 0,
    };
    let bytes = text.as_bytes();
    let mut at = 0;
    for piece in pattern {
        match piece {
            DatePiece::Number(part, width) => {
                while bytes.get(at).is_some_and(|b| !b.is_ascii_digit()) {
                    at += 1;
                }
                let from = at;
                while at - from < *width && bytes.get(at).is_some_and(u8::is_ascii_digit) {
                    at += 1;
                }
                let number: i64 = text.get(from..at)?.parse().ok()?;
                match part {
                    DatePart::Year if *width == 2 => {
                        w.year = if number < 70 {
                            2000 + number
                        } else {
                            1900 + number
                        }
                    }
                    DatePart::Year => w.year = number,
                    DatePart::Month => w.month = number,
                    DatePart::Day => w.day = number,
                    DatePart::Hour => w.hour = number,
                    DatePart::Minute => w.minute = number,
                    DatePart::Second => w.second = number,
                }
            }
            DatePiece::Text(_) => {}
        }
    }
    w.checked()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::fold::fold;
    use crate::plan::plan_date;

    #[test]
    fn finds_and_reads() {
        let pattern = plan_date("DD.MM.YYYY at hh:mm:ss");
        let s = "03.11.2007 at 21:40:15, check";
        let v = fold(s, 0, s.len());
        assert_eq!(
            match_date(&pattern, &v, 0, false),
            DateMatch::Yes { end: 22, cost: 0 }
        );
        assert_eq!(
            read_date(&pattern, "03.11.2007 at 21:40:15")
                .unwrap()
                .to_string(),
            "2007-11-03T21:40:15"
        );
        assert_eq!(read_date(&pattern, "03.13.2007 at 21:40:15"), None);
        let s = "03.11.2007 at 21:4";
        assert_eq!(
            match_date(&pattern, &fold(s, 0, s.len()), 0, false),
            DateMatch::RanOut
        );
        let s = "O3.11.2007 at 21:40:15";
        assert_eq!(
            match_date(&pattern, &fold(s, 0, s.len()), 0, true),
            DateMatch::Yes { end: 22, cost: 10 }
        );
    }
}
