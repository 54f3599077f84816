//! Making a backup: read piece by piece, so that the whole notebook is never in
//! memory at once. Photos go from the database into the file without a copy in
//! this program but for their check sum.

use super::{LAST, Progress, last, last_words, refused};
use crate::app::App;
use crate::consoles::notes::{Notes, fault_words};
use crate::platform::dom::Dom;
use crate::platform::state::State;
use crate::platform::{device, files, inflate};
use crate::text;
use crate::widgets::bits::{button, count, line, mark, nothing, section as part, spoken, tag};
use js_sys::Array;
use notebook::backup::RefusedList;
use notebook::backup::write::{File, Layout, Made};
use notebook::backup::zip::{DEFLATED, STORED, Writer, crc32};
use notebook::{Row, Store};
use std::rc::Rc;
use wasm_bindgen::JsValue;
use web_sys::{Blob, BlobPropertyBag};

/// The media type. As a `.zip` few share sheets take it; then it is saved.
const KIND: &str = "application/zip";

/// Why a photo is not in the backup.
const UNREADABLE: &str = "The photo's file could not be read.";

struct Ready {
    name: String,
    blob: Blob,
    told: RefusedList,
    words: String,
}

/// The part of the page.
pub fn section(app: App) -> Dom {
    let progress = Progress::new();
    let ready: State<Option<Rc<Ready>>> = State::new(None);
    let wrong = State::new(String::new());
    let when = State::new(String::new());
    leptos::task::spawn_local(async move {
        let words = last_words(last(app).await);
        when.try_set(words);
    });
    let act = move || {
        progress.begin();
        ready.set(None);
        wrong.set(String::new());
        leptos::task::spawn_local(async move {
            let made = make(app, progress).await;
            progress.end();
            match made {
                Ok(made) => drop(ready.try_set(Some(Rc::new(made)))),
                Err(why) => drop(wrong.try_set(why)),
            }
        });
    };
    let done = move || {
        let why = wrong.get();
        if !why.is_empty() {
            return mark("bad", "bad", why);
        }
        let Some(made) = ready.get() else {
            return nothing();
        };
        let (a, b) = (made.clone(), made.clone());
        let mut row = Vec::new();
        if device::can_share(&made.name, &made.blob) {
            row.push(button("main", "share", "Share the file", move || {
                give(app, &a, true, when)
            }));
        }
        row.push(button("main", "open", "Save the file", move || {
            give(app, &b, false, when)
        }));
        Dom::many(vec![
            line("p", "told", &made.words),
            tag("div", "row", row),
            line("p", "small", text::BACKUP_WHERE),
            refused(&made.told),
        ])
    };
    part(
        "make",
        "Make a backup",
        vec![
            Dom::live(move || line("p", "", when.get())),
            button("main", "share", "Make a backup", act),
            progress.view("Reading the notebook"),
            spoken("", vec![Dom::live(done)]),
        ],
    )
}

fn give(app: App, made: &Rc<Ready>, share: bool, when: State<String>) {
    let made = made.clone();
    leptos::task::spawn_local(async move {
        let words = if share {
            match device::share_file(&made.name, &made.blob).await {
                device::Sent::Shared => "Handed over",
                device::Sent::Cancelled => return,
                device::Sent::Downloaded => "Sharing did not work. The file was saved instead.",
            }
        } else {
            device::download(&made.name, &made.blob);
            "The browser saves the file"
        };
        let now = device::now_ms().to_string();
        if let Err(fault) = app.notes.store().set_fact(LAST, &now).await {
            app.notes.report(&fault);
        }
        when.try_set(last_words(last(app).await));
        app.toasts.say(words);
    });
}

/// The archive while it grows.
struct Archive {
    writer: Writer,
    parts: Array,
    at: i64,
}

impl Archive {
    async fn add(&mut self, file: File) -> Result<(), String> {
        let crc = crc32(&file.bytes, 0);
        let raw = file.bytes.len() as u64;
        let packed = inflate::deflate_raw(&file.bytes).await;
        let (blob, method) = match packed {
            Some(blob) => (Some(blob), DEFLATED),
            None => (device::blob(&file.bytes, KIND), STORED),
        };
        let blob = blob.ok_or(text::NO_MEMORY)?;
        self.put(&file.path, crc, raw, &blob, method)
    }

