//! Reading: text of any kind in, a [`Reading`] out.
//!
//! Any bytes give a reading; reading never fails. Every physical line of the
//! paste is in exactly one class. The paste itself is never changed: an entry
//! keeps its `raw` text, and `clean` differs from it only by recorded changes.
//! No layout is known here; all come from code books.
//!
//! The phases, in order, each in its module: decode bytes (`decode`), fold
//! characters (`fold`), strip wrappers (`markup`), recognise lines (`scan`,
//! `matcher`) and dumps (`dump`, `frame`, `blocks`), join wrapped lines
//! (`join`), propose and decide guesses (`slips`, `options`, `decide`), read
//! values (`values`, `dates`), drop repeats and tell consoles apart (`group`),
//! order (`order`), put it together (`assemble`).

mod assemble;
pub mod bare;
mod blocks;
mod byte_item;
pub mod calendar;
mod dates;
mod decide;
mod decode;
mod dump;
pub mod explain;
mod fold;
mod frame;
mod group;
mod item;
mod join;
pub mod lookup;
mod markup;
mod matcher;
mod mentions;
mod options;
mod order;
mod plan;
pub mod report;
pub mod result;
mod scan;
mod session;
mod slips;
pub mod sorted;
mod text_item;
pub mod typing;
mod unknown;
mod values;
mod view;

use codebook::Book;
use std::rc::Rc;

pub use result::Reading;
pub use session::{Limits, Progress, Session};

/// Reads pastes with a set of code books.
#[derive(Clone)]
pub struct Reader {
    plans: Rc<scan::Plans>,
    limits: Limits,
}

impl Reader {
    /// A reader for these books. All their layouts compete for every paste.
    #[must_use]
    pub fn new(books: Vec<Rc<Book>>) -> Self {
        Self {
            plans: Rc::new(scan::Plans::new(books)),
            limits: Limits::default(),
        }
    }

    /// The same reader with other limits.
    #[must_use]
    pub fn with_limits(mut self, limits: Limits) -> Self {
        self.limits = limits;
        self
    }

    /// Reads a paste in one go.
    #[must_use]
    pub fn read(&self, paste: &[u8]) -> Reading {
        self.start(paste).finish()
    }

    /// Begins to read a paste in steps.
    #[must_use]
    pub fn start(&self, paste: &[u8]) -> Session {
        Session::new(Rc::clone(&self.plans), paste, self.limits)
    }
}
