//! What the browser says about this site's room on the device.

use crate::script::get;
use js_sys::{Function, Promise, global};
use wasm_bindgen::{JsCast, JsValue};
use wasm_bindgen_futures::JsFuture;

/// Asks the browser to keep the notebook also when room is short. Some ask the
/// person, so this belongs into a tap that saves something. `None`: this
/// browser has no answer.
pub async fn persist() -> Option<bool> {
    storage("persist").await?.as_bool()
}

/// Whether the browser keeps the notebook also when room is short.
pub async fn persisted() -> Option<bool> {
    storage("persisted").await?.as_bool()
}

/// How much this site uses, and how much it may, in bytes.
pub async fn estimate() -> Option<(f64, f64)> {
    let found = storage("estimate").await?;
    let number = |name| get(&found, name).and_then(|v| v.as_f64());
    Some((number("usage")?, number("quota")?))
}

/// Calls a method of `navigator.storage`, which is missing in old browsers and
/// on pages that are not secure.
async fn storage(method: &str) -> Option<JsValue> {
    let storage = get(&get(&global(), "navigator")?, "storage")?;
    let method: Function = get(&storage, method)?.dyn_into().ok()?;
    let answer = method.call0(&storage).ok()?;
    JsFuture::from(Promise::resolve(&answer)).await.ok()
}
