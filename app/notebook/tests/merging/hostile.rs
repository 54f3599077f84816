//! Versions no honest app writes: merging must still give the same in every
//! order, something must be shown, and the person's own edits must survive.

use notebook::{Data, Record};
use proptest::prelude::*;
use serde_json::{Value, json};

fn number() -> impl Strategy<Value = u64> {
    prop_oneof![
        6 => 1..4_u64,
        1 => Just(u64::MAX - 1),
        1 => Just(u64::MAX),
    ]
}

fn times() -> impl Strategy<Value = u64> {
    prop_oneof![5 => 0..2_u64, 1 => Just(u64::MAX)]
}

fn writer() -> impl Strategy<Value = &'static str> {
    prop_oneof![Just("a"), Just("b"), Just("me"), Just("")]
}

prop_compose! {
    fn version()(
        rev in number(),
        by in writer(),
        n in times(),
        seen in prop::collection::vec((number(), writer(), times()), 0..4),
        at in prop_oneof![Just(0), Just(i64::MAX), Just(i64::MIN), Just(5)],
        gone in any::<bool>(),
        value in 0..3_u8,
        more in any::<bool>(),
    ) -> Value {
        let mut all = json!({
            "rev": rev, "by": by, "n": n, "seen": seen, "at": at, "gone": gone,
            "data": { "name": value },
        });
        if more {
            all["later"] = json!([value]);
        }
        all
    }
}

prop_compose! {
    fn record()(
        versions in prop::collection::vec(version(), 1..6),
        kind in prop_oneof![Just("console"), Just("job")],
        created in any::<i64>(),
        extra in 0..3_u8,
    ) -> Record {
        let all = json!({
            "id": "x", "kind": kind, "created": created, "versions": versions, "later": extra,
        });
        Record::from_json(all, &mut Vec::new()).unwrap()
    }
}

fn joined(a: &Record, b: &Record) -> Record {
    let mut all = a.clone();
    all.merge(b);
    all
}

/// Whether the view says it, as what stands or as a clash.
fn tells(record: &Record, name: &str, value: &Value) -> bool {
    let view = record.view();
    view.data.get(name) == Some(value)
        || view
            .clashes
            .iter()
            .any(|(n, v)| n == name && v.contains(value))
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 12 * ProptestConfig::default().cases, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn hostile_versions_merge_the_same_in_every_order(a in record(), b in record(), c in record()) {
        prop_assert_eq!(joined(&a, &b), joined(&b, &a));
        prop_assert_eq!(joined(&joined(&a, &b), &c), joined(&a, &joined(&b, &c)));
        prop_assert_eq!(&joined(&a, &a), &a);
        let all = joined(&joined(&a, &b), &c);
        prop_assert_eq!(&joined(&all, &b), &all);
        prop_assert!(!all.heads().is_empty());
        prop_assert!(all.shown().is_some());
        prop_assert_eq!(all.view(), joined(&c, &joined(&b, &a)).view());
    }

    #[test]
    fn hostile_versions_read_back_equal(a in record()) {
        let back = Record::from_text(&a.to_json().to_string(), &mut Vec::new()).unwrap();
        prop_assert_eq!(back, a);
    }

    #[test]
    fn an_edit_over_hostile_versions_is_kept_and_told(a in record(), b in record(), edits in 1..4_u32) {
        let mut own = a;
        let mut key = None;
        for n in 0..edits {
            let mut data = Data::new();
            data.insert("name".to_owned(), json!(format!("mine {n}")));
            let seen = own.seen();
            let written = own.write("me", 100, &seen, None, false, data.clone());
            prop_assert_eq!(&own.find(written.rev, "me").unwrap().data, &data);
            prop_assert!(tells(&own, "name", &data["name"]), "{:?}", own.view());
            key = Some((written, data));
        }
        let (key, mut data) = key.unwrap();
        data.insert("note".to_owned(), json!("more"));
        let seen = own.seen();
        let key = own.write("me", 200, &seen, Some(&key), false, data.clone());
        prop_assert_eq!(&own.find(key.rev, "me").unwrap().data, &data);
        prop_assert!(tells(&own, "note", &data["note"]), "{:?}", own.view());
        prop_assert!(tells(&own, "name", &data["name"]), "{:?}", own.view());
        // Still so after the rest of the hostile file.
        let all = joined(&own, &b);
        if !b.versions().iter().any(|v| v.key.by == "me") {
            prop_assert_eq!(&all.find(key.rev, "me").unwrap().data, &data);
        }
    }
}
