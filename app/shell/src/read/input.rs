//! The text box and what fills it: paste, photo, example, clear.

use super::{examples, keys, photo};
use crate::app::App;
use crate::platform::{caret, clipboard, page};
use crate::route;
use crate::text;
use crate::widgets::bits::{button, line, nothing, tag};
use leptos::html;
use leptos::prelude::*;
use wasm_bindgen::JsCast;
use web_sys::{ClipboardEvent, HtmlTextAreaElement};

/// The box with its buttons.
pub fn panel(app: App) -> AnyView {
    let area: NodeRef<html::Textarea> = NodeRef::new();
    let work = app.work;
    Effect::new(move |_| {
        if let Some(a) = area.get() {
            caret::no_autocorrect(&a);
        }
    });
    let lead = move || {
        if work.text.with(String::is_empty) { line("p", "lead", text::READ_LEAD) } else { nothing() }
    };
    let typing = Memo::new(move |_| work.photo.with(Option::is_some));
    let key_row = move || if typing.get() { keys::row(app, area) } else { nothing() };
    let hint = move || if typing.get() { keys::hint(app, area) } else { nothing() };
    let from_photo = move || {
        if typing.get() {
            let help = line("p", "small", text::PHOTO_HELP);
            tag("div", "", vec![photo::buttons(app, "Another photo"), help])
        } else {
            button("plain", "photo", "From a photo", move || route::go(app.route, "/read?photo=1"))
        }
    };
    let examples_open = RwSignal::new(false);
    let more = move || {
        if examples_open.get() { examples::list(app, examples_open) } else { nothing() }
    };
    let empty = Memo::new(move |_| work.text.with(String::is_empty));
    let second = move || {
        if empty.get() {
            vec![button("plain", "example", "Try an example", move || examples_open.update(|o| *o = !*o))]
        } else {
            vec![changed(app), button("plain", "clear", "Clear", move || work.clear())]
        }
    };
    view! {
        {lead}
        <label class="unseen" for="log-text">"Fault log text"</label>
        <textarea id="log-text" class="log" node_ref=area rows="5"
            autocapitalize="off" autocomplete="off" spellcheck="false" translate="no"
            placeholder="Paste or type here"
            inputmode=move || if work.own_keys.get() { "none" } else { "text" }
            prop:value=move || work.text.get()
            on:input=move |ev| typed(app, &event_target_value(&ev), &ev)
            on:paste=move |ev| pasted(app, area, &ev)></textarea>
        {hint}
        {key_row}
        <div class="row">
            {button("main", "paste", "Paste", move || paste(app))}
            {from_photo}
            {second}
        </div>
        {more}
    }
    .into_any()
}

/// A way back to the pasted text, where the text was changed since.
fn changed(app: App) -> AnyView {
    let work = app.work;
    let differs = Memo::new(move |_| {
        work.original.with(|o| !o.is_empty() && work.text.with(|t| t != o))
    });
    let view = move || {
        if !differs.get() {
            return nothing();
        }
        button("plain", "undo", "Original text", move || {
            let before = work.text.get_untracked();
            work.put(work.original.get_untracked());
            app.toasts.undoable("The pasted text is back", move || work.put(before.clone()));
        })
    };
    view.into_any()
}

fn typed(app: App, value: &str, event: &web_sys::Event) {
    let pasted = event
        .dyn_ref::<web_sys::InputEvent>()
        .is_some_and(|e| matches!(e.input_type().as_str(), "insertFromPaste" | "insertFromDrop"));
    if pasted {
        app.work.opened(value.to_owned());
    } else {
        app.work.typed(value.to_owned());
    }
}

/// A paste with a table in it is put in as rows; any other paste is the
/// browser's own work and comes back as an input event.
fn pasted(app: App, area: NodeRef<html::Textarea>, event: &ClipboardEvent) {
    let (Some(table), Some(area)) = (clipboard::table_in(event), area.get_untracked()) else { return };
    event.prevent_default();
    let area: HtmlTextAreaElement = area;
    let value = caret::insert(&area, &table);
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
                    app.toasts.undoable("Pasted over the text that was here", move || work.opened(before.clone()));
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
pub fn progress(app: App) -> AnyView {
    let work = app.work;
    let view = move || {
        let Some((done, total)) = work.progress.get() else { return nothing() };
        let percent = (done * 100).checked_div(total).unwrap_or(0).to_string();
        tag("div", "progress", vec![
            line("label", "", "Reading a long text: ".to_owned() + &percent + " %"),
            view! { <progress max="100" value=percent.clone() aria-label="Reading"></progress> }.into_any(),
            button("plain", "close", "Cancel", move || work.cancel()),
        ])
    };
    view.into_any()
}
