//! The text being read: what was typed, what it was read to, and when to read
//! again. It outlives the page of the read place.

use super::draft::{self, Draft};
use crate::books::shelf::Shelf;
use crate::platform::state::{Kept, State, effect};
use crate::platform::{page, storage};
use crate::text;
use crate::widgets::toast::Toasts;
use codebook::Book;
use reading::Reader;
use reading::explain::Explained;
use reading::result::Reading;
use std::collections::BTreeMap;
use std::rc::Rc;

/// Wait after the last key before reading, in milliseconds.
const PAUSE: u64 = 120;
/// Wait before the draft is kept, in milliseconds.
const KEEP: u64 = 300;
/// Wait before the reader is tried out, in milliseconds.
const WARM: u64 = 400;

/// A text and what it was read to.
pub struct Outcome {
    /// The text that was read. Spans of the reading are places in it.
    pub text: String,
    /// What it says.
    pub reading: Reading,
    /// The books it was read with.
    pub books: Vec<Rc<Book>>,
}

/// An outcome, explained.
pub struct Seen {
    /// What was read.
    pub outcome: Rc<Outcome>,
    /// What it means for the chosen boards.
    pub told: Explained,
    /// Only this console, or all.
    pub console: Option<usize>,
}

/// The state of the read place.
#[derive(Clone, Copy)]
pub struct Work {
    /// The text in the box.
    pub text: State<String>,
    /// The text as it was pasted.
    pub original: State<String>,
    /// The chosen board of each book.
    pub boards: State<BTreeMap<String, String>>,
    /// Accepted guesses.
    pub confirmed: State<Vec<String>>,
    /// What the text was read to.
    pub outcome: State<Option<Rc<Outcome>>>,
    /// That, explained for the chosen boards and console.
    pub seen: State<Option<Rc<Seen>>>,
    /// The same, a moment later: what is further down the page is drawn after
    /// the top of it is on the screen.
    pub below: State<Option<Rc<Seen>>>,
    /// An example, to be drawn once while nobody waits.
    pub(super) warm: State<Option<Rc<Seen>>>,
    /// The console looked at; 0 means all.
    pub console: State<usize>,
    /// Steps done and to do while a long text is read.
    pub progress: State<Option<(usize, usize)>>,
    /// The address of the photo that is typed from.
    pub photo: State<Option<String>>,
    /// Its file.
    pub photo_file: Kept<Option<web_sys::Blob>>,
    /// The next letters typed go through the key row only.
    pub own_keys: State<bool>,
    pub(super) reader: Kept<Option<(Reader, Vec<Rc<Book>>)>>,
    toasts: Toasts,
    pub(super) turn: Kept<u32>,
    saving: Kept<bool>,
    told: Kept<bool>,
}

impl Work {
    /// Takes up the kept draft and reads it as soon as the books are there.
    pub fn start(shelf: Shelf, toasts: Toasts) -> Self {
        let d = draft::load();
        let work = Self {
            text: State::new(d.text),
            original: State::new(d.original),
            boards: State::new(d.boards),
            confirmed: State::new(d.confirmed),
            outcome: State::new(None),
            seen: State::new(None),
            below: State::new(None),
            warm: State::new(None),
            console: State::new(0),
            progress: State::new(None),
            photo: State::new(None),
            photo_file: Kept::new(None),
            own_keys: State::new(false),
            reader: Kept::new(None),
            toasts,
            turn: Kept::new(0),
            saving: Kept::new(false),
            told: Kept::new(storage::blocked()),
        };
        effect(move || {
            let books = shelf.books();
            if shelf.ready.get() {
                work.reader
                    .set_value(Some((Reader::new(books.clone()), books)));
                work.read();
                page::later(WARM, move || work.warm_up());
            }
        });
        effect(move || work.explain());
        page::on_leaving(move || work.keep());
        work
    }

