//! A job of a console, with its records.

use super::{address, facts, one, split};
use crate::app::App;
use crate::platform::device;
use crate::platform::dom::{Dom, El};
use crate::platform::state::{Kept, State};
use crate::widgets::bits::{button, line, link, link_with, nothing, show_all, tag};
use notebook::timeline::{self, Named};
use notebook::{Edit, Item};
use serde_json::json;

/// Records drawn at once.
const MOST: usize = 40;

/// The job.
pub fn section(app: App, console: &Item, job: &Item, items: &[Item]) -> Dom {
    let names = move |_: Named, _: &str| None;
    let (name, stands) = timeline::line(job, &names, &device::today());
    let to = address(&console.id) + "/" + &job.id;
    let head = El::new("h2")
        .attr("id", &job.id)
        .kid(link("", &to, vec![Dom::text(&name)]))
        .done();
    let closed = job.text("stage") == "closed";
    let mut row = vec![link_with("plain", &to, "edit", "Change, close")];
    if closed {
        let id = job.id.clone();
        row = vec![
            link_with("plain", &to, "edit", "Change"),
            button("plain", "undo", "Reopen", move || reopen(app, id.clone())),
        ];
    }
    let tell = to.clone() + "/tell";
    row.push(link_with("plain", &tell, "share", "Tell others"));
    if !closed {
        let suspects = crate::suspects::address(&console.id, &job.id);
        row.insert(0, link_with("main", &suspects, "scales", "What is broken?"));
        let list = "/bench/new?console=".to_owned() + &console.id + "&job=" + &job.id;
        row.push(link_with("plain", &list, "list", "Begin a checklist"));
    }
    let own = timeline::of_job(items, &job.id);
    let cause = job.text("cause");
    El::new("section")
        .class("job")
        .attr("aria-labelledby", &job.id)
        .kids(vec![
            head,
            line("p", "stands", stands),
            if cause.is_empty() {
                nothing()
            } else {
                line("p", "", "Cause: ".to_owned() + cause)
            },
            one::adds(&console.id, &job.id),
            tag("div", "row", row),
            records(app, console, own),
        ])
        .done()
}

/// Records, newest first.
pub fn records(app: App, console: &Item, items: Vec<&Item>) -> Dom {
    let limit = State::new(MOST);
    let total = items.len();
    let console = console.clone();
    let items: Vec<Item> = items.into_iter().cloned().collect();
    let items = Kept::new(items);
    Dom::live(move || {
        let most = limit.get();
        let list = items.with_value(|i| {
            i.iter()
                .take(most)
                .map(|i| facts::entry(app, &console, i))
                .collect()
        });
        let more = show_all(total, limit);
        Dom::many(vec![tag("ul", "records", list), more])
    })
}

/// A button that puts records without a job into this one.
pub fn adopt(app: App, job: &Item, ids: Vec<String>) -> Dom {
    let words = "Put all of this into \u{201c}".to_owned() + &facts::name(job) + "\u{201d}";
    let job = job.id.clone();
    button("plain", "left", words, move || {
        let (job, ids) = (job.clone(), ids.clone());
        leptos::task::spawn_local(async move {
            let edits = split::moved(app, ids, &job).await;
            drop(app.notes.save(&edits, &[]).await);
        });
    })
}

fn reopen(app: App, id: String) {
    leptos::task::spawn_local(async move {
        app.notes
            .edit(&id, |now, _| {
                now.insert("stage".to_owned(), json!("open"));
            })
            .await;
    });
}

/// A new job of a console, as something to save.
pub fn fresh(console: &str, id: &str, name: &str) -> Edit {
    let day = device::today();
    let data = notebook::filled(&[
        ("console", console),
        ("name", name),
        ("stage", "open"),
        ("day", &day),
    ]);
    Edit::new(id, "job", data)
}
