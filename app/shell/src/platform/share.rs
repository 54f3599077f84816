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

/// Opens the share sheet. Must be called from a tap.
pub async fn text(title: &str, text: &str) -> Shared {
    let Some(window) = web_sys::window().filter(|_| there()) else {
        return Shared::Refused;
    };
    let data = ShareData::new();
    data.set_title(title);
    data.set_text(text);
    match JsFuture::from(window.navigator().share_with_data(&data)).await {
        Ok(_) => Shared::Done,
        Err(e) => {
            let name = Reflect::get(&e, &JsValue::from_str("name"))
                .ok()
                .and_then(|n| n.as_string());
            if name.as_deref() == Some("AbortError") {
                Shared::Cancelled
            } else {
                Shared::Refused
            }
        }
    }
}
