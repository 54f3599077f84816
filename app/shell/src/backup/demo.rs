//! The demonstration notebook: invented consoles to look around in. Its records
//! have ids of their own, so that they come and go without touching others.

use crate::app::App;
use crate::consoles::notes::{Page, fault_words};
use crate::platform::dom::Dom;
use crate::platform::files;
use crate::text;
use crate::widgets::bits::{button, line, mark, nothing, tag};
use notebook::{Change, Item, Record, Store};

const FILE: &str = "/demo-notebook.json";
const MARK: &str = "demo-";

/// Whether a record came with the demonstration.
pub fn is_demo(id: &str) -> bool {
    id.starts_with(MARK)
}

/// Offers it, where there is no console yet.
pub fn offer(app: App) -> Dom {
    tag(
        "section",
        "note-box",
        vec![
            line("p", "", text::DEMO_OFFER),
            button("plain", "example", "Load the demonstration", move || {
                load(app)
            }),
        ],
    )
}

/// Takes it away again, where it is there.
pub fn taken(app: App, items: &[Item]) -> Dom {
    if !items.iter().any(|i| is_demo(&i.id)) {
        return nothing();
    }
    tag(
        "section",
        "note-box",
        vec![
            mark("warn", "info", text::DEMO_HERE),
            button("plain", "close", "Take the demonstration away", move || {
                remove(app)
            }),
        ],
    )
}

fn load(app: App) {
    let asked = files::fetch(FILE);
    leptos::task::spawn_local(async move {
        let list = files::list(&asked.await.unwrap_or_default());
        if list.is_empty() {
            app.toasts.say(text::NO_EXAMPLES);
            return;
        }
        let records: Vec<Record> = list
            .into_iter()
            .filter_map(|v| Record::from_json(v, &mut Vec::new()).ok())
            .filter(|r| is_demo(&r.id))
            .collect();
        match app.notes.merge(&records, &[]).await {
            Ok(_) => app.notes.tell(""),
            Err(fault) => drop(app.notes.report(&fault)),
        }
    });
}

/// Takes all of it away for good. What the person added to its consoles is
/// deleted like anything else, and can be brought back.
fn remove(app: App) {
    leptos::task::spawn_local(async move {
        let store = app.notes.store();
        let consoles = match store.of_kind("console").await {
            Ok(rows) => rows,
            Err(fault) => {
                app.notes.report(&fault);
                return;
            }
        };
        let mut drop_ids = Vec::new();
        for console in consoles.iter().filter(|c| is_demo(&c.id)) {
            let Ok(rows) = store.of_console(&console.id).await else {
                continue;
            };
            let page = Page::of(rows);
            for record in &page.records {
                if is_demo(&record.id) {
                    drop_ids.push(record.id.clone());
                } else if !record.gone() {
                    app.notes.edit(&record.id, |_, gone| *gone = true).await;
                }
            }
        }
        let change = |_| {
            Ok(Change {
                drop: drop_ids.clone(),
                ..Change::default()
            })
        };
        if let Err(fault) = store.change(&[], &mut { change }).await {
            app.toasts.say(fault_words(&fault));
        }
        app.notes.tell("");
    });
}
