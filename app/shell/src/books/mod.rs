//! The code books: all of them, one of them, and opening one from a file.

pub mod codes;
pub mod detail;
pub mod port;
pub mod shelf;

use crate::app::App;
use crate::platform::dom::Dom;
use crate::platform::state::State;
use crate::platform::{files, page};
use crate::route;
use crate::text;
use crate::widgets::bits::{
    button, count, line, link_with, mark, nothing, section, spoken, tag, title, with_code,
};
use codebook::Problem;
use shelf::Held;

/// The list of books.
pub fn page(app: App) -> Dom {
    let problems: State<Vec<Problem>> = State::new(Vec::new());
    let list = move || {
        let held = app.shelf.held.get();
        if held.is_empty() && app.shelf.ready.get() {
            return line("p", "", "No code book is loaded.");
        }
        tag("ul", "shelf", held.iter().map(item).collect())
    };
    let input = files::input(
        "book-file",
        ".json,application/json,text/plain",
        "Code book file",
        move |file| {
            open(app, file, problems);
        },
    );
    Dom::many(vec![
        title(text::BOOKS_TITLE),
        line("p", "lead", text::BOOKS_LEAD),
        Dom::live(list),
        section(
            "open-book",
            "Open a code book file",
            vec![
                line("p", "", text::BOOK_FILE),
                input,
                button("main", "open", "Open a file", || page::tap("book-file")),
                spoken("", vec![Dom::live(move || refused(&problems.get()))]),
            ],
        ),
    ])
}

fn item(held: &Held) -> Dom {
    let m = &held.book.model;
    let href = "/books/".to_owned() + &m.id;
    let facts = [
        count(m.boards.len(), "board", "boards"),
        count(m.codes.len(), "code", "codes"),
        count(m.steps.len(), "step", "steps"),
    ]
    .join(", ");
    let mark = if held.demo {
        mark("warn", "info", text::DEMO)
    } else if held.kept {
        nothing()
    } else {
        mark("warn", "info", text::BOOK_SESSION)
    };
    let facts = [
        m.maker.as_str(),
        &facts,
        &("version ".to_owned() + &m.version),
    ]
    .join(" · ");
    tag(
        "li",
        "",
        vec![
            link_with("book-link", &href, "book", &m.name),
            line("p", "small", facts),
            mark,
        ],
    )
}

fn open(app: App, file: web_sys::File, problems: State<Vec<Problem>>) {
    leptos::task::spawn_local(async move {
        let Some(bytes) = files::bytes(&file).await else {
            app.toasts.say("The file could not be read.");
            return;
        };
        match app.shelf.open(&bytes) {
            Ok(id) => {
                problems.set(Vec::new());
                app.toasts.say("The book is open");
                route::go(app.route, &("/books/".to_owned() + &id));
            }
            Err(list) => problems.set(list),
        }
    });
}

fn refused(problems: &[Problem]) -> Dom {
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
