//! A bad book is refused with all of its problems: cases in `bad-books.txt`.

#![allow(
    clippy::unwrap_used,
    clippy::indexing_slicing,
    clippy::panic,
    reason = "tests may panic"
)]

use codebook::Book;
use serde_json::Value;
use std::fmt::Write;

const GOOD: &str = include_str!("good-book.json");

fn change(doc: &mut Value, order: &str) {
    let (verb, rest) = order.split_once(' ').unwrap();
    let (path, value) = rest.split_once(" = ").unwrap_or((rest, "null"));
    let (parent, name) = path.rsplit_once('/').unwrap();
    let parent = doc
        .pointer_mut(parent)
        .unwrap_or_else(|| panic!("{order}: no such place"));
    let value: Value = serde_json::from_str(value).unwrap_or_else(|e| panic!("{order}: {e}"));
    match (verb, parent) {
        ("set", Value::Object(map)) => drop(map.insert(name.to_owned(), value)),
        ("set", Value::Array(list)) => list[name.parse::<usize>().unwrap()] = value,
        ("remove", Value::Object(map)) => {
            drop(map.remove(name).unwrap_or_else(|| panic!("{order}")))
        }
        _ => panic!("{order}"),
    }
}

#[test]
fn every_problem_is_listed() {
    let path = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/bad-books.txt");
    let cases = std::fs::read_to_string(path).unwrap();
    let mut now = String::new();
    for (i, case) in cases.split("\n--- ").enumerate() {
        if i == 0 {
            now.push_str(case);
            continue;
        }
        let mut doc: Value = serde_json::from_str(GOOD).unwrap();
        write!(now, "\n--- ").unwrap();
        for (i, line) in case.lines().take_while(|l| *l != "=>").enumerate() {
            if i > 0 && !line.is_empty() {
                change(&mut doc, line);
            }
            if i == 0 || !line.is_empty() {
                writeln!(now, "{line}").unwrap();
            }
        }
        writeln!(now, "=>").unwrap();
        match Book::load(doc.to_string().as_bytes()) {
            Ok(_) => writeln!(now, "good").unwrap(),
            Err(problems) => problems.iter().for_each(|p| writeln!(now, "{p}").unwrap()),
        }
    }
    if std::env::var_os("UPDATE_EXPECT").is_some() {
        std::fs::write(path, &now).unwrap();
        return;
    }
    if let Some((was, is)) = cases.lines().zip(now.lines()).find(|(a, b)| a != b) {
        panic!("expected: {was}\n   found: {is}");
    }
    assert_eq!(cases.lines().count(), now.lines().count());
}

#[test]
fn what_is_no_json_is_said_so() {
    for (bytes, start) in [
        (&b"{\"format\": 1,"[..], "this is no complete JSON"),
        (b"{\"format\": 1 \"id\": 2}", "this is no JSON"),
        (b"", "this is no complete JSON"),
        (b"\xFF\xFE{\0}\0", "this is no JSON"),
        (
            b"{\"format\": 1, \"format\": 1}",
            "the key `format` is there twice",
        ),
        (b"[]", "must be an object"),
        (b"null", "must be an object"),
    ] {
        let problems = Book::load(bytes).unwrap_err();
        assert_eq!(problems.len(), 1, "{problems:?}");
        assert!(problems[0].message.starts_with(start), "{problems:?}");
        assert!(!problems[0].hint.is_empty(), "{problems:?}");
    }
}

#[test]
fn a_byte_order_mark_does_no_harm() {
    assert!(Book::load(format!("\u{FEFF}{GOOD}").as_bytes()).is_ok());
}

#[test]
fn too_deep_and_too_big() {
    let deep = "[".repeat(100_000);
    let problems = Book::load(deep.as_bytes()).unwrap_err();
    assert!(
        problems[0].message.contains("recursion limit"),
        "{problems:?}"
    );
    let big = vec![b' '; codebook::MAX_BYTES + 1];
    let problems = Book::load(&big).unwrap_err();
    assert!(
        problems[0].message.contains("at most 4194304"),
        "{problems:?}"
    );
}

#[test]
fn too_many_layouts_codes_and_parts() {
    let mut doc: Value = serde_json::from_str(GOOD).unwrap();
    let layout = doc["layouts"][1].clone();
    for i in 0..31 {
        let mut layout = layout.clone();
        layout["id"] = format!("record-{i}").into();
        doc["layouts"].as_array_mut().unwrap().push(layout);
    }
    for i in 0..20_000 {
        let row = serde_json::json!({"code": format!("{i:04X}"), "title": "x"});
        doc["codes"].as_array_mut().unwrap().push(row);
    }
    let line = doc["layouts"][0]["line"].as_array_mut().unwrap();
    for _ in 0..60 {
        line.push(" ".into());
    }
    let problems = Book::load(doc.to_string().as_bytes()).unwrap_err();
    let text: Vec<String> = problems
        .iter()
        .map(|p| format!("{}: {}", p.path, p.message))
        .collect();
    assert_eq!(
        text,
        [
            "layouts: has 33 items; at most 32 are allowed",
            "codes: has 20004 items; at most 20000 are allowed",
            "layouts[0].line: has 77 parts; at most 64 are allowed",
        ]
    );
}

#[test]
fn a_long_list_of_problems_ends() {
    let mut doc: Value = serde_json::from_str(GOOD).unwrap();
    doc["codes"] = (0..5000).map(|_| serde_json::json!({})).collect();
    let problems = Book::load(doc.to_string().as_bytes()).unwrap_err();
    assert_eq!(problems.len(), 1001);
    assert!(problems[1000].message.starts_with("there are more"));
}

#[test]
fn odd_things_are_noted_and_do_no_harm() {
    let mut doc: Value = serde_json::from_str(GOOD).unwrap();
    doc["codes"][0]["menaing"] = "x".into();
    doc["later"] = 1.into();
    doc["$schema"] = "code-book-1.json".into();
    doc["_mine"] = 1.into();
    doc["layouts"][0]["line"][1]["pattern"] = "YYYY".into();
    let book = Book::load(doc.to_string().as_bytes()).unwrap();
    let notes: Vec<String> = book.notes.iter().map(ToString::to_string).collect();
    assert_eq!(
        notes,
        [
            "codes[0].menaing: is no key of format 1; it is kept, and nothing reads it (did you mean `meaning`?)",
            "later: is no key of format 1; it is kept, and nothing reads it",
            "layouts[0].line[1].pattern: is only used by `date` fields (write `\"as\": \"date\"`)",
        ]
    );
    assert!(Book::load(GOOD.as_bytes()).unwrap().notes.is_empty());
}
