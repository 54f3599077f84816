//! The lists of a book and the form of one row.

use super::state::Editing;
use super::{address, field, labels};
use crate::platform::dom::{Dom, El};
use crate::platform::state::State;
use crate::route;
use crate::text;
use crate::widgets::bits::{
    button, fold, line, link_with, nothing, section, show_all, spoken, tag, title,
};
use leptos::prelude::event_target_value;
use serde_json::{Map, Value};

/// Rows drawn at once.
const FIRST: usize = 60;

fn back(ed: Editing, rest: &str, words: &str) -> Dom {
    tag(
        "p",
        "",
        vec![link_with("back", &address(ed, rest), "left", words)],
    )
}

fn undo(ed: Editing) -> Dom {
    Dom::live(move || {
        if ed.can_undo.get() {
            button("plain", "undo", "Undo", move || ed.undo())
        } else {
            nothing()
        }
    })
}

/// The page for the book's name, version and licence.
pub fn about(ed: Editing) -> Dom {
    let schema = ed.schema.get_value();
    Dom::many(vec![
        back(ed, "", "All parts"),
        title("About the book"),
        line(
            "p",
            "small",
            "Id: ".to_owned() + &ed.id.get_value() + ". " + text::ID_STAYS,
        ),
        tag("div", "form", field::fields(ed, &schema, "", 0)),
        crate::consoles::saved(ed.form),
        tag("div", "row", vec![undo(ed)]),
    ])
}

/// The page for the service port.
pub fn port(ed: Editing) -> Dom {
    let schema = ed.schema.get_value();
    let body = if ed.at("/service_port").is_object() {
        let of = schema.pointer("/properties/service_port").cloned();
        let mut all = field::fields(ed, &of.unwrap_or_default(), "/service_port", 1);
        all.push(button(
            "plain",
            "bin",
            "Take the service port out",
            move || {
                ed.pause();
                ed.set("/service_port", Value::Null);
                ed.redraw.update(|r| *r = r.wrapping_add(1));
            },
        ));
        all
    } else {
        vec![button(
            "main",
            "plus",
            "Describe the service port",
            move || {
                let mut port = Map::new();
                for (key, value) in [
                    ("pads", Value::Array(Vec::new())),
                    ("framing", "8N1".into()),
                ] {
                    port.insert(key.to_owned(), value);
                }
                ed.set("/service_port", port.into());
                ed.redraw.update(|r| *r = r.wrapping_add(1));
            },
        )]
    };
    Dom::many(vec![
        back(ed, "", "All parts"),
        title("Service port"),
        tag("div", "form", body),
        crate::consoles::saved(ed.form),
        tag("div", "row", vec![undo(ed)]),
    ])
}

/// The rows of a section.
pub fn list(ed: Editing, key: &str) -> Dom {
    let Some(&(key, name, about)) = labels::SECTIONS.iter().find(|s| s.0 == key) else {
        return line("p", "", "This part is not known.");
    };
    let place = "/".to_owned() + key;
    let total = ed.count(&place);
    let query = State::new(String::new());
    let limit = State::new(FIRST);
    let rows = move || {
        let q = query.get().trim().to_lowercase();
        let found: Vec<(usize, String)> = ed.with(|doc| {
            let all = doc.get(key).and_then(Value::as_array).into_iter().flatten();
            let all = all.enumerate().map(|(n, row)| (n, labels::row_name(row)));
            all.filter(|(_, name)| q.is_empty() || name.to_lowercase().contains(&q))
                .collect()
        });
        let all = ed.problems.get();
        let start = key.to_owned() + "[";
        let bad: Vec<usize> = all
            .iter()
            .filter_map(|p| p.path.strip_prefix(&start)?.split(']').next()?.parse().ok())
            .collect();
        let items = found
            .iter()
            .take(limit.get())
            .map(|(n, name)| {
                let to = "/".to_owned() + key + "/" + &n.to_string();
                let (icon, name) = if bad.contains(n) {
                    ("bad", name.clone() + " (to mend)")
                } else {
                    ("edit", name.clone())
                };
                let link = link_with("record-link", &address(ed, &to), icon, &name);
                tag("li", "record", vec![link])
            })
            .collect();
        Dom::many(vec![
            tag("ul", "records", items),
            show_all(found.len(), limit),
        ])
    };
    let find = if total > 12 {
        crate::widgets::bits::field("Find", "search", query)
    } else {
        nothing()
    };
    Dom::many(vec![
        back(ed, "", "All parts"),
        title(name),
        line("p", "lead", about),
        tag("div", "row", vec![add(ed, key), undo(ed)]),
        find,
        Dom::live(rows),
    ])
}

/// What adds to a section: a new row, or a table or line that is shown.
fn add(ed: Editing, key: &'static str) -> Dom {
    let id = ed.id.get_value();
    let teach = "/books/".to_owned() + &id + "/add";
    if key == "layouts" {
        return link_with("main", &teach, "plus", "Teach a line");
    }
    let row = button("main", "plus", "Add one", move || {
        let place = "/".to_owned() + key;
        let n = ed.count(&place);
        ed.list(&place, |rows| rows.push(Value::Object(Map::new())));
        route::go(ed.app.route, &address(ed, &(place + "/" + &n.to_string())));
    });
    if matches!(key, "codes" | "steps" | "boards" | "rails") {
        let table = link_with("plain", &teach, "paste", "From a table");
        return Dom::many(vec![row, table]);
    }
    row
}

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
    let schema = ed.schema.get_value();
    let items = schema.pointer(&("/properties/".to_owned() + key + "/items"));
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
    let schema = ed.schema.get_value();
    let texts = ["name", "example"].map(|key| {
        let of = schema.pointer(&("/$defs/TextLayout/properties/".to_owned() + key));
        let mut one = Map::new();
        one.insert(key.to_owned(), of.cloned().unwrap_or_default());
        let mut all = Map::new();
        all.insert("properties".to_owned(), one.into());
        Dom::many(field::fields(ed, &all.into(), place, 1))
    });
    let mut parts = vec![line("p", "", text::LAYOUT_TAUGHT)];
    parts.extend(texts);
    parts
}

/// Problems of the row that no field shows.
fn problems_below(ed: Editing, place: &str) -> Dom {
    let own = super::state::path(place);
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
                    ed.redraw.update(|r| *r = r.wrapping_add(1));
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

/// Where a problem is: the part of the editor, and what to call it.
pub fn place(ed: Editing, path: &str) -> (String, String) {
    let key: String = path
        .chars()
        .take_while(|c| c.is_ascii_lowercase() || *c == '_')
        .collect();
    let rest = path.get(key.len()..).unwrap_or("");
    let n = rest.strip_prefix('[').and_then(|r| r.split(']').next());
    let known = labels::SECTIONS.iter().find(|s| s.0 == key);
    match (known, n) {
        (Some((key, name, _)), Some(n)) => {
            let to = "/".to_owned() + key + "/" + n;
            let row = labels::row_name(&ed.at(&to));
            (to, (*name).to_owned() + ": " + &row)
        }
        (Some((key, name, _)), None) => ("/".to_owned() + key, (*name).to_owned()),
        (None, _) if key == "service_port" => ("/port".to_owned(), "Service port".to_owned()),
        _ => ("/about".to_owned(), "About the book".to_owned()),
    }
}
