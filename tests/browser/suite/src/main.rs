//! A page that runs the notebook's store in a real browser.
//!
//! It runs the suite of tests that every store must pass, and gives the browser
//! tests (`tests/store.rs` of the crate beside this one) a hand on single
//! databases, so that they can cut, block, fill and kill them. The app itself
//! is not part of it.

#[cfg(target_arch = "wasm32")]
mod cases;
#[cfg(target_arch = "wasm32")]
mod hand;

fn main() {}
