//! Where records are kept: what every place to keep them must do.
//!
//! Two places keep records, the memory of this process ([`crate::Memory`], for
//! tests and for browsers that keep nothing) and the browser's database (in the
//! shell). Both pass the same suite of tests.

use crate::json::Trouble;
use crate::record::Record;
use crate::view::text;

/// A record as it is kept: its text, and beside it what is looked up by.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Row {
    /// The record's id.
    pub id: String,
    /// Its kind.
    pub kind: String,
    /// The id of the console it belongs to; a console's own id for itself.
    pub console: String,
    /// The record as JSON.
    pub body: String,
}

impl Row {
    /// The row of a record.
    pub fn of(record: &Record) -> Self {
        let console = if record.kind == "console" {
            record.id.clone()
        } else {
            match record.heads().as_slice() {
                // Most have no second head. A view would copy all they say.
                [one] if !one.gone => text(&one.data, "console").to_owned(),
                _ => record.view().text("console").to_owned(),
            }
        };
        Self {
            id: record.id.clone(),
            kind: record.kind.clone(),
            console,
            body: record.to_json().to_string(),
        }
    }

    /// The record in it.
    ///
    /// # Errors
    /// When the text is damaged so far that there is no record in it. Smaller
    /// damage goes to `trouble`.
    pub fn record(&self, trouble: &mut Vec<Trouble>) -> Result<Record, Trouble> {
        let mut own = Vec::new();
        let found = Record::from_text(&self.body, &mut own).and_then(|r| {
            if r.id == self.id {
                Ok(r)
            } else {
                Err(Trouble {
                    id: self.id.clone(),
                    why: "The record carries another id than its place in the notebook.".to_owned(),
                })
            }
        });
        trouble.extend(own);
        found.map_err(|mut t| {
            t.id.clone_from(&self.id);
            t
        })
    }
}

/// Why something could not be kept or found.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Fault {
    /// The device gives no more room.
    Full,
    /// Another tab holds an older version of the notebook open.
    Blocked,
    /// The notebook was written by a newer version of the app.
    Newer,
    /// The browser cut the connection to its database, also at a second try.
    Lost,
    /// This browser keeps nothing for this page.
    Forbidden,
    /// The record there is damaged, so it is not written over.
    Damaged(Trouble),
    /// Anything else, in the browser's words.
    Other(String),
}

/// What is written at once: all of it or nothing.
#[derive(Clone, Debug)]
pub struct Change<P> {
    /// Rows to put, in the place of those with the same id.
    pub put: Vec<Row>,
    /// Ids of rows to take away for good.
    pub drop: Vec<String>,
    /// Photos to put, by id.
    pub photos: Vec<(String, P)>,
    /// Ids of photos to take away for good.
    pub drop_photos: Vec<String>,
}

impl<P> Default for Change<P> {
    fn default() -> Self {
        Self {
            put: Vec::new(),
            drop: Vec::new(),
            photos: Vec::new(),
            drop_photos: Vec::new(),
        }
    }
}

/// A place where records are kept.
#[allow(
    async_fn_in_trait,
    reason = "one thread only, in the browser and in tests"
)]
pub trait Store {
    /// A photo's file: bytes in memory, a blob in the browser.
    type Photo: Clone;

    /// One row.
    async fn row(&self, id: &str) -> Result<Option<Row>, Fault>;
    /// The rows with these ids, one entry an id, in the same order. A place that
    /// is slow to ask does it at once.
    async fn rows(&self, ids: &[String]) -> Result<Vec<Option<Row>>, Fault> {
        let mut rows = Vec::new();
        for id in ids {
            rows.push(self.row(id).await?);
        }
        Ok(rows)
    }
    /// All rows of a kind, in the order of their ids.
    async fn of_kind(&self, kind: &str) -> Result<Vec<Row>, Fault>;
    /// All rows of a console, its own too, in the order of their ids.
    async fn of_console(&self, console: &str) -> Result<Vec<Row>, Fault>;
    /// Up to `most` rows whose ids come after `after`, in the order of ids. An
    /// empty `after` begins at the first.
    async fn rows_after(&self, after: &str, most: u32) -> Result<Vec<Row>, Fault>;
    /// How many rows there are.
    async fn count(&self) -> Result<u32, Fault>;
    /// One photo.
    async fn photo(&self, id: &str) -> Result<Option<Self::Photo>, Fault>;
    /// The ids of all photos, in order.
    async fn photo_ids(&self) -> Result<Vec<String>, Fault>;
    /// A small fact about this notebook on this device, such as when the last
    /// backup was made.
    async fn fact(&self, name: &str) -> Result<Option<String>, Fault>;
    /// Keeps such a fact.
    async fn set_fact(&self, name: &str, value: &str) -> Result<(), Fault>;

    /// Reads the rows with these ids and writes what `decide` makes of them, in
    /// one transaction: nobody else writes in between, and when it gives an
    /// error or the process dies, nothing is written. When it comes back
    /// without an error the change is on the disk, as far as the place can
    /// tell.
    ///
    /// `decide` gets one entry an id, in the same order. It may be called again
    /// when the first try failed, so it has to give the same change then.
    async fn change(
        &self,
        ids: &[String],
        decide: &mut dyn FnMut(Vec<Option<Row>>) -> Result<Change<Self::Photo>, Fault>,
    ) -> Result<(), Fault>;
}
