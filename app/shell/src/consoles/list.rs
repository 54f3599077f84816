//! All consoles, each with how it stands, and the search over everything.

use super::notes::Page;
use super::{Want, address, facts, find, loaded, photo};
use crate::app::App;
use crate::platform::device;
use crate::platform::dom::Dom;
use crate::platform::state::State;
use crate::text;
use crate::widgets::bits::{
    button, count, fold, icon, line, link, link_with, nothing, show_all, tag, title,
};
use crate::{backup, route};
use notebook::{Item, look};
use reading::sorted;

/// Consoles drawn at once.
const MOST: usize = 60;

/// The page.
pub fn page(app: App) -> Dom {
    let query = State::new(String::new());
    let limit = State::new(MOST);
    Dom::many(vec![
        title(text::CONSOLES_TITLE),
        find::section(app, query),
        tag(
            "div",
            "row",
            vec![button("main", "plus", "New console", move || {
                let id = device::random_id();
                route::go(app.route, &(address(&id) + "/" + &id + "?kind=console"));
            })],
        ),
        loaded(
            app,
            Want::Kinds(&["console", "job", "follow-up"]),
            move |page| {
                let page = page.clone();
                Dom::live(move || {
                    if query.with(|q| q.trim().is_empty()) {
                        list(app, &page, limit)
                    } else {
                        nothing()
                    }
                })
            },
        ),
    ])
}

fn list(app: App, page: &Page, limit: State<usize>) -> Dom {
    let items = page.items();
    let mut consoles: Vec<&Item> = items.iter().filter(|i| i.kind == "console").collect();
    if consoles.is_empty() && page.damaged.is_empty() {
        return Dom::many(vec![
            line("p", "lead", text::CONSOLES_EMPTY),
            backup::demo::offer(app),
            footer(),
        ]);
    }
    let last = app.notes.touched();
    let groups = Groups::of(&items);
    let touched = |console: &Item| {
        let own = groups.own(&console.id);
        let here = last.get(&console.id).and_then(serde_json::Value::as_i64);
        own.map(|i| i.changed).chain(here).max().unwrap_or(0)
    };
    let mut order: Vec<(i64, &Item)> = consoles.drain(..).map(|c| (touched(c), c)).collect();
    sorted::sort_by(&mut order, |a, b| {
        b.0.cmp(&a.0).then_with(|| a.1.id.cmp(&b.1.id))
    });
    let (mut rows, mut away) = (Vec::new(), Vec::new());
    let (mut shown, mut total) = (0, 0);
    for (_, console) in order {
        if facts::archived(console) {
            away.push(row(app, &groups, console));
        } else {
            total += 1;
            if shown < limit.get() {
                shown += 1;
                rows.push(row(app, &groups, console));
            }
        }
    }
    let more = show_all(total, limit);
    let away = if away.is_empty() {
        nothing()
    } else {
        fold(
            "Put away: ".to_owned() + &count(away.len(), "console", "consoles"),
            false,
            vec![tag("ul", "consoles", away)],
        )
    };
    Dom::many(vec![
        backup::reminder(app, &items),
        facts::damaged(page),
        tag("ul", "consoles", rows),
        more,
        away,
        backup::demo::taken(app, &items),
        footer(),
    ])
}

fn footer() -> Dom {
    tag(
        "div",
        "row spaced",
        vec![
            link_with("plain", "/backup", "share", "Backup"),
            link_with("plain", "/consoles/deleted", "bin", "Recently deleted"),
        ],
    )
}

/// Items by the console they belong to: with hundreds of consoles, to look
/// through all items for each takes too long.
struct Groups<'a>(Vec<(&'a str, &'a Item)>);

impl<'a> Groups<'a> {
    fn of(items: &'a [Item]) -> Self {
        let home = |i: &'a Item| match i.kind.as_str() {
            "console" => i.id.as_str(),
            _ => i.text("console"),
        };
        let mut all = items.iter().map(|i| (home(i), i)).collect();
        sorted::sort_by(&mut all, |a: &(&str, &Item), b| a.0.cmp(b.0));
        Self(all)
    }

    /// The items of a console, and itself.
    fn own(&self, id: &str) -> impl Iterator<Item = &'a Item> {
        let first = self.0.partition_point(|(home, _)| *home < id);
        let rest = self.0.get(first..).unwrap_or_default().iter();
        rest.take_while(move |(home, _)| *home == id)
            .map(|(_, i)| *i)
    }
}

fn row(app: App, groups: &Groups, console: &Item) -> Dom {
    let own =
        |kind: &str| -> Vec<&Item> { groups.own(&console.id).filter(|i| i.kind == kind).collect() };
    let look = look::look(&own("job"), &own("follow-up"), &device::today());
    let book = console.text("book");
    let family = app
        .notes
        .name("", notebook::timeline::Named::Book, book)
        .unwrap_or_default();
    let facts: Vec<&str> = [
        family.as_str(),
        console.text("board"),
        console.text("region"),
    ]
    .into_iter()
    .filter(|s| !s.is_empty())
    .collect();
    let words = facts::headline(&facts::name(console), &facts.join(" \u{b7} "));
    let photo = console.text("photo");
    let thumb = if photo.is_empty() {
        nothing()
    } else {
        photo::thumb(app, photo.to_owned(), facts::name(console))
    };
    tag(
        "li",
        "record",
        vec![
            tag(
                "div",
                "with-thumb",
                vec![
                    link(
                        "record-link",
                        &address(&console.id),
                        vec![icon("console"), words],
                    ),
                    thumb,
                ],
            ),
            tag(
                "p",
                "look",
                vec![icon(look.icon), line("span", "", look.words)],
            ),
        ],
    )
}
