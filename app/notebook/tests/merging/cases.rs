//! Single cases, spelled out.

use notebook::{Data, Record};
use serde_json::{Value, json};

fn data(value: Value) -> Data {
    match value {
        Value::Object(all) => all,
        _ => Data::new(),
    }
}

/// A record with one version, the same on all devices.
fn shared(value: Value) -> Record {
    let mut record = Record::new("x", "console", 1);
    record.write("first", 1, &[], None, false, data(value));
    record
}

fn edit(record: &mut Record, by: &str, at: i64, value: Value) {
    let seen = record.seen();
    record.write(by, at, &seen, None, false, data(value));
}

fn delete(record: &mut Record, by: &str, at: i64) {
    let seen = record.seen();
    let data = record.view().data;
    record.write(by, at, &seen, None, true, data);
}

fn joined(a: &Record, b: &Record) -> Record {
    let mut all = a.clone();
    all.merge(b);
    all
}

#[test]
fn two_edits_of_different_fields_at_once_both_show() {
    let (mut a, mut b) = (shared(json!({"f": 0})), shared(json!({"f": 0})));
    edit(&mut a, "a", 2, json!({"f": 1}));
    edit(&mut b, "b", 3, json!({"f": 0, "g": 2}));
    let view = joined(&a, &b).view();
    assert_eq!(view.data, data(json!({"f": 1, "g": 2})));
    assert!(view.clashes.is_empty());
}

#[test]
fn two_edits_of_one_field_at_once_are_both_told() {
    let (mut a, mut b) = (shared(json!({"f": 0})), shared(json!({"f": 0})));
    edit(&mut a, "a", 2, json!({"f": 1}));
    edit(&mut b, "b", 3, json!({"f": 2}));
    let view = joined(&a, &b).view();
    assert_eq!(view.data, data(json!({"f": 2})));
    assert_eq!(view.clashes, [("f".to_owned(), vec![json!(1)])]);
}

#[test]
fn the_same_edit_on_two_devices_is_no_clash() {
    let (mut a, mut b) = (shared(json!({"f": 0})), shared(json!({"f": 0})));
    edit(&mut a, "a", 2, json!({"f": 1}));
    edit(&mut b, "b", 3, json!({"f": 1}));
    let view = joined(&a, &b).view();
    assert_eq!(view.data, data(json!({"f": 1})));
    assert!(view.clashes.is_empty());
}

#[test]
fn an_emptied_field_against_a_changed_one_is_a_clash() {
    let (mut a, mut b) = (shared(json!({"f": 0})), shared(json!({"f": 0})));
    edit(&mut a, "a", 2, json!({}));
    edit(&mut b, "b", 3, json!({"f": 1}));
    let view = joined(&a, &b).view();
    assert_eq!(view.data, data(json!({"f": 1})));
    assert_eq!(view.clashes, [("f".to_owned(), vec![Value::Null])]);
}

#[test]
fn what_is_deleted_here_and_changed_there_stays_and_is_told() {
    let (mut a, mut b) = (shared(json!({"f": 0})), shared(json!({"f": 0})));
    delete(&mut a, "a", 5);
    edit(&mut b, "b", 3, json!({"f": 1}));
    let all = joined(&a, &b);
    assert!(!all.gone());
    let view = all.view();
    assert!(!view.gone && view.deleted_elsewhere);
    assert_eq!(view.data, data(json!({"f": 1})));
}

#[test]
fn a_change_made_before_a_deletion_shows_when_the_deletion_does_not_count() {
    let (mut a, mut b) = (shared(json!({"f": 0})), shared(json!({"f": 0})));
    edit(&mut a, "a", 2, json!({"f": 1}));
    delete(&mut a, "a", 5);
    edit(&mut b, "b", 3, json!({"f": 0, "g": 2}));
    let view = joined(&a, &b).view();
    assert_eq!(view.data, data(json!({"f": 1, "g": 2})));
    assert!(view.deleted_elsewhere && view.clashes.is_empty());
}

#[test]
fn what_was_typed_shows_again_after_a_deletion_that_says_nothing() {
    let mut a = shared(json!({"f": 0}));
    let seen = a.seen();
    let key = a.write("a", 2, &seen, None, false, data(json!({"f": 1})));
    // Deleted while the form is still open.
    a.write("a", 3, &seen, Some(&key), true, Data::new());
    let view = a.view();
    assert!(view.gone);
    assert_eq!(view.data, data(json!({"f": 1})));
    assert_eq!(a.versions().len(), 3);
}

/// Both have merged the same two versions, so there are two newest versions in
/// common. One then takes the change of `f` back.
#[test]
fn an_edit_shows_after_both_have_merged_the_same_two_versions() {
    let (mut a, mut b) = (shared(json!({"f": 0})), shared(json!({"f": 0})));
    edit(&mut a, "a", 2, json!({"f": 1}));
    edit(&mut b, "b", 3, json!({"f": 0, "g": 2}));
    let (mut one, mut two) = (joined(&a, &b), joined(&a, &b));
    edit(&mut one, "a", 4, json!({"f": 0, "g": 2}));
    edit(&mut two, "b", 5, json!({"f": 1, "g": 3}));
    let view = joined(&one, &two).view();
    assert_eq!(view.data, data(json!({"f": 0, "g": 3})));
    assert!(view.clashes.is_empty(), "{:?}", view.clashes);
}

