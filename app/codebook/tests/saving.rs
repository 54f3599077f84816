//! What a book does not know survives, and only what was changed changes.

#![allow(
    clippy::unwrap_used,
    clippy::indexing_slicing,
    clippy::panic,
    reason = "tests may panic"
)]

use codebook::Book;
use codebook::model::{Layout, Part};
use serde_json::{Value, json};

const GOOD: &str = include_str!("good-book.json");

/// Puts an unknown key into every object whose keys are not data themselves.
fn mark(value: &mut Value, key: &str, count: &mut u32) {
    match value {
        Value::Object(map) => {
            for (k, v) in map.iter_mut() {
                mark(v, k, count);
            }
            // These hold boards or fields by name.
            if !matches!(key, "boards" | "empty_when") {
                map.insert("zz".into(), json!({"n": *count, "list": [1, {"a": null}]}));
                *count += 1;
            }
        }
        Value::Array(list) => list.iter_mut().for_each(|v| mark(v, "", count)),
        _ => {}
    }
}

fn marked() -> (Value, u32) {
    let mut doc: Value = serde_json::from_str(GOOD).unwrap();
    let mut count = 0;
    mark(&mut doc, "", &mut count);
    (doc, count)
}

fn load(doc: &Value) -> Book {
    Book::load(doc.to_string().as_bytes()).unwrap_or_else(|p| panic!("{p:?}"))
}

fn saved(book: &Book) -> Value {
    serde_json::from_str(&book.to_json()).unwrap()
}

fn marks(value: &Value) -> usize {
    match value {
        Value::Object(map) => {
            usize::from(map.contains_key("zz")) + map.values().map(marks).sum::<usize>()
        }
        Value::Array(list) => list.iter().map(marks).sum(),
        _ => 0,
    }
}

#[test]
fn an_unchanged_book_comes_back_as_it_was() {
    let (doc, count) = marked();
    let book = load(&doc);
    assert!(count > 60, "{count}");
    assert_eq!(marks(&doc), count as usize);
    assert_eq!(saved(&book), doc);
    assert_eq!(book.notes.len(), count as usize);
}

/// A change at every level of the document, with unknown keys all around.
#[test]
fn a_change_changes_nothing_else() {
    let (doc, _) = marked();
    let mut book = load(&doc);
    let mut expected = doc.clone();
    let m = &mut book.model;

    m.name = "Other name".into();
    expected["name"] = "Other name".into();
    m.codes[0].title = "later core rail".into();
    expected["codes"][0]["title"] = "later core rail".into();
    m.codes[0].boards.get_mut("TB-1").unwrap().title = None;
    expected["codes"][0]["boards"]["TB-1"]
        .as_object_mut()
        .unwrap()
        .remove("title");
    m.code_parts[0].values[1].means = "anything".into();
    expected["code_parts"][0]["values"][1]["means"] = "anything".into();
    m.service_port.as_mut().unwrap().pads[0].note = "square".into();
    expected["service_port"]["pads"][0]["note"] = "square".into();
    m.causes[0].parts.push("C15".into());
    expected["causes"][0]["parts"] = json!(["C14", "C15"]);
    let Layout::Text(text) = &mut m.layouts[0] else {
        panic!()
    };
    let Part::Field(field) = &mut text.line[1] else {
        panic!()
    };
    field.label = "place".into();
    expected["layouts"][0]["line"][1]["label"] = "place".into();
    let Part::Optional { optional } = &mut text.line[12] else {
        panic!()
    };
    let Part::Field(field) = &mut optional[1] else {
        panic!()
    };
    field.label = "how often".into();
    expected["layouts"][0]["line"][12]["optional"][1]["label"] = "how often".into();
    text.headers[0].starts = false;
    expected["layouts"][0]["headers"][0]
        .as_object_mut()
        .unwrap()
        .remove("starts");
    let Layout::Bytes(bytes) = &mut m.layouts[1] else {
        panic!()
    };
    bytes.check.as_mut().unwrap().init = "00".into();
    expected["layouts"][1]["check"]["init"] = "00".into();
    bytes.fields[3].time.as_mut().unwrap().not_set_below = None;
    expected["layouts"][1]["fields"][3]["time"]
        .as_object_mut()
        .unwrap()
        .remove("not_set_below");

    same(&saved(&book), &expected, "");
}

/// Points at the first difference.
#[track_caller]
fn same(a: &Value, b: &Value, at: &str) {
    match (a, b) {
        (Value::Object(x), Value::Object(y)) if x.keys().eq(y.keys()) => {
            x.iter()
                .for_each(|(k, v)| same(v, &y[k], &format!("{at}/{k}")));
        }
        (Value::Array(x), Value::Array(y)) if x.len() == y.len() => {
            (0..x.len()).for_each(|i| same(&x[i], &y[i], &format!("{at}/{i}")));
        }
        _ => assert_eq!(a, b, "{at}"),
    }
}

