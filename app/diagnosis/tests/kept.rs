//! Kept diagnoses, outcomes of closed jobs, and whether what was said was right.
#![allow(
    clippy::unwrap_used,
    clippy::indexing_slicing,
    clippy::panic,
    reason = "tests may panic"
)]

mod support;

use codebook::model::CodeBook;
use diagnosis::Key;
use diagnosis::draws::Draws;
use diagnosis::facts::{Facts, Noticed};
use diagnosis::frozen::{Frozen, Then, freeze};
use diagnosis::job::{outcomes, past};
use diagnosis::next::{Deed, options};
use diagnosis::price::{Weights, check_price, repair_price};
use diagnosis::prior::{NOT_LISTED, Outcome, priors};
use diagnosis::record::{ENOUGH, bands};
use diagnosis::rules::{SURE, speaking_for};
use diagnosis::suspects::{Answer, Question, answer};
use diagnosis::trial::{Turn, turned};
use notebook::Item;
use serde_json::{Value, json};
use support::{book, item};

fn code(code: &str) -> Facts {
    Facts {
        noticed: vec![Noticed {
            key: Key::Code(code.to_owned()),
            if_there: 1.0,
            if_not: 0.001,
            after: 0,
            why: String::new(),
            record: String::new(),
        }],
        ..Facts::default()
    }
}

struct Asked {
    answer: Answer,
    first: Deed,
    leader: String,
}

fn ask(book: &CodeBook, board: &str, facts: &Facts, own: &[Outcome], opinion: bool) -> Asked {
    let priors = priors(book, board, own, opinion);
    let question = Question {
        book,
        board,
        priors: &priors,
        facts,
    };
    let mut found = answer(&question);
    found.ranges(&question, &Draws::new(question.priors));
    let all = options(book, board, &found, facts, &Weights::default());
    let leader = found.suspects[0].cause.map(|c| book.causes[c].id.clone());
    Asked {
        first: all.choices[0].deed.clone(),
        leader: leader.unwrap_or_default(),
        answer: found,
    }
}

fn share(book: &CodeBook, asked: &Asked, cause: &str) -> f64 {
    let at = book.causes.iter().position(|c| c.id == cause).unwrap();
    let found = asked.answer.suspects.iter().find(|s| s.cause == Some(at));
    found.map_or(0.0, |s| s.now)
}

/// Rule of thumb of the trade (common practice, no source): early large-process
/// graphics chips fail in about half of the cases, later shrunk ones in about a
/// fifth. So the same rail code of the graphics rail does not lead to the same
/// first advice on both boards.
#[test]
fn the_same_rail_code_on_two_boards() {
    let book = book("orrery");
    for text in ["44D0", "44D1"] {
        let early = ask(&book, "LW-41", &code(text), &[], true);
        let late = ask(&book, "LW-52", &code(text), &[], true);
        assert_eq!(early.leader, "gfx-chip", "{text}");
        assert_eq!(late.leader, "bank", "{text}");
        assert_ne!(early.first, late.first, "{text}");
        // Both suspects stay in the race on both boards: no one fix for all.
        for asked in [&early, &late] {
            assert!(share(&book, asked, "bank") > 0.15 && share(&book, asked, "gfx-chip") > 0.15);
        }
    }
    // The shares before anything is known follow the rule.
    let chip = |board: &str| {
        let priors = priors(&book, board, &[], true);
        let own = |id: &str| {
            let at = book.causes.iter().position(|c| c.id == id).unwrap();
            priors
                .rows
                .iter()
                .find(|r| r.cause == at)
                .map_or(0.0, |r| r.share)
        };
        own("gfx-chip") + own("gfx-balls") + own("gfx-short")
    };
    assert!((0.38..0.55).contains(&chip("LW-41")), "{}", chip("LW-41"));
    assert!((0.12..0.28).contains(&chip("LW-52")), "{}", chip("LW-52"));
    // A code that settles it gives the same leader everywhere.
    for board in ["LW-41", "LW-47", "LW-52"] {
        assert_eq!(
            ask(&book, board, &code("E100"), &[], true).leader,
            "cooling"
        );
        assert_eq!(ask(&book, board, &code("3100"), &[], true).leader, "mlcc");
    }
}

