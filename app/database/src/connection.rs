//! One connection to the database, opened when it is first needed, shared by
//! all, and opened again when the browser drops it.
//!
//! An attempt to open is never thrown away while another tab blocks it: it
//! comes through as soon as that tab is closed. Meanwhile callers wait some
//! seconds, and later ones don't wait at all.

use crate::schema::{self, Step};
use crate::script::{get, later, settled, text};
use js_sys::{Array, Function, Promise, global};
use notebook::Fault;
use std::cell::{Cell, RefCell};
use std::rc::Rc;
use wasm_bindgen::{JsCast, JsValue, closure::Closure};
use wasm_bindgen_futures::JsFuture;
use web_sys::{
    EventTarget, IdbDatabase, IdbFactory, IdbObjectStoreParameters, IdbOpenDbRequest,
    IdbVersionChangeEvent,
};

/// How long callers wait for another tab to give way, in milliseconds.
const BLOCKED_MS: u32 = 4_000;
/// How long they wait for a browser that does not answer at all.
const SILENT_MS: u32 = 8_000;

/// What the person should be told.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Event {
    /// Another tab opened the notebook with a newer version of the app. This
    /// page can't save any more: it has to be loaded again.
    NewerElsewhere,
    /// Another tab holds an older version of the notebook open: it has to be
    /// closed.
    Blocked,
    /// That tab was closed.
    Unblocked,
}

/// The notebook's database. Copies share one connection.
///
/// It lives as long as the page: the browser's handlers hold on to it.
#[derive(Clone)]
pub struct Database(Rc<Inner>);

struct Inner {
    name: String,
    steps: &'static [(u32, Step)],
    tell: Box<dyn Fn(Event)>,
    attempt: RefCell<Option<Attempt>>,
    last: Cell<u32>,
    blocked: Cell<bool>,
}

/// An attempt to open the database, under way or successful.
#[derive(Clone)]
struct Attempt {
    number: u32,
    request: IdbOpenDbRequest,
    opening: Promise,
    /// Comes true, with a word for the reason, when nobody should wait any more.
    given_up: Promise,
    give_up: Function,
    hear: JsValue,
}

impl Database {
    /// The database of this name. Nothing is opened before it is needed. `tell`
    /// is called when the person has to do something.
    pub fn new(name: &str, tell: impl Fn(Event) + 'static) -> Self {
        Self::with_steps(name, schema::STEPS, tell)
    }

    /// A database with other steps than the app's: for tests of upgrades.
    pub fn with_steps(
        name: &str,
        steps: &'static [(u32, Step)],
        tell: impl Fn(Event) + 'static,
    ) -> Self {
        Self(Rc::new(Inner {
            name: name.to_owned(),
            steps,
            tell: Box::new(tell),
            attempt: RefCell::default(),
            last: Cell::new(0),
            blocked: Cell::new(false),
        }))
    }

    /// The open connection, and its number.
    pub(crate) async fn connect(&self) -> Result<(IdbDatabase, u32), Fault> {
        let held = self.0.attempt.borrow().clone();
        let attempt = match held {
            Some(attempt) => attempt,
            None => self.open()?,
        };
        // The first of the two that is there already comes first here as well.
        let either = Promise::race(&Array::of2(&attempt.opening, &attempt.given_up));
        match JsFuture::from(either).await {
            Ok(word) if word == "blocked" => Err(Fault::Blocked),
            Ok(word) if word.is_string() => {
                self.forget(attempt.number);
                Err(Fault::Lost)
            }
            Ok(_) => match attempt.request.result() {
                Ok(db) => Ok((db.unchecked_into(), attempt.number)),
                Err(e) => Err(fault(&e)),
            },
            Err(_) => {
                self.forget(attempt.number);
                let error = get(&attempt.request, "error").unwrap_or_default();
                Err(match text(&error, "name").as_str() {
                    // Some browsers open nothing in private windows.
                    "InvalidStateError" => Fault::Forbidden,
                    _ => fault(&error),
                })
            }
        }
    }

    /// Lets the next caller open anew, if this is still the newest attempt.
    pub(crate) fn forget(&self, number: u32) {
        self.0
            .attempt
            .borrow_mut()
            .take_if(|attempt| attempt.number == number);
    }

