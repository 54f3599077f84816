//! A code book while somebody changes it: the document, what is wrong with it,
//! and the way back.
//!
//! Places in the document are JSON pointers (RFC 6901). Every change keeps what
//! was there before, so it can be undone; a burst of typing in one field is one
//! change. The unfinished document is saved by itself into the book's record,
//! beside the text that is in use.

use crate::app::App;
use crate::consoles::form::Form;
use crate::platform::page;
use crate::platform::state::{Kept, State};
use codebook::{Book, Problem};
use leptos::prelude::on_cleanup;
use notebook::{Data, Record, kinds};
use send_wrapper::SendWrapper;
use serde_json::{Map, Value};
use std::rc::Rc;

/// Wait after the last change before the document is checked and saved, in
/// milliseconds.
const PAUSE: u64 = 400;
/// Changes that can be undone.
const UNDOS: usize = 200;

/// A change: where, and what was there before.
type Before = (String, Option<Value>);

/// A book being changed.
#[derive(Clone, Copy)]
pub struct Editing {
    /// The app.
    pub app: App,
    /// The book's id.
    pub id: Kept<String>,
    /// The document in use; null for a new book.
    pub base: Kept<Rc<Value>>,
    /// What is wrong with the document now.
    pub problems: State<Rc<Vec<Problem>>>,
    /// Goes up when the page is to be drawn anew: rows came or went, undo.
    pub redraw: State<u32>,
    /// Whether something can be undone.
    pub can_undo: State<bool>,
    /// Saves it.
    pub form: Form,
    doc: Kept<Value>,
    past: Kept<Vec<Before>>,
    /// The place where typing goes on within one change; `None` when the next
    /// change is a new one.
    burst: Kept<Option<String>>,
    turn: Kept<u32>,
}

impl Editing {
    /// Begins to change a book: its record, if there is one, the document to
    /// begin with, and the one in use.
    pub fn open(app: App, id: &str, record: Option<&Record>, doc: Value, base: Value) -> Self {
        let data = record.map(|r| r.view().data).unwrap_or_else(|| {
            let mut data = Data::new();
            data.insert("book".to_owned(), id.into());
            data
        });
        let last: Kept<Option<Self>> = Kept::new(None);
        // Before the form's own: what was typed last goes into the form first.
        page::on_leaving(move || {
            if let Some(Some(editing)) = last.try_get_value() {
                editing.settle();
            }
        });
        // The same for links inside the app: clean-ups run in this order.
        let at_end = SendWrapper::new(last);
        on_cleanup(move || {
            if let Some(Some(editing)) = at_end.try_get_value() {
                editing.settle();
            }
        });
        let editing = Self {
            app,
            id: Kept::new(id.to_owned()),
            base: Kept::new(Rc::new(base)),
            problems: State::new(Rc::default()),
            redraw: State::new(0),
            can_undo: State::new(false),
            form: Form::open(
                app.notes,
                &kinds::book_record(id),
                kinds::BOOK,
                record,
                data,
            ),
            doc: Kept::new(doc),
            past: Kept::new(Vec::new()),
            burst: Kept::new(None),
            turn: Kept::new(0),
        };
        last.set_value(Some(editing));
        editing.check();
        editing
    }

    /// What is at a place; null if nothing is.
    pub fn at(self, place: &str) -> Value {
        self.doc
            .with_value(|d| d.pointer(place).cloned())
            .unwrap_or_default()
    }

    /// The text at a place; empty if there is none.
    pub fn text(self, place: &str) -> String {
        self.at(place).as_str().unwrap_or_default().to_owned()
    }

    /// Number of rows of a list.
    pub fn count(self, place: &str) -> usize {
        self.doc.with_value(|d| {
            d.pointer(place)
                .and_then(Value::as_array)
                .map_or(0, Vec::len)
        })
    }

    /// Looks at the whole document.
    pub fn with<R: Default>(self, look: impl FnOnce(&Value) -> R) -> R {
        self.doc.with_value(look)
    }

    /// Puts a value at a place; an empty one is taken out.
    pub fn set(self, place: &str, value: Value) {
        let empty = match &value {
            Value::Null => true,
            Value::String(s) => s.is_empty() && !needed(place),
            Value::Array(a) => a.is_empty() && !needed(place),
            Value::Object(o) => o.is_empty(),
            _ => false,
        };
        let old = self.put(place, (!empty).then_some(value));
        // A burst of typing is one change.
        if self.burst.get_value().as_deref() != Some(place) {
            self.remember(place, old);
        }
        self.burst.set_value(Some(place.to_owned()));
        self.changed();
    }

