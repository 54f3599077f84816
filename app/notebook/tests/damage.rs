//! Damaged records: whatever stands in the database or in a backup, reading it
//! ends with a record or with a sentence, and what this app does not know stays.
#![allow(
    clippy::unwrap_used,
    clippy::indexing_slicing,
    reason = "a test may stop at once"
)]

use notebook::{Data, Item, Record, Row};
use proptest::prelude::*;
use serde_json::{Map, Value, json};

/// Numbers with a point and up to 15 digits as they are printed, `.0` included,
/// all of which are kept exactly.
fn number() -> impl Strategy<Value = Value> {
    (-99_999_999_999_999..=99_999_999_999_999_i64, -20..=0_i32).prop_map(|(digits, power)| {
        let number: f64 = format!("{digits}e{power}").parse().unwrap();
        json!(number)
    })
}

/// Any JSON, not too large.
fn any_json() -> impl Strategy<Value = Value> {
    let leaf = prop_oneof![
        Just(Value::Null),
        any::<bool>().prop_map(Value::from),
        any::<i64>().prop_map(Value::from),
        any::<u64>().prop_map(Value::from),
        number(),
        ".{0,8}".prop_map(Value::from),
    ];
    leaf.prop_recursive(3, 12, 4, |inner| {
        prop_oneof![
            prop::collection::vec(inner.clone(), 0..4).prop_map(Value::from),
            prop::collection::hash_map("[a-z]{0,5}", inner, 0..4)
                .prop_map(|m| Value::Object(m.into_iter().collect())),
        ]
    })
}

/// Keys that no version of this app has used.
fn unknown() -> impl Strategy<Value = Map<String, Value>> {
    prop::collection::hash_map("(x-[a-z]{0,4}|\\PC{1,3}\u{2713})", any_json(), 0..3)
        .prop_map(|m| m.into_iter().collect())
}

prop_compose! {
    /// A sound record, with keys of a newer app in all its parts.
    fn sound()(
        versions in prop::collection::vec((unknown(), unknown(), any::<bool>(), any::<i64>()), 1..4),
        own in unknown(),
        created in any::<i64>(),
    ) -> Value {
        let mut list = Vec::new();
        for (n, (more, data, gone, at)) in versions.into_iter().enumerate() {
            let mut one = more;
            one.insert("rev".to_owned(), json!(n + 1));
            one.insert("by".to_owned(), json!("me"));
            one.insert("at".to_owned(), json!(at));
            if n > 0 {
                one.insert("seen".to_owned(), json!([[n, "me", 0]]));
            }
            if gone {
                one.insert("gone".to_owned(), json!(true));
            }
            one.insert("data".to_owned(), Value::Object(data));
            list.push(Value::Object(one));
        }
        let mut all = own;
        all.insert("id".to_owned(), json!("a"));
        all.insert("kind".to_owned(), json!("of a newer app"));
        all.insert("created".to_owned(), json!(created));
        all.insert("versions".to_owned(), json!(list));
        Value::Object(all)
    }
}

/// Puts something in the place of one part of a value, the one with this number.
fn replace(value: &mut Value, at: &mut usize, with: &Value) {
    if *at == 0 {
        value.clone_from(with);
    }
    *at = at.wrapping_sub(1);
    match value {
        Value::Array(list) => list.iter_mut().for_each(|v| replace(v, at, with)),
        Value::Object(all) => all.values_mut().for_each(|v| replace(v, at, with)),
        _ => {}
    }
}

fn row(body: String) -> Row {
    Row {
        id: "a".to_owned(),
        kind: "note".to_owned(),
        console: "c".to_owned(),
        body,
    }
}

/// The names of the versions and of their fields.
fn outline(record: &Record) -> Vec<String> {
    let keys = |data: &Map<String, Value>| data.keys().cloned().collect::<Vec<_>>();
    record
        .versions()
        .iter()
        .map(|v| {
            format!(
                "{:?} {:?} {} {} {:?} {:?}",
                v.key,
                v.seen,
                v.at,
                v.gone,
                keys(&v.data),
                keys(&v.extra)
            )
        })
        .collect()
}

