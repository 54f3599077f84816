//! One code book, readable on a phone.

use super::{codes, own, port, receive, share};
use crate::app::App;
use crate::platform::dom::Dom;
use crate::platform::state::State;
use crate::text;
use crate::widgets::bits::{
    bullets, button, fold, line, link_with, mark, nothing, pair, tag, title, words,
};
use crate::widgets::boards;
use codebook::model::{BenchCheck, Cause, CodeBook, Layout, Repair};
use leptos::prelude::*;
use notebook::kinds;
use serde_json::Value;
use std::rc::Rc;

/// The page of a book.
pub fn page(app: App, id: &str) -> Dom {
    let id = id.to_owned();
    let body = move || match app.shelf.find(&id) {
        Some(held) => book(app, &held),
        None if app.shelf.ready.get() => tag(
            "div",
            "",
            vec![title("No such book"), line("p", "", text::BOOK_NOT_HERE)],
        ),
        None => line("p", "", "Opening the book"),
    };
    let back = link_with("back", "/books", "left", "All books");
    Dom::many(vec![tag("p", "", vec![back]), Dom::live(body)])
}

fn book(app: App, held: &super::shelf::Held) -> Dom {
    let m = &held.book.model;
    let id = m.id.clone();
    let mine = id.clone();
    let now = Signal::derive(move || {
        app.work
            .boards
            .with(|b| b.get(&mine).cloned().unwrap_or_default())
    });
    let mut parts = vec![
        title(&m.name),
        if held.demo || held.kept && app.shelf.has_demo(&id) {
            mark("warn", "info", text::DEMO)
        } else if !held.kept {
            mark("warn", "info", text::BOOK_SESSION)
        } else {
            nothing()
        },
        line("p", "", &m.about),
        receive::clash(app, held),
        begun(app, held),
        actions(&id),
    ];
    if !m.boards.is_empty() {
        let chosen = id.clone();
        let choose = Rc::new(move |b: String| app.work.choose_board(chosen.clone(), b));
        parts.push(line("h2", "", "Boards"));
        parts.push(boards::chooser(
            "book-board".to_owned(),
            &m.boards,
            now,
            choose,
        ));
        for b in m.boards.iter().filter(|b| !b.about.is_empty()) {
            parts.push(tag(
                "p",
                "small",
                vec![line("b", "", b.id.clone() + ": "), words(&b.about)],
            ));
        }
    }
    parts.push(line("h2", "", "Codes"));
    parts.push(codes::view(held.book.clone(), now));
    parts.push(line("h2", "", "Everything else in this book"));
    parts.push(steps(m));
    parts.push(rails(m));
    if m.service_port.is_some() {
        parts.push(fold("Service port", false, vec![port::view(m)]));
    }
    parts.push(layouts(m));
    parts.push(list(
        "Symptoms",
        m.symptoms
            .iter()
            .map(|s| (s.title.clone(), vec![s.about.clone()])),
    ));
    parts.push(list(
        "Causes",
        m.causes.iter().map(|c| (c.title.clone(), cause(c, m))),
    ));
    parts.push(list(
        "Checks",
        m.checks.iter().map(|c| (c.title.clone(), check(c))),
    ));
    parts.push(list(
        "Repairs",
        m.repairs.iter().map(|r| (r.title.clone(), repair(r))),
    ));
    parts.push(list(
        "Cautions",
        m.cautions
            .iter()
            .map(|c| (c.text.clone(), vec!["Source: ".to_owned() + &c.source])),
    ));
    parts.push(sources(m));
    parts.push(share::section(app, &held.book));
    if !held.demo {
        let words = if app.shelf.has_demo(&id) {
            "Go back to the demonstration book"
        } else {
            "Take this book off the device"
        };
        parts.push(button("plain", "bin", words, move || {
            own::remove(app.notes, &id, "The book is off this device");
            crate::route::go(app.route, "/books");
        }));
    }
    tag("article", "book", parts)
}

/// Says so when somebody began to change the book.
fn begun(app: App, held: &super::shelf::Held) -> Dom {
    let draft = State::new(false);
    let (record, text) = (kinds::book_record(held.id()), held.text.clone());
    let name = held.id().to_owned();
    let demo = held.demo.then(|| codebook::print(held.book.doc()));
    leptos::task::spawn_local(async move {
        if let Some(record) = app.notes.quiet_record(&record).await {
            let view = record.view();
            let parsed = |text: &str| serde_json::from_str::<Value>(text).ok();
            let begun = parsed(view.text("draft"));
            let now = parsed(demo.as_deref().unwrap_or(&text));
            draft.try_set(!view.gone && begun.is_some() && begun != now);
        }
    });
    Dom::live(move || {
        if !draft.get() {
            return nothing();
        }
        let to = "/books/".to_owned() + &name + "/edit";
        tag(
            "div",
            "note-box",
            vec![
                mark("warn", "info", text::BOOK_DRAFT),
                link_with("plain", &to, "edit", "Go on changing it"),
            ],
        )
    })
}

