//! The notebook: what a person keeps about consoles, jobs and everything done
//! to them, for years.
//!
//! A [`Record`] is one thing written down (a console, a job, a measurement) with
//! all its former versions. What fields a kind of record has stands in one
//! table, [`kinds`]; forms, search, print, export and the check of old data all
//! follow it. [`Keeper`] saves through a [`Store`], which is either the memory
//! of this process ([`Memory`]) or the browser's database.
//!
//! Nothing here reads a clock or draws a random number: times, days and ids are
//! handed in.

pub mod backup;
pub mod csv;
pub mod dates;
mod descent;
pub mod history;
mod json;
mod keeper;
pub mod kinds;
pub mod look;
pub mod measure;
mod memory;
mod record;
pub mod search;
mod store;
#[cfg(feature = "suite")]
pub mod suite;
pub mod tell;
pub mod timeline;
mod view;

pub use json::Trouble;
pub use keeper::{Edit, Keeper, Saved};
pub use memory::Memory;
pub use record::{Data, Key, Record, Version};
pub use store::{Change, Fault, Row, Store};
pub use view::{Item, View, filled, text};
