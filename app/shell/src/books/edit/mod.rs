//! Changing a code book: its parts as forms, checked while one types, saved by
//! itself beside the book in use, and put to use with one tap.

mod control;
mod field;
mod labels;
mod row;
mod rows;
mod single;
mod state;

pub use control::short;

pub use labels::{row_name, section_name};

use super::{changes, own};
use crate::app::App;
use crate::platform::dom::{Dom, El};
use crate::platform::state::{State, effect};
use crate::route::{self, Route};
use crate::text;
use crate::widgets::bits::{
    button, count, fold, line, link_with, mark, nothing, section, spoken, tag, title,
};
use codebook::Problem;
use codebook::compare::{self, Change};
use leptos::prelude::{Get, Memo};
use notebook::{Record, kinds};
use serde_json::Value;
use state::Editing;
use std::rc::Rc;

/// What is needed to begin: the record, the document to go on with, and the one
/// in use.
type Start = Rc<(Option<Record>, Value, Value)>;

/// The pages of the editor of one book. They share its state, so they are drawn
/// as one.
pub fn page(app: App, id: &str) -> Dom {
    let found: State<Option<Start>> = State::new(None);
    let (id, own_id) = (id.to_owned(), id.to_owned());
    effect(move || {
        if !app.shelf.ready.get() {
            return;
        }
        let id = own_id.clone();
        leptos::task::spawn_local(async move {
            let record = app.notes.record(&kinds::book_record(&id)).await;
            let record = record.filter(|r| !r.gone());
            let base = app.shelf.document(&id).unwrap_or_default();
            let begun = record.as_ref().and_then(own::draft);
            let doc = begun.unwrap_or_else(|| base.clone());
            if found.try_with_untracked(Option::is_some) == Some(false) {
                found.set(Some(Rc::new((record, doc, base))));
            }
        });
    });
    Dom::live(move || {
        let Some(start) = found.get() else {
            return line("p", "small", text::LOADING);
        };
        let (record, doc, base) = (&start.0, &start.1, &start.2);
        if !doc.is_object() {
            return Dom::many(vec![
                link_with("back", "/books", "left", "All books"),
                title("No such book"),
                line("p", "", text::BOOK_NOT_HERE),
            ]);
        }
        let ed = Editing::open(app, &id, record.as_ref(), doc.clone(), base.clone());
        open(app, ed, record.as_ref())
    })
}

fn open(app: App, ed: Editing, record: Option<&Record>) -> Dom {
    let rest = Memo::new(move |_| match app.route.get() {
        Route::BookEdit(_, rest) => rest,
        _ => Vec::new(),
    });
    let body = move || {
        ed.redraw.track();
        let rest = rest.get();
        let parts: Vec<&str> = rest.iter().map(String::as_str).collect();
        match parts.as_slice() {
            [] => main(ed),
            ["about"] => single::about(ed),
            ["port"] => single::port(ed),
            [one] => rows::list(ed, one),
            [one, n] => row::one(ed, one, n.parse().unwrap_or(usize::MAX)),
            _ => nothing(),
        }
    };
    // Wherever one is: another tab changed the same book.
    let other = move || {
        if ed.form.other.get() {
            mark("warn", "info", text::CHANGED_ELSEWHERE)
        } else {
            nothing()
        }
    };
    let told = spoken("", vec![Dom::live(other)]);
    Dom::many(vec![told, other_draft(ed, record), Dom::live(body)])
}

/// What somebody else typed into the same unfinished book meanwhile, as long as
/// it is not settled.
fn other_draft(ed: Editing, record: Option<&Record>) -> Dom {
    let view = record.map(Record::view).unwrap_or_default();
    let clash = view.clashes.iter().find(|(name, _)| name == "draft");
    let other = clash.and_then(|(_, all)| all.first()?.as_str());
    let other: Option<Value> = other.and_then(|o| serde_json::from_str(o).ok());
    let Some(other) = other else {
        return nothing();
    };
    let list = ed.with(|doc| changes::between(doc, &other));
    let take = list.clone();
    let act = move || {
        let some: Vec<Change> = take.iter().filter(|c| c.after.is_some()).cloned().collect();
        ed.replace(ed.with(|doc| compare::apply(doc, &some, "")));
        ed.app.toasts.undoable("Taken in", move || ed.undo());
    };
    tag(
        "div",
        "note-box",
        vec![
            mark("warn", "info", text::OTHER_DRAFT),
            fold("What the other one has", false, vec![changes::view(&list)]),
            button("plain", "plus", "Take it in too", act),
        ],
    )
}

/// The address of a part of the editor.
fn address(ed: Editing, rest: &str) -> String {
    let id = ed.id.get_value();
    "/books/".to_owned() + &id + "/edit" + rest
}

