//! The examples on the format's page load, and its check values are right.

#![allow(
    clippy::unwrap_used,
    clippy::indexing_slicing,
    clippy::panic,
    reason = "tests may panic"
)]

use codebook::Book;
use serde_json::{Value, json};

const PAGE: &str = include_str!("../FORMAT.md");

/// The JSON examples of a kind, each with the text behind it.
fn examples(kind: &str) -> Vec<(Value, &'static str)> {
    let start = format!("```json {kind}\n");
    let parts = PAGE.split(start.as_str()).skip(1);
    parts
        .map(|part| {
            let (json, after) = part.split_once("\n```").unwrap();
            (
                serde_json::from_str(json).unwrap_or_else(|e| panic!("{e}: {json}")),
                after,
            )
        })
        .collect()
}

fn smallest() -> Value {
    examples("book")[0].0.clone()
}

#[track_caller]
fn load(doc: &Value) -> Book {
    let book = Book::load(doc.to_string().as_bytes()).unwrap_or_else(|p| panic!("{p:#?}"));
    assert_eq!(book.notes, [], "a good example has nothing odd in it");
    book
}

#[test]
fn books_and_layouts_load() {
    assert_eq!(examples("book").len(), 1);
    load(&smallest());
    assert_eq!(examples("layout").len(), 3);
    for (layout, _) in examples("layout") {
        let mut doc = smallest();
        doc["layouts"] = json!([layout]);
        load(&doc);
    }
}

#[test]
fn keys_load() {
    assert_eq!(examples("keys").len(), 2);
    for (keys, _) in examples("keys") {
        let mut doc = smallest();
        for (k, v) in keys.as_object().unwrap() {
            doc[k] = v.clone();
        }
        load(&doc);
    }
}

#[test]
fn every_check_kind_has_an_example_with_its_value() {
    let mut kinds = Vec::new();
    for (check, after) in examples("check") {
        let size = check["bits"].as_u64().unwrap() / 8;
        let mut doc = smallest();
        doc["layouts"] = json!([{
            "kind": "bytes", "id": "record", "name": "record", "length": 9 + size, "check": check,
            "fields": [{"field": "check", "at": 9, "size": size}]
        }]);
        let book = load(&doc);
        let rule = book.model.layouts[0].check().unwrap();
        let value = after
            .split_once("Value: `")
            .unwrap()
            .1
            .split_once('`')
            .unwrap()
            .0;
        let ours = codebook::checksum::compute_bytes(rule, b"123456789");
        assert_eq!(
            format!("{ours:0w$X}", w = 2 * size as usize),
            value,
            "{check}"
        );
        kinds.push(check["kind"].clone());
    }
    let schema: Value = serde_json::from_str(codebook::schema::TEXT).unwrap();
    let all = schema["$defs"]["CheckKind"]["oneOf"].as_array().unwrap();
    for kind in all.iter().map(|k| &k["const"]) {
        assert!(kinds.contains(kind), "{kind} has no example");
    }
}

/// No block is left out of the tests above.
#[test]
fn every_json_block_is_tested() {
    let tested: usize = ["book", "layout", "keys", "check"]
        .iter()
        .map(|k| examples(k).len())
        .sum();
    assert_eq!(PAGE.matches("```json").count(), tested);
}

/// Every key and every word of the format is on the page.
#[test]
fn the_page_names_every_key() {
    let schema: Value = serde_json::from_str(codebook::schema::TEXT).unwrap();
    let has = |word: &str| {
        ["`", "\""]
            .iter()
            .any(|q| PAGE.contains(&format!("{q}{word}{q}")))
    };
    let mut missing = Vec::new();
    for (name, def) in schema["$defs"]
        .as_object()
        .unwrap()
        .iter()
        .chain([(&String::new(), &schema)])
    {
        for key in def["properties"]
            .as_object()
            .into_iter()
            .flatten()
            .map(|(k, _)| k)
        {
            if !has(key) {
                missing.push(format!("{name}.{key}"));
            }
        }
        for word in def["oneOf"]
            .as_array()
            .into_iter()
            .flatten()
            .filter_map(|w| w["const"].as_str())
        {
            if !has(word) {
                missing.push(format!("{name}: {word}"));
            }
        }
    }
    assert!(missing.is_empty(), "not on the page: {missing:?}");
}
