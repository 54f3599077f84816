//! Small parts that several notebook pages show.

use super::address;
use super::photo;
use crate::app::App;
use crate::platform::device;
use crate::platform::dom::Dom;
use crate::text;
use crate::widgets::bits::{fold, icon, line, link, mark, nothing, pair, tag};
use notebook::kinds::{self, Is};
use notebook::timeline::{self, Named};
use notebook::{Item, Record, dates, tell};
use serde_json::Value;

/// A record's name, or what kind it is.
pub fn name(item: &Item) -> String {
    let name = item.text("name").trim();
    if name.is_empty() {
        let kind = kinds::kind(&item.kind).map_or("Record", |k| k.title);
        kind.to_owned() + " without a name"
    } else {
        name.to_owned()
    }
}

/// All that is filled in of a record. `book` is its console's.
pub fn rows(app: App, item: &Item, book: &str) -> Dom {
    let names = move |what: Named, id: &str| app.notes.name(book, what, id);
    let rows = tell::rows(item, &names, &device::today());
    // A log keeps its lines, below the short facts.
    let (mut short, mut logs) = (Vec::new(), Vec::new());
    for row in rows {
        if item.kind == "reading" && row.value.contains('\n') {
            logs.push(line("h4", "", row.label));
            logs.push(line("pre", "log-pre", row.value));
        } else {
            short.push(pair(row.label, row.value));
        }
    }
    Dom::many(vec![tag("dl", "pairs", short), Dom::many(logs)])
}

/// Whether a console was put away.
pub fn archived(console: &Item) -> bool {
    console.view.data.get("archived") == Some(&true.into())
}

/// Two lines of a list: what it is, and more about it in small.
pub fn headline(title: &str, small: &str) -> Dom {
    let small = line("span", "small block", small);
    tag("span", "", vec![line("b", "", title), small])
}

/// A record as a line of a list, leading to its page.
pub fn entry(app: App, console: &Item, item: &Item) -> Dom {
    let book = console.text("book");
    let names = move |what: Named, id: &str| app.notes.name(book, what, id);
    let today = device::today();
    let (title, more) = timeline::line(item, &names, &today);
    let kind = kinds::kind(&item.kind);
    let day = timeline::day(item).map(|d| dates::words(&d, &today));
    let word = kind.map_or("Record of a newer app", |k| k.title);
    let small = match day {
        Some(day) => word.to_owned() + " \u{b7} " + &day,
        None => word.to_owned(),
    };
    let to = address(&console.id) + "/" + &item.id;
    let words = headline(&title, &small);
    let picture = icon(kind.map_or("info", |k| k.icon));
    let mut parts = vec![
        link("record-link", &to, vec![picture, words]),
        if more.is_empty() {
            nothing()
        } else {
            line("p", "record-more", more)
        },
    ];
    if !item.view.clashes.is_empty() || item.view.deleted_elsewhere {
        parts.push(mark("warn", "info", text::CLASH_SHORT));
    }
    parts.push(photos(app, item));
    tag("li", "record", parts)
}

/// The photos of a record.
pub fn photos(app: App, item: &Item) -> Dom {
    let mut thumbs = Vec::new();
    if item.kind == "photo" && item.view.data.contains_key("bytes") {
        thumbs.push(photo::thumb(
            app,
            item.id.clone(),
            item.text("caption").to_owned(),
        ));
    }
    let fields = kinds::kind(&item.kind).map_or(&[][..], |k| k.fields);
    for f in fields.iter().filter(|f| f.is == Is::Photo) {
        let id = item.text(f.name);
        if !id.is_empty() {
            thumbs.push(photo::thumb(app, id.to_owned(), f.label.to_owned()));
        }
    }
    if thumbs.is_empty() {
        nothing()
    } else {
        tag("div", "thumbs", thumbs)
    }
}

