//! Readings of one console become one history: the true number of new entries is
//! always the answer or among the ones told as possible.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::indexing_slicing,
    clippy::cast_possible_truncation,
    missing_docs
)]

#[path = "history/cases.rs"]
mod cases;
#[path = "history/demo.rs"]
mod demo;
#[path = "history/make.rs"]
mod make;
#[path = "history/overlap.rs"]
mod overlap;
#[path = "history/size.rs"]
mod size;
#[path = "history/truth.rs"]
mod truth;
