//! What was noticed before a repair that did not help and what after it, and what
//! that does to suspects, ranges and plans. The cases are ours (the invented
//! scenario); the sums are held against counting everything.
#![allow(
    clippy::unwrap_used,
    clippy::indexing_slicing,
    clippy::panic,
    reason = "tests may panic"
)]

mod support;

use codebook::Book;
use codebook::model::CodeBook;
use diagnosis::draws::Draws;
use diagnosis::exact::{effort, given};
use diagnosis::facts::{Facts, Noticed, of_job, with_result};
use diagnosis::job::newest_log;
use diagnosis::plan::{Action, Bench, Look, best_cost, best_sequence};
use diagnosis::prior::{Outcome, Priors, priors};
use diagnosis::random::Random;
use diagnosis::suspects::{Answer, Question, answer};
use diagnosis::trial::{Turn, turned};
use diagnosis::{Finding, Key, Network, Observed};
use notebook::{Item, timeline};
use serde_json::{Value, json};
use support::item;

const BOARD: &str = "LW-41";

/// The entries of a log, the oldest first: CODE or CODE/STEP, and #NUMBER where
/// the console writes one.
fn entries(text: &str) -> Value {
    let one = |text: &str| {
        let (text, seq) = text.split_once('#').unwrap_or((text, ""));
        let (code, step) = text.split_once('/').unwrap_or((text, ""));
        match seq.parse::<u32>() {
            Ok(seq) => json!({ "code": code, "step": step, "seq": seq }),
            Err(_) => json!({ "code": code, "step": step }),
        }
    };
    text.split(' ').map(one).collect()
}

/// What a job says, its records told in their order: `fix REPAIR`, `sees SYMPTOM`,
/// `log ENTRIES`, `mixed ENTRIES` (their order is not known), and `past ENTRIES`
/// (the log of a closed job of the same console).
fn told(book: &CodeBook, story: &str) -> Facts {
    let mut items = vec![item("past", "job", json!({ "stage": "closed" }))];
    for (at, told) in story.split("; ").enumerate() {
        let (word, rest) = told.split_once(' ').unwrap();
        let (what, own) = rest.split_once(" of ").unwrap_or((rest, ""));
        let kinds = [("fix", "repair"), ("sees", "symptom")];
        let kind = kinds.iter().find(|k| k.0 == word);
        let job = if word == "past" { "past" } else { "j" };
        let order = if word == "mixed" { "unknown" } else { "" };
        let data = json!({ "job": job, "repair": what, "book": own, "symptoms": [what],
            "entries": entries(rest), "order": order });
        let mut one = item(&at.to_string(), kind.map_or("reading", |k| k.1), data);
        one.created = at as i64;
        items.push(one);
    }
    let log = newest_log(&items, "j");
    items.retain(|i| i.text("job") == "j");
    // As the app puts them.
    timeline::order(&mut items);
    items.reverse();
    let refs: Vec<&Item> = items.iter().collect();
    of_job(book, BOARD, &refs, log.as_ref())
}

/// A line each: a story, and behind the arrow how many repairs had been made when
/// each code, step or symptom was noticed; `repairs` is how many count at all.
#[track_caller]
fn noticed_after(table: &str) {
    let book = support::book("orrery");
    for line in table.lines().map(str::trim) {
        let (story, wanted) = line.split_once(" -> ").unwrap();
        let found = told(&book, story);
        for want in wanted.split(", ") {
            let (name, after) = want.split_once(' ').unwrap();
            let named = |n: &&Noticed| n.key.text().split_once(' ').unwrap().1 == name;
            let own = found.noticed.iter().find(named).map(|n| n.after);
            let repairs = Some(found.repairs.len()).filter(|_| name == "repairs");
            assert_eq!(repairs.or(own), after.parse().ok(), "{name} in: {line}");
        }
    }
}