fn main(ed: Editing) -> Dom {
    let id = ed.id.get_value();
    let new = ed.base.get_value().is_null();
    let back = if new {
        link_with("back", "/books", "left", "All books")
    } else {
        link_with(
            "back",
            &("/books/".to_owned() + &id),
            "left",
            "Back to the book",
        )
    };
    let mut parts = vec![
        tag("p", "", vec![back]),
        title("Change: ".to_owned() + &ed.text("/name")),
        line("p", "lead", text::EDIT_LEAD),
        spoken("", vec![Dom::live(move || problems(ed))]),
        tools(ed),
        crate::consoles::saved(ed.form),
        section("parts", "Parts of the book", vec![sections(ed)]),
    ];
    parts.push(Dom::live(move || differs(ed)));
    Dom::many(parts)
}

/// Undo, and the step that puts the changes to use.
fn tools(ed: Editing) -> Dom {
    let rest = move || {
        ed.problems.track();
        if ed.with(|doc| *ed.base.get_value() == *doc) {
            return line("p", "small", "It is as the book in use.");
        }
        Dom::many(vec![
            button("main", "check", "Put it to use", move || put_to_use(ed)),
            button("plain", "bin", "Drop the changes", move || drop_changes(ed)),
        ])
    };
    tag("div", "row", vec![Dom::live(rest), rows::undo(ed)])
}

fn put_to_use(ed: Editing) {
    let base = ed.base.get_value();
    if let Some(version) = ed.with(|doc| changes::raised(&base, doc)) {
        ed.set("/version", version.into());
    }
    match ed.book() {
        Ok((book, text)) => {
            let ready = Rc::new((book, text));
            ed.finish(Rc::new(move || {
                let ready = ready.clone();
                leptos::task::spawn_local(async move {
                    let kept = own::keep(ed.app.notes, ready.0.clone(), &ready.1).await;
                    own::say(ed.app.notes, kept, text::BOOK_USED);
                    let to = "/books/".to_owned() + &ready.0.model.id;
                    route::go(ed.app.route, &to);
                });
            }));
        }
        Err(list) => {
            ed.problems.set(Rc::new(list));
            ed.app.toasts.say(text::EDIT_NOT_YET);
            crate::platform::page::focus("#problems");
        }
    }
}

fn drop_changes(ed: Editing) {
    let now = ed.at("");
    ed.replace((*ed.base.get_value()).clone());
    let id = ed.id.get_value();
    if ed.base.get_value().is_null() {
        own::remove(ed.app.notes, &id, "The book that was begun is dropped");
        route::go(ed.app.route, "/books");
        return;
    }
    ed.app
        .toasts
        .undoable("The changes are dropped", move || ed.replace(now.clone()));
}

fn problems(ed: Editing) -> Dom {
    let all = ed.problems.get();
    if all.is_empty() {
        return mark("good", "check", "The book is in order.");
    }
    let head = El::new("h2").attr("id", "problems").attr("tabindex", "-1");
    let head = head
        .text(&count(all.len(), "thing to mend", "things to mend"))
        .done();
    let items = all.iter().take(20).map(|p| problem(ed, p)).collect();
    let more = if all.len() > 20 {
        line("p", "small", "The first 20 are shown.")
    } else {
        nothing()
    };
    tag("div", "", vec![head, tag("ul", "problems", items), more])
}

fn problem(ed: Editing, p: &Problem) -> Dom {
    let (to, name) = rows::place(ed, &p.path);
    let link = link_with("record-link", &address(ed, &to), "edit", &name);
    tag("li", "", vec![link, field::said(p)])
}

fn sections(ed: Editing) -> Dom {
    let item = |to: &str, name: String, about: &str| {
        tag(
            "li",
            "record",
            vec![
                link_with("record-link", &address(ed, to), "right", &name),
                line("p", "small record-more", about),
            ],
        )
    };
    let mut items = vec![item(
        "/about",
        "About the book".to_owned(),
        "Name, licence, version.",
    )];
    for (key, name, about) in labels::SECTIONS {
        let n = ed.count(&("/".to_owned() + key));
        let name = name.to_owned() + ": " + &n.to_string();
        items.push(item(&("/".to_owned() + key), name, about));
    }
    items.insert(
        4,
        item(
            "/port",
            "Service port".to_owned(),
            "Pads, logic level, speed.",
        ),
    );
    tag("ul", "records", items)
}

/// What is changed against the book in use.
fn differs(ed: Editing) -> Dom {
    ed.problems.track();
    let base = ed.base.get_value();
    if base.is_null() {
        return nothing();
    }
    let list = ed.with(|doc| changes::between(&base, doc));
    if list.is_empty() {
        return nothing();
    }
    let title = "What is changed: ".to_owned() + &list.len().to_string();
    fold(title, false, vec![changes::view(&list)])
}