/// Reads it, and does with it all that the app does.
fn survives(body: String) -> Result<(), TestCaseError> {
    let row = row(body);
    let mut trouble = Vec::new();
    match row.record(&mut trouble) {
        Err(t) => {
            prop_assert_eq!(t.id, "a");
            prop_assert!(
                t.why.ends_with('.') || t.why.contains("not JSON"),
                "{}",
                t.why
            );
        }
        Ok(mut record) => {
            prop_assert!(!record.versions().is_empty());
            prop_assert!(record.shown().is_some());
            let _ = Item::of(&record);
            let again = Row::of(&record).record(&mut Vec::new()).unwrap();
            // All but the last digits of long numbers.
            prop_assert_eq!(outline(&again), outline(&record));
            let seen = record.seen();
            let key = record.write("me", 1, &seen, seen.first(), false, Map::new());
            prop_assert!(record.find(key.rev, &key.by).is_some());
            record.merge(&again);
            record.empty_out();
        }
    }
    Ok(())
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn any_text_as_a_row_is_read_or_refused(body in any::<String>()) {
        survives(body)?;
    }

    #[test]
    fn any_json_as_a_row_is_read_or_refused(body in any_json()) {
        survives(body.to_string())?;
    }

    #[test]
    fn a_record_with_a_wrong_part_is_read_or_refused(
        mut record in sound(), at in 0..40_usize, with in any_json()
    ) {
        replace(&mut record, &mut { at }, &with);
        survives(record.to_string())?;
    }

    #[test]
    fn a_record_cut_off_or_with_a_wrong_letter_is_read_or_refused(
        record in sound(), at in any::<prop::sample::Index>(), letter in any::<char>(), cut in any::<bool>()
    ) {
        let mut letters: Vec<char> = record.to_string().chars().collect();
        let at = at.index(letters.len());
        if cut {
            letters.truncate(at);
        } else {
            letters[at] = letter;
        }
        survives(letters.into_iter().collect())?;
    }

    #[test]
    fn what_a_newer_app_wrote_survives_a_round_trip(record in sound()) {
        let mut trouble = Vec::new();
        let read = Record::from_text(&record.to_string(), &mut trouble).unwrap();
        prop_assert_eq!(&trouble, &vec![]);
        prop_assert_eq!(&read.to_json(), &record);
        let again = Record::from_text(&read.to_json().to_string(), &mut trouble).unwrap();
        prop_assert_eq!(again, read);
    }

    #[test]
    fn what_a_newer_app_wrote_survives_an_edit(record in sound()) {
        let mut read = Record::from_json(record.clone(), &mut Vec::new()).unwrap();
        let seen = read.seen();
        let data = read.view().data;
        read.write("other", 1, &seen, None, false, data.clone());
        let mut after = read.to_json();
        let list = after["versions"].as_array_mut().unwrap();
        let added = list.pop().unwrap();
        prop_assert_eq!(&added["data"], &Value::Object(data));
        prop_assert_eq!(after, record);
    }
}

fn read(value: &Value) -> (Result<Record, notebook::Trouble>, Vec<notebook::Trouble>) {
    let mut trouble = Vec::new();
    let read = Record::from_text(&value.to_string(), &mut trouble);
    (read, trouble)
}

fn one_version(part: &str, value: Value) -> Value {
    let mut version =
        json!({"rev": 2, "by": "me", "n": 1, "seen": [[1, "me", 0]], "at": 5, "data": {"f": 1}});
    version[part] = value;
    json!({"id": "a", "kind": "note", "created": 1, "versions": [
        {"rev": 1, "by": "me", "at": 4, "data": {"f": 0}}, version]})
}

