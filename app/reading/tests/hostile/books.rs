//! Books made to be slow, large or out of range, and pastes to go with them.
//! Shared by the test and the bench of hostile books.

#![allow(
    dead_code,
    clippy::unwrap_used,
    clippy::panic,
    reason = "tests may panic"
)]

use serde_json::{Value, json};

/// A book of these layouts.
pub fn book(layouts: Vec<Value>) -> Value {
    json!({"format": 1, "id": "hostile", "version": "1", "name": "hostile", "licence": "x", "layouts": layouts})
}

fn text(id: usize, line: Vec<Value>) -> Value {
    json!({"kind": "text", "id": format!("l-{id}"), "name": "x", "line": line})
}

fn hex(name: &str, low: u32, high: u32) -> Value {
    json!({"field": name, "width": [low, high]})
}

fn many(layout: impl Fn(usize) -> Value) -> Value {
    book((0..32).map(layout).collect())
}

/// Names and books, as large as loading allows.
pub fn all() -> Vec<(&'static str, Value)> {
    let fields = |n: usize, low, high| -> Vec<Value> {
        (0..n).map(|i| hex(&format!("f{i}"), low, high)).collect()
    };
    let gaps = |n: usize| -> Vec<Value> {
        (0..n)
            .flat_map(|i| [hex(&format!("f{i}"), 1, 1024), " ".into()])
            .collect()
    };
    let optional = |inner: &[Value]| json!({"optional": inner});
    vec![
        // Side by side, each of any width: as many ways as there are cuts.
        ("elastic", many(|i| text(i, fields(64, 1, 1024)))),
        (
            "elastic, none",
            many(|i| {
                text(
                    i,
                    fields(63, 0, 1024)
                        .into_iter()
                        .chain(["end".into()])
                        .collect(),
                )
            }),
        ),
        ("gaps", many(|i| text(i, gaps(32)))),
        (
            "optional",
            many(|i| {
                let f = fields(57, 1, 64);
                let mut line: Vec<Value> = f.chunks(19).map(optional).collect();
                line.push("-".into());
                line.push(hex("last", 1, 64));
                text(i, line)
            }),
        ),
        (
            "words",
            many(|i| {
                let words: Vec<Value> = (0..MOST_WORDS)
                    .map(|w| json!({"text": format!("word{w:04}x"), "value": w}))
                    .collect();
                text(
                    i,
                    vec![
                        json!({"field": "group", "as": "word", "words": words}),
                        " ".into(),
                        json!({"field": "again", "as": "word", "words": words}),
                    ],
                )
            }),
        ),
        (
            "long words",
            many(|i| {
                let words: Vec<Value> = (0..MOST_WORDS)
                    .map(|w| json!({"text": "a".repeat(30) + &w.to_string(), "value": w}))
                    .collect();
                text(
                    i,
                    vec![
                        json!({"field": "group", "as": "word", "words": words}),
                        " ".into(),
                        hex("code", 4, 4),
                    ],
                )
            }),
        ),
        (
            "specials",
            many(|i| {
                let absent: Vec<Value> = (0..MOST_VALUES)
                    .map(|v| ("-".repeat(v % 40 + 1) + &" ".repeat(20) + "x").into())
                    .collect();
                let field = |n: &str| json!({"field": n, "width": 8, "missing": absent});
                text(
                    i,
                    vec![field("a"), " ".into(), field("b"), " ".into(), field("c")],
                )
            }),
        ),
        (
            "headers",
            many(|i| {
                let mut layout = text(i, vec![hex("code", 1, 4), " x".into()]);
                let headers: Vec<Value> = (0..MOST_LINES)
                    .map(|h| {
                        let mut line = fields(60, 1, 64);
                        line.push(format!("h{h}").into());
                        json!({"id": format!("h-{h}"), "line": line})
                    })
                    .collect();
                layout["headers"] = headers.clone().into();
                layout["empty"] = headers.iter().map(|h| h["line"].clone()).collect();
                layout
            }),
        ),
        (
            "free text",
            many(|i| {
                let mut line = Vec::new();
                for k in 0..31 {
                    line.push(json!({"field": format!("t{k}"), "as": "text"}));
                    line.push(" ".into());
                }
                line.push(hex("code", 1, 4));
                text(i, line)
            }),
        ),
        (
            "dates",
            many(|i| {
                let date = |n: usize| json!({"field": format!("d{n}"), "as": "date", "pattern": "YYYY-MM-DD hh:mm:ss - - - - - - "});
                let mut line = vec![hex("code", 1, 4)];
                line.extend((0..30).flat_map(|n| [" ".into(), date(n)]));
                text(i, line)
            }),
        ),
        (
            "derived",
            many(|i| {
                let mut layout = text(i, vec![hex("a", 1, 1024)]);
                let mut derived =
                    vec![json!({"field": "d0", "join": vec![json!({"field": "a"}); MOST_JOIN]})];
                for d in 1..MOST_DERIVED {
                    derived.push(json!({"field": format!("d{d}"), "join": vec![json!({"field": format!("d{}", d - 1)}); MOST_JOIN]}));
                }
                layout["derived"] = derived.into();
                layout
            }),
        ),
        (
            "records",
            many(|i| {
                let fields: Vec<Value> = (0..24)
                    .map(|k| json!({"field": format!("f{k}"), "at": k, "size": 8}))
                    .chain([json!({"field": "check", "at": 24, "size": 8})])
                    .collect();
                json!({"kind": "bytes", "id": format!("r-{i}"), "name": "x", "length": 32, "fields": fields,
                "check": {"field": "check", "kind": "crc", "bits": 64, "poly": "42F0E1EBA9EA3693", "over": {"bytes": [0, 32]}}})
            }),
        ),
        (
            "long records",
            book(
                (0..4)
                    .map(|i| {
                        let fields: Vec<Value> = (0..99)
                            .map(|k| json!({"field": format!("f{k}"), "at": k, "size": 8}))
                            .chain([json!({"field": "check", "at": 248, "size": 8})])
                            .collect();
                        json!({"kind": "bytes", "id": format!("r-{i}"), "name": "x", "length": 256, "fields": fields,
                        "check": {"field": "check", "kind": "crc", "bits": 64, "poly": "42F0E1EBA9EA3693", "over": {"bytes": [0, 256]}}})
                    })
                    .collect(),
            ),
        ),
        (
            "many fields",
            many(|i| {
                let flags: Vec<Value> = (0..16).map(|b| json!({"bit": b, "name": "ff"})).collect();
                let fields: Vec<Value> = (0..100)
                    .map(|k| json!({"field": format!("f{k}"), "at": 0, "size": 2, "flags": flags}))
                    .collect();
                json!({"kind": "bytes", "id": format!("r-{i}"), "name": "x", "length": 2, "fields": fields})
            }),
        ),
        ("rows", {
            let mut doc = book(vec![text(0, vec!["code ".into(), hex("code", 4, 4)])]);
            let long = "w ".repeat(400);
            doc["codes"] = (0..20_000)
                .map(|i| match i {
                    0..2000 => json!({"code": "????", "title": "x", "meaning": long}),
                    _ => json!({"code": format!("{:04X}", i * 3), "title": "x", "meaning": "y"}),
                })
                .collect();
            doc["code_parts"] = (0..16)
                .map(|_| json!({"name": "x", "from": 1, "to": 4, "values": [{"is": "????", "means": long}]}))
                .collect();
            doc["steps"] = (0..1000)
                .map(|i| json!({"id": format!("{i:04X}"), "name": "x", "about": long}))
                .collect();
            doc
        }),
        ("long rows", {
            let line = vec!["code ".into(), hex("code", 4, 4), " ".into(), hex("step", 4, 4)];
            let mut doc = book(vec![text(0, line)]);
            let long = "w ".repeat(4000);
            doc["codes"] = (0..100)
                .map(|_| json!({"code": "????", "title": long, "meaning": long, "not_proof": long}))
                .collect();
            doc
        }),
        (
            "small records",
            many(|i| {
                json!({"kind": "bytes", "id": format!("r-{i}"), "name": "x", "length": 2, "fields": [{"field": "code", "at": 0}, {"field": "check", "at": 1}],
                "check": {"field": "check", "kind": "sum", "bits": 8, "seed": i, "over": {"bytes": [0, 1]}}})
            }),
        ),
        (
            "out of range",
            book(vec![
                json!({"kind": "text", "id": "slots", "name": "x",
                "line": ["slot ", {"field": "slot", "width": [1, 20]}, " time ", {"field": "time", "width": [1, 16], "time": {"epoch": "9999-12-31T23:59:59Z", "unit_seconds": 1e300, "not_set_below": u64::MAX}},
                    " count ", {"field": "count", "as": "decimal", "width": [1, 20], "signed": true, "scale": 1e308, "offset": 1e308}, " n ", {"field": "n", "width": 16, "signed": true, "modulus": 2}],
                "order": {"by": "ring", "field": "slot", "size": u64::MAX, "first": u64::MAX, "mark": {"field": "slot", "is": "FFFFFFFFFFFFFFFF", "means": "next"}}}),
                json!({"kind": "text", "id": "seqs", "name": "x",
                "line": ["seq ", {"field": "seq", "width": [1, 20], "modulus": u64::MAX}, " time ", {"field": "time", "as": "decimal", "width": [1, 20], "time": {"epoch": "0000-01-01T00:00:00Z", "unit_seconds": 1e-300}}],
                "order": {"by": "sequence", "field": "seq"}}),
                json!({"kind": "text", "id": "dates", "name": "x",
                "line": ["on ", {"field": "time", "as": "date", "pattern": "YYYY-MM-DD hh:mm:ss", "time": {"epoch": "9999-12-31T23:59:59Z", "not_set_before": "9999-12-31T23:59:59Z"}}],
                "order": {"by": "time"}}),
                json!({"kind": "bytes", "id": "bytes", "name": "x", "length": 18, "fields": [
                {"field": "slot", "at": 0, "size": 8}, {"field": "code", "at": 8, "size": 8, "bits": [63, 0], "signed": true, "scale": -1e308},
                {"field": "len", "at": 16, "length_of": {"fields": ["slot"], "plus": i64::MIN}}, {"field": "check", "at": 17}],
                "check": {"field": "check", "kind": "weighted_sum", "bits": 8, "seed": u64::MAX, "weights": [u64::MAX], "over": {"bytes": [0, 18]}},
                "order": {"by": "ring", "field": "slot"}}),
            ]),
        ),
    ]
}

