//! What the text says, part by part.

use super::sheet::Sheet;
use super::work::{Outcome, Seen, guess_key};
use super::{
    board, check, codes, entries, export, fits, heat, input, marked, steps, timeline, unknown,
};
use crate::app::App;
use crate::consoles::keep;
use crate::platform::dom::{Dom, El};
use crate::platform::state::{State, effect};
use crate::widgets::bits::{icon, line, link, nothing, sentence, tag};
use crate::widgets::segment;
use leptos::prelude::*;
use leptos::reactive::owner::Owner;
use std::rc::Rc;

/// Notes shown; each is shown once.
const NOTES: usize = 5;
/// Choices that fit a row.
const ROW: usize = 7;

/// Everything below or beside the text box.
pub fn panel(app: App, sheet: Sheet) -> Dom {
    let work = app.work;
    let summary = move || {
        work.seen
            .with(|s| s.as_ref().map(|s| headline(app, s)).unwrap_or_default())
    };
    let top = move || {
        work.seen
            .get()
            .map_or_else(nothing, |seen| top_of(app, &seen, sheet))
    };
    let below = move || {
        work.below
            .get()
            .map_or_else(nothing, |seen| below_of(app, &seen, sheet))
    };
    effect(move || {
        if let Some(seen) = work.warm.get() {
            Owner::new().with(|| {
                untrack(|| drop((top_of(app, &seen, sheet), below_of(app, &seen, sheet))))
            });
        }
    });
    let line = El::new("p")
        .class("summary")
        .attr("id", "summary")
        .attr("tabindex", "-1")
        .attr("role", "status")
        .attr("aria-live", "polite")
        .live_prop("textContent", move || summary().into());
    Dom::many(vec![
        input::progress(app),
        line.done(),
        Dom::live(top),
        Dom::live(below),
    ])
}

/// The summary with a capital letter, and what was accepted since.
fn headline(app: App, seen: &Seen) -> String {
    let mut out = sentence(&seen.told.summary);
    let confirmed = app.work.confirmed.get();
    let accepted = seen
        .outcome
        .reading
        .entries
        .iter()
        .flat_map(|e| e.guesses.iter().map(move |g| (e, g)));
    let accepted = accepted
        .filter(|(_, g)| g.confirmed_by.is_none())
        .filter(|(e, g)| confirmed.contains(&guess_key(&e.raw, &g.field, &g.from, &g.to)))
        .count();
    if accepted > 0 {
        out = out + " (" + &accepted.to_string() + " of these accepted)";
    }
    out
}

fn top_of(app: App, seen: &Rc<Seen>, sheet: Sheet) -> Dom {
    let reading = &seen.outcome.reading;
    let mut parts = Vec::new();
    if reading.entries.is_empty() && reading.unreadable.is_empty() {
        parts.push(unknown::view(app, reading.unknown.as_ref()));
        return tag("div", "", parts);
    }
    parts.push(chosen(&seen.outcome));
    if !reading.entries.is_empty() {
        parts.push(jump());
    }
    parts.push(consoles(app, &seen.outcome));
    parts.push(keep::section(app, seen));
    parts.push(check::section(app, &seen.outcome, sheet));
    parts.push(entries::section(app, seen));
    tag("div", "", parts)
}

fn below_of(app: App, seen: &Rc<Seen>, sheet: Sheet) -> Dom {
    let reading = &seen.outcome.reading;
    let mut parts = Vec::new();
    if !reading.entries.is_empty() {
        parts.push(board::section(app, seen));
        parts.push(codes::section(app, seen));
        parts.push(heat::section(seen));
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
fn chosen(outcome: &Outcome) -> Dom {
    let all = &outcome.reading.fits;
    let used: Vec<String> = all
        .iter()
        .filter(|f| f.chosen)
        .map(|f| fits::name(outcome, f))
        .collect();
    let mut out = Vec::new();
    if !used.is_empty() {
        let next = all.iter().find(|f| !f.chosen && f.clean + f.guessed > 0);
        let next = match next {
            Some(f) => {
                let n = (f.clean + f.guessed).to_string();
                " Next best: ".to_owned() + &fits::name(outcome, f) + ", with " + &n + " entries."
            }
            None => " No other layout fits.".to_owned(),
        };
        out.push(line(
            "p",
            "small",
            "Read as ".to_owned() + &used.join(" and ") + "." + &next,
        ));
    }
    let mut told: Vec<&String> = Vec::new();
    for note in &outcome.reading.notes {
        if told.contains(&note) || told.len() == NOTES {
            continue;
        }
        told.push(note);
        out.push(tag(
            "p",
            "note",
            vec![icon("info"), line("span", "", sentence(note))],
        ));
    }
    out.push(fits::view(outcome));
    tag("div", "", out)
}

/// All consoles of the text, or one of them.
fn consoles(app: App, outcome: &Outcome) -> Dom {
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
    segment::row(
        "Which console",
        "console",
        options,
        Signal::derive(move || console.get()),
        Rc::new(move |n| console.set(n)),
    )
}

/// The same choice where there are too many consoles for a row.
fn select(options: Vec<String>, console: State<usize>) -> Dom {
    let items: Vec<Dom> = options
        .into_iter()
        .enumerate()
        .map(|(n, label)| {
            let el = El::new("option").attr("value", &n.to_string());
            let el = if n == console.get_untracked() {
                el.attr("selected", "")
            } else {
                el
            };
            el.text(&label).done()
        })
        .collect();
    let choose = move |event| console.set(event_target_value(&event).parse().unwrap_or(0));
    let select = El::new("select").kids(items).on("change", choose);
    tag(
        "label",
        "field",
        vec![line("span", "", "Which console"), select.done()],
    )
}

/// Links to the parts further down, as the page is long on a phone.
fn jump() -> Dom {
    let parts = [
        ("#codes", "Codes"),
        ("#steps", "Steps"),
        ("#timeline", "Times"),
        ("#text", "Text"),
        ("#take", "Share"),
    ];
    let items: Vec<Dom> = parts
        .into_iter()
        .map(|(to, label)| tag("li", "", vec![link("", to, vec![Dom::text(label)])]))
        .collect();
    let nav = El::new("nav")
        .class("jump no-print")
        .attr("aria-label", "Parts of the reading");
    nav.kid(tag("ul", "", items)).done()
}
