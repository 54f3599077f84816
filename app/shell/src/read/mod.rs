//! The read place: paste or type a log, see what it says.
//!
//! The text box comes first. Below it everything is drawn anew from the last
//! [`work::Outcome`]; nothing here decides what a line means.

mod board;
mod check;
mod codes;
mod draft;
mod entries;
mod examples;
mod export;
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
use crate::route::{Route, Way};
use crate::text;
use crate::widgets::bits::nothing;
use leptos::prelude::*;

pub use codes::meaning;

/// The page.
pub fn page(app: App) -> AnyView {
    let sheet = sheet::Sheet::new();
    Effect::new(move |_| {
        if app.route.get() == Route::Read(Way::Shared) {
            shared::take(app);
        }
    });
    let with_photo = Memo::new(move |_| {
        app.work.photo.with(Option::is_some) || app.route.get() == Route::Read(Way::Photo)
    });
    let photo = move || if with_photo.get() { photo::panel(app) } else { nothing() };
    view! {
        <div class="read" class:with-photo=move || with_photo.get()>
            <div class="read-in">
                <h1 tabindex="-1">{text::READ_TITLE}</h1>
                {photo}
                {input::panel(app)}
            </div>
            <div class="read-out">{results::panel(app, sheet)}</div>
        </div>
        {sheet.view(app.work)}
    }
    .into_any()
}
