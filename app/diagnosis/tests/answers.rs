//! Answers and options as a whole: what must add up, and what must move which
//! way. Written from a list of changes to the code that no test had noticed.
#![allow(
    clippy::unwrap_used,
    clippy::indexing_slicing,
    clippy::panic,
    reason = "tests may panic"
)]

mod support;

use codebook::Book;
use codebook::model::CodeBook;
use codebook::often::Often;
use diagnosis::Key;
use diagnosis::draws::Draws;
use diagnosis::exact::posterior;
use diagnosis::facts::{Facts, Noticed, of_job};
use diagnosis::network::{Finding, Network, Observed};
use diagnosis::next::{Choice, Deed, Options, options};
use diagnosis::plan::{Action, best_sequence, cost_of};
use diagnosis::pool::{Count, Pool};
use diagnosis::price::{Price, Weights, repair_price};
use diagnosis::prior::{Priors, priors};
use diagnosis::random::Random;
use diagnosis::suspects::{Answer, Of, Question, answer};
use diagnosis::trial::{Turn, turned};
use serde_json::{Value, json};
use support::item;

fn orrery() -> CodeBook {
    support::book("orrery")
}

/// A small invented book: two causes, two checks, two repairs.
fn small(change: impl FnOnce(&mut Value)) -> CodeBook {
    let mut doc = json!({ "format": 1, "id": "small", "version": "1", "name": "small", "licence": "CC0-1.0", "layouts": [],
        "boards": [{ "id": "B1", "name": "b" }],
        "symptoms": [{ "id": "s", "title": "s" }, { "id": "t", "title": "t" }],
        "causes": [
            { "id": "a", "title": "a", "repairs": ["ra"], "seen": { "B1": { "cases": 20, "of": 40 } },
              "links": [{ "kind": "symptom", "name": "s", "often": "mostly" }, { "kind": "code", "name": "12??", "often": "nearly always" }, { "kind": "code", "name": "1234", "often": "rarely" }] },
            { "id": "b", "title": "b", "repairs": ["rb"], "seen": { "B1": { "cases": 10, "of": 40 } },
              "links": [{ "kind": "symptom", "name": "t", "often": "7 of 10" }, { "kind": "symptom", "name": "s", "often": "rarely" }] }],
        "checks": [
            { "id": "k", "title": "k", "how": ["x"], "minutes": 1, "results": [
                { "id": "bad", "says": "bad", "shows": [{ "cause": "a", "often": "nearly always" }] }, { "id": "fine", "says": "fine" }] },
            { "id": "dull", "title": "dull", "how": ["x"], "minutes": 0, "results": [
                { "id": "bad", "says": "bad", "shows": [{ "cause": "a", "often": "5 of 10" }, { "cause": "b", "often": "5 of 10" }] }, { "id": "fine", "says": "fine" }] }],
        "repairs": [
            { "id": "ra", "title": "ra", "difficulty": 2, "minutes": 20, "money": 5, "mends": "always" },
            { "id": "rb", "title": "rb", "difficulty": 3, "minutes": 50, "money": 10, "heat": true }] });
    change(&mut doc);
    Book::load(doc.to_string().as_bytes())
        .unwrap_or_else(|p| panic!("{p:#?}"))
        .model
}

fn seen(key: &str) -> Noticed {
    Noticed {
        key: Key::parse(key).unwrap(),
        if_there: 1.0,
        if_not: 0.05,
        after: 0,
        why: String::new(),
        record: String::new(),
    }
}

fn facts(keys: &[&str]) -> Facts {
    Facts {
        noticed: keys.iter().map(|k| seen(k)).collect(),
        ..Facts::default()
    }
}

struct Case {
    book: CodeBook,
    board: &'static str,
    priors: Priors,
    facts: Facts,
}

impl Case {
    fn new(book: CodeBook, board: &'static str, facts: Facts) -> Self {
        let priors = priors(&book, board, &[], true);
        Self {
            book,
            board,
            priors,
            facts,
        }
    }

