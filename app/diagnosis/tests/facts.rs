//! From records to findings: what counts, how much, and why. The cases are ours
//! (the invented scenario); the weights themselves are our choice, so what is
//! held here is their order and their limits.
#![allow(
    clippy::unwrap_used,
    clippy::indexing_slicing,
    clippy::panic,
    reason = "tests may panic"
)]

mod support;

use codebook::model::CodeBook;
use diagnosis::facts::{Facts, of_job, with_result};
use diagnosis::job::newest_log;
use diagnosis::log::{self, Entry};
use diagnosis::{Key, Noticed};
use notebook::Item;
use serde_json::{Value, json};
use support::item;

fn book() -> CodeBook {
    support::book("orrery")
}

fn facts(items: &[Item]) -> Facts {
    let refs: Vec<&Item> = items.iter().filter(|i| i.text("job") == "j").collect();
    let log = newest_log(items, "j");
    of_job(&book(), "LW-41", &refs, log.as_ref())
}

fn reading(entries: Value) -> Item {
    item(
        "r",
        "reading",
        json!({ "job": "j", "day": "2026-03-01", "entries": entries }),
    )
}

#[track_caller]
fn about<'f>(facts: &'f Facts, key: &str) -> &'f Noticed {
    let key = Key::parse(key).unwrap();
    let found = facts.noticed.iter().find(|n| n.key == key);
    found.unwrap_or_else(|| panic!("{key:?} not in {facts:#?}"))
}

fn entry(code: &str) -> Entry {
    Entry {
        code: code.to_owned(),
        times: 1,
        mark: code.to_owned(),
        ..Entry::default()
    }
}

fn weight(entries: &[Entry], code: &str) -> f64 {
    let all = log::weigh(&book(), entries, true, &[]);
    all.iter()
        .find(|w| w.code == code)
        .map_or(0.0, |w| w.weight)
}

#[test]
fn an_entry_counts_less_the_further_back_it_lies() {
    let list: Vec<Entry> = ["A1", "B2", "C3", "D4"].iter().map(|c| entry(c)).collect();
    let weights: Vec<f64> = ["A1", "B2", "C3", "D4"]
        .iter()
        .map(|c| weight(&list, c))
        .collect();
    assert!(weights.windows(2).all(|w| w[0] > w[1]), "{weights:?}");
    assert!(weights.iter().all(|w| (0.02..=log::MOST).contains(w)));
}

#[test]
fn repetition_adds_up_and_never_makes_certain() {
    let mut list = vec![entry("A1"), entry("B2")];
    let once = weight(&list, "B2");
    list.extend([entry("B2"), entry("B2")]);
    assert!(weight(&list, "B2") > once);
    list.extend((0..50).map(|_| entry("B2")));
    assert_eq!(weight(&list, "B2"), log::MOST);
    // A counter in the entry counts as entries, up to a limit.
    let mut counted = entry("B2");
    counted.times = u64::MAX;
    let many = weight(&[entry("A1"), counted], "B2");
    assert!(many > once && many <= log::MOST);
}

/// The example of the trade: a code seen once two years ago is weak.
#[test]
fn once_two_years_ago_is_weak() {
    let day = 86_400;
    let mut new = entry("A1");
    new.time = Some(1_700_000_000);
    let mut old = entry("B2");
    old.time = Some(1_700_000_000 - 730 * day);
    let all = log::weigh(&book(), &[new.clone(), old.clone()], true, &[]);
    assert!(all[1].weight < 0.06, "{all:?}");
    assert!(
        all[1].why.contains("730 days before the newest"),
        "{}",
        all[1].why
    );
    // The same, already there in an earlier job: hardly anything is left.
    let all = log::weigh(&book(), &[new, old], true, &["B2".to_owned()]);
    assert_eq!(all.len(), 1, "less than 2 % is left out: {all:?}");
    // A clock that runs backwards makes nothing stronger.
    let mut ahead = entry("B2");
    ahead.time = Some(1_700_000_000 + 730 * day);
    let list = [entry("A1"), ahead];
    assert!(weight(&list, "B2") <= 0.9);
}

