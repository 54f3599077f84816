//! Addresses: which place the app shows. A handful of places needs no router
//! library, and the back button works because each one has a path of its own.

use crate::bench;
use crate::consoles::Spot;
use crate::platform::page;
use crate::platform::state::{Kept, State, effect};
use crate::suspects;
use crate::text;
use leptos::prelude::*;

/// A place in the app.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub enum Route {
    /// Read a log.
    Read(Way),
    /// The consoles, or a page of the notebook.
    Consoles(Spot),
    /// The backup.
    Backup,
    /// All code books.
    Books,
    /// One code book, by its id.
    Book(String),
    /// Changing a code book: its id, and the part of it.
    BookEdit(String, Vec<String>),
    /// The former versions of a code book.
    BookVersions(String),
    /// Making a code book, or adding to the one with this id.
    Make(String),
    /// A code book that was given and is not taken yet.
    Received,
    /// The bench, or a page of it.
    Bench(bench::Spot),
    /// What is probably broken, or a page about it.
    Suspects(suspects::Spot),
    /// About this app, and settings.
    About,
    /// An address that leads nowhere.
    #[default]
    Lost,
}

/// How the read place was opened.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Way {
    /// To paste or type.
    Plain,
    /// To type from a photo.
    Photo,
    /// With something that another app shared.
    Shared,
}

impl Route {
    /// The place an address means.
    pub fn parse(path: &str, query: &str) -> Self {
        let path = path.trim_end_matches('/').trim_end_matches("/index.html");
        let has = |key: &str| query.trim_start_matches('?').split('&').any(|p| p == key);
        match path {
            "" | "/read" if has("photo=1") => Self::Read(Way::Photo),
            "" | "/read" if has("shared=1") => Self::Read(Way::Shared),
            "" | "/read" => Self::Read(Way::Plain),
            "/backup" => Self::Backup,
            "/books" => Self::Books,
            "/make" => Self::Make(String::new()),
            "/received" => Self::Received,
            "/about" => Self::About,
            _ => {
                if let Some(rest) = path.strip_prefix("/consoles") {
                    let spot = Spot::parse(rest, query);
                    return spot.map_or(Self::Lost, Self::Consoles);
                }
                if let Some(rest) = path.strip_prefix("/bench") {
                    let spot = bench::Spot::parse(rest, query);
                    return spot.map_or(Self::Lost, Self::Bench);
                }
                if let Some(rest) = path.strip_prefix("/suspects") {
                    let spot = suspects::Spot::parse(rest);
                    return spot.map_or(Self::Lost, Self::Suspects);
                }
                let rest = path.strip_prefix("/books/").unwrap_or_default();
                let parts: Vec<String> = rest.split('/').map(str::to_owned).collect();
                match parts.as_slice() {
                    [id] if !id.is_empty() => Self::Book(id.clone()),
                    [id, part] if part == "versions" => Self::BookVersions(id.clone()),
                    [id, part] if part == "add" => Self::Make(id.clone()),
                    [id, part, rest @ ..] if part == "edit" => {
                        Self::BookEdit(id.clone(), rest.to_vec())
                    }
                    _ => Self::Lost,
                }
            }
        }
    }

    /// The path of the item in the navigation that this place belongs to.
    pub fn place(&self) -> &'static str {
        match self {
            Self::Read(_) => "/read",
            Self::Consoles(_) | Self::Backup | Self::Suspects(_) => "/consoles",
            Self::Books
            | Self::Book(_)
            | Self::BookEdit(..)
            | Self::BookVersions(_)
            | Self::Make(_)
            | Self::Received => "/books",
            Self::Bench(_) => "/bench",
            Self::About => "/about",
            Self::Lost => "",
        }
    }

    /// What the window is called.
    pub fn title(&self) -> &'static str {
        match self {
            Self::Read(_) => text::READ_TITLE,
            Self::Consoles(_) => text::CONSOLES_TITLE,
            Self::Backup => text::BACKUP_TITLE,
            Self::Books
            | Self::Book(_)
            | Self::BookEdit(..)
            | Self::BookVersions(_)
            | Self::Make(_)
            | Self::Received => text::BOOKS_TITLE,
            Self::Bench(_) => text::BENCH_TITLE,
            Self::Suspects(_) => text::SUSPECTS_TITLE,
            Self::About => text::ABOUT_TITLE,
            Self::Lost => text::LOST_TITLE,
        }
    }
}

/// The value of a name in the query of an address; empty where there is none.
pub fn asked(query: &str, name: &str) -> String {
    let all = query.trim_start_matches('?').split('&');
    let found = all
        .filter_map(|p| p.split_once('='))
        .find(|(k, _)| *k == name);
    found.map(|(_, v)| v.to_owned()).unwrap_or_default()
}

/// The place shown now. It follows links of this site and the back button.
pub fn start() -> State<Route> {
    let (path, query) = page::address();
    let now = State::new(Route::parse(&path, &query));
    drop(window_event_listener(leptos::ev::popstate, move |_| {
        let (path, query) = page::address();
        now.set(Route::parse(&path, &query));
    }));
    drop(window_event_listener(leptos::ev::click, move |event| {
        if let Some(href) = page::own_link(&event) {
            event.prevent_default();
            go(now, &href);
        }
    }));
    let before: Kept<Option<Route>> = Kept::new(None);
    effect(move || {
        let route = now.get();
        let before = before
            .try_update_value(|b| b.replace(route.clone()))
            .flatten();
        page::title(&(route.title().to_owned() + " · Faultleaf"));
        if before
            .is_some_and(|b| b.place() != route.place() || b != route && route.place() != "/read")
        {
            page::to_top();
            page::focus("main h1");
        }
    });
    now
}

/// Goes to an address of this site.
pub fn go(now: State<Route>, address: &str) {
    page::push(address);
    let (path, query) = page::address();
    now.set(Route::parse(&path, &query));
}

/// Takes up an address that was changed without a step in the history.
pub fn sync(now: State<Route>) {
    let (path, query) = page::address();
    now.set(Route::parse(&path, &query));
}