/// What was changed in two ways at the same time.
pub fn clashes(app: App, record: Option<&Record>) -> Dom {
    let Some(record) = record else {
        return nothing();
    };
    let view = record.view();
    if view.clashes.is_empty() && !view.deleted_elsewhere {
        return nothing();
    }
    let kind = kinds::kind(&record.kind);
    let mut list = Vec::new();
    if view.deleted_elsewhere {
        list.push(line("p", "", text::DELETED_ELSEWHERE));
    }
    for (field, others) in &view.clashes {
        let f = kind.and_then(|k| k.field(field));
        let label = f.map_or(field.as_str(), |f| f.label);
        list.push(line("h2", "", label));
        let mut all = vec![view.data.get(field).cloned().unwrap_or(Value::Null)];
        all.extend(others.iter().cloned());
        for value in all {
            let shown = match &value {
                Value::Null => "(empty)".to_owned(),
                Value::String(s) => f.map_or(s.as_str(), |f| f.choice(s)).to_owned(),
                Value::Object(_) if record.kind == kinds::RUN => run_stands(&value),
                other => other.to_string(),
            };
            let (id, field) = (record.id.clone(), field.clone());
            let choose = crate::widgets::bits::button("plain", "check", "Keep this", move || {
                let (id, field, value) = (id.clone(), field.clone(), value.clone());
                leptos::task::spawn_local(async move {
                    let change = |now: &mut notebook::Data, _: &mut bool| match value {
                        Value::Null => drop(now.remove(&field)),
                        value => drop(now.insert(field, value)),
                    };
                    if app.notes.edit(&id, change).await.is_some() {
                        app.route.notify();
                    }
                });
            });
            list.push(tag(
                "div",
                "clash",
                vec![line("p", "clash-value", shown), choose],
            ));
        }
    }
    let head = tag(
        "p",
        "mark warn",
        vec![icon("info"), line("b", "", text::CLASH)],
    );
    tag("section", "note-box", vec![head, tag("div", "", list)])
}

/// How far a checklist went that was gone on with in two places.
fn run_stands(state: &Value) -> String {
    let counts = care::Run::from_json(state).map(|r| r.counts());
    let counts = counts.unwrap_or_default();
    counts.done.to_string() + " done, " + &counts.open.to_string() + " open"
}

/// The log of a reading's record, and what it was read to.
pub fn of_reading(app: App, record: &Record) -> Dom {
    let item = Item::of(record);
    if item.kind != "reading" {
        return nothing();
    }
    let log = item.text("text").to_owned();
    let again = log.clone();
    let read = crate::widgets::bits::button("plain", "read", "Read it again", move || {
        app.work.opened(again.clone());
        crate::route::go(app.route, "/read");
    });
    let mut parts = vec![
        line("p", "summary", item.text("summary")),
        tag("div", "row", vec![read]),
    ];
    parts.push(fold(
        "The log as it was saved",
        false,
        vec![line("pre", "log-pre", log)],
    ));
    let pasted = item.text("pasted");
    if !pasted.is_empty() {
        parts.push(fold(
            "The text as it was first pasted",
            false,
            vec![line("pre", "log-pre", pasted)],
        ));
    }
    tag("div", "", parts)
}

/// The checklist of a run's record.
pub fn of_run(record: &Record) -> Dom {
    if record.kind != kinds::RUN {
        return nothing();
    }
    let item = Item::of(record);
    let (_, stands) = timeline::line(&item, &|_, _| None, "");
    let to = crate::bench::kept::address(&item.id) + "/all";
    let open = crate::widgets::bits::link_with("main", &to, "list", "Open the checklist");
    tag(
        "div",
        "",
        vec![line("p", "", stands), tag("div", "row", vec![open])],
    )
}

/// Damaged rows: shown, kept, and to be copied.
pub fn damaged(page: &super::notes::Page) -> Dom {
    if page.damaged.is_empty() {
        return nothing();
    }
    let mut parts = vec![mark("bad", "bad", text::DAMAGED)];
    for (row, trouble) in &page.damaged {
        let body: String = row.body.chars().take(20_000).collect();
        parts.push(fold(
            row.kind.clone() + " " + &row.id + ": " + &trouble.why,
            false,
            vec![line("pre", "log-pre", body)],
        ));
    }
    tag("section", "", parts)
}

/// What a code means, in a few words; empty where no book says.
pub fn meaning(app: App, book: &str, code: &str) -> String {
    let held = app.shelf.find(book);
    let found = held
        .map(|h| h.book.lookup(code, None, None))
        .unwrap_or_default();
    found
        .into_iter()
        .next()
        .map(|f| f.title)
        .unwrap_or_default()
}