/// A remnant: no evidence at weight 0, sharper with the weight, and sharper the
/// more codes it might have been.
#[test]
fn what_a_weight_is_worth() {
    assert_eq!(log::remnant(0.0, 40), 1.0);
    assert_eq!(log::remnant(1.0, 40), 0.0);
    assert!(log::remnant(0.9, 40) < log::remnant(0.5, 40));
    assert!(log::remnant(0.5, 100) < log::remnant(0.5, 20));
    // By hand: weight .9, 40 codes: .1/40 / (.9 + .1/40).
    assert!((log::remnant(0.9, 40) - 0.0025 / 0.9025).abs() < 1e-12);
}

#[test]
fn codes_steps_and_what_is_silent() {
    let found = facts(&[reading(json!([
        { "code": "44D0", "step": "0A", "seq": 1 },
        { "lost": 2 },
        { "code": "44D0", "step": "0A", "seq": 4 },
    ]))]);
    let code = about(&found, "code 44D0");
    assert!(code.if_there == 1.0 && code.if_not < 0.01, "{code:?}");
    assert_eq!(code.record, "r");
    assert!(
        code.why.contains("In 2 entries, the newest one."),
        "{}",
        code.why
    );
    // The step is told by the code and counted once.
    assert!(found.silent.iter().any(|(key, _)| key == "step 0A"));
    assert!(
        !found
            .noticed
            .iter()
            .any(|n| n.key == Key::Step("0A".to_owned()))
    );
    // Steps before it were passed, later ones nobody knows.
    let passed = about(&found, "step 03");
    assert_eq!((passed.if_there, passed.if_not), (0.0, 1.0));
    assert!(
        !found
            .noticed
            .iter()
            .any(|n| n.key == Key::Step("0F".to_owned()))
    );
}

#[test]
fn a_code_that_no_cause_knows_leaves_the_step() {
    let found = facts(&[reading(json!([{ "code": "FFFF", "step": "0A" }]))]);
    assert!(
        found
            .silent
            .iter()
            .any(|(key, why)| key == "code FFFF" && why.contains("No cause"))
    );
    assert_eq!(about(&found, "step 0A").if_there, 1.0);
}

#[test]
fn an_unknown_order_tells_no_stop() {
    let mut record =
        reading(json!([{ "code": "44D0", "step": "0A" }, { "code": "3100", "step": "03" }]));
    record
        .view
        .data
        .insert("order".to_owned(), json!("unknown"));
    let found = facts(&[record]);
    assert!(found.noticed.iter().all(|n| !matches!(n.key, Key::Step(_))));
    let (a, b) = (about(&found, "code 44D0"), about(&found, "code 3100"));
    assert_eq!(a.if_not, b.if_not, "neither is the newest");
    assert!(a.why.contains("their order is not known"));
}

/// The same entry twice in one paste is one entry already in the reading; a
/// reworded note, or the same record read again, changes nothing.
#[test]
fn words_and_doubles_change_nothing() {
    let first = facts(&[reading(json!([{ "code": "44D0", "step": "0A" }]))]);
    let mut noted = reading(json!([{ "code": "44D0", "step": "0A" }]));
    noted
        .view
        .data
        .insert("note".to_owned(), json!("pulled again, 5E91 too?"));
    let mut again = noted.clone();
    again.id = "r".to_owned();
    again.created = 5;
    let second = facts(&[noted, again]);
    assert_eq!(first.noticed, second.noticed);
}

#[test]
fn entries_of_an_earlier_job_are_weak() {
    let old = json!([{ "code": "3100", "step": "03", "time": "17", "seq": 7 }]);
    let new = json!([{ "code": "3100", "step": "03", "time": "17", "seq": 7 }, { "code": "44D0", "step": "0A", "time": "99", "seq": 8 }]);
    let alone = facts(&[reading(new.clone())]);
    let mut earlier = item("r0", "reading", json!({ "job": "j0", "entries": old }));
    earlier.created = -1;
    let closed = item("j0", "job", json!({ "stage": "closed" }));
    let with = facts(&[closed, earlier.clone(), reading(new.clone())]);
    assert!(about(&with, "code 3100").if_not > about(&alone, "code 3100").if_not * 3.0);
    assert!(
        about(&with, "code 3100")
            .why
            .contains("already there in an earlier job")
    );
    // A job that is still open may be the same fault.
    let open = item("j0", "job", json!({ "stage": "open" }));
    let with = facts(&[open, earlier, reading(new)]);
    assert_eq!(
        about(&with, "code 3100").if_not,
        about(&alone, "code 3100").if_not
    );
}

