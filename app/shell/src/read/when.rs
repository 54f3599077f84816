//! The words for when something happened, and for the fields of an entry.

use crate::platform::clock::{self, Style};
use codebook::Book;
use codebook::model::Field;
use reading::explain::{CodeRow, When, field_text, seconds_text};
use reading::result::Entry;
use std::rc::Rc;

/// When something happened, as well as the log tells; empty when it doesn't.
pub fn say(when: &When, style: Style) -> String {
    match when {
        When::Utc(text, seconds) => clock::utc(text, *seconds, style),
        When::Local(text, _) => clock::console(text, style) + " (console's own clock)",
        When::SinceStart(s) => seconds_text(*s) + " after power-up, clock not set",
        When::NotSet => "clock not set".to_owned(),
        When::Absent => "no time in this entry".to_owned(),
        When::Unknown => String::new(),
    }
}

/// First and last time of a code.
pub fn span(row: &CodeRow, style: Style) -> String {
    match (&row.first, &row.last) {
        (Some(a), Some(b)) if a == b => say(a, style),
        (Some(a), Some(b)) => "first ".to_owned() + &say(a, style) + ", last " + &say(b, style),
        _ => String::new(),
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
    let found = rule(books, book, layout, field)
        .map(|f| f.label.as_str())
        .filter(|l| !l.is_empty());
    found.unwrap_or(field).to_owned()
}

/// Fields that have a place of their own in an entry, or say nothing alone.
const SHOWN: [&str; 9] = [
    "code",
    "step",
    "time_raw",
    "time_utc",
    "time_local",
    "time_rel_s",
    "clock",
    "count",
    "check_ok",
];

/// The other fields of an entry in a few words.
pub fn others(entry: &Entry, books: &[Rc<Book>]) -> Vec<String> {
    let layout = books
        .iter()
        .filter(|b| b.model.id == entry.book)
        .flat_map(|b| &b.model.layouts)
        .find(|l| l.id() == entry.layout);
    let check = layout
        .and_then(|l| l.check())
        .map_or("", |c| c.field.as_str());
    let mut out = Vec::new();
    for name in entry.fields.keys() {
        if SHOWN.contains(&name.as_str()) || name == check || name == "time" {
            continue;
        }
        let Some(text) = field_text(entry, name).filter(|t| !t.is_empty()) else {
            continue;
        };
        let rule = rule(books, &entry.book, &entry.layout, name);
        let label = rule
            .map(|f| f.label.as_str())
            .filter(|l| !l.is_empty())
            .unwrap_or(name);
        let unit = rule.map_or("", |f| f.unit.as_str());
        out.push(
            [
                label,
                " ",
                &text,
                if unit.is_empty() { "" } else { " " },
                unit,
            ]
            .concat(),
        );
    }
    out
}