    fn question(&self) -> Question<'_> {
        Question {
            book: &self.book,
            board: self.board,
            priors: &self.priors,
            facts: &self.facts,
        }
    }

    fn answer(&self) -> Answer {
        let mut found = answer(&self.question());
        found.ranges(&self.question(), &Draws::new(&self.priors));
        found
    }

    fn options(&self) -> Options {
        options(
            &self.book,
            self.board,
            &self.answer(),
            &self.facts,
            &Weights::default(),
        )
    }

    fn now(&self, id: &str) -> (f64, f64, f64) {
        let at = self.book.causes.iter().position(|c| c.id == id).unwrap();
        let found = self.answer();
        let s = found.suspects.iter().find(|s| s.cause == Some(at)).unwrap();
        (s.now, s.low, s.high)
    }
}

/// Good: the weight is 10 log10 of the ratio of the odds (`references.md` c6). A
/// repair that did not help is a reason, too.
#[test]
fn a_reason_is_the_change_of_the_odds() {
    let mut known = facts(&["symptom s", "symptom t"]);
    let case = Case::new(small(|_| {}), "B1", known.clone());
    let found = case.answer();
    let first = found.suspects.iter().find(|s| s.cause == Some(0)).unwrap();
    let reasons = found.reasons(first.at);
    let of = |n: usize| {
        let reason = reasons.iter().find(|r| r.of == Of::Noticed(n));
        reason.unwrap().weight
    };
    assert!(of(0) > 3.0 && of(1) < -1.0, "{reasons:?}");
    reasons_are_what_they_say(&case, 2);
    known.repairs.push("rb".to_owned());
    known.noticed[1].after = 1;
    reasons_are_what_they_say(&Case::new(small(|_| {}), "B1", known), 3);
}

fn reasons_are_what_they_say(case: &Case, count: usize) {
    let found = case.answer();
    for s in &found.suspects {
        let reasons = found.reasons(s.at);
        assert_eq!(reasons.len(), count);
        for reason in reasons {
            let mut rest = case.facts.clone();
            match reason.of {
                Of::Noticed(at) => drop(rest.noticed.remove(at)),
                Of::Repair(at) => {
                    rest.repairs.remove(at);
                    rest.noticed.iter_mut().for_each(|n| n.after = 0);
                }
            }
            let other = Case::new(small(|_| {}), "B1", rest).answer();
            let p = other.suspects.iter().find(|o| o.at == s.at).unwrap().now;
            assert!((reason.without - p).abs() < 1e-9);
            let db = 10.0 * ((s.now / (1.0 - s.now)) / (p / (1.0 - p))).log10();
            assert!((reason.weight - db).abs() < 1e-6, "{} {db}", reason.weight);
        }
    }
}

#[test]
fn pairs_are_joint_probabilities() {
    let case = Case::new(small(|_| {}), "B1", facts(&["symptom s", "symptom t"]));
    let found = case.answer();
    let net = &found.model.network;
    let pairs = found.pairs();
    assert!(!pairs.is_empty());
    for (i, j, p) in pairs {
        let (mut both, mut all) = (0.0, 0.0);
        for set in 1_usize..1 << net.causes.len() {
            let on = |i: usize| set >> i & 1 == 1;
            let mut w = 1.0;
            for (i, p) in net.causes.iter().enumerate() {
                w *= if on(i) { *p } else { 1.0 - p };
            }
            for o in &found.evidence {
                let f = &net.findings[o.finding];
                let q = f
                    .links
                    .iter()
                    .filter(|(i, _)| on(*i))
                    .fold(1.0 - f.leak, |q, (_, c)| q * (1.0 - c));
                w *= o.if_there * (1.0 - q) + o.if_not * q;
            }
            all += w;
            both += if on(i) && on(j) { w } else { 0.0 };
        }
        assert!((p - both / all).abs() < 1e-9, "{p} {}", both / all);
    }
}

