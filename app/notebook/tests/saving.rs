//! Saving: a save that was told as done is there, one that failed left nothing,
//! wherever it failed, and two writers never replace each other silently.
#![allow(
    clippy::unwrap_used,
    clippy::indexing_slicing,
    reason = "a test may stop at once"
)]

#[path = "suite/wait.rs"]
mod wait;

use notebook::{Data, Edit, Fault, Keeper, Key, Memory, Record, Row, Saved, Store};
use serde_json::{Value, json};
use std::rc::Rc;
use wait::{slow, wait};

/// A store that two keepers share, as two tabs do. It lets the other go first.
#[derive(Clone, Default)]
struct Shared(Rc<Memory>);

impl Store for Shared {
    type Photo = Vec<u8>;

    async fn row(&self, id: &str) -> Result<Option<Row>, Fault> {
        self.0.row(id).await
    }
    async fn of_kind(&self, kind: &str) -> Result<Vec<Row>, Fault> {
        self.0.of_kind(kind).await
    }
    async fn of_console(&self, console: &str) -> Result<Vec<Row>, Fault> {
        self.0.of_console(console).await
    }
    async fn rows_after(&self, after: &str, most: u32) -> Result<Vec<Row>, Fault> {
        self.0.rows_after(after, most).await
    }
    async fn count(&self) -> Result<u32, Fault> {
        self.0.count().await
    }
    async fn photo(&self, id: &str) -> Result<Option<Vec<u8>>, Fault> {
        self.0.photo(id).await
    }
    async fn photo_ids(&self) -> Result<Vec<String>, Fault> {
        self.0.photo_ids().await
    }
    async fn fact(&self, name: &str) -> Result<Option<String>, Fault> {
        self.0.fact(name).await
    }
    async fn set_fact(&self, name: &str, value: &str) -> Result<(), Fault> {
        self.0.set_fact(name, value).await
    }
    async fn change(
        &self,
        ids: &[String],
        decide: &mut dyn FnMut(Vec<Option<Row>>) -> Result<notebook::Change<Vec<u8>>, Fault>,
    ) -> Result<(), Fault> {
        slow().await;
        self.0.change(ids, decide).await
    }
}

fn tab(store: &Shared, by: &str) -> Keeper<Shared> {
    Keeper {
        store: store.clone(),
        by: by.to_owned(),
    }
}

fn data(value: Value) -> Data {
    match value {
        Value::Object(all) => all,
        _ => Data::new(),
    }
}

fn edit(id: &str, seen: &[Key], amend: Option<&Key>, value: Value) -> Edit {
    Edit {
        id: id.to_owned(),
        kind: "note".to_owned(),
        seen: seen.to_vec(),
        amend: amend.cloned(),
        gone: false,
        data: data(value),
    }
}

fn save(keeper: &Keeper<Shared>, edit: Edit, now: i64) -> Result<Saved, Fault> {
    wait(keeper.save(&[edit], &[], now)).map(|mut all| all.remove(0))
}

fn kept(store: &Shared, id: &str) -> Record {
    let row = wait(store.row(id)).unwrap().unwrap();
    row.record(&mut Vec::new()).unwrap()
}

/// Everything in the store.
fn all(store: &Shared) -> (Vec<Row>, Vec<(String, Vec<u8>)>) {
    let ids = wait(store.photo_ids()).unwrap();
    let photo = |id: String| {
        let bytes = wait(store.photo(&id)).unwrap().unwrap();
        (id, bytes)
    };
    (
        wait(store.rows_after("", u32::MAX)).unwrap(),
        ids.into_iter().map(photo).collect(),
    )
}

/// A store with two records in it.
fn begun() -> (Shared, Keeper<Shared>) {
    let store = Shared::default();
    let keeper = tab(&store, "me");
    save(&keeper, edit("a", &[], None, json!({"note": "old a"})), 1).unwrap();
    save(&keeper, edit("b", &[], None, json!({"note": "old b"})), 2).unwrap();
    (store, keeper)
}

const FAULTS: [Fault; 3] = [Fault::Full, Fault::Lost, Fault::Blocked];

/// Does it with a fault after every number of steps until it succeeds, and gives
/// that number. `job` has to do the same each time.
fn at_every_step<T>(
    with: &Fault,
    mut job: impl FnMut(&Keeper<Shared>) -> Result<T, Fault>,
    check: impl Fn(&Shared),
) -> u32 {
    for steps in 0..40 {
        let (store, keeper) = begun();
        let old = all(&store);
        store.0.fail_after(steps, with.clone());
        let Err(fault) = job(&keeper) else {
            check(&store);
            return steps;
        };
        assert_eq!(&fault, with);
        assert_eq!(all(&store), old, "half a change after {steps} steps");
        store.0.heal();
        assert!(job(&keeper).is_ok());
        check(&store);
    }
    unreachable!("it never succeeds")
}

