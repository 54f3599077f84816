//! The former texts of a book: each time it was put to use is a version of its
//! record.

use super::{changes, own};
use crate::app::App;
use crate::platform::clock;
use crate::platform::dom::Dom;
use crate::platform::state::State;
use crate::route;
use crate::text;
use crate::widgets::bits::{button, count, fold, line, link_with, mark, nothing, tag, title};
use codebook::Book;
use notebook::{Record, Version, kinds};
use serde_json::Value;
use std::rc::Rc;

/// Versions shown; the newest come first.
const MOST: usize = 40;

/// The page.
pub fn page(app: App, id: &str) -> Dom {
    let found: State<Option<Rc<Option<Record>>>> = State::new(None);
    let record = kinds::book_record(id);
    leptos::task::spawn_local(async move {
        let record = app.notes.record(&record).await;
        found.try_set(Some(Rc::new(record)));
    });
    let body = move || match found.get().as_deref() {
        None => line("p", "small", text::LOADING),
        Some(None) => line("p", "", "Nothing was changed in this book yet."),
        Some(Some(record)) => list(app, record),
    };
    let back = "/books/".to_owned() + id;
    Dom::many(vec![
        tag(
            "p",
            "",
            vec![link_with("back", &back, "left", "Back to the book")],
        ),
        title("Former versions"),
        line("p", "lead", text::VERSIONS_LEAD),
        Dom::live(body),
    ])
}

fn list(app: App, record: &Record) -> Dom {
    let mut before = String::new();
    let mut all: Vec<(&Version, &str)> = Vec::new();
    for version in record.versions() {
        let text = notebook::text(&version.data, "text");
        // Unfinished texts are between two versions, not versions.
        if !text.is_empty() && text != before {
            before = text.to_owned();
            all.push((version, text));
        }
    }
    if all.is_empty() {
        return line("p", "", "This book was not put to use yet.");
    }
    let now = record.view().text("text").to_owned();
    let mut items = Vec::new();
    for n in (0..all.len()).rev().take(MOST) {
        let Some((version, text)) = all.get(n) else {
            continue;
        };
        let older = n.checked_sub(1).and_then(|o| all.get(o)).map(|o| o.1);
        items.push(item(app, version, text, older, *text == now));
    }
    tag("ul", "records", items)
}

fn item(app: App, version: &Version, text: &str, older: Option<&str>, now: bool) -> Dom {
    let style = app.settings.get_untracked().clock();
    let doc: Value = serde_json::from_str(text).unwrap_or_default();
    let number = doc.get("version").and_then(Value::as_str).unwrap_or("");
    let head = "Version ".to_owned() + number + ", " + &clock::moment(version.at, style);
    let mut parts = vec![line("b", "", head)];
    if now {
        parts.push(mark("good", "check", "In use now"));
    }
    parts.push(match older {
        None => line("p", "small", "The first one that is kept here."),
        Some(older) => {
            let older: Value = serde_json::from_str(older).unwrap_or_default();
            let list = changes::between(&older, &doc);
            let head = count(list.len(), "change", "changes") + " against the one before";
            fold(head, false, vec![changes::view(&list)])
        }
    });
    parts.push(if now {
        nothing()
    } else {
        let text = text.to_owned();
        button("plain", "undo", "Bring this back", move || {
            let text = text.clone();
            let Ok(book) = Book::load(text.as_bytes()) else {
                app.toasts
                    .say("This text can't be read as a book any more.");
                return;
            };
            leptos::task::spawn_local(async move {
                let id = book.model.id.clone();
                let kept = own::keep(app.notes, book, &text).await;
                own::say(app.notes, kept, text::BOOK_BACK);
                route::go(app.route, &("/books/".to_owned() + &id));
            });
        })
    });
    tag("li", "record", parts)
}
