//! The app: everything a person sees, in the browser, offline.
//!
//! What a log says is worked out in the crates `reading` and `codebook`; this
//! crate only draws it and keeps what was typed. Places are modules of their
//! own, [`widgets`] are the parts they share, and only [`platform`] calls the
//! browser.

mod about;
mod app;
mod backup;
mod bench;
mod books;
mod consoles;
mod platform;
mod read;
mod route;
mod settings;
mod suspects;
mod text;
mod widgets;

fn main() {
    platform::panic::hook();
    app::start();
}
