//! A book that came from somebody else, or from another device: looked at
//! before it is taken, row by row if wanted.

use super::shelf::Held;
use super::{changes, own};
use crate::app::App;
use crate::consoles::ticked;
use crate::platform::device;
use crate::platform::dom::{Dom, El};
use crate::platform::state::State;
use crate::route;
use crate::text;
use crate::widgets::bits::{
    bullets, button, fold, line, link_with, mark, nothing, pair, show_all, tag, title,
};
use codebook::compare::{self, Change};

use codebook::{Book, Problem, text_form};
use leptos::prelude::event_target_checked;
use serde_json::Value;
use std::rc::Rc;

/// A book that was checked and not taken yet.
#[derive(Clone)]
pub struct Received {
    book: Rc<Book>,
    text: Rc<str>,
    /// What was odd about the text that it came in.
    note: String,
}

/// Changes drawn at once.
const FIRST: usize = 60;

/// Checks a book and opens the page where it is looked at, or says what is
/// wrong with it. It may be a file, or the text of a post with a book in it.
pub fn look(app: App, given: &str) -> Result<(), Vec<Problem>> {
    let (json, note) = match text_form::read(given) {
        Ok(taken) => (taken.json, taken.note),
        Err(message) => {
            return Err(vec![Problem {
                path: String::new(),
                message,
                hint: String::new(),
            }]);
        }
    };
    let book = Book::load(json.as_bytes())?;
    app.received.set(Some(Received {
        book: Rc::new(book),
        text: json.into(),
        note,
    }));
    route::go(app.route, "/received");
    Ok(())
}

/// The page.
pub fn page(app: App) -> Dom {
    let body = move || match app.received.get() {
        Some(received) => shown(app, &received),
        None => Dom::many(vec![
            title("A code book"),
            line("p", "", text::RECEIVED_NONE),
        ]),
    };
    Dom::many(vec![
        tag(
            "p",
            "",
            vec![link_with("back", "/books", "left", "All books")],
        ),
        Dom::live(body),
    ])
}

fn shown(app: App, received: &Received) -> Dom {
    let m = &received.book.model;
    let licence = if m.licence.is_empty() {
        "not stated"
    } else {
        &m.licence
    };
    let mut parts = vec![
        title(&m.name),
        line("p", "lead", text::RECEIVED_LEAD),
        line("p", "", &m.about),
        tag(
            "dl",
            "pairs",
            vec![
                pair("Id", &m.id),
                pair("Version", &m.version),
                pair("Licence", licence),
                pair("In it", super::facts(m)),
            ],
        ),
    ];
    if !received.note.is_empty() {
        parts.push(mark("warn", "guess", &received.note));
    }
    if !m.sources.is_empty() {
        let sources = m.sources.iter().map(|s| s.title.clone() + ". " + &s.note);
        parts.push(fold("Its sources", false, vec![bullets(sources)]));
    }
    let notes = received.book.notes.iter().take(40).map(ToString::to_string);
    let notes: Vec<String> = notes.collect();
    if !notes.is_empty() {
        let head = "Odd, but harmless: ".to_owned() + &notes.len().to_string();
        parts.push(fold(head, false, vec![bullets(notes)]));
    }
    parts.push(match app.shelf.find(&m.id) {
        None => new(app, received.clone()),
        Some(held) => merge(app, received, &held),
    });
    Dom::many(parts)
}

fn new(app: App, received: Received) -> Dom {
    button("main", "check", "Put it on this device", move || {
        take(app, (*received.book).clone(), received.text.to_string());
    })
}

/// Puts a book to use.
fn take(app: App, book: Book, text: String) {
    let id = book.model.id.clone();
    leptos::task::spawn_local(async move {
        let kept = own::keep(app.notes, book, &text).await;
        app.received.set(None);
        own::say(app.notes, kept, "The book is in use");
        route::go(app.route, &("/books/".to_owned() + &id));
    });
}

