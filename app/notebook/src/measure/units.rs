//! Prefixes and units: what is read, what can't be meant, and what to say then.

use super::{QUANTITIES, unit};
use crate::timeline::cat;

/// The power of ten a letter stands for that takes the place of the mark.
pub(super) fn prefix_of(letter: char, quantity: &str) -> Result<i32, String> {
    let ohms = matches!(quantity, "resistance" | "esr");
    match letter {
        'R' | 'r' | '\u{3A9}' if ohms => Ok(0),
        'L' if ohms => Ok(-3),
        c if c.eq_ignore_ascii_case(&unit(quantity).chars().next().unwrap_or(' ')) => Ok(0),
        c => prefix(c, quantity),
    }
}

/// What a prefix stands for, where it makes sense on a bench.
fn prefix(c: char, quantity: &str) -> Result<i32, String> {
    let (power, name) = match c {
        'p' | 'P' => (-12, "pico"),
        'n' | 'N' => (-9, "nano"),
        '\u{B5}' | 'u' | 'U' => (-6, "micro"),
        'm' => (-3, "milli"),
        'k' | 'K' => (3, "kilo"),
        'M' => (6, "mega"),
        'G' => (9, "giga"),
        _ => return Err(cant_read(&c.to_string())),
    };
    let range = match quantity {
        "resistance" => -9..=9,
        "esr" => -6..=3,
        "voltage" | "diode" | "current" => -12..=3,
        "capacitance" | "inductance" => -12..=-3,
        "time" => -12..=0,
        "frequency" => 0..=9,
        _ => 0..=0,
    };
    if range.contains(&power) {
        return Ok(power);
    }
    let instead = match (c, quantity) {
        (_, "temperature") => "Write the degrees alone, such as 41.5.",
        ('M', _) => "For milli write m, for micro write u.",
        ('m', _) => "For mega write M.",
        _ => "Write the value with another prefix.",
    };
    Err(cat(&[
        "\u{201c}",
        c.encode_utf8(&mut [0; 4]),
        "\u{201d} is read as ",
        name,
        ", which can't be meant here. ",
        instead,
    ]))
}

/// Prefix and unit behind a number.
pub(super) fn suffix(text: &str, rest: &str, quantity: &str) -> Result<i32, String> {
    if rest.is_empty() || is_unit(rest, quantity) {
        return Ok(0);
    }
    let mut chars = rest.chars();
    let first = chars.next().unwrap_or(' ');
    let behind = chars.as_str().trim_start();
    let fits = behind.is_empty() || is_unit(behind, quantity);
    if fits
        && (matches!(first, 'p' | 'P' | 'n' | 'N' | '\u{B5}' | 'u' | 'U' | 'm')
            || matches!(first, 'k' | 'K' | 'M' | 'G') && quantity != "temperature")
    {
        return prefix(first, quantity);
    }
    Err(not_a_unit(text, rest, quantity))
}

const UNITS: &[(&str, &[&str])] = &[
    ("resistance", &["\u{3A9}", "\u{3C9}", "ohm", "ohms", "r"]),
    ("esr", &["\u{3A9}", "\u{3C9}", "ohm", "ohms", "r"]),
    ("voltage", &["v", "volt", "volts", "vdc", "vac"]),
    ("diode", &["v", "volt", "volts"]),
    ("current", &["a", "amp", "amps", "ampere"]),
    ("capacitance", &["f", "farad"]),
    ("inductance", &["h", "henry"]),
    ("frequency", &["hz", "hertz"]),
    ("time", &["s", "sec", "second", "seconds"]),
    (
        "temperature",
        &["\u{B0}c", "\u{B0} c", "c", "\u{B0}", "\u{2103}"],
    ),
];

pub(super) fn is_unit(text: &str, quantity: &str) -> bool {
    UNITS
        .iter()
        .any(|(q, names)| *q == quantity && names.iter().any(|n| n.eq_ignore_ascii_case(text)))
}

/// The quantity that a prefix and unit belong to.
fn quantity_of(rest: &str) -> Option<&'static str> {
    let mut chars = rest.chars();
    let first = chars.next()?;
    let behind = chars.as_str().trim_start();
    let prefixed = matches!(
        first,
        'p' | 'n' | '\u{B5}' | 'u' | 'm' | 'k' | 'K' | 'M' | 'G'
    );
    UNITS.iter().map(|(q, _)| *q).find(|q| {
        (is_unit(rest, q) && rest != "r") || (prefixed && is_unit(behind, q) && behind != "r")
    })
}

pub(super) fn not_a_unit(text: &str, rest: &str, quantity: &str) -> String {
    let number = text
        .get(..text.len() - rest.len())
        .unwrap_or(text)
        .trim_end();
    let title = |q: &str| {
        QUANTITIES
            .iter()
            .find(|(name, _)| *name == q)
            .map_or("", |(_, title)| title)
    };
    if let Some(other) = quantity_of(rest) {
        return cat(&[
            "\u{201c}",
            rest,
            "\u{201d} is a unit of another quantity. Choose \u{201c}",
            title(other),
            "\u{201d} as what is measured, or write the value in ",
            unit(quantity),
            ".",
        ]);
    }
    if quantity == "temperature" && matches!(rest, "\u{B0}F" | "F" | "K" | "k") {
        return "Temperatures are kept in \u{B0}C. From \u{B0}F take away 32, then times 5, divided by 9. From K take away 273.15.".to_owned();
    }
    cat(&[
        "After ",
        number,
        " stands \u{201c}",
        rest,
        "\u{201d}, which can't be read. Write ",
        number,
        " ",
        unit(quantity),
        ".",
    ])
}

pub(super) fn cant_read(what: &str) -> String {
    cat(&[
        "\u{201c}",
        what,
        "\u{201d} can't be read. Write the number and its unit only, such as 4.7k.",
    ])
}
