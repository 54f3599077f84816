//! A photo of a screen or a page, beside the text box it is typed from. It is
//! moved by dragging, zoomed by pinching or by buttons, and never kept.

use crate::app::App;
use crate::platform::dom::{Dom, El};
use crate::platform::{files, page};
use crate::route;
use crate::text;
use crate::widgets::bits::{button, line, tag};
use crate::widgets::zoom::Zoom;
use web_sys::Blob;

/// Shows a picture and goes to it.
pub fn open(app: App, blob: &Blob) {
    let old = app.work.photo.get_untracked();
    if let Some(old) = old {
        files::release(&old);
    }
    app.work.photo.set(files::address(blob));
    app.work.photo_file.set_value(Some(blob.clone()));
    app.work.own_keys.set(true);
}

/// The photo with its buttons, or the button that asks for one.
pub fn panel(app: App) -> Dom {
    let zoom = Zoom::new();
    let body = move || match app.work.photo.get() {
        Some(address) => frame(&address, zoom),
        None => tag(
            "div",
            "",
            vec![
                line("p", "", text::PHOTO_FIRST),
                buttons(app, "Choose or take a photo"),
            ],
        ),
    };
    let input = files::input("photo-file", "image/*", "Photo file", move |file| {
        zoom.fit();
        open(app, &file);
    });
    let section = El::new("section")
        .class("photo")
        .attr("aria-label", "Photo");
    section.kid(Dom::live(body)).kid(input).done()
}

/// Another photo, or none. Below the text box once there is a photo, where it
/// is not in the way.
pub fn buttons(app: App, label: &'static str) -> Dom {
    tag(
        "div",
        "row",
        vec![
            button("plain", "photo", label, || page::tap("photo-file")),
            button("plain", "close", "Close photo", move || close(app)),
        ],
    )
}

fn close(app: App) {
    if let Some(old) = app.work.photo.get_untracked() {
        files::release(&old);
    }
    app.work.photo.set(None);
    app.work.photo_file.set_value(None);
    app.work.own_keys.set(false);
    page::replace("/read");
    route::sync(app.route);
}

fn frame(address: &str, zoom: Zoom) -> Dom {
    let mut tools = zoom.zoom_tools();
    tools.extend(zoom.move_tools());
    Dom::many(vec![
        zoom.frame(address, "Photo of the log"),
        tag("div", "tools", tools),
    ])
}
