//! Writing a book back. What this version does not know is kept: the model is
//! laid over the document that was loaded, and only what was changed changes.

use crate::Book;
use crate::model::CodeBook;
use serde::Deserialize;
use serde_json::{Map, Value};
use std::collections::{BTreeMap, VecDeque};

impl Book {
    /// The book as JSON, with changes made to `model` and with every key that
    /// this version does not know.
    #[must_use]
    pub fn to_json(&self) -> String {
        print(&self.overlay(&self.model))
    }

    /// The loaded document with a (changed) model laid over it.
    pub(crate) fn overlay(&self, model: &CodeBook) -> Value {
        let base = CodeBook::deserialize(&self.doc)
            .ok()
            .and_then(|m| serde_json::to_value(m).ok());
        let now = serde_json::to_value(model).unwrap_or_default();
        merge(&self.doc, &base.unwrap_or_default(), now)
    }
}

/// A book's document, finished or not, as JSON for people: keys in the order of
/// the format's page.
#[must_use]
pub fn print(doc: &Value) -> String {
    let mut out = String::new();
    write(doc, 0, &mut out);
    out.push('\n');
    out
}

/// `doc` is what was loaded, `base` what the model made of it, `now` what the
/// model is now. Where `base` and `now` agree, `doc` stays as it is, down to
/// the way a number is written.
fn merge(doc: &Value, base: &Value, now: Value) -> Value {
    if *base == now {
        return doc.clone();
    }
    match (doc, base, now) {
        (Value::Object(doc), Value::Object(base), Value::Object(now)) => {
            // A key that is in `doc` but neither in `base` nor in `now` is
            // unknown, or a usual value written out: it stays.
            let mut out: Map<String, Value> = doc
                .iter()
                .filter(|(k, _)| !base.contains_key(*k) && !now.contains_key(*k))
                .map(|(k, v)| (k.clone(), v.clone()))
                .collect();
            for (k, now) in now {
                let value = match (doc.get(&k), base.get(&k)) {
                    (Some(doc), Some(base)) => merge(doc, base, now),
                    // A usual value that was left out is left out again.
                    (None, Some(base)) if *base == now => continue,
                    _ => now,
                };
                out.insert(k, value);
            }
            Value::Object(out)
        }
        (Value::Array(doc), Value::Array(base), Value::Array(now)) if doc.len() == base.len() => {
            let from = partners(base, &now);
            let pairs = now.into_iter().zip(from);
            let merged = pairs.map(|(now, from)| {
                match from.and_then(|i| Some((doc.get(i)?, base.get(i)?))) {
                    Some((doc, base)) => merge(doc, base, now),
                    None => now,
                }
            });
            Value::Array(merged.collect())
        }
        (_, _, now) => now,
    }
}

/// For each new item the place of the old item that it was: an equal one, else
/// one with the same name, else (a renamed one) the one in the same place.
fn partners(base: &[Value], now: &[Value]) -> Vec<Option<usize>> {
    let mut taken = vec![false; base.len()];
    let mut out: Vec<Option<usize>> = vec![None; now.len()];
    for name in [whole as fn(&Value) -> Option<String>, identity] {
        let mut old: BTreeMap<String, VecDeque<usize>> = BTreeMap::new();
        for (j, item) in base.iter().enumerate() {
            if let (Some(false), Some(name)) = (taken.get(j), name(item)) {
                old.entry(name).or_default().push_back(j);
            }
        }
        for (place, item) in out.iter_mut().zip(now).filter(|(place, _)| place.is_none()) {
            let same = name(item).and_then(|name| old.get_mut(&name));
            if let Some(j) = same.and_then(VecDeque::pop_front) {
                *place = Some(j);
                taken.iter_mut().skip(j).take(1).for_each(|t| *t = true);
            }
        }
    }
    for (i, place) in out
        .iter_mut()
        .enumerate()
        .filter(|(_, place)| place.is_none())
    {
        *place = (taken.get(i) == Some(&false)).then_some(i);
    }
    out
}

fn whole(item: &Value) -> Option<String> {
    (item.is_object() || item.is_array()).then(|| item.to_string())
}

/// What an item is known by.
fn identity(item: &Value) -> Option<String> {
    const KEYS: [&str; 8] = ["id", "code", "field", "text", "bit", "is", "name", "title"];
    KEYS.iter()
        .find_map(|k| Some(format!("{k} {}", item.get(k)?)))
}

