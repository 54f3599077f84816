//! Logs to try. They are invented, like the consoles they come from.

use crate::app::App;
use crate::platform::{files, page};
use crate::text;
use crate::widgets::bits::{button, line, tag};
use leptos::prelude::*;

/// File and what it shows.
const EXAMPLES: [(&str, &str); 4] = [
    ("/examples/orrery.txt", "Orrery: a forum post with a log in it"),
    ("/examples/halyard.txt", "Halyard: a hex dump"),
    ("/examples/tamsin.txt", "Tamsin: a log with dates"),
    ("/examples/slips.txt", "Orrery: typed from a photo, with slips"),
];

/// The list.
pub fn list(app: App, open: RwSignal<bool>) -> AnyView {
    let mut items = vec![line("p", "small", text::DEMO)];
    for (path, label) in EXAMPLES {
        items.push(button("plain wide-button", "example", label, move || take(app, path, open)));
    }
    tag("div", "examples", items)
}

fn take(app: App, path: &'static str, open: RwSignal<bool>) {
    leptos::task::spawn_local(async move {
        match files::fetch(path).await {
            Some(bytes) => {
                open.set(false);
                app.work.opened(String::from_utf8_lossy(&bytes).into_owned());
                page::focus("#summary");
            }
            None => app.toasts.say("This example could not be loaded."),
        }
    });
}
