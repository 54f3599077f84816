//! Reading a backup in: first a look at what would happen, then the same steps
//! for real. Only one file of the backup is in memory at a time.

use super::{Progress, refused};
use crate::app::App;
use crate::consoles::address;
use crate::consoles::notes::fault_words;
use crate::platform::dom::Dom;
use crate::platform::state::State;
use crate::platform::{clock, files, inflate, page};
use crate::text;
use crate::widgets::bits::{
    button, count, fold, line, link, link_with, mark, nothing, section as part, spoken, tag,
};
use notebook::backup::FILE_LIMIT;
use notebook::backup::names::Is;
use notebook::backup::open::{Archive, File, Opening};
use notebook::backup::plan::{Counts, Plan};
use notebook::backup::records::Elements;
use notebook::backup::zip::{DEFLATED, crc32};
use notebook::{Record, Store, kinds};
use std::rc::Rc;
use web_sys::Blob;

/// Records compared and merged at once.
const BATCH: usize = 400;
/// Photos written at once.
const PICTURES: usize = 16;
/// The media type of a photo.
const JPEG: &str = "image/jpeg";

/// A backup that was looked at.
struct Looked {
    blob: Blob,
    archive: Archive,
    plan: Plan,
    /// It was read in, not only looked at.
    done: bool,
}

/// The part of the page.
pub fn section(app: App) -> Dom {
    let progress = Progress::new();
    let looked: State<Option<Rc<Looked>>> = State::new(None);
    let wrong = State::new(String::new());
    let look = move |file: web_sys::File| {
        progress.begin();
        looked.set(None);
        wrong.set(String::new());
        leptos::task::spawn_local(async move {
            let found = open(&file).await;
            let found = match found {
                Ok(archive) => go(app, progress, file.into(), archive, false).await,
                Err(why) => Err(why),
            };
            progress.end();
            match found {
                Ok(found) => drop(looked.try_set(Some(Rc::new(found)))),
                Err(why) => drop(wrong.try_set(why)),
            }
        });
    };
    let input = files::input("backup-file", ".zip,application/zip", "Backup file", look);
    let result = move || {
        let why = wrong.get();
        if !why.is_empty() {
            return mark("bad", "bad", why);
        }
        let Some(found) = looked.get() else {
            return nothing();
        };
        shown(app, &found, progress, looked, wrong)
    };
    part(
        "read-in",
        "Read a backup in",
        vec![
            line("p", "", text::IMPORT_LEAD),
            input,
            button("plain", "open", "Choose a backup file", || {
                page::tap("backup-file")
            }),
            progress.view("Reading the backup"),
            spoken("", vec![Dom::live(result)]),
        ],
    )
}

fn shown(
    app: App,
    found: &Rc<Looked>,
    progress: Progress,
    looked: State<Option<Rc<Looked>>>,
    wrong: State<String>,
) -> Dom {
    let plan = &found.plan;
    let mut parts = Vec::new();
    let t = &plan.total;
    let news = t.new + t.there + t.both + plan.photos.new > 0;
    if found.done && !news {
        // As when the file is gone by now.
        parts.push(mark("bad", "bad", text::IMPORT_NONE));
    } else if found.done {
        parts.push(mark("good", "check", text::IMPORT_DONE));
        parts.push(link_with(
            "plain",
            "/consoles",
            "console",
            "To the consoles",
        ));
    } else {
        parts.push(line("h3", "", "What would happen"));
        parts.push(line("p", "small", text::IMPORT_DRY));
    }
    if plan.about.made > 0 {
        let style = app.settings.get_untracked().clock();
        parts.push(line(
            "p",
            "",
            "Backup of ".to_owned() + &clock::moment(plan.about.made, style),
        ));
    }
    parts.push(counts("Records", &plan.total));
    let p = &plan.photos;
    let photos = numbers(&[
        (p.new, "new"),
        (p.same, "same"),
        (p.different, "different here, which stay"),
        (p.missing, "missing in the file and here"),
    ]);
    if !photos.is_empty() {
        parts.push(line("p", "", "Photos: ".to_owned() + &photos));
    }
    let by_console = plan
        .parts
        .iter()
        .map(|part| {
            let name = if part.name.is_empty() {
                "Records of another console, or of none"
            } else {
                &part.name
            };
            tag(
                "li",
                "",
                vec![line("b", "", name), counts("", &part.counts)],
            )
        })
        .collect();
    parts.push(fold(
        "Console by console",
        plan.parts.len() < 6,
        vec![tag("ul", "records", by_console)],
    ));
    parts.push(clashes(plan));
    for note in &plan.notes {
        parts.push(mark("warn", "info", note));
    }
    parts.push(refused(&plan.refused));
    if !found.done && news {
        let held = found.clone();
        parts.push(button("main", "open", "Read it in", move || {
            progress.begin();
            let held = held.clone();
            leptos::task::spawn_local(async move {
                let done = go(app, progress, held.blob.clone(), held.archive.clone(), true).await;
                progress.end();
                app.notes.tell("");
                match done {
                    Ok(done) => drop(looked.try_set(Some(Rc::new(done)))),
                    Err(why) => drop(wrong.try_set(why)),
                }
            });
        }));
    } else if !found.done {
        parts.push(line("p", "told", text::IMPORT_NOTHING));
    }
    tag("div", "", parts)
}

