//! The entries, each readable at arm's length.

use super::when as words_for;
use super::work::{Seen, guess_key};
use crate::app::App;
use crate::platform::dom::{Dom, El};
use crate::platform::page;
use crate::platform::state::{Kept, State};
use crate::widgets::bits::{button, count, icon, line, nothing, tag, words};
use crate::widgets::segment::segment;
use leptos::prelude::*;
use reading::explain::{field_text, when};
use reading::result::Entry;
use serde_json::Value;
use std::rc::Rc;

/// Entries drawn at once: more than a phone shows, so that they are there soon.
const AT_ONCE: usize = 10;
/// Entries drawn a moment later; the rest on request.
const FIRST: usize = 60;

/// The list with its heading.
pub fn section(app: App, seen: &Rc<Seen>) -> Dom {
    let held = Kept::new(seen.clone());
    let limit = State::new(AT_ONCE);
    page::after_paint(move || limit.update(|l| *l = (*l).max(FIRST)));
    let as_pasted = State::new(false);
    let list = move || {
        let Some(seen) = held.try_get_value() else {
            return nothing();
        };
        let entries = order(&seen, as_pasted.get());
        let total = entries.len();
        let style = app.settings.get().clock();
        let confirmed = app.work.confirmed.get();
        let mut out = Vec::new();
        for entry in entries.into_iter().take(limit.get()) {
            out.push(item(&seen, entry, style, &confirmed));
        }
        let more = if total > limit.get().max(FIRST) {
            let label = "Show all ".to_owned() + &total.to_string();
            button("plain", "", label, move || limit.set(usize::MAX))
        } else {
            nothing()
        };
        Dom::many(vec![tag("ol", "entries", out), more])
    };
    let heading = El::new("h2")
        .attr("id", "entries")
        .attr("tabindex", "-1")
        .text("Entries");
    let sorting = segment(
        "Order",
        "entry-order",
        &["Newest first", "As pasted"],
        Signal::derive(move || usize::from(as_pasted.get())),
        move |n| as_pasted.set(n == 1),
    );
    El::new("section")
        .attr("aria-labelledby", "entries")
        .kid(tag("div", "head", vec![heading.done(), sorting]))
        .kid(Dom::live(list))
        .done()
}

fn order(seen: &Seen, as_pasted: bool) -> Vec<&Entry> {
    let reading = &seen.outcome.reading;
    let asked = |e: &&Entry| seen.console.is_none_or(|c| c == e.console);
    if as_pasted {
        return reading.entries.iter().filter(asked).collect();
    }
    // Each console lists its entries oldest first.
    let places = reading.consoles.iter().flat_map(|c| c.entries.iter().rev());
    places
        .filter_map(|i| reading.entries.get(*i))
        .filter(asked)
        .collect()
}

fn item(
    seen: &Seen,
    entry: &Entry,
    style: crate::platform::clock::Style,
    confirmed: &[String],
) -> Dom {
    let field = |name: &str| field_text(entry, name).unwrap_or_default();
    let code = field("code");
    let title = seen
        .told
        .codes
        .iter()
        .find(|c| c.code == code && c.book == entry.book)
        .and_then(|c| c.found.first())
        .map(|f| f.title.clone());
    let mut top = vec![line(
        "span",
        "code",
        if code.is_empty() {
            "no code".to_owned()
        } else {
            code
        },
    )];
    top.push(match title {
        Some(t) => line("span", "what", t),
        None => line("span", "what faint", "not in the code book"),
    });
    let mut facts = Vec::new();
    let step = field("step");
    if !step.is_empty() {
        let name = seen
            .told
            .steps
            .iter()
            .find(|s| s.id == step && s.book == entry.book);
        // A step that no table describes is known by its number alone.
        let name = name.map(|s| s.name.clone()).filter(|n| *n != step);
        let name = name.unwrap_or_default();
        facts.push(tag(
            "span",
            "step",
            vec![
                words("step "),
                line("b", "mono", step),
                words(" "),
                words(name),
            ],
        ));
    }
    let time = words_for::say(&when(entry), style);
    facts.push(line(
        "span",
        "",
        if time.is_empty() {
            "no time in the log".to_owned()
        } else {
            time
        },
    ));
    if let Some(n) = entry
        .fields
        .get("count")
        .and_then(Value::as_u64)
        .filter(|n| *n != 1)
    {
        facts.push(line(
            "span",
            "",
            "seen ".to_owned() + &count(usize::try_from(n).unwrap_or(0), "time", "times"),
        ));
    }
    if seen.outcome.reading.consoles.len() > 1 {
        facts.push(line(
            "span",
            "",
            "console ".to_owned() + &entry.console.to_string(),
        ));
    }
    let mut small: Vec<String> = words_for::others(entry, &seen.outcome.books);
    small.push("line ".to_owned() + &entry.line.to_string());
    let marks = marks(entry, confirmed);
    tag(
        "li",
        "entry",
        vec![
            tag("div", "entry-top", top),
            tag("div", "facts", facts),
            tag("div", "marks", marks),
            line("div", "small", small.join(" · ")),
        ],
    )
}

fn marks(entry: &Entry, confirmed: &[String]) -> Vec<Dom> {
    let mut out = Vec::new();
    for g in &entry.guesses {
        let what = [g.from.as_str(), " read as ", &g.to].concat();
        let (class, picture, word) = if g.confirmed_by.is_some() {
            ("mark good", "check", "Guess, the check field agrees: ")
        } else if confirmed.contains(&guess_key(&entry.raw, &g.field, &g.from, &g.to)) {
            ("mark good", "check", "Guess, accepted: ")
        } else {
            ("mark warn", "guess", "Guess: ")
        };
        out.push(tag(
            "span",
            class,
            vec![icon(picture), words(word), line("span", "mono", what)],
        ));
    }
    if !entry.complete {
        out.push(tag(
            "span",
            "mark warn",
            vec![icon("cut"), words("Cut short")],
        ));
    }
    if entry.fields.get("check_ok").and_then(Value::as_bool) == Some(false) {
        out.push(tag(
            "span",
            "mark bad",
            vec![icon("bad"), words("The check field does not agree")],
        ));
    }
    out
}
