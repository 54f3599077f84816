//! The JSON Schema of code books.
//!
//! The file in `schema/` is generated from the types by a test. It is part of
//! the program: every book is held against it before anything else.

use serde_json::Value;
use std::sync::LazyLock;

/// The schema as it is published.
pub const TEXT: &str = include_str!("../schema/code-book-1.json");

/// The schema, read once: each check of a book and the editor's forms walk it.
pub static ROOT: LazyLock<Value> = LazyLock::new(|| serde_json::from_str(TEXT).unwrap_or_default());

/// The schema as the types give it now.
#[cfg(feature = "schema")]
#[must_use]
pub fn generate() -> String {
    let schema = schemars::schema_for!(crate::model::CodeBook);
    let mut text = serde_json::to_string_pretty(&schema).unwrap_or_default();
    text.push('\n');
    text
}