/// The chances of a check's results add up to 1, with few findings and with more
/// than can be summed over; and what is promised comes.
#[test]
fn the_results_of_a_check_add_up_and_come_true() {
    let book = orrery();
    let many: Vec<String> = book
        .symptoms
        .iter()
        .map(|s| format!("symptom {}", s.id))
        .chain(["code 44D0".into(), "code 5E91".into(), "code 3100".into()])
        .collect();
    for n in [1, 5, 12, 13, 14, many.len()] {
        let keys: Vec<&str> = many.iter().rev().take(n).map(String::as_str).collect();
        let case = Case::new(orrery(), "LW-41", facts(&keys));
        let found = case.answer();
        assert_eq!(found.left_out.is_empty(), n <= 13);
        for check in &book.checks {
            let results = found.results(check);
            let sum: f64 = results.iter().map(|(chance, _)| chance).sum();
            assert!(
                (sum - 1.0).abs() < 1e-9,
                "{n} findings, {}: {sum}",
                check.id
            );
        }
    }
    let case = Case::new(orrery(), "LW-41", facts(&["code 44D0"]));
    let found = case.answer();
    // Measured ones come true by a value; those that a person chooses, here.
    let chosen = book
        .checks
        .iter()
        .filter(|c| c.results.iter().all(|r| r.when.is_empty()));
    for check in chosen {
        for (r, (_, after)) in found.results(check).iter().enumerate() {
            let data = json!({ "job": "j", "check": check.id, "answer": check.results[r].id });
            let item = item("c", "check", data);
            let mut then = of_job(&book, "LW-41", &[&item], None);
            then.noticed.insert(0, seen("code 44D0"));
            let came = Case::new(orrery(), "LW-41", then).answer();
            for s in &came.suspects {
                assert!(
                    (s.now - after[s.at]).abs() < 1e-9,
                    "{} {}: {} {}",
                    check.id,
                    check.results[r].id,
                    s.now,
                    after[s.at]
                );
            }
        }
    }
}

/// The same for a measured value far below its window; and without a board no
/// check that is for one board only is advised.
#[test]
fn a_measured_result_comes_true() {
    let book = orrery();
    let case = Case::new(orrery(), "LW-41", facts(&["code 44D0"]));
    let check = book.checks.iter().find(|c| c.id == "ohm-gfx").unwrap();
    assert_eq!(check.results[0].when, "below");
    let promised = &case.answer().results(check)[0].1;
    let data = json!({ "job": "j", "check": check.id, "value": "0.01" });
    let item = item("m", "measurement", data);
    let mut then = of_job(&book, "LW-41", &[&item], None);
    then.noticed.insert(0, seen("code 44D0"));
    for s in &Case::new(orrery(), "LW-41", then).answer().suspects {
        assert!((s.now - promised[s.at]).abs() < 1e-9);
    }
    let unknown = Case::new(orrery(), "", facts(&["code 44D0"])).options();
    for choice in &unknown.choices {
        if let Deed::Check(at) = choice.deed {
            assert!(book.checks[at].only.is_empty(), "{}", book.checks[at].id);
        }
    }
}

#[test]
fn the_exact_code_stands_before_the_open_one() {
    // "rarely" for 1234 itself, "nearly always" for 12??.
    let with = |code: &str| Case::new(small(|_| {}), "B1", facts(&[code])).now("a").0;
    assert!(with("code 1299") > with("code 1234"));
}

#[test]
fn what_is_listed_without_a_word_counts_as_sometimes() {
    let plain = small(|doc| {
        doc["causes"][0]["links"] = json!([]);
        doc["causes"][0]["symptoms"] = json!(["s"]);
    });
    let said = small(|doc| {
        doc["causes"][0]["links"] =
            json!([{ "kind": "symptom", "name": "s", "often": "sometimes" }])
    });
    let now = |book| Case::new(book, "B1", facts(&["symptom s"])).now("a").0;
    assert!((now(plain) - now(said)).abs() < 1e-12);
}

/// A word leaves more doubt than a count of hundreds, and the range says so.
#[test]
fn a_range_follows_what_is_known() {
    let wide = Case::new(small(|_| {}), "B1", facts(&["symptom t"])).now("b");
    let sharp = small(|doc| {
        doc["causes"][1]["links"] = json!([{ "kind": "symptom", "name": "t", "often": "7000 of 10000" }, { "kind": "symptom", "name": "s", "often": "rarely" }]);
    });
    let sharp = Case::new(sharp, "B1", facts(&["symptom t"])).now("b");
    assert!(wide.2 - wide.1 > sharp.2 - sharp.1, "{wide:?} {sharp:?}");
    assert!(wide.1 < wide.0 - 0.02 && wide.2 > wide.0 + 0.02, "{wide:?}");
}