    /// The person typed: read after a short pause.
    pub fn typed(self, text: String) {
        self.text.set(text);
        self.keep_soon();
        let turn = self.next_turn();
        page::later(PAUSE, move || {
            if self.turn.get_value() == turn {
                self.read();
            }
        });
    }

    /// A whole text came in: pasted, shared, an example. Read at once.
    pub fn opened(self, text: String) {
        self.original.set(text.clone());
        self.confirmed.set(Vec::new());
        self.console.set(0);
        self.text.set(text);
        self.keep_soon();
        self.read();
    }

    /// Replaces a stretch of the text that was read, with an undo. When the text
    /// in the box is another one by now, the places are no longer true: then it
    /// is only read again.
    pub fn replace(self, from: usize, to: usize, by: &str) {
        let before = self.text.get_untracked();
        let current = self
            .outcome
            .with_untracked(|o| o.as_ref().is_some_and(|o| o.text == before));
        if !current {
            self.read();
            return;
        }
        let (Some(head), Some(was), Some(tail)) =
            (before.get(..from), before.get(from..to), before.get(to..))
        else {
            return;
        };
        let message = "Changed ".to_owned() + was + " to " + by;
        let text = head.to_owned() + by + tail;
        self.put(text);
        self.toasts
            .undoable(message, move || self.put(before.clone()));
    }

    /// Puts another text in the box and reads it, keeping the original.
    pub fn put(self, text: String) {
        self.text.set(text);
        self.keep_soon();
        self.read();
    }

    /// Empties the box, with an undo.
    pub fn clear(self) {
        let before = self.draft();
        self.take(Draft {
            boards: before.boards.clone(),
            ..Draft::default()
        });
        self.toasts
            .undoable("Cleared", move || self.take(before.clone()));
    }

    /// Accepts a guess, or takes that back.
    pub fn confirm(self, key: String) {
        self.turn_over(&key);
        if self.confirmed.with_untracked(|c| c.contains(&key)) {
            self.toasts
                .undoable("Accepted", move || self.turn_over(&key));
        }
    }

    fn turn_over(self, key: &str) {
        self.confirmed.update(|c| {
            let before = c.len();
            c.retain(|k| k != key);
            if c.len() == before {
                c.push(key.to_owned());
            }
        });
        self.keep_soon();
    }

    /// Chooses a board; an empty id means "not known".
    pub fn choose_board(self, book: String, board: String) {
        self.boards.update(|b| {
            if board.is_empty() {
                b.remove(&book);
            } else {
                b.insert(book, board);
            }
        });
        self.keep_soon();
    }

    /// Keeps the draft now.
    pub fn keep(self) {
        self.saving.set_value(false);
        if !draft::save(&self.draft()) && !self.told.get_value() {
            self.told.set_value(true);
            self.toasts.stay(text::DRAFT_NOT_KEPT);
        }
    }

    /// Stops reading a long text.
    pub fn cancel(self) {
        self.next_turn();
        self.progress.set(None);
        self.toasts
            .say("Reading stopped. Change the text to read again.");
    }

    fn draft(self) -> Draft {
        Draft {
            text: self.text.get_untracked(),
            original: self.original.get_untracked(),
            boards: self.boards.get_untracked(),
            confirmed: self.confirmed.get_untracked(),
        }
    }

    fn take(self, draft: Draft) {
        self.original.set(draft.original);
        self.confirmed.set(draft.confirmed);
        self.boards.set(draft.boards);
        self.put(draft.text);
    }

    fn keep_soon(self) {
        if !self.saving.get_value() {
            self.saving.set_value(true);
            page::later(KEEP, move || {
                if self.saving.get_value() {
                    self.keep();
                }
            });
        }
    }

    pub(super) fn next_turn(self) -> u32 {
        self.turn.update_value(|t| *t = t.wrapping_add(1));
        self.turn.get_value()
    }
}

/// What a guess says, as a key: the same slip in the same line is the same
/// guess, wherever it stands.
pub fn guess_key(raw: &str, field: &str, from: &str, to: &str) -> String {
    [raw, field, from, to].join("\u{1f}")
}
