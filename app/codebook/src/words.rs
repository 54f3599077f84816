//! A change of a book in words, piece by piece, for a list that people read.

use crate::compare::Change;
use crate::load::is_hidden;
use crate::save::in_order;
use serde_json::Value;

/// Most lines for one change; the rest is counted.
const MOST_LINES: usize = 40;
/// Characters of a value that are shown.
const MOST_CHARS: usize = 160;
/// How deep objects in objects are told apart piece by piece.
const DEEPEST: usize = 6;

/// What differs, a line for each piece: `title: core rail late → core rail low`.
/// A new row has a line for each thing that it says, and so has one that was
/// taken out.
#[must_use]
pub fn words(change: &Change) -> Vec<String> {
    let mut out = Lines::default();
    if change.moved {
        out.add(&["moved to place ", &(change.place + 1).to_string()]);
    }
    let single = change.section.is_empty();
    let name = if single { label(&change.key) } else { "" };
    pieces(
        name,
        change.before.as_ref(),
        change.after.as_ref(),
        0,
        &mut out,
    );
    if out.more > 0 {
        let more = out.more.to_string();
        out.lines.push(["and ", &more, " more"].concat());
    }
    out.lines
}

#[derive(Default)]
struct Lines {
    lines: Vec<String>,
    more: usize,
}

impl Lines {
    fn add(&mut self, parts: &[&str]) {
        if self.lines.len() < MOST_LINES {
            self.lines.push(parts.concat());
        } else {
            self.more += 1;
        }
    }
}

/// What people call a key.
fn label(key: &str) -> &str {
    match key {
        "not_proof" => "does not prove",
        "port_note" => "service port on it",
        "tell" => "how to tell it",
        "service_port" => "service port",
        "code_parts" => "parts of a code",
        "logic_volts" => "logic level",
        "empty_when" => "empty when",
        other => other,
    }
}

fn pieces<'v>(
    name: &str,
    before: Option<&'v Value>,
    after: Option<&'v Value>,
    depth: usize,
    out: &mut Lines,
) {
    if before == after {
        return;
    }
    let object = |v: Option<&Value>| v.is_none_or(Value::is_object);
    if depth < DEEPEST && object(before) && object(after) {
        let keys = |v: Option<&'v Value>| v.and_then(Value::as_object).map(in_order);
        for (key, here) in keys(after).unwrap_or_default() {
            let old = before.and_then(|b| b.get(key));
            pieces(&joined(name, label(key)), old, Some(here), depth + 1, out);
        }
        for (key, here) in keys(before).unwrap_or_default() {
            if after.is_none_or(|a| a.get(key).is_none()) {
                pieces(&joined(name, label(key)), Some(here), None, depth + 1, out);
            }
        }
        return;
    }
    if let (Some(Value::Array(old)), Some(Value::Array(new))) = (before, after)
        && depth < DEEPEST
        && old.iter().chain(new).any(|v| v.is_object() || v.is_array())
    {
        for i in 0..old.len().max(new.len()) {
            let name = joined(name, &(i + 1).to_string());
            pieces(&name, old.get(i), new.get(i), depth + 1, out);
        }
        return;
    }
    let name = if name.is_empty() {
        String::new()
    } else {
        [name, ": "].concat()
    };
    match (before.map(shown), after.map(shown)) {
        (Some(old), Some(new)) => out.add(&[&name, &old, " \u{2192} ", &new]),
        (Some(one), None) | (None, Some(one)) => out.add(&[&name, &one]),
        (None, None) => {}
    }
}

fn joined(name: &str, more: &str) -> String {
    if name.is_empty() {
        more.to_owned()
    } else {
        [name, ", ", more].concat()
    }
}

/// A value on one line, cut to a length that fits a list.
fn shown(value: &Value) -> String {
    let text = match value {
        Value::String(s) if s.is_empty() => "(nothing)".to_owned(),
        Value::String(s) => s.clone(),
        Value::Array(list) if list.is_empty() => "(nothing)".to_owned(),
        Value::Array(list) => {
            let mut all = String::new();
            for item in list.iter().take(MOST_CHARS) {
                if !all.is_empty() {
                    all.push_str(", ");
                }
                all.push_str(&shown(item));
                if all.len() > 4 * MOST_CHARS {
                    break;
                }
            }
            all
        }
        other => other.to_string(),
    };
    let mut out = String::new();
    for (n, c) in text.chars().enumerate() {
        if n == MOST_CHARS {
            out.push('\u{2026}');
            break;
        }
        if c.is_control() {
            out.push(' ');
        } else if !is_hidden(c) {
            out.push(c);
        }
    }
    out
}
