//! The consoles: the notebook's pages.

mod deleted;
mod facts;
mod field;
mod find;
pub mod form;
pub mod job;
mod list;
mod log;
pub mod notes;
mod one;
pub mod photo;
mod record;
mod sheet;
pub mod split;
mod tell;
mod versions;

pub mod keep;

pub use facts::headline;
pub use field::{option, ticked};
pub use record::saved;

use crate::app::App;
use crate::platform::dom::Dom;
use crate::platform::state::{State, effect};
use crate::route;
use crate::text;
use crate::widgets::bits::{line, link_with, mark, nothing, spoken};
use notes::Page;
use std::rc::Rc;

/// A page of the notebook.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Spot {
    /// All consoles.
    All,
    /// What was deleted.
    Deleted,
    /// One console.
    One(String),
    /// A record of a console: to read, to change, or to begin.
    Record {
        /// The console's id.
        console: String,
        /// The record's id.
        id: String,
        /// Its kind, if it is not there yet.
        kind: String,
        /// The job it belongs to, if it is not there yet.
        job: String,
    },
    /// The history of a console's log.
    Log(String),
    /// A console on paper.
    Sheet(String),
    /// A job of a console, told to others.
    Tell(String, String),
    /// A new job from some of a job's records.
    Split(String, String),
}

impl Spot {
    /// The page of an address below `/consoles`.
    pub fn parse(rest: &str, query: &str) -> Option<Self> {
        let asked = |key: &str| route::asked(query, key);
        let parts: Vec<&str> = rest.split('/').filter(|p| !p.is_empty()).collect();
        let own = |s: &str| s.to_owned();
        Some(match parts.as_slice() {
            [] => Self::All,
            ["deleted"] => Self::Deleted,
            [one] => Self::One(own(one)),
            [one, "log"] => Self::Log(own(one)),
            [one, "sheet"] => Self::Sheet(own(one)),
            [one, job, "tell"] => Self::Tell(own(one), own(job)),
            [one, job, "split"] => Self::Split(own(one), own(job)),
            [one, record] => Self::Record {
                console: own(one),
                id: own(record),
                kind: asked("kind"),
                job: asked("job"),
            },
            _ => return None,
        })
    }
}

/// The page.
pub fn page(app: App, spot: Spot) -> Dom {
    let body = match spot {
        Spot::All => list::page(app),
        Spot::Deleted => deleted::page(app),
        Spot::One(id) => one::page(app, id),
        Spot::Record {
            console,
            id,
            kind,
            job,
        } => record::page(app, console, id, kind, job),
        Spot::Log(id) => log::page(app, id),
        Spot::Sheet(id) => sheet::page(app, id),
        Spot::Tell(console, job) => tell::page(app, console, job),
        Spot::Split(console, job) => split::page(app, console, job),
    };
    Dom::many(vec![trouble(app), body])
}

/// What keeps the notebook from working.
pub fn trouble(app: App) -> Dom {
    let bar = move || {
        let words = app.notes.trouble.get();
        if words.is_empty() {
            return nothing();
        }
        mark("bad", "bad", words)
    };
    spoken("", vec![Dom::live(bar)])
}

/// What a page needs from the notebook.
#[derive(Clone)]
pub enum Want {
    /// All records of these kinds.
    Kinds(&'static [&'static str]),
    /// All of one console.
    Console(String),
    /// Really all, as rows.
    Everything,
}

/// Draws a part of a page.
type Draw = Rc<dyn Fn(&Rc<Page>) -> Dom>;

/// A page's part that is drawn from the notebook, and drawn again when what it
/// shows changed.
pub fn loaded(app: App, want: Want, draw: impl Fn(&Rc<Page>) -> Dom + 'static) -> Dom {
    let draw: Draw = Rc::new(draw);
    let page: State<Option<Rc<Page>>> = State::new(None);
    let notes = app.notes;
    effect(move || {
        notes.tick.track();
        let want = want.clone();
        leptos::task::spawn_local(async move {
            let found = match &want {
                Want::Kinds(kinds) => notes.kinds(kinds).await,
                Want::Console(id) => notes.console(id).await,
                Want::Everything => everything(app).await,
            };
            // The page may be gone by now, and its signals with it.
            let same = page.try_with_untracked(|p| {
                p.as_ref()
                    .is_some_and(|p| found.as_ref().is_ok_and(|f| **p == *f))
            });
            match (same, found) {
                (Some(false), Ok(found)) => page.set(Some(Rc::new(found))),
                (Some(false), Err(_)) => {
                    page.try_update(|p| {
                        p.get_or_insert_with(Rc::default);
                    });
                }
                _ => {}
            }
        });
    });
    Dom::live(move || match page.get() {
        Some(found) => draw(&found),
        None => line("p", "small", text::LOADING),
    })
}

async fn everything(app: App) -> Result<Page, String> {
    let mut page = Page::default();
    let mut add = |rows| {
        page.add(rows);
        true
    };
    app.notes.through(&mut add).await?;
    Ok(page)
}

/// A link back to where one came from.
pub fn back(to: &str, words: &str) -> Dom {
    link_with("back", to, "left", words)
}

/// The address of a console.
pub fn address(console: &str) -> String {
    "/consoles/".to_owned() + console
}
