//! The consoles. The notebook is not built yet; this page says so, and shows
//! the log that is kept until then.

use crate::app::App;
use crate::platform::dom::Dom;
use crate::text;
use crate::widgets::bits::{button, icon, line, link, nothing, tag, title};
use leptos::prelude::*;

/// The page.
pub fn page(app: App) -> Dom {
    let draft = move || {
        let text = app.work.text.get();
        if text.trim().is_empty() {
            return line("p", "", "There is no log on this device at the moment.");
        }
        let short: String = text.chars().take(600).collect();
        let cut = if short.len() < text.len() {
            line("p", "small", "Only the beginning is shown.")
        } else {
            nothing()
        };
        let summary = app.work.seen.with(|s| {
            s.as_ref()
                .map(|s| s.told.summary.clone())
                .unwrap_or_default()
        });
        tag(
            "div",
            "",
            vec![
                line("p", "summary", summary),
                line("pre", "log-pre", short),
                cut,
                button("plain", "copy", "Copy the log", move || copy(app)),
            ],
        )
    };
    let more = link(
        "",
        "/read",
        vec![Dom::text("Go to the reading, to copy, share or print it")],
    );
    Dom::many(vec![
        title(text::CONSOLES_TITLE),
        tag(
            "p",
            "note",
            vec![icon("info"), line("span", "", text::CONSOLES_NOT_YET)],
        ),
        line("h2", "", "The log on this device"),
        Dom::live(draft),
        tag("p", "", vec![more]),
    ])
}

fn copy(app: App) {
    let text = app.work.text.get_untracked();
    leptos::task::spawn_local(async move {
        let done = crate::platform::clipboard::write(&text).await;
        app.toasts.say(if done {
            "Copied"
        } else {
            "The browser does not let this page copy."
        });
    });
}
