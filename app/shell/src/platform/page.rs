//! The window and the document: address, title, focus, timers, printing.

use leptos::prelude::{document, request_animation_frame, window};
use send_wrapper::SendWrapper;
use std::time::Duration;
use wasm_bindgen::{JsCast, JsValue, closure::Closure};
use web_sys::{Element, Event, HtmlDialogElement, HtmlElement, KeyboardEvent, MouseEvent};

/// The path and the query of the page's address.
pub fn address() -> (String, String) {
    let l = window().location();
    (
        l.pathname().unwrap_or_default(),
        l.search().unwrap_or_default(),
    )
}

/// Puts a new address into the history.
pub fn push(address: &str) {
    if let Ok(h) = window().history() {
        drop(h.push_state_with_url(&JsValue::NULL, "", Some(address)));
    }
}

/// Changes the address without a step in the history.
pub fn replace(address: &str) {
    if let Ok(h) = window().history() {
        drop(h.replace_state_with_url(&JsValue::NULL, "", Some(address)));
    }
}

/// The address of this site's link under a plain tap. `None` for taps that
/// belong to the browser: another site, a new tab, a download.
pub fn own_link(event: &MouseEvent) -> Option<String> {
    let other = event.ctrl_key() || event.meta_key() || event.shift_key() || event.alt_key();
    if other || event.button() != 0 || event.default_prevented() {
        return None;
    }
    let target: Element = event.target()?.dyn_into().ok()?;
    let link = target.closest("a[href]").ok()??;
    if link.has_attribute("download") || link.has_attribute("target") {
        return None;
    }
    let href = link.get_attribute("href")?;
    if href.starts_with('/') && !href.starts_with("//") {
        Some(href)
    } else {
        None
    }
}

/// Sets the page's title.
pub fn title(text: &str) {
    document().set_title(text);
}

/// Sets an attribute of the root element, such as the theme.
pub fn root_attribute(name: &str, value: &str) {
    if let Some(root) = document().document_element() {
        drop(root.set_attribute(name, value));
    }
}

/// Moves the focus to the first element that fits, once it is drawn.
pub fn focus(selector: &'static str) {
    focus_first(&[selector]);
}