/// What can be done with a book.
fn actions(id: &str) -> Dom {
    let home = "/books/".to_owned() + id;
    let to = |rest: &str| home.clone() + rest;
    let row = vec![
        link_with("plain", &to("/edit"), "edit", "Change it"),
        link_with("plain", &to("/add"), "plus", "Add a table or a line"),
        link_with("plain", &to("/versions"), "clock", "Former versions"),
    ];
    tag("div", "row no-print", row)
}

fn list(title: &'static str, items: impl Iterator<Item = (String, Vec<String>)>) -> Dom {
    things(title, items.collect())
}

fn things(heading: &'static str, items: Vec<(String, Vec<String>)>) -> Dom {
    if items.is_empty() {
        return nothing();
    }
    let mut out = Vec::new();
    for (name, lines) in items {
        let mut parts = vec![line("h3", "", name)];
        parts.extend(
            lines
                .into_iter()
                .filter(|l| !l.is_empty())
                .map(|l| line("p", "small", l)),
        );
        out.push(tag("div", "thing", parts));
    }
    fold(heading, false, out)
}

fn steps(m: &CodeBook) -> Dom {
    let items = m.steps.iter().map(|s| {
        let mut lines = vec![s.about.clone()];
        if !s.rails.is_empty() {
            lines.push("Rails: ".to_owned() + &s.rails.join(", "));
        }
        if !s.parts.is_empty() {
            lines.push("Parts: ".to_owned() + &s.parts.join(", "));
        }
        (s.id.clone() + "  " + &s.name, lines)
    });
    list("Power-up steps", items)
}

fn rails(m: &CodeBook) -> Dom {
    let items = m.rails.iter().map(|r| {
        let volts = r
            .volts
            .map(|v| ", ".to_owned() + &v.to_string() + " V")
            .unwrap_or_default();
        let at = if r.at.is_empty() {
            String::new()
        } else {
            "Measure at: ".to_owned() + &r.at
        };
        (r.id.clone() + &volts, vec![r.name.clone(), at])
    });
    list("Rails", items)
}

fn layouts(m: &CodeBook) -> Dom {
    let mut out = Vec::new();
    for l in &m.layouts {
        let example = match l {
            Layout::Text(t) => &t.example,
            Layout::Bytes(b) => &b.example,
        };
        out.push(line("h3", "", l.name()));
        if !example.is_empty() {
            out.push(line("pre", "log-pre", example));
        }
    }
    fold("How an entry is written", false, out)
}

fn cause(c: &Cause, m: &CodeBook) -> Vec<String> {
    let mut out = vec![c.about.clone()];
    let mut add = |name: &str, items: Vec<String>| {
        if !items.is_empty() {
            out.push(name.to_owned() + ": " + &items.join(", "));
        }
    };
    add("Parts", c.parts.clone());
    add("Codes often seen", c.codes.clone());
    add("Often stops at step", c.steps.clone());
    let symptom = |id: &String| {
        m.symptoms
            .iter()
            .find(|s| s.id == *id)
            .map_or(id.clone(), |s| s.title.clone())
    };
    add("Symptoms", c.symptoms.iter().map(symptom).collect());
    add(
        "How common, by board",
        c.boards.iter().map(|(b, w)| b.clone() + " " + w).collect(),
    );
    let cure = |id: &String| {
        m.repairs
            .iter()
            .find(|r| r.id == *id)
            .map_or(id.clone(), |r| r.title.clone())
    };
    add("Cured by", c.repairs.iter().map(cure).collect());
    out
}

fn check(c: &BenchCheck) -> Vec<String> {
    let mut out = c.how.clone();
    out.push(
        c.minutes.to_string()
            + " minutes, cost "
            + &c.money.to_string()
            + ", risk "
            + or_none(&c.risk),
    );
    out.extend(c.tells.iter().map(|t| "Tells: ".to_owned() + t));
    out
}

fn repair(r: &Repair) -> Vec<String> {
    let mut out = vec![
        r.about.clone(),
        "Difficulty ".to_owned()
            + &r.difficulty.to_string()
            + " of 5, "
            + &r.minutes.to_string()
            + " minutes, cost "
            + &r.money.to_string(),
    ];
    out.extend(r.hazards.iter().map(|h| "Can go wrong: ".to_owned() + h));
    out
}

fn or_none(risk: &str) -> &str {
    if risk.is_empty() { "not stated" } else { risk }
}

fn sources(m: &CodeBook) -> Dom {
    let mut pairs = vec![
        pair("Id", &m.id),
        pair("Version", &m.version),
        pair("Licence", &m.licence),
    ];
    if !m.maker.is_empty() {
        pairs.push(pair("Maker", &m.maker));
    }
    let sources = m.sources.iter().map(|s| {
        if s.note.is_empty() {
            s.title.clone()
        } else {
            s.title.clone() + ": " + &s.note
        }
    });
    fold(
        "About this book",
        false,
        vec![tag("dl", "pairs", pairs), bullets(sources)],
    )
}
