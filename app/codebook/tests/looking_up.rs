//! Looking codes up: all rows that fit, the most specific first.

#![allow(
    clippy::unwrap_used,
    clippy::indexing_slicing,
    clippy::panic,
    reason = "tests may panic"
)]

use codebook::Book;
use serde_json::{Value, json};

fn book(codes: Value, parts: Value) -> Book {
    let mut doc: Value = serde_json::from_str(include_str!("good-book.json")).unwrap();
    doc["codes"] = codes;
    doc["code_parts"] = parts;
    Book::load(doc.to_string().as_bytes()).unwrap_or_else(|p| panic!("{p:?}"))
}

/// Titles of the rows that fit, in order.
#[track_caller]
fn check(codes: &Value, code: &str, layout: Option<&str>, expected: &[&str]) {
    let book = book(codes.clone(), json!([]));
    let titles: Vec<String> = book
        .lookup(code, layout, None)
        .into_iter()
        .map(|f| f.title)
        .collect();
    assert_eq!(titles, expected, "{code}");
    let least = book
        .lookup(code, layout, None)
        .iter()
        .map(|f| f.wildcards)
        .min();
    assert_eq!(book.knows(code, layout), least, "{code}");
}

#[test]
fn most_specific_first() {
    let codes = json!([
        {"code": "????", "title": "anything"},
        {"code": "4???", "title": "power"},
        {"code": "44D?", "title": "first of two"},
        {"code": "44?0", "title": "second of two"},
        {"code": "44D0", "title": "for all layouts"},
        {"code": "44D0", "title": "for the record", "layouts": ["record"]},
        {"code": "44D0", "title": "for the line", "layouts": ["line"]},
        {"code": "44D", "title": "shorter"}
    ]);
    check(
        &codes,
        "44D0",
        Some("line"),
        &[
            "for the line",
            "for all layouts",
            "first of two",
            "second of two",
            "power",
            "anything",
        ],
    );
    check(
        &codes,
        "44D0",
        Some("record"),
        &[
            "for the record",
            "for all layouts",
            "first of two",
            "second of two",
            "power",
            "anything",
        ],
    );
    check(
        &codes,
        "44d0",
        None,
        &[
            "for the record",
            "for the line",
            "for all layouts",
            "first of two",
            "second of two",
            "power",
            "anything",
        ],
    );
    check(
        &codes,
        "44D1",
        Some("line"),
        &["first of two", "power", "anything"],
    );
    check(&codes, "9999", Some("line"), &["anything"]);
    check(&codes, "44D", Some("line"), &["shorter"]);
    check(&codes, "44D00", Some("line"), &[]);
    check(&codes, "", Some("line"), &[]);
}

#[test]
fn words_and_other_letters() {
    let codes = json!([
        {"code": "AMBER ??", "title": "amber"},
        {"code": "GRÜN 1", "title": "green"},
        {"code": "GR?N 1", "title": "nearly"}
    ]);
    check(&codes, "amber 14", None, &["amber"]);
    check(&codes, "GRÜN 1", None, &["green", "nearly"]);
    check(&codes, "AMBER 1", None, &[]);
}

/// A `?` in a code that was read is a character like any other.
#[test]
fn a_question_mark_in_the_code_matches_only_itself() {
    let codes = json!([{"code": "4400", "title": "exact"}, {"code": "44??", "title": "wild"}]);
    check(&codes, "44??", None, &["wild"]);
    check(&codes, "4?00", None, &[]);
}

#[test]
fn board_wording_replaces_piece_by_piece() {
    let b = book(
        json!([{ "code": "44D0", "title": "t", "meaning": "m", "not_proof": "n", "parts": ["U7"],
            "step": "0A", "rails": ["V_CORE"], "source": "s",
            "boards": { "TB-1": { "title": "t1", "parts": [] } } }]),
        json!([]),
    );
    let plain = &b.lookup("44D0", None, None)[0];
    assert_eq!(
        (plain.title.as_str(), plain.from_board, plain.parts.len()),
        ("t", false, 1)
    );
    assert_eq!(b.lookup("44D0", None, Some("TB-2"))[0], *plain);
    let board = &b.lookup("44D0", None, Some("TB-1"))[0];
    assert_eq!(board.title, "t1");
    assert_eq!(board.meaning, "m");
    assert_eq!(board.not_proof, "n");
    assert!(board.parts.is_empty() && board.from_board);
    assert_eq!(
        (board.step.as_deref(), board.source.as_str()),
        (Some("0A"), "s")
    );
    assert_eq!(board.rails, ["V_CORE"]);
}

#[test]
fn parts_of_a_code() {
    let b = book(
        json!([]),
        json!([
            {"name": "subsystem", "from": 1, "to": 1, "values": [{"is": "?", "means": "other"}, {"is": "4", "means": "power"}]},
            {"name": "rail", "from": 2, "to": 3, "layouts": ["line"], "values": [{"is": "4?", "means": "core rails"}, {"is": "4D", "means": "the core rail"}]},
            {"name": "kind", "from": 4, "to": 4, "values": [{"is": "0", "means": "late"}]}
        ]),
    );
    let of = |code: &str, layout: &str| -> Vec<String> {
        let parts = b.code_parts(code, Some(layout));
        parts
            .into_iter()
            .map(|p| format!("{} {}: {}", p.name, p.chars, p.means))
            .collect()
    };
    assert_eq!(
        of("44d0", "line"),
        [
            "subsystem 4: power",
            "rail 4D: the core rail",
            "kind 0: late"
        ]
    );
    assert_eq!(of("44D1", "record"), ["subsystem 4: power"]);
    assert_eq!(of("7", "line"), ["subsystem 7: other"]);
    assert_eq!(of("", "line"), [] as [&str; 0]);
}

#[test]
fn near_codes() {
    let b = book(
        json!([
            {"code": "44D0", "title": "a"}, {"code": "44C0", "title": "b"}, {"code": "4D40", "title": "c"},
            {"code": "45C0", "title": "d"}, {"code": "44D?", "title": "e"}, {"code": "44D", "title": "f"},
            {"code": "44B0", "title": "g", "layouts": ["record"]}
        ]),
        json!([]),
    );
    assert_eq!(b.near("44D1", Some("line")), ["44D0"]);
    assert_eq!(b.near("44E0", Some("line")), ["44D0", "44C0"]);
    assert_eq!(b.near("44E0", Some("record")), ["44D0", "44C0", "44B0"]);
    assert_eq!(b.near("44D0", Some("line")), ["44C0", "4D40"]);
}
