//! The form of one row of a book.

use super::rows::{back, undo};
use super::state::Editing;
use super::{address, field, labels};
use crate::platform::dom::{Dom, El};
use crate::platform::state::State;
use crate::route;
use crate::text;
use crate::widgets::bits::{button, fold, line, nothing, section, spoken, tag, title};
use codebook::schema::ROOT;
use leptos::prelude::event_target_value;
use serde_json::Value;

/// The form of a row.
pub fn one(ed: Editing, key: &str, n: usize) -> Dom {
    let Some(&(key, name, _)) = labels::SECTIONS.iter().find(|s| s.0 == key) else {
        return line("p", "", "This part is not known.");
    };
    let home = "/".to_owned() + key;
    let place = home.clone() + "/" + &n.to_string();
    if !ed.at(&place).is_object() {
        return Dom::many(vec![
            back(ed, &home, name),
            title(name),
            line("p", "", "This row is not there any more."),
            undo(ed),
        ]);
    }
    let items = ROOT.pointer(&("/properties/".to_owned() + key + "/items"));
    let form = if key == "layouts" {
        layout(ed, &place)
    } else {
        field::fields(ed, items.unwrap_or(&Value::Null), &place, 1)
    };
    let total = ed.count(&home);
    let others = problems_below(ed, &place);
    Dom::many(vec![
        back(ed, &home, name),
        title(labels::row_name(&ed.at(&place))),
        tag("div", "form", form),
        others,
        crate::consoles::saved(ed.form),
        tag("div", "row", moves(ed, key, n, total)),
        as_text(ed, place),
    ])
}

/// A layout is taught, not typed; its name and example can be changed.
fn layout(ed: Editing, place: &str) -> Vec<Dom> {
    let texts = ["name", "example"].map(|key| {
        let of = ROOT.pointer(&("/$defs/TextLayout/properties/".to_owned() + key));
        let at = place.to_owned() + "/" + key;
        field::field(ed, key, of.unwrap_or(&Value::Null), &at, 1)
    });
    let mut parts = vec![line("p", "", text::LAYOUT_TAUGHT)];
    parts.extend(texts);
    parts
}

/// Problems of the row that no field shows.
fn problems_below(ed: Editing, place: &str) -> Dom {
    let own = ed.path(place);
    let view = move || {
        let all = ed.problems.get();
        let here = all.iter().filter(|p| p.path.starts_with(&own));
        let items: Vec<Dom> = here
            .map(|p| {
                let at = p
                    .path
                    .get(own.len()..)
                    .unwrap_or("")
                    .trim_start_matches('.');
                tag("li", "", vec![line("b", "mono", at), field::said(p)])
            })
            .collect();
        if items.is_empty() {
            return nothing();
        }
        section(
            "row-problems",
            "To mend here",
            vec![tag("ul", "problems", items)],
        )
    };
    spoken("", vec![Dom::live(view)])
}

fn moves(ed: Editing, key: &'static str, n: usize, total: usize) -> Vec<Dom> {
    let home = "/".to_owned() + key;
    let go = move |to: usize| {
        let rest = "/".to_owned() + key + "/" + &to.to_string();
        route::go(ed.app.route, &address(ed, &rest));
    };
    let swap = move |other: usize| {
        ed.list(&("/".to_owned() + key), |rows| {
            if n < rows.len() && other < rows.len() {
                rows.swap(n, other);
            }
        });
        go(other);
    };
    let mut row = vec![undo(ed)];
    if n > 0 {
        row.push(button("plain", "left", "Before", move || go(n - 1)));
    }
    if n + 1 < total {
        row.push(button("plain", "right", "Next", move || go(n + 1)));
    }
    if n > 0 {
        row.push(button("plain", "up", "Move up", move || swap(n - 1)));
    }
    if n + 1 < total {
        row.push(button("plain", "down", "Move down", move || swap(n + 1)));
    }
    row.push(button("plain", "bin", "Take it out", move || {
        ed.list(&home, |rows| {
            if n < rows.len() {
                rows.remove(n);
            }
        });
        route::go(ed.app.route, &address(ed, &home));
        ed.app.toasts.undoable("Taken out", move || ed.undo());
    }));
    row
}

/// The row as the book's file has it, for what no form knows.
fn as_text(ed: Editing, place: String) -> Dom {
    let wrong = State::new(String::new());
    let shown = codebook::print(&ed.at(&place));
    let rows = shown.lines().count().clamp(4, 24).to_string();
    let area = El::new("textarea")
        .class("mono")
        .attr("rows", &rows)
        .attr("spellcheck", "false")
        .attr("autocapitalize", "off")
        .attr("aria-label", "This row as text")
        .text(&shown)
        .on("change", move |event| {
            match serde_json::from_str::<Value>(&event_target_value(&event)) {
                Ok(row) if row.is_object() => {
                    wrong.set(String::new());
                    ed.pause();
                    ed.set(&place, row);
                    ed.redraw.notify();
                }
                Ok(_) => wrong.set(text::ROW_NO_OBJECT.to_owned()),
                Err(e) => wrong.set(text::ROW_NO_JSON.to_owned() + &e.to_string()),
            }
        });
    let told = Dom::live(move || line("p", "bad-words", wrong.get()));
    fold(
        "As text",
        false,
        vec![
            line("p", "small", text::ROW_AS_TEXT),
            area.done(),
            spoken("", vec![told]),
        ],
    )
}
