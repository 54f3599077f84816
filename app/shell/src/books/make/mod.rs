//! Making a code book from what one has: a log, a code table, a name.

mod log;
mod state;
mod table;

pub use state::Make;

use super::edit::field::short;
use super::own;
use crate::app::App;
use crate::platform::dom::{Dom, El};
use crate::platform::state::State;
use crate::route;
use crate::text;
use crate::widgets::bits::{button, line, link_with, mark, nothing, section, spoken, tag, title};
use codebook::model::{FORMAT, Layout};
use codebook::{Book, Problem};
use leptos::prelude::event_target_value;
use notebook::kinds;
use serde_json::Value;
use std::rc::Rc;

/// The page. With `into` what is made goes into that book.
pub fn page(app: App, into: &str) -> Dom {
    app.make.take_up();
    let into = into.to_owned();
    let (back, words) = if into.is_empty() {
        ("/books".to_owned(), "All books")
    } else {
        ("/books/".to_owned() + &into + "/edit", "Back to the book")
    };
    let heading = if into.is_empty() {
        text::MAKE_TITLE
    } else {
        "Add to the book"
    };
    Dom::many(vec![
        tag("p", "", vec![link_with("back", &back, "left", words)]),
        title(heading),
        line("p", "lead", text::MAKE_LEAD),
        log::view(app),
        table::view(app),
        end(app, into),
    ])
}

/// The name, whether log and table fit each other, and the button.
fn end(app: App, into: String) -> Dom {
    let make = app.make;
    let problems: State<Vec<Problem>> = State::new(Vec::new());
    let name = if into.is_empty() {
        let input = El::new("input")
            .attr("type", "text")
            .attr("id", "make-name")
            .attr("autocomplete", "off")
            .live_prop("value", move || make.name.get().into())
            .on("input", move |event| {
                make.name.set(event_target_value(&event))
            });
        let label = line("span", "", "What people call the console");
        tag("label", "field", vec![label, input.done()])
    } else {
        nothing()
    };
    let target = into.clone();
    let act = move || {
        if target.is_empty() {
            new_book(app, problems);
        } else {
            add(app, &target);
        }
    };
    let words = if into.is_empty() {
        "Make the book"
    } else {
        "Add to the book"
    };
    let fit = Dom::live(move || fits(app));
    let begun = Dom::live(move || {
        let any = make.log.with(|l| !l.is_empty()) || make.pasted.with(|p| !p.is_empty());
        if !any {
            return nothing();
        }
        button("plain", "clear", "Start over", move || {
            make.keep();
            make.clear();
        })
    });
    section(
        "make-end",
        if into.is_empty() {
            "The book"
        } else {
            "Put it in"
        },
        vec![
            spoken("", vec![fit]),
            name,
            line("p", "small", text::MAKE_SHARE),
            spoken("", vec![Dom::live(move || super::refused(&problems.get()))]),
            tag(
                "div",
                "row",
                vec![button("main", "check", words, act), begun],
            ),
        ],
    )
}

/// The layout that was taught, with an id that the book does not have yet.
fn layout(make: Make, taken: &[&str]) -> Option<Layout> {
    let told = make.taught.get_untracked()?;
    let mut layout = told.as_ref().as_ref().ok()?.layout.clone();
    let base = layout.id().to_owned();
    let mut id = base.clone();
    let mut n = 2;
    while taken.contains(&id.as_str()) {
        id = base.clone() + "-" + &n.to_string();
        n += 1;
    }
    match &mut layout {
        Layout::Text(t) => t.id = id,
        Layout::Bytes(b) => b.id = id,
    }
    Some(layout)
}

/// A book's document with what was made in it. A row that is there already, or
/// a step, rail or board of the same name, adds nothing: the book's own stays.
fn with_all(make: Make, mut doc: Value) -> Value {
    let there = |doc: &Value, section: &str| -> Vec<Value> {
        let rows = doc.get(section).and_then(Value::as_array);
        rows.cloned().unwrap_or_default()
    };
    let old = there(&doc, "layouts");
    let ids: Vec<&str> = old.iter().filter_map(|l| l.get("id")?.as_str()).collect();
    let layout = layout(make, &ids).and_then(|l| serde_json::to_value(l).ok());
    put(
        &mut doc,
        "layouts",
        old.iter().cloned().chain(layout).collect(),
    );
    let Some(taken) = make.taken.get_untracked() else {
        return doc;
    };
    let mut piece = taken.piece.clone();
    // Steps, rails and boards that codes name must be in the book. What no
    // table describes is there by its name alone.
    if let Ok(book) = Book::of(doc.clone()) {
        piece.name_missing(&book.model);
    }
    let p = &piece;
    let lists = [
        ("codes", serde_json::to_value(&p.codes)),
        ("steps", serde_json::to_value(&p.steps)),
        ("rails", serde_json::to_value(&p.rails)),
        ("boards", serde_json::to_value(&p.boards)),
    ];
    for (section, rows) in lists {
        let Ok(Value::Array(rows)) = rows else {
            continue;
        };
        let mut all = there(&doc, section);
        let before = all.len();
        for row in rows {
            let same = |old: &Value| match section {
                "codes" => ["code", "title", "meaning", "step", "boards"]
                    .iter()
                    .all(|k| old.get(k) == row.get(k)),
                _ => old.get("id") == row.get("id"),
            };
            if !all.iter().take(before).any(same) {
                all.push(row);
            }
        }
        put(&mut doc, section, all);
    }
    doc
}

