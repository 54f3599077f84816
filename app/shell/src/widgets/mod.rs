//! Parts that several places share.
//!
//! They are plain functions that take plain values and give an erased view:
//! each is compiled once, which keeps the program small on its way to a phone.

pub mod bits;
pub mod boards;
pub mod segment;
pub mod toast;
pub mod viewer;
pub mod zoom;
