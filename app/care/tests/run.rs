//! A checklist worked through in any way.
#![allow(clippy::unwrap_used, clippy::indexing_slicing, clippy::panic)]

use care::{Care, Mark, Run};
use proptest::prelude::*;
use serde_json::{Value, json};

fn run() -> Run {
    let care = Care::built_in().unwrap_or_else(|problems| panic!("{problems:#?}"));
    Run::start(&care, &care.compose(&["cap-bank"], &[]), 1_000)
}

#[test]
fn a_step_is_done_and_the_next_one_comes() {
    let mut run = run();
    assert_eq!((run.at, run.turn, run.counts().done), (0, 1, 0));
    run.done(2_000);
    assert_eq!((run.at, run.mark(0)), (1, Mark::Done(2_000)));
    run.back();
    assert_eq!(run.at, 0);
    let mut on = run.clone();
    on.forward();
    assert_eq!((on.at, on.mark(0)), (1, Mark::Done(2_000)));
    // What is done already keeps its time, and the open one is next.
    run.done(9_000);
    assert_eq!((run.at, run.mark(0)), (1, Mark::Done(2_000)));
}

#[test]
fn a_hold_point_wants_more_than_a_tap() {
    let mut run = run();
    let hold = run.list.iter().position(|l| l.hold.is_some() && !l.firm);
    let hold = hold.unwrap();
    for n in 0..hold {
        if run.list[n].firm {
            run.go(n);
            run.confirm(1_500);
        }
    }
    let begun = run.clone();
    run.go(hold);
    run.done(2_000);
    assert!(
        run.mark(hold).is_open() && run.at == hold,
        "it is not passed"
    );
    run.confirm(3_000);
    assert_eq!(run.mark(hold), Mark::Done(3_000));
    assert_eq!(run.at, hold + 1);
    // At the end, what was passed over is still to be done.
    let mut last = run.clone();
    for n in 0..last.list.len() {
        if last.list[n].firm {
            last.go(n);
            last.confirm(3_200);
        }
    }
    last.go(last.list.len() - 1);
    last.done(3_500);
    assert_eq!(last.at, 0);
    run.go(0);
    // A plain step is not confirmed.
    run.confirm(4_000);
    assert!(run.mark(0).is_open());
    // Skipped, it is no more done by a tap than before.
    let mut other = begun;
    other.go(hold);
    other.skip("no meter", 1).unwrap();
    other.go(hold);
    other.done(2);
    assert_eq!(other.skipped(hold), Some("no meter"));
}

#[test]
fn a_skipped_step_has_its_reason() {
    let mut run = run();
    let before = run.clone();
    assert!(run.skip("  ", 5).is_err());
    assert_eq!(run, before);
    run.skip(" no strap ", 5).unwrap();
    assert_eq!(run.skipped(0), Some("no strap"));
    assert_eq!(run.counts().skipped, 1);
    run.go(0);
    run.done(6);
    assert_eq!(run.mark(0), Mark::Done(6), "done after all");
}

#[test]
fn proof_of_0_v_is_never_skipped() {
    let mut run = run();
    let firm: Vec<usize> = (0..run.list.len()).filter(|n| run.list[*n].firm).collect();
    for id in ["o-mains", "o-zero", "h-cell-out", "a-off"] {
        assert!(firm.iter().any(|n| run.list[*n].id == id), "{id}");
    }
    for at in firm {
        let id = run.list[at].id.clone();
        run.go(at);
        let before = run.clone();
        assert_eq!(run.barrier(), None, "{id}");
        assert!(run.skip("done before", 5).is_err(), "{id}");
        assert_eq!(run, before);
        // Nor is it walked round: what comes after it stays open.
        run.go(at + 1);
        assert_eq!(run.barrier(), Some(at));
        run.done(6);
        run.confirm(6);
        assert!(run.skip("done before", 6).is_err());
        assert!(run.mark(at + 1).is_open(), "{id}");
        run.go(at);
        run.confirm(7);
        assert_eq!(run.mark(at), Mark::Done(7));
    }
}

#[test]
fn a_timer_goes_by_the_clock_whatever_happens_meanwhile() {
    let mut run = run();
    let at = run.list.iter().position(|l| l.timer.is_some()).unwrap();
    let whole = i64::from(run.list[at].timer.as_ref().unwrap().seconds) * 1000;
    assert_eq!(run.left_ms(at, 0), None);
    run.start_timer(at, 10_000);
    assert_eq!(run.left_ms(at, 10_000), Some(whole));
    // The phone was locked, the page thrown away, and opened again.
    let mut back = Run::from_json(&run.to_json()).unwrap();
    assert_eq!(back.left_ms(at, 10_000 + whole - 1), Some(1));
    assert_eq!(back.left_ms(at, 10_000 + whole + 86_400_000), Some(0));
    // A clock that was set back makes it no longer than it is.
    assert_eq!(back.left_ms(at, -5_000_000), Some(whole));
    back.stop_timer(at);
    assert_eq!(back.left_ms(at, 10_000), None);
    // A step without a timer has none to start.
    let none = run.list.iter().position(|l| l.timer.is_none()).unwrap();
    run.start_timer(none, 5);
    assert_eq!(run.left_ms(none, 5), None);
}