fn counts(before: &str, c: &Counts) -> Dom {
    let all = numbers(&[
        (c.new, "new"),
        (c.there, "changed in the backup"),
        (c.here, "changed here"),
        (c.both, "changed in both"),
        (c.same, "the same"),
        (c.deletes, "deleted in the backup, and then here too"),
        (c.returns, "deleted here, and coming back"),
    ]);
    let list = if all.is_empty() { "none" } else { &all };
    let before = if before.is_empty() {
        String::new()
    } else {
        before.to_owned() + ": "
    };
    line("p", "", before + list)
}

/// How many of what, without what there is none of.
fn numbers(all: &[(u32, &str)]) -> String {
    let some = all.iter().filter(|(n, _)| *n > 0);
    let words: Vec<String> = some.map(|(n, what)| n.to_string() + " " + what).collect();
    words.join(", ")
}

fn clashes(plan: &Plan) -> Dom {
    if plan.clashes.is_empty() {
        return nothing();
    }
    let mut list = Vec::new();
    for c in &plan.clashes {
        let kind = kinds::kind(&c.kind);
        let field = kind
            .and_then(|k| k.field(&c.field))
            .map_or(c.field.as_str(), |f| f.label);
        let head = kind.map_or("Record", |k| k.title).to_owned() + ": " + field;
        let to = address(&c.console) + "/" + &c.id;
        list.push(tag(
            "li",
            "",
            vec![
                link("", &to, vec![Dom::text(&head)]),
                line("p", "", "Here: ".to_owned() + &c.here),
                line("p", "", "In the backup: ".to_owned() + &c.there),
            ],
        ));
    }
    let head = count(list.len(), "field was", "fields were")
        + " changed in two ways. Both stay; you choose later.";
    let mark = mark("warn", "info", head);
    Dom::many(vec![mark, tag("ul", "problems", list)])
}

async fn stretch(blob: &Blob, at: u64, len: u64) -> Result<Vec<u8>, String> {
    let part = slice(blob, at, len)?;
    files::bytes(&part)
        .await
        .ok_or_else(|| text::FILE_UNREADABLE.to_owned())
}

#[allow(clippy::cast_precision_loss, reason = "a file is far below 2^53 bytes")]
fn slice(blob: &Blob, at: u64, len: u64) -> Result<Blob, String> {
    blob.slice_with_f64_and_f64(at as f64, at.saturating_add(len) as f64)
        .map_err(|_| text::FILE_UNREADABLE.to_owned())
}

#[allow(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "a size in bytes"
)]
async fn open(blob: &Blob) -> Result<Archive, String> {
    let mut opening = Opening::new(blob.size() as u64);
    while let Some((at, len)) = opening.want() {
        opening.take(&stretch(blob, at, len).await?);
    }
    opening.finish().map_err(str::to_owned)
}

/// The unpacked bytes of a file in the backup, checked.
async fn unpacked(blob: &Blob, file: &File) -> Result<Vec<u8>, String> {
    if file.entry.raw > FILE_LIMIT {
        return Err("The file would be too large.".to_owned());
    }
    let small = |n: u64| usize::try_from(n).unwrap_or(usize::MAX);
    let deflated = file.entry.method == DEFLATED;
    let (at, len) = file.entry.head();
    // What is not packed comes with its head: to look into a file takes the
    // browser longer than to give the bytes of a photo.
    let more = if deflated { 0 } else { file.entry.packed };
    let mut raw = stretch(blob, at, len.saturating_add(more)).await?;
    let head = raw.get(..small(len)).unwrap_or(&raw);
    let (from, len) = file.entry.body(head)?;
    if deflated {
        raw = inflate::inflate_raw(&slice(blob, from, len)?, file.entry.raw).await?;
    } else {
        raw.drain(..small(from - at).min(raw.len()));
        let got = raw.len() as u64;
        if got < len {
            raw.extend(stretch(blob, from + got, len - got).await?);
        }
    }
    file.entry.check(&raw)?;
    Ok(raw)
}

