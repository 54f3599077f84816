//! What several tests need: the demo books, and records by hand.
#![allow(dead_code, reason = "each test file uses its own part of it")]

use codebook::Book;
use codebook::model::CodeBook;
use notebook::{Item, View};
use serde_json::Value;

/// A demo book.
pub fn book(name: &str) -> CodeBook {
    let path = format!(
        "{}/../../public/books/{name}.json",
        env!("CARGO_MANIFEST_DIR")
    );
    Book::load(&std::fs::read(path).unwrap()).unwrap().model
}

/// A record that says this.
pub fn item(id: &str, kind: &str, data: Value) -> Item {
    Item {
        id: id.to_owned(),
        kind: kind.to_owned(),
        created: 0,
        changed: 0,
        view: View {
            data: data.as_object().unwrap().clone(),
            ..View::default()
        },
    }
}