#[test]
fn a_second_fault_in_one_of_twenty() {
    for board in ["LW-41", "LW-52"] {
        let case = Case::new(orrery(), board, Facts::default());
        let net = case.answer().model.network;
        let none: f64 = net.causes.iter().map(|p| 1.0 - p).product();
        let one: f64 = (0..net.causes.len())
            .map(|i| none / (1.0 - net.causes[i]) * net.causes[i])
            .sum();
        let second = (1.0 - none - one) / (1.0 - none);
        assert!((0.03..0.06).contains(&second), "{board}: {second}");
    }
}

#[test]
fn pools_and_limits() {
    // Without any count each of k choices has 1/k.
    for k in [2_usize, 5, 18] {
        let pool = Pool::new(&[Count::default(); 3], k);
        assert!(
            (pool.mean(1) - 1.0 / k as f64).abs() < 0.01,
            "{k}: {}",
            pool.mean(1)
        );
    }
    // An opinion of a thousand counts as forty.
    let share = |of: u32| {
        let book =
            small(|doc| doc["causes"][0]["seen"]["B1"] = json!({ "cases": of / 2, "of": of }));
        let priors = priors(&book, "B1", &[], true);
        (priors.rows[0].opinion.of, priors.rows[0].share)
    };
    assert_eq!(share(1000).0, 40.0);
    assert!((share(1000).1 - share(40).1).abs() < 1e-9);
    // Small shapes are drawn right: Beta(0.5, 9.5) has mean 0.05.
    let mut random = Random::new(1);
    let mean = (0..40_000).map(|_| random.beta(0.5, 9.5)).sum::<f64>() / 40_000.0;
    assert!((mean - 0.05).abs() < 0.002, "{mean}");
}

#[test]
fn how_often_in_words_and_counts() {
    for (text, share, counted) in [
        ("never", 0.0, f64::INFINITY),
        ("rarely", 0.05, 10.0),
        ("sometimes", 0.3, 10.0),
        ("mostly", 0.7, 10.0),
        ("nearly always", 0.95, 10.0),
        ("always", 1.0, f64::INFINITY),
        ("7 of 12", 7.5 / 13.0, 13.0),
        ("0 of 20", 0.5 / 21.0, 21.0),
    ] {
        let often = Often::parse(text).unwrap();
        assert!(
            (often.share - share).abs() < 1e-12 && often.counted == counted,
            "{text}"
        );
    }
    for text in [
        "",
        "often",
        "7 of",
        "8 of 7",
        "0 of 0",
        "-1 of 5",
        "1 of 999999",
        "1.5 of 3",
    ] {
        assert_eq!(Often::parse(text), None, "{text}");
    }
}

#[test]
fn two_tries_at_one_half() {
    let half = |i| Action {
        look: 10.0,
        mend: 0.0,
        mends: vec![(i, 0.5)],
    };
    // 10 + (1 - .5) * 10 + (1 - .75) * 100.
    assert!((cost_of(&[1.0], &[half(0), half(0)], &[0, 1], 100.0) - 40.0).abs() < 1e-9);
    assert_eq!(
        best_sequence(&[1.0], &[half(0), half(0)], 100.0)
            .order
            .len(),
        2
    );
}

/// Weak evidence by hand, also where what speaks against it is not 1.
#[test]
fn weak_evidence_by_hand() {
    let net = Network {
        causes: vec![0.3],
        findings: vec![Finding {
            leak: 0.1,
            links: vec![(0, 0.8)],
        }],
    };
    for (there, not) in [(1.0, 0.2), (0.0, 0.5), (0.4, 0.4), (0.3, 0.9)] {
        let with = 0.3 * (there * 0.82 + not * 0.18);
        let without = 0.7 * (there * 0.1 + not * 0.9);
        let p = posterior(&net, &[Observed::weak(0, there, not)], &[]).unwrap();
        assert!((p.evidence - with - without).abs() < 1e-12, "{there} {not}");
        assert!((p.likelihood - with).abs() < 1e-12);
    }
}

