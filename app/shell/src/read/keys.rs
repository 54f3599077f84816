//! A row of keys for typing a log from a photo: hex digits, the layout's own
//! words, and a line that says what comes next. The keys write at the caret, so
//! the device's keyboard can stay closed.

use crate::app::App;
use crate::platform::caret;
use crate::widgets::bits::{icon, line, nothing, tag, words};
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
    let mut others = vec![
        key("space".to_owned(), " ".to_owned(), String::new(), app, area),
        key("new line".to_owned(), "\n".to_owned(), String::new(), app, area),
        key("⌫".to_owned(), String::new(), "Delete back".to_owned(), app, area),
    ];
    for word in words_of(app) {
        let text = word.clone() + " ";
        others.push(key(word, text, String::new(), app, area));
    }
    let own = app.work.own_keys;
    view! {
        <div class="keys" role="group" aria-label="Keys for the log">
            {tag("div", "digits", digits)}
            {tag("div", "others", others)}
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
        let now = caret::line(&area);
        let Some(h) = typing::hint(&books, &now) else { return nothing() };
        let chars = now.trim_end().chars().count();
        let mut parts = Vec::new();
        let typed = now.trim_end().len();
        if h.ok_until < typed {
            let good = now.get(..h.ok_until).map_or(0, |s| s.chars().count());
            let at = (good + 1).min(chars).to_string();
            parts.push(tag("span", "mark bad", vec![icon("bad"), words("Does not fit from character ".to_owned() + &at + ".")]));
        }
        if !h.next_label.is_empty() {
            parts.push(line("b", "", "Next: ".to_owned() + &h.next_label));
            parts.push(line("span", "", h.expected.clone()));
        }
        if !h.example.is_empty() {
            parts.push(line("span", "mono small", h.example.clone()));
        }
        tag("div", "hint-in", parts)
    };
    view! { <div class="hint" role="status" aria-live="polite">{view}</div> }.into_any()
}

/// The fixed words and listed words of all text layouts.
fn words_of(app: App) -> Vec<String> {
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