#[test]
fn symptoms_seen_and_looked_for() {
    let found = facts(&[
        item(
            "s",
            "symptom",
            json!({ "job": "j", "symptoms": ["warm-start", "no-such"], "absent": ["no-fan"] }),
        ),
        item(
            "s2",
            "symptom",
            json!({ "job": "j", "symptoms": ["no-fan"] }),
        ),
        item(
            "s3",
            "symptom",
            json!({ "job": "other", "symptoms": ["dead"] }),
        ),
    ]);
    assert_eq!(found.noticed.len(), 2, "{found:#?}");
    assert!(about(&found, "symptom warm-start").if_not > 0.0);
    // A later record about the same thing counts.
    assert_eq!(about(&found, "symptom no-fan").record, "s2");
}

#[test]
fn a_chosen_result_rules_out_those_before_it() {
    let book = book();
    let check = book.checks.iter().find(|c| c.results.len() >= 3).unwrap();
    let with = |n: usize| {
        facts(&[item(
            "c",
            "check",
            json!({ "job": "j", "book": book.id, "check": check.id, "answer": check.results[n].id }),
        )])
    };
    let last = check.results.len() - 1;
    for n in 0..=last {
        let found = with(n);
        assert_eq!(found.done, [check.id.clone()]);
        // The last result has no finding of its own: it is all others not seen.
        assert_eq!(found.noticed.len(), (n + 1).min(last));
        for (i, one) in found.noticed.iter().enumerate() {
            assert_eq!(one.if_there > 0.0, i == n, "{one:?}");
        }
    }
    // Another book's check, or a result that is gone, says nothing.
    let foreign = facts(&[item(
        "c",
        "check",
        json!({ "job": "j", "book": "another", "check": check.id, "answer": check.results[0].id }),
    )]);
    assert_eq!(foreign, Facts::default());
    let gone = facts(&[item(
        "c",
        "check",
        json!({ "job": "j", "check": check.id, "answer": "gone" }),
    )]);
    assert_eq!(gone, Facts::default());
    // Done twice: the newer one.
    let twice = facts(&[
        item(
            "c",
            "check",
            json!({ "job": "j", "check": check.id, "answer": check.results[0].id }),
        ),
        item(
            "d",
            "check",
            json!({ "job": "j", "check": check.id, "answer": check.results[last].id }),
        ),
    ]);
    assert!(
        twice
            .noticed
            .iter()
            .all(|n| n.record == "d" && n.if_there == 0.0)
    );
}

#[test]
fn repairs_of_the_book_count() {
    let found = facts(&[
        item(
            "a",
            "repair",
            json!({ "job": "j", "repair": "new-bank", "what": "x" }),
        ),
        item("b", "repair", json!({ "job": "j", "what": "cleaned it" })),
        item("c", "repair", json!({ "job": "j", "repair": "no-such" })),
    ]);
    assert_eq!(found.repairs, ["new-bank"]);
}

/// What a result is said to lead to is weighed as its record will be.
#[test]
fn a_result_to_come_counts_as_its_record() {
    let book = book();
    for check in &book.checks {
        for (at, result) in check.results.iter().enumerate() {
            let record = json!({ "job": "j", "check": check.id, "answer": result.id });
            let came = facts(&[item("x", "check", record)]);
            let said = with_result(&Facts::default(), check, at);
            assert_eq!(said.done, came.done);
            let likely = |f: &Facts| -> Vec<(Key, bool)> {
                let all = f.noticed.iter();
                all.map(|n| (n.key.clone(), n.if_there > n.if_not))
                    .collect()
            };
            assert_eq!(likely(&said), likely(&came));
            if result.when.is_empty() {
                let ratio =
                    |f: &Facts| -> Vec<f64> { f.noticed.iter().map(|n| n.if_not).collect() };
                assert_eq!(ratio(&said), ratio(&came));
            }
        }
    }
}