/// A copy goes out while a form is open; the form then goes on.
#[test]
fn what_is_typed_after_a_copy_went_out_is_not_silently_replaced() {
    let mut a = shared(json!({"f": 0}));
    let seen = a.seen();
    let key = a.write("a", 2, &seen, None, false, data(json!({"f": 1})));
    let mut b = a.clone();
    a.write("a", 3, &seen, Some(&key), false, data(json!({"f": 2})));
    let mut c = a.clone();
    edit(&mut c, "c", 4, json!({"f": 2, "h": 1}));
    edit(&mut b, "b", 5, json!({"f": 1, "g": 1}));
    let view = joined(&b, &c).view();
    assert_eq!(view.text("none"), "");
    assert_eq!((&view.data["g"], &view.data["h"]), (&json!(1), &json!(1)));
    // Which of the two `b` meant can't be told any more, so both are told.
    let mut told = vec![view.data["f"].clone()];
    told.extend(view.clashes.iter().flat_map(|(_, values)| values.clone()));
    told.sort_by_key(Value::to_string);
    assert_eq!(told, [json!(1), json!(2)]);
}

/// As before, and the one who decided between two values had deleted the record
/// and brought it back.
#[test]
fn a_choice_made_after_a_deletion_is_told_although_a_form_went_on() {
    let (mut a, mut b) = (shared(json!({})), shared(json!({})));
    let seen = a.seen();
    let key = a.write("a", 2, &seen, None, false, data(json!({"f": 1})));
    edit(&mut b, "b", 3, json!({"f": 2}));
    let (mut c, mut d) = (joined(&a, &b), joined(&a, &b));
    delete(&mut c, "c", 4);
    edit(&mut c, "c", 5, json!({"f": 2}));
    edit(&mut d, "d", 6, json!({"f": 9}));
    a.write(
        "a",
        7,
        &seen,
        Some(&key),
        false,
        data(json!({"f": 1, "g": 1})),
    );
    let view = joined(&joined(&a, &c), &d).view();
    let mut told = vec![view.data["f"].clone()];
    told.extend(view.clashes.iter().flat_map(|(_, values)| values.clone()));
    assert!(
        told.contains(&json!(2)) && told.contains(&json!(9)),
        "{told:?}"
    );
}

#[test]
fn three_heads_each_show_their_own_change() {
    let base = shared(json!({"f": 0, "g": 0}));
    let mut two = base.clone();
    edit(&mut two, "a", 2, json!({"f": 1, "g": 0}));
    let (mut a, mut b, mut c) = (two.clone(), two, base);
    // Back to what it was at first: still an edit.
    edit(&mut a, "a", 3, json!({"f": 0, "g": 0}));
    edit(&mut b, "b", 4, json!({"f": 1, "g": 7}));
    edit(&mut c, "c", 5, json!({"f": 0, "g": 0, "h": 8}));
    let view = joined(&joined(&a, &b), &c).view();
    assert_eq!(view.data, data(json!({"f": 0, "g": 7, "h": 8})));
    assert!(view.clashes.is_empty(), "{:?}", view.clashes);
}

#[test]
fn what_was_emptied_out_stays_empty_when_an_old_backup_comes_in() {
    let mut own = shared(json!({"serial": "private"}));
    let backup = own.clone();
    delete(&mut own, "a", 2);
    let late = own.clone();
    own.empty_out();
    for old in [&backup, &late] {
        for merged in [joined(&own, old), joined(old, &own)] {
            assert!(merged.gone());
            assert!(!merged.to_json().to_string().contains("private"));
        }
    }
}

#[test]
fn a_version_that_says_a_later_one_is_replaced_does_not_hide_it() {
    let text = json!({"id": "x", "kind": "console", "created": 1, "versions": [
        {"rev": 1, "by": "a", "at": 1, "seen": [[2, "b", 0]], "data": {"f": 1}},
        {"rev": 2, "by": "b", "at": 2, "seen": [[1, "a", 0], [2, "b", 9]], "data": {"f": 2}},
    ]});
    let record = Record::from_json(text, &mut Vec::new()).unwrap();
    assert_eq!(record.shown().unwrap().key.rev, 2);
    assert_eq!(record.heads().len(), 1);
}

#[test]
fn a_file_with_thousands_of_versions_and_links_is_read_in_fair_time() {
    let mut versions = Vec::new();
    for rev in 1..1200_u64 {
        let seen: Vec<Value> = (1..rev)
            .map(|k| json!([k, "a", u64::from(k % 2 == 0)]))
            .collect();
        let n = rev % 3;
        versions.push(json!({"rev": rev, "by": "a", "n": n, "at": 1, "seen": seen,
            "data": {format!("f{rev}"): rev, "g": rev}}));
        versions.push(json!({"rev": rev, "by": "b", "at": 1, "data": {"g": rev}}));
    }
    let text = json!({"id": "x", "kind": "console", "created": 1, "versions": versions});
    let begun = std::time::Instant::now();
    let record = Record::from_json(text, &mut Vec::new()).unwrap();
    let view = record.view();
    assert!(!view.data.is_empty());
    // Some tenths of a second here; without a bound it is minutes.
    assert!(begun.elapsed().as_secs() < 10, "{:?}", begun.elapsed());
}