    fn put(
        &mut self,
        path: &str,
        crc: u32,
        raw: u64,
        blob: &Blob,
        method: u16,
    ) -> Result<(), String> {
        let header = self
            .writer
            .file(path, crc, raw, size(blob), method, self.at)?;
        self.parts
            .push(&js_sys::Uint8Array::from(header.as_slice()));
        self.parts.push(blob);
        // A blob of blobs lets the browser move what it has to the disk.
        if self.parts.length() >= 64 {
            let joined = join(&self.parts).ok_or(text::NO_MEMORY)?;
            self.parts = Array::of1(&JsValue::from(joined));
        }
        Ok(())
    }
}

fn join(parts: &Array) -> Option<Blob> {
    let options = BlobPropertyBag::new();
    options.set_type(KIND);
    Blob::new_with_blob_sequence_and_options(parts, &options).ok()
}

#[allow(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "a size in bytes"
)]
fn size(blob: &Blob) -> u64 {
    blob.size() as u64
}

async fn make(app: App, progress: Progress) -> Result<Ready, String> {
    let notes = app.notes;
    let store = notes.store();
    let at = device::now_ms();
    let mut layout = Layout::new(Made {
        app: env!("CARGO_PKG_VERSION").to_owned(),
        at,
        ..Made::default()
    });
    let mut archive = Archive {
        writer: Writer::new(),
        parts: Array::new(),
        at,
    };
    let stopped = || text::BACKUP_STOPPED.to_owned();
    let consoles = store
        .of_kind("console")
        .await
        .map_err(|f| fault_words(&f))?;
    let photos = store.photo_ids().await.map_err(|f| fault_words(&f))?;
    let all = consoles.len() + photos.len() + 1;
    let mut laid_out = 0;
    for (done, console) in consoles.iter().enumerate() {
        if !progress.at(done, all) {
            return Err(stopped());
        }
        let rows = store
            .of_console(&console.id)
            .await
            .map_err(|f| fault_words(&f))?;
        laid_out += rows.len();
        for file in layout.console(&console.id, &rows) {
            archive.add(file).await?;
        }
    }
    // To look through all rows takes seconds. It is only done when some belong
    // to no console.
    let rows = store.count().await.map_err(|f| fault_words(&f))?;
    if usize::try_from(rows) != Ok(laid_out) {
        for file in layout.others(&others(notes, &layout).await?) {
            archive.add(file).await?;
        }
    }
    // While one photo is summed up, the browser reads the next one.
    let mut ahead = None;
    for (done, id) in photos.iter().map(Some).chain([None]).enumerate() {
        if !progress.at(consoles.len() + done, all) {
            return Err(stopped());
        }
        let mut next = None;
        if let Some(id) = id {
            match notes.photo(id).await {
                Some(blob) => {
                    let bytes = files::bytes(&blob);
                    next = Some((id, blob, bytes));
                }
                None => layout.told.add(id, UNREADABLE),
            }
        }
        let Some((id, blob, bytes)) = std::mem::replace(&mut ahead, next) else {
            continue;
        };
        let Some(bytes) = bytes.await else {
            layout.told.add(id, UNREADABLE);
            continue;
        };
        if let Ok(path) = layout.photo(id) {
            archive.put(&path, crc32(&bytes, 0), bytes.len() as u64, &blob, STORED)?;
        }
    }
    for file in layout.last() {
        archive.add(file).await?;
    }
    archive.parts.push(&js_sys::Uint8Array::from(
        archive.writer.finish().as_slice(),
    ));
    let blob = join(&archive.parts).ok_or(text::NO_MEMORY)?;
    let words = count(consoles.len(), "console", "consoles")
        + ", "
        + &count(photos.len(), "photo", "photos")
        + ", "
        + &super::megabytes(blob.size())
        + ". The file is ready.";
    Ok(Ready {
        name: "faultleaf-".to_owned() + &device::today() + ".zip",
        blob,
        told: layout.told,
        words,
    })
}

/// Rows of no console, damaged ones too.
async fn others(notes: Notes, layout: &Layout) -> Result<Vec<Row>, String> {
    let mut found = Vec::new();
    let mut add = |rows: Vec<Row>| {
        found.extend(rows.into_iter().filter(|r| layout.is_other(r)));
        true
    };
    notes.through(&mut add).await?;
    Ok(found)
}
