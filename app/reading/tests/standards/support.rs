//! Loading books and reading pastes for the tests around.

use std::path::Path;
use std::rc::Rc;

use codebook::Book;
use reading::Reader;
use reading::result::{Entry, Reading};
use serde_json::Value;

fn bytes(path: &str) -> Vec<u8> {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join(path);
    std::fs::read(&path).unwrap_or_else(|e| panic!("{}: {e}", path.display()))
}

/// A book from JSON.
pub fn book_of(json: &str) -> Rc<Book> {
    Rc::new(Book::load(json.as_bytes()).unwrap_or_else(|p| panic!("{p:#?}")))
}

/// A book of `tests/standards/`.
pub fn standard(name: &str) -> Rc<Book> {
    book_of(&String::from_utf8(bytes(&format!("tests/standards/{name}.json"))).unwrap())
}

/// A demo book.
pub fn demo(name: &str) -> Rc<Book> {
    book_of(&String::from_utf8(bytes(&format!("../../public/books/{name}.json"))).unwrap())
}

/// The reading of a paste of `tests/standards/` with one book.
pub fn paste(book: &Rc<Book>, name: &str) -> Reading {
    read(
        book,
        &String::from_utf8(bytes(&format!("tests/standards/{name}.txt"))).unwrap(),
    )
}

/// The reading of a text with one book.
pub fn read(book: &Rc<Book>, text: &str) -> Reading {
    Reader::new(vec![Rc::clone(book)]).read(text.as_bytes())
}

/// A value of an entry as text; `-` when it is null or not there.
pub fn field(entry: &Entry, name: &str) -> String {
    match entry.fields.get(name) {
        None | Some(Value::Null) => "-".into(),
        Some(Value::String(s)) => s.clone(),
        Some(other) => other.to_string(),
    }
}

/// Some values of an entry.
pub fn fields<const N: usize>(entry: &Entry, names: [&str; N]) -> [String; N] {
    names.map(|n| field(entry, n))
}

/// The first meaning that the book has for the code of an entry.
pub fn title(book: &Book, entry: &Entry) -> String {
    let found = book.lookup(&field(entry, "code"), Some(&entry.layout), None);
    found
        .first()
        .map_or_else(|| "-".into(), |f| f.title.clone())
}

/// What the book says about parts of the code of an entry.
pub fn parts(book: &Book, entry: &Entry) -> Vec<String> {
    book.code_parts(&field(entry, "code"), Some(&entry.layout))
        .into_iter()
        .map(|p| p.means)
        .collect()
}
