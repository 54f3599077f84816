//! Merging: three devices change the same records in any order and exchange
//! them in any order, also through old copies. What each must then show is
//! worked out beside it, from the changes alone.

#![allow(
    clippy::unwrap_used,
    clippy::indexing_slicing,
    reason = "a test may stop at once"
)]

#[path = "merging/cases.rs"]
mod cases;
#[path = "merging/devices.rs"]
mod devices;
#[path = "merging/hostile.rs"]
mod hostile;
