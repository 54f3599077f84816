//! The frame: navigation, messages, and the place shown now.

use crate::books::make::Make;
use crate::books::receive::Received;
use crate::books::shelf::Shelf;
use crate::consoles::notes::Notes;
use crate::platform::dom::{Dom, El};
use crate::platform::state::State;
use crate::platform::{page, storage, worker};
use crate::read::work::Work;
use crate::route::{self, Route};
use crate::settings::{self, Settings};
use crate::widgets::bits::{button, icon, line, link, nothing, spoken, tag, title};
use crate::widgets::toast::Toasts;
use crate::widgets::viewer::Viewer;
use crate::{about, backup, bench, books, consoles, read, suspects, text};
use leptos::prelude::*;

/// What all places share. All of it is signals, so it can be copied around.
#[derive(Clone, Copy)]
pub struct App {
    /// The place shown now.
    pub route: State<Route>,
    /// What the person set.
    pub settings: State<Settings>,
    /// The code books.
    pub shelf: Shelf,
    /// The notebook.
    pub notes: Notes,
    /// Photos over the whole screen.
    pub viewer: Viewer,
    /// The text being read.
    pub work: Work,
    /// The code book being made.
    pub make: Make,
    /// A code book that was given and is not taken yet.
    pub received: State<Option<Received>>,
    /// Short messages.
    pub toasts: Toasts,
    /// What things cost this person.
    pub chosen: State<suspects::Chosen>,
    /// Findings that are only tried out.
    pub trial: suspects::Trial,
    /// A newer version waits.
    pub update: State<bool>,
    /// The app opens offline.
    pub offline: State<bool>,
}

/// Draws the app into the page.
pub fn start() {
    let Some(root) = page::root() else { return };
    leptos::mount::mount_to_renderer(&root, frame).forget();
}

fn frame() -> Dom {
    let settings = settings::start();
    let shelf = Shelf::start();
    let toasts = Toasts::new();
    let work = Work::start(shelf, toasts);
    let app = App {
        route: route::start(),
        settings,
        shelf,
        notes: Notes::start(shelf, toasts),
        viewer: Viewer::new(),
        work,
        make: Make::start(),
        received: State::new(None),
        chosen: suspects::chosen(),
        trial: State::new(Default::default()),
        toasts,
        update: State::new(worker::global("faultleafUpdateWaiting").is_some()),
        offline: State::new(worker::offline_ready()),
    };
    listen(app);
    books::own::start(app.notes);
    bench::kept::start(app);
    // Other ways into the read place (a photo, a share) keep its page as it is.
    let reading = Memo::new(move |_| app.route.with(|r| matches!(r, Route::Read(_))));
    let other = move || match app.route.get() {
        Route::Read(_) => nothing(),
        Route::Consoles(spot) => consoles::page(app, spot),
        Route::Backup => backup::page(app),
        Route::Books => books::page(app),
        Route::Book(id) => books::detail::page(app, &id),
        Route::BookEdit(..) => nothing(),
        Route::BookVersions(id) => books::versions::page(app, &id),
        Route::Make(into) => books::make::page(app, &into),
        Route::Received => books::receive::page(app),
        Route::Bench(spot) => bench::page(app, spot),
        Route::Suspects(spot) => suspects::page(app, spot),
        Route::About => about::page(app),
        Route::Lost => lost(),
    };
    // So do the pages of one book's editor.
    let edited = Memo::new(move |_| match app.route.get() {
        Route::BookEdit(id, _) => id,
        _ => String::new(),
    });
    let editor = move || match edited.get() {
        id if id.is_empty() => nothing(),
        id => books::edit::page(app, &id),
    };
    let main = El::new("main")
        .attr("id", "main")
        .attr("tabindex", "-1")
        .kids(vec![
            update_bar(app),
            Dom::live(move || {
                if reading.get() {
                    read::page(app)
                } else {
                    nothing()
                }
            }),
            Dom::live(other),
            Dom::live(editor),
        ]);
    Dom::many(vec![
        link("skip", "#main", vec![Dom::text("Skip to the page")]),
        nav(app),
        main.done(),
        app.viewer.view(),
        toasts.view(),
    ])
}

fn listen(app: App) {
    drop(worker::on("faultleaf-update-waiting", move || {
        app.update.set(true)
    }));
    drop(worker::on("faultleaf-offline-ready", move || {
        app.offline.set(true);
        if !app.settings.with_untracked(|s| s.told_offline) {
            app.settings.update(|s| s.told_offline = true);
            // Where nothing is kept, that is the message that counts.
            if !storage::blocked() {
                app.toasts.say("Ready to work offline");
            }
        }
    }));
    if storage::blocked() {
        app.toasts.stay(text::DRAFT_NOT_KEPT);
    }
}

fn nav(app: App) -> Dom {
    let items = [
        ("/read", "read", "Read"),
        ("/consoles", "console", "Consoles"),
        ("/books", "book", "Books"),
        ("/bench", "bench", "Bench"),
        ("/about", "about", "About"),
    ];
    let items: Vec<Dom> = items
        .into_iter()
        .map(|(path, picture, label)| {
            let here = move || {
                app.route
                    .with(|r| (r.place() == path).then(|| "page".to_owned()))
            };
            let a = El::new("a")
                .attr("href", path)
                .live_attr("aria-current", here);
            tag(
                "li",
                "",
                vec![a.kid(icon(picture)).kid(line("span", "", label)).done()],
            )
        })
        .collect();
    let nav = El::new("nav").class("places").attr("aria-label", "Places");
    nav.kid(tag("ul", "", items)).done()
}

fn update_bar(app: App) -> Dom {
    let bar = move || {
        if !app.update.get() {
            return nothing();
        }
        tag(
            "div",
            "notice",
            vec![
                icon("info"),
                line("p", "", "A newer version is ready."),
                button("plain", "", "Reload", move || {
                    app.work.keep();
                    worker::call("faultleafApplyUpdate");
                }),
                button("plain", "", "Later", move || app.update.set(false)),
            ],
        )
    };
    spoken("", vec![Dom::live(bar)])
}

fn lost() -> Dom {
    Dom::many(vec![
        title(text::LOST_TITLE),
        line("p", "", "This address leads to no page of the app."),
        tag(
            "p",
            "",
            vec![link("", "/read", vec![Dom::text(text::READ_TITLE)])],
        ),
    ])
}
