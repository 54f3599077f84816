//! The read place: paste or type a log, see what it says.
//!
//! The text box comes first. Below it everything is drawn anew from the last
//! [`work::Outcome`]; nothing here decides what a line means.

mod board;
mod check;
mod codes;
mod draft;
mod engine;
mod entries;
mod examples;
mod export;
mod fits;
mod heat;
mod input;
mod keys;
mod marked;
mod photo;
mod results;
mod shared;
mod sheet;
mod steps;
mod timeline;
mod unknown;
mod when;
pub mod work;

use crate::app::App;
use crate::platform::dom::{Dom, El};
use crate::platform::state::effect;
use crate::route::{Route, Way};
use crate::text;
use crate::widgets::bits::{nothing, tag, title};
use leptos::prelude::*;

pub use codes::meaning;

/// The page.
pub fn page(app: App) -> Dom {
    let sheet = sheet::Sheet::new();
    effect(move || {
        if app.route.get() == Route::Read(Way::Shared) {
            shared::take(app);
        }
    });
    let with_photo = Memo::new(move |_| {
        app.work.photo.with(Option::is_some) || app.route.get() == Route::Read(Way::Photo)
    });
    let photo = move || {
        if with_photo.get() {
            photo::panel(app)
        } else {
            nothing()
        }
    };
    let class = move || {
        Some(
            if with_photo.get() {
                "read with-photo"
            } else {
                "read"
            }
            .to_owned(),
        )
    };
    let inputs = vec![title(text::READ_TITLE), Dom::live(photo), input::panel(app)];
    let place = El::new("div").live_attr("class", class).kids(vec![
        tag("div", "read-in", inputs),
        tag("div", "read-out", vec![results::panel(app, sheet)]),
    ]);
    Dom::many(vec![place.done(), sheet.view(app.work)])
}
