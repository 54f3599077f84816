//! What the service worker and the loader (`boot.js`) tell the app, and what
//! was shared into it.

use js_sys::Reflect;
use leptos::prelude::{WindowListenerHandle, window_event_listener_untyped};
use wasm_bindgen::{JsCast, JsValue};
use wasm_bindgen_futures::JsFuture;
use web_sys::{Blob, Response};

/// Calls `then` when the loader sends this event to the window.
pub fn on(event: &'static str, then: impl Fn() + 'static) -> WindowListenerHandle {
    window_event_listener_untyped(event, move |_| then())
}

/// A function of the loader, called without arguments.
pub fn call(name: &str) {
    let Some(window) = web_sys::window() else {
        return;
    };
    if let Some(f) = global(name).and_then(|f| f.dyn_into::<js_sys::Function>().ok()) {
        drop(f.call0(&window));
    }
}

/// A value the loader left on the window.
pub fn global(name: &str) -> Option<JsValue> {
    let value = Reflect::get(&JsValue::from(web_sys::window()?), &JsValue::from_str(name)).ok()?;
    if value.is_undefined() || value.is_null() {
        None
    } else {
        Some(value)
    }
}

/// Whether a service worker runs this page, so that it opens offline.
pub fn offline_ready() -> bool {
    web_sys::window().is_some_and(|w| {
        Reflect::get(&w.navigator(), &JsValue::from_str("serviceWorker"))
            .ok()
            .filter(|s| !s.is_undefined())
            .and_then(|s| Reflect::get(&s, &JsValue::from_str("controller")).ok())
            .is_some_and(|c| !c.is_null() && !c.is_undefined())
    })
}

/// What another app shared into this one.
pub enum Payload {
    /// Text, or the contents of a text file.
    Text(String),
    /// A picture.
    Picture(Blob),
}

/// Takes what was shared out of the store where the service worker parked it.
pub async fn shared() -> Option<Payload> {
    let store = web_sys::window()?.caches().ok()?;
    let cache: web_sys::Cache = JsFuture::from(store.open("faultleaf-shared"))
        .await
        .ok()?
        .dyn_into()
        .ok()?;
    let keys: js_sys::Array = JsFuture::from(cache.keys()).await.ok()?.dyn_into().ok()?;
    let mut found = None;
    for key in keys.iter() {
        let request: web_sys::Request = key.dyn_into().ok()?;
        let answer = JsFuture::from(cache.match_with_request(&request))
            .await
            .ok()?;
        if let (None, Ok(answer)) = (&found, answer.dyn_into::<Response>()) {
            found = payload(answer).await;
        }
        drop(JsFuture::from(cache.delete_with_request(&request)).await);
    }
    found
}

async fn payload(answer: Response) -> Option<Payload> {
    let kind = answer
        .headers()
        .get("content-type")
        .ok()
        .flatten()
        .unwrap_or_default();
    let blob: Blob = JsFuture::from(answer.blob().ok()?)
        .await
        .ok()?
        .dyn_into()
        .ok()?;
    if kind.starts_with("image/") {
        return Some(Payload::Picture(blob));
    }
    let bytes = super::files::bytes(&blob).await?;
    Some(Payload::Text(super::files::text(&bytes)))
}

/// The id of this build, as the page carries it.
pub fn build_id() -> Option<String> {
    let meta = leptos::prelude::document()
        .query_selector("meta[name=build]")
        .ok()??;
    meta.get_attribute("content").filter(|id| !id.is_empty())
}
