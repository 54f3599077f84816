//! The sums for stored charge, against the check values the project was given
//! (`references.md` g1: E = C V²/2, V(t) = V e^(-t/RC), t = RC ln(V/target);
//! computed there with another program, and marked as confirmed).
#![allow(clippy::unwrap_used, clippy::panic)]

use care::charge::{discharge, energy, shown, volts_after};
use proptest::prelude::*;

/// Equal to six figures.
fn near(a: f64, b: f64) -> bool {
    (a - b).abs() <= 1e-5 * b.abs()
}

#[test]
fn the_worked_rows_come_out() {
    // V0, target, ohms, farad, seconds, tau, joules
    let rows = [
        (400.0, 60.0, 100e3, 220e-6, 41.7366, 22.0, 17.6),
        (400.0, 60.0, 10e3, 470e-6, 8.91646, 4.7, 37.6),
        (325.0, 60.0, 1e6, 0.1e-6, 0.168_948, 0.1, 5.28125e-3),
        (12.0, 1.0, 100.0, 2200e-6, 0.546_679, 0.22, 0.1584),
        (170.0, 60.0, 470e3, 1e-6, 0.489_483, 0.47, 14.45e-3),
    ];
    for (v0, vt, r, c, t, tau, e) in rows {
        let sum = discharge(v0, vt, r, c).unwrap();
        assert!(near(sum.time_s, t), "{sum:?} against {t}");
        assert!(near(sum.tau_s, tau), "{sum:?} against {tau}");
        assert!(near(sum.energy_j, e), "{sum:?} against {e}");
    }
    // First current and peak power, where the table gives them.
    for (v0, vt, r, c, amps, watts) in [
        (400.0, 60.0, 100e3, 220e-6, 4e-3, 1.6),
        (400.0, 60.0, 10e3, 470e-6, 40e-3, 16.0),
        (12.0, 1.0, 100.0, 2200e-6, 120e-3, 1.44),
    ] {
        let sum = discharge(v0, vt, r, c).unwrap();
        assert!(
            near(sum.current_a, amps) && near(sum.power_w, watts),
            "{sum:?}"
        );
    }
    for (v, c, e) in [
        (385.0, 100e-6, 7.41125),
        (60.0, 1e-3, 1.8),
        (12.0, 470e-6, 33.84e-3),
        (426.401, 220e-6, 20.0),
    ] {
        assert!(near(energy(c, v), e), "{v} V, {c} F");
    }
    // One time constant leaves 36.788 %, five leave 0.674 %.
    assert!(near(volts_after(100.0, 22.0, 100e3, 220e-6), 36.7879));
    assert!(near(volts_after(100.0, 110.0, 100e3, 220e-6), 0.673_795));
}

#[test]
fn what_makes_no_sum_is_refused_in_words() {
    let odd = [f64::NAN, f64::INFINITY, -1.0, 0.0];
    for bad in odd {
        for at in 0..4 {
            let mut v = [12.0, 1.0, 100.0, 1e-3];
            if let Some(place) = v.get_mut(at) {
                *place = bad;
            }
            let [v0, vt, r, c] = v;
            let told = discharge(v0, vt, r, c).unwrap_err();
            assert!(told.contains("above zero"), "{v:?}: {told}");
        }
    }
    assert!(discharge(1.0, 1.0, 1.0, 1.0).unwrap_err().contains("below"));
    assert!(discharge(1.0, 2.0, 1.0, 1.0).unwrap_err().contains("below"));
    assert!(
        discharge(1e300, 1.0, 1e-300, 1e300)
            .unwrap_err()
            .contains("large")
    );
}

#[test]
fn values_are_shown_with_three_figures_and_a_prefix() {
    for (value, text) in [
        (0.1584, "158 m"),
        (17.6, "17.6 "),
        (0.546_679, "547 m"),
        (1.44, "1.44 "),
        (1.0, "1 "),
        (0.999_6, "1 "),
        (9.996, "10 "),
        (99.96, "100 "),
        (999.6, "1 k"),
        (1500.0, "1.5 k"),
        (1.05, "1.05 "),
        (5.281_25e-3, "5.28 m"),
        (0.0, "0 "),
        (2.2e-6, "2.2 \u{b5}"),
        (-4e-3, "-4 m"),
    ] {
        assert_eq!(shown(value), text, "{value}");
    }
    assert_eq!(shown(f64::NAN), "beyond any sum ");
}

proptest! {
    #[test]
    fn after_the_time_the_target_is_left(
        v0 in 1e-3_f64..1e4, part in 1e-6_f64..0.999, r in 1e-3_f64..1e9, c in 1e-12_f64..10.0,
    ) {
        let vt = v0 * part;
        let sum = discharge(v0, vt, r, c).unwrap();
        prop_assert!(near(volts_after(v0, sum.time_s, r, c), vt));
        // All the energy goes through the resistor: E = P0 tau / 2.
        prop_assert!(near(sum.power_w * sum.tau_s / 2.0, sum.energy_j));
    }

    #[test]
    fn a_shown_value_reads_back_to_three_figures(value in 1e-11_f64..1e13) {
        let text = shown(value);
        let (digits, prefix) = text.split_once(' ').unwrap();
        let power = match prefix {
            "p" => -12, "n" => -9, "\u{b5}" => -6, "m" => -3, "" => 0,
            "k" => 3, "M" => 6, "G" => 9, "T" => 12,
            other => panic!("{other}"),
        };
        let back = digits.parse::<f64>().unwrap() * 10_f64.powi(power);
        prop_assert!((back - value).abs() <= 0.0051 * value, "{value} as {text}");
    }

    #[test]
    fn nothing_makes_it_panic(a in any::<f64>(), b in any::<f64>(), c in any::<f64>(), d in any::<f64>()) {
        let _ = discharge(a, b, c, d);
        prop_assert!(!shown(a).is_empty());
    }
}
