//! A reading, saved to a console: two taps from the Read place.

use super::notes::Page;
use super::{Want, address, facts, field, loaded, photo};
use crate::app::App;
use crate::platform::dom::{Dom, El};
use crate::platform::state::State;
use crate::platform::{device, page, picture};
use crate::read::work::{Outcome, Seen};
use crate::text;
use crate::widgets::bits::{button, icon, line, link, nothing, tag};
use leptos::prelude::*;
use notebook::history;
use notebook::{Edit, Item};
use reading::sorted;
use serde_json::json;
use std::rc::Rc;
use wasm_bindgen::JsCast;
use web_sys::HtmlDialogElement;

/// The button, and the sheet it opens.
pub fn section(app: App, seen: &Rc<Seen>) -> Dom {
    let open = State::new(false);
    let saved: State<Option<(String, String)>> = State::new(None);
    let outcome = seen.outcome.clone();
    let several = outcome.reading.consoles.len() > 1;
    let number = seen.console.or((!several).then_some(1));
    let chosen = State::new(number.unwrap_or(1));
    let dialog = El::new("dialog")
        .class("sheet")
        .attr("aria-labelledby", "keep-title")
        .on("close", move |_| open.set(false));
    let node: Option<HtmlDialogElement> = dialog.node().clone().dyn_into().ok();
    let shut = node.clone();
    let close = move || {
        if let Some(d) = &shut {
            d.close();
        }
    };
    let on_close = close.clone();
    let body = move || {
        if !open.get() {
            return nothing();
        }
        let outcome = outcome.clone();
        let close = close.clone();
        let which = which(&outcome, chosen);
        let list = loaded(app, Want::Kinds(&["console", "job"]), move |page| {
            list(
                app,
                page,
                &outcome,
                chosen,
                saved,
                &(Rc::new(close.clone()) as Rc<dyn Fn()>),
            )
        });
        Dom::many(vec![which, list])
    };
    let title = El::new("h2")
        .attr("id", "keep-title")
        .attr("tabindex", "-1")
        .text("Save to which console?");
    let dialog = dialog
        .kid(title.done())
        .kid(Dom::live(body))
        .kid(button("plain", "close", "Close", on_close))
        .done();
    let told = move || {
        let Some((id, name)) = saved.get() else {
            return nothing();
        };
        let words = "Saved to \u{201c}".to_owned() + &name + "\u{201d}.";
        let told = tag(
            "p",
            "mark good",
            vec![
                icon("check"),
                line("span", "", words),
                link("", &address(&id), vec![Dom::text("Open it")]),
            ],
        );
        let ask = button("plain", "scales", "What is broken?", move || {
            crate::suspects::begin(app, id.clone());
        });
        Dom::many(vec![told, tag("div", "row", vec![ask])])
    };
    let act = move || {
        if let Some(d) = &node {
            open.set(true);
            page::open_dialog(d);
        }
    };
    tag(
        "div",
        "keep no-print",
        vec![
            button("main", "console", "Save to a console", act),
            crate::widgets::bits::spoken("", vec![Dom::live(told)]),
            super::trouble(app),
            dialog,
        ],
    )
}

/// Which console of the text, where there are several.
fn which(outcome: &Outcome, chosen: State<usize>) -> Dom {
    let consoles = &outcome.reading.consoles;
    if consoles.len() < 2 {
        return nothing();
    }
    let mut options = Vec::new();
    for c in consoles {
        let name = c
            .name
            .clone()
            .unwrap_or_else(|| "Console ".to_owned() + &c.number.to_string());
        let now = chosen.get_untracked() == c.number;
        options.push(field::option(&c.number.to_string(), &name, now));
    }
    let select = El::new("select").kids(options).on("change", move |e| {
        chosen.set(event_target_value(&e).parse().unwrap_or(1));
    });
    tag(
        "label",
        "field",
        vec![line("span", "", text::KEEP_WHICH), select.done()],
    )
}

