//! What was deleted: for 90 days it can be brought back.

use super::notes::Page;
use super::{Want, back, facts, loaded};
use crate::app::App;
use crate::platform::device;
use crate::platform::dom::Dom;
use crate::text;
use crate::widgets::bits::{button, count, icon, line, tag, title};
use notebook::dates::DAY_MS;
use notebook::timeline::{self, Named};
use notebook::{Item, Record};
use reading::sorted;

/// How long a deleted record can be brought back, in days.
pub const KEEP_DAYS: i64 = 90;

/// The page.
pub fn page(app: App) -> Dom {
    Dom::many(vec![
        back("/consoles", "All consoles"),
        title("Recently deleted"),
        line("p", "lead", text::DELETED_LEAD),
        loaded(app, Want::Everything, move |page| drawn(app, page)),
    ])
}

fn drawn(app: App, page: &Page) -> Dom {
    let mut gone: Vec<&Record> = page
        .records
        .iter()
        .filter(|r| r.gone() && !r.view().data.is_empty())
        .collect();
    sorted::sort_by(&mut gone, |a, b| b.changed().cmp(&a.changed()));
    let now = device::now_ms();
    let old: Vec<String> = gone
        .iter()
        .filter(|r| old_enough(r, now))
        .map(|r| r.id.clone())
        .collect();
    if !old.is_empty() {
        // After the promised time, and only when somebody looks: nothing is
        // wiped behind anybody's back by a clock that is wrong for a moment.
        leptos::task::spawn_local(async move { app.notes.wipe(&old).await });
    }
    gone.retain(|r| !old_enough(r, now));
    if gone.is_empty() {
        return line("p", "", "Nothing was deleted.");
    }
    let list = gone.into_iter().map(|r| row(app, r, now)).collect();
    tag("ul", "records", list)
}

fn old_enough(record: &Record, now: i64) -> bool {
    now - record.changed() > KEEP_DAYS * DAY_MS
}

fn row(app: App, record: &Record, now: i64) -> Dom {
    let item = Item::of(record);
    let names = |_: Named, _: &str| None;
    let (title, more) = timeline::line(&item, &names, &device::today());
    let kind = notebook::kinds::kind(&item.kind);
    let days = (now - record.changed()).div_euclid(DAY_MS).max(0);
    let left = usize::try_from((KEEP_DAYS - days).max(0)).unwrap_or(0);
    let words = [
        kind.map_or("Record", |k| k.title),
        " \u{b7} can be brought back for ",
        &count(left, "day", "days"),
    ]
    .concat();
    let id = record.id.clone();
    tag(
        "li",
        "record",
        vec![
            tag(
                "div",
                "record-link",
                vec![
                    icon(kind.map_or("info", |k| k.icon)),
                    facts::headline(&title, &words),
                ],
            ),
            line("p", "record-more", more),
            button("plain", "undo", "Bring it back", move || {
                app.notes.bring_back(id.clone())
            }),
        ],
    )
}
