//! The device's share sheet.

use js_sys::Reflect;
use wasm_bindgen::JsValue;
use wasm_bindgen_futures::JsFuture;
use web_sys::ShareData;

/// Whether the browser has a share sheet.
pub fn there() -> bool {
    web_sys::window().is_some_and(|w| {
        Reflect::get(&w.navigator(), &JsValue::from_str("share")).is_ok_and(|f| f.is_function())
    })
}

/// What came of it.
#[derive(Clone, Copy, PartialEq, Eq)]
pub enum Shared {
    /// Handed over.
    Done,
    /// The person closed the sheet.
    Cancelled,
    /// The browser can't or won't.
    Refused,
}

/// Opens the share sheet with a text. Must be called from a tap.
pub async fn text(title: &str, text: &str) -> Shared {
    let data = ShareData::new();
    data.set_title(title);
    data.set_text(text);
    send(&data).await
}

/// Opens the share sheet. Must be called from a tap.
pub async fn send(data: &ShareData) -> Shared {
    let Some(window) = web_sys::window().filter(|_| there()) else {
        return Shared::Refused;
    };
    match JsFuture::from(window.navigator().share_with_data(data)).await {
        Ok(_) => Shared::Done,
        Err(e) => {
            if error_name(&e) == "AbortError" {
                Shared::Cancelled
            } else {
                Shared::Refused
            }
        }
    }
}

/// The name by which the browser tells its errors apart; empty for none.
pub fn error_name(error: &JsValue) -> String {
    Reflect::get(error, &JsValue::from_str("name"))
        .ok()
        .and_then(|n| n.as_string())
        .unwrap_or_default()
}
