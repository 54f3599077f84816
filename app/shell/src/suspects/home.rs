//! The first page: what to do next, who is suspected, and what it is based on.

use super::case::{Case, Worked, trial_bar};
use super::{advice, frozen, names, noticed};
use crate::app::App;
use crate::consoles::{address, back};
use crate::platform::dom::Dom;
use crate::platform::state::State;
use crate::text;
use crate::widgets::bits::{
    bullets, button, count, fold_later, fold_named, icon, line, link, link_with, mark, nothing,
    section, tag, title,
};
use crate::widgets::boards;
use diagnosis::plain;
use diagnosis::suspects::Suspect;
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
        closed_jobs(&case),
        Dom::live(move || {
            let worked = first.work(true);
            Dom::many(vec![
                trial_bar(app, &first),
                lead(&first, &worked),
                warnings(app, &first, &worked),
                unexplained(&first, &worked),
                advice::next(app, &first, &worked),
            ])
        }),
        Dom::live(move || suspects(&then, &then.work(true))),
        noticed::section(&case),
        keep(app, &case),
    ])
}

/// How many closed jobs count.
fn closed_jobs(case: &Case) -> Dom {
    let own = case
        .outcomes
        .iter()
        .filter(|o| o.board == case.board)
        .count();
    if own == 0 {
        return nothing();
    }
    let jobs = count(own, "closed job", "closed jobs");
    let word = if own == 1 { " counts." } else { " count." };
    line("p", "small", jobs + " of yours on this board" + word)
}

/// What was seen although the suspects that lead hardly bring it about.
fn unexplained(case: &Case, worked: &Worked) -> Dom {
    let odd = worked.answer.unexplained(&worked.facts);
    let rows = odd.iter().take(2).filter_map(|(noticed, others)| {
        let one = worked.facts.noticed.get(*noticed)?;
        let others = others.iter().take(3);
        let others: Vec<String> = others
            .map(|at| names::at_small(case, worked, *at))
            .collect();
        let name = names::finding(case, &one.key);
        let words = [
            text::ALSO_UNEXPLAINED,
            &name,
            text::LOOK_AGAIN,
            &others.join(", "),
            ".",
        ];
        Some(mark("warn", "info", words.concat()))
    });
    Dom::many(rows.collect())
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
        out.push(tag(
            "div",
            "row",
            vec![
                link_with("plain", "/read", "read", "Read the log"),
                noticed::note_link(case),
            ],
        ));
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
pub fn boards_of(app: App, case: &Case) -> Dom {
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
    let pairs = worked.answer.pairs();
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
