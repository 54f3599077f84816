//! The suite that every store of the notebook must pass, on this browser's
//! database.

use database::Database;
use js_sys::{Array, Uint8Array};
use notebook::suite;
use wasm_bindgen::prelude::*;
use wasm_bindgen_futures::JsFuture;
use web_sys::Blob;

/// Runs all cases. Gives one line for each: its name and `ok`, or what is wrong.
#[wasm_bindgen]
pub async fn run() -> Vec<String> {
    let open = |name: &str| std::future::ready(Database::new(name, |_| {}));
    let cases = suite::run(open, blob, bytes).await;
    cases
        .into_iter()
        .map(|(name, outcome)| match outcome {
            Ok(()) => name + ": ok",
            Err(why) => name + ": " + &why,
        })
        .collect()
}

fn blob(bytes: &[u8]) -> Blob {
    let parts = Array::of1(&Uint8Array::from(bytes));
    // No browser refuses bytes.
    Blob::new_with_u8_array_sequence(&parts).unwrap_or_else(|e| wasm_bindgen::throw_val(e))
}

async fn bytes(blob: Blob) -> Vec<u8> {
    match JsFuture::from(blob.array_buffer()).await {
        Ok(buffer) => Uint8Array::new(&buffer).to_vec(),
        Err(e) => wasm_bindgen::throw_val(e),
    }
}