#[test]
fn repairs_count_once_and_by_their_book() {
    noticed_after(
        "fix new-bank; sees warm-start -> repairs 1, warm-start 1
         sees warm-start; fix new-bank -> repairs 1, warm-start 0
         fix new-bank of larkfield-orrery; sees warm-start -> repairs 1, warm-start 1
         fix new-bank of another; sees warm-start -> repairs 0, warm-start 0
         fix new-bank of another; fix new-bank; sees warm-start -> repairs 1, warm-start 1
         fix no-such; sees warm-start -> repairs 0, warm-start 0
         fix new-bank; fix new-bank; sees warm-start -> repairs 1, warm-start 1
         fix new-bank; sees warm-start; fix new-bank -> repairs 1, warm-start 1
         fix new-bank; fix swap-gfx; sees warm-start -> repairs 2, warm-start 2
         fix new-bank; sees no-fan; fix swap-gfx; sees dead -> repairs 2, no-fan 1, dead 2",
    );
}

/// An entry with a number is told from others by it, and stands with the log that
/// first had it. Of the first log of a job only the newest entry is surely new.
#[test]
fn numbered_entries_stand_with_their_first_log() {
    noticed_after(
        "log 44D0#7; fix new-bank; log 44D0#7 -> 44D0 0
         log 44D0#7; fix new-bank; log 44D0#7 44D1#8 -> 44D0 0, 44D1 1
         log 44D0#7; fix new-bank; log 44D0#7 44D0#9 -> 44D0 1
         log 44D0#7; fix new-bank; log 44D0#7 44D0#9 44D1#10 -> 44D0 1, 44D1 1
         fix new-bank; log 44D0#7 44D1#8 -> 44D0 0, 44D1 1
         fix new-bank; fix swap-gfx; log 44D0#7 44D1#8 -> 44D0 0, 44D1 2
         log 44D0#7; fix new-bank; log 44D0#7; log 44D0#7 44D1#8 -> 44D0 0, 44D1 1
         log 44D0#7; fix new-bank; log 44D0#7 44D1#8; log 44D0#7 44D1#8 5E91#9 -> 44D0 0, 44D1 1, 5E91 1
         fix new-bank; log 44D0#7 44D1#8; log 44D0#7 44D1#8 5E91#9 -> 44D0 0, 44D1 1, 5E91 1
         fix new-bank; log 44D0#7 44D1#8; log 44D1#8 5E91#9; log 44D1#8 5E91#9 44D2#10 -> 44D1 1, 5E91 1, 44D2 1
         log 44D0#7; fix new-bank; log 44D0#7 44D1#8; fix swap-gfx; log 44D0#7 44D1#8 5E91#9 -> 44D0 0, 44D1 1, 5E91 2",
    );
}

/// Without a number an entry is told by its code, but the newest of all is what
/// the console wrote when it was tried last.
#[test]
fn entries_without_a_number_are_told_by_their_code() {
    noticed_after(
        "log 44D0; fix new-bank; log 44D0 -> 44D0 1
         log 44D0; fix new-bank; log 44D0 44D1 -> 44D0 0, 44D1 1
         log 44D0; fix new-bank; log 44D0 5E91 44D1 -> 44D0 0, 5E91 1, 44D1 1
         fix new-bank; log 44D0 44D1 -> 44D0 0, 44D1 1
         fix new-bank; log 44D0 44D1; log 44D0 44D1 5E91 -> 44D0 0, 44D1 1, 5E91 1
         log 44D0; fix new-bank; log 44D0 44D1; log 44D0 44D1 5E91 -> 44D0 0, 44D1 1, 5E91 1",
    );
}

/// What a closed job of the console left in the log is older than this job, also
/// where an earlier log of this job does not show it. Without a number nothing
/// says that it is the same entry.
#[test]
fn what_an_earlier_job_had_is_before_every_repair() {
    noticed_after(
        "past 44D0#7; fix new-bank; log 44D0#7 -> 44D0 0
         past 44D0#7; log 3100#6; fix new-bank; log 3100#6 44D0#7 44D1#8 -> 3100 0, 44D0 0, 44D1 1
         past 44D0; fix new-bank; log 44D0 -> 44D0 1",
    );
}

