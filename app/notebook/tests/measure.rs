//! Measured values as typed, and how far a meter can be off.

#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::indexing_slicing,
    reason = "tests may panic"
)]

use notebook::measure::{
    QUANTITIES, Typed, Typing, Value, advice, combined, parse, plain, short, spread, told, unit,
};
use proptest::prelude::*;

fn number(text: &str, quantity: &str) -> Value {
    match parse(text, quantity) {
        Ok(Typed::Number(value)) => value,
        other => panic!("{text:?} as {quantity}: {other:?}"),
    }
}

/// The text, the value and the last digit, both in the base unit. The numbers
/// are what the Rust compiler makes of the written decimal, so the last bit
/// counts too.
#[test]
fn values_are_read_as_people_type_them() {
    for (quantity, text, value, last) in [
        ("resistance", "0.42", 0.42, 0.01),
        ("resistance", "0,42", 0.42, 0.01),
        ("resistance", ",42", 0.42, 0.01),
        ("resistance", "420m", 0.42, 1e-3),
        ("resistance", "420 mΩ", 0.42, 1e-3),
        ("resistance", "420 m\u{2126}", 0.42, 1e-3),
        ("resistance", " 420\u{A0}mOhm ", 0.42, 1e-3),
        ("resistance", "1.5 MΩ", 1.5e6, 1e5),
        ("resistance", "10k", 1e4, 1e3),
        ("resistance", "10.00 K", 1e4, 10.0),
        ("resistance", "100R", 100.0, 1.0),
        ("resistance", "47 ohms", 47.0, 1.0),
        ("esr", "0.03", 0.03, 0.01),
        ("capacitance", "47 µF", 47e-6, 1e-6),
        ("capacitance", "47 \u{3BC}F", 47e-6, 1e-6),
        ("capacitance", "47uF", 47e-6, 1e-6),
        ("capacitance", "47UF", 47e-6, 1e-6),
        ("capacitance", "100n", 100e-9, 1e-9),
        ("capacitance", "6.8 pF", 6.8e-12, 1e-13),
        ("voltage", "-0.002", -0.002, 0.001),
        ("voltage", "\u{2212}0.002 V", -0.002, 0.001),
        ("voltage", "+12.00 Vdc", 12.0, 0.01),
        ("voltage", "5. V", 5.0, 1.0),
        ("diode", "0.418", 0.418, 0.001),
        ("current", "100.0 mA", 0.1, 1e-4),
        ("inductance", "4.7 uH", 4.7e-6, 1e-7),
        ("frequency", "25 MHz", 25e6, 1e6),
        ("frequency", "32.768 kHz", 32768.0, 1.0),
        ("time", "250 ms", 0.25, 1e-3),
        ("time", "2.1 s", 2.1, 0.1),
        ("temperature", "41.5 °C", 41.5, 0.1),
        ("temperature", "41.5°", 41.5, 0.1),
        ("temperature", "41 C", 41.0, 1.0),
        ("other", "1.05 bar", 1.05, 0.01),
        ("other", "12", 12.0, 1.0),
    ] {
        let read = number(text, quantity);
        assert_eq!(read.number, value, "{text}");
        assert_eq!(read.last_digit, last, "{text}");
    }
    assert_eq!(number("1.05 bar", "other").unit, "bar");
    assert_eq!(number("420m", "resistance").unit, "Ω");
}

/// IEC 60062, marking of values by letter and digits: examples from memory.
#[test]
fn a_letter_can_stand_for_the_decimal_mark() {
    for (quantity, text, value, last) in [
        ("resistance", "4k7", 4700.0, 100.0),
        ("resistance", "4K7", 4700.0, 100.0),
        ("resistance", "4R7", 4.7, 0.1),
        ("resistance", "R47", 0.47, 0.01),
        ("resistance", "R47 Ω", 0.47, 0.01),
        ("resistance", "1M5", 1.5e6, 1e5),
        ("resistance", "4L7", 4.7e-3, 1e-4),
        ("capacitance", "4n7", 4.7e-9, 1e-10),
        ("capacitance", "4u7F", 4.7e-6, 1e-7),
        ("voltage", "3V3", 3.3, 0.1),
        ("inductance", "2u2", 2.2e-6, 1e-7),
    ] {
        let read = number(text, quantity);
        assert_eq!(read.number, value, "{text}");
        assert_eq!(read.last_digit, last, "{text}");
    }
}

