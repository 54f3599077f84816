//! What was typed, kept so that a reload, an update or a killed tab loses
//! nothing.

use crate::platform::storage;
use serde_json::{Map, Value};
use std::collections::BTreeMap;

const KEY: &str = "faultleaf.draft";

/// The draft. Fields are only ever added.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Draft {
    /// The text as it is now.
    pub text: String,
    /// The text as it was pasted.
    pub original: String,
    /// The chosen board of each book, by book id.
    pub boards: BTreeMap<String, String>,
    /// Guesses that were accepted, each by what it says.
    pub confirmed: Vec<String>,
}

/// The kept draft.
pub fn load() -> Draft {
    let Some(Value::Object(mut kept)) = storage::get(KEY) else {
        return Draft::default();
    };
    let text = |value: Option<Value>| match value {
        Some(Value::String(text)) => text,
        _ => String::new(),
    };
    let mut draft = Draft {
        text: text(kept.remove("text")),
        original: text(kept.remove("original")),
        ..Draft::default()
    };
    if let Some(Value::Object(boards)) = kept.remove("boards") {
        for (book, board) in boards {
            draft.boards.insert(book, text(Some(board)));
        }
    }
    if let Some(Value::Array(confirmed)) = kept.remove("confirmed") {
        draft.confirmed = confirmed.into_iter().map(|c| text(Some(c))).collect();
    }
    draft
}

/// Keeps the draft; an empty one is forgotten.
pub fn save(draft: &Draft) -> bool {
    if *draft == Draft::default() {
        storage::remove(KEY);
        return true;
    }
    let mut all = Map::new();
    let mut put = |name: &str, value: Value| all.insert(name.to_owned(), value);
    put("text", draft.text.as_str().into());
    put("original", draft.original.as_str().into());
    let boards = draft
        .boards
        .iter()
        .map(|(k, v)| (k.clone(), v.as_str().into()));
    put("boards", Value::Object(boards.collect()));
    put("confirmed", draft.confirmed.clone().into());
    storage::set(KEY, &Value::Object(all))
}
