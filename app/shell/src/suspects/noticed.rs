//! What the answer is based on, finding by finding; each can be turned to see
//! what would change.

use super::case::Case;
use super::names;
use crate::consoles::address;
use crate::platform::dom::{Dom, El};
use crate::text;
use crate::widgets::bits::{
    count, fold_later, fold_named, line, link_with, mark, nothing, section as part, tag,
};
use diagnosis::facts::{Facts, Noticed, UNCLEAR};
use diagnosis::key::Key;
use diagnosis::trial::{Turn, turned};
use leptos::prelude::event_target_value;
use std::rc::Rc;

/// The part of the page. What is known does not change while it is shown; what
/// is tried out on top of it does.
pub fn section(case: &Rc<Case>) -> Dom {
    // The steps that power-up got past are many, and one finding to a person.
    let step = |n: &&Noticed| matches!(n.key, Key::Step(_)) && n.if_there <= n.if_not;
    let known = case.facts.noticed.iter();
    let mut rows: Vec<Dom> = known
        .clone()
        .filter(|n| !step(n))
        .map(|n| row(case, n))
        .collect();
    let passed = known.filter(step).count();
    if passed > 0 {
        let head = count(passed, "step", "steps") + " that power-up got past";
        let of = case.clone();
        let fold = fold_later("passed", head, move || {
            let rows = of.facts.noticed.iter().filter(step).map(|n| row(&of, n));
            vec![tag("ul", "noticed", rows.collect())]
        });
        rows.push(tag("li", "", vec![fold]));
    }
    let list = if rows.is_empty() {
        nothing()
    } else {
        let head = "What we know: ".to_owned() + &count(rows.len(), "finding", "findings");
        fold_named(
            "based-on",
            head,
            vec![
                line("p", "small", text::TURN_HELP),
                tag("ul", "noticed", rows),
            ],
        )
    };
    let in_vain = case.facts.repairs.iter();
    let in_vain = in_vain.map(|r| mark("", "close", names::in_vain(case, r)));
    let in_vain = in_vain.collect();
    let of = case.clone();
    part(
        "findings",
        "What it is based on",
        vec![
            Dom::many(in_vain),
            list,
            silent(case),
            other(case),
            Dom::live(move || tried(&of)),
            tag("div", "row", vec![note_link(case)]),
        ],
    )
}

/// The way to note a symptom.
pub fn note_link(case: &Case) -> Dom {
    let id = crate::platform::device::random_id();
    let add = address(&case.console.id) + "/" + &id + "?kind=symptom&job=" + &case.job.id;
    link_with("plain", &add, "eye", "Note what is seen or heard")
}

/// What is tried out and not known at all.
fn tried(case: &Rc<Case>) -> Dom {
    let turns = case.turns();
    let known = |key: &Key| case.facts.noticed.iter().any(|n| n.key == *key);
    let only: Vec<(Key, Turn)> = turns.into_iter().filter(|(k, _)| !known(k)).collect();
    if only.is_empty() {
        return nothing();
    }
    let facts = turned(&Facts::default(), &only);
    let rows = facts.noticed.iter().map(|n| row(case, n)).collect();
    tag("ul", "noticed", rows)
}

/// How a finding stands. The last only where what was observed fits both.
const STANDS: [&str; 4] = ["Seen", "Not there", "Not looked for", "Not clear"];

/// How a finding of a record stands: a place in [`STANDS`].
fn stands_now(one: &Noticed) -> u8 {
    let there = one.if_there / (one.if_there + one.if_not);
    match () {
        () if one.record.is_empty() => 2,
        () if matches!(one.key, Key::Check(..)) && UNCLEAR.contains(&there) => 3,
        () if one.if_there > one.if_not => 0,
        () => 1,
    }
}

