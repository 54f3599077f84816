//! Fields of a form, as the schema of the format has them. A key that the format
//! gains later has a field without another line here.

use super::labels;
use super::state::{Editing, path, step};
use crate::consoles::{option, ticked};
use crate::platform::dom::{Dom, El};
use crate::text;
use crate::widgets::bits::{button, line, mark, nothing, sentence, tag, with_code};
use codebook::Problem;
use leptos::prelude::{event_target_checked, event_target_value};
use serde_json::{Map, Value};

/// Forms inside forms are drawn this deep; what is deeper is changed as text.
const DEEP: usize = 4;

/// The schema that a reference stands for; of several the first that is not
/// null.
pub fn resolve<'s>(root: &'s Value, mut at: &'s Value) -> &'s Value {
    for _ in 0..8 {
        if let Some(Value::String(to)) = at.get("$ref") {
            match to.strip_prefix('#').and_then(|p| root.pointer(p)) {
                Some(next) => at = next,
                None => return at,
            }
        } else if let Some(all) = at.get("anyOf").and_then(Value::as_array) {
            let real = |s: &&Value| s.get("type") != Some(&Value::from("null"));
            match all.iter().find(real) {
                Some(next) => at = next,
                None => return at,
            }
        } else {
            return at;
        }
    }
    at
}

/// The type a schema names first.
fn kind(schema: &Value) -> &str {
    match schema.get("type") {
        Some(Value::String(one)) => one,
        Some(Value::Array(some)) => some.first().and_then(Value::as_str).unwrap_or(""),
        _ => "",
    }
}

/// All fields of an object of this schema, which is at this place.
pub fn fields(ed: Editing, schema: &Value, place: &str, depth: usize) -> Vec<Dom> {
    let root = ed.schema.get_value();
    let empty = Map::new();
    let all = resolve(&root, schema).get("properties");
    let all = all.and_then(Value::as_object).unwrap_or(&empty);
    let mut all: Vec<(&str, &Value)> = codebook::in_order(all);
    if depth == 1 && all.iter().any(|(key, _)| matches!(*key, "title" | "text")) {
        // A short name is made from the title, so it comes last.
        if let Some(at) = all.iter().position(|(key, _)| *key == "id") {
            let id = all.remove(at);
            all.push(id);
        }
    }
    all.into_iter()
        .filter(|(key, _)| depth > 0 || !skipped(key))
        .map(|(key, schema)| {
            let at = place.to_owned() + &step(key);
            field(ed, &root, key, schema, &at, depth)
        })
        .collect()
}

/// Parts of the document that have pages of their own, or that the app sets.
fn skipped(key: &str) -> bool {
    matches!(key, "format" | "id" | "service_port") || labels::SECTIONS.iter().any(|s| s.0 == key)
}

fn field(ed: Editing, root: &Value, key: &str, given: &Value, place: &str, depth: usize) -> Dom {
    let schema = resolve(root, given);
    let about = given.get("description").or(schema.get("description"));
    let about = about.and_then(Value::as_str).unwrap_or("");
    let about = about.replace('\n', " ").replace('*', "");
    let control = match kind(schema) {
        "string" | "" if schema.get("properties").is_none() => {
            if key == "step" {
                choice(ed, key, place, named(ed, "steps"), &about)
            } else if labels::words(key).is_empty() {
                typed(ed, key, place, &about)
            } else {
                choice(ed, key, place, plain(labels::words(key)), &about)
            }
        }
        "integer" | "number" => number(ed, key, place, &about),
        "array" => {
            let items = schema.get("items").map(|s| resolve(root, s));
            match items {
                Some(items) if kind(items) == "string" => match labels::names(key) {
                    Some(section) => ticks(ed, key, place, section, &about),
                    None => lines(ed, key, place, &about),
                },
                Some(items) if kind(items) == "object" && depth < DEEP => {
                    rows(ed, key, place, items, depth)
                }
                _ => nothing(),
            }
        }
        "object" => match schema.get("additionalProperties") {
            Some(each) if each.is_object() && key == "boards" => {
                by_board(ed, root, key, place, resolve(root, each), depth)
            }
            _ if depth < DEEP => group(labels::label(key), fields(ed, schema, place, depth + 1)),
            _ => nothing(),
        },
        _ => nothing(),
    };
    Dom::many(vec![control, wrong(ed, path(place))])
}