#[test]
fn a_save_that_fails_at_any_step_leaves_nothing_and_can_be_tried_again() {
    let photos = [("p".to_owned(), vec![1, 2]), ("q".to_owned(), vec![3])];
    let edits = [
        edit("new", &[], None, json!({"note": "new"})),
        edit("a", &[], None, json!({"note": "next a"})),
        edit("b", &[], None, json!({"note": "next b"})),
    ];
    for fault in FAULTS {
        let steps = at_every_step(
            &fault,
            |keeper| {
                let mut edits = edits.clone();
                for edit in &mut edits {
                    if wait(keeper.store.row(&edit.id)).unwrap().is_some() {
                        edit.seen = kept(&keeper.store, &edit.id).seen();
                    }
                }
                wait(keeper.save(&edits, &photos, 10))
            },
            |store| {
                let (rows, photos) = all(store);
                assert_eq!((rows.len(), photos.len()), (3, 2));
                for (id, note, versions) in
                    [("new", "new", 1), ("a", "next a", 2), ("b", "next b", 2)]
                {
                    let record = kept(store, id);
                    assert_eq!(record.view().text("note"), note);
                    assert!(record.view().clashes.is_empty());
                    // No second version from trying again.
                    assert_eq!(record.versions().len(), versions);
                }
            },
        );
        // Begin, three rows, two photos, commit.
        assert_eq!(steps, 7);
    }
}

#[test]
fn a_merge_that_fails_at_any_step_leaves_nothing_and_can_be_tried_again() {
    let (elsewhere, keeper) = begun();
    let old = kept(&elsewhere, "a");
    save(
        &keeper,
        edit("a", &old.seen(), None, json!({"note": "a from there"})),
        9,
    )
    .unwrap();
    save(
        &keeper,
        edit("c", &[], None, json!({"note": "c from there"})),
        9,
    )
    .unwrap();
    let records = [
        kept(&elsewhere, "a"),
        kept(&elsewhere, "b"),
        kept(&elsewhere, "c"),
    ];
    let photos = [("p".to_owned(), vec![1])];
    for fault in FAULTS {
        let steps = at_every_step(
            &fault,
            |keeper| wait(keeper.merge(&records, &photos)),
            |store| {
                let (rows, photos) = all(store);
                assert_eq!((rows.len(), photos.len()), (3, 1));
                assert_eq!(kept(store, "a").view().text("note"), "a from there");
                assert_eq!(kept(store, "b").view().text("note"), "old b");
                assert_eq!(kept(store, "c"), records[2]);
            },
        );
        assert_eq!(steps, 6);
    }
}

#[test]
fn autosave_that_fails_between_goes_on_with_the_same_version() {
    let (store, keeper) = begun();
    let seen = kept(&store, "a").seen();
    let mut key = None;
    for n in 0..12 {
        let next = edit(
            "a",
            &seen,
            key.as_ref(),
            json!({"note": format!("typed {n}")}),
        );
        store.0.fail_after(n % 4, Fault::Full);
        if let Ok(saved) = save(&keeper, next.clone(), 10 + i64::from(n)) {
            key = Some(saved.key);
        } else {
            assert_ne!(kept(&store, "a").view().text("note"), format!("typed {n}"));
            store.0.heal();
            key = Some(save(&keeper, next, 10 + i64::from(n)).unwrap().key);
        }
        let record = kept(&store, "a");
        assert_eq!(record.view().text("note"), format!("typed {n}"));
        // The former version, and the one that is being written.
        assert_eq!(record.versions().len(), 2);
        assert_eq!(record.versions()[0].data["note"], "old a");
    }
}

/// The connection was cut after the change was written, but before it was said.
#[test]
fn to_save_again_what_had_come_through_makes_no_second_version() {
    let (store, keeper) = begun();
    let seen = kept(&store, "a").seen();
    let first = save(&keeper, edit("a", &seen, None, json!({"note": "x"})), 10).unwrap();
    let again = save(&keeper, edit("a", &seen, None, json!({"note": "x"})), 11).unwrap();
    assert_eq!(first.key, again.key);
    assert_eq!(kept(&store, "a").versions().len(), 2);
    // The form then goes on typing.
    let more = edit("a", &seen, Some(&again.key), json!({"note": "xy"}));
    save(&keeper, more, 12).unwrap();
    let view = kept(&store, "a").view();
    assert_eq!(view.text("note"), "xy");
    assert!(view.clashes.is_empty());
}