/// Measure before you heat (common practice, no source): whatever single code of
/// the demo books is seen, a repair with heat comes first only when its suspect
/// is all but sure, or when the book has no cheap check that speaks for it.
#[test]
fn heat_is_not_the_first_idea() {
    let mut repairs = 0;
    for name in ["orrery", "halyard", "tamsin"] {
        let book = book(name);
        for board in &book.boards {
            for row in &book.codes {
                let facts = code(&row.code.replace('?', "0"));
                let asked = ask(&book, &board.id, &facts, &[], true);
                let Deed::Repair(r) = asked.first else {
                    continue;
                };
                let repair = &book.repairs[r];
                if !repair.heat {
                    continue;
                }
                repairs += 1;
                let priors = priors(&book, &board.id, &[], true);
                let question = Question {
                    book: &book,
                    board: "LW-41",
                    priors: &priors,
                    facts: &facts,
                };
                let found = answer(&question);
                let all = options(&book, &board.id, &found, &facts, &Weights::default());
                let speaking = speaking_for(&book, &all.choices, &repair.id);
                let mild = speaking.iter().filter(|c| {
                    let check = &book.checks[**c];
                    let cheap = check_price(check, &Weights::default()).all
                        <= repair_price(repair, &Weights::default()).all / 2.0;
                    check.risk != "real" && cheap
                });
                let sure = asked.answer.suspects[0].now > SURE;
                assert!(
                    sure || mild.count() == 0,
                    "{name} {} {}: {}",
                    board.id,
                    row.code,
                    repair.id
                );
            }
        }
    }
    assert!(repairs < 12, "{repairs} codes lead to heat at once");
}

#[test]
fn outcomes_move_the_answer_and_opinion_can_be_off() {
    let book = book("orrery");
    let own = |n: usize| {
        vec![
            Outcome {
                board: "LW-52".into(),
                causes: vec!["gfx-chip".into()]
            };
            n
        ]
    };
    let mut last = 0.0;
    for n in [0, 1, 3, 10, 100] {
        let asked = ask(&book, "LW-52", &code("44D0"), &own(n), true);
        let now = share(&book, &asked, "gfx-chip");
        assert!(now > last, "{n} outcomes: {now}, before {last}");
        last = now;
    }
    assert!(last > 0.7);
    // Another board's outcomes count too, but less.
    let here = share(
        &book,
        &ask(&book, "LW-52", &code("44D0"), &own(10), true),
        "gfx-chip",
    );
    let other: Vec<Outcome> = own(10)
        .into_iter()
        .map(|o| Outcome {
            board: "LW-47".into(),
            ..o
        })
        .collect();
    let there = share(
        &book,
        &ask(&book, "LW-52", &code("44D0"), &other, true),
        "gfx-chip",
    );
    let none = share(
        &book,
        &ask(&book, "LW-52", &code("44D0"), &[], true),
        "gfx-chip",
    );
    assert!(none < there && there < here, "{none} {there} {here}");
    // Without opinion and without outcomes all causes begin equal.
    let flat = priors(&book, "LW-52", &[], false);
    let shares: Vec<f64> = flat.rows.iter().map(|r| r.share).collect();
    assert!(
        shares.windows(2).all(|w| (w[0] - w[1]).abs() < 1e-12),
        "{shares:?}"
    );
    // All shares add up to 1, whatever is counted.
    for (board, all, opinion) in [
        ("LW-41", own(3), true),
        ("", own(3), true),
        ("LW-52", own(3), false),
        ("no-such", vec![], true),
    ] {
        let sum: f64 = priors(&book, board, &all, opinion).shares().iter().sum();
        assert!((sum - 1.0).abs() < 1e-9, "{board} {sum}");
    }
}

/// A console that stops at the main supply plays no disc: that check is not
/// offered before power-up gets to the drive.
#[test]
fn checks_wait_for_the_step_that_they_need() {
    let book = book("tamsin");
    let disc = book
        .checks
        .iter()
        .position(|c| c.id == "clean-disc")
        .unwrap();
    let step = |id: &str| book.steps.iter().position(|s| s.id == id);
    let priors = priors(&book, "TM-1", &[], true);
    for (stop, offered) in [
        (None, true),
        (step("03"), false),
        (step("12"), false),
        (step("13"), true),
    ] {
        let facts = Facts {
            stop,
            ..Facts::default()
        };
        let question = Question {
            book: &book,
            board: "TM-1",
            priors: &priors,
            facts: &facts,
        };
        let found = answer(&question);
        let all = options(&book, "TM-1", &found, &facts, &Weights::default());
        assert_eq!(
            all.choices.iter().any(|c| c.deed == Deed::Check(disc)),
            offered,
            "{stop:?}"
        );
        let told = found
            .suspects
            .iter()
            .flat_map(|s| found.alike(&question, s.at));
        let apart = told.filter_map(|a| a.check).any(|(c, _)| c == disc);
        assert!(offered || !apart, "{stop:?}");
    }
}