#[test]
fn over_the_range_is_a_finding_and_no_number() {
    for text in [
        "OL", "O.L", "0L", ".OL", "-OL", "open", "Open ", "∞", "o l", "overload",
    ] {
        assert_eq!(parse(text, "resistance"), Ok(Typed::Over), "{text}");
        assert_eq!(parse(text, "diode"), Ok(Typed::Over), "{text}");
    }
    assert_eq!(told("diode", " OL ", "0.5", "2"), "OL (over the range)");
    assert!(matches!(parse("0", "resistance"), Ok(Typed::Number(_))));
}

/// Each text with what its refusal has to speak of.
#[test]
fn what_can_mean_two_things_is_refused_in_words() {
    for (quantity, text, words) in [
        ("voltage", "", "No value"),
        ("voltage", "  ", "No value"),
        ("voltage", "1.234,5", "1234.5 or 1.2345"),
        ("voltage", "1,234.5", "1234.5 or 1.2345"),
        ("voltage", "1.234.567", "two marks"),
        ("voltage", "1 234", "without gaps"),
        ("voltage", "3.3 3.4", "without gaps"),
        ("voltage", "1'234", "without gaps"),
        ("voltage", "5 MV", "For milli write m"),
        ("frequency", "25 mHz", "For mega write M"),
        ("capacitance", "47 MF", "micro write u"),
        ("capacitance", "4700 k", "another prefix"),
        ("resistance", "4E7", "power of ten"),
        ("resistance", "0.42 V", "“Voltage”"),
        ("resistance", "47 uF", "“Capacitance”"),
        ("voltage", "12 Ω", "“Resistance”"),
        ("voltage", "3.3 xy", "“xy”"),
        ("voltage", "3.3 xy", "Write 3.3 V"),
        ("voltage", "about 3", "begins with “a”"),
        ("voltage", "<0.1", "begins with “<”"),
        ("voltage", "-", "a sign and no number"),
        ("voltage", "3.3 ± 0.1", "can't be read"),
        ("voltage", "３.３", "begins with “３”"),
        ("temperature", "100 °F", "take away 32"),
        ("temperature", "300 K", "273.15"),
        ("temperature", "41 m", "degrees alone"),
        ("other", "4k7", "can't be read"),
        ("voltage", "0.00000000001", "10 digits"),
        ("voltage", "1234567890123456", "15 digits"),
    ] {
        match parse(text, quantity) {
            Err(said) => assert!(said.contains(words), "{text:?}: {said}"),
            other => panic!("{text:?} as {quantity}: {other:?}"),
        }
    }
    let long = "9".repeat(61);
    assert!(parse(&long, "voltage").unwrap_err().contains("too long"));
}

/// references.md j1, all rows: the meters' data sheets and public worked examples
/// named there. Reading, its quantity, percent, digits, half width, range.
#[test]
fn the_worked_examples_of_meter_accuracy_come_out() {
    for (text, percent, counts, half, low, high) in [
        ("2.000 V", 0.5, 3.0, 0.013, 1.987, 2.013),
        ("2.000 V", 0.08, 2.0, 0.0036, 1.9964, 2.0036),
        ("100.0 V", 1.0, 2.0, 1.2, 98.8, 101.2),
        ("100.0 V", 0.8, 2.0, 1.0, 99.0, 101.0),
        ("1.755 V", 0.5, 1.0, 0.009_775, 1.745_225, 1.764_775),
        ("3.300 V", 0.5, 2.0, 0.0185, 3.2815, 3.3185),
        ("12.00 V", 0.5, 2.0, 0.080, 11.92, 12.08),
        ("4.7 mV", 0.5, 2.0, 0.000_223_5, 0.004_476_5, 0.004_923_5),
    ] {
        let s = spread(&number(text, "voltage"), Some(percent), Some(counts)).unwrap();
        assert!((s.half - half).abs() < 1e-12, "{text}: {s:?}");
        assert!((s.low - low).abs() < 1e-12, "{text}: {s:?}");
        assert!((s.high - high).abs() < 1e-12, "{text}: {s:?}");
    }
}

