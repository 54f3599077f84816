//! A row of keys for typing a log from a photo: hex digits, the layout's own
//! words, and a line that says what comes next. The keys write at the caret, so
//! the device's keyboard can stay closed.

use crate::app::App;
use crate::platform::caret;
use crate::widgets::bits::{button, icon, line, nothing, tag, words};
use codebook::model::{Encoding, Layout, Part};
use leptos::html;
use leptos::prelude::*;
use reading::typing;

type Area = NodeRef<html::Textarea>;

/// Words of the layouts that get a key, at most.
const WORDS: usize = 16;

/// The keys.
pub fn row(app: App, area: Area) -> AnyView {
    let digits: Vec<AnyView> = "0123456789ABCDEF"
        .chars()
        .map(|c| key(c.to_string(), c.to_string(), String::new(), app, area))
        .collect();
    let edit = vec![
        key("space".to_owned(), " ".to_owned(), String::new(), app, area),
        key("new line".to_owned(), "\n".to_owned(), String::new(), app, area),
        key("⌫".to_owned(), String::new(), "Delete back".to_owned(), app, area),
    ];
    // Only the words of the layout that is typed, once that is known.
    let layout = Memo::new(move |_| {
        app.work.outcome.with(|o| o.as_ref().and_then(|o| o.reading.layouts.first().cloned()))
    });
    let others = move || {
        let mut out = Vec::new();
        for word in words_of(app, layout.get().as_deref()) {
            let text = word.clone() + " ";
            out.push(key(word, text, String::new(), app, area));
        }
        out
    };
    let own = app.work.own_keys;
    view! {
        <div class="keys" role="group" aria-label="Keys for the log">
            {tag("div", "digits", digits)}
            {tag("div", "edit-keys", edit)}
            <div class="others">{others}</div>
            <label class="tick">
                <input type="checkbox" prop:checked=move || own.get()
                    on:change=move |ev| own.set(event_target_checked(&ev)) />
                <span>"Keep the device's keyboard closed"</span>
            </label>
        </div>
    }
    .into_any()
}

/// A key. A press must not take the focus away from the text box.
fn key(label: String, text: String, name: String, app: App, area: Area) -> AnyView {
    let press = move || {
        let Some(area) = area.get_untracked() else { return };
        let value = if text.is_empty() { caret::delete_back(&area) } else { caret::insert(&area, &text) };
        app.work.typed(value);
    };
    let name = (!name.is_empty()).then_some(name);
    view! {
        <button type="button" class="key" aria-label=name
            on:pointerdown=|ev| ev.prevent_default()
            on:mousedown=|ev| ev.prevent_default()
            on:click=move |_| press()>{label}</button>
    }
    .into_any()
}

/// What fits next in the line with the caret.
pub fn hint(app: App, area: Area) -> AnyView {
    let view = move || {
        app.work.text.track();
        let books = app.shelf.books();
        let Some(area) = area.get() else { return nothing() };
        let (start, now) = caret::line(&area);
        let before = app.work.outcome.with_untracked(|o| {
            o.as_ref().and_then(|o| o.reading.layouts.first().cloned())
        });
        match typing::hint_like(&books, &now, before.as_deref()) {
            Some(h) => told(app, start, &h),
            None => nothing(),
        }
    };
    view! { <div class="hint" role="status" aria-live="polite">{view}</div> }.into_any()
}

fn told(app: App, start: usize, h: &typing::Hint) -> AnyView {
    let mut parts = Vec::new();
    if let (Some(bad), Some((from, to))) = (h.bad, h.bad_span) {
        let text = "\u{201c}".to_owned() + &bad.to_string() + "\u{201d} can't stand here.";
        parts.push(tag("span", "mark bad", vec![icon("bad"), words(text)]));
        for c in &h.maybe {
            let by = c.to_string();
            let label = "Write ".to_owned() + &by;
            parts.push(button("plain", "", label, move || app.work.replace(start + from, start + to, &by)));
        }
    }
    if h.complete {
        let (class, picture, text) = match h.check_ok {
            Some(true) => ("mark good", "check", "Line complete, the check field agrees."),
            Some(false) => ("mark bad", "bad", "Line complete, the check field does not agree."),
            None => ("mark good", "check", "Line complete."),
        };
        parts.push(tag("span", class, vec![icon(picture), words(text)]));
    } else {
        if !h.next_label.is_empty() {
            parts.push(line("b", "", "Next: ".to_owned() + &h.next_label));
        }
        parts.push(line("span", "", h.expected.clone()));
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
        if w.chars().count() > 1 && w.chars().any(char::is_alphabetic) && !known && out.len() < WORDS {
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