/// Beyond the cap the findings that tell most are kept.
#[test]
fn the_cap_leaves_out_what_tells_least() {
    let findings = (0..20).map(|f| Finding {
        leak: 0.05,
        links: vec![(0, if f < 5 { 0.01 } else { 0.9 })],
    });
    let net = Network {
        causes: vec![0.1, 0.1],
        findings: findings.collect(),
    };
    let evidence: Vec<Observed> = (0..20).map(Observed::seen).collect();
    let p = posterior(&net, &evidence, &[]).unwrap();
    assert_eq!(p.left_out[..5], [0, 1, 2, 3, 4], "{:?}", p.left_out);
}

fn price(choices: &[Choice], deed: &Deed) -> Price {
    choices
        .iter()
        .find(|c| c.deed == *deed)
        .map(|c| c.price)
        .unwrap()
}

#[test]
fn prices_and_expectations_by_hand() {
    let weights = Weights::default();
    let book = small(|_| {});
    // 20 minutes and 10 to try it at 3 an hour, 5 in money, no risk.
    assert!((repair_price(&book.repairs[0], &weights).all - 6.5).abs() < 1e-9);
    // Difficulty 3 is a small risk; heat alone would be one too.
    assert!((repair_price(&book.repairs[1], &weights).risk - weights.small).abs() < 1e-9);
    let case = Case::new(book, "B1", facts(&["symptom s"]));
    let all = case.options();
    let repair = all
        .choices
        .iter()
        .find(|c| matches!(c.deed, Deed::Repair(_)))
        .unwrap();
    assert_eq!(
        repair.order[0], 0,
        "the leading suspect's repair is also the cheaper one"
    );
    // By hand: suspects as single faults, both repairs, then giving up.
    let found = case.answer();
    let sum: f64 = found.suspects.iter().map(|s| s.now).sum();
    let p = |cause: Option<usize>| {
        found
            .suspects
            .iter()
            .find(|s| s.cause == cause)
            .unwrap()
            .now
            / sum
    };
    let (a, b, other) = (p(Some(0)), p(Some(1)), p(None));
    let rb = repair_price(&case.book.repairs[1], &weights).all;
    let heat = weights.needless;
    let left = other + b * 0.05;
    let expected = 6.5 + (b + other) * rb + left * heat + left * weights.console;
    assert!(
        (repair.expected - expected).abs() < 1e-6,
        "{} {expected}",
        repair.expected
    );
    assert!(a > b);
    assert!((price(&all.choices, &Deed::Stop).all - weights.console).abs() < 1e-9);
}

#[test]
fn a_check_that_tells_nothing_waits() {
    let case = Case::new(small(|_| {}), "B1", facts(&["symptom s"]));
    let all = case.options();
    let of = |id: &str| {
        let at = case.book.checks.iter().position(|c| c.id == id).unwrap();
        all.choices
            .iter()
            .find(|c| c.deed == Deed::Check(at))
            .unwrap()
    };
    // It costs nothing and shows both suspects alike.
    assert!(of("dull").waits, "{all:#?}");
    // The same book without a telling check beside it changes nothing for it.
    let last = all.choices.iter().position(|c| c.waits).unwrap();
    assert!(
        all.choices[last..].iter().all(|c| c.waits),
        "what waits stands behind"
    );
}

#[test]
fn trying_out_seen_raises_what_shows_it() {
    let book = small(|_| {});
    let base = Case::new(book.clone(), "B1", facts(&["symptom s"]));
    let with = |turn| {
        let turned = turned(&base.facts, &[(Key::Symptom("t".into()), turn)]);
        Case::new(book.clone(), "B1", turned).now("b").0
    };
    assert!(with(Turn::Seen) > base.now("b").0 && base.now("b").0 > with(Turn::NotSeen));
    assert!((with(Turn::Unknown) - base.now("b").0).abs() < 1e-12);
}