fn put(doc: &mut Value, section: &str, rows: Vec<Value>) {
    if let Some(map) = doc.as_object_mut()
        && (!rows.is_empty() || section == "layouts")
    {
        map.insert(section.to_owned(), rows.into());
    }
}

fn object(fields: &[(&str, &str)]) -> Value {
    let all = fields.iter();
    let all = all.map(|(key, text)| ((*key).to_owned(), Value::from(*text)));
    Value::Object(all.collect())
}

/// A book with nothing in it yet.
fn empty(id: &str, name: &str) -> Value {
    let source = object(&[("title", text::MADE_HERE), ("note", text::MADE_HERE_NOTE)]);
    let mut doc = object(&[
        ("id", id),
        ("version", "0.1.0"),
        ("name", name),
        ("licence", "not stated"),
    ]);
    if let Some(map) = doc.as_object_mut() {
        map.insert("format".to_owned(), FORMAT.into());
        map.insert("sources".to_owned(), vec![source].into());
    }
    doc
}

/// How many codes of the log the table knows, read by the layout that was
/// taught.
fn fits(app: App) -> Dom {
    let make = app.make;
    make.taught.track();
    make.taken.track();
    let there = make.taken.with_untracked(Option::is_some)
        && make
            .taught
            .with_untracked(|t| t.as_ref().is_some_and(|t| t.is_ok()));
    if !there {
        return nothing();
    }
    let book = match Book::of(with_all(make, empty("trial", "trial"))) {
        Ok(book) => Rc::new(book),
        Err(_) => return nothing(),
    };
    let text = make.log.get_untracked();
    let reading = reading::Reader::new(vec![book.clone()]).read(text.as_bytes());
    let mut codes: Vec<(String, bool)> = Vec::new();
    for e in &reading.entries {
        if let Some(code) = e.fields.get("code").and_then(Value::as_str)
            && !codes.iter().any(|(c, _)| c == code)
        {
            codes.push((code.to_owned(), book.knows(code, Some(&e.layout)).is_some()));
        }
    }
    let known = codes.iter().filter(|c| c.1).count();
    let others: Vec<&str> = codes
        .iter()
        .filter(|c| !c.1)
        .map(|c| c.0.as_str())
        .collect();
    if codes.is_empty() {
        return mark("warn", "info", "No part of the log is called its code yet.");
    }
    let words = "The tables know ".to_owned()
        + &known.to_string()
        + " of the "
        + &codes.len().to_string()
        + " different codes of the log.";
    let (kind, picture) = if others.is_empty() {
        ("good", "check")
    } else {
        ("warn", "info")
    };
    let rest = if others.is_empty() {
        nothing()
    } else {
        let list: Vec<&str> = others.iter().take(12).copied().collect();
        line(
            "p",
            "small",
            "Not in the tables: ".to_owned() + &list.join(", "),
        )
    };
    Dom::many(vec![mark(kind, picture, words), rest])
}

fn new_book(app: App, problems: State<Vec<Problem>>) {
    let make = app.make;
    let mut name = make.name.get_untracked().trim().to_owned();
    if name.is_empty() {
        name = "My console".to_owned();
    }
    let first = match short(&name) {
        id if id.is_empty() => "book".to_owned(),
        id => id,
    };
    // A book that is there is not written over.
    let mut id = first.clone();
    let mut n = 2;
    while app
        .shelf
        .held
        .with_untracked(|all| all.iter().any(|h| h.id() == id))
    {
        id = first.clone() + "-" + &n.to_string();
        n += 1;
    }
    let doc = with_all(make, empty(&id, &name));
    let any = |key| {
        doc.get(key)
            .and_then(Value::as_array)
            .is_some_and(|a: &Vec<Value>| !a.is_empty())
    };
    if !any("layouts") && !any("codes") && !any("steps") {
        app.toasts.say(text::MAKE_NOTHING_YET);
        return;
    }
    let text = codebook::print(&doc);
    match Book::load(text.as_bytes()) {
        Ok(book) => {
            let id = book.model.id.clone();
            leptos::task::spawn_local(async move {
                let kept = own::keep(app.notes, book, &text).await;
                if kept {
                    make.clear();
                }
                own::say(app.notes, kept, "The book is made and in use");
                route::go(app.route, &("/books/".to_owned() + &id));
            });
        }
        Err(list) => {
            problems.set(list);
            crate::platform::page::focus("#make-end");
        }
    }
}

/// Puts what was made into a book's unfinished text, where it can be looked at
/// before it is used.
fn add(app: App, id: &str) {
    let id = id.to_owned();
    leptos::task::spawn_local(async move {
        let record = app.notes.record(&kinds::book_record(&id)).await;
        let begun = record.as_ref().and_then(own::draft);
        let held = app.shelf.held.with_untracked(|all| {
            all.iter()
                .find(|h| h.id() == id)
                .map(|h| h.book.doc().clone())
        });
        let Some(doc) = begun.or(held) else {
            app.toasts.say(text::BOOK_NOT_HERE);
            return;
        };
        let doc = with_all(app.make, doc);
        if own::keep_draft(app.notes, &id, &doc).await {
            app.make.clear();
            route::go(app.route, &("/books/".to_owned() + &id + "/edit"));
            app.toasts.say("Added. Look at it, then put it to use.");
        }
    });
}
