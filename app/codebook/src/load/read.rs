//! The typed model from a document that the schema has already found right.
//!
//! serde's derived code does the same in five times the space: it also reads
//! arrays in place of objects, keeps track of errors that the schema check has
//! already excluded, and is compiled once for each type and caller. That was a
//! tenth of the program. A test keeps the two equal; a field that is forgotten
//! here does not compile.

use crate::model::{
    BenchCheck, Board, BoardMeaning, ByteHeader, ByteLayout, Cause, Caution, Check, CheckKind,
    CheckResult, CodeBook, CodeMeaning, CodePart, Encoding, Endian, Field, Flag, Head, HeadMeans,
    Header, Layout, LengthOf, Link, Listing, Mark, Measure, OrderBy, OrderRule, Over, Pad, Part,
    PartValue, Rail, ReadAs, Repair, Seen, ServicePort, Shows, Source, Step, Symptom, TextLayout,
    TimeRule, Width, Window, Word, Zone,
};
use serde_json::Value;
use std::collections::BTreeMap;

/// A type that can be read from a checked value. What is missing or, against
/// the schema, of another kind gives the default.
pub(super) trait Read: Sized {
    /// Reads it; `None` stands for a key that is not there.
    fn read(value: Option<&Value>) -> Self;
}

macro_rules! plain {
    ($($type:ty: $get:expr;)*) => {
        $(impl Read for $type {
            fn read(value: Option<&Value>) -> Self {
                value.and_then($get).unwrap_or_default()
            }
        })*
    };
}

plain! {
    String: |v| v.as_str().map(str::to_owned);
    bool: Value::as_bool;
    u8: |v| v.as_u64()?.try_into().ok();
    u32: |v| v.as_u64()?.try_into().ok();
    u64: Value::as_u64;
    i64: Value::as_i64;
    f64: Value::as_f64;
}

impl<T: Read> Read for Option<T> {
    fn read(value: Option<&Value>) -> Self {
        value.filter(|v| !v.is_null()).map(|v| T::read(Some(v)))
    }
}

impl<T: Read> Read for Vec<T> {
    fn read(value: Option<&Value>) -> Self {
        let list = value
            .and_then(Value::as_array)
            .map_or(&[][..], Vec::as_slice);
        let mut out = Self::with_capacity(list.len());
        for v in list {
            out.push(T::read(Some(v)));
        }
        out
    }
}

impl<T: Read> Read for BTreeMap<String, T> {
    fn read(value: Option<&Value>) -> Self {
        let mut out = Self::new();
        for (k, v) in value.and_then(Value::as_object).into_iter().flatten() {
            out.insert(k.clone(), T::read(Some(v)));
        }
        out
    }
}

impl<T: Read> Read for [T; 2] {
    fn read(value: Option<&Value>) -> Self {
        let at = |i: usize| T::read(value.and_then(|v| v.get(i)));
        [at(0), at(1)]
    }
}

macro_rules! object {
    ($type:ident { $($field:ident $(as $key:literal)?),* $(,)? }) => {
        impl Read for $type {
            fn read(value: Option<&Value>) -> Self {
                let get = |key: &str| value.and_then(|v| v.get(key));
                Self { $($field: Read::read(get(object!(@key $field $($key)?)))),* }
            }
        }
    };
    (@key $field:ident) => { stringify!($field) };
    (@key $field:ident $key:literal) => { $key };
}

macro_rules! words {
    ($type:ident { $first:ident: $word:literal $(, $other:ident: $key:literal)* $(,)? }) => {
        impl Read for $type {
            fn read(value: Option<&Value>) -> Self {
                match value.and_then(Value::as_str) {
                    $(Some($key) => Self::$other,)*
                    _ => Self::$first,
                }
            }
        }
    };
}

