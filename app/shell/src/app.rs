//! The frame: navigation, messages, and the place shown now.

use crate::books::shelf::Shelf;
use crate::platform::{page, storage, worker};
use crate::read::work::Work;
use crate::route::{self, Route};
use crate::settings::{self, Settings};
use crate::widgets::bits::{button, icon, line, nothing, tag};
use crate::widgets::toast::Toasts;
use crate::{about, bench, books, consoles, read, text};
use leptos::prelude::*;

/// What all places share. All of it is signals, so it can be copied around.
#[derive(Clone, Copy)]
pub struct App {
    /// The place shown now.
    pub route: RwSignal<Route>,
    /// What the person set.
    pub settings: RwSignal<Settings>,
    /// The code books.
    pub shelf: Shelf,
    /// The text being read.
    pub work: Work,
    /// Short messages.
    pub toasts: Toasts,
    /// A newer version waits.
    pub update: RwSignal<bool>,
    /// The app opens offline.
    pub offline: RwSignal<bool>,
}

/// Draws the app into the page.
pub fn start() {
    let Some(root) = page::root() else { return };
    leptos::mount::mount_to(root, frame).forget();
}

fn frame() -> AnyView {
    let settings = settings::start();
    let shelf = Shelf::start();
    let toasts = Toasts::new();
    let work = Work::start(shelf, toasts);
    let app = App {
        route: route::start(),
        settings,
        shelf,
        work,
        toasts,
        update: RwSignal::new(worker::global("faultleafUpdateWaiting").is_some()),
        offline: RwSignal::new(worker::offline_ready()),
    };
    listen(app);
    // Other ways into the read place (a photo, a share) keep its page as it is.
    let reading = Memo::new(move |_| app.route.with(|r| matches!(r, Route::Read(_))));
    let other = move || match app.route.get() {
        Route::Read(_) => nothing(),
        Route::Consoles => consoles::page(app),
        Route::Books => books::page(app),
        Route::Book(id) => books::detail::page(app, &id),
        Route::Bench => bench::page(app),
        Route::About => about::page(app),
        Route::Lost => lost(),
    };
    view! {
        <a class="skip" href="#main">"Skip to the page"</a>
        {nav(app)}
        <main id="main" tabindex="-1">
            {update_bar(app)}
            {move || if reading.get() { read::page(app) } else { nothing() }}
            {other}
        </main>
        {toasts.view()}
    }
    .into_any()
}

fn listen(app: App) {
    drop(worker::on("faultleaf-update-waiting", move || app.update.set(true)));
    drop(worker::on("faultleaf-offline-ready", move || {
        app.offline.set(true);
        if !app.settings.with_untracked(|s| s.told_offline) {
            app.settings.update(|s| s.told_offline = true);
            app.toasts.say("Ready to work offline");
        }
    }));
    if storage::blocked() {
        app.toasts.stay(text::DRAFT_NOT_KEPT);
    }
}

fn nav(app: App) -> AnyView {
    let items = [
        ("/read", "read", "Read"),
        ("/consoles", "console", "Consoles"),
        ("/books", "book", "Books"),
        ("/bench", "bench", "Bench"),
        ("/about", "about", "About"),
    ];
    let items: Vec<AnyView> = items
        .into_iter()
        .map(|(path, picture, label)| {
            let here = move || app.route.with(|r| (r.place() == path).then_some("page"));
            view! {
                <li><a href=path aria-current=here>{icon(picture)}<span>{label}</span></a></li>
            }
            .into_any()
        })
        .collect();
    view! { <nav class="places" aria-label="Places"><ul>{items}</ul></nav> }.into_any()
}

fn update_bar(app: App) -> AnyView {
    let bar = move || {
        if !app.update.get() {
            return nothing();
        }
        tag("div", "notice", vec![
            icon("info"),
            line("p", "", "A newer version is ready."),
            button("plain", "", "Reload", move || {
                app.work.keep();
                worker::call("faultleafApplyUpdate");
            }),
            button("plain", "", "Later", move || app.update.set(false)),
        ])
    };
    view! { <div role="status" aria-live="polite">{bar}</div> }.into_any()
}

fn lost() -> AnyView {
    view! {
        <h1 tabindex="-1">{text::LOST_TITLE}</h1>
        <p>"This address leads to no page of the app."</p>
        <p><a href="/read">"Read a fault log"</a></p>
    }
    .into_any()
}