/// references.md j1: JCGM 100:2008 4.3.7, half width / square root of 3; the
/// numbers are those computed there. The R = V/I row is the two spreads put
/// together by hand as there, so it checks `standard` of both.
#[test]
fn the_standard_uncertainty_is_that_of_equally_likely_values() {
    let u = |text, quantity, percent, counts| {
        let value = number(text, quantity);
        let s = spread(&value, Some(percent), Some(counts)).unwrap();
        (s.standard, value.number)
    };
    let (volt, _) = u("12.00", "voltage", 0.5, 2.0);
    assert!((volt - 0.046_188).abs() < 5e-7, "{volt}");
    assert!((2.0 * volt - 0.092_376).abs() < 5e-7);
    let (uv, v) = u("5.00", "voltage", 0.5, 2.0);
    let (ui, i) = u("100.0 mA", "current", 1.0, 3.0);
    let relative = (uv / v).hypot(ui / i);
    assert!((v / i - 50.0).abs() < 1e-12);
    assert!((relative - 0.009_128_7).abs() < 5e-8, "{relative}");
    assert!((relative * 50.0 - 0.456_435).abs() < 5e-7);
    assert!((relative * 100.0 - 0.912_871).abs() < 5e-7);
}

/// The traps of references.md j1: a page that prints 99.8 for the lower end, and
/// one that adds the digits to the last digit of the error (0.1007 for 0.1304).
#[test]
fn the_published_mistakes_are_not_made() {
    let s = spread(&number("100.0", "voltage"), Some(1.0), Some(2.0)).unwrap();
    assert!((s.low - 99.8).abs() > 0.9);
    assert_eq!(
        told("voltage", "100.0", "1", "2"),
        "100.0 V ± 1.2 V (98.8 to 101.2 V)"
    );
    let s = spread(&number("5.02", "voltage"), Some(2.0), Some(3.0)).unwrap();
    assert!((s.half - 0.1304).abs() < 1e-12, "{s:?}");
}

#[test]
fn the_reading_of_the_acceptance_comes_out() {
    let s = spread(&number("0.42", "resistance"), Some(0.8), Some(3.0)).unwrap();
    assert!((s.half - 0.033_36).abs() < 1e-12, "{s:?}");
    let all = "0.42 Ω ± 0.034 Ω (0.386 to 0.454 Ω)";
    assert_eq!(told("resistance", "0.42", "0.8", "3"), all);
    assert_eq!(told("resistance", "0,42 ohm", "0,8 %", "3 digits"), all);
    assert_eq!(short("resistance", "0.42", "0.8", "3"), "0.42 Ω ± 0.034 Ω");
    assert!(
        advice("resistance", "0.42", "0.8", "3")
            .unwrap()
            .contains("lower range")
    );
    assert_eq!(advice("voltage", "12.00", "0.5", "2"), None);
}

