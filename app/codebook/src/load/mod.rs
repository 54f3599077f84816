//! Loading: text to JSON, JSON against the schema, the typed model against
//! sense. Each phase lists all of its problems; a later phase runs only when
//! the one before found none.

mod json;
mod read;
mod sense;
mod shape;

use crate::lookup::Index;
use crate::model::{CodeBook, FORMAT};
use crate::problem::{Findings, Problem};
use read::Read;
use serde_json::Value;
pub(crate) use shape::is_hidden;

/// Largest file that is read as a book.
pub const MAX_BYTES: usize = 4 * 1024 * 1024;

/// A code book that was checked in full.
#[derive(Clone, Debug, PartialEq)]
pub struct Book {
    /// What the book says. Looking up uses the table as it was loaded; after
    /// a change make a new book with [`Book::edited`].
    pub model: CodeBook,
    /// What is odd in the book without doing harm, such as keys that this
    /// version does not know.
    pub notes: Vec<Problem>,
    /// The document as it was loaded.
    pub(crate) doc: Value,
    pub(crate) index: Index,
}

impl Book {
    /// Loads a book from JSON. A book with any problem is refused as a whole.
    ///
    /// # Errors
    /// Everything that is wrong, by path and with a hint.
    pub fn load(json: &[u8]) -> Result<Self, Vec<Problem>> {
        Self::from_doc(json::parse(json).map_err(|problem| vec![problem])?)
    }

    /// A book with a changed model. Keys that this version does not know are
    /// carried over.
    ///
    /// # Errors
    /// Everything that is wrong with the changed model.
    pub fn edited(&self, model: &CodeBook) -> Result<Self, Vec<Problem>> {
        Self::from_doc(self.overlay(model))
    }

    /// A book from a JSON document that is in memory already, such as an
    /// editor's draft. The limits on size and depth of [`Book::load`] are those
    /// of reading text; a draft is held to them when it is written and loaded.
    ///
    /// # Errors
    /// Everything that is wrong, by path and with a hint.
    pub fn of(doc: Value) -> Result<Self, Vec<Problem>> {
        Self::from_doc(doc)
    }

    /// The document as it was loaded.
    #[must_use]
    pub fn doc(&self) -> &Value {
        &self.doc
    }

    fn from_doc(doc: Value) -> Result<Self, Vec<Problem>> {
        let mut found = Findings::default();
        if let Some(other) = doc.get("format").filter(|f| f.is_u64() && **f != FORMAT) {
            let message =
                format!("this book is of format {other}; only format {FORMAT} can be read");
            found.problem("format", message, "a newer version of the app may read it");
            return Err(found.into_problems());
        }
        shape::check(&doc, &mut found);
        if !found.problems.is_empty() {
            return Err(found.into_problems());
        }
        let model = CodeBook::read(Some(&doc));
        sense::check(&model, &mut found);
        if !found.problems.is_empty() {
            return Err(found.into_problems());
        }
        let index = Index::new(&model);
        Ok(Self {
            model,
            notes: found.notes,
            doc,
            index,
        })
    }
}