    fn open(&self) -> Result<Attempt, Fault> {
        let factory: IdbFactory = get(&global(), "indexedDB")
            .ok_or(Fault::Forbidden)?
            .unchecked_into();
        let request = factory
            .open_with_u32(&self.0.name, schema::version(self.0.steps))
            .map_err(|_| Fault::Forbidden)?;
        let number = self.0.last.get().wrapping_add(1);
        self.0.last.set(number);
        let own = self.clone();
        let hear = Closure::<dyn FnMut(IdbVersionChangeEvent)>::new(move |event| {
            own.heard(number, &event);
        })
        .into_js_value();
        // Before the promise's own handlers, so that callers find all done.
        listen(&request, &["upgradeneeded", "blocked", "success"], &hear);
        let opening = settled(&request, "onsuccess", "onerror");
        let mut give_up = JsValue::UNDEFINED;
        let given_up = Promise::new(&mut |resolve, _| give_up = resolve.into());
        let give_up: Function = give_up.unchecked_into();
        later(&give_up, SILENT_MS, "silent");
        let attempt = Attempt {
            number,
            request,
            opening,
            given_up,
            give_up,
            hear,
        };
        self.0.attempt.replace(Some(attempt.clone()));
        Ok(attempt)
    }

    fn current(&self, number: u32) -> Option<Attempt> {
        let held = self.0.attempt.borrow();
        held.as_ref().filter(|a| a.number == number).cloned()
    }

    /// All events of a request to open, and later of the connection.
    fn heard(&self, number: u32, event: &IdbVersionChangeEvent) {
        let Some(target) = event.target() else { return };
        let tell = &self.0.tell;
        match event.type_().as_str() {
            "upgradeneeded" => {
                let request: IdbOpenDbRequest = target.unchecked_into();
                if let Some(tx) = request.transaction()
                    && upgrade(&tx.db(), &tx, self.0.steps).is_err()
                {
                    drop(tx.abort());
                }
            }
            "blocked" => {
                self.0.blocked.set(true);
                if let Some(attempt) = self.current(number) {
                    later(&attempt.give_up, BLOCKED_MS, "blocked");
                }
                tell(Event::Blocked);
            }
            "success" => {
                let Ok(db) = target.unchecked_into::<IdbOpenDbRequest>().result() else {
                    return;
                };
                let db: IdbDatabase = db.unchecked_into();
                match self.current(number) {
                    Some(attempt) => listen(&db, &["versionchange", "close"], &attempt.hear),
                    // Too late, nobody waits for this one any more.
                    None => db.close(),
                }
                if self.0.blocked.replace(false) {
                    tell(Event::Unblocked);
                }
            }
            "versionchange" => {
                // Running transactions are still brought to their end.
                target.unchecked_into::<IdbDatabase>().close();
                self.forget(number);
                // No new version: the database is being deleted.
                if event.new_version().is_some() {
                    tell(Event::NewerElsewhere);
                }
            }
            _ => self.forget(number),
        }
    }
}

fn listen(target: &EventTarget, names: &[&str], hear: &JsValue) {
    for name in names {
        drop(target.add_event_listener_with_callback(name, hear.unchecked_ref()));
    }
}

/// Makes what is missing. Nothing is ever taken away.
fn upgrade(
    db: &IdbDatabase,
    tx: &web_sys::IdbTransaction,
    steps: &[(u32, Step)],
) -> Result<(), JsValue> {
    for (_, step) in steps {
        match step {
            Step::Store(name, key) => {
                if !db.object_store_names().contains(name) {
                    let how = IdbObjectStoreParameters::new();
                    if let Some(key) = key {
                        how.set_key_path(&(*key).into());
                    }
                    db.create_object_store_with_optional_parameters(name, &how)?;
                }
            }
            Step::Index(store, field) => {
                let store = tx.object_store(store)?;
                if !store.index_names().contains(field) {
                    store.create_index_with_str(field, field)?;
                }
            }
        }
    }
    Ok(())
}

/// What the browser's error means for the notebook.
pub(crate) fn fault(error: &JsValue) -> Fault {
    let name = text(error, "name");
    match name.as_str() {
        "QuotaExceededError" => Fault::Full,
        "VersionError" => Fault::Newer,
        "SecurityError" => Fault::Forbidden,
        // What browsers say of a connection that is closed, was cut by the
        // system, or has lost its server; nothing at all for an abort from
        // outside.
        "InvalidStateError" | "UnknownError" | "AbortError" | "" => Fault::Lost,
        _ => Fault::Other(name + ": " + &text(error, "message")),
    }
}
