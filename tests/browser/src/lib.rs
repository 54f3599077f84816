//! Drives the built app in a real browser, the way a person would: at phone
//! size by touch, or at desktop size.
//!
//! A test is a function that gets a [`Page`]; [`on_phone`] and [`on_desktop`]
//! start a server and a browser of its own for it and clean up afterwards,
//! also when it fails. Then a picture of the page is kept in the shots folder
//! and the browser's log is printed. Tests of one file run one at a time.
//!
//! The site must be built before: `cargo site`, or all at once `cargo verify`.
//! `FAULTLEAF_SITE` names another folder.

mod audit;
mod device;
mod driver;
mod kill;
mod look;
mod page;
mod run;
mod wait;

pub use audit::Finding;
pub use page::Page;
pub use run::{on_desktop, on_phone, site};
pub use serde_json::{Value, json};

/// How a test ends; `?` works on everything here.
pub type Outcome = anyhow::Result<()>;
