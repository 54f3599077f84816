//! Search over everything in the notebook.
//!
//! The index is made in pieces as soon as somebody goes to the search box, and
//! a search works on what is there so far and says so.

use super::{address, facts};
use crate::app::App;
use crate::platform::dom::{Dom, El};
use crate::platform::page;
use crate::platform::state::{Kept, State};
use crate::widgets::bits::{count, icon, line, link, nothing, spoken, tag};
use leptos::prelude::*;
use notebook::search::{Hit, Index};
use notebook::timeline::{Named, Names};
use notebook::{Item, Record, kinds};
use std::collections::BTreeMap;

/// Hits shown.
const MOST: usize = 40;

/// The index, and how far it is made.
#[derive(Clone, Copy)]
struct Finder {
    index: Kept<Index>,
    /// Nicknames of consoles by id.
    names: Kept<BTreeMap<String, String>>,
    begun: Kept<bool>,
    /// How many rows were in it when the hits were told of that last; 0 before
    /// the first piece.
    step: State<usize>,
    whole: State<bool>,
}

/// The box and, when something stands in it, what was found.
pub fn section(app: App, query: State<String>) -> Dom {
    let state = Finder {
        index: Kept::new(Index::default()),
        names: Kept::new(BTreeMap::new()),
        begun: Kept::new(false),
        step: State::new(0),
        whole: State::new(false),
    };
    let input = El::new("input")
        .attr("type", "search")
        .attr("autocomplete", "off")
        .attr("enterkeyhint", "search")
        .attr("id", "find")
        .on("focus", move |_| begin(app, state))
        .on("input", move |event| {
            begin(app, state);
            query.set(event_target_value(&event));
        });
    let found = move || {
        let text = query.get();
        if text.trim().is_empty() {
            return nothing();
        }
        let step = state.step.get();
        hits(state, &text, step > 0)
    };
    Dom::many(vec![
        tag(
            "label",
            "field",
            vec![
                line("span", "", "Find a name, code, part or note"),
                input.done(),
            ],
        ),
        spoken("", vec![Dom::live(found)]),
    ])
}

fn begin(app: App, state: Finder) {
    if state.begun.get_value() {
        return;
    }
    state.begun.set_value(true);
    piece(app, state, String::new());
}

/// Reads the next rows into the index, then lets the browser breathe.
fn piece(app: App, state: Finder, after: String) {
    leptos::task::spawn_local(async move {
        let Ok(rows) = app.notes.batch(&after).await else {
            return;
        };
        let Some(last) = rows.last().map(|r| r.id.clone()) else {
            state.whole.try_set(true);
            return;
        };
        let books = app.shelf.books();
        let names = move |what: Named, id: &str| {
            books
                .iter()
                .find_map(|b| app.notes.name(&b.model.id, what, id))
        };
        let done = state.index.try_update_value(|index| {
            for row in &rows {
                if let Ok(record) = row.record(&mut Vec::new()) {
                    put(state, index, &record, &names);
                }
            }
            index.len()
        });
        if let Some(length) = done {
            // To draw all hits again takes longer than a piece. So it is done
            // when there is twice as much.
            if length > 2 * state.step.get_untracked() {
                state.step.set(length);
            }
            page::later(0, move || piece(app, state, last));
        }
    });
}

fn put(state: Finder, index: &mut Index, record: &Record, names: Names) {
    let item = Item::of(record);
    if item.kind == "console" {
        let name = facts::name(&item);
        state.names.update_value(|n| {
            n.insert(item.id.clone(), name);
        });
    }
    index.put(&item, names);
}

fn hits(state: Finder, query: &str, begun: bool) -> Dom {
    let found = state.index.with_value(|i| i.find(query, MOST));
    let whole = state.whole.get();
    let mut words = count(found.total, "place", "places");
    if !whole {
        words = if begun {
            words + " so far. Still reading the notebook\u{2026}"
        } else {
            "Reading the notebook\u{2026}".to_owned()
        };
    } else if found.total == 0 {
        words = "Nothing found. Try fewer letters.".to_owned();
    } else if found.total > found.hits.len() {
        words = words + ", the first " + &found.hits.len().to_string() + " are shown";
    }
    let list = found.hits.iter().map(|h| hit(state, h)).collect();
    Dom::many(vec![line("p", "small", words), tag("ul", "consoles", list)])
}

fn hit(state: Finder, hit: &Hit) -> Dom {
    let kind = kinds::kind(&hit.kind);
    let console = state
        .names
        .with_value(|n| n.get(&hit.console).cloned())
        .unwrap_or_default();
    let to = if let Some(book) = kinds::book_of(&hit.id) {
        "/books/".to_owned() + book
    } else if hit.id == hit.console {
        address(&hit.id)
    } else {
        address(&hit.console) + "/" + &hit.id
    };
    let place = tag(
        "span",
        "",
        vec![
            Dom::text(&hit.before),
            line("mark", "", &hit.matched),
            Dom::text(&hit.after),
        ],
    );
    let small = [kind.map_or("", |k| k.title), &console].join(" \u{b7} ");
    let words = tag("span", "", vec![place, line("span", "small block", small)]);
    let picture = icon(kind.map_or("info", |k| k.icon));
    tag(
        "li",
        "record",
        vec![link("record-link", &to, vec![picture, words])],
    )
}
