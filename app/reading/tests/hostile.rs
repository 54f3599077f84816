//! Books made to be slow, large or out of range read pastes made to be slow:
//! nothing panics, every line is accounted for, and a book that takes too long
//! is set aside without harm to the others. Times are the bench's business.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::indexing_slicing,
    reason = "tests may panic"
)]

#[path = "hostile/books.rs"]
mod books;
#[path = "properties/invariants.rs"]
mod invariants;

use codebook::Book;
use invariants::holds;
use proptest::prelude::*;
use reading::Reader;
use reading::explain::explain;
use reading::report::{bbcode, plain};
use reading::typing::hint;
use serde_json::json;
use std::rc::Rc;

fn load(name: &str, doc: &serde_json::Value) -> Rc<Book> {
    let book = Book::load(doc.to_string().as_bytes());
    Rc::new(book.unwrap_or_else(|p| panic!("{name}: {:#?}", &p[..p.len().min(3)])))
}

fn orrery() -> Rc<Book> {
    let path = concat!(
        env!("CARGO_MANIFEST_DIR"),
        "/../../public/books/orrery.json"
    );
    Rc::new(Book::load(&std::fs::read(path).unwrap()).unwrap())
}

#[test]
fn books_as_large_as_they_may_be_read_any_paste_soundly() {
    for (name, doc) in books::all() {
        let books = vec![load(name, &doc)];
        let reader = Reader::new(books.clone());
        for (paste, text) in books::pastes(3_000) {
            let reading = reader.read(text.as_bytes());
            holds(text.as_bytes(), &reading);
            let explained = explain(&reading, &books, &|_| None, None);
            assert_eq!(
                explained.counts.entries,
                reading.entries.len(),
                "{name}, {paste}"
            );
            let _ = hint(&books, text.lines().next().unwrap_or(""));
        }
    }
}

/// The demo log is read as ever beside a book that takes all the time it can get.
#[test]
fn a_book_that_takes_too_long_is_set_aside_and_the_others_go_on() {
    let log: String = (0..24)
        .map(|n| {
            format!(
                "slot {n:02}  step 0A  code 44D0  clock {:08X}  seen 01\n",
                0x2C8F_10B0 + n * 60
            )
        })
        .collect();
    let noise = "A".repeat(79) + "\n" + &"- A ; ".repeat(13) + "\n";
    let paste =
        noise.repeat(150) + "fault log: 24 slots, next slot 07\n" + &log + &noise.repeat(50);
    let all = books::all();
    let slow = |name: &str| {
        let doc = &all.iter().find(|b| b.0 == name).unwrap().1;
        load(name, doc)
    };
    let alone = Reader::new(vec![orrery()]).read(paste.as_bytes());
    let of = |r: &reading::Reading| {
        r.entries
            .iter()
            .filter(|e| e.layout == "orrery-line")
            .count()
    };
    assert_eq!(of(&alone), 24);
    assert!(
        !alone.notes.iter().any(|n| n.contains("too long")),
        "{:?}",
        alone.notes
    );
    for name in ["elastic", "optional", "headers"] {
        let reading = Reader::new(vec![slow(name), orrery()]).read(paste.as_bytes());
        assert_eq!(of(&reading), 24, "{name}");
        let told: Vec<&String> = reading
            .notes
            .iter()
            .filter(|n| n.contains("too long"))
            .collect();
        assert_eq!(told.len(), 1, "{name}: {:?}", reading.notes);
        assert!(told[0].contains("hostile"), "{told:?}");
    }
}

/// What a book says about thousands of codes does not fill the memory.
#[test]
fn long_rows_that_fit_every_code_are_given_once_they_are_too_many() {
    let (_, doc) = books::all()
        .into_iter()
        .find(|b| b.0 == "long rows")
        .unwrap();
    let books = vec![load("long rows", &doc)];
    let paste: String = (0..2000)
        .map(|n| format!("code {n:04X} {n:04X}\n"))
        .collect();
    let reading = Reader::new(books.clone()).read(paste.as_bytes());
    assert_eq!(reading.entries.len(), 2000);
    let explained = explain(&reading, &books, &|_| None, None);
    assert_eq!(explained.codes.len(), 2000);
    let rows: Vec<usize> = explained.codes.iter().map(|c| c.found.len()).collect();
    assert!(rows.iter().all(|n| (1..=40).contains(n)));
    let said: usize = explained
        .codes
        .iter()
        .flat_map(|c| &c.found)
        .map(|f| f.meaning.len() + f.title.len() + f.not_proof.len())
        .sum();
    assert!(said < 2000 * 24_000 + (9 << 20), "{said}");
    assert!(plain(&reading, &explained).len() < 200 << 20);
}