    fn remember(self, place: &str, old: Option<Value>) {
        self.past.update_value(|p| {
            p.push((place.to_owned(), old));
            if p.len() > UNDOS {
                p.remove(0);
            }
        });
    }

    /// A place as the checks of a book name it: `/codes/12/title` is
    /// `codes[12].title`.
    pub fn path(self, place: &str) -> String {
        self.doc.with_value(|d| codebook::path_of(d, place))
    }

    /// Changes a list as a whole: rows come, go or move.
    pub fn list(self, place: &str, change: impl FnOnce(&mut Vec<Value>)) {
        let mut rows = match self.at(place) {
            Value::Array(rows) => rows,
            _ => Vec::new(),
        };
        change(&mut rows);
        // Each such change is undone by itself.
        self.pause();
        self.set(place, rows.into());
        self.pause();
        self.redraw.notify();
    }

    /// Puts another document in the place of this one, as one change.
    pub fn replace(self, doc: Value) {
        let old = self.put("", Some(doc));
        self.remember("", old);
        self.pause();
        self.redraw.notify();
        self.changed();
    }

    /// Takes the last change back.
    pub fn undo(self) {
        let last = self.past.try_update_value(Vec::pop);
        self.pause();
        if let Some((place, old)) = last.flatten() {
            self.put(&place, old);
            self.redraw.notify();
            self.changed();
        }
    }

    /// The next change begins a new step of undo, even in the same field.
    pub fn pause(self) {
        self.burst.set_value(None);
    }

    fn put(self, place: &str, value: Option<Value>) -> Option<Value> {
        self.doc
            .try_update_value(|d| put(d, place, value))
            .flatten()
    }

    fn changed(self) {
        self.can_undo.set(self.past.with_value(|p| !p.is_empty()));
        self.turn.update_value(|t| *t = t.wrapping_add(1));
        let turn = self.turn.get_value();
        page::later(PAUSE, move || {
            if self.turn.try_get_value() == Some(turn) {
                self.settle();
            }
        });
    }

    /// Hands the document to the form, which saves it, and checks it.
    fn settle(self) {
        if self.turn.try_get_value().unwrap_or(0) == 0 {
            return;
        }
        let text = self.doc.with_value(codebook::print);
        if self.form.text("draft") != text {
            self.form.set("name", self.at("/name"));
            self.form.set("draft", text.into());
        }
        self.check();
    }

    fn check(self) {
        let doc = self.at("");
        let problems = Book::of(doc).map_or_else(|list| list, |_| Vec::new());
        self.problems.set(Rc::new(problems));
    }

    /// Ends the changing, as the document is kept elsewhere from now on; then
    /// does something.
    pub fn finish(self, act: Rc<dyn Fn()>) {
        self.turn.set_value(0);
        self.form.end(act);
    }

    /// The document as a book that can be put to use.
    pub fn book(self) -> Result<(Book, String), Vec<Problem>> {
        let text = self.doc.with_value(codebook::print);
        Book::load(text.as_bytes()).map(|book| (book, text))
    }
}

/// Keys that a book must have, also when they are empty.
fn needed(place: &str) -> bool {
    const KEYS: [&str; 12] = [
        "id", "code", "title", "name", "text", "source", "version", "licence", "layouts", "how",
        "pads", "values",
    ];
    let key = place.rsplit('/').next().unwrap_or_default();
    KEYS.contains(&key)
}

/// Puts a value at a place of a document, or takes it out. Gives what was there.
fn put(doc: &mut Value, place: &str, value: Option<Value>) -> Option<Value> {
    let Some((parent, key)) = place.rsplit_once('/') else {
        return Some(std::mem::replace(doc, value.unwrap_or_default()));
    };
    let key = key.replace("~1", "/").replace("~0", "~");
    let home = match doc.pointer_mut(parent) {
        Some(home) if !home.is_null() => home,
        // A part that is not there yet, such as the service port.
        _ => {
            if value.is_none() || parent.matches('/').count() > 6 {
                return None;
            }
            put(doc, parent, Some(Value::Object(Map::new())));
            doc.pointer_mut(parent)?
        }
    };
    match home {
        Value::Object(map) => match value {
            Some(value) => map.insert(key, value),
            None => map.remove(&key),
        },
        Value::Array(rows) => {
            let row = rows.get_mut(key.parse::<usize>().ok()?)?;
            Some(std::mem::replace(row, value.unwrap_or_default()))
        }
        _ => None,
    }
}

/// A key made fit for a pointer.
pub fn step(key: &str) -> String {
    "/".to_owned() + &key.replace('~', "~0").replace('/', "~1")
}
