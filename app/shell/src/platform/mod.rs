//! The browser, one small module for each of its parts.
//!
//! These are the only modules that call the browser's own interfaces. Each one
//! says what it does where the browser refuses: storage falls back to memory,
//! the clipboard to a hint, sharing to copying.

pub mod caret;
pub mod clipboard;
pub mod clock;
pub mod device;
pub mod dom;
pub mod files;
pub mod inflate;
pub mod markup;
pub mod page;
pub mod panic;
pub mod picture;
pub mod share;
pub mod state;
pub mod storage;
pub mod wake;
pub mod worker;
