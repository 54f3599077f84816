//! The words for when something happened, and for the fields of an entry.

use crate::platform::clock::{self, Style};
use codebook::Book;
use codebook::model::Field;
use reading::result::Entry;
use serde_json::Value;
use std::rc::Rc;

/// When the entry was written, as well as the log tells.
pub fn when(entry: &Entry, style: Style) -> String {
    let text = |key: &str| entry.fields.get(key).and_then(Value::as_str);
    if let Some(t) = text("time_utc") {
        return clock::utc(t, style);
    }
    if let Some(t) = text("time_local") {
        return clock::console(t, style) + " (console's clock)";
    }
    match entry.fields.get("time_rel_s").and_then(Value::as_f64) {
        Some(s) => clock::since_start(s) + " after power-up, clock not set",
        None => match text("clock") {
            Some("not set") => "clock not set".to_owned(),
            _ => String::new(),
        },
    }
}

/// The field's rule in the book, if it is there.
pub fn rule<'a>(books: &'a [Rc<Book>], book: &str, layout: &str, field: &str) -> Option<&'a Field> {
    let book = books.iter().find(|b| b.model.id == book)?;
    let layout = book.model.layouts.iter().find(|l| l.id() == layout)?;
    let own = layout.fields().into_iter().find(|f| f.field == field);
    own.or_else(|| layout.derived().iter().find(|f| f.field == field))
}

/// What people call a field.
pub fn label(books: &[Rc<Book>], book: &str, layout: &str, field: &str) -> String {
    let found = rule(books, book, layout, field).map(|f| f.label.as_str()).filter(|l| !l.is_empty());
    found.unwrap_or(field).to_owned()
}

/// Fields that have a place of their own in an entry, or say nothing alone.
const SHOWN: [&str; 9] =
    ["code", "step", "time_raw", "time_utc", "time_local", "time_rel_s", "clock", "count", "check_ok"];

/// The other fields of an entry in a few words.
pub fn others(entry: &Entry, books: &[Rc<Book>]) -> Vec<String> {
    let mut out = Vec::new();
    for (name, value) in &entry.fields {
        if SHOWN.contains(&name.as_str()) {
            continue;
        }
        let rule = rule(books, &entry.book, &entry.layout, name);
        let is_check = books
            .iter()
            .filter(|b| b.model.id == entry.book)
            .flat_map(|b| &b.model.layouts)
            .filter(|l| l.id() == entry.layout)
            .any(|l| l.check().is_some_and(|c| c.field == *name));
        if is_check || name.as_str() == "time" {
            continue;
        }
        let text = plain(value);
        if text.is_empty() {
            continue;
        }
        let label = rule.map(|f| f.label.as_str()).filter(|l| !l.is_empty()).unwrap_or(name);
        let unit = rule.map_or("", |f| f.unit.as_str());
        out.push([label, " ", &text, if unit.is_empty() { "" } else { " " }, unit].concat());
    }
    out
}

/// A value as text; lists with commas, nothing for null.
pub fn plain(value: &Value) -> String {
    match value {
        Value::Null => String::new(),
        Value::String(s) => s.clone(),
        Value::Array(a) => a.iter().map(plain).collect::<Vec<_>>().join(", "),
        other => other.to_string(),
    }
}

/// First and last time of a code, from the entries themselves.
pub fn span(seen: &super::work::Seen, row: &reading::explain::CodeRow, style: Style) -> String {
    let mut times: Vec<&str> = seen
        .outcome
        .reading
        .entries
        .iter()
        .filter(|e| e.book == row.book && seen.console.is_none_or(|c| c == e.console))
        .filter(|e| e.fields.get("code").and_then(Value::as_str) == Some(&row.code))
        .filter_map(|e| e.fields.get("time_utc").and_then(Value::as_str))
        .collect();
    times.sort_unstable();
    match (times.first(), times.last()) {
        (Some(a), Some(b)) if a == b => clock::utc(a, style),
        (Some(a), Some(b)) => "first ".to_owned() + &clock::utc(a, style) + ", last " + &clock::utc(b, style),
        _ => String::new(),
    }
}