fn list(
    app: App,
    page: &Page,
    outcome: &Rc<Outcome>,
    chosen: State<usize>,
    saved: State<Option<(String, String)>>,
    close: &Rc<dyn Fn()>,
) -> Dom {
    let items = page.items();
    let mut consoles: Vec<&Item> = items
        .iter()
        .filter(|i| i.kind == "console" && !facts::archived(i))
        .collect();
    sorted::sort_by(&mut consoles, |a, b| b.changed.cmp(&a.changed));
    let act = |console: Option<&Item>| {
        let console = console.cloned();
        let job = console
            .as_ref()
            .and_then(|c| one_open(&items, &c.id))
            .unwrap_or_default();
        let (outcome, close) = (outcome.clone(), close.clone());
        move || {
            close();
            let (outcome, console, job) = (outcome.clone(), console.clone(), job.clone());
            leptos::task::spawn_local(async move {
                let done = save(
                    app,
                    &outcome,
                    chosen.get_untracked(),
                    console.as_ref(),
                    &job,
                )
                .await;
                if let Some(done) = done {
                    saved.try_set(Some(done));
                }
            });
        }
    };
    let mut parts = vec![button("main wide", "plus", "New console", act(None))];
    for c in consoles {
        let label = facts::name(c);
        let more = [c.text("board"), c.text("region")].join(" ");
        let label = if more.trim().is_empty() {
            label
        } else {
            label + " \u{b7} " + more.trim()
        };
        parts.push(button("plain wide", "console", label, act(Some(c))));
    }
    tag("div", "stack", parts)
}

/// The one job of a console that is not closed, if there is exactly one.
fn one_open(items: &[Item], console: &str) -> Option<String> {
    let mut open = items
        .iter()
        .filter(|i| i.kind == "job" && i.text("console") == console && i.text("stage") != "closed");
    let first = open.next()?;
    open.next().is_none().then(|| first.id.clone())
}

/// Saves the reading, with a new console where none is given, and with the
/// photo it was typed from: all in one transaction. Gives the console's id and
/// name.
async fn save(
    app: App,
    outcome: &Outcome,
    number: usize,
    console: Option<&Item>,
    job: &str,
) -> Option<(String, String)> {
    let found = outcome.reading.consoles.iter().find(|c| c.number == number);
    let book = found.map(|c| c.book.clone()).unwrap_or_default();
    let boards = app.work.boards;
    let own_board: String = boards.with_untracked(|b| b.get(&book).cloned().unwrap_or_default());
    let mut data = history::keep(
        &outcome.reading,
        number,
        &outcome.books,
        &own_board,
        &outcome.text,
    );
    let pasted = app.work.original.get_untracked();
    if pasted != outcome.text && !pasted.is_empty() {
        data.insert("pasted".to_owned(), json!(pasted));
    }
    data.insert("day".to_owned(), json!(device::today()));
    if !job.is_empty() {
        data.insert("job".to_owned(), json!(job));
    }
    let mut edits = Vec::new();
    let (id, name) = match console {
        Some(c) => (c.id.clone(), facts::name(c)),
        None => {
            let id = device::random_id();
            let name = found.and_then(|c| c.name.clone());
            let name = name.unwrap_or_else(|| "Console of ".to_owned() + &device::today());
            let new = notebook::filled(&[
                ("name", &name),
                ("book", &book),
                ("board", &own_board),
                ("got", &device::today()),
            ]);
            edits.push(Edit::new(&id, "console", new));
            (id, name)
        }
    };
    data.insert("console".to_owned(), json!(id));
    let mut photos = Vec::new();
    if let Some(blob) = app.work.photo_file.get_value() {
        match picture::take_in(&blob).await {
            Ok(taken) => {
                let photo = device::random_id();
                edits.push(photo::edit(&taken, &photo, &id, job).await);
                data.insert("photo".to_owned(), json!(photo));
                photos.push((photo, taken.blob));
            }
            // The reading is saved all the same.
            Err(refused) => app.toasts.stay(refused.words()),
        }
    }
    edits.push(Edit::new(&device::random_id(), "reading", data));
    app.notes.save(&edits, &photos).await.ok()?;
    Some((id, name))
}
