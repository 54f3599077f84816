//! The notebook's place in the browser: the only code that opens IndexedDB.
//!
//! [`Database`] is a [`notebook::Store`]. What goes wrong on real phones is
//! dealt with here and nowhere else: connections that the system cuts while the
//! app is in the background, other tabs with an older or a newer version, a
//! full device, browsers that keep nothing.
//!
//! It talks to the browser through `web-sys`. Two crates would have saved some
//! of that work. `rexie` opens a database through the builder of `idb`, which
//! deletes every store that its list does not name when it upgrades, and which
//! gives no word when another tab blocks or upgrades; a notebook can't stand on
//! that. `idb` without its builder can do what is needed, all but `durability`
//! and the reason why a transaction was aborted, but it makes the program twice
//! as much larger: the same store written with it (0.6.5) added 14.9 kB to a
//! small program, this one 7.4 kB (wasm, brotli, with the packager's settings).

pub mod schema;

#[cfg(target_arch = "wasm32")]
mod channel;
#[cfg(target_arch = "wasm32")]
mod connection;
#[cfg(target_arch = "wasm32")]
mod device;
#[cfg(target_arch = "wasm32")]
mod rows;
#[cfg(target_arch = "wasm32")]
mod script;
#[cfg(target_arch = "wasm32")]
mod store;
#[cfg(target_arch = "wasm32")]
mod transaction;

#[cfg(target_arch = "wasm32")]
pub use channel::Channel;
#[cfg(target_arch = "wasm32")]
pub use connection::{Database, Event};
#[cfg(target_arch = "wasm32")]
pub use device::{estimate, persist, persisted};