/// A value that can lie on either side leaves its check to be done; without the
/// board nothing is said about a value whose window differs from board to board.
#[test]
fn values_that_tell_nothing() {
    let measured = |value: &str, leads: &str| {
        item(
            "m",
            "measurement",
            json!({ "job": "j", "check": "ohm-gfx", "value": value, "leads": leads, "percent": "0.5", "counts": "5" }),
        )
    };
    let unclear = facts(&[measured("0.65", "")]);
    assert!(unclear.done.is_empty() && unclear.noticed.len() == 1);
    let clear = facts(&[measured("0.09", "0")]);
    assert_eq!(clear.done, ["ohm-gfx"]);
    // Measured again without a clear result: the check is open again.
    let record = |id: &str, value| Item {
        id: id.to_owned(),
        ..measured(value, "")
    };
    let again = facts(&[record("m", "0.09"), record("n", "0.65")]);
    assert!(
        again.done.is_empty() && again.noticed.len() == 1,
        "{again:#?}"
    );
    let items = [measured("0.09", "0")];
    let refs: Vec<&Item> = items.iter().collect();
    let nowhere = of_job(&book(), "", &refs, None);
    assert!(nowhere.noticed.is_empty() && nowhere.done.is_empty());
    assert!(
        nowhere.silent[0].1.contains("depends on the board"),
        "{nowhere:#?}"
    );
}

/// What the newer log still holds from before the repair was written before it:
/// told by the entry's number, or by the earlier log when it has none.
#[test]
fn before_and_after_a_repair() {
    let log = |id: &str, created: i64, entries: Value| {
        let data = json!({ "job": "j", "day": "2026-03-01", "entries": entries });
        let mut log = item(id, "reading", data);
        log.created = created;
        log
    };
    let repair = || item("b", "repair", json!({ "job": "j", "repair": "new-bank" }));
    let symptom = item(
        "d",
        "symptom",
        json!({ "job": "j", "symptoms": ["warm-start"] }),
    );
    let old = json!({ "code": "44D0", "step": "0A", "seq": 7 });
    let new = json!({ "code": "44D1", "step": "0A", "seq": 8 });
    let found = facts(&[
        log("a", 1, json!([old])),
        repair(),
        log("c", 2, json!([old, new])),
        symptom,
    ]);
    assert_eq!(found.repairs, ["new-bank"]);
    let place = |key: &str| (about(&found, key).after, about(&found, key).record.clone());
    assert_eq!(place("code 44D0"), (0, "c".to_owned()));
    assert_eq!(place("code 44D1"), (1, "c".to_owned()));
    assert_eq!(place("symptom warm-start").0, 1);
    let why = |key: &str| about(&found, key).why.contains("after a repair");
    assert!(why("code 44D1") && !why("code 44D0"));

    // Without numbers: what the earlier log had is old, but the newest entry is
    // the console's last try.
    let plain = |code: &str| json!({ "code": code, "step": "0A" });
    let entries = [
        json!([plain("44D0")]),
        json!([plain("44D0"), plain("44D1")]),
    ];
    let [first, second] = entries.clone();
    let found = facts(&[log("a", 1, first), repair(), log("c", 2, second)]);
    assert_eq!(about(&found, "code 44D0").after, 0);
    assert_eq!(about(&found, "code 44D1").after, 1);
    let [first, _] = entries;
    let found = facts(&[log("a", 1, first.clone()), repair(), log("c", 2, first)]);
    assert_eq!(about(&found, "code 44D0").after, 1);
}

#[test]
fn any_record_is_survived() {
    for data in [
        json!({ "job": "j", "entries": 5 }),
        json!({ "job": "j", "entries": [1, null, "x", {}, { "code": 5 }, { "code": "" }] }),
        json!({ "job": "j", "entries": [{ "code": "44D0", "count": -1, "utc": i64::MIN }, { "code": "44D0", "utc": i64::MAX }] }),
        json!({ "job": "j", "symptoms": { "a": 1 }, "absent": "dead" }),
        json!({ "job": "j", "check": ["x"], "value": {}, "answer": 7 }),
    ] {
        for kind in [
            "reading",
            "symptom",
            "check",
            "measurement",
            "repair",
            "else",
        ] {
            let _ = facts(&[item("x", kind, data.clone())]);
        }
    }
}
