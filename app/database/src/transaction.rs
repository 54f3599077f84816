//! Transactions: begun, filled, ended, and tried once more when the connection
//! turns out to be lost.
//!
//! Between its begin and its end nothing else is awaited than its own requests:
//! a transaction with nothing to do commits itself.

use crate::connection::{Database, fault};
use crate::script::{call, get, pause, settled};
use js_sys::{Array, Object, Promise, Reflect};
use notebook::Fault;
use wasm_bindgen::{JsCast, JsValue};
use wasm_bindgen_futures::JsFuture;
use web_sys::{IdbDatabase, IdbObjectStore, IdbRequest, IdbTransaction};

/// Wait before the database is opened once more, in milliseconds.
const PAUSE_MS: u32 = 250;

/// Gets answers and makes the requests that write.
type Answer<'a> = dyn FnMut(&IdbTransaction, Vec<JsValue>) -> Result<(), Fault> + 'a;

/// What is done in a transaction.
pub struct Work<'a> {
    /// The stores it touches; none for all there are.
    pub stores: &'a [&'a str],
    /// Whether it writes.
    pub write: bool,
    /// Makes the requests whose answers it needs.
    pub ask: &'a dyn Fn(&IdbTransaction) -> Result<Vec<IdbRequest>, JsValue>,
    /// Gets the answers, and makes the requests that write. With an error
    /// nothing is written.
    pub answer: &'a mut Answer<'a>,
}

impl Database {
    /// Does the work, again if the connection is lost. What was written is on
    /// the disk when this comes back, as far as the browser tells.
    pub(crate) async fn work(&self, mut work: Work<'_>) -> Result<(), Fault> {
        let mut again = true;
        loop {
            let done = match self.connect().await {
                Ok((db, number)) => {
                    let done = transact(&db, &mut work).await;
                    if done == Err(Fault::Lost) {
                        db.close();
                        self.forget(number);
                    }
                    done
                }
                Err(fault) => {
                    if again && fault == Fault::Lost {
                        // A page that was left while it made the database is
                        // still giving up; at once, it would fail again.
                        drop(JsFuture::from(pause(PAUSE_MS)).await);
                    }
                    Err(fault)
                }
            };
            if done != Err(Fault::Lost) || !again {
                return done;
            }
            again = false;
        }
    }

    /// The answer to one request.
    pub(crate) async fn read(
        &self,
        store: &str,
        ask: &dyn Fn(&IdbObjectStore) -> Result<IdbRequest, JsValue>,
    ) -> Result<JsValue, Fault> {
        let mut answer = JsValue::UNDEFINED;
        self.work(Work {
            stores: &[store],
            write: false,
            ask: &|tx| Ok(vec![ask(&tx.object_store(store)?)?]),
            answer: &mut |_, mut found| {
                answer = found.pop().unwrap_or_default();
                Ok(())
            },
        })
        .await?;
        Ok(answer)
    }
}

async fn transact(db: &IdbDatabase, work: &mut Work<'_>) -> Result<(), Fault> {
    let tx = begin(db, work).map_err(|e| fault(&e))?;
    let ended = JsFuture::from(settled(&tx, "oncomplete", "onabort"));
    let asked = (work.ask)(&tx).map_err(|e| fault(&e))?;
    if !asked.is_empty() {
        let answers: Array = asked
            .iter()
            .map(|request| settled(request, "onsuccess", "onerror"))
            .collect();
        if let Err(event) = JsFuture::from(Promise::all(&answers)).await {
            let error = get(&event, "target").and_then(|request| get(&request, "error"));
            return Err(fault(&error.unwrap_or_default()));
        }
    }
    let answers = asked.iter().map(|r| r.result().unwrap_or_default());
    if let Err(fault) = (work.answer)(&tx, answers.collect()) {
        drop(tx.abort());
        return Err(fault);
    }
    if work.write {
        // Where there is no `commit`, it commits itself a little later.
        let none = JsValue::UNDEFINED;
        drop(call(&tx, "commit", &none, &none, &none));
        if ended.await.is_err() {
            return Err(fault(&get(&tx, "error").unwrap_or_default()));
        }
    }
    Ok(())
}

/// Writes are wanted on the disk, not just handed to the system: phones die.
/// `web-sys` has no such transaction yet.
fn begin(db: &IdbDatabase, work: &Work<'_>) -> Result<IdbTransaction, JsValue> {
    let stores: JsValue = if work.stores.is_empty() {
        db.object_store_names().into()
    } else {
        let names: Array = work.stores.iter().map(|s| JsValue::from_str(s)).collect();
        names.into()
    };
    let how = Object::new();
    drop(Reflect::set(&how, &"durability".into(), &"strict".into()));
    let mode = if work.write { "readwrite" } else { "readonly" };
    Ok(call(db, "transaction", &stores, &mode.into(), &how)?.unchecked_into())
}
