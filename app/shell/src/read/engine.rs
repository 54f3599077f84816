//! When and how the text is read: at once, or a long one in slices with the
//! page alive in between, and then explained.

use super::work::{Outcome, Seen, Work};
use crate::platform::page;
use codebook::Book;
use codebook::model::Layout;
use reading::Session;
use reading::explain::explain;
use std::cell::RefCell;
use std::rc::Rc;

/// Texts over this many bytes are read in slices.
const SLICED: usize = 200_000;
/// Lines read in one slice.
const SLICE: usize = 400;

impl Work {
    pub(super) fn read(self) {
        let turn = self.next_turn();
        self.progress.set(None);
        let text = self.text.get_untracked();
        if text.trim().is_empty() {
            self.outcome.set(None);
            return;
        }
        let Some((reader, books)) = self.reader.get_value() else {
            return;
        };
        if text.len() <= SLICED {
            let reading = reader.read(text.as_bytes());
            self.outcome.set(Some(Rc::new(Outcome {
                text,
                reading,
                books,
            })));
            return;
        }
        let session = reader.start(text.as_bytes());
        // What was read before is not of this text.
        self.outcome.set(None);
        self.progress.set(Some((0, 1)));
        self.slice(turn, Rc::new(RefCell::new(session)), Rc::new((text, books)));
    }

    fn slice(self, turn: u32, session: Rc<RefCell<Session>>, what: Rc<(String, Vec<Rc<Book>>)>) {
        page::later(0, move || {
            if self.turn.get_value() != turn {
                return;
            }
            let p = session.borrow_mut().step(SLICE);
            if !p.finished {
                self.progress.set(Some((p.done, p.total)));
                self.slice(turn, session, what);
                return;
            }
            self.progress.set(None);
            let Some(session) = Rc::into_inner(session).map(RefCell::into_inner) else {
                return;
            };
            let reading = session.finish();
            let (text, books) = (what.0.clone(), what.1.clone());
            self.outcome.set(Some(Rc::new(Outcome {
                text,
                reading,
                books,
            })));
        });
    }

    /// Reads the books' own examples and throws the result away. A browser
    /// compiles a function when it is first called; so this happens while
    /// nobody waits, and not at the first paste.
    pub(super) fn warm_up(self) {
        let Some((reader, books)) = self.reader.get_value() else {
            return;
        };
        if !self.text.with_untracked(String::is_empty) {
            return;
        }
        let mut text = String::new();
        for layout in books.iter().flat_map(|b| &b.model.layouts) {
            text.push_str(match layout {
                Layout::Text(t) => &t.example,
                Layout::Bytes(b) => &b.example,
            });
            text.push('\n');
        }
        let reading = reader.read(text.as_bytes());
        let told = explain(&reading, &books, &|_| None, None);
        let outcome = Rc::new(Outcome {
            text,
            reading,
            books,
        });
        // The result is drawn off the page, too, and thrown away.
        self.warm.set(Some(Rc::new(Seen {
            outcome,
            told,
            console: None,
        })));
    }

    /// Explains what was read; runs again when the board or console changes.
    pub(super) fn explain(self) {
        let Some(outcome) = self.outcome.get() else {
            self.seen.set(None);
            self.below.set(None);
            return;
        };
        let boards = self.boards.get();
        let console = match self.console.get() {
            0 => None,
            n => Some(n),
        };
        let board = |book: &str| boards.get(book).cloned();
        let told = explain(&outcome.reading, &outcome.books, &board, console);
        let seen = Rc::new(Seen {
            outcome,
            told,
            console,
        });
        self.seen.set(Some(seen.clone()));
        page::after_paint(move || {
            let current = self
                .seen
                .with_untracked(|s| s.as_ref().is_some_and(|s| Rc::ptr_eq(s, &seen)));
            if current {
                self.below.set(Some(seen));
            }
        });
    }
}