#[test]
fn stop_and_passed_steps_go_with_the_newest_entry() {
    noticed_after(
        "log 44D0#7; fix new-bank; log 44D0#7 -> 03 0
         log 44D0#7; fix new-bank; log 44D0#7 44D1#8 -> 03 1
         fix new-bank; log FFFF/0A#7 -> 0A 1, 03 1
         log FFFF/0A#7; fix new-bank; log FFFF/0A#7 -> 0A 0, 03 0
         log FFFF/0A#7; fix new-bank; log FFFF/0A#7 FFFF/0A#8 -> 0A 1, 03 1
         past FFFF/0A#7; fix new-bank; log FFFF/0A#7 -> 0A 0, 03 0",
    );
}

/// What an earlier log did not have is new all the same.
#[test]
fn in_an_unknown_order_no_entry_is_the_newest() {
    noticed_after(
        "fix new-bank; mixed 44D0 44D1 -> 44D0 0, 44D1 0
         fix new-bank; mixed 44D0#7 -> 44D0 0
         log 44D0; fix new-bank; mixed 44D0 -> 44D0 0
         fix new-bank; mixed 44D0#7 44D1#8; log 44D0#7 44D1#8 5E91#9 -> 44D0 0, 44D1 0, 5E91 1
         log 44D0#7; fix new-bank; mixed 44D0#7 44D1#8 -> 44D0 0, 44D1 1",
    );
}

/// By their own day, else by the day they were written.
#[test]
fn logs_stand_in_the_order_of_the_timeline() {
    let log = |id: &str, created: i64, day: &str| {
        let mut log = item(id, "reading", json!({ "job": "j", "day": day }));
        log.created = created;
        log
    };
    let may = 20_600 * notebook::dates::DAY_MS;
    for (a, b, newest) in [
        ((1, "2026-03-01"), (2, "2026-02-01"), "a"),
        ((1, "2026-03-01"), (2, "2026-03-01"), "b"),
        ((may, ""), (1, "2026-03-01"), "a"),
        ((1, "2026-03-01"), (2, ""), "a"),
        ((1, "2026-03-01"), (2, "soon"), "a"),
    ] {
        let (a, b) = (log("a", a.0, a.1), log("b", b.0, b.1));
        for logs in [[a.clone(), b.clone()], [b, a]] {
            assert_eq!(newest_log(&logs, "j").unwrap().record, newest, "{logs:#?}");
        }
    }
}

#[test]
fn what_is_tried_out_is_seen_now() {
    let known = told(
        &support::book("orrery"),
        "log 44D0; fix new-bank; sees dead",
    );
    let (fresh, own) = (Key::Symptom("warm-start".into()), Key::Code("44D0".into()));
    for turn in [Turn::Seen, Turn::NotSeen] {
        let tried = turned(&known, &[(fresh.clone(), turn), (own.clone(), turn)]);
        let after = |key: &Key| tried.noticed.iter().find(|n| n.key == *key).unwrap().after;
        assert_eq!((after(&fresh), after(&own)), (1, 0), "{turn:?}");
    }
}

/// A book of two causes, `a` and `b`, each with a repair of its own that mostly
/// helps: cause, symptom, how often. Nothing else can be broken.
fn invented(links: &str) -> CodeBook {
    let cause = |id: &str| {
        let links = links
            .split(", ")
            .map(|l| l.splitn(3, ' ').collect::<Vec<&str>>());
        let own = links.filter(|l| l[0] == id);
        let own = own.map(|l| json!({ "kind": "symptom", "name": l[1], "often": l[2] }));
        json!({ "id": id, "title": id, "repairs": [id], "links": own.collect::<Value>() })
    };
    let repair = |id: &str| json!({ "id": id, "title": id, "difficulty": 2, "minutes": 20, "mends": "mostly" });
    let doc = json!({ "format": 1, "id": "two", "version": "1", "name": "two", "licence": "CC0-1.0", "layouts": [],
        "boards": [{ "id": BOARD, "name": "b" }], "unlisted": "never", "causes": [cause("a"), cause("b")],
        "symptoms": [{ "id": "s", "title": "s" }, { "id": "t", "title": "t" }], "repairs": [repair("a"), repair("b")] });
    let book = Book::load(doc.to_string().as_bytes());
    book.unwrap_or_else(|p| panic!("{p:#?}")).model
}