/// HTML in a book is only text, wherever it comes out again.
#[test]
fn mark_up_in_a_book_stays_text() {
    let evil = "<img src=x onerror=alert(1)>[url=x]y[/url]";
    let mut doc = books::book(vec![
        json!({"kind": "text", "id": "l", "name": evil, "line": ["code ", {"field": "code", "width": 4}, " step ", {"field": "step", "width": 2}]}),
    ]);
    doc["name"] = evil.into();
    doc["codes"] =
        json!([{"code": "44D0", "title": evil, "meaning": evil, "parts": [evil], "boards": {}}]);
    doc["steps"] = json!([{"id": "0A", "name": evil, "parts": [evil]}]);
    let books = vec![load("mark-up", &doc)];
    let reading = Reader::new(books.clone()).read(b"code 44D0 step 0A");
    let explained = explain(&reading, &books, &|_| None, None);
    assert_eq!(explained.codes[0].found[0].title, evil);
    assert!(plain(&reading, &explained).contains(evil));
    // A forum's own mark-up is not let through by a book.
    let post = bbcode(&reading, &explained);
    assert!(!post.contains("[url=x]y[/url]"), "{post}");
}

fn number() -> impl Strategy<Value = u64> {
    prop_oneof![
        Just(0),
        Just(1),
        Just(u64::MAX),
        Just(u64::MAX - 1),
        Just(1 << 63),
        Just(i64::MAX as u64),
        2..100_u64,
        any::<u64>()
    ]
}

fn real() -> impl Strategy<Value = f64> {
    prop_oneof![
        Just(0.0),
        Just(1.0),
        Just(1e308),
        Just(-1e308),
        Just(5e-324),
        Just(1e19),
        Just(-0.5),
        -1e6..1e6
    ]
}

fn epoch() -> impl Strategy<Value = &'static str> {
    prop_oneof![
        Just("2000-01-01T00:00:00Z"),
        Just("0000-01-01T00:00:00Z"),
        Just("9999-12-31T23:59:60Z"),
        Just("1970-01-01T00:00:00+23:59")
    ]
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, cases: 300, ..ProptestConfig::default() })]

    /// Any number anywhere, in the book and in the log: debug builds stop at an
    /// overflow.
    #[test]
    fn numbers_out_of_range_do_no_harm(
        ring in any::<bool>(),
        means in prop_oneof![Just("newest"), Just("next"), Just("oldest")],
        (first, size, modulus, below) in (number(), number(), number(), number()),
        (unit, scale, offset) in (real(), real(), real()),
        (epoch, before) in (epoch(), epoch()),
        logged in proptest::collection::vec((number(), number(), number()), 1..9),
        head in number(),
    ) {
        let (by, field) = if ring { ("ring", "slot") } else { ("sequence", "seq") };
        let order = if ring {
            json!({"by": by, "field": field, "size": size.max(1), "first": first, "head": {"field": "head", "means": means}})
        } else {
            json!({"by": by, "field": field})
        };
        let time = json!({"epoch": epoch, "unit_seconds": unit.abs(), "not_set_below": below});
        let scale = if scale == 0.0 { 1.0 } else { scale };
        let mut doc = books::book(vec![
            json!({"kind": "text", "id": "line", "name": "x", "line": [
                "n ", {"field": field, "as": "decimal", "width": [1, 20], "modulus": modulus.max(2)}, " code ", {"field": "code", "width": 4},
                " clock ", {"field": "time", "width": [1, 16], "time": time}, " v ", {"field": "v", "width": 16, "signed": true, "scale": scale, "offset": offset},
                " count ", {"field": "count", "as": "decimal", "width": [1, 20], "signed": true}],
                "headers": [{"id": "h", "starts": true, "line": ["head ", {"field": "head", "as": "decimal", "width": [1, 20]}]}], "order": order}),
            json!({"kind": "bytes", "id": "record", "name": "x", "length": 26, "fields": [
                {"field": field, "as": "decimal", "at": 0, "size": 8, "modulus": modulus.max(2)}, {"field": "time", "at": 8, "size": 8, "endian": "little", "time": time},
                {"field": "v", "at": 16, "size": 8, "signed": true, "scale": scale, "offset": offset}, {"field": "code", "at": 24},
                {"field": "check", "at": 25}],
                "check": {"field": "check", "kind": "weighted_sum", "bits": 8, "seed": first, "weights": [size, first], "over": {"bytes": [0, 25]}}}),
            json!({"kind": "text", "id": "date", "name": "x", "line": ["on ", {"field": "time", "as": "date", "pattern": "YYYY-MM-DD hh:mm:ss",
                "time": {"epoch": epoch, "not_set_before": before}}, " code ", {"field": "code", "width": 4}]}),
        ]);
        if !ring {
            doc["layouts"][0]["headers"] = json!([]);
        }
        let books = vec![load("numbers", &doc)];
        let mut paste = format!("head {head}\n");
        for (n, t, v) in &logged {
            paste += &format!("n {n} code 44D0 clock {t:X} v {v:016X} count {n}\n");
        }
        paste += "\non 9999-12-31 23:59:59 code 44D0\non 0001-01-01 00:00:00 code 44D1\n\n";
        for (n, t, v) in &logged {
            let bytes: Vec<String> = [n.to_be_bytes(), t.to_le_bytes(), v.to_be_bytes()].concat().iter().map(|b| format!("{b:02X}")).collect();
            paste += &(bytes.join(" ") + " 44 D0\n");
        }
        let reading = Reader::new(books.clone()).read(paste.as_bytes());
        holds(paste.as_bytes(), &reading);
        prop_assert!(!reading.entries.is_empty());
        let explained = explain(&reading, &books, &|_| None, None);
        let _ = plain(&reading, &explained);
    }
}
