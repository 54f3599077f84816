//! Small helpers around JavaScript values: properties, promises, timers.
//!
//! Requests and transactions of the database tell their end by events. As
//! promises they can be awaited. A transaction stays open while the microtasks
//! after such an event run, and that is where an awaiting function goes on.

use js_sys::{Function, Promise, Reflect, global};
use wasm_bindgen::{JsCast, JsValue};

/// A property that is there. No error is thrown for odd values.
pub fn get(of: &JsValue, name: &str) -> Option<JsValue> {
    let value = Reflect::get(of, &name.into()).ok()?;
    (!value.is_undefined() && !value.is_null()).then_some(value)
}

/// A text property; empty when there is none.
pub fn text(of: &JsValue, name: &str) -> String {
    get(of, name)
        .and_then(|v| v.as_string())
        .unwrap_or_default()
}

/// Calls a method that may be missing.
pub fn call(
    of: &JsValue,
    name: &str,
    a: &JsValue,
    b: &JsValue,
    c: &JsValue,
) -> Result<JsValue, JsValue> {
    let f: Function = Reflect::get(of, &name.into())?.dyn_into()?;
    f.call3(of, a, b, c)
}

/// What comes of a request or a transaction, by the names of its two handlers.
pub fn settled(of: &JsValue, good: &str, bad: &str) -> Promise {
    Promise::new(&mut |resolve, reject| {
        // Objects of the browser take any property.
        drop(Reflect::set(of, &good.into(), &resolve));
        drop(Reflect::set(of, &bad.into(), &reject));
    })
}

/// Calls a function with this word after some milliseconds.
pub fn later(f: &Function, ms: u32, word: &str) {
    drop(call(&global(), "setTimeout", f, &ms.into(), &word.into()));
}

/// Comes true after some milliseconds.
pub fn pause(ms: u32) -> Promise {
    Promise::new(&mut |resolve, _| later(&resolve, ms, ""))
}
