//! Properties of loading: no input panics, and a changed book either loads or
//! says what is wrong.

#![allow(
    clippy::unwrap_used,
    clippy::indexing_slicing,
    clippy::panic,
    reason = "tests may panic"
)]

use codebook::Book;
use proptest::prelude::*;
use serde_json::Value;

const GOOD: &str = include_str!("good-book.json");

/// All places of a document, as JSON pointers.
fn places(value: &Value, at: String, out: &mut Vec<String>) {
    match value {
        Value::Object(map) => {
            for (k, v) in map {
                places(v, format!("{at}/{k}"), out);
            }
        }
        Value::Array(list) => {
            for (i, v) in list.iter().enumerate() {
                places(v, format!("{at}/{i}"), out);
            }
        }
        _ => {}
    }
    out.push(at);
}

fn any_value() -> impl Strategy<Value = Value> {
    prop_oneof![
        Just(Value::Null),
        any::<bool>().prop_map(Value::from),
        any::<i64>().prop_map(Value::from),
        any::<u64>().prop_map(Value::from),
        (-10.0..300.0).prop_map(Value::from),
        (0..40_u32).prop_map(Value::from),
        "\\PC{0,6}".prop_map(Value::from),
        "[0-9A-Fa-f?]{0,9}".prop_map(Value::from),
        Just(serde_json::json!([])),
        Just(serde_json::json!({})),
        Just(serde_json::json!([0, 300])),
        Just(serde_json::json!({"optional": [{"field": "x", "as": "text"}]})),
        Just(
            serde_json::json!({"field": "code", "width": 4_294_967_295_u32, "bits": [4_294_967_295_u32, 0]})
        ),
    ]
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(400))]

    #[test]
    fn any_bytes(bytes in proptest::collection::vec(any::<u8>(), 0..400)) {
        prop_assert!(Book::load(&bytes).is_err());
    }

    #[test]
    fn any_json_shaped_text(text in "[\\[\\]{}\",:0-9a-z ]{0,200}") {
        prop_assert!(Book::load(text.as_bytes()).is_err());
    }

    #[test]
    fn flipped_bytes(at in any::<prop::sample::Index>(), with in any::<u8>(), cut in any::<bool>()) {
        let mut bytes = GOOD.as_bytes().to_vec();
        let at = at.index(bytes.len());
        bytes[at] = with;
        if cut {
            bytes.truncate(at);
        }
        if let Err(problems) = Book::load(&bytes) {
            prop_assert!(!problems.is_empty());
        }
    }

    /// Up to three places are set to something else or taken out.
    #[test]
    fn changed_places(
        changes in proptest::collection::vec((any::<prop::sample::Index>(), proptest::option::of(any_value())), 1..4)
    ) {
        let mut doc: Value = serde_json::from_str(GOOD).unwrap();
        for (at, with) in changes {
            let mut all = Vec::new();
            places(&doc, String::new(), &mut all);
            let place = all[at.index(all.len())].clone();
            match with {
                Some(with) => *doc.pointer_mut(&place).unwrap() = with,
                None => {
                    let (parent, name) = place.rsplit_once('/').unwrap_or(("", ""));
                    match doc.pointer_mut(parent) {
                        Some(Value::Object(map)) => drop(map.remove(name)),
                        Some(Value::Array(list)) if !list.is_empty() => drop(list.pop()),
                        _ => {}
                    }
                }
            }
        }
        match Book::load(doc.to_string().as_bytes()) {
            Ok(book) => {
                // What loads can be written, and is the same when read again.
                let again = Book::load(book.to_json().as_bytes()).unwrap();
                prop_assert_eq!(&again.model, &book.model);
                let _ = book.lookup("44D0", Some("line"), Some("TB-1"));
                let _ = book.code_parts("44D0", None);
                for layout in &book.model.layouts {
                    if let Some(check) = layout.check() {
                        let _ = codebook::checksum::compute_bytes(check, b"123456789");
                        let _ = codebook::checksum::compute_values(check, &[u64::MAX, 3]);
                    }
                }
            }
            Err(problems) => {
                prop_assert!(!problems.is_empty());
                for p in problems {
                    prop_assert!(!p.message.is_empty());
                    // The schema and the types never disagree.
                    prop_assert!(p.hint != "see the format's page", "{}", p);
                }
            }
        }
    }
}
