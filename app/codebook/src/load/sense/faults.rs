//! Checks symptoms, causes, checks, repairs and cautions.

use super::names::{Names, filled, refer, refer_all};
use super::trade::code;
use crate::model::{BenchCheck, Cause, CodeBook, LINK_KINDS, Measure, QUANTITIES, RISKS, WHENS};
use crate::often::Often;
use crate::problem::{Findings, key, place, short};
use std::collections::BTreeSet;

/// Most results of one check.
const MAX_RESULTS: usize = 8;

/// Lists what is wrong with symptoms, causes, checks, repairs and cautions.
pub(super) fn faults(book: &CodeBook, names: &Names, found: &mut Findings) {
    often("unlisted", &book.unlisted, true, found);
    for (i, one) in book.symptoms.iter().enumerate() {
        filled(
            &key(&place("symptoms", i), "title"),
            &one.title,
            "what one observes",
            found,
        );
    }
    for (i, one) in book.causes.iter().enumerate() {
        let path = place("causes", i);
        filled(&key(&path, "title"), &one.title, "a few words", found);
        for (j, text) in one.codes.iter().enumerate() {
            code(&place(&key(&path, "codes"), j), text, found);
        }
        refer_all(
            &key(&path, "steps"),
            &one.steps,
            &names.steps,
            "steps",
            found,
        );
        refer_all(
            &key(&path, "symptoms"),
            &one.symptoms,
            &names.symptoms,
            "symptoms",
            found,
        );
        refer_all(
            &key(&path, "repairs"),
            &one.repairs,
            &names.repairs,
            "repairs",
            found,
        );
        chances(&path, one, names, found);
        for (board, how) in &one.boards {
            let path = key(&key(&path, "boards"), board);
            refer(&path, board, &names.boards, "boards", found);
            one_of(
                &path,
                how,
                &["often", "sometimes", "seldom", "never"],
                found,
            );
        }
    }
    for (i, one) in book.checks.iter().enumerate() {
        let path = place("checks", i);
        filled(&key(&path, "title"), &one.title, "a few words", found);
        if one.how.is_empty() {
            found.problem(
                key(&path, "how"),
                "must not be empty",
                "how it is done, one step a line",
            );
        }
        effort(&path, one.minutes, one.money, found);
        risk(&path, &one.risk, found);
        refer_all(
            &key(&path, "causes"),
            &one.causes,
            &names.causes,
            "causes",
            found,
        );
        refer_all(
            &key(&path, "only"),
            &one.only,
            &names.boards,
            "boards",
            found,
        );
        if !one.reaches.is_empty() {
            refer(
                &key(&path, "reaches"),
                &one.reaches,
                &names.steps,
                "steps",
                found,
            );
        }
        results(&path, one, names, found);
    }
    for (i, one) in book.repairs.iter().enumerate() {
        let path = place("repairs", i);
        filled(&key(&path, "title"), &one.title, "a few words", found);
        effort(&path, one.minutes, one.money, found);
        risk(&path, &one.risk, found);
        often(&key(&path, "mends"), &one.mends, true, found);
        if !(1..=5).contains(&one.difficulty) {
            found.problem(
                key(&path, "difficulty"),
                "must be 1 to 5",
                "1 is a screwdriver, 5 is ball-grid parts",
            );
        }
    }
    for (i, one) in book.cautions.iter().enumerate() {
        let path = place("cautions", i);
        filled(&key(&path, "text"), &one.text, "what to do or leave", found);
        filled(
            &key(&path, "source"),
            &one.source,
            "a published guide, or `common practice`",
            found,
        );
    }
}

/// Lists counts and links of a cause that make no sense.
fn chances(path: &str, one: &Cause, names: &Names, found: &mut Findings) {
    for (board, seen) in &one.seen {
        let path = key(&key(path, "seen"), board);
        refer(&path, board, &names.boards, "boards", found);
        if seen.of == 0 || seen.cases > seen.of {
            found.problem(
                key(&path, "cases"),
                "`cases` must not be more than `of`, and `of` not be 0",
                "consoles in which it was this, and dead consoles in all",
            );
        }
    }
    let mut known = BTreeSet::new();
    for (j, link) in one.links.iter().enumerate() {
        let path = place(&key(path, "links"), j);
        let name = key(&path, "name");
        match link.kind.as_str() {
            "code" => code(&name, &link.name, found),
            "step" => refer(&name, &link.name, &names.steps, "steps", found),
            "symptom" => refer(&name, &link.name, &names.symptoms, "symptoms", found),
            other => one_of(&key(&path, "kind"), other, &LINK_KINDS, found),
        }
        often(&key(&path, "often"), &link.often, false, found);
        if !known.insert((&link.kind, &link.name)) {
            let message = format!("`{}` is there twice", short(&link.name));
            found.problem(name, message, "one link for each thing that is seen");
        }
    }
}