/// Goes through the backup. With `write`, what is new is taken in on the way.
async fn go(
    app: App,
    progress: Progress,
    blob: Blob,
    archive: Archive,
    write: bool,
) -> Result<Looked, String> {
    let store = app.notes.store();
    let stopped = || {
        let words = if write {
            text::IMPORT_STOPPED
        } else {
            text::BACKUP_STOPPED
        };
        words.to_owned()
    };
    let mut plan = Plan::new(&archive);
    let here = store.photo_ids().await.map_err(|f| fault_words(&f))?;
    // On a new device there is nothing to compare with. What another tab writes
    // meanwhile is merged all the same.
    let some = store.count().await.map_err(|f| fault_words(&f))? > 0;
    let (mut news, mut pictures) = (Vec::new(), Vec::new());
    let all = archive.files.len();
    for (done, file) in archive.files.iter().enumerate() {
        if !progress.at(done, all) {
            return Err(stopped());
        }
        let path = &file.entry.path;
        if let Is::Photo(id) = &file.is {
            merge(app, &std::mem::take(&mut news), &[]).await?;
            let own = here.contains(id);
            pictures.extend(photo(app, &blob, file, (id, own), &mut plan, write).await?);
            if pictures.len() >= PICTURES {
                merge(app, &[], &std::mem::take(&mut pictures)).await?;
            }
            continue;
        }
        if !matches!(file.is, Is::About | Is::Records) {
            continue;
        }
        let bytes = match unpacked(&blob, file).await {
            Ok(bytes) => bytes,
            Err(why) => {
                plan.refused.add(path, &why);
                continue;
            }
        };
        if file.is == Is::About {
            plan.about(&bytes);
            continue;
        }
        let mut list = match Elements::new(&bytes) {
            Ok(list) => list,
            Err(why) => {
                plan.refused.add(path, why);
                continue;
            }
        };
        loop {
            let records = plan.batch(&mut list, path, BATCH);
            if records.is_empty() {
                break;
            }
            let mut rows = Vec::new();
            if some {
                let ids: Vec<String> = records.iter().map(|r| r.id.clone()).collect();
                rows = store.rows(&ids).await.map_err(|f| fault_words(&f))?;
            }
            let new = plan.take(records, &rows);
            if write {
                news.extend(new);
            }
            // A console has less. To write takes a phone some time, however
            // little it is.
            if news.len() >= BATCH {
                merge(app, &std::mem::take(&mut news), &[]).await?;
            }
            if !progress.at(done, all) {
                return Err(stopped());
            }
        }
    }
    merge(app, &news, &pictures).await?;
    plan.finish(&here);
    Ok(Looked {
        blob,
        archive,
        plan,
        done: write,
    })
}

async fn merge(app: App, records: &[Record], photos: &[(String, Blob)]) -> Result<(), String> {
    if records.is_empty() && photos.is_empty() {
        return Ok(());
    }
    let done = app.notes.merge(records, photos).await;
    done.map(drop).map_err(|f| fault_words(&f))
}

/// The photo, if it is to be taken in. `own` says whether there is one of this
/// id here.
async fn photo(
    app: App,
    blob: &Blob,
    file: &File,
    (id, own): (&str, bool),
    plan: &mut Plan,
    write: bool,
) -> Result<Option<(String, Blob)>, String> {
    let store = app.notes.store();
    let row = plan.knows(id) || store.row(id).await.map_err(|f| fault_words(&f))?.is_some();
    let own = if own { app.notes.photo(id).await } else { None };
    let here = match &own {
        Some(own) => {
            let bytes = files::bytes(own).await.unwrap_or_default();
            Some((crc32(&bytes, 0), bytes.len() as u64))
        }
        None => None,
    };
    if plan.photo(id, file.entry.crc, file.entry.raw, here, row) {
        // Unpacked for the look as well, so that a damaged one is told before.
        let why = match unpacked(blob, file).await {
            Ok(bytes) if !bytes.starts_with(&[0xFF, 0xD8, 0xFF]) => {
                "This is no JPEG picture.".to_owned()
            }
            Ok(bytes) if write => {
                let picture = crate::platform::device::blob(&bytes, JPEG).ok_or(text::NO_MEMORY)?;
                return Ok(Some((id.to_owned(), picture)));
            }
            Ok(_) => return Ok(None),
            Err(why) => why,
        };
        plan.refused.add(&file.entry.path, &why);
        plan.photos.new = plan.photos.new.saturating_sub(1);
    }
    Ok(None)
}