/// What was seen and the leading suspects hardly bring about is named, with what
/// does.
#[test]
fn what_leads_but_does_not_explain() {
    let book = book("orrery");
    let mut facts = code("44D0");
    let low = Noticed {
        key: Key::Check("ohm-gfx".to_owned(), "low".to_owned()),
        if_there: 0.99,
        if_not: 0.01,
        record: "m".to_owned(),
        ..facts.noticed[0].clone()
    };
    let ask = |facts: &Facts| {
        ask(&book, "LW-41", facts, &[], true)
            .answer
            .unexplained(facts)
    };
    assert!(ask(&facts).is_empty());
    facts.noticed.push(low);
    let odd = ask(&facts);
    assert_eq!(odd.len(), 1);
    assert_eq!(odd[0].0, 1);
    let cause = |at: usize| {
        let found = answer(&Question {
            book: &book,
            board: "LW-41",
            priors: &priors(&book, "LW-41", &[], true),
            facts: &facts,
        });
        book.causes[found.model.causes[at]].id.clone()
    };
    let others: Vec<String> = odd[0].1.iter().map(|at| cause(*at)).collect();
    assert!(others.contains(&"gfx-short".to_owned()), "{others:?}");
    assert!(!others.contains(&"gfx-chip".to_owned()), "{others:?}");
    // Only tried out: nothing to look at again.
    facts.noticed[1].record.clear();
    assert!(ask(&facts).is_empty());
}

/// What the book does not list is learnt too: a Beta prior and a count, as in
/// `references.md` c8.
#[test]
fn what_the_book_does_not_list_is_counted() {
    let book = book("orrery");
    let job = |cause: &str| Outcome {
        board: "LW-47".into(),
        causes: vec![cause.into()],
    };
    let of = |outcomes: &[Outcome], opinion| priors(&book, "LW-52", outcomes, opinion).unlisted;
    let said = of(&[], true);
    let (n, k) = (8, 3);
    let mut all = vec![job(NOT_LISTED); k];
    all.extend(vec![job("bank"); n - k]);
    let now = of(&all, true);
    let hand = (said.share * said.counted + k as f64) / (said.counted + n as f64);
    assert!((now.share - hand).abs() < 1e-12 && now.share > said.share);
    assert!((now.counted - said.counted - n as f64).abs() < 1e-12);
    assert!(of(&vec![job("bank"); 8], true).share < said.share);
    // The book's word is opinion, too.
    let mut other = book.clone();
    other.unlisted = "mostly".to_owned();
    let without = priors(&other, "LW-52", &[], false).unlisted;
    assert_eq!(without, of(&[], false));
    let sum: f64 = priors(&book, "LW-52", &all, true).shares().iter().sum();
    assert!((sum - 1.0).abs() < 1e-9);
}

#[test]
fn a_cause_that_a_board_never_has_is_no_suspect() {
    let book = book("halyard");
    let at = book
        .causes
        .iter()
        .position(|c| c.id == "flat-caps")
        .unwrap();
    assert!(
        priors(&book, "HB-5", &[], true)
            .rows
            .iter()
            .all(|r| r.cause != at)
    );
    assert!(
        priors(&book, "HB-3", &[], true)
            .rows
            .iter()
            .any(|r| r.cause == at)
    );
}

#[test]
fn ranges_hold_the_answer_and_repeat() {
    let book = book("orrery");
    let (a, b) = (
        ask(&book, "LW-41", &code("44D0"), &[], true),
        ask(&book, "LW-41", &code("44D0"), &[], true),
    );
    assert_eq!(
        a.answer.suspects, b.answer.suspects,
        "the same question, the same range"
    );
    for s in &a.answer.suspects {
        assert!(s.low <= s.now && s.now <= s.high && s.low >= 0.0 && s.high <= 1.0);
    }
    assert!(
        a.answer.suspects[0].high - a.answer.suspects[0].low > 0.05,
        "nothing is that sure"
    );
    assert_eq!(a.answer.draws, 300);
}

