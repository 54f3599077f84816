//! Tables for a spreadsheet.

use super::Progress;
use crate::app::App;
use crate::platform::device;
use crate::platform::dom::{Dom, El};
use crate::platform::state::State;
use crate::text;
use crate::widgets::bits::{button, line, section as part, tag};
use leptos::prelude::*;
use notebook::{Item, Row, csv};

/// The part of the page.
pub fn section(app: App) -> Dom {
    let private = State::new(false);
    let progress = Progress::new();
    let input = El::new("input")
        .attr("type", "checkbox")
        .on("change", move |e| {
            private.set(event_target_checked(&e));
        });
    let act = move |events: bool| {
        move || {
            progress.begin();
            leptos::task::spawn_local(async move {
                save(app, progress, events, private.get_untracked()).await;
                progress.end();
            });
        }
    };
    part(
        "tables",
        "Tables for a spreadsheet",
        vec![
            line("p", "", text::TABLES_LEAD),
            crate::consoles::ticked(input, "With private fields", text::SHEET_PRIVATE),
            tag(
                "div",
                "row",
                vec![
                    button("plain", "open", "Measurements (CSV)", act(false)),
                    button("plain", "open", "Log entries (CSV)", act(true)),
                ],
            ),
            progress.view("Reading the notebook"),
        ],
    )
}

async fn save(app: App, progress: Progress, events: bool, private: bool) {
    let mut items: Vec<Item> = Vec::new();
    let mut whole = true;
    let mut add = |rows: Vec<Row>| {
        let records = rows.iter().filter_map(|r| r.record(&mut Vec::new()).ok());
        items.extend(records.map(|r| Item::of(&r)));
        whole = progress.at(items.len(), items.len() + 1);
        whole
    };
    // Half a table would look like a whole one. What went wrong is said on top.
    if app.notes.through(&mut add).await.is_err() || !whole {
        return;
    }
    let (name, table) = if events {
        ("log-entries", csv::events(&items, private))
    } else {
        ("measurements", csv::measurements(&items, private))
    };
    if let Some(blob) = device::blob(table.as_bytes(), "text/csv;charset=utf-8") {
        device::download(&(name.to_owned() + ".csv"), &blob);
        app.toasts.say("The browser saves the file");
    }
}