/// What is told: the half width has two digits, rounded up, the range outwards;
/// sums that are exact on paper are not pushed a step by binary noise.
#[test]
fn values_are_told_with_prefix_unit_and_honest_digits() {
    for (quantity, text, percent, counts, words) in [
        (
            "voltage",
            "2.000",
            "0.5",
            "3",
            "2.000 V ± 0.013 V (1.987 to 2.013 V)",
        ),
        (
            "voltage",
            "2.000",
            "0.08",
            "2",
            "2.000 V ± 0.0036 V (1.9964 to 2.0036 V)",
        ),
        (
            "voltage",
            "100.0",
            "0.8",
            "2",
            "100.0 V ± 1.0 V (99.0 to 101.0 V)",
        ),
        (
            "voltage",
            "1.755",
            "0.5",
            "1",
            "1.755 V ± 0.0098 V (1.7452 to 1.7648 V)",
        ),
        (
            "voltage",
            "3.300",
            "0.5",
            "2",
            "3.300 V ± 0.019 V (3.281 to 3.319 V)",
        ),
        (
            "voltage",
            "12.00",
            "0.5",
            "2",
            "12.00 V ± 0.080 V (11.920 to 12.080 V)",
        ),
        (
            "voltage",
            "4.7 mV",
            "0.5",
            "2",
            "4.7 mV ± 0.23 mV (4.47 to 4.93 mV)",
        ),
        (
            "voltage",
            "0.0047",
            "0.5",
            "2",
            "4.7 mV ± 0.23 mV (4.47 to 4.93 mV)",
        ),
        ("voltage", "0.00001", "", "", "0.01 mV"),
        ("voltage", "0.000010", "", "", "10 µV"),
        ("resistance", "4700", "", "", "4.700 kΩ"),
        (
            "resistance",
            "4k7",
            "1",
            "",
            "4.7 kΩ ± 0.047 kΩ (4.653 to 4.747 kΩ)",
        ),
        (
            "resistance",
            "120m",
            "1",
            "5",
            "120 mΩ ± 6.2 mΩ (113.8 to 126.2 mΩ)",
        ),
        (
            "resistance",
            "9.95",
            "10",
            "",
            "9.95 Ω ± 1.0 Ω (8.9 to 11.0 Ω)",
        ),
        ("resistance", "1", "", "100", "1 Ω ± 100 Ω (-100 to 110 Ω)"),
        (
            "voltage",
            "-0.002",
            "",
            "3",
            "-2 mV ± 3.0 mV (-5.0 to 1.0 mV)",
        ),
        ("voltage", "0.000", "0.5", "", "0.000 V"),
        (
            "voltage",
            "0.000",
            "0.5",
            "1",
            "0.000 V ± 0.0010 V (-0.0010 to 0.0010 V)",
        ),
        (
            "temperature",
            "41.5",
            "1",
            "0",
            "41.5 °C ± 0.42 °C (41.08 to 41.92 °C)",
        ),
        ("frequency", "32768", "", "", "32.768 kHz"),
        ("time", "1500", "", "", "1500 s"),
        (
            "other",
            "1.05 bar",
            "",
            "2",
            "1.05 bar ± 0.020 bar (1.030 to 1.070 bar)",
        ),
        ("other", "7", "", "", "7"),
        ("voltage", "3.3 xy", "0.5", "2", "3.3 xy"),
        ("voltage", "3.3", "much", "-2", "3.3 V"),
        ("voltage", "", "0.5", "2", ""),
    ] {
        assert_eq!(told(quantity, text, percent, counts), words, "{text}");
    }
}

#[test]
fn numbers_of_a_data_sheet_are_read() {
    for (text, value) in [
        ("0.8", Some(0.8)),
        ("0,8 %", Some(0.8)),
        ("±0.8%", Some(0.8)),
        ("+ 3", Some(3.0)),
        ("3 digits", Some(3.0)),
        ("5dgt", Some(5.0)),
        ("", None),
        ("-3", None),
        ("3 V", None),
        ("0.8 + 3", None),
        ("four", None),
        ("1.234,5", None),
    ] {
        assert_eq!(plain(text), value, "{text}");
    }
    let value = number("1", "voltage");
    assert_eq!(spread(&value, None, None), None);
    assert_eq!(spread(&value, Some(-1.0), None), None);
    assert_eq!(spread(&value, Some(f64::NAN), None), None);
    assert_eq!(spread(&value, Some(f64::INFINITY), None), None);
}

#[test]
fn every_quantity_has_its_unit() {
    let units: Vec<&str> = QUANTITIES.iter().map(|(q, _)| unit(q)).collect();
    assert_eq!(
        units,
        ["Ω", "V", "V", "A", "F", "Ω", "H", "Hz", "s", "°C", ""]
    );
    assert_eq!(unit("a newer one"), "");
}

const WITH: [(&str, &[&str]); 11] = [
    ("resistance", &["", "m", "k", "M", " Ω", " MΩ", " µΩ"]),
    ("voltage", &["", "m", " kV", " µV"]),
    ("diode", &["", " mV"]),
    ("current", &["", "u", " mA", " nA"]),
    ("capacitance", &["", "p", "n", "u", " mF"]),
    ("esr", &["", "m", " Ω"]),
    ("inductance", &["", "n", "µ", " mH"]),
    ("frequency", &["", "k", "M", " GHz"]),
    ("time", &["", "m", " µs", " ns"]),
    ("temperature", &["", " °C"]),
    ("other", &["", " bar"]),
];

