//! The text of a record that is searched.

use crate::kinds::{self, Is};
use crate::timeline::{Named, Names, causes, label, symptoms};
use crate::view::Item;
use serde_json::Value;

/// Bytes of one field that are searched. A pasted forum thread can be long.
const MOST: usize = 20_000;

pub(super) struct Gathered {
    /// One field a line.
    pub text: String,
    /// Length of the nickname at its start.
    pub name: usize,
}

/// All fields that a person can read, and the codes of a reading. Ids and
/// numbers that only the app needs are left out.
pub(super) fn gather(item: &Item, names: Names) -> Gathered {
    let mut all = Gathered {
        text: String::new(),
        name: 0,
    };
    let Some(kind) = kinds::kind(&item.kind) else {
        // A newer app's record: whatever text it has.
        for (name, value) in &item.view.data {
            if let (Some(text), false) =
                (value.as_str(), matches!(name.as_str(), "console" | "job"))
            {
                add(&mut all.text, text);
            }
        }
        return all;
    };
    for field in kind.fields {
        let value = item.text(field.name);
        match field.is {
            Is::Photo | Is::Ref(_) | Is::Flag => {}
            Is::Symptoms => add(&mut all.text, &symptoms(item, field.name, names)),
            Is::Causes => add(&mut all.text, &causes(item, field.name, names)),
            Is::Choice(_) => add(&mut all.text, label(item, field.name)),
            Is::Book => named(&mut all.text, Named::Book, value, names),
            Is::Board => named(&mut all.text, Named::Board, value, names),
            Is::Made => match field.name {
                "entries" => {
                    let mut codes = Vec::new();
                    if let Some(entries) = item.view.data.get("entries") {
                        codes_of(entries, &mut codes);
                    }
                    add(&mut all.text, &codes.join(" "));
                }
                "summary" | "skips" | "notes" | "says" => add(&mut all.text, value),
                _ => {}
            },
            Is::Line | Is::Lines | Is::Log | Is::Day | Is::Number(_) | Is::Measured => {
                add(&mut all.text, value);
            }
        }
        if item.kind == "console" && field.name == "name" {
            all.name = all.text.len();
        }
    }
    all
}

fn add(to: &mut String, text: &str) {
    let mut end = text.len().min(MOST);
    while !text.is_char_boundary(end) {
        end -= 1;
    }
    let text = text.get(..end).unwrap_or("");
    if text.is_empty() {
        return;
    }
    if !to.is_empty() {
        to.push('\n');
    }
    to.push_str(text);
}

fn named(to: &mut String, what: Named, id: &str, names: Names) {
    if !id.is_empty() {
        add(to, &names(what, id).unwrap_or_else(|| id.to_owned()));
    }
}

/// The different values of `code`, wherever they stand in a reading's entries.
fn codes_of<'a>(value: &'a Value, codes: &mut Vec<&'a str>) {
    match value {
        Value::Array(list) => list.iter().for_each(|v| codes_of(v, codes)),
        Value::Object(fields) => {
            for (name, value) in fields {
                match value.as_str() {
                    Some(code) if name == "code" => {
                        if !codes.contains(&code) {
                            codes.push(code);
                        }
                    }
                    _ => codes_of(value, codes),
                }
            }
        }
        _ => {}
    }
}
