//! What to do next, why it comes first, and what each result would lead to.

use super::case::{Case, Worked};
use super::names;
use crate::app::App;
use crate::consoles::address;
use crate::platform::device;
use crate::platform::dom::Dom;
use crate::route;
use crate::text;
use crate::widgets::bits::{
    bullets, button, fold_later, line, link, link_with, mark, nothing, section, sentence, tag,
};
use diagnosis::next::{Choice, Deed};
use diagnosis::plain;
use notebook::Edit;
use std::rc::Rc;

/// The advice.
pub fn next(app: App, case: &Rc<Case>, worked: &Rc<Worked>) -> Dom {
    if case.job.text("stage") == "closed" {
        return section("next", "Closed", vec![mark("", "check", text::JOB_CLOSED)]);
    }
    if worked.answer.contradicts {
        return nothing();
    }
    let Some(choice) = worked.options.choices.first() else {
        return nothing();
    };
    let mut parts = vec![line("p", "deed", names::deed(case, &choice.deed))];
    match &choice.deed {
        Deed::Check(_) => parts.push(line("p", "", names::price(&choice.price) + ".")),
        Deed::Repair(_) => {
            parts.push(line("p", "", names::price(&choice.price) + "."));
            parts.push(before_heat(case, worked, choice));
        }
        Deed::Stop => parts.push(line("p", "", text::DEED_STOP)),
    }
    parts.push(why(case, worked, choice));
    let mut row = Vec::new();
    let base = case.address();
    match &choice.deed {
        Deed::Check(at) => {
            if let Some(check) = case.book.model.checks.get(*at) {
                let to = [&base, "/check/", &check.id].concat();
                row.push(link_with("main", &to, "check", "Do this check"));
            }
        }
        Deed::Repair(at) => {
            let list = [
                "/bench/new?console=",
                &case.console.id,
                "&job=",
                &case.job.id,
            ]
            .concat();
            row.push(link_with("main", &list, "list", "Begin a checklist"));
            row.push(repaired(app, case, *at, true));
            row.push(repaired(app, case, *at, false));
        }
        Deed::Stop => {}
    }
    row.push(link_with(
        "plain",
        &(base + "/next"),
        "right",
        "All that can be done",
    ));
    parts.push(tag("div", "row", row));
    section("next", "Do next", vec![tag("div", "note-box", parts)])
}

/// A repair that was made: it brought the console back, or did not.
pub fn repaired(app: App, case: &Rc<Case>, at: usize, works: bool) -> Dom {
    let case = case.clone();
    let (label, picture) = if works {
        ("Done, it works", "check")
    } else {
        ("Done, still dead", "close")
    };
    button("plain", picture, label, move || {
        let Some(repair) = case.book.model.repairs.get(at) else {
            return;
        };
        let note = if works {
            text::IT_WORKS
        } else {
            text::STILL_DEAD
        };
        let data = notebook::filled(&[
            ("console", &case.console.id),
            ("job", &case.job.id),
            ("day", &device::today()),
            ("what", &sentence(&repair.title)),
            ("note", note),
            ("book", &case.book.model.id),
            // One that helped says nothing against its cause.
            ("repair", if works { "" } else { &repair.id }),
        ]);
        let edit = Edit::new(&device::random_id(), "repair", data);
        let moved = (!works).then(|| case.moved(&edit) + text::READ_AGAIN);
        let cause = works.then(|| mended(&case, &repair.id)).flatten();
        let (job, to) = (
            case.job.id.clone(),
            address(&case.console.id) + "/" + &case.job.id,
        );
        leptos::task::spawn_local(async move {
            if app.notes.save(&[edit], &[]).await.is_err() {
                return;
            }
            if let Some(words) = moved {
                app.toasts.say(&words);
                return;
            }
            app.notes
                .edit(&job, |now, _| {
                    now.insert("stage".to_owned(), "testing".into());
                    if let Some((id, title)) = cause {
                        now.insert("broken".to_owned(), vec![id].into());
                        now.entry("cause".to_owned())
                            .or_insert_with(|| title.into());
                    }
                })
                .await;
            app.toasts.say(text::PROVE_FIRST);
            route::go(app.route, &to);
        });
    })
}

/// The most probable suspect that a repair is for: id and title.
fn mended(case: &Case, repair: &str) -> Option<(String, String)> {
    let worked = case.known();
    let causes = worked
        .answer
        .suspects
        .iter()
        .filter_map(|s| case.book.model.causes.get(s.cause?));
    let mut own = causes.filter(|c| c.repairs.iter().any(|r| r == repair));
    own.next().map(|c| (c.id.clone(), sentence(&c.title)))
}

