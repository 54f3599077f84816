//! The form of a record, saved by itself while one types.
//!
//! What is typed goes to the database after a short pause, into the same version
//! of the record as long as the form is open. If another tab or device wrote a
//! version meanwhile, both stay (see `notebook::Record`). What there is no time
//! left to save when the page is left is kept aside and saved at the next start.

use super::notes::Notes;
use crate::platform::page;
use crate::platform::state::{Kept, State, effect};
use leptos::prelude::*;
use notebook::{Data, Edit, Key, Record};
use send_wrapper::SendWrapper;
use serde_json::Value;
use std::rc::Rc;
use web_sys::Blob;

/// Wait after the last change before it is saved, in milliseconds.
const PAUSE: u64 = 350;

/// How far saving is.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub enum Saving {
    /// Nothing was changed yet.
    #[default]
    Fresh,
    /// Something is changed and not saved yet.
    Changed,
    /// All is saved.
    Saved,
    /// It could not be saved; the words say why.
    Failed(String),
}

/// An open form.
#[derive(Clone, Copy)]
pub struct Form {
    /// The notebook.
    pub notes: Notes,
    id: Kept<String>,
    kind: Kept<String>,
    data: Kept<Data>,
    first: Kept<Data>,
    seen: Kept<Vec<Key>>,
    amend: Kept<Option<Key>>,
    /// How far saving is.
    pub state: State<Saving>,
    /// Goes up when fields are to be drawn anew.
    pub redraw: State<u32>,
    /// Goes up with every change, for what follows the fields.
    pub typed: State<u32>,
    /// Somebody else changed the record while the form was open.
    pub other: State<bool>,
    busy: Kept<bool>,
    turn: Kept<u32>,
    open: Kept<bool>,
    after: Kept<Option<Rc<dyn Fn()>>>,
    /// What comes after is done whether or not the save comes through.
    anyway: Kept<bool>,
    file: Kept<Option<Blob>>,
}

impl Form {
    /// A form for a record that is there, or for a new one that begins with
    /// this data.
    pub fn open(notes: Notes, id: &str, kind: &str, record: Option<&Record>, data: Data) -> Self {
        let form = Self {
            notes,
            id: Kept::new(id.to_owned()),
            kind: Kept::new(kind.to_owned()),
            data: Kept::new(data.clone()),
            first: Kept::new(data),
            seen: Kept::new(record.map(Record::seen).unwrap_or_default()),
            amend: Kept::new(None),
            state: State::new(Saving::Fresh),
            redraw: State::new(0),
            typed: State::new(0),
            other: State::new(false),
            busy: Kept::new(false),
            turn: Kept::new(0),
            open: Kept::new(true),
            after: Kept::new(None),
            anyway: Kept::new(false),
            file: Kept::new(None),
        };
        page::on_leaving(move || form.leave());
        let begun = Kept::new(false);
        effect(move || {
            let id = notes.elsewhere.get();
            // What was said before the form was opened is in the record already.
            let new = begun.get_value();
            begun.set_value(true);
            if new && form.id.try_with_value(|own| *own == id) == Some(true) {
                form.other.set(true);
            }
        });
        let at_end = SendWrapper::new(form);
        on_cleanup(move || {
            let form = *at_end;
            // Links inside the app leave the form without a word.
            form.leave();
            form.open.try_update_value(|o| *o = false);
        });
        form
    }

    /// A field's text; empty when it has none.
    pub fn text(self, name: &str) -> String {
        self.data
            .with_value(|d| d.get(name).and_then(Value::as_str).unwrap_or("").to_owned())
    }

    /// A field's value.
    pub fn value(self, name: &str) -> Option<Value> {
        self.data.with_value(|d| d.get(name).cloned())
    }

    /// Changes a field; an empty one is taken out.
    pub fn set(self, name: &str, value: Value) {
        self.data.update_value(|d| {
            let empty = matches!(&value, Value::Null | Value::Bool(false))
                || value.as_str() == Some("")
                || value.as_array().is_some_and(Vec::is_empty);
            if empty {
                d.remove(name);
            } else {
                d.insert(name.to_owned(), value);
            }
        });
        self.changed();
    }

    /// Takes in the photo of a photo's record: its fields, and the file, which
    /// goes to the database together with them. A day that was chosen stays.
    pub fn attach(self, fields: Data, file: Blob) {
        // To put back what was typed does not take the photo away.
        for held in [self.data, self.first] {
            held.update_value(|d| {
                for (name, value) in &fields {
                    if name != "day" || !d.contains_key("day") {
                        d.insert(name.clone(), value.clone());
                    }
                }
            });
        }
        self.file.set_value(Some(file));
        self.changed();
        self.save();
    }

