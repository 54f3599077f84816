//! The reading, taken away: copied, shared, printed.

use super::work::Seen;
use crate::app::App;
use crate::platform::dom::Dom;
use crate::platform::{clipboard, page, share, worker};
use crate::widgets::bits::{button, line, section as part, tag};
use reading::report;
use std::rc::Rc;

/// The buttons.
pub fn section(app: App, seen: &Rc<Seen>) -> Dom {
    let (a, b, c) = (seen.clone(), seen.clone(), seen.clone());
    let mut buttons = vec![
        button("plain", "copy", "Copy as text", move || {
            app.toasts.copy(plain(&a))
        }),
        button("plain", "copy", "Copy for a forum (BBCode)", move || {
            app.toasts.copy(bbcode(&b))
        }),
    ];
    if share::there() {
        buttons.push(button("plain", "share", "Share", move || {
            send(app, plain(&c))
        }));
    }
    buttons.push(button("plain", "print", "Print", page::print));
    let take = part("take", "Take it with you", vec![tag("div", "row", buttons)]);
    let build = "Read with Faultleaf, build ".to_owned() + &worker::build_id().unwrap_or_default();
    Dom::many(vec![
        tag("div", "no-print", vec![take]),
        line("p", "print-only", build),
    ])
}

fn plain(seen: &Seen) -> String {
    report::plain(&seen.outcome.reading, &seen.told)
}

fn bbcode(seen: &Seen) -> String {
    report::bbcode(&seen.outcome.reading, &seen.told)
}

fn send(app: App, text: String) {
    leptos::task::spawn_local(async move {
        if share::text("Fault log reading", &text).await == share::Shared::Refused {
            let done = clipboard::write(&text).await;
            app.toasts.say(if done {
                "Sharing is not possible here. Copied instead."
            } else {
                "Sharing is not possible here."
            });
        }
    });
}
