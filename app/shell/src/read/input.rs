//! The text box and what fills it: paste, photo, example, clear.

use super::{examples, keys, photo};
use crate::app::App;
use crate::platform::dom::{Dom, El};
use crate::platform::state::{Kept, State};
use crate::platform::{caret, clipboard, page};
use crate::route;
use crate::text;
use crate::widgets::bits::{button, line, nothing, tag};
use leptos::prelude::*;
use wasm_bindgen::JsCast;
use web_sys::{ClipboardEvent, HtmlTextAreaElement};

/// The text box, for those who write into it.
pub type Area = Kept<HtmlTextAreaElement>;

/// What keeps a phone's keyboard from changing a log.
const PLAIN: [(&str, &str); 5] = [
    ("autocapitalize", "off"),
    ("autocomplete", "off"),
    ("autocorrect", "off"),
    ("spellcheck", "false"),
    ("translate", "no"),
];

/// The box with its buttons.
pub fn panel(app: App) -> Dom {
    let work = app.work;
    let text_box = El::new("textarea")
        .attr("id", "log-text")
        .class("log")
        .attr("rows", "5")
        .attr("placeholder", "Paste or type here");
    let text_box = PLAIN
        .into_iter()
        .fold(text_box, |el, (name, value)| el.attr(name, value));
    let area: Area = Kept::new(text_box.node().clone().unchecked_into());
    let lead = move || {
        if work.text.with(String::is_empty) {
            line("p", "lead", text::READ_LEAD)
        } else {
            nothing()
        }
    };
    let typing = Memo::new(move |_| work.photo.with(Option::is_some));
    let key_row = move || {
        if typing.get() {
            keys::row(app, area)
        } else {
            nothing()
        }
    };
    let hint = move || {
        if typing.get() {
            keys::hint(app, area)
        } else {
            nothing()
        }
    };
    let from_photo = move || {
        if typing.get() {
            let help = line("p", "small", text::PHOTO_HELP);
            tag("div", "", vec![photo::buttons(app, "Another photo"), help])
        } else {
            button("plain", "photo", "From a photo", move || {
                route::go(app.route, "/read?photo=1")
            })
        }
    };
    let examples_open = State::new(false);
    let more = move || {
        if examples_open.get() {
            examples::list(app, examples_open)
        } else {
            nothing()
        }
    };
    let empty = Memo::new(move |_| work.text.with(String::is_empty));
    let second = move || {
        if empty.get() {
            button("plain", "example", "Try an example", move || {
                examples_open.update(|o| *o = !*o)
            })
        } else {
            Dom::many(vec![
                changed(app),
                button("plain", "clear", "Clear", move || work.clear()),
            ])
        }
    };
    let text_box = text_box
        .live_attr("inputmode", move || {
            Some(if work.own_keys.get() { "none" } else { "text" }.to_owned())
        })
        .live_prop("value", move || work.text.get().into())
        .on("input", move |event| {
            typed(app, &event_target_value(&event), &event)
        })
        .on("paste", move |event| pasted(app, area, &event));
    let label = El::new("label")
        .class("unseen")
        .attr("for", "log-text")
        .text("Fault log text");
    Dom::many(vec![
        Dom::live(lead),
        label.done(),
        text_box.done(),
        Dom::live(hint),
        Dom::live(key_row),
        tag(
            "div",
            "row",
            vec![
                button("main", "paste", "Paste", move || paste(app)),
                Dom::live(from_photo),
                Dom::live(second),
            ],
        ),
        Dom::live(more),
    ])
}

/// A way back to the pasted text, where the text was changed since.
fn changed(app: App) -> Dom {
    let work = app.work;
    let differs = Memo::new(move |_| {
        work.original
            .with(|o| !o.is_empty() && work.text.with(|t| t != o))
    });
    let view = move || {
        if !differs.get() {
            return nothing();
        }
        button("plain", "undo", "Original text", move || {
            let before = work.text.get_untracked();
            work.put(work.original.get_untracked());
            app.toasts
                .undoable("The pasted text is back", move || work.put(before.clone()));
        })
    };
    Dom::live(view)
}

fn typed(app: App, value: &str, event: &web_sys::Event) {
    let pasted = event.dyn_ref::<web_sys::InputEvent>().is_some_and(|e| {
        matches!(
            e.input_type().as_str(),
            "insertFromPaste" | "insertFromDrop"
        )
    });
    if pasted {
        app.work.opened(value.to_owned());
    } else {
        app.work.typed(value.to_owned());
    }
}

/// A paste with a table in it is put in as rows; any other paste is the
/// browser's own work and comes back as an input event.
fn pasted(app: App, area: Area, event: &web_sys::Event) {
    let Some(table) = event
        .dyn_ref::<ClipboardEvent>()
        .and_then(clipboard::table_in)
    else {
        return;
    };
    event.prevent_default();
    let value = area.with_value(|area| caret::insert(area, &table));
    app.work.opened(value);
}

fn paste(app: App) {
    let work = app.work;
    leptos::task::spawn_local(async move {
        match clipboard::read().await {
            Some(text) if text.trim().is_empty() => app.toasts.say(text::PASTE_EMPTY),
            Some(text) => {
                let before = work.text.get_untracked();
                work.opened(text);
                if !before.trim().is_empty() {
                    app.toasts
                        .undoable("Pasted over the text that was here", move || {
                            work.opened(before.clone())
                        });
                }
            }
            None => {
                app.toasts.say(text::PASTE_REFUSED);
                page::focus("#log-text");
            }
        }
    });
}

/// Progress of a long text, with a way to stop.
pub fn progress(app: App) -> Dom {
    let work = app.work;
    let view = move || {
        let Some((done, total)) = work.progress.get() else {
            return nothing();
        };
        let percent = (done * 100).checked_div(total).unwrap_or(0).to_string();
        tag(
            "div",
            "progress",
            vec![
                line(
                    "label",
                    "",
                    "Reading a long text: ".to_owned() + &percent + " %",
                ),
                El::new("progress")
                    .attr("max", "100")
                    .attr("value", &percent)
                    .attr("aria-label", "Reading")
                    .done(),
                button("plain", "close", "Cancel", move || work.cancel()),
            ],
        )
    };
    Dom::live(view)
}