/// The limits of loading that these books go up to.
pub const MOST_WORDS: usize = 256;
/// Values that mean "nothing here".
pub const MOST_VALUES: usize = 64;
/// Headers, and ways to write an unused slot.
pub const MOST_LINES: usize = 16;
/// Parts of a joined field.
pub const MOST_JOIN: usize = 16;
/// Joined fields.
pub const MOST_DERIVED: usize = 16;

/// Names and pastes of about so many bytes.
pub fn pastes(bytes: usize) -> Vec<(&'static str, String)> {
    let fill = |part: &str| part.repeat(bytes / part.len() + 1);
    let mut sums = String::new();
    let mut n = 0_u32;
    while sums.len() < bytes {
        n = n.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
        sums += &format!("{:02X} ", n >> 24);
        if sums.len().is_multiple_of(48) {
            sums.push('\n');
        }
    }
    let mut codes = String::new();
    for n in 0..bytes / 15 {
        codes += &format!("code {:04X} {:04X}\n", n * 7 % 65536, n * 11 % 65536);
    }
    vec![
        ("codes", codes),
        ("one line of A", fill("A")),
        ("lines of A", fill(&("A".repeat(79) + "\n"))),
        ("A and blanks", fill(&("A ".repeat(39) + "\n"))),
        ("short lines", fill("AA 1\n")),
        ("blanks", fill(&("A".to_owned() + &" ".repeat(70) + "-\n"))),
        ("signs", fill(&("1 - ; : , . / ".repeat(6) + "\n"))),
        (
            "words",
            fill("word0001y word0002z aaaaaaaaaaaaaaaaaaaaaaaaaaaaaa1 AAAA\n"),
        ),
        ("slips", fill("OOll1IO0 S5B8G6 l0O1 Z2q9 5lot O7 c0de\n")),
        ("dump", sums),
        (
            "numbers",
            fill(
                "slot FFFFFFFFFFFFFFFF time FFFFFFFFFFFFFFFF count 18446744073709551615 n FFFFFFFFFFFFFFFF\nseq FFFFFFFFFFFFFFFF time 18446744073709551615\nseq FFFFFFFFFFFFFFFE time 0\non 9999-12-31 23:59:59\non 0000-00-00 00:00:00\nFFFFFFFFFFFFFFFF FFFFFFFFFFFFFFFF FFFF\n",
            ),
        ),
        (
            "bytes",
            fill(
                "FF FF FF FF FF FF FF FF FF FF FF FF FF FF FF FF FF FF\nFF FF FF FF FF FF FF FE 80 00 00 00 00 00 00 00 80 FF\n",
            ),
        ),
    ]
}