    /// Whether there is a photo that is not saved yet.
    pub fn holds_file(self) -> bool {
        self.file.with_value(Option::is_some)
    }

    /// Something was changed: save it soon.
    fn changed(self) {
        self.state.set(Saving::Changed);
        self.typed.update(|t| *t = t.wrapping_add(1));
        self.turn.update_value(|t| *t = t.wrapping_add(1));
        let turn = self.turn.get_value();
        page::later(PAUSE, move || {
            if self.turn.try_get_value() == Some(turn) {
                self.save();
            }
        });
    }

    /// What the form would save now.
    pub fn edit(self) -> Edit {
        Edit {
            id: self.id.get_value(),
            kind: self.kind.get_value(),
            seen: self.seen.get_value(),
            amend: self.amend.get_value(),
            gone: false,
            data: self.data.get_value(),
        }
    }

    /// Whether it is still there.
    pub fn is_open(self) -> bool {
        self.open.try_get_value() == Some(true)
    }

    /// Whether something is not saved yet.
    pub fn unsaved(self) -> bool {
        self.state
            .with_untracked(|s| matches!(s, Saving::Changed | Saving::Failed(_)))
    }

    /// Saves now, if there is something to save.
    pub fn save(self) {
        if self.busy.try_get_value() != Some(false) || !self.unsaved() {
            return;
        }
        self.busy.set_value(true);
        let edit = self.edit();
        // Now: on the way out there is no form any more a moment later.
        let file = self.file.get_value().map(|f| (edit.id.clone(), f));
        leptos::task::spawn_local(async move {
            let turn = self.turn.try_get_value();
            let files = file.as_slice();
            let done = self.notes.save(std::slice::from_ref(&edit), files).await;
            // The form may be closed by now; what it had is saved all the same.
            if self.busy.try_update_value(|b| *b = false).is_none() {
                return;
            }
            if self.anyway.get_value() {
                if let Some(act) = self.after.get_value() {
                    act();
                }
                return;
            }
            match done {
                Ok(saved) => {
                    self.amend.set_value(saved.first().map(|s| s.key.clone()));
                    if self.turn.try_get_value() == turn {
                        if !files.is_empty() {
                            self.file.set_value(None);
                            self.redraw.update(|r| *r = r.wrapping_add(1));
                        }
                        self.state.set(Saving::Saved);
                        self.notes.saved_after_all(&edit.id);
                        if let Some(act) = self.after.get_value() {
                            act();
                        }
                    } else {
                        self.save();
                    }
                }
                Err(why) => {
                    self.after.set_value(None);
                    self.state.set(Saving::Failed(why));
                }
            }
        });
    }

    /// Saves and then does something, such as going elsewhere. What can't be
    /// saved stays on the page, and nothing is done.
    pub fn finish(self, act: Rc<dyn Fn()>) {
        if self.unsaved() {
            self.after.set_value(Some(act));
            self.save();
        } else {
            act();
        }
    }

    /// Saves no more, and does something once a save under way is over: what
    /// was typed is kept elsewhere.
    pub fn end(self, act: Rc<dyn Fn()>) {
        self.state.set(Saving::Fresh);
        if self.busy.get_value() {
            self.after.set_value(Some(act));
            self.anyway.set_value(true);
        } else {
            act();
        }
    }

    /// The page goes away: keep what is not saved where it can be kept at once,
    /// and save it.
    fn leave(self) {
        if self.open.try_get_value() == Some(true) && self.unsaved() {
            let mut edit = self.edit();
            // It goes on from what this form saved before, also from what is on
            // its way to the database right now.
            if let Some(mut own) = edit.amend.take() {
                own.n = own.n.saturating_add(1);
                edit.seen.push(own);
            }
            if self.holds_file() {
                // A file can't be kept there, so nothing may speak of it.
                for name in ["wide", "high", "bytes", "sum"] {
                    edit.data.remove(name);
                }
            }
            self.notes.pending(&edit);
            self.save();
        }
    }

    /// Puts everything back to how it was when the form was opened, as a new
    /// version: what was typed stays among the former versions.
    pub fn back_to_first(self) {
        self.data.set_value(self.first.get_value());
        if let Some(own) = self.amend.get_value() {
            self.seen.set_value(vec![own]);
            self.amend.set_value(None);
        }
        self.redraw.update(|r| *r = r.wrapping_add(1));
        self.changed();
    }

    /// Whether anything differs from how it was when the form was opened.
    pub fn differs(self) -> bool {
        self.typed.track();
        self.data.with_value(|d| self.first.with_value(|f| d != f))
    }
}
