//! One's own books in the notebook: a record of the kind `book` for each, whose
//! former versions are the book's history.
//!
//! A record holds the text that is in use and, while somebody edits the book,
//! the unfinished text beside it. Only the text in use is read with.

use super::shelf::Held;
use crate::consoles::notes::Notes;
use crate::platform::state::effect;
use crate::platform::{page, storage};
use crate::text;
use codebook::Book;
use notebook::{Edit, Item, Record, kinds};
use serde_json::Value;

/// Where an earlier version of the app kept opened books.
const BEFORE: &str = "faultleaf.books";

/// Reads one's own books from the notebook, now and whenever one changed.
pub fn start(notes: Notes) {
    effect(move || {
        notes.books.track();
        leptos::task::spawn_local(async move {
            load(notes).await;
        });
    });
    // A notebook that does not answer must not keep the demonstration books
    // from being used.
    page::later(4000, move || {
        if !notes.shelf.ready.get_untracked() {
            notes.shelf.arrived();
            notes.shelf.arrived();
        }
    });
}

async fn load(notes: Notes) {
    let first = !notes.shelf.ready.get_untracked();
    if let Ok(all) = notes.quiet_kind(kinds::BOOK).await {
        let own = notes.shelf.own();
        let mut held = Vec::new();
        let mut drafts = Vec::new();
        for item in &all.items() {
            match read(item, &own) {
                Some(h) => held.push(h),
                None => drafts.push((item.text("book").to_owned(), item.text("name").to_owned())),
            }
        }
        // What could not be kept is there until the page is closed.
        held.extend(own.iter().filter(|h| !h.kept).cloned());
        notes.shelf.put_own(held);
        notes.shelf.drafts.set(drafts);
    }
    if first {
        notes.shelf.arrived();
        take_up_former(notes).await;
    }
}

/// The book of a record, if it is in use.
fn read(item: &Item, own: &[Held]) -> Option<Held> {
    let text = item.text("text");
    let mut held = match own.iter().find(|h| &*h.text == text && h.kept) {
        Some(before) => before.clone(),
        None => Held::own(Book::load(text.as_bytes()).ok()?, text),
    };
    let clash = item.view.clashes.iter().find(|(name, _)| name == "text");
    held.clash = clash
        .and_then(|(_, others)| others.first()?.as_str())
        .map(Into::into);
    Some(held)
}

/// Books that an earlier version of the app kept elsewhere are put into the
/// notebook.
async fn take_up_former(notes: Notes) {
    let Some(kept) = storage::get(BEFORE) else {
        return;
    };
    let mut left = Vec::new();
    for text in kept.as_array().into_iter().flatten() {
        let book = text.as_str().and_then(|t| Book::load(t.as_bytes()).ok());
        let taken = match (book, text.as_str()) {
            (Some(book), Some(text)) => keep(notes, book, text).await,
            _ => false,
        };
        // A text that this version can't read is not thrown away.
        if !taken {
            left.push(text.clone());
        }
    }
    if left.is_empty() {
        storage::remove(BEFORE);
    } else {
        storage::set(BEFORE, &left.into());
    }
}

/// An edit of a book's record, there or not yet; a deleted one comes back.
async fn edit_of(notes: Notes, id: &str) -> Edit {
    let record = kinds::book_record(id);
    let mut edit = match notes.record(&record).await {
        Some(before) => Edit::of(&before),
        None => Edit::new(&record, kinds::BOOK, notebook::Data::new()),
    };
    edit.gone = false;
    edit
}

/// Puts a book to use under its id and keeps it in the notebook. Gives `false`
/// when it is only there until the page is closed.
pub async fn keep(notes: Notes, book: Book, text: &str) -> bool {
    let (id, name) = (book.model.id.clone(), book.model.name.clone());
    let mut edit = edit_of(notes, &id).await;
    edit.data.remove("draft");
    for (field, value) in [("book", id.as_str()), ("name", &name), ("text", text)] {
        edit.data.insert(field.to_owned(), value.into());
    }
    let kept = notes.save(&[edit], &[]).await.is_ok();
    let mut own = notes.shelf.own();
    own.retain(|h| h.id() != id);
    let new = Held {
        kept,
        ..Held::own(book, text)
    };
    own.push(new);
    notes.shelf.put_own(own);
    notes.books.notify();
    kept
}

/// Says what became of a book; that it could not be kept is the more important.
pub fn say(notes: Notes, kept: bool, words: &'static str) {
    if kept {
        notes.toasts.say(words);
    } else {
        notes.toasts.stay(text::BOOK_SESSION);
    }
}

/// Keeps an unfinished text beside the one in use.
pub async fn keep_draft(notes: Notes, id: &str, doc: &Value) -> bool {
    let mut edit = edit_of(notes, id).await;
    let name = doc.get("name").cloned().unwrap_or_default();
    let all = [
        ("book", id.into()),
        ("name", name),
        ("draft", codebook::print(doc).into()),
    ];
    for (field, value) in all {
        edit.data.insert(field.to_owned(), value);
    }
    let kept = notes.save(&[edit], &[]).await.is_ok();
    notes.books.notify();
    kept
}

/// Takes a book off the device, with an undo.
pub fn remove(notes: Notes, id: &str, words: &'static str) {
    let mut own = notes.shelf.own();
    own.retain(|h| h.id() != id);
    notes.shelf.put_own(own);
    notes.delete(kinds::book_record(id), words);
}

/// The unfinished text of a record, or the one in use.
pub fn draft(record: &Record) -> Option<Value> {
    let view = record.view();
    if view.gone {
        return None;
    }
    let text = [view.text("draft"), view.text("text")];
    let text = text.into_iter().find(|t| !t.is_empty())?;
    serde_json::from_str(text).ok()
}