/// (part, wrong value, whether the version can still be used)
#[test]
fn a_wrong_part_costs_that_part_and_is_told() {
    for (part, wrong, used) in [
        ("rev", json!("2"), false),
        ("rev", json!(0), false),
        ("rev", json!(-1), false),
        ("rev", json!(1.5), false),
        ("by", json!(7), false),
        ("data", json!([1]), false),
        ("data", Value::Null, false),
        ("n", json!("1"), true),
        ("at", json!("today"), true),
        ("gone", json!(1), true),
        ("seen", json!({}), true),
        ("seen", json!([[1, "me", 0], [1]]), true),
        ("seen", json!([["1", "me", 0]]), true),
    ] {
        let (record, trouble) = read(&one_version(part, wrong.clone()));
        let record = record.unwrap();
        let name = format!("{part}: {wrong}");
        assert_eq!(record.versions().len(), 1 + usize::from(used), "{name}");
        assert_eq!(trouble.len(), 1, "{name}: {trouble:?}");
        assert_eq!(trouble[0].id, "a");
        assert!(trouble[0].why.contains("ersion 2"), "{}", trouble[0].why);
        // What is left still counts.
        let shown = if used { 1 } else { 0 };
        assert_eq!(record.view().data["f"], shown, "{name}");
    }
}

#[test]
fn what_is_no_record_is_refused_with_a_reason() {
    let mut whole = one_version("rev", json!(2));
    for part in ["id", "kind", "versions"] {
        let mut without = whole.clone();
        without.as_object_mut().unwrap().remove(part);
        let why = read(&without).0.unwrap_err().why;
        assert!(why.contains(part.trim_end_matches('s')), "{part}: {why}");
    }
    whole["versions"] = json!([{"rev": 0}, 7, null]);
    let (record, trouble) = read(&whole);
    assert!(record.unwrap_err().why.contains("no version"));
    assert_eq!(trouble.len(), 3);
    whole["id"] = json!("x".repeat(81));
    assert!(read(&whole).0.unwrap_err().why.contains("80"));
    assert!(read(&json!([whole])).0.is_err());
}

#[test]
fn a_missing_day_of_creation_is_that_of_the_first_version() {
    let mut record = one_version("rev", json!(2));
    record.as_object_mut().unwrap().remove("created");
    assert_eq!(read(&record).0.unwrap().created, 4);
}

#[test]
fn deep_json_is_refused_and_not_followed() {
    let deep = "[".repeat(100_000) + &"]".repeat(100_000);
    let text = r#"{"id":"a","kind":"note","deep":"#.to_owned() + &deep + "}";
    let why = Record::from_text(&text, &mut Vec::new()).unwrap_err().why;
    assert!(why.contains("not JSON"), "{why}");
}

/// What is told in `json.rs` about numbers: at the limits of whole numbers, and
/// with as many digits as are kept.
#[test]
fn numbers_of_a_newer_app_stay_as_they_are() {
    for number in [
        "0.1",
        "1e-7",
        "123456.789012345",
        "-0.000123456789012345",
        "18446744073709551615",
        "-9223372036854775808",
        "9007199254740993",
    ] {
        let text = r#"{"id":"a","kind":"note","created":1,"versions":[{"rev":1,"by":"b","at":1,"data":{"x":NUMBER}}]}"#;
        let text = text.replace("NUMBER", number);
        let record = Record::from_text(&text, &mut Vec::new()).unwrap();
        let back = record.to_json().to_string();
        let again = Record::from_text(&back, &mut Vec::new()).unwrap();
        assert_eq!(again, record, "{number}");
        let x = &again.view().data["x"];
        if x.is_f64() {
            assert_eq!(x.as_f64(), number.parse().ok());
        } else {
            assert_eq!(x.to_string(), number);
        }
    }
}

/// A version that can't be read is told once, and its text stays in the record
/// through every later save.
#[test]
fn the_text_of_a_version_that_cannot_be_read_is_kept() {
    let good = serde_json::json!({"rev": 1, "by": "a", "at": 5, "data": {"note": "n"}});
    let bad = serde_json::json!({"rev": 0, "by": "a", "data": {"note": "lost words"}});
    let text = serde_json::json!({"id": "r", "kind": "note", "versions": [good, bad]});
    let mut trouble = Vec::new();
    let mut record = Record::from_text(&text.to_string(), &mut trouble).unwrap();
    assert_eq!(trouble.len(), 1);
    let seen = record.seen();
    record.write("b", 9, &seen, None, false, Data::new());
    let mut again = Vec::new();
    let kept = Record::from_text(&record.to_json().to_string(), &mut again).unwrap();
    assert_eq!(again, []);
    assert_eq!(kept, record);
    assert!(kept.to_json().to_string().contains("lost words"));
}
