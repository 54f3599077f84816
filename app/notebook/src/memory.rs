//! A store in the memory of this process: for tests, and for browsers that keep
//! nothing. It can be told to fail, so that tests see what then holds.

use crate::store::{Change, Fault, Row, Store};
use std::cell::{Cell, RefCell};
use std::collections::BTreeMap;
use std::ops::Bound;

#[derive(Clone, Debug, Default, PartialEq, Eq)]
struct Held {
    rows: BTreeMap<String, Row>,
    photos: BTreeMap<String, Vec<u8>>,
    facts: BTreeMap<String, String>,
}

/// The store.
#[derive(Debug, Default)]
pub struct Memory {
    held: RefCell<Held>,
    /// Steps of writing that still succeed; `None` for all.
    left: Cell<Option<u32>>,
    with: RefCell<Option<Fault>>,
}

impl Memory {
    /// An empty store.
    pub fn new() -> Self {
        Self::default()
    }

    /// Lets `steps` more steps of writing succeed, then fails with this fault
    /// until it is told otherwise. A change of two rows has four steps: begin,
    /// two rows, commit.
    pub fn fail_after(&self, steps: u32, with: Fault) {
        self.left.set(Some(steps));
        self.with.replace(Some(with));
    }

    /// Ends what [`Memory::fail_after`] began.
    pub fn heal(&self) {
        self.left.set(None);
    }

    /// Puts a text in the place of a record's, as a failing disk would.
    pub fn damage(&self, id: &str, body: &str) {
        if let Some(row) = self.held.borrow_mut().rows.get_mut(id) {
            body.clone_into(&mut row.body);
        }
    }

    fn step(&self) -> Result<(), Fault> {
        match self.left.get() {
            None => Ok(()),
            Some(0) => Err(self.with.borrow().clone().unwrap_or(Fault::Lost)),
            Some(n) => {
                self.left.set(Some(n - 1));
                Ok(())
            }
        }
    }

    fn rows(&self, fits: impl Fn(&Row) -> bool) -> Vec<Row> {
        let held = self.held.borrow();
        held.rows.values().filter(|r| fits(r)).cloned().collect()
    }
}

impl Store for Memory {
    type Photo = Vec<u8>;

    async fn row(&self, id: &str) -> Result<Option<Row>, Fault> {
        Ok(self.held.borrow().rows.get(id).cloned())
    }

    async fn of_kind(&self, kind: &str) -> Result<Vec<Row>, Fault> {
        Ok(self.rows(|r| r.kind == kind))
    }

    async fn of_console(&self, console: &str) -> Result<Vec<Row>, Fault> {
        Ok(self.rows(|r| r.console == console))
    }

    async fn rows_after(&self, after: &str, most: u32) -> Result<Vec<Row>, Fault> {
        let held = self.held.borrow();
        let from = (Bound::Excluded(after.to_owned()), Bound::Unbounded);
        let most = usize::try_from(most).unwrap_or(usize::MAX);
        Ok(held
            .rows
            .range(from)
            .take(most)
            .map(|(_, r)| r.clone())
            .collect())
    }

    async fn count(&self) -> Result<u32, Fault> {
        Ok(u32::try_from(self.held.borrow().rows.len()).unwrap_or(u32::MAX))
    }

    async fn photo(&self, id: &str) -> Result<Option<Vec<u8>>, Fault> {
        Ok(self.held.borrow().photos.get(id).cloned())
    }

    async fn photo_ids(&self) -> Result<Vec<String>, Fault> {
        Ok(self.held.borrow().photos.keys().cloned().collect())
    }

    async fn fact(&self, name: &str) -> Result<Option<String>, Fault> {
        Ok(self.held.borrow().facts.get(name).cloned())
    }

    async fn set_fact(&self, name: &str, value: &str) -> Result<(), Fault> {
        self.step()?;
        let mut held = self.held.borrow_mut();
        held.facts.insert(name.to_owned(), value.to_owned());
        Ok(())
    }

    async fn change(
        &self,
        ids: &[String],
        decide: &mut dyn FnMut(Vec<Option<Row>>) -> Result<Change<Vec<u8>>, Fault>,
    ) -> Result<(), Fault> {
        self.step()?;
        let mut next = self.held.borrow().clone();
        let rows = ids.iter().map(|id| next.rows.get(id).cloned()).collect();
        let change = decide(rows)?;
        for row in change.put {
            self.step()?;
            next.rows.insert(row.id.clone(), row);
        }
        for id in change.drop {
            self.step()?;
            next.rows.remove(&id);
        }
        for (id, photo) in change.photos {
            self.step()?;
            next.photos.insert(id, photo);
        }
        for id in change.drop_photos {
            self.step()?;
            next.photos.remove(&id);
        }
        self.step()?;
        self.held.replace(next);
        Ok(())
    }
}