/// Moves the focus to the first of these that is there, once it is drawn.
pub fn focus_first(selectors: &[&'static str]) {
    let selectors = selectors.to_vec();
    request_animation_frame(move || {
        let found = selectors
            .iter()
            .find_map(|s| document().query_selector(s).ok().flatten());
        if let Some(el) = found.and_then(|e| e.dyn_into::<HtmlElement>().ok()) {
            drop(el.focus());
        }
    });
}

/// Call before a part of the page is drawn anew: what was unfolded in it is
/// unfolded again, and the focus goes back to the element with the same id.
pub fn keep_place() {
    let id = |e: Element| e.id();
    let active = document().active_element();
    let named = active.and_then(|e| e.closest("[id]").ok().flatten());
    let focused = named.map(id).unwrap_or_default();
    let mut open = Vec::new();
    if let Ok(all) = document().query_selector_all("details[id][open]") {
        for n in 0..all.length() {
            let el = all.get(n).and_then(|n| n.dyn_into::<Element>().ok());
            open.extend(el.map(id));
        }
    }
    request_animation_frame(move || {
        let find = |id: &str| document().get_element_by_id(id);
        for el in open.iter().filter_map(|id| find(id)) {
            drop(el.set_attribute("open", ""));
        }
        let lost = document()
            .active_element()
            .is_none_or(|e| e.node_name() == "BODY");
        // A part that can be folded is reached by its line.
        let place = find(&focused).filter(|_| lost);
        let line = place
            .as_ref()
            .and_then(|e| e.query_selector("summary").ok().flatten());
        let place = line
            .or(place)
            .and_then(|e| e.dyn_into::<HtmlElement>().ok());
        if let Some(el) = place {
            drop(el.focus());
        }
    });
}

/// Whether the part with this id is unfolded.
pub fn unfolded(id: &str) -> bool {
    let found = document().get_element_by_id(id);
    found.is_some_and(|e| e.has_attribute("open"))
}

/// Moves the focus to the heading of the page where it is on nothing.
pub fn focus_heading() {
    let lost = document()
        .active_element()
        .is_none_or(|e| e.node_name() == "BODY");
    if lost {
        focus("main h1");
    }
}

/// Goes back, as the browser's own button does.
pub fn back() {
    if let Ok(history) = window().history() {
        drop(history.back());
    }
}

/// Scrolls to the top of the page.
pub fn to_top() {
    window().scroll_to_with_x_and_y(0.0, 0.0);
}

/// Opens a dialog over the page.
pub fn open_dialog(dialog: &HtmlDialogElement) {
    if !dialog.open() {
        drop(dialog.show_modal());
    }
}

/// Prints the page, with everything that is folded opened.
pub fn print() {
    if let Ok(list) = document().query_selector_all("details") {
        for n in 0..list.length() {
            if let Some(el) = list.get(n).and_then(|n| n.dyn_into::<Element>().ok()) {
                drop(el.set_attribute("open", ""));
            }
        }
    }
    drop(window().print());
}

/// Taps an element, such as a hidden file input.
pub fn tap(id: &str) {
    if let Some(el) = document()
        .get_element_by_id(id)
        .and_then(|e| e.dyn_into::<HtmlElement>().ok())
    {
        el.click();
    }
}

/// Does something after some milliseconds.
pub fn later(ms: u64, then: impl FnOnce() + 'static) {
    leptos::prelude::set_timeout(then, Duration::from_millis(ms));
}

/// Does something after the next picture is drawn.
pub fn after_paint(then: impl FnOnce() + 'static) {
    request_animation_frame(move || later(0, then));
}

/// Calls `then` whenever the page may be about to go: hidden, or left.
pub fn on_leaving(then: impl Fn() + Clone + 'static) {
    let hidden = then.clone();
    let check = Closure::<dyn Fn()>::new(move || {
        if document().hidden() {
            hidden();
        }
    });
    let f: &js_sys::Function = check.as_ref().unchecked_ref();
    drop(document().add_event_listener_with_callback("visibilitychange", f));
    check.forget();
    drop(leptos::prelude::window_event_listener_untyped(
        "pagehide",
        move |_| then(),
    ));
}

/// Calls `then` when the page comes back to the front.
pub fn on_return(then: impl Fn() + 'static) {
    std::mem::forget(while_here(then));
}

/// The element the app is drawn into, emptied of what the page showed before
/// the program was there.
pub fn root() -> Option<HtmlElement> {
    let root: HtmlElement = document().get_element_by_id("app")?.dyn_into().ok()?;
    root.set_text_content(None);
    Some(root)
}

/// Calls `then` whenever the page comes back to the front, until what this gives
/// is dropped.
pub fn while_here(then: impl Fn() + 'static) -> Listening {
    listening("visibilitychange", move |_| {
        if !document().hidden() {
            then();
        }
    })
}

/// Calls `then` with the name of each key pressed where nothing of the page
/// takes keys itself, until what this gives is dropped. What gives `true` has
/// used the key.
pub fn while_keys(then: impl Fn(&str) -> bool + 'static) -> Listening {
    listening("keydown", move |event| {
        let Ok(event) = event.dyn_into::<KeyboardEvent>() else {
            return;
        };
        let own = event
            .target()
            .and_then(|t| t.dyn_into::<Element>().ok())
            .and_then(|e| {
                e.closest("a, button, input, select, textarea, summary, dialog")
                    .ok()
            })
            .flatten();
        let other = event.ctrl_key() || event.meta_key() || event.alt_key() || event.repeat();
        if own.is_none() && !other && then(&event.key()) {
            event.prevent_default();
        }
    })
}

/// A handler of the whole document that is taken away when this is dropped.
pub struct Listening(&'static str, SendWrapper<Closure<dyn Fn(Event)>>);

fn listening(name: &'static str, act: impl Fn(Event) + 'static) -> Listening {
    let act = Closure::<dyn Fn(Event)>::new(act);
    drop(document().add_event_listener_with_callback(name, act.as_ref().unchecked_ref()));
    Listening(name, SendWrapper::new(act))
}

impl Drop for Listening {
    fn drop(&mut self) {
        let act = self.1.as_ref().unchecked_ref();
        drop(document().remove_event_listener_with_callback(self.0, act));
    }
}

/// Calls `then` once a second, as long as the part of the page that asked for it
/// is there.
pub fn each_second(then: impl Fn() + 'static) {
    let second = Duration::from_secs(1);
    if let Ok(handle) = leptos::prelude::set_interval_with_handle(then, second) {
        leptos::prelude::on_cleanup(move || handle.clear());
    }
}

/// Brings the element that the address names behind its `#` to the top and gives
/// it the focus, once the page is drawn.
pub fn to_named() {
    let hash = window().location().hash().unwrap_or_default();
    let id = hash.trim_start_matches('#').to_owned();
    if id.is_empty() {
        return;
    }
    // After the focus went to the heading of the page.
    request_animation_frame(move || {
        after_paint(move || {
            let found = document().get_element_by_id(&id);
            if let Some(el) = found.and_then(|e| e.dyn_into::<HtmlElement>().ok()) {
                el.scroll_into_view();
                drop(el.focus());
            }
        });
    });
}