fn merge(app: App, received: &Received, held: &Held) -> Dom {
    let list = changes::between(held.book.doc(), received.book.doc());
    if list.is_empty() {
        return mark("good", "check", text::RECEIVED_SAME);
    }
    // What the other book lacks is no reason to lose it here.
    let chosen: Vec<bool> = list.iter().map(|c| c.after.is_some()).collect();
    let chosen = State::new(chosen);
    let [new, changed, gone] = [
        list.iter().filter(|c| c.before.is_none()).count(),
        list.iter()
            .filter(|c| c.before.is_some() && c.after.is_some())
            .count(),
        list.iter().filter(|c| c.after.is_none()).count(),
    ];
    let told = "You have version ".to_owned()
        + &held.book.model.version
        + " of this book. The other one brings "
        + &new.to_string()
        + " new, "
        + &changed.to_string()
        + " changed, and lacks "
        + &gone.to_string()
        + " of yours.";
    let limit = State::new(FIRST);
    let drawn = list.clone();
    let rows = Dom::live(move || {
        let items = drawn.iter().enumerate().take(limit.get());
        let items = items.map(|(n, c)| row(n, c, chosen)).collect();
        Dom::many(vec![
            tag("ul", "records", items),
            show_all(drawn.len(), limit),
        ])
    });
    let all = move |on: bool| {
        button(
            "plain",
            if on { "check" } else { "close" },
            if on { "Tick all" } else { "Tick none" },
            move || {
                chosen.update(|c| c.iter_mut().for_each(|c| *c = on));
                limit.notify();
            },
        )
    };
    let mine = held.book.doc().clone();
    let m = &received.book.model;
    let source =
        "from ".to_owned() + &m.name + " " + &m.version + ", taken in on " + &device::today();
    let whole = received.clone();
    let act = move || {
        let ticked: Vec<Change> = chosen.with_untracked(|on| {
            let all = list.iter().zip(on).filter(|(_, on)| **on);
            all.map(|(c, _)| c.clone()).collect()
        });
        if ticked.is_empty() {
            app.toasts.say("Nothing is ticked.");
            return;
        }
        let mut doc = compare::apply(&mine, &ticked, &source);
        // It is neither the one nor the other any more.
        if let Some(version) = changes::raised(&mine, &doc)
            && let Some(all) = doc.as_object_mut()
        {
            all.insert("version".to_owned(), version.into());
        }
        merged(app, doc);
    };
    Dom::many(vec![
        mark("warn", "info", told),
        tag("div", "row", vec![all(true), all(false)]),
        rows,
        tag(
            "div",
            "row",
            vec![
                button("main", "check", "Take what is ticked", act),
                button(
                    "plain",
                    "right",
                    "Take all of it in place of mine",
                    move || take(app, (*whole.book).clone(), whole.text.to_string()),
                ),
            ],
        ),
    ])
}

fn row(n: usize, change: &Change, chosen: State<Vec<bool>>) -> Dom {
    let (head, pieces) = changes::words(change);
    let input = El::new("input").attr("type", "checkbox");
    let on = chosen.with_untracked(|c| c.get(n) == Some(&true));
    let input = if on { input.attr("checked", "") } else { input };
    let input = input.on("change", move |event| {
        let now = event_target_checked(&event);
        chosen.update(|c| {
            if let Some(one) = c.get_mut(n) {
                *one = now;
            }
        });
    });
    let pieces = pieces
        .iter()
        .take(12)
        .map(|p| line("p", "small", p))
        .collect();
    tag(
        "li",
        "record",
        vec![ticked(input, &head, ""), Dom::many(pieces)],
    )
}

/// A merged text that is in order is put to use. One that is not, as when a row
/// names another that was not taken, goes to the editor with its problems.
fn merged(app: App, doc: Value) {
    let text = codebook::print(&doc);
    if let Ok(book) = Book::load(text.as_bytes()) {
        take(app, book, text);
        return;
    }
    let id = doc
        .get("id")
        .and_then(Value::as_str)
        .unwrap_or("")
        .to_owned();
    leptos::task::spawn_local(async move {
        if own::keep_draft(app.notes, &id, &doc).await {
            app.received.set(None);
            app.toasts
                .say("Some of it needs mending before it can be used.");
            route::go(app.route, &("/books/".to_owned() + &id + "/edit"));
        }
    });
}

/// A link that the other text of a book changed on two devices is looked at
/// with.
pub fn clash(app: App, held: &Held) -> Dom {
    let Some(other) = held.clash.clone() else {
        return nothing();
    };
    tag(
        "div",
        "note-box",
        vec![
            mark("warn", "info", text::CLASH_BOOK),
            button("plain", "eye", "Look at the other", move || {
                if look(app, &other).is_err() {
                    app.toasts.say("The other text can't be read as a book.");
                }
            }),
        ],
    )
}
