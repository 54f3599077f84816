//! What the browser tests can do with a database from a script.
//!
//! A fault comes as a rejected promise with the fault's name, such as `Full`.

use database::{Channel, Database, Event, schema};
use notebook::{Change, Fault, Row, Store};
use std::cell::RefCell;
use std::rc::Rc;
use wasm_bindgen::prelude::*;
use wasm_bindgen_futures::JsFuture;
use web_sys::Blob;

/// The steps of an app that is one version newer.
const NEWER: &[(u32, schema::Step)] = &[
    (1, schema::Step::Store(schema::RECORDS, Some("id"))),
    (1, schema::Step::Index(schema::RECORDS, "kind")),
    (1, schema::Step::Index(schema::RECORDS, "console")),
    (1, schema::Step::Store(schema::PHOTOS, None)),
    (1, schema::Step::Store(schema::FACTS, None)),
    (2, schema::Step::Index(schema::RECORDS, "place")),
    (2, schema::Step::Store("places", None)),
];

/// A database, as the app uses it.
#[wasm_bindgen]
pub struct Hand {
    database: Database,
    events: Rc<RefCell<Vec<String>>>,
}

// Printing for debugging is left out of programs for the browser.
fn thrown(fault: Fault) -> JsValue {
    match fault {
        Fault::Full => "Full".into(),
        Fault::Blocked => "Blocked".into(),
        Fault::Newer => "Newer".into(),
        Fault::Lost => "Lost".into(),
        Fault::Forbidden => "Forbidden".into(),
        Fault::Damaged(trouble) => trouble.why.into(),
        Fault::Other(text) => text.into(),
    }
}

fn told(event: Event) -> String {
    match event {
        Event::NewerElsewhere => "NewerElsewhere",
        Event::Blocked => "Blocked",
        Event::Unblocked => "Unblocked",
    }
    .to_owned()
}

fn shown(rows: Vec<Row>) -> Vec<String> {
    rows.into_iter()
        .map(|r| format!("{}|{}|{}|{}", r.id, r.kind, r.console, r.body))
        .collect()
}

#[wasm_bindgen]
impl Hand {
    /// The database of this name, in this version of the app or in the next.
    #[wasm_bindgen(constructor)]
    pub fn new(name: &str, newer: bool) -> Self {
        let steps = if newer { NEWER } else { schema::STEPS };
        let events = Rc::new(RefCell::new(Vec::new()));
        let heard = Rc::clone(&events);
        let database = Database::with_steps(name, steps, move |event: Event| {
            heard.borrow_mut().push(told(event));
        });
        Self { database, events }
    }

    /// Saves in one change: rows with this text, a photo of it, and without
    /// these other rows.
    ///
    /// # Errors
    /// The name of the fault.
    pub async fn save(
        &self,
        ids: Vec<String>,
        text: String,
        drop: Vec<String>,
    ) -> Result<(), JsValue> {
        let parts = js_sys::Array::of1(&JsValue::from_str(&text));
        let photo = Blob::new_with_str_sequence(&parts)?;
        let mut decide = |rows: Vec<Option<Row>>| {
            Ok(Change {
                put: ids
                    .iter()
                    .zip(rows)
                    .map(|(id, row)| Row {
                        id: id.clone(),
                        kind: row.map_or_else(|| "note".to_owned(), |r| r.kind),
                        console: "c".to_owned(),
                        body: text.clone(),
                    })
                    .collect(),
                drop: drop.clone(),
                photos: vec![("photo".to_owned(), photo.clone())],
                drop_photos: Vec::new(),
            })
        };
        let done = self.database.change(&ids, &mut decide).await;
        done.map_err(thrown)
    }

    /// All rows, as `id|kind|console|body`.
    ///
    /// # Errors
    /// The name of the fault.
    pub async fn rows(&self) -> Result<Vec<String>, JsValue> {
        let rows = self.database.rows_after("", 1000).await;
        rows.map(shown).map_err(thrown)
    }

    /// The rows of a kind.
    ///
    /// # Errors
    /// The name of the fault.
    pub async fn of_kind(&self, kind: String) -> Result<Vec<String>, JsValue> {
        let rows = self.database.of_kind(&kind).await;
        rows.map(shown).map_err(thrown)
    }

    /// The text the photo was made of.
    ///
    /// # Errors
    /// The name of the fault.
    pub async fn photo(&self) -> Result<JsValue, JsValue> {
        match self.database.photo("photo").await.map_err(thrown)? {
            Some(blob) => JsFuture::from(blob.text()).await,
            None => Ok(JsValue::NULL),
        }
    }

    /// Looks whether the connection stands.
    ///
    /// # Errors
    /// The name of the fault.
    pub async fn probe(&self) -> Result<(), JsValue> {
        self.database.probe().await.map_err(thrown)
    }

    /// Deletes everything.
    ///
    /// # Errors
    /// The name of the fault.
    pub async fn wipe(&self) -> Result<(), JsValue> {
        self.database.wipe().await.map_err(thrown)
    }

    /// What the person was told so far.
    pub fn events(&self) -> Vec<String> {
        self.events.borrow().clone()
    }
}

/// The answers of `persist`, `persisted` and `estimate`, as text; `none` where
/// there is none.
#[wasm_bindgen]
pub async fn device() -> Vec<String> {
    let yes = |answer: Option<bool>| answer.map(|yes| yes.to_string());
    let room = database::estimate().await;
    let answers = [
        yes(database::persist().await),
        yes(database::persisted().await),
        room.map(|(used, quota)| used.to_string() + " of " + &quota.to_string()),
    ];
    answers
        .map(|a| a.unwrap_or_else(|| "none".to_owned()))
        .into()
}

/// Says a word to all other pages.
#[wasm_bindgen]
pub fn say(word: &str) {
    Channel::default().say(word);
}

/// Calls a function with every word other pages say.
#[wasm_bindgen]
pub fn hear(then: js_sys::Function) {
    Channel::default().on(move |word| {
        drop(then.call1(&JsValue::UNDEFINED, &word.into()));
    });
}
