//! The book that is made: its document, and whether log and table fit each
//! other.

use super::Make;
use crate::app::App;
use crate::platform::dom::Dom;
use crate::text;
use crate::widgets::bits::{line, mark, nothing};
use codebook::Book;
use codebook::model::{FORMAT, Layout};
use serde_json::{Map, Value};
use std::rc::Rc;

/// An id that is not taken yet: this one, or with a number behind it.
pub fn free(id: &str, taken: &dyn Fn(&str) -> bool) -> String {
    let mut free = id.to_owned();
    let mut n = 2;
    while taken(&free) {
        free = id.to_owned() + "-" + &n.to_string();
        n += 1;
    }
    free
}

/// The layout that was taught, with an id that the book does not have yet.
fn layout(make: Make, taken: &[&str]) -> Option<Layout> {
    let told = make.taught.get_untracked()?;
    let mut layout = told.as_ref().as_ref().ok()?.layout.clone();
    let id = free(layout.id(), &|id| taken.contains(&id));
    match &mut layout {
        Layout::Text(t) => t.id = id,
        Layout::Bytes(b) => b.id = id,
    }
    Some(layout)
}

/// A book's document with what was made in it. A row that is there already, or
/// a step, rail or board of the same name, adds nothing: the book's own stays.
pub fn with_all(make: Make, mut doc: Value) -> Value {
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
        let old: Map<String, Value> = all
            .iter()
            .map(|r| (said(section, r), Value::Null))
            .collect();
        all.extend(
            rows.into_iter()
                .filter(|r| !old.contains_key(&said(section, r))),
        );
        put(&mut doc, section, all);
    }
    doc
}

/// What makes two rows the same: all that a code's row says, or the name of a
/// step, rail or board, which can be there only once.
fn said(section: &str, row: &Value) -> String {
    let keys: &[&str] = match section {
        "codes" => &["code", "title", "meaning", "step", "boards"],
        _ => &["id"],
    };
    let mut out = String::new();
    for value in keys.iter().map(|k| row.get(*k)) {
        out = out + &value.map(Value::to_string).unwrap_or_default() + "\n";
    }
    out
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
pub fn empty(id: &str, name: &str) -> Value {
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
pub fn fits(app: App) -> Dom {
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
