//! The first page: what to do next, who is suspected, and what it is based on.

use super::case::{Case, Worked, trial_bar};
use super::{frozen, names, noticed};
use crate::app::App;
use crate::consoles::{address, back};
use crate::platform::device;
use crate::platform::dom::Dom;
use crate::platform::state::State;
use crate::route;
use crate::text;
use crate::widgets::bits::{
    bullets, button, fold_later, fold_named, icon, line, link, link_with, mark, nothing, section,
    sentence, tag, title,
};
use crate::widgets::boards;
use diagnosis::next::{Choice, Deed};
use diagnosis::plain;
use diagnosis::suspects::Suspect;
use notebook::Edit;
use std::rc::Rc;

/// Suspects shown at once; the others are folded away.
const FIRST: usize = 5;
/// Below this a suspect is folded away.
const FEW: f64 = 0.03;

/// The page. Drawn once; when a finding is turned, only the parts that show the
/// answer are drawn anew.
pub fn page(app: App, case: Rc<Case>) -> Dom {
    let home = address(&case.console.id);
    let board = if case.board.is_empty() {
        text::NO_BOARD.to_owned()
    } else {
        "Board ".to_owned() + &case.board
    };
    let about = [case.console.text("name"), " \u{b7} ", &board].concat();
    let (first, then) = (case.clone(), case.clone());
    Dom::many(vec![
        back(&home, "Back to the console"),
        title(text::SUSPECTS_TITLE),
        line("p", "small sus-about", about),
        Dom::live(move || {
            let worked = first.work(true);
            Dom::many(vec![
                trial_bar(app, &first),
                lead(&first, &worked),
                warnings(app, &first, &worked),
                next(app, &first, &worked),
            ])
        }),
        Dom::live(move || suspects(&then, &then.work(true))),
        noticed::section(&case),
        keep(app, &case),
    ])
}

/// The answer in one or two sentences.
fn lead(case: &Case, worked: &Worked) -> Dom {
    let mut text = String::new();
    if let Some(step) = case.stop() {
        text = ["Power-up stops at step ", &step, ". "].concat();
    }
    let all = &worked.answer.suspects;
    let near = |s: &&Suspect| all.first().is_some_and(|f| s.now >= f.now * 0.6);
    let top: Vec<String> = all
        .iter()
        .take_while(near)
        .take(3)
        .map(|s| "\u{201c}".to_owned() + &names::at_small(case, worked, s.at) + "\u{201d}")
        .collect();
    if worked.facts.noticed.is_empty() || worked.answer.contradicts {
        return nothing();
    }
    text += match top.len() {
        0 | 1 => "One thing fits best: ",
        2 => "Two things fit best: ",
        _ => "Three things fit best: ",
    };
    text += &top.join(", ");
    line("p", "lead", text + ".")
}

/// What makes the answer worth less.
fn warnings(app: App, case: &Case, worked: &Worked) -> Dom {
    let mut out = Vec::new();
    if case.board.is_empty() {
        out.push(mark("warn", "info", text::SUSPECTS_NO_BOARD));
        out.push(boards_of(app, case));
    }
    if worked.answer.contradicts {
        out.push(mark("bad", "bad", text::SUSPECTS_CONTRADICT));
    }
    if worked.facts.noticed.is_empty() {
        out.push(mark("warn", "info", text::SUSPECTS_NOTHING));
    }
    if !worked.answer.left_out.is_empty() {
        let n = worked.answer.left_out.len().to_string();
        out.push(mark("warn", "info", n + text::SUSPECTS_LEFT_OUT));
    }
    for (value, why, _) in &worked.facts.unread {
        let words = ["\u{201c}", value, "\u{201d}: ", why].concat();
        out.push(mark("warn", "bad", words));
    }
    Dom::many(out)
}

/// Choosing the board without leaving the page.
fn boards_of(app: App, case: &Case) -> Dom {
    if case.book.model.boards.is_empty() {
        return nothing();
    }
    let console = case.console.id.clone();
    let chosen: State<String> = State::new(String::new());
    let choose = Rc::new(move |id: String| chosen.set(id));
    let now = leptos::prelude::Signal::derive(move || chosen.get());
    let list = boards::chooser("board".to_owned(), &case.book.model.boards, now, choose);
    let take = button("main", "check", "Use this board", move || {
        let (console, id) = (console.clone(), chosen.get_untracked());
        if id.is_empty() {
            return;
        }
        leptos::task::spawn_local(async move {
            app.notes
                .edit(&console, |now, _| {
                    now.insert("board".to_owned(), id.into());
                })
                .await;
        });
    });
    fold_named(
        "which-board",
        "Choose the board",
        vec![list, tag("div", "row", vec![take])],
    )
}

