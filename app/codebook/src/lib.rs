//! The code book: layouts, codes, steps and boards of one console family, as
//! data.
//!
//! A book is a JSON document (`FORMAT.md` tells how to write one by hand).
//! [`Book::load`] checks all of it and either gives a [`Book`] or lists every
//! [`Problem`]; nothing is ever half-loaded. This crate reads no clock, no file
//! and no network.

pub mod checksum;
pub mod compare;
mod load;
mod lookup;
pub mod model;
pub mod often;
mod problem;
mod save;
pub mod schema;
pub mod text_form;
mod words;

pub use load::{Book, MAX_BYTES};
pub use lookup::{Found, PartFound, matches as fits};
pub use problem::{Problem, path_of};
pub use save::{in_order, print};
