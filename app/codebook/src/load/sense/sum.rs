//! Checks check rules: the field, the parameters and what is covered.

use crate::checksum::hex;
use crate::model::{Check, CheckKind, Encoding, Field, Layout, Width};
use crate::problem::{Findings, key, place};
use std::collections::{BTreeMap, BTreeSet};

/// Lists what is wrong with a check rule.
pub(super) fn check(
    rule: &Check,
    layout: &Layout,
    known: &BTreeMap<&str, &Field>,
    path: &str,
    found: &mut Findings,
) {
    let in_log: BTreeSet<&str> = layout.fields().iter().map(|f| f.field.as_str()).collect();
    super::names::refer(
        &key(path, "field"),
        &rule.field,
        &in_log,
        "the fields",
        found,
    );
    if rule.kind == CheckKind::Crc {
        crc(rule, path, found);
    } else {
        if !matches!(rule.bits, 8 | 16 | 32) {
            found.problem(
                key(path, "bits"),
                "must be 8, 16 or 32",
                "for another range give a `modulus`",
            );
        }
        for (name, text) in [
            ("poly", &rule.poly),
            ("init", &rule.init),
            ("xorout", &rule.xorout),
        ] {
            if !text.is_empty() {
                found.problem(
                    key(path, name),
                    "is for `crc` only",
                    "change `kind`, or take it out",
                );
            }
        }
    }
    if rule.modulus == 1 {
        found.problem(
            key(path, "modulus"),
            "must not be 1",
            "every sum would be 0",
        );
    }
    if rule.modulus > 0 && matches!(rule.kind, CheckKind::Crc | CheckKind::Xor) {
        found.problem(key(path, "modulus"), "is for sums only", "take it out");
    }
    over(rule, layout, &in_log, &key(path, "over"), found);
    if let Some(field) = known.get(rule.field.as_str()) {
        room(rule, field, layout, path, found);
    }
}

fn crc(rule: &Check, path: &str, found: &mut Findings) {
    if !(3..=64).contains(&rule.bits) {
        found.problem(key(path, "bits"), "must be 3 to 64", "the width of the CRC");
    }
    if rule.poly.is_empty() {
        found.problem(
            key(path, "poly"),
            "is missing",
            "the polynomial in hex, highest power left out, such as `07`",
        );
    }
    for (name, text) in [
        ("poly", &rule.poly),
        ("init", &rule.init),
        ("xorout", &rule.xorout),
    ] {
        match hex(text) {
            None => found.problem(key(path, name), "is no hex number", "such as `FF`"),
            Some(n) if rule.bits < 64 && n >> rule.bits != 0 => {
                found.problem(
                    key(path, name),
                    format!("does not fit in {} bits", rule.bits),
                    "is `bits` right?",
                );
            }
            Some(0) if name == "poly" && !text.is_empty() => {
                found.problem(key(path, name), "must not be 0", "the polynomial in hex");
            }
            Some(_) => {}
        }
    }
}

fn over(rule: &Check, layout: &Layout, in_log: &BTreeSet<&str>, path: &str, found: &mut Findings) {
    let over = &rule.over;
    let kinds = [
        over.bytes.is_some(),
        !over.fields.is_empty(),
        over.text.is_some(),
    ];
    if kinds.iter().filter(|k| **k).count() != 1 {
        found.problem(
            path,
            "must have exactly one of `bytes`, `fields` and `text`",
            "say what is summed",
        );
    }
    match layout {
        Layout::Bytes(record) => {
            if let Some([first, count]) = over.bytes
                && (count == 0 || u64::from(first) + u64::from(count) > u64::from(record.length))
            {
                found.problem(
                    key(path, "bytes"),
                    format!("must lie inside the record of {} bytes", record.length),
                    "first byte, counted from 0, and number of bytes",
                );
            }
            for (name, given) in [
                ("fields", !over.fields.is_empty()),
                ("text", over.text.is_some()),
            ] {
                if given {
                    found.problem(
                        key(path, name),
                        "is for lines of text",
                        "byte records have `bytes`",
                    );
                }
            }
        }
        Layout::Text(_) => {
            if over.bytes.is_some() {
                found.problem(
                    key(path, "bytes"),
                    "is for byte records",
                    "lines have `fields` or `text`",
                );
            }
        }
    }
    super::names::refer_all(
        &key(path, "fields"),
        &over.fields,
        in_log,
        "the fields",
        found,
    );
    let mut seen = BTreeSet::new();
    for (i, name) in over.fields.iter().enumerate() {
        let path = place(&key(path, "fields"), i);
        if *name == rule.field {
            found.problem(
                path,
                "is the check field itself",
                "a check can't cover itself",
            );
        } else if !seen.insert(name) {
            found.problem(path, format!("`{name}` is there twice"), "");
        }
    }
    if let Some(ends) = &over.text {
        stretch(rule, layout, ends, in_log, &key(path, "text"), found);
    }
}

fn stretch(
    rule: &Check,
    layout: &Layout,
    ends: &[String; 2],
    in_log: &BTreeSet<&str>,
    path: &str,
    found: &mut Findings,
) {
    super::names::refer_all(path, ends, in_log, "the fields", found);
    let fields = layout.fields();
    let at = |name: &str| fields.iter().position(|f| f.field == name);
    let [first, last] = ends;
    if let (Some(first), Some(last)) = (at(first), at(last)) {
        if first > last {
            found.problem(
                path,
                "is the wrong way round",
                "the first field of the line comes first",
            );
        } else if at(&rule.field).is_some_and(|own| (first..=last).contains(&own)) {
            found.problem(
                path,
                "covers the check field itself",
                "end before it, or begin behind it",
            );
        }
    }
}

/// Lists a check field that is too small for its value.
fn room(rule: &Check, field: &Field, layout: &Layout, path: &str, found: &mut Findings) {
    let values: u128 = match (rule.modulus, rule.bits) {
        (0, bits) => 1 << bits.min(64),
        (m, _) => u128::from(m),
    };
    let width = match field.width {
        Some(Width::Exact(n) | Width::Range([_, n])) => n,
        None => return,
    };
    let base: u128 = match (layout, field.encoding) {
        (Layout::Text(_), Encoding::Hex) => 16,
        (Layout::Text(_), Encoding::Decimal) => 10,
        (Layout::Text(_), Encoding::Digits) => field.alphabet.len() as u128,
        _ => return,
    };
    if base.checked_pow(width).is_some_and(|room| room < values) {
        found.problem(
            key(path, "field"),
            format!("`{}` has no room for {values} different values", rule.field),
            "are its `width` and the check's `bits` or `modulus` right?",
        );
    }
}
