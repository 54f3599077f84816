//! The sums for stored charge: how much energy a capacitor holds, and how long a
//! resistor takes to bring it down.

use super::parts;
use crate::consoles;
use crate::platform::dom::Dom;
use crate::platform::state::State;
use crate::text;
use crate::widgets::bits::{line, mark, pair, spoken, tag, title};
use care::charge;

/// What is typed.
#[derive(Clone, Copy)]
struct Typed {
    volts: State<String>,
    micro: State<String>,
    ohms: State<String>,
    target: State<String>,
}

/// The page.
pub fn page() -> Dom {
    let own = |text: &str| State::new(text.to_owned());
    let typed = Typed {
        volts: own("12"),
        micro: own("2200"),
        ohms: own("100"),
        target: own("1"),
    };
    let fields = tag(
        "div",
        "stack",
        vec![
            parts::number("Voltage now", "V", typed.volts),
            parts::number("Capacitance", "\u{b5}F", typed.micro),
            parts::number("Resistor across it", "\u{2126}", typed.ohms),
            parts::number("Down to", "V", typed.target),
        ],
    );
    Dom::many(vec![
        consoles::back("/bench", "Back to the bench"),
        title("Stored charge"),
        line("p", "", text::CHARGE_LEAD),
        mark("warn", "caution", text::CHARGE_LIMITS),
        fields,
        spoken("", vec![Dom::live(move || result(typed))]),
        line("p", "source", text::CHARGE_SOURCE),
    ])
}

fn value(text: &str) -> Option<f64> {
    let text = text.trim().replace(',', ".");
    text.parse().ok().filter(|v: &f64| v.is_finite())
}

fn result(typed: Typed) -> Dom {
    let all = [typed.volts, typed.micro, typed.ohms, typed.target].map(|s| value(&s.get()));
    let [Some(v0), Some(micro), Some(r), Some(vt)] = all else {
        return line("p", "bad-words", "Each field wants a number, such as 4.7.");
    };
    let farad = micro / 1e6;
    let sum = charge::discharge(v0, vt, r, farad);
    let sum = match sum {
        Ok(sum) => sum,
        Err(why) => return line("p", "bad-words", why),
    };
    let mut rows = vec![
        pair("Energy stored, C V\u{b2}/2", eng(sum.energy_j, "J")),
        pair("One time constant, R C", eng(sum.tau_s, "s")),
        pair("Time to get down, R C ln(V/target)", eng(sum.time_s, "s")),
        pair("Current at first, V/R", eng(sum.current_a, "A")),
        pair("Power in the resistor at first", eng(sum.power_w, "W")),
    ];
    if v0 > 60.0 {
        rows.push(pair("Over 60 V", "Do not work on it. Licensed people do."));
    }
    tag("dl", "pairs", rows)
}

/// A value with three figures and a prefix.
fn eng(value: f64, unit: &str) -> String {
    charge::shown(value) + unit
}