/// What is wrong with exactly this place, said as soon as it is.
pub fn wrong(ed: Editing, path: String) -> Dom {
    Dom::live(move || {
        let all = ed.problems.get();
        let here = all.iter().filter(|p| p.path == path);
        let here: Vec<Dom> = here.map(said).collect();
        if here.is_empty() {
            return nothing();
        }
        tag("div", "wrong", here)
    })
}

/// A problem in words: what is wrong, and what belongs there.
pub fn said(p: &Problem) -> Dom {
    let hint = sentence(&p.hint);
    let mut parts = vec![mark("bad", "bad", sentence(&p.message) + ".")];
    // What belongs there stands under the field already.
    if !p.message.ends_with("missing") {
        parts.push(tag("p", "small", with_code(&hint)));
    }
    Dom::many(parts)
}

fn labelled(key: &str, about: &str, control: El) -> Dom {
    let label = line("span", "", labels::label(key));
    let help = if about.is_empty() {
        nothing()
    } else {
        tag("span", "small block", with_code(about))
    };
    tag("label", "field", vec![label, control.done(), help])
}

fn typed(ed: Editing, key: &str, place: &str, about: &str) -> Dom {
    let value = ed.text(place);
    let long = labels::long(key) || value.len() > 60;
    let el = if long {
        El::new("textarea").attr("rows", "3").text(&value)
    } else {
        El::new("input").attr("type", "text").attr("value", &value)
    };
    let own = place.to_owned();
    let named = place.rsplit_once('/').map(|(p, _)| p.to_owned());
    let renames = matches!(key, "title" | "text")
        && place.matches('/').count() == 3
        && !place.starts_with("/codes/")
        && !place.starts_with("/sources/");
    let el = el
        .attr("autocomplete", "off")
        .attr("name", key)
        .on("input", move |event| {
            let now = event_target_value(&event);
            if let (true, Some(row)) = (renames, &named) {
                rename(ed, row, &ed.text(&own), &now);
            }
            ed.set(&own, now.into());
        })
        .on("change", move |_| ed.pause());
    labelled(key, about, el)
}

/// A row without a short name gets one from its title, and keeps it when others
/// may already speak of it.
fn rename(ed: Editing, row: &str, before: &str, now: &str) {
    let place = row.to_owned() + "/id";
    let id = ed.text(&place);
    if id.is_empty() || id == short(before) {
        ed.set(&place, short(now).into());
    }
}

/// A title as a short name: lower-case letters, digits and single hyphens.
pub fn short(title: &str) -> String {
    let mut out = String::new();
    for c in title.chars().take(60) {
        if c.is_ascii_alphanumeric() {
            out.push(c.to_ascii_lowercase());
        } else if !out.is_empty() && !out.ends_with('-') {
            out.push('-');
        }
    }
    out.trim_end_matches('-').to_owned()
}

fn number(ed: Editing, key: &str, place: &str, about: &str) -> Dom {
    let now = ed.at(place);
    let shown = if now.is_number() {
        now.to_string()
    } else {
        String::new()
    };
    let own = place.to_owned();
    let el = El::new("input")
        .attr("type", "text")
        .attr("inputmode", "decimal")
        .attr("autocomplete", "off")
        .attr("name", key)
        .attr("value", &shown)
        .on("input", move |event| {
            let text = event_target_value(&event).trim().replace(',', ".");
            // What is no number stays as it is, and the check says so.
            let value = serde_json::from_str(&text).ok().filter(Value::is_number);
            ed.set(&own, value.unwrap_or_else(|| text.into()));
        });
    labelled(key, about, el)
}

fn lines(ed: Editing, key: &str, place: &str, about: &str) -> Dom {
    let now = texts(&ed.at(place));
    let rows = now.len().clamp(2, 10).to_string();
    let own = place.to_owned();
    let el = El::new("textarea")
        .attr("rows", &rows)
        .attr("name", key)
        .text(&now.join("\n"))
        .on("input", move |event| {
            let text = event_target_value(&event);
            let all = text.lines().map(str::trim).filter(|l| !l.is_empty());
            ed.set(&own, all.map(Value::from).collect::<Vec<_>>().into());
        })
        .on("change", move |_| ed.pause());
    labelled(key, about, el)
}

fn texts(list: &Value) -> Vec<String> {
    let all = list.as_array().into_iter().flatten();
    all.filter_map(|v| v.as_str().map(str::to_owned)).collect()
}