/// Lists what is wrong with what can come of a check.
fn results(path: &str, one: &BenchCheck, names: &Names, found: &mut Findings) {
    if let Some(measure) = &one.measure {
        window(&key(path, "measure"), measure, names, found);
    }
    let mut ids = BTreeSet::new();
    for (j, result) in one.results.iter().enumerate() {
        let path = place(&key(path, "results"), j);
        filled(&key(&path, "id"), &result.id, "a short name", found);
        filled(&key(&path, "says"), &result.says, "what one sees", found);
        if !ids.insert(&result.id) {
            let message = format!("`{}` is there twice", short(&result.id));
            found.problem(key(&path, "id"), message, "");
        }
        often(&key(&path, "anyway"), &result.anyway, true, found);
        if !result.when.is_empty() {
            let when = key(&path, "when");
            one_of(&when, &result.when, &WHENS, found);
            let measure = one.measure.as_ref();
            let limits = measure.into_iter().flat_map(|m| {
                let own = m.boards.values().map(|w| (w.low, w.high));
                own.chain([(m.low, m.high)])
            });
            let (mut low, mut high) = (false, false);
            for limit in limits {
                low |= limit.0.is_some();
                high |= limit.1.is_some();
            }
            let there = match result.when.as_str() {
                "below" => low,
                "above" => high,
                _ => low || high,
            };
            if !there {
                let message = "is there without a limit in `measure` that it could follow from";
                found.problem(when, message, "give `low` or `high`");
            }
        }
        let mut shown = BTreeSet::new();
        for (k, shows) in result.shows.iter().enumerate() {
            let path = place(&key(&path, "shows"), k);
            if !shown.insert(&shows.cause) {
                let message = format!("`{}` is there twice", short(&shows.cause));
                found.problem(key(&path, "cause"), message, "one line for each cause");
            }
            let cause = key(&path, "cause");
            refer(&cause, &shows.cause, &names.causes, "causes", found);
            often(&key(&path, "often"), &shows.often, false, found);
        }
    }
    if one.results.len() > MAX_RESULTS {
        found.problem(
            key(path, "results"),
            format!(
                "has {} items; at most {MAX_RESULTS} are allowed",
                one.results.len()
            ),
            "put together what says the same",
        );
    }
    let open = one.results.last().is_some_and(|r| !r.shows.is_empty());
    if open {
        found.problem(
            key(path, "results"),
            "the last one must have no `shows`",
            "the last one says that nothing of it was found",
        );
    }
}

fn window(path: &str, one: &Measure, names: &Names, found: &mut Findings) {
    one_of(&key(path, "quantity"), &one.quantity, &QUANTITIES, found);
    filled(
        &key(path, "place"),
        &one.place,
        "point and reference",
        found,
    );
    let turned = |low: Option<f64>, high: Option<f64>| low.zip(high).is_some_and(|(l, h)| l >= h);
    if turned(one.low, one.high) {
        found.problem(key(path, "low"), "must be below `high`", "");
    }
    for (board, other) in &one.boards {
        let path = key(&key(path, "boards"), board);
        refer(&path, board, &names.boards, "boards", found);
        if turned(other.low.or(one.low), other.high.or(one.high)) {
            found.problem(key(&path, "low"), "must be below `high`", "");
        }
    }
}

fn risk(path: &str, word: &str, found: &mut Findings) {
    if !word.is_empty() {
        one_of(&key(path, "risk"), word, &RISKS, found);
    }
}

fn often(path: &str, text: &str, may_miss: bool, found: &mut Findings) {
    if Often::parse(text).is_none() && !(may_miss && text.is_empty()) {
        found.problem(
            path,
            format!("`{}` does not say how often", short(text)),
            "never, rarely, sometimes, mostly, nearly always, always, or a count such as `7 of 12`",
        );
    }
}

fn effort(path: &str, minutes: f64, money: f64, found: &mut Findings) {
    for (name, n) in [("minutes", minutes), ("money", money)] {
        if n < 0.0 {
            found.problem(key(path, name), "must not be negative", "");
        }
    }
}

fn one_of(path: &str, word: &str, words: &[&str], found: &mut Findings) {
    if !words.contains(&word) {
        found.problem(
            path,
            format!("`{}` is none of {}", short(word), words.join(", ")),
            "",
        );
    }
}