#[test]
fn a_contradiction_is_told_and_not_reasoned_about() {
    let book = small(|doc| {
        for cause in [0, 1] {
            doc["causes"][cause]["links"] =
                json!([{ "kind": "symptom", "name": "s", "often": "always" }]);
        }
        doc["unlisted"] = json!("never");
    });
    let mut none = facts(&["symptom s"]);
    none.noticed[0].if_there = 0.0;
    none.noticed[0].if_not = 1.0;
    let case = Case::new(book, "B1", none);
    let found = case.answer();
    assert!(found.contradicts);
    assert!(
        found
            .suspects
            .iter()
            .all(|s| s.now.is_finite() && found.reasons(s.at).is_empty())
    );
}

/// A measured value, then a chosen result of the same check, and the other way
/// round: the later record counts.
#[test]
fn the_later_record_of_a_check_counts() {
    let book = orrery();
    let check = book
        .checks
        .iter()
        .find(|c| c.measure.is_some() && c.results.iter().any(|r| !r.when.is_empty()))
        .unwrap();
    let low = item(
        "m1",
        "measurement",
        json!({ "check": check.id, "value": "0.001" }),
    );
    let high = item(
        "m2",
        "measurement",
        json!({ "check": check.id, "value": "5.00" }),
    );
    for (items, record) in [([&low, &high], "m2"), ([&high, &low], "m1")] {
        let found = of_job(&book, "LW-41", &items, None);
        assert!(
            !found.noticed.is_empty() && found.noticed.iter().all(|n| n.record == record),
            "{found:#?}"
        );
        for n in &found.noticed {
            assert!((n.if_there + n.if_not - 1.0).abs() < 0.011, "{n:?}");
        }
    }
}

/// The largest book that is weighed, with everything seen: it ends soon and
/// stays finite.
#[test]
fn a_book_of_two_hundred() {
    let causes: Vec<Value> = (0..200)
        .map(|c| {
            let links: Vec<Value> = (0..60).map(|s| json!({ "kind": "symptom", "name": format!("s{s}"), "often": "sometimes" })).collect();
            json!({ "id": format!("c{c}"), "title": "c", "links": links, "repairs": [format!("r{c}")] })
        })
        .collect();
    let checks: Vec<Value> = (0..200)
        .map(|k| json!({ "id": format!("k{k}"), "title": "k", "how": ["x"], "minutes": 1, "results": [
            { "id": "bad", "says": "x", "shows": (0..200).map(|c| json!({ "cause": format!("c{c}"), "often": "mostly" })).collect::<Vec<_>>() }, { "id": "fine", "says": "y" }] }))
        .collect();
    let repairs: Vec<Value> = (0..200)
        .map(|r| json!({ "id": format!("r{r}"), "title": "r", "difficulty": 3, "minutes": 5 }))
        .collect();
    let symptoms: Vec<Value> = (0..60)
        .map(|s| json!({ "id": format!("s{s}"), "title": "s" }))
        .collect();
    let doc = json!({ "format": 1, "id": "big", "version": "1", "name": "big", "licence": "CC0-1.0", "layouts": [],
        "boards": [], "symptoms": symptoms, "causes": causes, "checks": checks, "repairs": repairs });
    let book = Book::load(doc.to_string().as_bytes()).unwrap().model;
    let keys: Vec<String> = (0..60).map(|s| format!("symptom s{s}")).collect();
    let keys: Vec<&str> = keys.iter().map(String::as_str).collect();
    let case = Case::new(book, "", facts(&keys));
    let found = case.answer();
    assert!(!found.left_out.is_empty());
    assert!(
        found
            .suspects
            .iter()
            .all(|s| s.now.is_finite() && s.low <= s.now && s.now <= s.high)
    );
    let all = case.options();
    assert!(all.choices.iter().all(|c| c.expected.is_finite()));
    // Every check is among the choices or is said not to be weighed.
    let weighed = all
        .choices
        .iter()
        .filter(|c| matches!(c.deed, Deed::Check(_)))
        .count();
    assert_eq!(weighed + all.unweighed.len(), 200);
}
