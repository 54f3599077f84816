//! Days, against another library and against published dates.
#![allow(clippy::unwrap_used, reason = "a test may stop at once")]

use jiff::civil::{Date, date};
use notebook::dates::{between, number, words, written};
use proptest::prelude::*;

fn any_day() -> impl Strategy<Value = Date> {
    (1..=9999_i16, 1..=12_i8, 1..=31_i8)
        .prop_filter_map("no such day", |(y, m, d)| Date::new(y, m, d).ok())
}

/// Days since 1970 by the other library.
fn by_jiff(day: Date) -> i64 {
    let span = date(1970, 1, 1).until((jiff::Unit::Day, day)).unwrap();
    i64::from(span.get_days())
}

proptest! {
    #[test]
    fn a_day_has_the_number_another_library_gives_it(day in any_day()) {
        let text = day.to_string();
        prop_assert_eq!(number(&text), Some(by_jiff(day)));
        prop_assert_eq!(written(by_jiff(day)), Some(text));
    }

    #[test]
    fn what_is_a_day_is_what_another_library_takes_for_one(y in 0..=9999_i16, m in 0..=13_i8, d in 0..=32_i8) {
        let there = y > 0 && Date::new(y, m, d).is_ok();
        prop_assert_eq!(number(&format!("{y:04}-{m:02}-{d:02}")).is_some(), there);
    }

    #[test]
    fn the_days_between_are_those_another_library_counts(a in any_day(), b in any_day()) {
        let days = between(&a.to_string(), &b.to_string());
        prop_assert_eq!(days, Some(by_jiff(b) - by_jiff(a)));
    }

    #[test]
    fn a_day_in_words_is_as_another_library_prints_it(a in any_day(), b in any_day()) {
        let (a_text, b_text) = (a.to_string(), b.to_string());
        let year = if a.year() == b.year() { String::new() } else { format!(" {}", a.year()) };
        prop_assert_eq!(words(&a_text, &b_text), format!("{}{year}", a.strftime("%-d %B")));
        prop_assert_eq!(words(&a_text, &a_text), a.strftime("%-d %B").to_string());
    }

    #[test]
    fn any_text_and_number_is_taken_or_refused(text: String, n: i64) {
        let _ = (number(&text), between(&text, "2026-11-25"), words("2026-11-25", &text));
        if number(&text).is_none() {
            prop_assert_eq!(words(&text, "2026-11-25"), text);
        }
        prop_assert_eq!(written(n).and_then(|d| number(&d)), written(n).map(|_| n));
    }
}

/// Seconds of days: `references.md` k, computed there by two libraries.
#[test]
fn known_days_have_their_numbers() {
    for (day, seconds) in [
        ("1970-01-01", 0_i64),
        ("1972-02-29", 68_169_600),
        ("2000-01-01", 946_684_800),
        ("2000-02-29", 951_782_400),
        ("2000-03-01", 951_868_800),
        ("2024-02-29", 1_709_164_800),
        ("2100-03-01", 4_107_542_400),
        ("1900-01-01", -2_208_988_800),
        ("1980-01-06", 315_964_800),
        ("1980-01-01", 315_532_800),
        ("2001-01-01", 978_307_200),
    ] {
        assert_eq!(seconds % 86_400, 0);
        assert_eq!(number(day), Some(seconds / 86_400), "{day}");
        assert_eq!(written(seconds / 86_400).as_deref(), Some(day));
    }
    // The ends of 32-bit counts, from the same table.
    assert_eq!(written(2_147_483_647 / 86_400).unwrap(), "2038-01-19");
    assert_eq!(written(4_294_967_295 / 86_400).unwrap(), "2106-02-07");
    // 2000-02-29 counted from 2000.
    assert_eq!(
        between("2000-01-01", "2000-02-29"),
        Some(5_097_600 / 86_400)
    );
}

/// Leap years of the same table.
#[test]
fn leap_days_are_in_leap_years_only() {
    for (year, leap) in [
        (1996, true),
        (2000, true),
        (2004, true),
        (2024, true),
        (2400, true),
        (1900, false),
        (2023, false),
        (2100, false),
    ] {
        assert_eq!(number(&format!("{year}-02-29")).is_some(), leap, "{year}");
    }
}

#[test]
fn what_only_looks_like_a_day_is_none() {
    for text in [
        "",
        "2026-1-02",
        "2026-01-2",
        "26-01-02",
        "2026-01-02 ",
        " 2026-01-02",
        "+026-01-02",
        "2026-01-02-",
        "2026/01/02",
        "2026-01-02T00:00:00",
        "\u{662}026-01-02",
        "2026-01",
        "20260102",
        "0000-01-01",
        "10000-01-01",
    ] {
        assert_eq!(number(text), None, "{text:?}");
        assert_eq!(words(text, "2026-11-25"), text);
    }
    assert_eq!(written(i64::MAX), None);
    assert_eq!(written(i64::MIN), None);
    assert_eq!(written(number("9999-12-31").unwrap() + 1), None);
    assert_eq!(written(number("0001-01-01").unwrap() - 1), None);
}