#[test]
fn items_are_known_by_name_when_they_move() {
    let (doc, _) = marked();
    let mut book = load(&doc);
    let m = &mut book.model;
    // The last row goes to the front and changes; another row goes; one is new.
    let mut last = m.codes.pop().unwrap();
    last.meaning = "changed".into();
    m.codes.remove(1);
    m.codes.insert(0, last);
    m.codes.push(codebook::model::CodeMeaning {
        code: "7001".into(),
        title: "new".into(),
        ..Default::default()
    });
    m.steps.swap(0, 1);
    let out = saved(&book);
    let codes = &out["codes"];
    assert_eq!(codes[0]["zz"], doc["codes"][3]["zz"]);
    assert_eq!(codes[0]["meaning"], "changed");
    assert_eq!(codes[1], doc["codes"][0]);
    assert_eq!(codes[2], doc["codes"][2]);
    assert_eq!(codes[3], json!({"code": "7001", "title": "new"}));
    assert_eq!(codes.as_array().unwrap().len(), 4);
    assert_eq!(out["steps"], json!([doc["steps"][1], doc["steps"][0]]));
}

#[test]
fn a_renamed_item_keeps_what_it_had() {
    let (doc, _) = marked();
    let mut book = load(&doc);
    book.model.rails[0].id = "V_BIG".into();
    assert_eq!(saved(&book)["rails"][0]["zz"], doc["rails"][0]["zz"]);
}

/// Two rows of one code are told apart by the rest of them.
#[test]
fn rows_of_the_same_code_stay_apart() {
    let mut doc: Value = serde_json::from_str(GOOD).unwrap();
    doc["codes"] = json!([
        {"code": "1000", "title": "a", "zz": 1},
        {"code": "1000", "title": "b", "layouts": ["line"], "zz": 2},
        {"code": "1000", "title": "c", "zz": 3}
    ]);
    let mut book = load(&doc);
    book.model.codes.remove(0);
    book.model.codes[1].title = "d".into();
    let codes = saved(&book)["codes"].clone();
    assert_eq!(codes[0]["zz"], 2);
    assert_eq!(codes.as_array().unwrap().len(), 2);
}

/// A usual value that is written out, and the way a number is written, stay.
#[test]
fn the_way_of_writing_stays() {
    let mut doc: Value = serde_json::from_str(GOOD).unwrap();
    doc["maker"] = "".into();
    doc["checks"][0]["minutes"] = json!(5);
    doc["rails"][0]["volts"] = json!(null);
    let mut book = load(&doc);
    book.model.version = "1.0.1".into();
    book.model.checks[0].title = "ohms".into();
    let out = saved(&book);
    assert_eq!(out["maker"], "");
    assert_eq!(out["checks"][0]["minutes"].to_string(), "5");
    assert_eq!(out["rails"][0]["volts"], Value::Null);
    assert!(out["rails"][0].as_object().unwrap().contains_key("volts"));
}

#[test]
fn text_is_for_people() {
    let text = load(&serde_json::from_str(GOOD).unwrap()).to_json();
    let lines: Vec<&str> = text.lines().collect();
    assert_eq!(
        lines[..6],
        [
            "{",
            "  \"format\": 1,",
            "  \"id\": \"test-family\",",
            "  \"version\": \"1.0.0\",",
            "  \"name\": \"Test family\",",
            "  \"licence\": \"CC0-1.0\",",
        ]
    );
    assert!(
        text.contains("\n        { \"field\": \"slot\", \"as\": \"decimal\", \"width\": 2 },\n"),
        "{text}"
    );
    assert!(text.ends_with("\n}\n"));
}

#[test]
fn an_edited_book_is_checked_again() {
    let (doc, _) = marked();
    let book = load(&doc);
    let mut model = book.model.clone();
    model.codes.push(codebook::model::CodeMeaning {
        code: "9ABC".into(),
        title: "new".into(),
        ..Default::default()
    });
    let edited = book.edited(&model).unwrap();
    assert_eq!(book.knows("9ABC", None), None);
    assert_eq!(edited.knows("9ABC", None), Some(0));
    assert_eq!(saved(&edited)["codes"][0], doc["codes"][0]);
    model.codes[0].step = Some("77".into());
    let problems = book.edited(&model).unwrap_err();
    assert_eq!(problems[0].path, "codes[0].step");
}

/// The order of keys that saving uses names every key of the format.
#[test]
fn every_key_has_its_place() {
    let schema: Value = serde_json::from_str(codebook::schema::TEXT).unwrap();
    let order = include_str!("../src/save.rs")
        .split_once("const ORDER")
        .unwrap()
        .1;
    let order = order.split_once(';').unwrap().0;
    let words: Vec<&str> = order
        .split(|c: char| !c.is_ascii_alphanumeric() && c != '_')
        .collect();
    let defs = schema["$defs"]
        .as_object()
        .unwrap()
        .values()
        .chain([&schema]);
    let mut without = Vec::new();
    for def in defs {
        for key in def["properties"]
            .as_object()
            .into_iter()
            .flatten()
            .map(|(k, _)| k)
        {
            if !words.contains(&key.as_str()) {
                without.push(key.clone());
            }
        }
    }
    assert!(
        without.is_empty(),
        "keys without a place in ORDER: {without:?}"
    );
}
