//! The screen is kept on, and a phone is made to shake, as far as the browser
//! lets the app do so.
//!
//! `web-sys` has both only as unstable interfaces, so they are called by name.
//! (W3C Screen Wake Lock; W3C Vibration API.)

use super::page;
use super::state::{Kept, State};
use js_sys::{Function, Promise, Reflect};
use leptos::prelude::{on_cleanup, window};
use wasm_bindgen::{JsCast, JsValue};
use wasm_bindgen_futures::JsFuture;

/// Whether the screen stays on.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Awake {
    /// Not known yet.
    #[default]
    Asked,
    /// It does.
    On,
    /// The browser refused, as with a low battery.
    Refused,
    /// The browser can't do it.
    Unknown,
}

fn get(of: &JsValue, name: &str) -> Option<JsValue> {
    let value = Reflect::get(of, &name.into()).ok()?;
    (!value.is_undefined() && !value.is_null()).then_some(value)
}

fn call(of: &JsValue, name: &str, given: &JsValue) -> Option<JsValue> {
    let f: Function = get(of, name)?.dyn_into().ok()?;
    f.call1(of, given).ok()
}

/// Keeps the screen on as long as this part of the page is there. The browser
/// lets go when the page is hidden, so it is asked again when it comes back.
pub fn keep_on() -> State<Awake> {
    let state = State::new(Awake::Asked);
    let held: Kept<JsValue> = Kept::new(JsValue::UNDEFINED);
    let ask = move || {
        leptos::task::spawn_local(async move {
            let lock = get(&window().navigator(), "wakeLock");
            let promise = lock.and_then(|l| call(&l, "request", &"screen".into()));
            let Some(promise) = promise.and_then(|p| p.dyn_into::<Promise>().ok()) else {
                state.try_set(Awake::Unknown);
                return;
            };
            match JsFuture::from(promise).await {
                Ok(sentinel) => {
                    if state.try_set(Awake::On).is_some() {
                        // The page is gone meanwhile.
                        drop(call(&sentinel, "release", &JsValue::UNDEFINED));
                    } else {
                        held.set_value(sentinel);
                    }
                }
                Err(_) => drop(state.try_set(Awake::Refused)),
            }
        });
    };
    ask();
    let back = page::while_here(move || {
        if state.try_get_untracked().is_some() {
            ask();
        }
    });
    on_cleanup(move || {
        drop(back);
        if let Some(sentinel) = held.try_get_value() {
            drop(call(&sentinel, "release", &JsValue::UNDEFINED));
        }
    });
    state
}

/// Shakes the phone three times, where it can.
pub fn shake() {
    let pattern: js_sys::Array = [400, 200, 400, 200, 400]
        .into_iter()
        .map(JsValue::from)
        .collect();
    drop(call(&window().navigator(), "vibrate", &pattern));
}
