//! What a record says now, also when two writers changed it at the same time.

use crate::descent::Descent;
use crate::record::{Data, Record, Version};
use serde_json::Value;

/// What a record says now.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct View {
    /// The fields.
    pub data: Data,
    /// Fields that were changed in two ways at the same time: the name, and the
    /// values that are not in `data`. The person should choose.
    pub clashes: Vec<(String, Vec<Value>)>,
    /// Deleted.
    pub gone: bool,
    /// It was deleted on one device and changed on another. It is shown.
    pub deleted_elsewhere: bool,
}

impl View {
    /// A field's text; empty when it is not there or no text.
    pub fn text(&self, name: &str) -> &str {
        text(&self.data, name)
    }
}

/// A field's text; empty when it is not there or no text.
pub fn text<'a>(data: &'a Data, name: &str) -> &'a str {
    data.get(name).and_then(Value::as_str).unwrap_or("")
}

/// Fields with these texts; empty ones are left out.
pub fn filled(fields: &[(&str, &str)]) -> Data {
    let some = fields.iter().filter(|(_, text)| !text.is_empty());
    some.map(|(name, text)| ((*name).to_owned(), Value::from(*text)))
        .collect()
}

impl Record {
    /// What the record says now.
    ///
    /// With several heads, each field has the value that somebody gave it and
    /// that nobody who knew it has changed. Where there are several such values
    /// the newest stands and the others are told as clashes. To delete changes
    /// no field.
    pub fn view(&self) -> View {
        let heads = self.heads();
        let Some(first) = heads.first() else {
            return View {
                gone: true,
                ..View::default()
            };
        };
        let alive: Vec<&Version> = heads.iter().copied().filter(|h| !h.gone).collect();
        let mut view = View {
            gone: first.gone,
            deleted_elsewhere: !first.gone && alive.len() < heads.len(),
            ..View::default()
        };
        let deleted = heads.len() > alive.len();
        if heads.len() < 2 && !deleted {
            view.data.clone_from(&first.data);
            return view;
        }
        // What was there before a deletion counts, not what the deletion says.
        let mut names: Vec<&String> = if deleted {
            self.versions().iter().flat_map(|v| v.data.keys()).collect()
        } else {
            heads.iter().flat_map(|h| h.data.keys()).collect()
        };
        names.sort_unstable();
        names.dedup();
        let places: Vec<usize> = heads
            .iter()
            .filter_map(|h| self.place(h.key.rev, &h.key.by).ok())
            .collect();
        let mut descent = Descent::of(self);
        for name in names {
            let same = first.data.get(name);
            let mut from = if first.gone { &heads } else { &alive }.clone();
            if deleted || heads.iter().any(|h| h.data.get(name) != same) {
                // If it takes too long, every head counts as having changed it.
                if let Some(origins) = descent.as_mut().and_then(|d| d.origins(name, &places)) {
                    from = origins;
                    from.sort_by(|a, b| a.before(b));
                }
            }
            let mut values: Vec<Option<&Value>> = Vec::new();
            for value in from.iter().map(|v| v.data.get(name)) {
                if !values.contains(&value) {
                    values.push(value);
                }
            }
            let mut values = values.into_iter();
            if let Some(now) = values.next().flatten() {
                view.data.insert(name.clone(), now.clone());
            }
            let others: Vec<Value> = values.map(|v| v.cloned().unwrap_or(Value::Null)).collect();
            if !others.is_empty() {
                view.clashes.push((name.clone(), others));
            }
        }
        view
    }
}

/// A record as it is looked at: what it says now, without its former versions.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Item {
    /// The record's id.
    pub id: String,
    /// Its kind.
    pub kind: String,
    /// When it was first written, milliseconds since 1970.
    pub created: i64,
    /// When it was last changed, milliseconds since 1970.
    pub changed: i64,
    /// What it says.
    pub view: View,
}

impl Item {
    /// The record, looked at.
    pub fn of(record: &Record) -> Self {
        Self {
            id: record.id.clone(),
            kind: record.kind.clone(),
            created: record.created,
            changed: record.changed(),
            view: record.view(),
        }
    }

    /// A field's text; empty when it is not there or no text.
    pub fn text(&self, name: &str) -> &str {
        self.view.text(name)
    }
}
