//! Logs to try: a chosen few of the demonstration logs, as the list beside them
//! names them. They are invented, like the consoles they come from.

use crate::app::App;
use crate::platform::dom::{Dom, El};
use crate::platform::state::State;
use crate::platform::{files, page};
use crate::text;
use crate::widgets::bits::{line, nothing, tag};
use serde_json::Value;

const FOLDER: &str = "/demo/";

/// The list; it is fetched when it is first wanted.
pub fn list(app: App, open: State<bool>) -> Dom {
    let rows: State<Option<Vec<Value>>> = State::new(None);
    leptos::task::spawn_local(async move {
        let bytes = files::fetch("/demo/index.json").await.unwrap_or_default();
        rows.set(Some(files::list(&bytes)));
    });
    let view = move || match rows.get() {
        None => nothing(),
        Some(rows) if rows.is_empty() => line("p", "", text::NO_EXAMPLES),
        Some(rows) => tag(
            "div",
            "examples",
            rows.iter().map(|r| item(app, r, open)).collect(),
        ),
    };
    Dom::many(vec![line("p", "small", text::EXAMPLES), Dom::live(view)])
}

fn item(app: App, row: &Value, open: State<bool>) -> Dom {
    let text = |key: &str| {
        row.get(key)
            .and_then(Value::as_str)
            .unwrap_or_default()
            .to_owned()
    };
    let file = text("file");
    let words = vec![
        line("b", "", text("title")),
        line("span", "small", text("about")),
    ];
    let button = El::new("button")
        .attr("type", "button")
        .class("plain example");
    button
        .kid(tag("span", "", words))
        .on("click", move |_| take(app, file.clone(), open))
        .done()
}

fn take(app: App, file: String, open: State<bool>) {
    leptos::task::spawn_local(async move {
        match files::fetch(&(FOLDER.to_owned() + &file)).await {
            Some(bytes) => {
                open.set(false);
                app.work.opened(files::text(&bytes));
                page::focus("#summary");
            }
            None => app.toasts.say(text::NO_EXAMPLES),
        }
    });
}