#[test]
fn trying_out_is_as_knowing_and_is_undone() {
    let facts = code("44D0");
    let key = Key::Symptom("warm-start".to_owned());
    let with = turned(&facts, &[(key.clone(), Turn::Seen)]);
    assert_eq!(with.noticed.len(), 2);
    let without = turned(&with, &[(key, Turn::Unknown)]);
    assert_eq!(without, facts);
    let none = turned(&facts, &[(Key::Code("44D0".to_owned()), Turn::Unknown)]);
    assert!(none.noticed.is_empty());
}

#[test]
fn a_repair_that_did_not_help_clears_its_suspect() {
    let book = book("orrery");
    let mut facts = code("44D0");
    let before = ask(&book, "LW-47", &facts, &[], true);
    facts.repairs.push("new-bank".to_owned());
    let after = ask(&book, "LW-47", &facts, &[], true);
    assert!(share(&book, &after, "bank") < share(&book, &before, "bank") / 1.5);
    assert!(share(&book, &after, "gfx-chip") > share(&book, &before, "gfx-chip"));
    let at = book
        .repairs
        .iter()
        .position(|r| r.id == "new-bank")
        .unwrap();
    assert_ne!(after.first, Deed::Repair(at), "it is not advised again");
}

/// The same code once more after the repair: then the repair did not reach what
/// writes it, more than when the code is only known from before.
#[test]
fn the_same_code_after_a_repair_counts_for_what_is_left() {
    let book = book("orrery");
    let mut facts = code("44D0");
    facts.repairs.push("new-bank".to_owned());
    let before = ask(&book, "LW-47", &facts, &[], true);
    facts.noticed[0].after = 1;
    let after = ask(&book, "LW-47", &facts, &[], true);
    for cause in ["bank", "gfx-chip"] {
        let [before, after] = [&before, &after].map(|a| share(&book, a, cause));
        assert!(after > before, "{cause}: {before} {after}");
    }
    let none = |a: &Asked| {
        a.answer
            .suspects
            .iter()
            .find(|s| s.cause.is_none())
            .map(|s| s.now)
    };
    assert!(
        none(&after) < none(&before),
        "what shows no code explains it less"
    );
}

#[test]
fn a_kept_diagnosis_is_read_back_as_it_was() {
    let book = book("orrery");
    let mut facts = code("44D0");
    facts.repairs.push("new-bank".to_owned());
    let priors = priors(&book, "LW-41", &[], true);
    let question = Question {
        book: &book,
        board: "LW-41",
        priors: &priors,
        facts: &facts,
    };
    let mut found = answer(&question);
    found.ranges(&question, &Draws::new(question.priors));
    let all = options(&book, "LW-41", &found, &facts, &Weights::default());
    let frozen = freeze(
        &book,
        ("LW-41", true, 3),
        |n| n.key.text() + ", in words",
        &found,
        &facts,
        &all,
    );
    let back = Frozen::from_json(&frozen.to_json()).unwrap();
    assert_eq!(back.version, book.version);
    assert_eq!(
        (back.board.as_str(), back.opinion, back.outcomes),
        ("LW-41", true, 3)
    );
    assert_eq!(back.suspects.len(), frozen.suspects.len());
    for (a, b) in back.suspects.iter().zip(&frozen.suspects) {
        assert_eq!((&a.id, &a.title), (&b.id, &b.title));
        assert!((a.now - b.now).abs() < 1e-4 && (a.low - b.low).abs() < 1e-4);
    }
    assert_eq!(back.noticed[0].key, "code 44D0");
    assert_eq!(back.noticed[0].name, "code 44D0, in words");
    assert_eq!(back.repairs, ["replace the bank capacitors"]);
    assert_eq!(
        Frozen::from_json(&back.to_json()),
        Some(back),
        "twice is the same"
    );
    for any in [
        json!(null),
        json!([]),
        json!({ "suspects": 5 }),
        json!({ "suspects": [[1, 2], "x", ["a", "b", -1, 7, null, "z"]], "noticed": [[]] }),
    ] {
        let Some(read) = Frozen::from_json(&any) else {
            continue;
        };
        assert!(read.suspects.iter().all(|s| (0.0..=1.0).contains(&s.now)));
    }
}

