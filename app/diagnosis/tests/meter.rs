//! A measured value against its window, with the meter's own error: evidence
//! that grows smoothly.
#![allow(
    clippy::unwrap_used,
    clippy::indexing_slicing,
    clippy::panic,
    reason = "tests may panic"
)]

use diagnosis::meter::{Limits, SLIP, outside};
use notebook::measure::Typing;

fn typed<'a>(value: &'a str, percent: &'a str, counts: &'a str) -> Typing<'a> {
    Typing {
        quantity: "voltage",
        value,
        percent,
        counts,
        leads: "",
    }
}

fn limits(low: f64, high: f64) -> Limits {
    Limits {
        low: Some(low),
        high: Some(high),
    }
}

/// Rows of `references.md` j1 (meter makers' worked examples): the range that
/// the meter allows. With the edge of the window at either end of that range,
/// nothing or everything of it lies outside; in the middle, half.
#[test]
fn the_share_outside_is_that_of_the_meters_range() {
    for (value, percent, counts, half) in [
        ("2.000", "0.5", "3", 0.013),
        ("2.000", "0.08", "2", 0.0036),
        ("100.0", "1", "2", 1.2),
        ("100.0", "0.8", "2", 1.0),
        ("1.755", "0.5", "1", 0.009_775),
        ("3.300", "0.5", "2", 0.0185),
        ("12.00", "0.5", "2", 0.08),
    ] {
        let number: f64 = value.parse().unwrap();
        let below = |low: f64| {
            outside(typed(value, percent, counts), limits(low, 1e9))
                .unwrap()
                .below
        };
        let slip = 1.0 - SLIP;
        assert!(
            (below(number) - 0.5 * slip).abs() < 1e-9,
            "{value}: at the edge it says nothing"
        );
        assert!(below(number - half - 1e-9) < 1e-9, "{value}");
        assert!((below(number + half + 1e-9) - slip).abs() < 1e-9, "{value}");
        // A quarter of the range below the edge: three quarters lie under it.
        assert!(
            (below(number + half / 2.0) - 0.75 * slip).abs() < 1e-9,
            "{value}"
        );
        let above = |high: f64| {
            outside(typed(value, percent, counts), limits(-1e9, high))
                .unwrap()
                .above
        };
        assert!(
            (above(number + half / 2.0) - 0.25 * slip).abs() < 1e-9,
            "{value}"
        );
    }
}

/// GUM type B (JCGM 100:2008, 4.3.7): values between the limits are equally
/// likely, so the standard uncertainty is half / root 3; the share outside is
/// linear in the distance, and its slope is 1 / (2 half).
#[test]
fn it_grows_linearly_across_the_edge() {
    let at = |low: f64| {
        outside(typed("12.00", "0.5", "2"), limits(low, 99.0))
            .unwrap()
            .below
    };
    let slope = (at(12.04) - at(11.96)) / 0.08;
    assert!((slope - (1.0 - SLIP) / 0.16).abs() < 1e-6, "{slope}");
    let u = 0.08 / 3.0_f64.sqrt();
    assert!((u - 0.046_188).abs() < 1e-6, "the row of j1");
}

#[test]
fn without_accuracy_the_last_digit_counts_and_over_is_above() {
    let plain = |v: &str| outside(typed(v, "", ""), limits(4.75, 5.25)).unwrap();
    assert_eq!(plain("5.00").below + plain("5.00").above, 0.0);
    assert_eq!(plain("4.73").below, 1.0 - SLIP);
    assert_eq!(plain("5.27").above, 1.0 - SLIP);
    // At the edge itself nobody can say.
    assert!((plain("4.75").below - 0.5 * (1.0 - SLIP)).abs() < 1e-6);
    assert_eq!(plain("OL").above, 1.0 - SLIP);
    let open = Limits {
        low: Some(5.0),
        high: None,
    };
    let over = Typing {
        quantity: "resistance",
        value: "OL",
        ..Typing::default()
    };
    let found = outside(over, open).unwrap();
    assert_eq!(
        (found.below, found.above),
        (0.0, 0.0),
        "5 ohm or more holds"
    );
    let under = Typing {
        value: "-1",
        ..over
    };
    assert!(outside(under, open).is_err(), "no resistance is below 0");
    assert!(outside(typed("five", "", ""), limits(0.0, 1.0)).is_err());
}

#[test]
fn any_text_is_survived() {
    for value in [
        "",
        "-",
        "1e999",
        "NaN",
        "0.0.0",
        "9999999999999999999999",
        "-5",
        "4k7",
        "\u{0}",
    ] {
        for percent in ["", "-1", "1e308", "x"] {
            if let Ok(found) = outside(typed(value, percent, percent), limits(1.0, 2.0)) {
                assert!((0.0..=1.0).contains(&found.below) && (0.0..=1.0).contains(&found.above));
            }
        }
    }
}

/// A healthy core rail of an early board reads 0.4 ohm and more. With 0.3 ohm of
/// leads a short of 0.05 ohm shows 0.35, and a good 0.5 shows 0.8: without
/// knowing the leads neither is told from the edge; with them both are.
#[test]
fn leads_decide_at_small_resistances() {
    let below = |value, leads| {
        let typed = Typing {
            quantity: "resistance",
            value,
            percent: "0.5",
            counts: "5",
            leads,
        };
        let window = Limits {
            low: Some(0.4),
            high: None,
        };
        outside(typed, window).unwrap().below
    };
    assert!(below("0.35", "0.30") > 0.98);
    assert!(below("0.80", "0.30") < 0.02);
    let unknown = below("0.65", "");
    assert!(unknown > 0.3 && unknown < 0.7, "{unknown}");
    assert_eq!(below("1.20", ""), 0.0);
}
