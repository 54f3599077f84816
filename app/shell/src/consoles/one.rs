//! One console: how it stands, its jobs, and everything done to it.

use super::notes::Page;
use super::{Want, address, back, facts, job, loaded, photo};
use crate::app::App;
use crate::platform::device;
use crate::platform::dom::Dom;
use crate::text;
use crate::widgets::bits::{
    button, fold, icon, line, link, link_with, nothing, section, tag, title,
};
use notebook::history::{Pulled, history};
use notebook::kinds::{self, KINDS};
use notebook::{Item, look, timeline};

/// The page.
pub fn page(app: App, id: String) -> Dom {
    let own = id.clone();
    loaded(app, Want::Console(id), move |page| drawn(app, &own, page))
}

fn drawn(app: App, id: &str, page: &Page) -> Dom {
    let to_all = back("/consoles", "All consoles");
    let Some(console) = page.item(id) else {
        let gone = page.records.iter().any(|r| r.id == id);
        let words = if gone {
            text::CONSOLE_GONE
        } else {
            text::RECORD_LOST
        };
        return Dom::many(vec![
            to_all,
            title("Console"),
            line("p", "", words),
            facts::damaged(page),
        ]);
    };
    let mut items = page.items();
    timeline::order(&mut items);
    let jobs: Vec<&Item> = items.iter().filter(|i| i.kind == "job").collect();
    let follow_ups: Vec<&Item> = items.iter().filter(|i| i.kind == "follow-up").collect();
    let look = look::look(&jobs, &follow_ups, &device::today());
    let mut parts = vec![
        to_all,
        title(facts::name(&console)),
        tag(
            "p",
            "look",
            vec![icon(look.icon), line("span", "", look.words)],
        ),
        facts::clashes(app, page.records.iter().find(|r| r.id == id)),
        head(app, &console),
        buttons(&console),
        news(&console, &items),
    ];
    for job in &jobs {
        parts.push(job::section(app, &console, job, &items));
    }
    let named: Vec<&str> = jobs.iter().map(|j| j.id.as_str()).collect();
    let loose: Vec<&Item> = items
        .iter()
        .filter(|i| {
            !matches!(i.kind.as_str(), "console" | "job") && !named.contains(&i.text("job"))
        })
        .collect();
    let words = if jobs.is_empty() {
        "Everything so far"
    } else {
        "Without a job"
    };
    if loose.is_empty() && jobs.is_empty() {
        parts.push(line("p", "", text::CONSOLE_EMPTY));
    } else if !loose.is_empty() {
        let ids: Vec<String> = loose.iter().map(|i| i.id.clone()).collect();
        let ask = if jobs.is_empty() {
            let id = console.id.clone();
            button("main", "scales", "What is broken?", move || {
                crate::suspects::begin(app, id.clone());
            })
        } else {
            nothing()
        };
        let adopt = jobs
            .first()
            .map_or_else(nothing, |j| job::adopt(app, j, ids));
        parts.push(section(
            "loose",
            words,
            vec![ask, adopt, job::records(app, &console, loose)],
        ));
    }
    parts.push(facts::damaged(page));
    Dom::many(parts)
}

fn head(app: App, console: &Item) -> Dom {
    let photo = console.text("photo");
    let thumb = if photo.is_empty() {
        nothing()
    } else {
        tag(
            "div",
            "thumbs",
            vec![photo::thumb(app, photo.to_owned(), facts::name(console))],
        )
    };
    let mut parts = vec![thumb, facts::rows(app, console, console.text("book"))];
    if !console.text("from").is_empty()
        || !console.text("serial").is_empty()
        || !console.text("price").is_empty()
    {
        parts.push(line("p", "small", text::PRIVATE_KEPT));
    }
    fold("About this console", false, parts)
}

fn buttons(console: &Item) -> Dom {
    let base = address(&console.id);
    let row = vec![
        link_with(
            "plain",
            &(base.clone() + "/" + &console.id),
            "edit",
            "Change",
        ),
        link_with("plain", &(base.clone() + "/log"), "read", "Log history"),
        link_with("plain", &(base + "/sheet"), "print", "Sheet to print"),
    ];
    Dom::many(vec![adds(&console.id, ""), tag("div", "row", row)])
}

/// What can be added to a console, or to a job of it.
pub fn adds(console: &str, job: &str) -> Dom {
    let mut list = Vec::new();
    for kind in KINDS.iter().filter(|k| k.of_console()) {
        // A diagnosis is worked out, not written down.
        if kind.name == kinds::DIAGNOSIS || kind.name == "job" && !job.is_empty() {
            continue;
        }
        let mut to = if kind.name == "reading" {
            "/read".to_owned()
        } else if kind.name == kinds::RUN {
            "/bench/new?console=".to_owned() + console
        } else {
            address(console) + "/" + &device::random_id() + "?kind=" + kind.name
        };
        if kind.name != "reading" && !job.is_empty() {
            to = to + "&job=" + job;
        }
        list.push(link_with("plain", &to, kind.icon, kind.title));
    }
    let words = if job.is_empty() {
        "Add"
    } else {
        "Add to this job"
    };
    fold(words, false, vec![tag("div", "add-grid", list)])
}

/// What is new in the log.
fn news(console: &Item, items: &[Item]) -> Dom {
    let pulled: Vec<Pulled> = items
        .iter()
        .filter(|i| i.kind == "reading")
        .map(Pulled::of)
        .collect();
    if pulled.len() < 2 {
        return nothing();
    }
    let since = history(&pulled).after_last();
    let to = address(&console.id) + "/log";
    tag(
        "p",
        "news",
        vec![
            icon("read"),
            line("span", "", since.text),
            link("", &to, vec![Dom::text("See the log history")]),
        ],
    )
}
