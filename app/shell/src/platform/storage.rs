//! Small things kept on this device: the draft, settings, opened books.
//!
//! Some browsers forbid storage (private windows, blocked cookies, a full
//! disk). Then everything is kept in memory until the page is closed, and
//! [`blocked`] tells so. Nothing here ever throws. All values are JSON, read
//! field by field where they are used: code made by serde for each type would
//! be several KB of program for each.

use gloo_storage::{LocalStorage, Storage};
use serde_json::{Map, Value};
use std::cell::{Cell, RefCell};

thread_local! {
    static MEMORY: RefCell<Map<String, Value>> = RefCell::new(Map::new());
    static REFUSED: Cell<bool> = const { Cell::new(false) };
}

/// Whether the browser has a storage to use. `LocalStorage` itself would throw
/// where it is forbidden, so this must be asked first.
fn usable() -> bool {
    let there = web_sys::window()
        .and_then(|w| w.local_storage().ok().flatten())
        .is_some();
    if !there {
        REFUSED.set(true);
    }
    there
}

/// Whether anything could not be kept on the device since the page was opened.
pub fn blocked() -> bool {
    usable();
    REFUSED.get()
}

/// What was kept under this key.
pub fn get(key: &str) -> Option<Value> {
    let held = MEMORY.with_borrow(|m| m.get(key).cloned());
    if held.is_some() {
        return held;
    }
    if usable() {
        LocalStorage::get(key).ok()
    } else {
        None
    }
}

/// An object that was kept under this key; an empty one if there is none.
pub fn object(key: &str) -> Map<String, Value> {
    match get(key) {
        Some(Value::Object(all)) => all,
        _ => Map::new(),
    }
}

/// Keeps a value. Gives `false` when it is only kept until the page is closed.
pub fn set(key: &str, value: &Value) -> bool {
    if usable() && LocalStorage::set(key, value).is_ok() {
        MEMORY.with_borrow_mut(|m| m.remove(key));
        return true;
    }
    REFUSED.set(true);
    MEMORY.with_borrow_mut(|m| m.insert(key.to_owned(), value.clone()));
    false
}

/// Forgets a value.
pub fn remove(key: &str) {
    MEMORY.with_borrow_mut(|m| m.remove(key));
    if usable() {
        LocalStorage::delete(key);
    }
}
