//! Making a code book from what one has: a log, a code table, a name.

mod columns;
mod document;
mod entry;
mod kept;
mod log;
mod parts;
mod state;
mod table;
mod taken;

pub use state::Make;

use self::document::{empty, fits, free, with_all};
use super::edit::short;
use super::own;
use crate::app::App;
use crate::platform::dom::{Dom, El};
use crate::platform::state::State;
use crate::route;
use crate::text;
use crate::widgets::bits::{button, line, link_with, nothing, section, spoken, tag, title};
use codebook::{Book, Problem};
use leptos::prelude::event_target_value;
use notebook::kinds;
use serde_json::Value;

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
        button("plain", "clear", "Start over", move || make.clear())
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
    let id = free(&first, &|id| app.shelf.document(id).is_some());
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
        let Some(doc) = begun.or_else(|| app.shelf.document(&id)) else {
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