/// The advice.
fn next(app: App, case: &Rc<Case>, worked: &Rc<Worked>) -> Dom {
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
        let cause = works.then(|| mended(&case, &repair.id)).flatten();
        let (job, to) = (
            case.job.id.clone(),
            address(&case.console.id) + "/" + &case.job.id,
        );
        leptos::task::spawn_local(async move {
            if app.notes.save(&[edit], &[]).await.is_err() {
                return;
            }
            if !works {
                app.toasts.say(text::REPAIR_NOTED);
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
    let worked = case.work(false);
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
    let head = [
        "Comes to about ",
        &expected,
        ", with ",
        &worth,
        " for giving up. Why?",
    ]
    .concat();
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
        let words = [
            names::sentence(t.chance),
            ". Then ".to_owned(),
            names::at_small(case, worked, t.leader.0),
            " leads with ".to_owned(),
            plain::percent(t.leader.1),
            ", and next comes: ".to_owned(),
            names::deed_small(case, &worked.options.next(choice, t)),
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

/// The suspects.
fn suspects(case: &Rc<Case>, worked: &Rc<Worked>) -> Dom {
    let all = &worked.answer.suspects;
    let shown = all
        .iter()
        .take(FIRST)
        .filter(|s| s.now >= FEW)
        .count()
        .max(2);
    let first = all.iter().take(shown).map(|s| suspect(case, s)).collect();
    let question = case.question(&worked.facts);
    let pairs = worked.answer.pairs(&question);
    let both = pairs.iter().take(3).map(|(a, b, p)| {
        let [a, b] = [a, b].map(|at| names::at_small(case, worked, *at));
        [&a, " and ", &b, ", ", &plain::share(*p)].concat()
    });
    let both: Vec<String> = both.collect();
    let pairs = if both.is_empty() {
        nothing()
    } else {
        Dom::many(vec![line("p", "", text::BOTH), bullets(both)])
    };
    let many = all.len().saturating_sub(shown).to_string() + " others, less probable";
    let (of, all) = (case.clone(), worked.clone());
    let rest = fold_later("rest", many, move || {
        let rest = all.answer.suspects.iter().skip(shown);
        vec![tag(
            "ul",
            "suspects",
            rest.map(|s| suspect(&of, s)).collect(),
        )]
    });
    section(
        "suspects",
        "Suspects",
        vec![
            line("p", "small", text::SUSPECTS_LEAD),
            tag("ul", "suspects", first),
            rest,
            pairs,
        ],
    )
}

fn suspect(case: &Case, s: &Suspect) -> Dom {
    let to = [&case.address(), "/why/", &s.at.to_string()].concat();
    let base = before_all(case) + &plain::percent(s.base);
    tag(
        "li",
        "suspect",
        vec![
            link(
                "suspect-name",
                &to,
                vec![
                    line("b", "", names::suspect(case, s.cause)),
                    tag(
                        "span",
                        "why-word",
                        vec![line("span", "", "Why?"), icon("right")],
                    ),
                ],
            ),
            names::how_probable(s),
            line("p", "small", base),
        ],
    )
}

/// What the share before anything is known is called.
fn before_all(case: &Case) -> String {
    let what = if case.board.is_empty() {
        "In this family"
    } else {
        "On this board"
    };
    what.to_owned() + ", knowing nothing more: "
}

/// Keeping the diagnosis, and what was kept.
fn keep(app: App, case: &Rc<Case>) -> Dom {
    let held = case.clone();
    let act = button("plain", "note", "Keep this diagnosis", move || {
        if !held.turns().is_empty() {
            app.toasts.say(text::KEEP_NOT_TRIAL);
            return;
        }
        let worked = held.work(true);
        if worked.answer.contradicts {
            app.toasts.say(text::KEEP_NOT_WRONG);
            return;
        }
        let edit = frozen::record(&held, &worked);
        leptos::task::spawn_local(async move {
            if app.notes.save(&[edit], &[]).await.is_ok() {
                app.toasts.say(text::KEPT_DIAGNOSIS);
            }
        });
    });
    let base = case.address();
    section(
        "keep",
        "Keep and compare",
        vec![
            line("p", "small", text::KEEP_LEAD),
            tag("div", "row", vec![act]),
            frozen::list(case),
            tag(
                "div",
                "row",
                vec![
                    link_with(
                        "plain",
                        &(base + "/compare"),
                        "board",
                        "Compare with another job",
                    ),
                    link_with(
                        "plain",
                        "/suspects/past",
                        "clock",
                        "How often was it right?",
                    ),
                    link_with("plain", "/suspects/weights", "edit", "What things cost you"),
                ],
            ),
        ],
    )
}