proptest! {
    /// Shown and read again, a value is the same to the last bit, and so is what
    /// its last digit is worth.
    #[test]
    fn what_is_shown_reads_as_the_same(
        of in 0..WITH.len(),
        with in 0..8_usize,
        minus: bool,
        whole in prop_oneof![Just(0), 0..1_000_000_u32],
        part in "0{0,5}[0-9]{0,3}",
        comma: bool,
    ) {
        let (quantity, list) = WITH[of];
        let text = format!(
            "{}{whole}{}{part}{}",
            if minus { "-" } else { "" },
            if part.is_empty() { "" } else if comma { "," } else { "." },
            list[with % list.len()],
        );
        let value = number(&text, quantity);
        let again = number(&value.show(), quantity);
        prop_assert_eq!(value.number, again.number, "{} -> {}", text, value.show());
        prop_assert_eq!(value.last_digit, again.last_digit, "{} -> {}", text, value.show());
        prop_assert_eq!(&value.unit, &again.unit);
        let third = again.show();
        prop_assert_eq!(value.show(), third);
    }

    /// The range holds the true limits, and is at most two steps wider.
    #[test]
    fn the_range_told_holds_the_limits(
        digits in 0..10_000_u32, places in 0..5_usize, percent in 0..500_u32, counts in 0..60_u32,
    ) {
        prop_assume!(percent + counts > 0);
        let reading = f64::from(digits) / 10_f64.powi(places as i32);
        let text = format!("{reading:.places$} foo");
        let said = told("other", &text, &format!("{}", f64::from(percent) / 100.0), &counts.to_string());
        let Some((_, range)) = said.split_once('(') else {
            prop_assert!(digits == 0 && counts == 0, "{}", said);
            return Ok(());
        };
        let (low, high) = range.trim_end_matches(" foo)").split_once(" to ").unwrap();
        let (low, high): (f64, f64) = (low.parse().unwrap(), high.parse().unwrap());
        let half = reading * f64::from(percent) / 1e4 + f64::from(counts) / 10_f64.powi(places as i32);
        prop_assert!(low <= reading - half + half * 1e-6, "{}", said);
        prop_assert!(high >= reading + half - half * 1e-6, "{}", said);
        prop_assert!(high - low <= 2.0 * half * 1.21 + 1e-12, "{}", said);
    }

    #[test]
    fn any_text_is_read_or_refused_in_words(
        text in "\\PC{0,70}", of in 0..11_usize, percent in "\\PC{0,12}", counts in "\\PC{0,12}",
    ) {
        let quantity = QUANTITIES[of].0;
        if let Err(said) = parse(&text, quantity) {
            prop_assert!(said.ends_with('.'));
        }
        let _ = told(quantity, &text, &percent, &counts);
        let _ = advice(quantity, &text, &percent, &counts);
    }

    #[test]
    fn anything_like_a_value_is_read_or_refused(text in "[-+0-9.,'eERkKmMuµnpGLΩV°C F%]{0,14}", of in 0..11_usize) {
        let quantity = QUANTITIES[of].0;
        let _ = parse(&text, quantity);
        let _ = told(quantity, &text, &text, &text);
    }
}

/// JCGM 100:2008, H.2: resistance, reactance and impedance from five sets of
/// voltage, current and phase, read together. Readings and the means' standard
/// uncertainties as in `references.md` j3 (checked there against a public source
/// file); the printed results are from memory.
#[test]
fn correlated_readings_as_in_the_guide() {
    let sets = [
        [5.007, 4.994, 5.005, 4.990, 4.999],
        [0.019_663, 0.019_639, 0.019_640, 0.019_685, 0.019_678],
        [1.0456, 1.0438, 1.0468, 1.0428, 1.0433],
    ];
    let mean = sets.map(|s| s.iter().sum::<f64>() / 5.0);
    let covariance = |a: usize, b: usize| {
        let both = sets[a].iter().zip(sets[b]);
        both.map(|(x, y)| (x - mean[a]) * (y - mean[b]))
            .sum::<f64>()
            / 20.0
    };
    let u = [0, 1, 2].map(|i| covariance(i, i).sqrt());
    let near = |a: f64, b: f64, by: f64| assert!((a - b).abs() < by, "{a} {b}");
    for (own, said) in u
        .iter()
        .zip([0.003_209_36, 0.000_009_471_01, 0.000_752_064])
    {
        near(own / said, 1.0, 1e-5);
    }
    let r = |i: usize, j: usize| covariance(i, j) / (u[i] * u[j]);
    near(r(0, 1), -0.355_311, 1e-6);
    near(r(0, 2), 0.857_624, 1e-6);
    near(r(1, 2), -0.645_111, 1e-6);
    let [v, i, phi] = mean;
    let z = v / i;
    // How each result moves with V, I and the phase.
    let results = [
        (
            "R",
            z * phi.cos(),
            [phi.cos() / i, -z * phi.cos() / i, -z * phi.sin()],
            127.732_170,
            0.071_071,
        ),
        (
            "X",
            z * phi.sin(),
            [phi.sin() / i, -z * phi.sin() / i, z * phi.cos()],
            219.846_512,
            0.295_582,
        ),
        ("Z", z, [1.0 / i, -z / i, 0.0], 254.259_702, 0.236_336),
    ];
    for (name, value, moves, said, uncertainty) in results {
        near(value, said, 1e-6);
        let inputs = [0, 1, 2].map(|n| (moves[n], u[n]));
        let own = combined(&inputs, r);
        assert!((own - uncertainty).abs() < 1e-6, "{name}: {own}");
        // The trap of j3: without the correlation R is 2.7 times too uncertain.
        let without = combined(&inputs, |_, _| 0.0);
        match name {
            "R" => near(without, 0.1945, 5e-5),
            "X" => near(without, 0.2009, 5e-5),
            _ => {}
        }
    }
}