/// The priors when `a` and `b` were the cause so often.
fn found(book: &CodeBook, often: [usize; 2]) -> Priors {
    let of = |cause: &str| Outcome {
        board: BOARD.to_owned(),
        causes: vec![cause.to_owned()],
    };
    let [a, b] = ["a", "b"].map(of);
    let all = [vec![a; often[0]], vec![b; often[1]]].concat();
    priors(book, BOARD, &all, true)
}

fn question<'q>(book: &'q CodeBook, priors: &'q Priors, facts: &'q Facts) -> Question<'q> {
    let board = BOARD;
    Question {
        book,
        board,
        priors,
        facts,
    }
}

/// The answers to these stories with their ranges, one after the other.
fn answers(book: &CodeBook, often: [usize; 2], stories: &[&str]) -> Vec<Answer> {
    let priors = found(book, often);
    let draws = Draws::new(&priors);
    let each = stories.iter().map(|story| {
        let facts = told(book, story);
        let question = question(book, &priors, &facts);
        let mut found = answer(&question);
        found.ranges(&question, &draws);
        found
    });
    each.collect()
}

/// How wide the range of `a` is.
fn width(found: &Answer) -> f64 {
    let a = found.suspects.iter().find(|s| s.at == 0).unwrap();
    a.high - a.low
}

/// The same after a result as with the result among the facts, where it is noticed
/// after the repair.
#[test]
fn a_result_after_a_repair_comes_true() {
    let book = support::book("orrery");
    let known = told(&book, "log 44D0#7; fix new-bank; sees warm-start");
    let priors = found(&book, [0, 0]);
    let before = answer(&question(&book, &priors, &known));
    for check in &book.checks {
        let results = before.results(check);
        for (at, (_, promised)) in results.iter().enumerate() {
            let then = with_result(&known, check, at);
            let mut fresh = then.noticed.iter().filter(|n| !known.noticed.contains(n));
            assert!(fresh.all(|n| n.after == 1), "{} {at}", check.id);
            for s in answer(&question(&book, &priors, &then)).suspects {
                assert!((s.now - promised[s.at]).abs() < 1e-9, "{} {at}", check.id);
            }
        }
    }
}

/// For each two causes how probable it is that all is as observed and both are
/// still there, and the same for any cause at all. Counted over all that may have
/// become of each: 0 not there, else removed by that repair, or last still there.
fn counted(net: &Network, evidence: &[Observed], repairs: &[Vec<f64>]) -> (Vec<Vec<f64>>, f64) {
    let (n, k) = (net.causes.len(), repairs.len());
    let (mut both, mut any) = (vec![vec![0.0; n]; n], 0.0);
    for number in 0..(k + 2).pow(n as u32) {
        let fate = |i: usize| number / (k + 2).pow(i as u32) % (k + 2);
        let mut p = 1.0;
        for (i, there) in net.causes.iter().enumerate() {
            p *= if fate(i) > 0 { *there } else { 1.0 - there };
            for (r, repair) in repairs.iter().enumerate().take(fate(i)) {
                let removed = fate(i) == r + 1;
                p *= if removed { repair[i] } else { 1.0 - repair[i] };
            }
        }
        for one in evidence {
            let finding = &net.findings[one.finding];
            let shown = |l: &&(usize, f64)| fate(l.0) > one.after.min(k);
            let shown = finding.links.iter().filter(shown);
            let not = shown.fold(1.0 - finding.leak, |not, (_, c)| not * (1.0 - c));
            p *= one.if_there * (1.0 - not) + one.if_not * not;
        }
        let still: Vec<usize> = (0..n).filter(|i| fate(*i) == k + 1).collect();
        any += if still.is_empty() { 0.0 } else { p };
        for i in &still {
            still.iter().for_each(|j| both[*i][*j] += p);
        }
    }
    (both, any)
}

