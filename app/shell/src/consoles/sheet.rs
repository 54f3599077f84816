//! A console on paper: everything that is kept of it, without buttons.

use super::notes::Page;
use super::{Want, address, back, facts, loaded};
use crate::app::App;
use crate::platform::dom::{Dom, El};
use crate::platform::state::State;
use crate::platform::{device, page, worker};
use crate::text;
use crate::widgets::bits::{button, line, nothing, tag, title};
use leptos::prelude::*;
use notebook::{Item, dates, kinds, look, timeline};

/// The page.
pub fn page(app: App, id: String) -> Dom {
    let private = State::new(false);
    let own = id.clone();
    let input = El::new("input")
        .attr("type", "checkbox")
        .on("change", move |e| {
            private.set(event_target_checked(&e));
        });
    let tools = tag(
        "div",
        "no-print",
        vec![
            back(&address(&id), "Back to the console"),
            line("p", "", text::SHEET_LEAD),
            super::field::ticked(input, "With private fields", text::SHEET_PRIVATE),
            button("main", "print", "Print or save as PDF", page::print),
        ],
    );
    let body = loaded(app, Want::Console(id), move |page| {
        let page = page.clone();
        let own = own.clone();
        Dom::live(move || drawn(app, &own, &page, private.get()))
    });
    Dom::many(vec![tools, body])
}

fn drawn(app: App, id: &str, page: &Page, private: bool) -> Dom {
    let Some(console) = page.item(id) else {
        return line("p", "", text::RECORD_LOST);
    };
    let mut items = page.items();
    timeline::order(&mut items);
    items.reverse();
    let of = |kind: &str| -> Vec<&Item> { items.iter().filter(|i| i.kind == kind).collect() };
    let (jobs, follow_ups) = (of("job"), of("follow-up"));
    let today = device::today();
    let look = look::look(&jobs, &follow_ups, &today);
    let mut parts = vec![
        title(facts::name(&console)),
        line("p", "summary", look.words),
        shown(app, &console, &console, private),
    ];
    let mut left: Vec<&Item> = items
        .iter()
        .filter(|i| !matches!(i.kind.as_str(), "console" | "job"))
        .collect();
    for job in jobs {
        parts.push(line("h2", "", facts::name(job)));
        parts.push(shown(app, &console, job, private));
        for item in timeline::of_job(&items, &job.id) {
            parts.push(record(app, &console, item, private));
            left.retain(|i| i.id != item.id);
        }
    }
    if !left.is_empty() {
        parts.push(line("h2", "", "Without a job"));
        for item in left {
            parts.push(record(app, &console, item, private));
        }
    }
    let build = worker::build_id().unwrap_or_default();
    let foot = "Printed ".to_owned() + &dates::words(&today, "") + ". Faultleaf, build " + &build;
    parts.push(line("p", "small", foot));
    tag("article", "print-sheet", parts)
}

fn record(app: App, console: &Item, item: &Item, private: bool) -> Dom {
    let kind = kinds::kind(&item.kind).map_or("Record", |k| k.title);
    let day = timeline::day(item)
        .map(|d| dates::words(&d, ""))
        .unwrap_or_default();
    let head = kind.to_owned() + ", " + &day;
    tag(
        "div",
        "thing",
        vec![
            line("h3", "", head),
            shown(app, console, item, private),
            facts::photos(app, item),
        ],
    )
}

fn shown(app: App, console: &Item, item: &Item, private: bool) -> Dom {
    let mut item = item.clone();
    let mut out = Vec::new();
    if !private {
        let fields = kinds::kind(&item.kind).map_or(&[][..], |k| k.fields);
        for f in fields.iter().filter(|f| f.private) {
            if item.view.data.remove(f.name).is_some() {
                out.push(f.label.to_lowercase());
            }
        }
    }
    let left = if out.is_empty() {
        nothing()
    } else {
        line(
            "p",
            "small",
            "Left out: ".to_owned() + &out.join(", ") + ".",
        )
    };
    Dom::many(vec![facts::rows(app, &item, console.text("book")), left])
}