#[test]
fn two_tabs_that_edit_the_same_thing_at_once_both_stay_and_are_told() {
    let (store, one) = begun();
    let two = tab(&store, "me too");
    let seen = kept(&store, "a").seen();
    let first = save(
        &one,
        edit("a", &seen, None, json!({"note": "from one"})),
        10,
    )
    .unwrap();
    let second = save(
        &two,
        edit("a", &seen, None, json!({"note": "from two"})),
        11,
    )
    .unwrap();
    let clash = |record: &Record, now: &str, other: &str| {
        let view = record.view();
        assert_eq!(view.text("note"), now);
        assert_eq!(view.clashes, [("note".to_owned(), vec![json!(other)])]);
    };
    // The second is told at once.
    clash(&second.record, "from two", "from one");
    // Both go on typing in their forms.
    let next = edit(
        "a",
        &seen,
        Some(&first.key),
        json!({"note": "from one, more"}),
    );
    let first = save(&one, next, 12).unwrap();
    clash(&first.record, "from two", "from one, more");
    let next = edit(
        "a",
        &seen,
        Some(&second.key),
        json!({"note": "from two, more"}),
    );
    let second = save(&two, next, 13).unwrap();
    clash(&second.record, "from two, more", "from one, more");
    assert_eq!(kept(&store, "a").versions().len(), 3);
    // Somebody looks at both and decides.
    let seen = kept(&store, "a").seen();
    let last = save(&one, edit("a", &seen, None, json!({"note": "both"})), 14).unwrap();
    assert_eq!(last.record.view().text("note"), "both");
    assert!(last.record.view().clashes.is_empty());
    // The other tab's form, still open, does not write over that.
    let next = edit("a", &seen[..0], Some(&second.key), json!({"note": "late"}));
    let late = save(&two, next, 15).unwrap();
    clash(&late.record, "late", "both");
}

#[test]
fn two_tabs_that_edit_different_fields_at_once_both_show() {
    let (store, one) = begun();
    let two = tab(&store, "me too");
    let seen = kept(&store, "a").seen();
    let left = [edit(
        "a",
        &seen,
        None,
        json!({"note": "old a", "day": "2026-11-25"}),
    )];
    let right = [edit("a", &seen, None, json!({"note": "new"}))];
    // Truly at the same time, as the store lets the other go first.
    let (a, b) = wait(async {
        let both = (one.save(&left, &[], 10), two.save(&right, &[], 10));
        notebook::suite::both(both.0, both.1).await
    });
    assert!(a.is_ok() && b.is_ok());
    let view = kept(&store, "a").view();
    assert_eq!(view.data, data(json!({"note": "new", "day": "2026-11-25"})));
    assert!(view.clashes.is_empty());
}

#[test]
fn a_form_that_stays_open_while_another_tab_saves_over_it_does_not_clash_with_itself() {
    let (store, one) = begun();
    let two = tab(&store, "me too");
    let seen = kept(&store, "a").seen();
    let first = save(&one, edit("a", &seen, None, json!({"note": "one"})), 10).unwrap();
    let now = kept(&store, "a").seen();
    let day = json!({"note": "one", "day": "2026-11-25"});
    save(&two, edit("a", &now, None, day), 11).unwrap();
    let next = edit("a", &seen, Some(&first.key), json!({"note": "one, more"}));
    let view = save(&one, next, 12).unwrap().record.view();
    assert_eq!(
        view.data,
        data(json!({"note": "one, more", "day": "2026-11-25"}))
    );
    assert!(view.clashes.is_empty());
}

#[test]
fn two_edits_of_one_record_in_one_save_both_count() {
    let (store, keeper) = begun();
    let seen = kept(&store, "a").seen();
    let edits = [
        edit(
            "a",
            &seen,
            None,
            json!({"note": "old a", "day": "2026-11-25"}),
        ),
        edit("a", &seen, None, json!({"note": "new"})),
    ];
    let saved = wait(keeper.save(&edits, &[], 10)).unwrap();
    assert_ne!(saved[0].key, saved[1].key);
    let view = kept(&store, "a").view();
    assert_eq!(view.data, data(json!({"note": "new", "day": "2026-11-25"})));
}

