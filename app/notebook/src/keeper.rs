//! Saving, deleting, undoing and merging, on top of any [`Store`].

use crate::record::{Data, Key, Record};
use crate::store::{Change, Fault, Row, Store};

/// One thing to save.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Edit {
    /// The record.
    pub id: String,
    /// Its kind, for a new record.
    pub kind: String,
    /// The versions the person saw when the edit began.
    pub seen: Vec<Key>,
    /// The version of this edit that was saved before, to be written over.
    pub amend: Option<Key>,
    /// Delete it.
    pub gone: bool,
    /// What it says now.
    pub data: Data,
}

impl Edit {
    /// A new record.
    pub fn new(id: &str, kind: &str, data: Data) -> Self {
        Self {
            id: id.to_owned(),
            kind: kind.to_owned(),
            data,
            ..Self::default()
        }
    }

    /// An edit of a record that begins with what it says now.
    pub fn of(record: &Record) -> Self {
        let view = record.view();
        Self {
            id: record.id.clone(),
            kind: record.kind.clone(),
            seen: record.seen(),
            amend: None,
            gone: view.gone,
            data: view.data,
        }
    }
}

/// What was saved.
#[derive(Clone, Debug, PartialEq)]
pub struct Saved {
    /// The record as it is kept now. It says more than was saved when somebody
    /// else changed it meanwhile.
    pub record: Record,
    /// The version that was written.
    pub key: Key,
}

/// Saves through a store, in the name of one writer.
#[derive(Debug)]
pub struct Keeper<S> {
    /// Where records are kept.
    pub store: S,
    /// Who writes: the device and this session of it. No two tabs have the same.
    pub by: String,
}

impl<S: Store> Keeper<S> {
    /// Saves edits and photos together, or nothing of them. `now` is in
    /// milliseconds since 1970.
    ///
    /// # Errors
    /// Of the store, and when a record there is too damaged to be read.
    pub async fn save(
        &self,
        edits: &[Edit],
        photos: &[(String, S::Photo)],
        now: i64,
    ) -> Result<Vec<Saved>, Fault> {
        let ids: Vec<String> = edits.iter().map(|e| e.id.clone()).collect();
        let mut saved = Vec::new();
        let mut decide = |rows: Vec<Option<Row>>| {
            saved.clear();
            let mut change = Change::default();
            for (edit, row) in edits.iter().zip(rows) {
                // Two edits of one record go one after the other.
                let earlier = saved.iter().rfind(|s: &&Saved| s.record.id == edit.id);
                let mut record = match (earlier, row) {
                    (Some(earlier), _) => earlier.record.clone(),
                    (None, Some(row)) => row.record(&mut Vec::new()).map_err(Fault::Damaged)?,
                    (None, None) => Record::new(&edit.id, &edit.kind, now),
                };
                let key = record.write(
                    &self.by,
                    now,
                    &edit.seen,
                    edit.amend.as_ref(),
                    edit.gone,
                    edit.data.clone(),
                );
                change.put.push(Row::of(&record));
                saved.push(Saved { record, key });
            }
            change.photos = photos.to_vec();
            Ok(change)
        };
        self.store.change(&ids, &mut decide).await?;
        Ok(saved)
    }

    /// Takes in records from elsewhere: each is merged with the one that is
    /// kept. Damaged rows here are left as they are and their ids given back.
    /// Some hundred records at a time are meant, also for the sake of progress.
    ///
    /// # Errors
    /// Of the store. Nothing is written then.
    pub async fn merge(
        &self,
        records: &[Record],
        photos: &[(String, S::Photo)],
    ) -> Result<Vec<String>, Fault> {
        let ids: Vec<String> = records.iter().map(|r| r.id.clone()).collect();
        let mut left = Vec::new();
        let mut decide = |rows: Vec<Option<Row>>| {
            left.clear();
            let mut change = Change::default();
            for (at, (other, row)) in records.iter().zip(rows).enumerate() {
                let mut record = match row.map(|r| r.record(&mut Vec::new())) {
                    None => other.clone(),
                    Some(Ok(mut own)) => {
                        own.merge(other);
                        own
                    }
                    Some(Err(_)) => {
                        if !left.contains(&other.id) {
                            left.push(other.id.clone());
                        }
                        continue;
                    }
                };
                // The file may have a record twice.
                for earlier in records.iter().take(at).filter(|r| r.id == other.id) {
                    record.merge(earlier);
                }
                change.put.push(Row::of(&record));
            }
            change.photos = photos.to_vec();
            Ok(change)
        };
        self.store.change(&ids, &mut decide).await?;
        Ok(left)
    }

    /// Wipes what deleted records say, and their photos, for good. Records that
    /// came back meanwhile, damaged ones and those that are not there are left.
    ///
    /// # Errors
    /// Of the store. Nothing is written then.
    pub async fn wipe(&self, ids: &[String]) -> Result<(), Fault> {
        let mut decide = |rows: Vec<Option<Row>>| {
            let mut change = Change::default();
            for row in rows.into_iter().flatten() {
                let Ok(mut record) = row.record(&mut Vec::new()) else {
                    continue;
                };
                if record.gone() {
                    record.empty_out();
                    if record.kind == "photo" {
                        change.drop_photos.push(record.id.clone());
                    }
                    // It stays where it was looked for.
                    change.put.push(Row {
                        console: row.console,
                        ..Row::of(&record)
                    });
                }
            }
            Ok(change)
        };
        self.store.change(ids, &mut decide).await
    }
}
