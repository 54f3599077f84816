//! The clipboard. Reading it needs the person's leave and not every browser
//! has it, so both ways give an answer that the page can put into words.

use super::markup;
use js_sys::Reflect;
use wasm_bindgen::{JsCast, JsValue};
use wasm_bindgen_futures::JsFuture;
use web_sys::{Blob, Clipboard, ClipboardEvent, ClipboardItem};

/// The browser's clipboard, where it has one for this page.
fn clipboard() -> Option<Clipboard> {
    let navigator = web_sys::window()?.navigator();
    let value = Reflect::get(&navigator, &JsValue::from_str("clipboard")).ok()?;
    if value.is_undefined() {
        None
    } else {
        Some(value.unchecked_into())
    }
}

fn can(c: &Clipboard, name: &str) -> bool {
    Reflect::get(c, &JsValue::from_str(name)).is_ok_and(|f| f.is_function())
}

/// The text on the clipboard; tables become rows with tabs between the cells.
pub async fn read() -> Option<String> {
    let c = clipboard()?;
    if can(&c, "read")
        && let Ok(list) = JsFuture::from(c.read()).await
    {
        let list: js_sys::Array = list.unchecked_into();
        for item in list.iter() {
            let item: ClipboardItem = item.unchecked_into();
            let html = part(&item, "text/html").await;
            if let Some(text) = html.and_then(|h| markup::tables(&h)) {
                return Some(text);
            }
            if let Some(text) = part(&item, "text/plain").await {
                return Some(text);
            }
        }
    }

    if can(&c, "readText") {
        return JsFuture::from(c.read_text()).await.ok()?.as_string();
    }
    None
}

/// What is on the clipboard, for a table: the HTML where there is a table in it,
/// else the text. Says which it is.
pub async fn read_rich() -> Option<(String, bool)> {
    let c = clipboard()?;
    if can(&c, "read")
        && let Ok(list) = JsFuture::from(c.read()).await
    {
        let list: js_sys::Array = list.unchecked_into();
        let first = list
            .iter()
            .next()
            .map(JsCast::unchecked_into::<ClipboardItem>);
        if let Some(item) = first {
            let html = part(&item, "text/html").await;
            if let Some(html) = html.filter(|h| markup::looks_like(h)) {
                return Some((html, true));
            }
            if let Some(text) = part(&item, "text/plain").await {
                return Some(source(text));
            }
        }
    }
    if can(&c, "readText") {
        let text = JsFuture::from(c.read_text()).await.ok()?.as_string();
        return text.map(source);
    }
    None
}

/// HTML that was copied as text is HTML all the same.
fn source(text: String) -> (String, bool) {
    let html = markup::looks_like(&text);
    (text, html)
}

/// The same for a paste event.
pub fn rich_in(event: &ClipboardEvent) -> Option<(String, bool)> {
    let data = event.clipboard_data()?;
    let html = data.get_data("text/html").ok();
    if let Some(html) = html.filter(|h| markup::looks_like(h)) {
        return Some((html, true));
    }
    let text = data.get_data("text/plain").ok().filter(|t| !t.is_empty());
    text.map(source)
}

async fn part(item: &ClipboardItem, kind: &str) -> Option<String> {
    let there = item
        .types()
        .iter()
        .any(|t| t.as_string().as_deref() == Some(kind));
    if !there {
        return None;
    }
    let blob: Blob = JsFuture::from(item.get_type(kind))
        .await
        .ok()?
        .unchecked_into();
    JsFuture::from(blob.text()).await.ok()?.as_string()
}

/// Puts text on the clipboard. Gives `false` when the browser refuses.
pub async fn write(text: &str) -> bool {
    match clipboard() {
        Some(c) => JsFuture::from(c.write_text(text)).await.is_ok(),
        None => false,
    }
}

/// The table in a paste event as rows with tabs, when there is one. Any other
/// paste is left to the browser.
pub fn table_in(event: &ClipboardEvent) -> Option<String> {
    let data = event.clipboard_data()?;
    markup::tables(&data.get_data("text/html").ok()?)
}
