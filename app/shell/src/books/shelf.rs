//! The loaded code books: one's own, which are kept in the notebook, and the
//! demonstration books that come with the app.

use crate::platform::files;
use crate::platform::state::{Kept, State};
use codebook::Book;
use reading::sorted;
use serde_json::Value;
use std::rc::Rc;

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
    /// Its text, as it is kept in the notebook; empty for a demonstration book.
    pub text: Rc<str>,
    /// Two devices changed it at the same time: the other text.
    pub clash: Option<Rc<str>>,
}

impl Held {
    /// A book of one's own.
    pub fn own(book: Book, text: &str) -> Self {
        Self {
            book: Rc::new(book),
            demo: false,
            kept: true,
            text: text.into(),
            clash: None,
        }
    }

    /// Whether nothing differs that a page could show.
    fn is_as(&self, other: &Self) -> bool {
        let own = |h: &Self| (h.demo, h.kept, h.text.clone(), h.clash.clone());
        self.id() == other.id() && own(self) == own(other)
    }

    /// The book's id.
    pub fn id(&self) -> &str {
        &self.book.model.id
    }
}

/// All loaded books.
#[derive(Clone, Copy)]
pub struct Shelf {
    /// The books, demonstration books last. A book of one's own stands in the
    /// place of the demonstration book with the same id.
    pub held: State<Vec<Held>>,
    /// Books that are begun and not in use yet: id and name.
    pub drafts: State<Vec<(String, String)>>,
    /// All books have arrived, or can't be had.
    pub ready: State<bool>,
    demo: Kept<Vec<Held>>,
    /// What is still to arrive: the demonstration books, one's own.
    waits: Kept<u32>,
}

impl Shelf {
    /// Fetches the demonstration books. One's own come from the notebook (see
    /// `own`).
    pub fn start() -> Self {
        let shelf = Self {
            held: State::new(Vec::new()),
            drafts: State::new(Vec::new()),
            ready: State::new(false),
            demo: Kept::new(Vec::new()),
            waits: Kept::new(2),
        };
        leptos::task::spawn_local(async move {
            let mut demo = Vec::new();
            // All three are asked for at once, then taken in order.
            for answer in DEMO.map(files::fetch) {
                let book = answer.await.and_then(|b| Book::load(&b).ok());
                if let Some(book) = book {
                    demo.push(Held {
                        demo: true,
                        ..Held::own(book, "")
                    });
                }
            }
            shelf.demo.set_value(demo);
            let own = shelf.own();
            shelf.put_own(own);
            shelf.arrived();
        });
        shelf
    }

    /// One of the two kinds of books is there, or can't be had.
    pub fn arrived(self) {
        self.waits.update_value(|w| *w = w.saturating_sub(1));
        if self.waits.get_value() == 0 && !self.ready.get_untracked() {
            self.ready.set(true);
        }
    }

    /// One's own books.
    pub fn own(self) -> Vec<Held> {
        self.held
            .with_untracked(|all| all.iter().filter(|h| !h.demo).cloned().collect())
    }

    /// Puts one's own books on the shelf, beside the demonstration books.
    pub fn put_own(self, own: Vec<Held>) {
        let mut all = own;
        // As the notebook has them, so that it makes no difference who puts
        // them here.
        sorted::sort_by(&mut all, |a, b| a.id().cmp(b.id()));
        self.demo.with_value(|demo| {
            for d in demo {
                if !all.iter().any(|h| h.id() == d.id()) {
                    all.push(d.clone());
                }
            }
        });
        let same = self.held.with_untracked(|now| {
            now.len() == all.len() && now.iter().zip(&all).all(|(a, b)| a.is_as(b))
        });
        if !same {
            self.held.set(all);
        }
    }

    /// Whether the app comes with a demonstration book of this id.
    pub fn has_demo(self, id: &str) -> bool {
        self.demo.with_value(|d| d.iter().any(|h| h.id() == id))
    }

    /// The books in the order they are tried.
    pub fn books(self) -> Vec<Rc<Book>> {
        self.held
            .with(|all| all.iter().map(|h| h.book.clone()).collect())
    }

    /// The document of a book, without following it.
    pub fn document(self, id: &str) -> Option<Value> {
        self.held.with_untracked(|all| {
            let held = all.iter().find(|h| h.id() == id)?;
            Some(held.book.doc().clone())
        })
    }

    /// One book.
    pub fn find(self, id: &str) -> Option<Held> {
        self.held
            .with(|all| all.iter().find(|h| h.id() == id).cloned())
    }
}
