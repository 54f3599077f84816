//! How the app becomes something a phone can install.
//!
//! The steps are one module each, and most are pure: bytes in, bytes out, so
//! that they can be tested without a browser. [`site::build`] puts them
//! together, [`server`] serves the result with the headers that any host
//! should send, and [`verify::run`] runs every check of the project.
//! The browser tests use the server and the site from here, so they test what
//! is shipped.

pub mod assets;
pub mod budget;
pub mod command;
pub mod compress;
pub mod debian;
pub mod demo;
pub mod headers;
pub mod icons;
pub mod image;
pub mod manifest;
pub mod page;
pub mod pins;
pub mod places;
pub mod request;
pub mod server;
pub mod site;
pub mod step;
pub mod styles;
pub mod suite;
pub mod toolchain;
pub mod verify;
pub mod wasm;
pub mod worker;
