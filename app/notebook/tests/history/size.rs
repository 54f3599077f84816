//! The bound on the work, and that any JSON will do.

use super::make::Dice;
use notebook::Data;
use notebook::history::{Pulled, history};
use proptest::prelude::*;
use serde_json::{Value, json};
use std::time::Instant;

fn pulled(r: usize, entries: Vec<Value>, modulus: bool) -> Pulled {
    let mut data = Data::new();
    data.insert("book".into(), "b".into());
    data.insert(
        "day".into(),
        notebook::dates::written(20_000 + r as i64).unwrap().into(),
    );
    data.insert("entries".into(), Value::Array(entries));
    if modulus {
        data.insert("modulus".into(), 65_536.into());
    }
    Pulled::from_data(&format!("{r:03}"), 0, &data)
}

/// 300 readings of 2000 entries: with numbers, with clocks, and the worst case,
/// where all entries are the same and nothing tells them apart.
#[test]
fn three_hundred_readings_of_two_thousand_entries_are_done_in_bounded_work() {
    let make = |entry: &dyn Fn(usize) -> Value, modulus| -> Vec<Pulled> {
        (0..300)
            .map(|r| pulled(r, (0..2000).map(|k| entry(r * 100 + k)).collect(), modulus))
            .collect()
    };
    for (name, list, exact) in [
        (
            "running numbers",
            make(&|i| json!({"code": "44D0", "seq": i % 65_536}), true),
            true,
        ),
        (
            "set clocks",
            make(
                &|i| json!({"code": "44D0", "time": i.to_string(), "utc": 1_300_000_000 + i, "clock": "set"}),
                false,
            ),
            true,
        ),
        (
            "all the same",
            make(&|_| json!({"code": "44D0"}), false),
            false,
        ),
        (
            "two in turn",
            make(&|i| json!({"code": (i % 2).to_string()}), false),
            false,
        ),
    ] {
        let start = Instant::now();
        let found = history(&list);
        println!(
            "{name}: {} events, {:.0?}",
            found.events.len(),
            start.elapsed()
        );
        assert_eq!(found.order.len(), 300);
        assert_eq!(
            found.joins.iter().all(|j| j.possible == [100]),
            exact,
            "{name}"
        );
        if !exact {
            // Cut short or not, the true number is among the told ones.
            assert!(
                found.joins.iter().all(|j| j.possible.contains(&100)),
                "{name}"
            );
        } else {
            assert_eq!(found.events.len(), 299 * 100 + 2000);
        }
        // A phone may be ten times slower; a quadratic growth would be minutes.
        assert!(start.elapsed().as_secs() < 20, "{name}");
    }
}

/// A pair that would take all the comparisons leaves enough for the others.
#[test]
fn one_pair_does_not_use_up_the_work_of_all() {
    let same = |r| pulled(r, vec![json!({"code": "44D0"}); 20_000], false);
    let short = |r, from: usize| {
        let entry = |i: usize| json!({"code": i.to_string()});
        pulled(r, (from..from + 5).map(entry).collect(), false)
    };
    let found = history(&[same(0), same(1), short(2, 0), short(3, 1)]);
    assert_eq!(found.joins[2].possible, [1]);
}

fn any_json() -> impl Strategy<Value = Value> {
    let leaf = prop_oneof![
        Just(Value::Null),
        any::<bool>().prop_map(Value::from),
        any::<i64>().prop_map(Value::from),
        any::<u64>().prop_map(Value::from),
        any::<f64>().prop_map(Value::from),
        "[a-z0-9]{0,6}".prop_map(Value::from),
    ];
    let names = [
        "code", "lost", "seq", "slot", "count", "sure", "time", "utc", "clock", "x",
    ];
    leaf.prop_recursive(3, 40, 6, move |inner| {
        prop_oneof![
            prop::collection::vec(inner.clone(), 0..6).prop_map(Value::from),
            prop::collection::vec((prop::sample::select(names.to_vec()), inner), 0..6).prop_map(
                |l| Value::Object(l.into_iter().map(|(k, v)| (k.to_owned(), v)).collect())
            ),
        ]
    })
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::default() })]
    #[test]
    fn any_json_gives_a_history(lists in prop::collection::vec(
        (any_json(), any_json(), any_json(), "2020-01-0[1-9]"), 0..6)) {
        let mut dice = Dice(1);
        let readings: Vec<Pulled> = lists
            .into_iter()
            .map(|(entries, ring, modulus, day)| {
                let mut data = Data::new();
                data.insert("entries".into(), if entries.is_array() { entries } else { json!([entries]) });
                data.insert("ring".into(), ring);
                data.insert("modulus".into(), modulus);
                data.insert("day".into(), day.into());
                Pulled::from_data("x", dice.next().cast_signed(), &data)
            })
            .collect();
        let found = history(&readings);
        prop_assert_eq!(found.order.len() + found.apart.len(), readings.len());
        for r in 0..readings.len() {
            let _ = found.after_reading(r);
        }
        let _ = found.after_day(&readings, "2020-01-05", 0);
        // Each entry is in exactly one event.
        let entries: usize = found.order.iter().map(|r| readings[*r].entries.len()).sum();
        prop_assert_eq!(found.events.iter().map(|e| e.readings.len()).sum::<usize>(), entries);
    }
}
