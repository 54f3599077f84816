//! A run read from any JSON, and timers at any time.
#![allow(clippy::unwrap_used, clippy::indexing_slicing, clippy::panic)]

use care::{Care, Run};
use proptest::prelude::*;
use serde_json::{Map, Value, json};
use std::sync::LazyLock;

/// Read once: these tests start thousands of runs.
static CARE: LazyLock<Care> =
    LazyLock::new(|| Care::built_in().unwrap_or_else(|problems| panic!("{problems:#?}")));

/// The keys a run has, so that damage is not all beside the point.
const KEYS: [&str; 24] = [
    "list",
    "version",
    "works",
    "tags",
    "at",
    "started",
    "ended",
    "turn",
    "id",
    "phase",
    "do",
    "why",
    "from",
    "hold",
    "firm",
    "timer",
    "name",
    "seconds",
    "done",
    "skipped",
    "skipped_why",
    "note",
    "photos",
    "timer_ends",
];

fn any_json() -> impl Strategy<Value = Value> {
    let leaf = prop_oneof![
        Just(Value::Null),
        any::<bool>().prop_map(Value::from),
        any::<i64>().prop_map(Value::from),
        any::<u64>().prop_map(Value::from),
        any::<f64>().prop_map(Value::from),
        "\\PC{0,12}".prop_map(Value::from),
    ];
    leaf.prop_recursive(4, 48, 8, |inner| {
        let pair = (prop::sample::select(&KEYS[..]), inner.clone());
        let map = prop::collection::vec(pair, 0..10);
        let map = map.prop_map(|all| {
            let all = all.into_iter().map(|(k, v)| (k.to_owned(), v));
            Value::Object(all.collect::<Map<_, _>>())
        });
        prop_oneof![
            prop::collection::vec(inner, 0..8).prop_map(Value::from),
            map
        ]
    })
}

/// A sound run with some places overwritten by anything.
fn damaged() -> impl Strategy<Value = Value> {
    let hits = prop::collection::vec(
        (prop::sample::select(&KEYS[..]), 0..80_usize, any_json()),
        0..6,
    );
    hits.prop_map(|hits| {
        let care = &*CARE;
        let list = care.compose(&["cap-bank", "pull-log"], &[]);
        let mut run = Run::start(care, &list, 1_000);
        run.start_timer(0, 1_000);
        run.done(2_000);
        let _ = run.skip("no strap", 3_000);
        run.photo(1, "p");
        let mut all = run.to_json();
        for (key, at, value) in hits {
            let in_line = all.get_mut("list").and_then(|l| l.get_mut(at));
            match in_line.and_then(Value::as_object_mut) {
                Some(line) if at > 0 => drop(line.insert(key.to_owned(), value)),
                _ => all[key] = value,
            }
        }
        all
    })
}

/// Everything that can be done to it, without a panic; then it is still a run.
fn sane(all: &Value) -> Result<(), TestCaseError> {
    let Some(mut run) = Run::from_json(all) else {
        prop_assert!(all.get("list").and_then(Value::as_array).is_none());
        return Ok(());
    };
    let n = run.list.len();
    prop_assert!(run.at == 0 || run.at < n);
    prop_assert_eq!(
        (
            run.marks.len(),
            run.notes.len(),
            run.photos.len(),
            run.timers.len()
        ),
        (n, n, n, n)
    );
    prop_assert_eq!(Run::from_json(&run.to_json()), Some(run.clone()));
    for at in [0, n / 2, n, usize::MAX] {
        run.go(at);
        run.done(i64::MIN);
        run.confirm(i64::MAX);
        let _ = run.skip("x", 0);
        run.back();
        run.forward();
        run.note(at, "x");
        run.photo(at, "x");
        run.start_timer(at, i64::MAX);
        let _ = run.left_ms(at, i64::MIN);
        run.stop_timer(at);
        prop_assert!(run.at == 0 || run.at < n);
    }
    run.end(0);
    let counts = run.counts();
    prop_assert_eq!(counts.done + counts.skipped + counts.open, n);
    prop_assert!(counts.holds_open <= counts.open);
    prop_assert_eq!(Run::from_json(&run.to_json()), Some(run));
    Ok(())
}

#[test]
fn hostile_lengths_and_places_are_cut() {
    let lines = vec![json!({ "id": "x" }); 5_000];
    let run = Run::from_json(&json!({ "list": lines })).unwrap();
    assert_eq!(run.list.len(), 2_000);
    let line = json!({ "id": "x", "photos": vec!["p"; 5_000] });
    let run = Run::from_json(&json!({ "list": [line] })).unwrap();
    assert_eq!(run.photos[0].len(), 2_000);
    let run = Run::from_json(&json!({ "list": [{}, {}], "at": 7 })).unwrap();
    assert_eq!(run.at, 1, "a place that is not there");
}

#[test]
fn holds_are_counted_among_the_open_steps_and_an_end_is_kept() {
    let care = &*CARE;
    let mut run = Run::start(care, &care.compose(&["fuse"], &[]), 0);
    let holds = run.list.iter().filter(|l| l.hold.is_some()).count();
    assert!(holds > 0 && holds < run.list.len());
    assert_eq!(run.counts().holds_open, holds);
    run.done(1);
    assert_eq!(
        run.counts().holds_open,
        holds,
        "a plain step is no hold point"
    );
    run.go(run.list.iter().position(|l| l.hold.is_some()).unwrap());
    run.confirm(2);
    assert_eq!(run.counts().holds_open, holds - 1);
    run.end(3);
    assert_eq!(run.ended, Some(3));
    run.reopen();
    assert_eq!(run.ended, None);
    // Where nothing is open, nobody is asked to prove anything again.
    let day = 24 * 3_600_000;
    assert!(run.was_away(day));
    for at in 0..run.list.len() {
        run.go(at);
        run.done(4);
        run.confirm(4);
    }
    assert_eq!(run.counts().open, 0);
    assert!(!run.was_away(day));
    // The same photo is kept once.
    run.photo(0, "p");
    let turn = run.turn;
    run.photo(0, "p");
    assert_eq!((run.photos[0].len(), run.turn), (1, turn));
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(400))]

    #[test]
    fn any_json_is_no_run_or_a_sane_one(all in any_json()) {
        sane(&all)?;
    }

    #[test]
    fn a_damaged_run_is_no_run_or_a_sane_one(all in damaged()) {
        sane(&all)?;
    }

    /// A locked screen, a clock that jumps: what is left never grows while time
    /// goes on, and is never more than the whole.
    #[test]
    fn a_timer_only_runs_down(start in any::<i64>(), mut times in prop::collection::vec(any::<i64>(), 2..8)) {
        let care = &*CARE;
        let mut run = Run::start(care, &care.compose(&["fuse"], &[]), 0);
        let at = run.list.iter().position(|l| l.timer.is_some()).unwrap();
        let whole = i64::from(run.list[at].timer.as_ref().unwrap().seconds) * 1000;
        run.start_timer(at, start);
        let run = Run::from_json(&run.to_json()).unwrap();
        times.push(start);
        times.sort_unstable();
        let mut before = whole;
        for now in times {
            let left = run.left_ms(at, now).unwrap();
            prop_assert!((0..=before).contains(&left), "{left} after {before}");
            before = left;
        }
    }
}