fn row(case: &Rc<Case>, known: &Noticed) -> Dom {
    // What is only tried out stands there because of its turn alone.
    let own = stands_now(known);
    let turned = {
        let (case, key) = (case.clone(), known.key.clone());
        move || {
            let turns = case.turns();
            turns.iter().find(|(k, _)| *k == key).map(|(_, t)| *t)
        }
    };
    let stands = {
        let turned = turned.clone();
        move || turned().map_or(own, |t| t as u8)
    };
    let step = matches!(known.key, Key::Step(_));
    let told = Dom::live(move || match (turned(), own) {
        (Some(_), _) => mark("warn", "guess", text::TRIED_ONLY),
        (None, 0) => mark("", "check", "Seen"),
        (None, 3) => mark("", "info", "Not clear"),
        (None, _) if step => mark("", "check", "Got past it"),
        (None, _) => mark("", "minus", "Not there"),
    });
    let (key, own_case) = (known.key.clone(), case.clone());
    // The mark beside it says how it stands.
    let name = names::finding(case, &known.key);
    let options = STANDS.iter().enumerate();
    let options = options.filter(|(value, _)| *value < 3 || own == 3);
    let options = options.map(|(value, words)| {
        crate::consoles::option(&value.to_string(), words, value == usize::from(own))
    });
    let place = "turn-".to_owned() + &known.key.text().replace(' ', "-");
    let select = El::new("select")
        .attr("id", &place)
        .kids(options.collect())
        .live_prop("value", move || stands().to_string().into())
        .on("change", move |event| {
            let v: u8 = event_target_value(&event).parse().unwrap_or(2);
            let turn = match v {
                0 => Turn::Seen,
                1 => Turn::NotSeen,
                _ => Turn::Unknown,
            };
            // Back to what is known, or nothing at all: no trial.
            own_case.turn(&key, (v != own).then_some(turn));
        });
    let turn = tag(
        "label",
        "field turn",
        vec![line("span", "", "What if it were"), select.done()],
    );
    let one = known.clone();
    let why = fold_later(
        &("why-".to_owned() + &known.key.text().replace(' ', "-")),
        "Why does it count so?",
        move || vec![line("p", "", &one.why), counts(&one)],
    );
    tag("li", "", vec![line("b", "", name), told, turn, why])
}

/// How a finding counts, as a ratio.
fn counts(one: &Noticed) -> Dom {
    let words = if one.if_there <= 0.0 {
        "Counts as plainly not there.".to_owned()
    } else if one.if_not <= 0.0 {
        "Counts as plainly there.".to_owned()
    } else {
        let db = diagnosis::plain::decibans(one.if_there / one.if_not);
        let side = if db >= 0.0 { "there" } else { "not there" };
        let n = db.abs().round() as i64;
        [
            "What was observed agrees better with \u{201c}",
            side,
            "\u{201d}, by ",
            &n.to_string(),
            " decibans at most.",
        ]
        .concat()
    };
    line("p", "small", words)
}

/// What does not count, and why.
fn silent(case: &Case) -> Dom {
    if case.facts.silent.is_empty() {
        return nothing();
    }
    let rows = case.facts.silent.iter().map(|(key, why)| {
        let name = Key::parse(key).map_or_else(|| key.clone(), |k| names::finding(case, &k));
        tag(
            "li",
            "",
            vec![line("b", "", name), Dom::text(" "), Dom::text(why)],
        )
    });
    let rows: Vec<Dom> = rows.collect();
    let head = "Says nothing here: ".to_owned()
        + &count(rows.len(), "thing in the log", "things in the log");
    fold_named("silent", head, vec![tag("ul", "bullets", rows)])
}

/// Something that nobody has looked for, tried out.
fn other(case: &Rc<Case>) -> Dom {
    let mut options = vec![
        El::new("option")
            .attr("value", "")
            .text("Choose one")
            .done(),
    ];
    let mut group = Vec::new();
    let add = |key: Key, group: &mut Vec<Dom>| {
        if !case.facts.noticed.iter().any(|n| n.key == key) {
            let name = names::finding(case, &key);
            group.push(
                El::new("option")
                    .attr("value", &key.text())
                    .text(&name)
                    .done(),
            );
        }
    };
    for s in &case.book.model.symptoms {
        add(Key::Symptom(s.id.clone()), &mut group);
    }
    let part = |label: &str, rows: &mut Vec<Dom>| {
        let rows = std::mem::take(rows);
        El::new("optgroup").attr("label", label).kids(rows).done()
    };
    options.push(part("Seen or heard", &mut group));
    for check in &case.book.model.checks {
        let results = check.results.iter().filter(|r| !r.shows.is_empty());
        for r in results {
            add(Key::Check(check.id.clone(), r.id.clone()), &mut group);
        }
    }
    options.push(part("Results of checks", &mut group));
    let (own_case, of) = (case.clone(), case.clone());
    let select = El::new("select")
        .kids(options)
        // Back to "Choose one" after each turn, ready for the next.
        .live_prop("value", move || {
            of.turns();
            "".into()
        })
        .on("change", move |event| {
            if let Some(key) = Key::parse(&event_target_value(&event)) {
                own_case.turn(&key, Some(Turn::Seen));
            }
        });
    tag(
        "label",
        "field",
        vec![line("span", "", "What if this were seen?"), select.done()],
    )
}