/// Before a repair with heat: the checks that speak for its suspect and were
/// not done.
fn before_heat(case: &Case, worked: &Worked, choice: &Choice) -> Dom {
    let Deed::Repair(at) = choice.deed else {
        return nothing();
    };
    let Some(repair) = case.book.model.repairs.get(at).filter(|r| r.heat) else {
        return nothing();
    };
    let checks =
        diagnosis::rules::speaking_for(&case.book.model, &worked.options.choices, &repair.id);
    if checks.is_empty() {
        return nothing();
    }
    let base = case.address();
    let rows = checks.iter().filter_map(|c| case.book.model.checks.get(*c));
    let rows = rows.take(3).map(|check| {
        let to = [&base, "/check/", &check.id].concat();
        let name = sentence(&check.title);
        tag("li", "", vec![link("", &to, vec![Dom::text(&name)])])
    });
    Dom::many(vec![
        mark("warn", "caution", text::BEFORE_HEAT),
        tag("ul", "bullets", rows.collect()),
    ])
}

/// Why this comes first.
pub fn why(case: &Rc<Case>, worked: &Rc<Worked>, choice: &Choice) -> Dom {
    let expected = names::cost(choice.expected);
    let worth = names::cost(case.chosen.weights.console);
    let head = match choice.deed {
        Deed::Stop => ["It costs ", &worth, ". Why?"].concat(),
        _ => [
            "From here it costs about ",
            &expected,
            " in all; giving up costs ",
            &worth,
            ". Why?",
        ]
        .concat(),
    };
    let id = "why-".to_owned() + &names::deed_small(case, &choice.deed).replace(' ', "-");
    let (case, worked, choice) = (case.clone(), worked.clone(), choice.clone());
    fold_later(&id, head, move || vec![reasons(&case, &worked, &choice)])
}

/// What the expected cost is made of.
fn reasons(case: &Case, worked: &Worked, choice: &Choice) -> Dom {
    let mut out = vec![line("p", "", text::EXPECTED_MEANS)];
    if choice.before_heat {
        out.push(line("p", "", text::HEAT_WAITS));
    }
    if choice.before_stop {
        out.push(line("p", "", text::STOP_WAITS));
    }
    let own = names::cost(choice.price.all);
    match &choice.deed {
        Deed::Check(_) => {
            let text = ["The check itself counts as ", &own, ". Then:"].concat();
            out.push(line("p", "", text));
            out.push(then(case, worked, choice));
        }
        Deed::Repair(_) => {
            let text = [
                "The repair counts as ",
                &own,
                ", with ten minutes to try the console.",
            ];
            out.push(line("p", "", text.concat()));
            let names: Vec<String> = choice
                .order
                .iter()
                .map(|r| names::deed(case, &Deed::Repair(*r)))
                .collect();
            out.push(line("p", "", text::REPAIR_ORDER));
            out.push(bullets(names));
            let left = names::sentence(choice.left);
            let text =
                left + " it would still be dead then, and that counts as the console's worth.";
            out.push(line("p", "", text));
        }
        Deed::Stop => out.push(line("p", "", text::STOP_COUNTS)),
    }
    let mut others = worked.options.choices.iter();
    if let Some(other) = others.find(|c| c.deed != choice.deed) {
        let (a, b) = (choice.expected, other.expected);
        let near = (a - b).abs() <= diagnosis::rules::EQUAL * a.max(b);
        let name = names::deed_small(case, &other.deed);
        let also = if near { text::NEAR_EQUAL } else { "." };
        let words = [
            "\u{201c}",
            &name,
            "\u{201d} comes to ",
            &names::cost(b),
            also,
        ];
        out.push(line("p", "", words.concat()));
    }
    out.push(tag(
        "p",
        "",
        vec![link(
            "",
            "/suspects/weights",
            vec![Dom::text(text::WEIGHTS_LINK)],
        )],
    ));
    Dom::many(out)
}

/// If it reads so, then.
pub fn then(case: &Case, worked: &Worked, choice: &Choice) -> Dom {
    let Deed::Check(at) = choice.deed else {
        return nothing();
    };
    let Some(check) = case.book.model.checks.get(at) else {
        return nothing();
    };
    let rows = choice.then.iter().filter_map(|t| {
        let result = check.results.get(t.result)?;
        let then = case.after(worked, check, t.result);
        let next = then.options.choices.first().map(|c| &c.deed);
        let next = next.map_or_else(String::new, |d| names::deed_small(case, d));
        let words = [
            names::sentence(t.chance),
            ". Then ".to_owned(),
            names::at_small(case, worked, t.leader.0),
            " leads with ".to_owned(),
            plain::percent(t.leader.1),
            ", and next comes: ".to_owned(),
            next,
            "; from there about ".to_owned(),
            names::cost(t.cost),
            ".".to_owned(),
        ];
        let says = line("b", "", &result.says);
        Some(tag(
            "li",
            "",
            vec![says, Dom::text(" "), Dom::text(&words.concat())],
        ))
    });
    tag("ul", "bullets", rows.collect())
}