/// Writes JSON for people: keys in the order of the format's page, short lists
/// and objects on one line.
fn write(value: &Value, depth: usize, out: &mut String) {
    if depth > 0
        && let Some(room) = 90_usize.checked_sub(depth * 2)
        && room_left(value, room).is_some()
    {
        one_line(value, out);
        return;
    }
    let (open, close) = if value.is_array() {
        ('[', ']')
    } else {
        ('{', '}')
    };
    let gap = |out: &mut String, depth: usize| {
        out.push('\n');
        out.extend(std::iter::repeat_n(' ', depth * 2));
    };
    match value {
        Value::Array(items) => {
            out.push(open);
            for (i, item) in items.iter().enumerate() {
                out.push_str(if i == 0 { "" } else { "," });
                gap(out, depth + 1);
                write(item, depth + 1, out);
            }
        }
        Value::Object(map) => {
            out.push(open);
            for (i, (k, v)) in in_order(map).into_iter().enumerate() {
                out.push_str(if i == 0 { "" } else { "," });
                gap(out, depth + 1);
                out.push_str(&Value::from(k).to_string());
                out.push_str(": ");
                write(v, depth + 1, out);
            }
        }
        _ => {
            out.push_str(&value.to_string());
            return;
        }
    }
    gap(out, depth);
    out.push(close);
}

/// What is left of so many bytes behind the value on one line; nothing when it
/// does not fit. It is looked at no further than that, as a long value is asked
/// about at each level that it stands in.
fn room_left(value: &Value, room: usize) -> Option<usize> {
    let quoted = |text: &str, room: usize| {
        let fits = text.len() <= room;
        fits.then(|| room.checked_sub(Value::from(text).to_string().len()))?
    };
    match value {
        Value::Array(items) => {
            let mut room = room.checked_sub(2)?;
            for (i, item) in items.iter().enumerate() {
                room = room_left(item, room.checked_sub(if i > 0 { 2 } else { 0 })?)?;
            }
            Some(room)
        }
        Value::Object(map) => {
            let mut room = room.checked_sub(if map.is_empty() { 2 } else { 4 })?;
            for (i, (key, item)) in map.iter().enumerate() {
                room = quoted(key, room.checked_sub(if i > 0 { 4 } else { 2 })?)?;
                room = room_left(item, room)?;
            }
            Some(room)
        }
        Value::String(text) => quoted(text, room),
        other => room.checked_sub(other.to_string().len()),
    }
}

fn one_line(value: &Value, out: &mut String) {
    match value {
        Value::Array(items) => {
            out.push('[');
            for (i, item) in items.iter().enumerate() {
                out.push_str(if i == 0 { "" } else { ", " });
                one_line(item, out);
            }
            out.push(']');
        }
        Value::Object(map) if map.is_empty() => out.push_str("{}"),
        Value::Object(map) => {
            out.push('{');
            for (i, (key, item)) in in_order(map).into_iter().enumerate() {
                out.push_str(if i == 0 { " " } else { ", " });
                out.push_str(&Value::from(key).to_string());
                out.push_str(": ");
                one_line(item, out);
            }
            out.push_str(" }");
        }
        other => out.push_str(&other.to_string()),
    }
}

/// The keys of an object in the order that the format's page has them; unknown
/// ones follow by name.
pub fn in_order(map: &Map<String, Value>) -> Vec<(&str, &Value)> {
    const ORDER: &str = "$schema format kind id code field label optional text is version name title value \
        maker family licence sources about as width at size bits endian signed scale offset unit \
        alphabet pattern words flags bit time epoch unit_seconds zone absent not_set not_set_below not_set_before modulus equals missing length_of plus join length line fields \
        derived over bytes by seed weights poly init reflect_in reflect_out xorout empty empty_byte \
        empty_when header headers starts order first head mark means listing check example layouts \
        from to values meaning not_proof step rails parts boards source codes code_parts steps \
        volts tell port_note service_port pads logic_volts baud framing supply notes note symptoms \
        seen cases of links often causes cause unlisted how difficulty minutes money risk heat mends tells \
        measure quantity place range low high says when shows anyway results only reaches hazards checks \
        repairs cautions";
    let rank = |key: &str| {
        ORDER
            .split_ascii_whitespace()
            .position(|k| k == key)
            .unwrap_or(usize::MAX)
    };
    let mut pairs: Vec<(usize, &str, &Value)> =
        map.iter().map(|(k, v)| (rank(k), k.as_str(), v)).collect();
    pairs.sort_by_key(|(rank, key, _)| (*rank, *key));
    pairs.into_iter().map(|(_, k, v)| (k, v)).collect()
}