object! { CodeBook { format, id, version, name, maker, family, licence, sources, about, layouts, codes, code_parts, steps, rails, boards, service_port, symptoms, causes, unlisted, checks, repairs, cautions } }
object! { Source { title, note } }
object! { CodeMeaning { code, title, meaning, not_proof, step, rails, parts, layouts, boards, source } }
object! { BoardMeaning { title, meaning, not_proof, parts } }
object! { CodePart { name, from, to, values, layouts } }
object! { PartValue { is, means } }
object! { Step { id, name, about, rails, parts, source } }
object! { Rail { id, name, volts, at, source } }
object! { Board { id, name, tell, about, port_note, source } }
object! { ServicePort { pads, logic_volts, baud, framing, supply, notes } }
object! { Pad { id, is, note } }
object! { Symptom { id, title, about, source } }
object! { Cause { id, title, about, parts, codes, steps, symptoms, boards, seen, links, repairs, source } }
object! { Seen { cases, of, source } }
object! { Link { kind, name, often } }
object! { BenchCheck { id, title, how, minutes, money, risk, tells, causes, measure, results, only, reaches, source } }
object! { Measure { quantity, place, range, low, high, boards } }
object! { Window { place, low, high } }
object! { CheckResult { id, says, when, shows, anyway } }
object! { Shows { cause, often } }
object! { Repair { id, title, about, difficulty, minutes, money, risk, heat, mends, hazards, source } }
object! { Caution { id, text, source } }
object! { Over { bytes, fields, text, read_as as "as" } }
object! { Field { field, label, encoding as "as", width, at, size, bits, endian, signed, scale, offset, unit, words, alphabet, flags, pattern, time, modulus, equals, missing, length_of, join } }
object! { Word { text, value, means } }
object! { Flag { bit, name } }
object! { TimeRule { epoch, unit_seconds, zone, absent, not_set, not_set_below, not_set_before } }
object! { LengthOf { fields, plus } }
object! { TextLayout { id, name, line, derived, check, empty, empty_when, headers, order, example } }
object! { ByteLayout { id, name, length, fields, derived, check, empty_byte, empty_when, header, headers, order, example } }
object! { Header { id, line, starts } }
object! { ByteHeader { id, length, fields } }
object! { OrderRule { by, field, size, first, head, mark, listing } }
object! { Head { field, means } }
object! { Mark { field, is, means } }

words! { CheckKind { Sum: "sum", Xor: "xor", TwosComplementSum: "twos_complement_sum", OnesComplementSum: "ones_complement_sum", WeightedSum: "weighted_sum", Crc: "crc" } }
words! { ReadAs { Bytes: "bytes", Ascii: "ascii", Digits: "digits" } }
words! { Encoding { Hex: "hex", Decimal: "decimal", Bcd: "bcd", Word: "word", Digits: "digits", Date: "date", Text: "text" } }
words! { Endian { Big: "big", Little: "little" } }
words! { Zone { Utc: "utc", Local: "local" } }
words! { OrderBy { Ring: "ring", Sequence: "sequence", Time: "time", Listing: "listing" } }
words! { HeadMeans { Newest: "newest", Next: "next", Oldest: "oldest" } }
words! { Listing { OldestFirst: "oldest-first", NewestFirst: "newest-first" } }

impl Read for Check {
    fn read(value: Option<&Value>) -> Self {
        let get = |key: &str| value.and_then(|v| v.get(key));
        Self {
            field: Read::read(get("field")),
            kind: Read::read(get("kind")),
            over: Read::read(get("over")),
            bits: get("bits").map_or(8, |v| Read::read(Some(v))),
            seed: Read::read(get("seed")),
            weights: Read::read(get("weights")),
            modulus: Read::read(get("modulus")),
            poly: Read::read(get("poly")),
            init: Read::read(get("init")),
            reflect_in: Read::read(get("reflect_in")),
            reflect_out: Read::read(get("reflect_out")),
            xorout: Read::read(get("xorout")),
        }
    }
}

impl Read for Width {
    fn read(value: Option<&Value>) -> Self {
        match value {
            Some(list @ Value::Array(_)) => Self::Range(Read::read(Some(list))),
            other => Self::Exact(Read::read(other)),
        }
    }
}

impl Read for Layout {
    fn read(value: Option<&Value>) -> Self {
        match value.and_then(|v| v.get("kind")).and_then(Value::as_str) {
            Some("bytes") => Self::Bytes(Read::read(value)),
            _ => Self::Text(Read::read(value)),
        }
    }
}

impl Read for Part {
    fn read(value: Option<&Value>) -> Self {
        match value {
            Some(Value::String(text)) => Self::Text(text.clone()),
            Some(Value::Object(map)) if map.contains_key("optional") => Self::Optional {
                optional: Read::read(map.get("optional")),
            },
            other => Self::Field(Read::read(other)),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// serde's derived code is the measure. Every example, demo book and test
    /// book of the tree is read both ways.
    #[test]
    fn reads_what_serde_reads() {
        let root = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("../..");
        let mut books = 0;
        for folder in ["public/books", "app/reading/tests/standards"] {
            for entry in std::fs::read_dir(root.join(folder)).unwrap() {
                let path = entry.unwrap().path();
                let text = std::fs::read_to_string(&path).unwrap_or_default();
                let Ok(value) = serde_json::from_str::<Value>(&text) else {
                    continue;
                };
                if value.get("layouts").is_none() {
                    continue;
                }
                let ours = CodeBook::read(Some(&value));
                let serdes: CodeBook = serde_json::from_value(value).unwrap();
                assert_eq!(ours, serdes, "{}", path.display());
                books += 1;
            }
        }
        assert!(books >= 9, "only {books} books found");
    }

    /// The book that the other tests take apart.
    #[test]
    fn reads_the_test_book() {
        let text = include_str!("../../tests/good-book.json");
        let value: Value = serde_json::from_str(text).unwrap();
        let serdes: CodeBook = serde_json::from_value(value.clone()).unwrap();
        assert_eq!(CodeBook::read(Some(&value)), serdes);
    }
}
