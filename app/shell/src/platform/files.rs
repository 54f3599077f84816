//! Files from the device and from this site.

use super::dom::{Dom, El};
use js_sys::Uint8Array;
use wasm_bindgen::JsCast;
use wasm_bindgen_futures::JsFuture;
use web_sys::{Blob, File, HtmlInputElement, Response, Url};

/// A file input that is not seen; a button taps it (`page::tap`). It is emptied
/// after each choice, so that the same file can be chosen again.
pub fn input(id: &str, accept: &str, label: &str, chosen: impl Fn(File) + 'static) -> Dom {
    let input = El::new("input")
        .attr("type", "file")
        .attr("id", id)
        .attr("accept", accept)
        .attr("aria-label", label)
        .attr("tabindex", "-1")
        .class("unseen");
    let node: HtmlInputElement = input.node().clone().unchecked_into();
    let take = move |_| {
        let file = node.files().and_then(|list| list.get(0));
        node.set_value("");
        if let Some(file) = file {
            chosen(file);
        }
    };
    input.on("change", take).done()
}

/// All bytes of a file. Reading begins at once, and can be waited for later.
pub fn bytes(blob: &Blob) -> impl Future<Output = Option<Vec<u8>>> + use<> {
    let begun = blob.array_buffer();
    async move {
        let buffer = JsFuture::from(begun).await.ok()?;
        Some(Uint8Array::new(&buffer).to_vec())
    }
}

/// An address under which this page can show the file.
pub fn address(blob: &Blob) -> Option<String> {
    Url::create_object_url_with_blob(blob).ok()
}

/// Gives that address back.
pub fn release(address: &str) {
    drop(Url::revoke_object_url(address));
}

/// A file of this site, asked for at once. Offline it comes from the service
/// worker's store.
pub fn fetch(path: &str) -> impl Future<Output = Option<Vec<u8>>> + use<> {
    let asked = web_sys::window().map(|w| w.fetch_with_str(path));
    async move {
        let answer: Response = JsFuture::from(asked?).await.ok()?.dyn_into().ok()?;
        if !answer.ok() {
            return None;
        }
        let buffer = JsFuture::from(answer.array_buffer().ok()?).await.ok()?;
        Some(Uint8Array::new(&buffer).to_vec())
    }
}

/// The elements of a file of this site that is a JSON list; none if it is not.
pub fn list(bytes: &[u8]) -> Vec<serde_json::Value> {
    match serde_json::from_str(&String::from_utf8_lossy(bytes)) {
        Ok(serde_json::Value::Array(list)) => list,
        _ => Vec::new(),
    }
}

/// The text of a file. UTF-16 files say so with their first two bytes; all
/// others count as UTF-8, and what is not valid in it becomes a mark.
pub fn text(bytes: &[u8]) -> String {
    let units = |make: fn([u8; 2]) -> u16| -> String {
        let pairs = bytes.get(2..).unwrap_or_default().chunks_exact(2);
        let units = pairs.map(|p| {
            make([
                p.first().copied().unwrap_or(0),
                p.last().copied().unwrap_or(0),
            ])
        });
        char::decode_utf16(units)
            .map(|c| c.unwrap_or(char::REPLACEMENT_CHARACTER))
            .collect()
    };
    match bytes {
        [0xFF, 0xFE, ..] => units(u16::from_le_bytes),
        [0xFE, 0xFF, ..] => units(u16::from_be_bytes),
        _ => String::from_utf8_lossy(bytes).into_owned(),
    }
}