#[test]
fn who_was_away_for_hours_is_known() {
    let mut run = run();
    let hour = 3_600_000;
    assert!(!run.was_away(100 * hour), "nothing was done yet");
    run.done(hour);
    assert!(!run.was_away(5 * hour));
    assert!(run.was_away(5 * hour + 1));
    assert!(!run.was_away(i64::MIN), "a clock that was set back");
    run.done(6 * hour);
    assert!(!run.was_away(6 * hour + 1));
}

#[test]
fn a_run_keeps_the_words_it_began_with() {
    let run = run();
    let back = Run::from_json(&run.to_json()).unwrap();
    assert_eq!(back, run);
    assert!(
        back.list
            .iter()
            .all(|l| !l.text.is_empty() && !l.why.is_empty() && !l.from.is_empty())
    );
}

/// One thing a person may do.
#[derive(Clone, Debug)]
enum Act {
    Done,
    Confirm,
    Skip(String),
    Back,
    Forward,
    Go(usize),
    Note(usize, String),
    Photo(usize, u8),
    Start(usize),
    Stop(usize),
    End,
    Reopen,
}

fn act() -> impl Strategy<Value = Act> {
    let at = 0..80_usize;
    prop_oneof![
        4 => Just(Act::Done),
        3 => Just(Act::Confirm),
        1 => "\\PC{0,8}".prop_map(Act::Skip),
        1 => Just(Act::Back),
        1 => Just(Act::Forward),
        1 => at.clone().prop_map(Act::Go),
        1 => (at.clone(), "\\PC{0,8}").prop_map(|(n, t)| Act::Note(n, t)),
        1 => (at.clone(), 0..3_u8).prop_map(|(n, p)| Act::Photo(n, p)),
        1 => at.clone().prop_map(Act::Start),
        1 => at.prop_map(Act::Stop),
        1 => Just(Act::End),
        1 => Just(Act::Reopen),
    ]
}

proptest! {
    #[test]
    fn whatever_is_tapped_nothing_is_lost(acts in prop::collection::vec(act(), 0..120)) {
        let mut run = run();
        let list = run.list.clone();
        let mut now = 1_000;
        for act in acts {
            now += 1;
            let before = run.clone();
            match act {
                Act::Done => {
                    let hold = run.list[run.at].hold.is_some();
                    run.done(now);
                    prop_assert!(!hold || run.mark(before.at) == before.mark(before.at), "a tap marked a hold point");
                }
                Act::Confirm => run.confirm(now),
                Act::Skip(why) => {
                    let firm = run.list[run.at].firm
                        || run.barrier().is_some()
                        || matches!(run.mark(run.at), Mark::Done(_));
                    let done = run.skip(&why, now).is_ok();
                    prop_assert_eq!(done, !why.trim().is_empty() && !firm);
                }
                Act::Back => run.back(),
                Act::Forward => run.forward(),
                Act::Go(n) => run.go(n),
                Act::Note(n, text) => run.note(n, &text),
                Act::Photo(n, id) => run.photo(n, &id.to_string()),
                Act::Start(n) => run.start_timer(n, now),
                Act::Stop(n) => run.stop_timer(n),
                Act::End => run.end(now),
                Act::Reopen => run.reopen(),
            }
            prop_assert!(run == before || run.turn > before.turn, "a change without a turn");
            prop_assert_eq!(&run.list, &list);
            let counts = run.counts();
            prop_assert_eq!(counts.done + counts.skipped + counts.open, list.len());
            prop_assert!(run.at < list.len());
            // Behind an open hold point that is never skipped nothing is marked.
            let firm = (0..list.len()).find(|n| list[*n].firm && !matches!(run.mark(*n), Mark::Done(_)));
            let after = firm.map_or(list.len(), |n| n + 1);
            prop_assert!((after..list.len()).all(|n| run.mark(n).is_open()));
            // What was done keeps its time.
            for n in 0..list.len() {
                let done = matches!(before.mark(n), Mark::Done(_));
                prop_assert!(!done || run.mark(n) == before.mark(n));
            }
            // No mark goes away again.
            for n in 0..list.len() {
                prop_assert!(before.mark(n).is_open() || !run.mark(n).is_open());
            }
            prop_assert_eq!(Run::from_json(&run.to_json()), Some(run.clone()));
        }
    }

    #[test]
    fn any_json_is_a_sane_run_or_none(text in "\\PC{0,60}", at in any::<u64>(), n in 0..5_usize) {
        let odd = json!({ "list": vec![json!({ "id": text, "timer": { "seconds": at }, "done": "x",
            "skipped": at, "photos": [1, null, text.clone()], "timer_ends": i64::MIN }); n],
            "at": at, "turn": at, "works": text, "ended": {} });
        let mut run = Run::from_json(&odd).unwrap();
        prop_assert_eq!(run.list.len(), n);
        run.done(i64::MAX);
        run.start_timer(0, i64::MAX);
        let left = run.left_ms(0, i64::MIN);
        prop_assert!(left.is_none_or(|ms| ms >= 0));
        let _ = run.skip("x", 0);
        prop_assert_eq!(Run::from_json(&run.to_json()), Some(run));
        for bad in [Value::Null, json!([]), json!({}), json!({ "list": text })] {
            prop_assert!(Run::from_json(&bad).is_none());
        }
    }
}