fn job(id: &str, more: Value) -> Item {
    let mut data =
        json!({ "console": "c", "stage": "closed", "outcome": "repaired", "broken": ["bank"] });
    for (k, v) in more.as_object().unwrap() {
        data[k] = v.clone();
    }
    item(id, "job", data)
}

#[test]
fn which_jobs_count() {
    let home = item("c", "console", json!({ "book": "b", "board": "LW-41" }));
    let counted = |jobs: Vec<Item>| {
        let mut all = vec![home.clone()];
        all.extend(jobs);
        outcomes(&all, "b", "").len()
    };
    assert_eq!(counted(vec![job("1", json!({}))]), 1);
    for not in [
        json!({ "stage": "open" }),
        json!({ "outcome": "partly" }),
        json!({ "outcome": "given-up" }),
        json!({ "broken": [] }),
        json!({ "broken": "bank" }),
        json!({ "console": "elsewhere" }),
    ] {
        assert_eq!(counted(vec![job("1", not.clone())]), 0, "{not}");
    }
    let look = |found: &str| item("f", "follow-up", json!({ "job": "1", "found": found }));
    assert_eq!(
        counted(vec![job("1", json!({})), look("same-fault")]),
        0,
        "it did not hold"
    );
    assert_eq!(counted(vec![job("1", json!({})), look("holds")]), 1);
    assert_eq!(counted(vec![job("1", json!({})), look("other-fault")]), 1);
    assert!(
        outcomes(&[home.clone(), job("1", json!({}))], "b", "1").is_empty(),
        "not for itself"
    );
    assert!(outcomes(&[home.clone(), job("1", json!({}))], "another", "").is_empty());
}

#[test]
fn the_last_kept_diagnosis_of_a_job_counts() {
    let state = |id: &str| json!({ "suspects": [[id, id, 0.5, 0.7, 0.5, 0.9]] });
    let mut first = item(
        "d1",
        "diagnosis",
        json!({ "job": "1", "state": state("memory") }),
    );
    first.created = 1;
    let mut second = item(
        "d2",
        "diagnosis",
        json!({ "job": "1", "state": state("bank") }),
    );
    second.created = 2;
    let all = past(&[job("1", json!({})), first, second, job("2", json!({}))]);
    assert_eq!(all.len(), 1, "a job without a diagnosis says nothing");
    assert_eq!(all[0].0.suspects[0].id, "bank");
    assert_eq!(all[0].1, ["bank"]);
}

/// Bands with Wilson's range (`references.md` b3: 7 of 12 and 9 of 10 at 95 %;
/// here 90 %, computed with the formula of NIST 7.2.4.1).
#[test]
fn bands_count_what_was_said() {
    let said = |id: &str, now: f64| Then {
        id: id.to_owned(),
        now,
        ..Then::default()
    };
    let one = |right: &str| {
        let suspects = vec![said("a", 0.7), said("b", 0.25), said("", 0.05)];
        (
            Frozen {
                suspects,
                ..Frozen::default()
            },
            vec![right.to_owned()],
        )
    };
    let mut jobs: Vec<_> = (0..7).map(|_| one("a")).collect();
    jobs.extend((0..4).map(|_| one("b")));
    // One whose cause was not among them: "none of these" was right.
    jobs.push(one("elsewhere"));
    let rows = bands(&jobs);
    assert_eq!((rows[3].called, rows[3].right), (12, 7));
    assert_eq!((rows[1].called, rows[1].right), (12, 4));
    assert_eq!((rows[0].called, rows[0].right), (12, 1));
    assert!(rows[3].enough && rows[3].called >= ENOUGH);
    let (low, high) = rows[3].range.unwrap();
    let (p, n, z) = (7.0 / 12.0, 12.0, 1.644_853_626_951_472_2_f64);
    let half = z * (p * (1.0 - p) / n + z * z / (4.0 * n * n)).sqrt() / (1.0 + z * z / n);
    let middle = (p + z * z / (2.0 * n)) / (1.0 + z * z / n);
    assert!((low - (middle - half)).abs() < 1e-9 && (high - (middle + half)).abs() < 1e-9);
    assert!((rows[3].said - 0.7).abs() < 1e-9);
    assert_eq!(rows[4].range, None, "nothing was called so: no estimate");
    let few = bands(&jobs[..3]);
    assert!(!few[3].enough, "three are too few to say");
}
