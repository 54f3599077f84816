//! The database as a store of the notebook.

use crate::connection::{Database, fault};
use crate::rows::Fields;
use crate::schema::{FACTS, PHOTOS, RECORDS};
use crate::transaction::Work;
use js_sys::Array;
use notebook::{Change, Fault, Row, Store};
use wasm_bindgen::{JsCast, JsValue};
use web_sys::{Blob, IdbKeyRange, IdbObjectStore, IdbRequest, IdbTransaction};

impl Store for Database {
    type Photo = Blob;

    async fn row(&self, id: &str) -> Result<Option<Row>, Fault> {
        let value = self.read(RECORDS, &|s| s.get(&id.into())).await?;
        Ok(Fields::new().row(&value))
    }

    async fn rows(&self, ids: &[String]) -> Result<Vec<Option<Row>>, Fault> {
        let fields = Fields::new();
        let mut rows = Vec::new();
        self.work(Work {
            stores: &[RECORDS],
            write: false,
            ask: &|tx| ask_for(tx, ids),
            answer: &mut |_, found| {
                rows = found.iter().map(|v| fields.row(v)).collect();
                Ok(())
            },
        })
        .await?;
        Ok(rows)
    }

    async fn of_kind(&self, kind: &str) -> Result<Vec<Row>, Fault> {
        self.by("kind", kind).await
    }

    async fn of_console(&self, console: &str) -> Result<Vec<Row>, Fault> {
        self.by("console", console).await
    }

    async fn rows_after(&self, after: &str, most: u32) -> Result<Vec<Row>, Fault> {
        // The browser takes a limit of none for no limit.
        if most == 0 {
            return Ok(Vec::new());
        }
        let ask = |s: &IdbObjectStore| {
            let range = IdbKeyRange::lower_bound_with_open(&after.into(), true)?;
            s.get_all_with_key_and_limit(&range, most)
        };
        Ok(Fields::new().rows(self.read(RECORDS, &ask).await?))
    }

    async fn count(&self) -> Result<u32, Fault> {
        let count = self.read(RECORDS, &|s| s.count()).await?;
        Ok(count.as_f64().unwrap_or_default() as u32)
    }

    async fn photo(&self, id: &str) -> Result<Option<Blob>, Fault> {
        let value = self.read(PHOTOS, &|s| s.get(&id.into())).await?;
        Ok(value.dyn_into().ok())
    }

    async fn photo_ids(&self) -> Result<Vec<String>, Fault> {
        let list: Array = self
            .read(PHOTOS, &|s| s.get_all_keys())
            .await?
            .unchecked_into();
        Ok(list.iter().filter_map(|id| id.as_string()).collect())
    }

    async fn fact(&self, name: &str) -> Result<Option<String>, Fault> {
        let value = self.read(FACTS, &|s| s.get(&name.into())).await?;
        Ok(value.as_string())
    }

    async fn set_fact(&self, name: &str, value: &str) -> Result<(), Fault> {
        self.work(Work {
            stores: &[FACTS],
            write: true,
            ask: &|_| Ok(Vec::new()),
            answer: &mut |tx, _| {
                let put = tx
                    .object_store(FACTS)
                    .and_then(|s| s.put_with_key(&value.into(), &name.into()));
                put.map(drop).map_err(|e| fault(&e))
            },
        })
        .await
    }

    async fn change(
        &self,
        ids: &[String],
        decide: &mut dyn FnMut(Vec<Option<Row>>) -> Result<Change<Blob>, Fault>,
    ) -> Result<(), Fault> {
        let fields = Fields::new();
        self.work(Work {
            stores: &[RECORDS, PHOTOS],
            write: true,
            ask: &|tx| ask_for(tx, ids),
            answer: &mut |tx, found| {
                let change = decide(found.iter().map(|v| fields.row(v)).collect())?;
                write(tx, &fields, ids, &found, &change).map_err(|e| fault(&e))
            },
        })
        .await
    }
}

impl Database {
    async fn by(&self, index: &str, key: &str) -> Result<Vec<Row>, Fault> {
        let ask = |s: &IdbObjectStore| s.index(index)?.get_all_with_key(&key.into());
        Ok(Fields::new().rows(self.read(RECORDS, &ask).await?))
    }

    /// Sees whether the connection still stands, and opens it again if not. To
    /// be called when the page becomes visible: systems cut connections of
    /// pages in the background.
    ///
    /// # Errors
    /// When the database can't be opened.
    pub async fn probe(&self) -> Result<(), Fault> {
        self.read(FACTS, &|s| s.get(&"".into())).await.map(drop)
    }

    /// Deletes everything, stores that this app does not know included.
    ///
    /// # Errors
    /// As for any change. Then nothing is deleted.
    pub async fn wipe(&self) -> Result<(), Fault> {
        self.work(Work {
            stores: &[],
            write: true,
            ask: &|_| Ok(Vec::new()),
            answer: &mut |tx, _| {
                let names = tx.object_store_names();
                for name in (0..names.length()).filter_map(|n| names.item(n)) {
                    let cleared = tx.object_store(&name).and_then(|s| s.clear());
                    cleared.map_err(|e| fault(&e))?;
                }
                Ok(())
            },
        })
        .await
    }
}

fn ask_for(tx: &IdbTransaction, ids: &[String]) -> Result<Vec<IdbRequest>, JsValue> {
    let records = tx.object_store(RECORDS)?;
    ids.iter().map(|id| records.get(&id.into())).collect()
}

fn write(
    tx: &IdbTransaction,
    fields: &Fields,
    ids: &[String],
    found: &[JsValue],
    change: &Change<Blob>,
) -> Result<(), JsValue> {
    let records = tx.object_store(RECORDS)?;
    for row in &change.put {
        let at = ids.iter().position(|id| *id == row.id);
        let before = at.and_then(|at| found.get(at));
        records.put(&fields.value(row, before))?;
    }
    for id in &change.drop {
        records.delete(&id.into())?;
    }
    let photos = tx.object_store(PHOTOS)?;
    for (id, photo) in &change.photos {
        photos.put_with_key(photo, &id.into())?;
    }
    for id in &change.drop_photos {
        photos.delete(&id.into())?;
    }
    Ok(())
}
