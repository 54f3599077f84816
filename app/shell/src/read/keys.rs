//! A row of keys for typing a log from a photo: hex digits, the layout's own
//! words, and a line that says what comes next. The keys write at the caret, so
//! the device's keyboard can stay closed.

use super::input::Area;
use crate::app::App;
use crate::platform::caret;
use crate::platform::dom::{Dom, El};
use crate::widgets::bits::{button, icon, line, nothing, spoken, tag, words};
use codebook::model::{Encoding, Layout, Part};
use leptos::prelude::*;
use reading::typing;

/// Words of the layouts that get a key, at most.
const WORDS: usize = 16;

/// The keys.
pub fn row(app: App, area: Area) -> Dom {
    let digits: Vec<Dom> = "0123456789ABCDEF"
        .chars()
        .map(|c| key(c.to_string(), c.to_string(), String::new(), app, area))
        .collect();
    let edit = vec![
        key("space".to_owned(), " ".to_owned(), String::new(), app, area),
        key(
            "new line".to_owned(),
            "\n".to_owned(),
            String::new(),
            app,
            area,
        ),
        key(
            "⌫".to_owned(),
            String::new(),
            "Delete back".to_owned(),
            app,
            area,
        ),
    ];
    // Only the words of the layout that is typed, once that is known.
    let layout = Memo::new(move |_| {
        app.work
            .outcome
            .with(|o| o.as_ref().and_then(|o| o.reading.layouts.first().cloned()))
    });
    let others = move || {
        let mut out = Vec::new();
        for word in words_of(app, layout.get().as_deref()) {
            let text = word.clone() + " ";
            out.push(key(word, text, String::new(), app, area));
        }
        Dom::many(out)
    };
    let own = app.work.own_keys;
    let tick = El::new("input")
        .attr("type", "checkbox")
        .live_prop("checked", move || own.get().into())
        .on("change", move |event| own.set(event_target_checked(&event)));
    let group = El::new("div")
        .class("keys")
        .attr("role", "group")
        .attr("aria-label", "Keys for the log");
    let words = line("span", "", "Keep the device's keyboard closed");
    group
        .kids(vec![
            tag("div", "digits", digits),
            tag("div", "edit-keys", edit),
            tag("div", "others", vec![Dom::live(others)]),
            tag("label", "tick", vec![tick.done(), words]),
        ])
        .done()
}

/// A key. A press must not take the focus away from the text box.
fn key(label: String, text: String, name: String, app: App, area: Area) -> Dom {
    let press = move || {
        let value = area.with_value(|area| {
            if text.is_empty() {
                caret::delete_back(area)
            } else {
                caret::insert(area, &text)
            }
        });
        app.work.typed(value);
    };
    let el = El::new("button").attr("type", "button").class("key");
    let el = if name.is_empty() {
        el
    } else {
        el.attr("aria-label", &name)
    };
    el.on("pointerdown", |event| event.prevent_default())
        .on("mousedown", |event| event.prevent_default())
        .on("click", move |_| press())
        .text(&label)
        .done()
}

/// What fits next in the line with the caret.
pub fn hint(app: App, area: Area) -> Dom {
    let view = move || {
        app.work.text.track();
        let books = app.shelf.books();
        let (start, now) = area.with_value(caret::line);
        let before = app
            .work
            .outcome
            .with_untracked(|o| o.as_ref().and_then(|o| o.reading.layouts.first().cloned()));
        match typing::hint_like(&books, &now, before.as_deref()) {
            Some(h) => told(app, start, &h),
            None => nothing(),
        }
    };
    spoken("hint", vec![Dom::live(view)])
}

fn told(app: App, start: usize, h: &typing::Hint) -> Dom {
    let mut parts = Vec::new();
    if let (Some(bad), Some((from, to))) = (h.bad, h.bad_span) {
        let text = "\u{201c}".to_owned() + &bad.to_string() + "\u{201d} can't stand here.";
        parts.push(tag("span", "mark bad", vec![icon("bad"), words(text)]));
        for c in &h.maybe {
            let by = c.to_string();
            let label = "Write ".to_owned() + &by;
            parts.push(button("plain", "", label, move || {
                app.work.replace(start + from, start + to, &by)
            }));
        }
    }
    if h.complete {
        let (class, picture, text) = match h.check_ok {
            Some(true) => (
                "mark good",
                "check",
                "Line complete, the check field agrees.",
            ),
            Some(false) => (
                "mark bad",
                "bad",
                "Line complete, the check field does not agree.",
            ),
            None => ("mark good", "check", "Line complete."),
        };
        parts.push(tag("span", class, vec![icon(picture), words(text)]));
    } else {
        if !h.next_label.is_empty() {
            parts.push(line("b", "", "Next: ".to_owned() + &h.next_label));
        }
        parts.push(line("span", "", &h.expected));
        if !h.example.is_empty() {
            parts.push(line("span", "small", "such as ".to_owned() + &h.example));
        }
    }
    tag("div", "hint-in", parts)
}

/// The fixed words and listed words of a text layout, or of all.
fn words_of(app: App, only: Option<&str>) -> Vec<String> {
    let mut out: Vec<String> = Vec::new();
    let mut add = |w: &str| {
        let w = w.trim_matches(|c: char| !c.is_alphanumeric());
        let known = out.iter().any(|o| o == w);
        if w.chars().count() > 1
            && w.chars().any(char::is_alphabetic)
            && !known
            && out.len() < WORDS
        {
            out.push(w.to_owned());
        }
    };
    for book in app.shelf.books() {
        for layout in &book.model.layouts {
            let Layout::Text(t) = layout else { continue };
            if only.is_some_and(|id| id != t.id) {
                continue;
            }
            parts(&t.line, &mut add);
        }
    }
    out
}

fn parts(list: &[Part], add: &mut dyn FnMut(&str)) {
    for part in list {
        match part {
            Part::Text(t) => t.split_whitespace().for_each(&mut *add),
            Part::Optional { optional } => parts(optional, add),
            Part::Field(f) if f.encoding == Encoding::Word => {
                f.words.iter().for_each(|w| add(&w.text));
            }
            Part::Field(_) => {}
        }
    }
}
