//! The loaded code books: the demonstration books that come with the app, and
//! books opened from a file, which are kept in this browser.

use crate::platform::state::State;
use crate::platform::{files, storage};
use codebook::{Book, Problem};
use std::rc::Rc;

const KEY: &str = "faultleaf.books";
const DEMO: [&str; 3] = [
    "/books/orrery.json",
    "/books/halyard.json",
    "/books/tamsin.json",
];

/// A loaded book and where it is from.
#[derive(Clone)]
pub struct Held {
    /// The book.
    pub book: Rc<Book>,
    /// It came with the app and its contents are invented.
    pub demo: bool,
    /// It could be kept on the device.
    pub kept: bool,
    /// An opened book's file, kept as it was; empty for a demonstration book.
    file: Rc<str>,
}

/// All loaded books.
#[derive(Clone, Copy)]
pub struct Shelf {
    /// The books, demonstration books last.
    pub held: State<Vec<Held>>,
    /// The demonstration books have arrived, or can't be had.
    pub ready: State<bool>,
}

impl Shelf {
    /// Opens the kept books and fetches the demonstration books.
    pub fn start() -> Self {
        let kept = storage::get(KEY).unwrap_or_default();
        let mut own = Vec::new();
        let kept = kept.as_array().into_iter().flatten();
        for text in kept.filter_map(|k| k.as_str()) {
            if let Ok(book) = Book::load(text.as_bytes()) {
                own.push(Held {
                    book: Rc::new(book),
                    demo: false,
                    kept: true,
                    file: text.into(),
                });
            }
        }
        let shelf = Self {
            held: State::new(own),
            ready: State::new(false),
        };
        leptos::task::spawn_local(async move {
            let mut demo = Vec::new();
            // All three are asked for at once, then taken in order.
            for answer in DEMO.map(files::fetch) {
                let book = answer.await.and_then(|b| Book::load(&b).ok());
                if let Some(book) = book {
                    demo.push(Held {
                        book: Rc::new(book),
                        demo: true,
                        kept: true,
                        file: "".into(),
                    });
                }
            }
            shelf.held.update(|all| all.extend(demo));
            shelf.ready.set(true);
        });
        shelf
    }

    /// Opens a book file. It takes the place of an opened book with the same
    /// id. Gives the id, or every problem found.
    pub fn open(self, bytes: &[u8]) -> Result<String, Vec<Problem>> {
        let book = Book::load(bytes)?;
        let id = book.model.id.clone();
        self.held.update(|all| {
            all.retain(|h| h.demo || h.book.model.id != id);
            let file = files::text(bytes).into();
            all.insert(
                0,
                Held {
                    book: Rc::new(book),
                    demo: false,
                    kept: true,
                    file,
                },
            );
        });
        self.keep();
        Ok(id)
    }

    /// Takes an opened book away.
    pub fn remove(self, id: &str) {
        self.held
            .update(|all| all.retain(|h| h.demo || h.book.model.id != id));
        self.keep();
    }

    fn keep(self) {
        let texts: Vec<String> = self.held.with_untracked(|all| {
            all.iter()
                .filter(|h| !h.demo)
                .map(|h| h.file.to_string())
                .collect()
        });
        let kept = storage::set(KEY, &texts.into());
        self.held.update(|all| {
            for h in all.iter_mut().filter(|h| !h.demo) {
                h.kept = kept;
            }
        });
    }

    /// The books in the order they are tried.
    pub fn books(self) -> Vec<Rc<Book>> {
        self.held
            .with(|all| all.iter().map(|h| h.book.clone()).collect())
    }

    /// One book.
    pub fn find(self, id: &str) -> Option<Held> {
        self.held
            .with(|all| all.iter().find(|h| h.book.model.id == id).cloned())
    }
}