fn plain(words: &[&str]) -> Vec<(String, String)> {
    words
        .iter()
        .map(|w| ((*w).to_owned(), (*w).to_owned()))
        .collect()
}

/// The rows of a section that others can name.
fn named(ed: Editing, section: &str) -> Vec<(String, String)> {
    ed.with(|doc| {
        let rows = doc.get(section).and_then(Value::as_array);
        let rows = rows.into_iter().flatten();
        rows.filter_map(|r| {
            let id = r.get("id")?.as_str()?.to_owned();
            Some((id, labels::row_name(r)))
        })
        .collect()
    })
}

fn choice(ed: Editing, key: &str, place: &str, list: Vec<(String, String)>, about: &str) -> Dom {
    let now = ed.text(place);
    let mut options = vec![option("", text::NOT_SAID, now.is_empty())];
    if !now.is_empty() && !list.iter().any(|(v, _)| *v == now) {
        options.push(option(&now, &now, true));
    }
    options.extend(list.iter().map(|(v, l)| option(v, l, *v == now)));
    let own = place.to_owned();
    let el = El::new("select")
        .attr("name", key)
        .kids(options)
        .on("change", move |event| {
            ed.set(&own, event_target_value(&event).into())
        });
    labelled(key, about, el)
}

/// Rows of another section to tick.
fn ticks(ed: Editing, key: &str, place: &str, section: &str, about: &str) -> Dom {
    let now = texts(&ed.at(place));
    let mut list = named(ed, section);
    for id in &now {
        if !list.iter().any(|(v, _)| v == id) {
            list.push((id.clone(), id.clone()));
        }
    }
    if list.is_empty() {
        return nothing();
    }
    let mut boxes = vec![
        line("legend", "", labels::label(key)),
        tag("p", "small", with_code(about)),
    ];
    for (id, name) in list {
        let own = place.to_owned();
        let input = El::new("input").attr("type", "checkbox");
        let input = if now.contains(&id) {
            input.attr("checked", "")
        } else {
            input
        };
        let input = input.on("change", move |event| {
            let mut all = texts(&ed.at(&own));
            all.retain(|i| *i != id);
            if event_target_checked(&event) {
                all.push(id.clone());
            }
            ed.set(&own, all.into());
        });
        boxes.push(ticked(input, &name, ""));
    }
    El::new("fieldset").class("plainset").kids(boxes).done()
}

/// Forms inside a form, under a heading.
pub fn group(heading: &str, parts: Vec<Dom>) -> Dom {
    let mut all = vec![line("legend", "", heading)];
    all.extend(parts);
    El::new("fieldset").class("plainset inner").kids(all).done()
}

/// A list of small rows, such as the pads of the service port.
fn rows(ed: Editing, key: &str, place: &str, items: &Value, depth: usize) -> Dom {
    let mut parts = Vec::new();
    for n in 0..ed.count(place) {
        let own = place.to_owned();
        let at = own.clone() + "/" + &n.to_string();
        let mut inner = fields(ed, items, &at, depth + 1);
        inner.push(button("plain", "bin", "Take it out", move || {
            ed.list(&own, |rows| {
                if n < rows.len() {
                    rows.remove(n);
                }
            });
        }));
        parts.push(group(&(n + 1).to_string(), inner));
    }
    let own = place.to_owned();
    parts.push(button("plain", "plus", "Add one", move || {
        ed.list(&own, |rows| rows.push(Value::Object(Map::new())));
    }));
    group(labels::label(key), parts)
}

/// What differs on single boards.
fn by_board(ed: Editing, root: &Value, key: &str, place: &str, each: &Value, depth: usize) -> Dom {
    let mut boards = named(ed, "boards");
    if let Value::Object(there) = ed.at(place) {
        for id in there.keys() {
            if !boards.iter().any(|(b, _)| b == id) {
                boards.push((id.clone(), id.clone()));
            }
        }
    }
    if boards.is_empty() {
        return nothing();
    }
    let mut parts = Vec::new();
    for (id, name) in boards {
        let at = place.to_owned() + &step(&id);
        if kind(each) == "string" {
            let common = choice(ed, "common", &at, plain(labels::words("common")), "");
            parts.push(group(&name, vec![common]));
        } else if depth < DEEP {
            let said = ed.at(&at).is_object();
            let inner = fields(ed, resolve(root, each), &at, depth + 1);
            parts.push(crate::widgets::bits::fold(name, said, inner));
        }
    }
    group(labels::label(key), parts)
}
