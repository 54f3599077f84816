//! The backup place: everything of the notebook in one file, and back again.

pub mod demo;
mod read;
mod tables;
mod write;

use crate::app::App;
use crate::consoles::{back, trouble};
use crate::platform::dom::{Dom, El};
use crate::platform::state::{Kept, State};
use crate::platform::{device, storage};
use crate::text;
use crate::widgets::bits::{
    button, count, icon, line, link, mark, nothing, pair, section, spoken, tag, title,
};
use notebook::dates::{self, DAY_MS};
use notebook::{Item, Store};

/// The fact that says when the last backup was made, milliseconds since 1970.
const LAST: &str = "backup";
/// Days after which one is reminded.
const OLD_DAYS: i64 = 30;
/// Days after the first console without any backup.
const NEVER_DAYS: i64 = 7;

/// Work under way: what is done, what there is to do, and whether to stop.
#[derive(Clone, Copy)]
pub struct Progress {
    on: State<bool>,
    /// How much is done, 0 to 1.
    part: State<f64>,
    stop: Kept<bool>,
}

impl Progress {
    fn new() -> Self {
        Self {
            on: State::new(false),
            part: State::new(0.0),
            stop: Kept::new(false),
        }
    }

    fn begin(self) {
        self.stop.set_value(false);
        self.part.set(0.0);
        self.on.set(true);
    }

    /// Shows how far it is. Gives `false` when the person wants it to stop, or
    /// left the page.
    fn at(self, done: usize, of: usize) -> bool {
        let part = |n: usize| f64::from(u32::try_from(n).unwrap_or(u32::MAX));
        let there = self.part.try_set(part(done) / part(of.max(1))).is_none();
        there && self.stop.try_get_value() == Some(false)
    }

    fn end(self) {
        self.on.try_set(false);
    }

    fn view(self, words: &'static str) -> Dom {
        Dom::live(move || {
            if !self.on.get() {
                return nothing();
            }
            // Only the bar moves. A tap on a button that is drawn anew between
            // finger down and finger up would be lost.
            let bar = El::new("progress")
                .live_attr("value", move || Some(self.part.get().to_string()))
                .attr("aria-label", words);
            tag(
                "div",
                "progress",
                vec![
                    line("span", "", words),
                    bar.done(),
                    button("plain", "stop", "Stop", move || self.stop.set_value(true)),
                ],
            )
        })
    }
}

/// The page.
pub fn page(app: App) -> Dom {
    Dom::many(vec![
        back("/consoles", "All consoles"),
        title(text::BACKUP_TITLE),
        trouble(app),
        line("p", "lead", text::BACKUP_LEAD),
        write::section(app),
        read::section(app),
        tables::section(app),
        room(app),
        tag("p", "small", vec![line("span", "", text::BACKUP_DEVICE)]),
    ])
}

/// When the last backup was made.
async fn last(app: App) -> Option<i64> {
    app.notes
        .store()
        .fact(LAST)
        .await
        .ok()
        .flatten()?
        .parse()
        .ok()
}

/// When the last backup was made, in words.
fn last_words(at: Option<i64>) -> String {
    let Some(at) = at else {
        return "No backup was made on this device yet.".to_owned();
    };
    let days = (device::now_ms() - at).div_euclid(DAY_MS).max(0);
    let day = dates::written(at.div_euclid(DAY_MS)).unwrap_or_default();
    let ago = match usize::try_from(days).unwrap_or(0) {
        0 => "today".to_owned(),
        n => count(n, "day", "days") + " ago",
    };
    "Last backup: ".to_owned() + &ago + ", " + &dates::words(&day, "") + "."
}

/// A word on top of the consoles when the last backup is old.
pub fn reminder(app: App, items: &[Item]) -> Dom {
    let own = || items.iter().filter(|i| !demo::is_demo(&i.id));
    let Some(first) = own().map(|i| i.created).min() else {
        return nothing();
    };
    let newest = own().map(|i| i.changed).max().unwrap_or(0);
    let words = State::new(String::new());
    leptos::task::spawn_local(async move {
        let last = last(app).await;
        let now = device::now_ms();
        let due = match last {
            Some(at) => newest > at && now - at > OLD_DAYS * DAY_MS,
            None => now - first > NEVER_DAYS * DAY_MS,
        };
        if due {
            words.try_set(last_words(last));
        }
    });
    Dom::live(move || {
        let words = words.get();
        if words.is_empty() {
            return nothing();
        }
        let to = link("", "/backup", vec![Dom::text("Make a backup")]);
        tag(
            "p",
            "mark warn",
            vec![icon("info"), line("span", "", words), to],
        )
    })
}

/// How much room the notebook takes, and whether the browser keeps it.
fn room(app: App) -> Dom {
    let found: State<Option<Vec<(String, String)>>> = State::new(None);
    leptos::task::spawn_local(async move {
        let mut rows = Vec::new();
        let store = app.notes.store();
        if let Ok(n) = store.count().await {
            rows.push(("Records".to_owned(), n.to_string()));
        }
        if let Ok(ids) = store.photo_ids().await {
            rows.push(("Photos".to_owned(), ids.len().to_string()));
        }
        if let Some((used, quota)) = database::estimate().await {
            rows.push(("Used by this app".to_owned(), megabytes(used)));
            rows.push(("The browser allows up to".to_owned(), megabytes(quota)));
        }
        let kept = match database::persisted().await {
            Some(true) => text::KEPT_YES,
            Some(false) => text::KEPT_NO,
            None => text::KEPT_UNKNOWN,
        };
        rows.push(("Kept when room is short".to_owned(), kept.to_owned()));
        found.try_set(Some(rows));
    });
    let list = move || {
        let rows = found.get().unwrap_or_default();
        tag(
            "dl",
            "pairs",
            rows.iter().map(|(n, v)| pair(n, v)).collect(),
        )
    };
    let ask = button("plain", "check", "Ask the browser to keep it", move || {
        leptos::task::spawn_local(async move {
            app.toasts.say(match database::persist().await {
                Some(true) => text::KEPT_YES,
                _ => text::KEPT_NO,
            });
        });
    });
    let blocked = if storage::blocked() {
        mark("bad", "bad", text::STORAGE_BAD)
    } else {
        nothing()
    };
    section(
        "room",
        "Room on this device",
        vec![blocked, Dom::live(list), ask],
    )
}

/// Bytes as a person reads them.
fn megabytes(bytes: f64) -> String {
    if bytes < 1e6 {
        return (bytes / 1000.0).ceil().to_string() + " KB";
    }
    let tenths = (bytes / 100_000.0).round() / 10.0;
    if tenths >= 1000.0 {
        return ((tenths / 100.0).round() / 10.0).to_string() + " GB";
    }
    tenths.to_string() + " MB"
}

/// A list of what was left out, folded.
fn refused(list: &notebook::backup::RefusedList) -> Dom {
    if list.count() == 0 {
        return nothing();
    }
    let item = |r: &notebook::backup::Refused| {
        tag(
            "li",
            "",
            vec![line("b", "mono", &r.path), line("p", "", &r.why)],
        )
    };
    let all = list.list.iter().map(item).collect();
    let head = "Left out: ".to_owned() + &list.count().to_string();
    let mark = mark("warn", "info", head);
    spoken("", vec![mark, tag("ul", "problems", all)])
}
