//! What the text says, part by part.

use super::sheet::Sheet;
use super::work::{Outcome, Seen, guess_key};
use super::{board, check, codes, entries, export, input, marked, steps, timeline, unknown};
use crate::app::App;
use crate::widgets::bits::{icon, line, nothing, sentence, tag};
use crate::widgets::segment;
use leptos::prelude::*;
use std::rc::Rc;

/// Notes shown; each is shown once.
const NOTES: usize = 5;
/// Choices that fit a row.
const ROW: usize = 7;

/// Everything below or beside the text box.
pub fn panel(app: App, sheet: Sheet) -> AnyView {
    let work = app.work;
    let summary = move || work.seen.with(|s| s.as_ref().map(|s| headline(app, s)).unwrap_or_default());
    let top = move || work.seen.get().map_or_else(nothing, |seen| top(app, &seen, sheet));
    let below = move || work.below.get().map_or_else(nothing, |seen| below(app, &seen, sheet));
    view! {
        {input::progress(app)}
        <p class="summary" role="status" aria-live="polite" id="summary" tabindex="-1">{summary}</p>
        {top}
        {below}
    }
    .into_any()
}

/// The summary with a capital letter, and what was accepted since.
fn headline(app: App, seen: &Seen) -> String {
    let mut out = sentence(&seen.told.summary);
    let confirmed = app.work.confirmed.get();
    let accepted = seen.outcome.reading.entries.iter().flat_map(|e| e.guesses.iter().map(move |g| (e, g)));
    let accepted = accepted
        .filter(|(_, g)| g.confirmed_by.is_none())
        .filter(|(e, g)| confirmed.contains(&guess_key(&e.raw, &g.field, &g.from, &g.to)))
        .count();
    if accepted > 0 {
        out = out + " (" + &accepted.to_string() + " of these accepted)";
    }
    out
}

fn top(app: App, seen: &Rc<Seen>, sheet: Sheet) -> AnyView {
    let reading = &seen.outcome.reading;
    let mut parts = Vec::new();
    if reading.entries.is_empty() && reading.unreadable.is_empty() {
        if let Some(shape) = &reading.unknown {
            parts.push(unknown::view(shape));
        }
        return tag("div", "", parts);
    }
    parts.push(chosen(&seen.outcome));
    if !reading.entries.is_empty() {
        parts.push(jump());
    }
    parts.push(consoles(app, &seen.outcome));
    parts.push(check::section(app, &seen.outcome, sheet));
    parts.push(entries::section(app, seen));
    tag("div", "", parts)
}

fn below(app: App, seen: &Rc<Seen>, sheet: Sheet) -> AnyView {
    let reading = &seen.outcome.reading;
    let mut parts = Vec::new();
    if !reading.entries.is_empty() {
        parts.push(board::section(app, seen));
        parts.push(codes::section(app, seen));
        parts.push(steps::section(seen));
        parts.push(timeline::section(app, seen));
    }
    parts.push(marked::section(&seen.outcome, sheet));
    if !reading.entries.is_empty() {
        parts.push(export::section(app, seen));
    }
    tag("div", "", parts)
}

/// Which layout reads the text, and which would come next.
fn chosen(outcome: &Outcome) -> AnyView {
    let name = |book: &str, layout: &str| {
        let b = outcome.books.iter().find(|b| b.model.id == book);
        let l = b.and_then(|b| b.model.layouts.iter().find(|l| l.id() == layout));
        match (b, l) {
            (Some(b), Some(l)) => l.name().to_owned() + " (" + &b.model.name + ")",
            _ => layout.to_owned(),
        }
    };
    let fits = &outcome.reading.fits;
    let used: Vec<String> = fits.iter().filter(|f| f.chosen).map(|f| name(&f.book, &f.layout)).collect();
    let mut out = Vec::new();
    if !used.is_empty() {
        let next = fits.iter().find(|f| !f.chosen && f.clean + f.guessed > 0);
        let next = match next {
            Some(f) => {
                let n = (f.clean + f.guessed).to_string();
                " Next best: ".to_owned() + &name(&f.book, &f.layout) + ", with " + &n + " entries."
            }
            None => " No other layout fits.".to_owned(),
        };
        out.push(line("p", "small", "Read as ".to_owned() + &used.join(" and ") + "." + &next));
    }
    let mut told: Vec<&String> = Vec::new();
    for note in &outcome.reading.notes {
        if told.contains(&note) || told.len() == NOTES {
            continue;
        }
        told.push(note);
        out.push(tag("p", "note", vec![icon("info"), line("span", "", sentence(note))]));
    }
    tag("div", "", out)
}

/// All consoles of the text, or one of them.
fn consoles(app: App, outcome: &Outcome) -> AnyView {
    let list = &outcome.reading.consoles;
    if list.len() < 2 {
        return nothing();
    }
    let mut options = vec!["All".to_owned()];
    for c in list {
        let number = "Console ".to_owned() + &c.number.to_string();
        options.push(match &c.name {
            Some(name) => number + ": " + name,
            None => number,
        });
    }
    let console = app.work.console;
    if options.len() > ROW {
        return select(options, console);
    }
    segment::row("Which console", "console", options, console.into(), Rc::new(move |n| console.set(n)))
}

/// The same choice where there are too many consoles for a row.
fn select(options: Vec<String>, console: RwSignal<usize>) -> AnyView {
    let items: Vec<AnyView> = options
        .into_iter()
        .enumerate()
        .map(|(n, label)| view! { <option value=n.to_string() selected=n == console.get_untracked()>{label}</option> }.into_any())
        .collect();
    view! {
        <label class="field">
            <span>"Which console"</span>
            <select on:change=move |ev| console.set(event_target_value(&ev).parse().unwrap_or(0))>{items}</select>
        </label>
    }
    .into_any()
}

/// Links to the parts further down, as the page is long on a phone.
fn jump() -> AnyView {
    let parts = [("#codes", "Codes"), ("#steps", "Steps"), ("#timeline", "Times"), ("#text", "Text"), ("#take", "Copy, share, print")];
    let items: Vec<AnyView> = parts
        .into_iter()
        .map(|(to, label)| view! { <li><a href=to>{label}</a></li> }.into_any())
        .collect();
    view! { <nav class="jump no-print" aria-label="Parts of the reading"><ul>{items}</ul></nav> }.into_any()
}