#[test]
fn merging_keeps_what_was_written_here_and_there() {
    let (store, keeper) = begun();
    let mut there = kept(&store, "a");
    let seen = there.seen();
    let more = json!({"note": "old a", "there": 1});
    there.write("x", 5, &seen, None, false, data(more));
    let more = json!({"note": "old a", "here": 1});
    save(&keeper, edit("a", &seen, None, more), 6).unwrap();
    assert_eq!(wait(keeper.merge(&[there.clone()], &[])), Ok(vec![]));
    let own = kept(&store, "a");
    assert_eq!(own.versions().len(), 3);
    let view = own.view();
    assert_eq!(
        view.data,
        data(json!({"note": "old a", "here": 1, "there": 1}))
    );
    // Again, and its own copy: nothing changes.
    let before = all(&store);
    assert_eq!(wait(keeper.merge(&[there, own], &[])), Ok(vec![]));
    assert_eq!(all(&store), before);
}

#[test]
fn a_file_with_a_record_twice_brings_both_copies() {
    let (store, keeper) = begun();
    let (mut left, mut right) = (kept(&store, "a"), kept(&store, "a"));
    let seen = left.seen();
    left.write(
        "x",
        5,
        &seen,
        None,
        false,
        data(json!({"note": "old a", "l": 1})),
    );
    right.write(
        "y",
        5,
        &seen,
        None,
        false,
        data(json!({"note": "old a", "r": 1})),
    );
    let records = [left, kept(&store, "b"), right];
    assert_eq!(wait(keeper.merge(&records, &[])), Ok(vec![]));
    let view = kept(&store, "a").view();
    assert_eq!(view.data, data(json!({"note": "old a", "l": 1, "r": 1})));
}

#[test]
fn a_row_that_is_damaged_is_left_as_it_is() {
    for damage in [
        "",
        "{",
        "null",
        "[]",
        "{\"id\":\"a\"}",
        "{\"id\":\"b\",\"kind\":\"note\",\"versions\":[{\"rev\":1,\"by\":\"x\",\"data\":{}}]}",
    ] {
        let (store, keeper) = begun();
        let good = [kept(&store, "a"), kept(&store, "b")];
        store.0.damage("a", damage);
        let before = all(&store);
        let edits = [
            edit("b", &[], None, json!({"note": "beside it"})),
            edit("a", &[], None, json!({"note": "over it"})),
        ];
        let fault = wait(keeper.save(&edits, &[("p".to_owned(), vec![1])], 10));
        assert!(
            matches!(&fault, Err(Fault::Damaged(t)) if t.id == "a" && !t.why.is_empty()),
            "{fault:?}"
        );
        assert_eq!(all(&store), before);
        // Merging writes the others and tells which it left.
        let mut next = good[1].clone();
        let seen = next.seen();
        next.write("x", 9, &seen, None, false, data(json!({"note": "merged"})));
        let left = wait(keeper.merge(&[good[0].clone(), next, good[0].clone()], &[]));
        assert_eq!(left, Ok(vec!["a".to_owned()]));
        assert_eq!(kept(&store, "b").view().text("note"), "merged");
        assert_eq!(wait(store.row("a")).unwrap().unwrap().body, damage);
    }
}

/// A job that one device moved to another console is looked up there.
#[test]
fn a_row_stands_under_the_console_that_its_record_shows() {
    let (store, keeper) = begun();
    let job = |console: &str, name: &str| json!({"console": console, "name": name});
    save(&keeper, edit("j", &[], None, job("one", "x")), 1).unwrap();
    let (mut moved, mut named) = (kept(&store, "j"), kept(&store, "j"));
    let seen = moved.seen();
    moved.write("x", 5, &seen, None, false, data(job("two", "x")));
    named.write("y", 6, &seen, None, false, data(job("one", "y")));
    wait(keeper.merge(&[moved, named], &[])).unwrap();
    let found = wait(store.of_console("two")).unwrap();
    assert_eq!(found.len(), 1);
    assert_eq!(kept(&store, "j").view().data, data(job("two", "y")));
    assert!(wait(store.of_console("one")).unwrap().is_empty());
    let row = Row::of(&kept(&store, "j"));
    assert_eq!(found, [row]);
}

#[test]
fn a_deleted_record_is_still_under_its_console_to_be_brought_back() {
    let (store, keeper) = begun();
    let job = json!({"console": "one", "name": "x"});
    save(&keeper, edit("j", &[], None, job.clone()), 1).unwrap();
    let mut gone = edit("j", &kept(&store, "j").seen(), None, json!({}));
    gone.gone = true;
    save(&keeper, gone, 2).unwrap();
    let found = wait(store.of_console("one")).unwrap();
    assert_eq!(found.len(), 1);
    let record = found[0].record(&mut Vec::new()).unwrap();
    assert!(record.gone());
    let view = record.view();
    let back = save(
        &keeper,
        edit("j", &record.seen(), None, Value::Object(view.data)),
        3,
    )
    .unwrap();
    assert_eq!(back.record.view().data, data(job));
    assert!(!back.record.gone());
}
