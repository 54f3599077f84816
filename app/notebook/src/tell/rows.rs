//! What is filled in of a record, label by label: for the print sheet, the page
//! of a record and the like.

use crate::kinds::{self, Is};
use crate::timeline::{Named, Names, cat, causes, label, symptoms};
use crate::view::Item;
use crate::{dates, measure};

/// One field that is filled in.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Row {
    /// What a person calls the field.
    pub label: &'static str,
    /// What is in it, in words.
    pub value: String,
    /// Not for others.
    pub private: bool,
}

/// All filled fields of a record that are for reading, in the order of the table:
/// choices and ids as names, days in words, measured values with their unit and
/// spread. Photos, other records, and what only the app needs are left out; so
/// are fields that stand in no table.
pub fn rows(item: &Item, names: Names, today: &str) -> Vec<Row> {
    let Some(kind) = kinds::kind(&item.kind) else {
        return Vec::new();
    };
    let mut rows = Vec::new();
    for field in kind.fields {
        let text = item.text(field.name);
        let named = |what| {
            if text.is_empty() {
                String::new()
            } else {
                names(what, text).unwrap_or_else(|| text.to_owned())
            }
        };
        let value = match field.is {
            Is::Photo | Is::Ref(_) => String::new(),
            Is::Line | Is::Lines | Is::Log => text.trim_end().to_owned(),
            Is::Day => dates::words(text, today),
            Is::Number(unit) => with_unit(text, unit),
            Is::Measured => measure::Typing::of(|f| item.text(f)).told(),
            Is::Choice(_) => label(item, field.name).to_owned(),
            Is::Symptoms => symptoms(item, field.name, names),
            Is::Causes => causes(item, field.name, names),
            Is::Book => named(Named::Book),
            Is::Board => named(Named::Board),
            Is::Flag if item.view.data.get(field.name) == Some(&true.into()) => "Yes".to_owned(),
            Is::Flag => String::new(),
            Is::Made => match field.name {
                "book" => named(Named::Book),
                "board" => named(Named::Board),
                "summary" | "skips" | "notes" | "says" => text.trim_end().to_owned(),
                "doubts" | "done" | "skipped" | "open" => {
                    match item.view.data.get(field.name).and_then(|v| v.as_u64()) {
                        None | Some(0) => String::new(),
                        Some(n) => n.to_string(),
                    }
                }
                _ => String::new(),
            },
        };
        if !value.trim().is_empty() {
            rows.push(Row {
                label: field.label,
                value,
                private: field.private,
            });
        }
    }
    rows
}

fn with_unit(text: &str, unit: &str) -> String {
    let text = text.trim();
    if text.is_empty() || text.ends_with(unit) {
        text.to_owned()
    } else {
        cat(&[text, " ", unit])
    }
}
