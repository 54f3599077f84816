//! Fields of a form, as the schema of the format has them. A key that the format
//! gains later has a field without another line here.

use super::control::{choice, flag, how_often, lines, named, number, plain, ticks, typed};
use super::labels;
use super::state::{Editing, step};
use crate::platform::dom::{Dom, El};
use crate::widgets::bits::{button, line, mark, nothing, sentence, tag, with_code};
use codebook::Problem;
use codebook::schema::ROOT;
use serde_json::{Map, Value};

/// Forms inside forms are drawn this deep; what is deeper is changed as text.
const DEEP: usize = 4;

/// The schema that a reference stands for; of several the first that is not
/// null.
pub fn resolve(mut at: &Value) -> &Value {
    for _ in 0..8 {
        if let Some(Value::String(to)) = at.get("$ref") {
            match to.strip_prefix('#').and_then(|p| ROOT.pointer(p)) {
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
    let empty = Map::new();
    let all = resolve(schema).get("properties");
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
            field(ed, key, schema, &at, depth)
        })
        .collect()
}

/// Parts of the document that have pages of their own, or that the app sets.
fn skipped(key: &str) -> bool {
    matches!(key, "format" | "id" | "service_port") || labels::SECTIONS.iter().any(|s| s.0 == key)
}

/// One field, by what the schema says of it.
pub fn field(ed: Editing, key: &str, given: &Value, place: &str, depth: usize) -> Dom {
    let schema = resolve(given);
    let about = given.get("description").or(schema.get("description"));
    let about = about.and_then(Value::as_str).unwrap_or("");
    let about = about.replace('\n', " ").replace('*', "");
    let control = match kind(schema) {
        "string" | "" if schema.get("properties").is_none() => {
            if matches!(key, "step" | "reaches") {
                choice(ed, key, place, named(ed, "steps"), &about)
            } else if key == "cause" {
                choice(ed, key, place, named(ed, "causes"), &about)
            } else if matches!(key, "often" | "anyway" | "mends" | "unlisted") {
                how_often(ed, key, place, &about)
            } else if let ("name", Some(section)) = (key, seen_in(ed, place)) {
                choice(ed, "seen_name", place, named(ed, section), "")
            } else if key == "name" && place.contains("/links/") {
                typed(ed, "seen_name", place, &about)
            } else if labels::words(key).is_empty() {
                typed(ed, key, place, &about)
            } else {
                choice(ed, key, place, plain(labels::words(key)), &about)
            }
        }
        "boolean" => flag(ed, key, place, &about),
        "integer" | "number" => number(ed, key, place, &about),
        "array" => {
            let items = schema.get("items").map(resolve);
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
            Some(each) if each.is_object() && matches!(key, "boards" | "seen") => {
                by_board(ed, key, place, resolve(each), depth)
            }
            _ if depth < DEEP => group(labels::label(key), fields(ed, schema, place, depth + 1)),
            _ => nothing(),
        },
        _ => nothing(),
    };
    Dom::many(vec![control, wrong(ed, ed.path(place))])
}

/// The section that the name of a link is from; nothing for codes, which are
/// typed, and for other names.
fn seen_in(ed: Editing, place: &str) -> Option<&'static str> {
    let (row, _) = place.rsplit_once('/')?;
    match ed.text(&(row.to_owned() + "/kind")).as_str() {
        "step" => Some("steps"),
        "symptom" => Some("symptoms"),
        _ => None,
    }
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
fn by_board(ed: Editing, key: &str, place: &str, each: &Value, depth: usize) -> Dom {
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
            let inner = fields(ed, resolve(each), &at, depth + 1);
            parts.push(crate::widgets::bits::fold(name, said, inner));
        }
    }
    group(labels::label(key), parts)
}
