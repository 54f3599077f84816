//! What was typed, kept so that a reload, an update or a killed tab loses
//! nothing.

use crate::platform::storage;
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;

const KEY: &str = "faultleaf.draft";

/// The draft. Fields are only ever added.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(default)]
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
    storage::get(KEY).unwrap_or_default()
}

/// Keeps the draft; an empty one is forgotten.
pub fn save(draft: &Draft) -> bool {
    if *draft == Draft::default() {
        storage::remove(KEY);
        return true;
    }
    storage::set(KEY, draft)
}
