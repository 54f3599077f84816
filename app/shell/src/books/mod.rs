//! The code books: all of them, one of them, making, changing and sharing them.

mod changes;
pub mod codes;
pub mod detail;
pub mod edit;
mod look_up;
pub mod make;
pub mod own;
pub mod port;
pub mod receive;
mod share;
pub mod shelf;
pub mod versions;

use crate::app::App;
use crate::platform::dom::{Dom, El};
use crate::platform::state::State;
use crate::platform::{clipboard, files, page};
use crate::text;
use crate::widgets::bits::{
    button, count, line, link_with, mark, nothing, section, spoken, tag, title, with_code,
};
use codebook::Problem;
use codebook::model::CodeBook;
use leptos::prelude::event_target_value;
use shelf::Held;

/// The list of books.
pub fn page(app: App) -> Dom {
    let problems: State<Vec<Problem>> = State::new(Vec::new());
    let list = move || {
        let held = app.shelf.held.get();
        let drafts = app.shelf.drafts.get();
        if held.is_empty() && drafts.is_empty() && app.shelf.ready.get() {
            return line("p", "", "No code book is loaded.");
        }
        let mut items: Vec<Dom> = drafts.iter().map(|(id, name)| begun(id, name)).collect();
        items.extend(held.iter().map(|h| item(app, h)));
        tag("ul", "shelf", items)
    };
    Dom::many(vec![
        title(text::BOOKS_TITLE),
        line("p", "lead", text::BOOKS_LEAD),
        look_up::view(app),
        section("all-books", "Your books", vec![Dom::live(list)]),
        section(
            "make-book",
            text::MAKE_TITLE,
            vec![
                line("p", "", text::BOOKS_MAKE),
                link_with("main", "/make", "plus", text::MAKE_TITLE),
            ],
        ),
        open_section(app, problems),
    ])
}

fn open_section(app: App, problems: State<Vec<Problem>>) -> Dom {
    let input = files::input(
        "book-file",
        ".json,.txt,application/json,text/plain",
        "Code book file",
        move |file| read_file(app, file, move |text| look(app, &text, problems)),
    );
    let paste = move || {
        leptos::task::spawn_local(async move {
            match clipboard::read().await {
                Some(text) => look(app, &text, problems),
                None => app.toasts.say(text::PASTE_REFUSED),
            }
        });
    };
    let typed = State::new(String::new());
    let area = El::new("textarea")
        .attr("rows", "2")
        .attr("placeholder", "or put its text here")
        .attr("aria-label", "Text of a code book")
        .attr("spellcheck", "false")
        .live_prop("value", move || typed.get().into())
        .on("input", move |event| {
            let now = event_target_value(&event);
            // A whole book at once was pasted; it is taken as such.
            if now.len() > 200 {
                typed.set(String::new());
                look(app, &now, problems);
            } else {
                typed.set(now);
            }
        });
    section(
        "open-book",
        "Open a code book that you were given",
        vec![
            line("p", "", text::BOOK_FILE),
            input,
            tag(
                "div",
                "row",
                vec![
                    button("main", "open", "Open a file", || page::tap("book-file")),
                    button("plain", "paste", "Paste its text", paste),
                ],
            ),
            area.done(),
            spoken("", vec![Dom::live(move || refused(&problems.get()))]),
        ],
    )
}

/// Reads a file as text and does something with it.
fn read_file(app: App, file: web_sys::File, then: impl FnOnce(String) + 'static) {
    leptos::task::spawn_local(async move {
        match files::bytes(&file).await {
            Some(bytes) => then(files::text(&bytes)),
            None => app.toasts.say("The file could not be read."),
        }
    });
}

fn look(app: App, text: &str, problems: State<Vec<Problem>>) {
    match receive::look(app, text) {
        Ok(()) => problems.set(Vec::new()),
        Err(list) => problems.set(list),
    }
}

/// What is in a book, in a line.
fn facts(m: &CodeBook) -> String {
    [
        count(m.boards.len(), "board", "boards"),
        count(m.codes.len(), "code", "codes"),
        count(m.steps.len(), "step", "steps"),
    ]
    .join(", ")
}

fn item(app: App, held: &Held) -> Dom {
    let m = &held.book.model;
    let href = "/books/".to_owned() + &m.id;
    let mark = if held.clash.is_some() {
        mark("warn", "info", "Changed on two devices")
    } else if !held.kept {
        mark("warn", "info", text::BOOK_SESSION)
    } else if held.demo || app.shelf.has_demo(&m.id) {
        mark("warn", "info", text::DEMO)
    } else {
        nothing()
    };
    let version = "version ".to_owned() + &m.version;
    let facts = [m.maker.as_str(), &facts(m), &version];
    let facts: Vec<&str> = facts.into_iter().filter(|f| !f.is_empty()).collect();
    tag(
        "li",
        "",
        vec![
            link_with("book-link", &href, "book", &m.name),
            line("p", "small", facts.join(" · ")),
            mark,
        ],
    )
}

/// A book that was begun and never put to use.
fn begun(id: &str, name: &str) -> Dom {
    let href = "/books/".to_owned() + id + "/edit";
    let name = if name.is_empty() { id } else { name };
    tag(
        "li",
        "",
        vec![
            link_with("book-link", &href, "edit", name),
            mark("warn", "info", "Begun, not in use yet"),
        ],
    )
}

/// What is wrong with a book that was not taken.
pub fn refused(problems: &[Problem]) -> Dom {
    if problems.is_empty() {
        return nothing();
    }
    let mut items = Vec::new();
    for p in problems.iter().take(200) {
        let hint = if p.hint.is_empty() {
            nothing()
        } else {
            tag("p", "small", with_code(&p.hint))
        };
        let place = if p.path.is_empty() {
            nothing()
        } else {
            line("b", "mono", &p.path)
        };
        items.push(tag("li", "", vec![place, line("p", "", &p.message), hint]));
    }
    let title = mark("bad", "bad", text::BOOK_REFUSED);
    tag("div", "", vec![title, tag("ul", "problems", items)])
}