#[test]
fn one_cause_known_to_be_there_as_counted() {
    let mut random = Random::new(11);
    for _ in 0..400 {
        let mut any = |most: f64| (random.even() * most) as usize;
        let (n, m, k) = (2 + any(3.0), 1 + any(5.0), any(4.0));
        // Of links, repairs and likelihoods some are 0.
        let mut list = |n: usize| -> Vec<f64> {
            let each = (0..n).map(|_| any(160.0).saturating_sub(60));
            each.map(|p| p as f64 / 100.0).collect()
        };
        let repairs: Vec<Vec<f64>> = (0..k).map(|_| list(n)).collect();
        let findings = (0..m).map(|_| Finding {
            leak: list(1)[0] / 5.0,
            links: list(n).into_iter().enumerate().collect(),
        });
        let findings = findings.collect();
        let causes = list(n).iter().map(|p| 0.02 + p / 2.0).collect();
        let (there, not, after) = (list(m), list(m), list(m));
        let weak = |i: usize| Observed::weak(i, there[i], not[i] + 0.01);
        let evidence = (0..m).map(|i| weak(i).after((after[i] * 5.0) as usize));
        let evidence: Vec<Observed> = evidence.collect();
        let net = Network { causes, findings };
        let (both, _) = counted(&net, &evidence, &repairs);
        for i in 0..n {
            let with = given(&net, &evidence, &repairs, i).map_or(vec![0.0; n], |p| p.causes);
            for j in 0..n {
                assert!((with[j] * both[i][i] - both[i][j]).abs() < 1e-9 * both[i][i]);
            }
        }
    }
}

#[test]
fn pairs_after_a_repair_as_counted() {
    let book = invented("a s mostly, a t rarely, b s rarely, b t mostly");
    let priors = found(&book, [20, 20]);
    for story in [
        "sees s; sees t; fix a",
        "sees s; fix a; sees t",
        "sees t; fix a; sees s",
        "fix a; sees s; sees t",
    ] {
        let facts = told(&book, story);
        let question = question(&book, &priors, &facts);
        let found = answer(&question);
        let mends = vec![vec![0.7, 0.0, 0.0]];
        let (both, any) = counted(&found.model.network, &found.evidence, &mends);
        let pairs = found.pairs();
        let (i, j, p) = pairs[0];
        assert!(pairs.len() == 1 && i + j == 1, "{story}: {pairs:?}");
        assert!((p - both[i][j] / any).abs() < 1e-9, "{story}: {p}");
    }
}

/// A repair for one cause of many costs hardly more, so three leave the ranges.
#[test]
fn repairs_cost_what_they_are_for() {
    let finding = Finding {
        leak: 0.1,
        links: (0..20).map(|c| (c, 0.5)).collect(),
    };
    let net = Network {
        causes: vec![0.01; 20],
        findings: vec![finding; 5],
    };
    let evidence: Vec<Observed> = (0..5).map(Observed::seen).collect();
    let of = |n: usize| {
        effort(
            &net,
            &evidence,
            &[[vec![0.7; n], vec![0.0; 20 - n]].concat()],
        )
    };
    let none = effort(&net, &evidence, &[]);
    assert!(none < of(1) && of(1) < 1.5 * none && 1.5 * none < of(20));
    let seen = "log 44D0 5E91; sees stops-3s; sees warm-start; sees freeze; sees bad-picture; sees third-try; sees was-heated";
    let after = ["fix new-bank; fix reball-gfx; fix swap-gfx; ", seen].concat();
    for found in answers(&support::book("orrery"), [0, 0], &[seen, &after]) {
        let open = found.evidence.iter().filter(|o| o.if_there > 0.0);
        assert_eq!((open.count(), found.draws), (8, 300));
    }
}

/// Where nothing is in doubt a range is narrow, and it lies about what the repair
/// leaves.
#[test]
fn without_doubt_the_range_is_the_answer() {
    let book = invented("a s always, b s always, b t never");
    let stories = [
        "sees s",
        "sees s; fix a",
        "fix a; sees s",
        "fix a; sees s; fix b; sees s",
    ];
    let all = answers(&book, [15_000, 5_000], &stories);
    for s in all.iter().flat_map(|a| &a.suspects) {
        assert!(s.now - s.low < 0.02 && s.high - s.now < 0.02, "{all:#?}");
    }
    let first = |n: usize| all[n].suspects.iter().find(|s| s.at == 0).unwrap().now;
    assert!(first(0) - first(1) > 0.1, "the repair counts");
}

