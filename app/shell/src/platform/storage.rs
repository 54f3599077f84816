//! Small things kept on this device: the draft, settings, opened books.
//!
//! Some browsers forbid storage (private windows, blocked cookies, a full
//! disk). Then everything is kept in memory until the page is closed, and
//! [`blocked`] tells so. Nothing here ever throws.

use gloo_storage::{LocalStorage, Storage};
use serde::{Serialize, de::DeserializeOwned};
use std::cell::{Cell, RefCell};
use std::collections::BTreeMap;

thread_local! {
    static MEMORY: RefCell<BTreeMap<String, String>> = const { RefCell::new(BTreeMap::new()) };
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
pub fn get<T: DeserializeOwned>(key: &str) -> Option<T> {
    let held = MEMORY.with_borrow(|m| m.get(key).cloned());
    if let Some(text) = held {
        return serde_json::from_str(&text).ok();
    }
    if usable() {
        LocalStorage::get(key).ok()
    } else {
        None
    }
}

/// Keeps a value. Gives `false` when it is only kept until the page is closed.
pub fn set<T: Serialize>(key: &str, value: &T) -> bool {
    if usable() && LocalStorage::set(key, value).is_ok() {
        MEMORY.with_borrow_mut(|m| m.remove(key));
        return true;
    }
    REFUSED.set(true);
    if let Ok(text) = serde_json::to_string(value) {
        MEMORY.with_borrow_mut(|m| m.insert(key.to_owned(), text));
    }
    false
}

/// Forgets a value.
pub fn remove(key: &str) {
    MEMORY.with_borrow_mut(|m| m.remove(key));
    if usable() {
        LocalStorage::delete(key);
    }
}
