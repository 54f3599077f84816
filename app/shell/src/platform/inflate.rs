//! The packing inside a ZIP file (raw deflate), done by the browser: its own
//! code is there anyway, a crate would be sent to every phone.
//!
//! Old browsers lack it. Then a backup is written without packing, and one that
//! is packed is refused with words.

use super::worker;
use js_sys::{Array, Reflect, Uint8Array};
use wasm_bindgen::{JsCast, JsValue};
use wasm_bindgen_futures::{JsFuture, spawn_local};
use web_sys::{
    Blob, ReadableStream, ReadableStreamDefaultReader, Response, WritableStream,
    WritableStreamDefaultWriter,
};

const CANT: &str = "This browser is too old to unpack it.";
const DAMAGED: &str = "Its packed data is damaged or cut off.";
const TOO_MUCH: &str = "It unpacks to more than it says.";

/// How many bytes are given to the browser at once. All that comes of a piece
/// lies in memory before the first of it is seen, and a byte becomes 1032 at
/// most (zlib's own documentation, from memory): some 17 MB.
const PIECE: u32 = 16_384;

/// Unpacks raw deflate data, of which nothing but the data may be in `blob`.
/// `most` is the number of bytes that may come out: a small file can hold
/// gigabytes of zeros. What comes after the limit is not unpacked.
///
/// # Errors
/// In a sentence: the browser can't do it, the data is damaged or cut off, or
/// more than `most` bytes came out.
pub async fn inflate_raw(blob: &Blob, most: u64) -> Result<Vec<u8>, String> {
    let packed = JsFuture::from(blob.array_buffer())
        .await
        .map_err(|_| DAMAGED)?;
    let stream = through(Uint8Array::new(&packed), "DecompressionStream").ok_or(CANT)?;
    let reader: ReadableStreamDefaultReader = stream.get_reader().unchecked_into();
    let mut out = Vec::new();
    loop {
        let part = JsFuture::from(reader.read()).await.map_err(|_| DAMAGED)?;
        let Ok(chunk) = get(&part, "value").dyn_into::<Uint8Array>() else {
            // The end: a result without a value.
            return Ok(out);
        };
        let before = out.len();
        let after = before + chunk.length() as usize;
        if after as u64 > most {
            // The browser stops unpacking. Its answer is awaited, as an error
            // nobody waits for would be reported as one of the app.
            drop(JsFuture::from(reader.cancel()).await);
            return Err(TOO_MUCH.to_owned());
        }
        out.resize(after, 0);
        if let Some(room) = out.get_mut(before..) {
            chunk.copy_to(room);
        }
    }
}

/// Packs bytes as raw deflate data. `None` where the browser can't.
pub async fn deflate_raw(bytes: &[u8]) -> Option<Blob> {
    let stream = through(Uint8Array::from(bytes), "CompressionStream")?;
    let packed = Response::new_with_opt_readable_stream(Some(&stream)).ok()?;
    let packed = JsFuture::from(packed.blob().ok()?).await.ok()?;
    packed.dyn_into().ok()
}

/// The bytes on their way through one of the browser's packers, which is asked
/// for by name: one that is not there must not stop the program.
fn through(bytes: Uint8Array, packer: &str) -> Option<ReadableStream> {
    let kind: js_sys::Function = worker::global(packer)?.dyn_into().ok()?;
    let how = Array::of1(&JsValue::from_str("deflate-raw"));
    // Some browsers know the packer but not this way of packing.
    let packer = Reflect::construct(&kind, &how).ok()?;
    let entry: WritableStream = get(&packer, "writable").dyn_into().ok()?;
    spawn_local(feed(entry.get_writer().ok()?, bytes));
    get(&packer, "readable").dyn_into().ok()
}

/// Gives the bytes away piece by piece, each when the one before is read. An
/// error ends it; the reader is told of it as well.
async fn feed(entry: WritableStreamDefaultWriter, bytes: Uint8Array) {
    let mut at = 0;
    while at < bytes.length() {
        let end = bytes.length().min(at + PIECE);
        let piece = bytes.subarray(at, end);
        let taken = JsFuture::from(entry.write_with_chunk(&piece)).await;
        if taken.is_err() {
            return;
        }
        at = end;
    }
    drop(JsFuture::from(entry.close()).await);
}

fn get(object: &JsValue, name: &str) -> JsValue {
    Reflect::get(object, &JsValue::from_str(name)).unwrap_or(JsValue::UNDEFINED)
}
