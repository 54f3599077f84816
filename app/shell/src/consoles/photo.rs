//! Photos in forms and lists: taken, shown, opened.

use super::form::Form;
use crate::app::App;
use crate::platform::dom::{Dom, El};
use crate::platform::state::State;
use crate::platform::{device, files, page, picture};
use crate::text;
use crate::widgets::bits::{button, line, nothing, tag};
use leptos::prelude::*;
use notebook::kinds::Field;
use notebook::{Data, Edit};
use serde_json::{Value, json};
use web_sys::Blob;

/// The fields of a photo's record, from its file.
pub async fn data(taken: &picture::Taken) -> Data {
    let bytes = files::bytes(&taken.blob).await.unwrap_or_default();
    let mut data = Data::new();
    data.insert("day".to_owned(), json!(device::today()));
    data.insert("wide".to_owned(), json!(taken.wide));
    data.insert("high".to_owned(), json!(taken.high));
    data.insert("bytes".to_owned(), json!(bytes.len()));
    data.insert(
        "sum".to_owned(),
        json!(notebook::backup::zip::crc32(&bytes, 0)),
    );
    data
}

/// A photo as a record to save together with something else.
pub async fn edit(taken: &picture::Taken, id: &str, console: &str, job: &str) -> Edit {
    let mut data = data(taken).await;
    data.extend(notebook::filled(&[("console", console), ("job", job)]));
    Edit::new(id, "photo", data)
}

/// A field with a photo in it.
pub fn field(app: App, form: Form, f: &'static Field) -> Dom {
    let busy = State::new(false);
    let wrong = State::new(String::new());
    let input_id = "photo-".to_owned() + f.name;
    let chosen = move |file: web_sys::File| {
        busy.set(true);
        wrong.set(String::new());
        leptos::task::spawn_local(async move {
            let done = take(app, form, f.name, &file).await;
            busy.try_set(false);
            if let Err(why) = done {
                wrong.try_set(why);
            }
        });
    };
    let input = files::input(&input_id, "image/*", f.label, chosen);
    let shown = move || {
        form.typed.track();
        let id = form.text(f.name);
        let input_id = input_id.clone();
        let label = if busy.get() {
            text::PHOTO_WORKING
        } else if id.is_empty() {
            "Take or choose a photo"
        } else {
            "Another photo"
        };
        let mut row = vec![button("plain", "photo", label, move || {
            page::tap(&input_id)
        })];
        let thumb = if id.is_empty() {
            nothing()
        } else {
            row.push(button("plain", "close", "Take away", move || {
                form.set(f.name, Value::Null);
            }));
            thumb(app, id, f.label.to_owned())
        };
        Dom::many(vec![thumb, tag("div", "row", row)])
    };
    let why = move || {
        let why = wrong.get();
        if why.is_empty() {
            nothing()
        } else {
            line("p", "bad-words", why)
        }
    };
    let legend = line("legend", "", f.label);
    let said = crate::widgets::bits::spoken("", vec![Dom::live(why)]);
    El::new("fieldset")
        .class("plainset")
        .kids(vec![legend, Dom::live(shown), said, input])
        .done()
}

async fn take(app: App, form: Form, name: &'static str, file: &Blob) -> Result<(), String> {
    let taken = picture::take_in(file)
        .await
        .map_err(|r| r.words().to_owned())?;
    let id = device::random_id();
    let edit = edit(&taken, &id, &form.text("console"), &form.text("job")).await;
    app.notes.save(&[edit], &[(id.clone(), taken.blob)]).await?;
    form.set(name, Value::String(id));
    form.save();
    Ok(())
}

/// A small picture that opens the photo. Nothing where there is none.
pub fn thumb(app: App, id: String, caption: String) -> Dom {
    let found: State<Option<(Blob, String)>> = State::new(None);
    let missing = State::new(false);
    // The words come first: a list has many photos.
    page::after_paint(move || {
        leptos::task::spawn_local(async move {
            let Some(blob) = app.notes.photo(&id).await else {
                missing.try_set(true);
                return;
            };
            if let Some(address) = files::address(&blob)
                && found.try_set(Some((blob, address.clone()))).is_some()
            {
                files::release(&address);
            }
        });
    });
    on_cleanup(move || {
        if let Some((_, address)) = found.try_get_untracked().flatten() {
            files::release(&address);
        }
    });
    Dom::live(move || {
        if missing.get() {
            return line("p", "small", text::PHOTO_MISSING);
        }
        let Some((blob, address)) = found.get() else {
            return nothing();
        };
        let caption = caption.clone();
        let name = "Open photo: ".to_owned() + &caption;
        let img = El::new("img").attr("src", &address).attr("alt", "");
        El::new("button")
            .attr("type", "button")
            .class("thumb")
            .attr("aria-label", &name)
            .on("click", move |_| app.viewer.show(&blob, &caption))
            .kid(img.done())
            .done()
    })
}
