//! What is left of a measured value when the leads are taken off, and how far it
//! can be off then.

#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::indexing_slicing,
    reason = "tests may panic"
)]

use notebook::measure::{Meant, Typing};

/// The value, what the tips read, and the meter's accuracy as one text: `0.8 3`.
fn typed<'a>(quantity: &'a str, value: &'a str, leads: &'a str, accuracy: &'a str) -> Typing<'a> {
    let (percent, counts) = accuracy.split_once(' ').unwrap_or_default();
    Typing {
        quantity,
        value,
        percent,
        counts,
        leads,
    }
}

#[track_caller]
fn meant(typed: Typing) -> Meant {
    match typed.meant() {
        Ok(Some(meant)) => meant,
        other => panic!("{typed:?}: {other:?}"),
    }
}

#[test]
fn the_tips_are_taken_off() {
    for (value, leads, number) in [
        ("0.70", "0", 0.70),
        ("0.70", "0.00", 0.70),
        ("0.70", "0.30", 0.40),
        ("0.7", "0.30", 0.40),
        ("0.70", "300m", 0.40),
        ("4.7k", "0.3", 4699.7),
        ("0.30", "0.30", 0.0),
        // Unknown: the middle of 0 to 0.5 ohm.
        ("0.70", "", 0.45),
        ("0.70", "  ", 0.45),
    ] {
        let own = meant(typed("resistance", value, leads, "0.8 3"));
        assert!(
            (own.number - number).abs() < 1e-9,
            "{value} {leads}: {own:?}"
        );
    }
}

/// Only a resistance has leads to take off; what else stands in their field does
/// not keep a value from being read.
#[test]
fn other_quantities_know_no_leads() {
    for quantity in ["voltage", "diode", "esr", "capacitance"] {
        let bare = meant(typed(quantity, "0.70m", "", "0.8 3"));
        for leads in ["0.30", "OL", "x", "-1"] {
            let own = meant(typed(quantity, "0.70m", leads, "0.8 3"));
            assert_eq!(own, bare, "{quantity} {leads}");
        }
    }
}

/// No meter is better than one step of its last digit, whatever its accuracy is
/// said to be; and the finer digit of the tips is not that of another range.
#[test]
fn a_value_is_off_by_its_own_last_digit_at_least() {
    for (quantity, value, leads, accuracy, least, most) in [
        ("voltage", "1.755", "", "", 0.001, 0.001),
        ("voltage", "1.755", "", "0 0", 0.001, 0.001),
        ("voltage", "12.00", "", "0 0", 0.01, 0.01),
        ("voltage", "12.00", "", "0.5 2", 0.08, 0.08),
        ("resistance", "12.00", "0", "0 0", 0.01, 2.0),
        ("resistance", "4.7k", "0.3", "", 100.0, 101.0),
        ("resistance", "4.7k", "0.3", "0 0", 100.0, 101.0),
        ("resistance", "4.7k", "0.3", "0 2", 200.0, 201.0),
        ("resistance", "4.7k", "0", "", 100.0, 101.0),
    ] {
        let half = meant(typed(quantity, value, leads, accuracy)).half;
        let fits = least - 1e-9..=most + 1e-9;
        assert!(
            fits.contains(&half),
            "{quantity} {value} {leads} {accuracy}: {half}"
        );
    }
}

/// By hand (JCGM 100:2008, 5.1.2): the meter, leads of 0 to 0.5 ohm, and the hand,
/// which know nothing of each other.
#[test]
fn leads_that_are_not_known_add_their_doubt() {
    let root = 3.0_f64.sqrt();
    let meter = (0.70 * 0.008 + 3.0 * 0.01) / root;
    let (leads, hand) = (0.25 / root, 0.03);
    let half = root * (meter * meter + leads * leads + hand * hand).sqrt();
    let own = meant(typed("resistance", "0.70", "", "0.8 3"));
    assert!((own.half - half).abs() < 1e-9, "{own:?} {half}");
    let known = meant(typed("resistance", "0.70", "0.30", "0.8 3"));
    assert!(known.half < own.half / 3.0, "{known:?} {own:?}");
}

/// The tips decide the digits of what is told where they are the finer ones.
#[test]
fn what_is_left_is_told_last() {
    for (value, leads, left) in [
        ("0.7", "0.30", "0.40 \u{3A9} \u{B1} "),
        ("0.70", "0.30", "0.40 \u{3A9} \u{B1} "),
        ("0.70", "0.3", "0.40 \u{3A9} \u{B1} "),
        ("0.70", "0", "0.70 \u{3A9} \u{B1} "),
    ] {
        let typed = typed("resistance", value, leads, "0.8 3");
        for words in [typed.told(), typed.short()] {
            let last = words.rsplit(": ").next().unwrap();
            assert!(last.starts_with(left), "{value} {leads}: {words}");
            assert!(words.contains(", tips together "), "{words}");
        }
    }
    let words = typed("resistance", "0.70", "", "0.8 3").told();
    assert!(!words.contains("tips"), "{words}");
}

/// Tips that can't be read are an error also beside a value over the range: a
/// person would take them for read.
#[test]
fn tips_that_cannot_be_read_are_told() {
    for value in ["0.70", "OL"] {
        for leads in ["x", "OL", "-0.1", "0.3 V"] {
            let said = typed("resistance", value, leads, "0.8 3").meant();
            assert!(said.is_err(), "{value} {leads}: {said:?}");
        }
    }
    for leads in ["", "0.30"] {
        let over = typed("resistance", "OL", leads, "0.8 3").meant();
        assert_eq!(over, Ok(None), "{leads}");
    }
}