/// `references.md` j1, last line: R = V / I from two meters that know nothing of
/// each other.
#[test]
fn independent_readings() {
    let root = 3.0_f64.sqrt();
    let (v, i) = (5.0, 0.1);
    let uv = (5.0 * 0.005 + 0.02) / root;
    let ui = (0.1 * 0.01 + 3.0 * 0.0001) / root;
    let u = combined(&[(1.0 / i, uv), (-v / (i * i), ui)], |_, _| 0.0);
    assert!((u - 0.456_435).abs() < 1e-6, "{u}");
}

fn ohms<'a>(value: &'a str, leads: &'a str) -> Typing<'a> {
    Typing {
        quantity: "resistance",
        value,
        percent: "0.8",
        counts: "3",
        leads,
    }
}

/// A resistance less the leads: by hand. The per cent of both readings are one
/// meter's and go off together; the digits and the contact do not.
#[test]
fn a_resistance_less_the_leads() {
    let meant = |value, leads| ohms(value, leads).meant().unwrap().unwrap();
    let own = meant("0.70", "0.30");
    assert!((own.number - 0.40).abs() < 1e-12);
    let (a, b) = (0.0056 + 0.03, 0.0024 + 0.03);
    let variance = (a * a + b * b - 2.0 * 0.0056 * 0.0024) / 3.0 + 0.03 * 0.03;
    assert!(
        (own.half - (3.0_f64 * variance).sqrt()).abs() < 1e-9,
        "{own:?}"
    );
    let words = ohms("0.70", "0.30").told();
    assert!(
        words.ends_with(", tips together 0.30 \u{3A9}: 0.40 \u{3A9} \u{B1} 0.071 \u{3A9}"),
        "{words}"
    );
    // One meter in one range: 0.3 is 0.30, written short.
    assert_eq!(meant("0.70", "0.3"), own);
    // Not known: 0 to 0.5 ohm of it may be the leads.
    let open = meant("0.70", "");
    assert!((open.number - 0.45).abs() < 1e-12);
    assert!(open.half > 0.25 && open.half < 0.27, "{open:?}");
    // On a large one nobody sees them.
    let large = meant("1000", "");
    assert!(
        (large.number / 1000.0 - 1.0).abs() < 3e-4 && large.half < 12.0,
        "{large:?}"
    );
    // Only of resistances.
    let volts = Typing {
        quantity: "voltage",
        ..ohms("0.70", "0.30")
    };
    assert_eq!(volts.meant().unwrap().unwrap().number, 0.70);
    assert_eq!(ohms("OL", "0.3").meant(), Ok(None));
    for (value, leads) in [
        ("0.1", "0.9"),
        ("0.7", "OL"),
        ("0.7", "x"),
        ("0.7", "-0.1"),
        ("x", ""),
    ] {
        let said = ohms(value, leads).meant();
        assert!(
            said.as_ref().is_err_and(|e| e.len() > 10),
            "{value} {leads}: {said:?}"
        );
        let _ = ohms(value, leads).told();
    }
}
