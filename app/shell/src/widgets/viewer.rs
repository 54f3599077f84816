//! A photo of the notebook over the whole screen, to read the small print of a
//! board. There is one viewer; it shows one photo at a time.
//!
//! It is a modal dialog, so that the browser keeps the focus in it, closes it
//! with Esc or the back gesture, and gives the focus back.

use super::bits::{button, nothing, tag};
use super::zoom::Zoom;
use crate::platform::dom::{Dom, El};
use crate::platform::state::{Kept, State};
use crate::platform::{files, page};
use wasm_bindgen::JsCast;
use web_sys::{Blob, HtmlDialogElement};

/// The viewer, closed or open.
#[derive(Clone, Copy)]
pub struct Viewer {
    address: State<Option<String>>,
    caption: Kept<String>,
    zoom: Zoom,
    dialog: Kept<Option<HtmlDialogElement>>,
}

impl Viewer {
    /// Closed.
    pub fn new() -> Self {
        Self {
            address: State::new(None),
            caption: Kept::new(String::new()),
            zoom: Zoom::new(),
            dialog: Kept::new(None),
        }
    }

    /// Opens a photo. The caption is shown below it and names it; without one
    /// it is called "Photo".
    pub fn show(self, blob: &Blob, caption: &str) {
        self.let_go();
        let Some(address) = files::address(blob) else {
            return;
        };
        let caption = caption.trim();
        let caption = if caption.is_empty() { "Photo" } else { caption };
        self.zoom.fit();
        self.caption.set_value(caption.to_owned());
        self.address.set(Some(address));
        // Once all is in its place: the first part of it gets the focus.
        page::after_paint(move || {
            if let Some(dialog) = self.dialog.get_value() {
                page::open_dialog(&dialog);
            }
        });
    }

    /// Closes it. Another place of the app may do so as well.
    pub fn close(self) {
        if let Some(dialog) = self.dialog.get_value() {
            dialog.close();
        }
    }

    /// The photo's memory is given back.
    fn let_go(self) {
        if let Some(address) = self.address.get_untracked() {
            files::release(&address);
        }
        self.address.set(None);
    }

    /// The dialog itself; it stands once in the frame of the app.
    pub fn view(self) -> Dom {
        let dialog = El::new("dialog")
            .class("viewer")
            .attr("aria-labelledby", "viewer-caption")
            .on("close", move |_| self.let_go())
            .on("keydown", move |e| self.zoom.key(e.unchecked_ref()));
        self.dialog.set_value(dialog.node().clone().dyn_into().ok());
        let inside = move || self.address.get().map_or_else(nothing, |a| self.inside(&a));
        dialog.kid(Dom::live(inside)).done()
    }

    fn inside(self, address: &str) -> Dom {
        let caption = self.caption.get_value();
        let words = El::new("p").attr("id", "viewer-caption").text(&caption);
        let mut tools = self.zoom.zoom_tools();
        tools.push(button("plain", "close", "Close", move || self.close()));
        tools.extend(self.zoom.move_tools());
        Dom::many(vec![
            self.zoom.frame(address, &caption),
            words.done(),
            tag("div", "tools", tools),
        ])
    }
}
