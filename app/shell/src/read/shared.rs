//! What another app shared into this one: the service worker parks it, the
//! read place opens it once.

use crate::app::App;
use crate::platform::{page, worker};

/// Takes the parked share and opens it.
pub fn take(app: App) {
    page::replace("/read");
    leptos::task::spawn_local(async move {
        match worker::shared().await {
            Some(worker::Payload::Text(text)) => app.work.opened(text),
            Some(worker::Payload::Picture(blob)) => super::photo::open(app, &blob),
            None => app
                .toasts
                .say("The shared text did not arrive. Copy it and paste it here."),
        }
    });
}
