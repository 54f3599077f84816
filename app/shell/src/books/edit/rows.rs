//! The lists of a book and the form of one row.

use super::state::Editing;
use super::{address, labels};
use crate::platform::dom::Dom;
use crate::platform::state::State;
use crate::route;
use crate::widgets::bits::{button, line, link_with, nothing, show_all, tag, title};
use serde_json::{Map, Value};

/// Rows drawn at once.
const FIRST: usize = 60;

pub fn back(ed: Editing, rest: &str, words: &str) -> Dom {
    tag(
        "p",
        "",
        vec![link_with("back", &address(ed, rest), "left", words)],
    )
}

pub fn undo(ed: Editing) -> Dom {
    Dom::live(move || {
        if ed.can_undo.get() {
            button("plain", "undo", "Undo", move || ed.undo())
        } else {
            nothing()
        }
    })
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
