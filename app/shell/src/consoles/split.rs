//! A new job made of some of another job's records: when one fault turned out
//! to be two.

use super::notes::Page;
use super::{Want, address, back, facts, field, job, loaded};
use crate::app::App;
use crate::platform::device;
use crate::platform::dom::{Dom, El};
use crate::platform::state::State;
use crate::route;
use crate::text;
use crate::widgets::bits::{button, line, tag, title};
use leptos::prelude::*;
use notebook::Edit;
use notebook::timeline::{self, Named};
use serde_json::json;

/// The page.
pub fn page(app: App, console: String, job: String) -> Dom {
    let chosen: State<Vec<String>> = State::new(Vec::new());
    let name = State::new(String::new());
    let home = console.clone();
    let list = loaded(app, Want::Console(console.clone()), move |page| {
        boxes(&home, &job, page, chosen, app)
    });
    let input = El::new("input")
        .attr("type", "text")
        .on("input", move |e| name.set(event_target_value(&e)));
    let to = address(&console);
    let act = button("main", "cut", "Make the new job", move || {
        let (console, all) = (console.clone(), chosen.get_untracked());
        leptos::task::spawn_local(async move {
            if all.is_empty() {
                app.toasts.say(text::SPLIT_NONE);
                return;
            }
            let new = device::random_id();
            let mut edits = vec![job::fresh(&console, &new, &name.get_untracked())];
            edits.extend(moved(app, all, &new).await);
            // One transaction: either all records move or none.
            if app.notes.save(&edits, &[]).await.is_ok() {
                route::go(app.route, &address(&console));
            }
        });
    });
    Dom::many(vec![
        back(&to, "Back to the console"),
        title("Split off a job"),
        line("p", "lead", text::SPLIT_LEAD),
        tag(
            "label",
            "field",
            vec![
                line("span", "", "What is wrong, in a few words"),
                input.done(),
            ],
        ),
        list,
        act,
    ])
}

/// These records, put into another job.
pub async fn moved(app: App, ids: Vec<String>, job: &str) -> Vec<Edit> {
    let mut edits = Vec::new();
    for id in ids {
        if let Some(record) = app.notes.record(&id).await {
            let mut edit = Edit::of(&record);
            edit.data.insert("job".to_owned(), json!(job));
            edits.push(edit);
        }
    }
    edits
}

fn boxes(console: &str, job: &str, page: &Page, chosen: State<Vec<String>>, app: App) -> Dom {
    let mut items = page.items();
    timeline::order(&mut items);
    let book = page
        .item(console)
        .map(|c| c.text("book").to_owned())
        .unwrap_or_default();
    let names = move |what: Named, id: &str| app.notes.name(&book, what, id);
    let today = device::today();
    let mut list = Vec::new();
    for item in timeline::of_job(&items, job) {
        let (title, more) = timeline::line(item, &names, &today);
        let id = item.id.clone();
        let input = El::new("input")
            .attr("type", "checkbox")
            .on("change", move |e| {
                let on = event_target_checked(&e);
                chosen.update(|all| {
                    all.retain(|i| *i != id);
                    if on {
                        all.push(id.clone());
                    }
                });
            });
        list.push(field::ticked(input, &title, &more));
    }
    if list.is_empty() {
        return line("p", "", text::SPLIT_EMPTY);
    }
    let of = page.item(job).map(|j| facts::name(&j)).unwrap_or_default();
    let legend = line(
        "legend",
        "",
        "Records of \u{201c}".to_owned() + &of + "\u{201d} that belong to the new job",
    );
    El::new("fieldset")
        .class("plainset")
        .kid(legend)
        .kids(list)
        .done()
}
