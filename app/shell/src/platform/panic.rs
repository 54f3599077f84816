//! The last resort: a panic ends in a plain page that `boot.js` draws.
//!
//! After a panic nothing of this program runs any more, so the page is drawn
//! by the loader, which does not depend on it.

use wasm_bindgen::{JsCast, JsValue};

/// Sends every panic to the loader's plain page.
pub fn hook() {
    std::panic::set_hook(Box::new(|info| {
        let message = JsValue::from_str(&info.to_string());
        let Some(window) = web_sys::window() else {
            return;
        };
        let draw = js_sys::Reflect::get(&window, &JsValue::from_str("faultleafPanic"))
            .ok()
            .and_then(|f| f.dyn_into::<js_sys::Function>().ok());
        match draw {
            Some(f) => drop(f.call1(&window, &message)),
            None => web_sys::console::error_1(&message),
        }
    }));
}