/// Doubt about links alone or about shares alone gives a range; two links with
/// the same word are two things to doubt.
#[test]
fn every_doubt_gives_a_range() {
    for (links, often) in [
        ("a s mostly, b s always", [10_000; 2]),
        ("a s mostly, b s mostly", [10_000; 2]),
        ("a s 50 of 100, b s 50 of 100", [10_000; 2]),
        ("a s always, b s always", [3, 2]),
    ] {
        let wide = width(&answers(&invented(links), often, &["sees s"])[0]);
        assert!(wide > 0.05, "{links} {often:?}: {wide}");
    }
}

/// The same share counted on few and on many, whichever is met first.
#[test]
fn a_larger_count_leaves_less_doubt() {
    let book = invented("a s 50 of 100, b s always, a t 500 of 1000, b t always");
    let of = |stories| answers(&book, [10_000; 2], stories);
    let [few, many] = [0, 1].map(|n| width(&of(&["sees s", "sees t"])[n]));
    assert!(few > 1.5 * many, "{few} {many}");
    let turned = of(&["sees t", "sees s"]);
    assert_eq!([width(&turned[1]), width(&turned[0])], [few, many]);
}

/// The least cost by trying all there is.
fn least(suspects: &[f64], bench: &Bench, done: &[usize], depth: u32) -> f64 {
    let mut best = best_sequence(suspects, &bench.actions, bench.stop).cost;
    for look in (0..bench.looks.len()).filter(|l| depth > 0 && !done.contains(l)) {
        let check = &bench.looks[look];
        let mut cost = check.cost * suspects.iter().sum::<f64>();
        for result in &check.results {
            let joint = suspects.iter().zip(result).map(|(p, l)| p * l);
            let chance: f64 = joint.clone().sum();
            let after: Vec<f64> = joint.map(|p| p / chance).collect();
            if chance > 0.0 {
                cost += chance * least(&after, bench, &[done, &[look]].concat(), depth - 1);
            }
        }
        best = best.min(cost);
    }
    best
}

/// What the planner does not look into can't be the best.
#[test]
fn the_planner_skips_nothing_that_pays() {
    // Up to so much; of those that add up to 1 some are 0.
    type Draw<'r> = dyn FnMut(f64) -> f64 + 'r;
    fn parts(n: usize, upto: &mut Draw) -> Vec<f64> {
        let mut list: Vec<f64> = (0..n).map(|_| (upto(1.3) - 0.3).max(0.0)).collect();
        list[0] += 0.01;
        let sum: f64 = list.iter().sum();
        list.iter().map(|p| p / sum).collect()
    }
    let mut random = Random::new(7);
    let mut upto = |most: f64| random.even() * most;
    for case in 0..1500 {
        let n = 1 + upto(5.0) as usize;
        let mut suspects = parts(n, &mut upto);
        if case % 3 == 0 {
            let all = upto(1.0);
            suspects.iter_mut().for_each(|p| *p *= all);
        }
        // A repair can give something back, also more than the look has cost.
        let mut action = || Action {
            look: upto(20.0),
            mend: upto(35.0) - 25.0,
            mends: (0..n)
                .map(|i| (i, (upto(3.0) - 1.0).clamp(0.0, 1.0)))
                .filter(|(_, m)| *m > 0.0)
                .collect(),
        };
        let actions = (0..case % 6).map(|_| action()).collect();
        let mut look = |count: usize| {
            let each: Vec<Vec<f64>> = (0..n).map(|_| parts(count, &mut upto)).collect();
            let result = |r: usize| each.iter().map(|e| e[r]).collect();
            let results = (0..count).map(result).collect();
            let cost = upto([0.5, 5.0][case % 2]);
            Look { cost, results }
        };
        let looks = (0..1 + case % 4).map(|l| look(2 + l % 3)).collect();
        let stop = upto([0.0, 1.0, 60.0, 60.0, 60.0][case % 5]);
        let bench = Bench {
            actions,
            looks,
            stop,
        };
        for depth in 1..=2 {
            let own = best_cost(&suspects, &bench, &[], depth);
            let all = least(&suspects, &bench, &[], depth);
            assert!((own - all).abs() < 1e-9, "{case} {depth}: {own} {all}");
        }
    }
}
