//! What the answer is based on, finding by finding; each can be turned to see
//! what would change.

use super::case::{Case, Worked};
use super::names;
use crate::consoles::address;
use crate::platform::dom::{Dom, El};
use crate::text;
use crate::widgets::bits::{
    count, fold_named, line, link_with, mark, nothing, section as part, tag,
};
use diagnosis::facts::Noticed;
use diagnosis::key::Key;
use diagnosis::trial::Turn;
use leptos::prelude::event_target_value;
use std::rc::Rc;

/// The part of the page.
pub fn section(case: &Rc<Case>, worked: &Worked) -> Dom {
    // In the order of what is known, those only tried out behind.
    let (mut rows, mut passed) = (Vec::new(), Vec::new());
    for one in &case.facts.noticed {
        let now = worked.facts.noticed.iter().find(|n| n.key == one.key);
        // The steps that power-up got past are many, and one finding to a person.
        let step = matches!(one.key, Key::Step(_)) && one.if_there <= one.if_not;
        let list = if step { &mut passed } else { &mut rows };
        list.push(row(case, one, now));
    }
    for one in &worked.facts.noticed {
        if !case.facts.noticed.iter().any(|n| n.key == one.key) {
            rows.push(row(case, one, Some(one)));
        }
    }
    if !passed.is_empty() {
        let head = count(passed.len(), "step", "steps") + " that power-up got past";
        let fold = fold_named("passed", head, vec![tag("ul", "noticed", passed)]);
        rows.push(tag("li", "", vec![fold]));
    }
    let n = rows.len().to_string();
    let list = if rows.is_empty() {
        nothing()
    } else {
        let words = [
            "What we know: ",
            &n,
            if rows.len() == 1 {
                " finding"
            } else {
                " findings"
            },
        ];
        fold_named(
            "based-on",
            words.concat(),
            vec![
                line("p", "small", text::TURN_HELP),
                tag("ul", "noticed", rows),
            ],
        )
    };
    let id = crate::platform::device::random_id();
    let add = address(&case.console.id) + "/" + &id + "?kind=symptom&job=" + &case.job.id;
    part(
        "findings",
        "What it is based on",
        vec![
            list,
            silent(case),
            other(case, worked),
            tag(
                "div",
                "row",
                vec![link_with(
                    "plain",
                    &add,
                    "eye",
                    "Note what is seen or heard",
                )],
            ),
        ],
    )
}

fn row(case: &Rc<Case>, known: &Noticed, now: Option<&Noticed>) -> Dom {
    let stands = match now {
        None => 2,
        Some(n) if n.if_there > n.if_not => 0,
        Some(_) => 1,
    };
    let own = if known.if_there > known.if_not { 0 } else { 1 };
    let told = if now.is_some_and(|n| n.record.is_empty()) || now.is_none() {
        mark("warn", "guess", text::TRIED_ONLY)
    } else {
        mark(
            "",
            if stands == 0 { "check" } else { "minus" },
            if stands == 0 { "Seen" } else { "Not seen" },
        )
    };
    let (key, own_case) = (known.key.clone(), case.clone());
    let recorded = !known.record.is_empty();
    let name = names::found(case, &known.key, own == 0 || !recorded);
    let options = [(0_u8, "Seen"), (1, "Not there"), (2, "Not looked for")];
    let options = options
        .iter()
        .map(|(value, words)| crate::consoles::option(&value.to_string(), words, *value == stands));
    let place = "turn-".to_owned() + &known.key.text().replace(' ', "-");
    let select = El::new("select")
        .attr("id", &place)
        .kids(options.collect())
        .on("change", move |event| {
            let v: u8 = event_target_value(&event).parse().unwrap_or(2);
            let turn = match v {
                0 => Turn::Seen,
                1 => Turn::NotSeen,
                _ => Turn::Unknown,
            };
            // Back to what is known, or nothing at all: no trial.
            let back = if recorded { v == own } else { v == 2 };
            own_case.turn(&key, (!back).then_some(turn));
        });
    let turn = tag(
        "label",
        "field turn",
        vec![line("span", "", "What if it were"), select.done()],
    );
    let why = fold_named(
        &("why-".to_owned() + &known.key.text().replace(' ', "-")),
        "Why does it count so?",
        vec![line("p", "", &known.why), counts(known)],
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
fn other(case: &Rc<Case>, worked: &Worked) -> Dom {
    let mut options = vec![
        El::new("option")
            .attr("value", "")
            .text("Choose one")
            .done(),
    ];
    let mut group = Vec::new();
    let add = |key: Key, group: &mut Vec<Dom>| {
        if !worked.facts.noticed.iter().any(|n| n.key == key) {
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
    let own_case = case.clone();
    let select = El::new("select").kids(options).on("change", move |event| {
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
