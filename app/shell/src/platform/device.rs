//! What only the device can tell or do: chance, the clock, and handing files
//! over to other apps.
//!
//! The notebook itself is pure; ids, times and days come from here.

use super::share::{self, Shared};
use super::{files, page, worker};
use js_sys::{Array, Date, Math, Uint8Array};
use leptos::prelude::{document, window};
use wasm_bindgen::{JsCast, JsValue};
use web_sys::{Blob, BlobPropertyBag, File, FilePropertyBag, HtmlElement, ShareData};

/// 32 letters and digits. Those that look alike in print are left out, as an id
/// may be read from paper: i and l (like 1), o (like 0), u (like v).
const LETTERS: &[u8; 32] = b"0123456789abcdefghjkmnpqrstvwxyz";

/// A new id for a record: 16 of [`LETTERS`], 80 bits of chance. Two devices
/// that write a million records each meet by chance once in 10^12 notebooks
/// (n^2 / 2^81).
pub fn random_id() -> String {
    let mut bytes = [0; 16];
    let filled = window()
        .crypto()
        .and_then(|c| c.get_random_values_with_u8_array(&mut bytes).map(drop));
    if filled.is_err() {
        for byte in &mut bytes {
            *byte = poor_chance();
        }
    }
    let letter = |b: &u8| LETTERS.get(usize::from(b & 31)).copied().unwrap_or(b'0');
    bytes.iter().map(|b| char::from(letter(b))).collect()
}

/// Chance that is good enough for an id where the browser has no better one.
#[allow(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "between 0 and 255"
)]
fn poor_chance() -> u8 {
    (Math::random() * 255.99) as u8
}

/// Milliseconds since 1970, UTC.
#[allow(
    clippy::cast_possible_truncation,
    reason = "a whole number far below the limit"
)]
pub fn now_ms() -> i64 {
    Date::now() as i64
}

/// Today on this device's calendar, `2026-03-12`.
pub fn today() -> String {
    let d = Date::new_0();
    let two = |n: u32| (if n < 10 { "-0" } else { "-" }).to_owned() + &n.to_string();
    d.get_full_year().to_string() + &two(d.get_month() + 1) + &two(d.get_date())
}

/// Bytes as a file of this media type.
pub fn blob(bytes: &[u8], kind: &str) -> Option<Blob> {
    let options = BlobPropertyBag::new();
    options.set_type(kind);
    let parts = Array::of1(&Uint8Array::from(bytes));
    Blob::new_with_u8_array_sequence_and_options(&parts, &options).ok()
}

/// Saves a file under this name, as the browser does with downloads. The
/// installed app on an iPhone may show it instead and offer its own share
/// sheet; [`share_file`] is the better way there.
pub fn download(name: &str, blob: &Blob) {
    let Some(address) = files::address(blob) else {
        return;
    };
    let link = document().create_element("a");
    if let Some(link) = link.ok().and_then(|a| a.dyn_into::<HtmlElement>().ok()) {
        drop(link.set_attribute("href", &address));
        drop(link.set_attribute("download", name));
        link.click();
    }
    // Some browsers fetch the file only after the tap is over.
    page::later(60_000, move || files::release(&address));
}

/// How a file left the app.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Sent {
    /// Another app took it.
    Shared,
    /// The person closed the share sheet. Nothing was sent.
    Cancelled,
    /// It was saved as a download, as the share sheet did not take it.
    Downloaded,
}

/// Whether the share sheet takes a file of this name and type. Browsers have
/// lists: text files are on them, `.json` is not, `.zip` on few.
pub fn can_share(name: &str, blob: &Blob) -> bool {
    offer(name, blob).is_some()
}

/// Hands a file to another app. Where the share sheet does not take it, or the
/// tap is too long ago, the file is saved as a download instead. The person is
/// to be told which it was.
pub async fn share_file(name: &str, blob: &Blob) -> Sent {
    let told = match offer(name, blob) {
        Some(offer) => share::send(&offer).await,
        None => Shared::Refused,
    };
    match told {
        Shared::Done => Sent::Shared,
        Shared::Cancelled => Sent::Cancelled,
        Shared::Refused => {
            download(name, blob);
            Sent::Downloaded
        }
    }
}

/// The file as the share sheet wants it, when it wants it.
fn offer(name: &str, blob: &Blob) -> Option<ShareData> {
    let navigator = worker::global("navigator")?;
    let asked = js_sys::Reflect::get(&navigator, &JsValue::from_str("canShare")).ok()?;
    if !asked.is_function() || !share::there() {
        return None;
    }
    let options = FilePropertyBag::new();
    options.set_type(&blob.type_());
    let file = File::new_with_blob_sequence_and_options(&Array::of1(blob), name, &options).ok()?;
    let offer = ShareData::new();
    offer.set_files(&Array::of1(&file));
    window()
        .navigator()
        .can_share_with_data(&offer)
        .then_some(offer)
}
