//! A short message above the navigation, with an undo where there is one.

use super::bits::{button, line, nothing, spoken, tag};
use crate::platform::dom::Dom;
use crate::platform::state::{Kept, State};
use crate::platform::{clipboard, page};
use std::rc::Rc;

/// How long a message stays, in milliseconds. With an undo it stays until it is
/// closed or replaced, as nobody should have to be quick.
const STAY: u64 = 6000;

type Undo = Option<Rc<dyn Fn()>>;

/// The message shown now.
#[derive(Clone, Copy)]
pub struct Toasts {
    text: State<String>,
    /// What comes back when another message is gone, until it is closed itself.
    lasting: Kept<String>,
    undo: Kept<Undo>,
    turn: Kept<u32>,
}

impl Toasts {
    /// No message yet.
    pub fn new() -> Self {
        Self {
            text: State::new(String::new()),
            lasting: Kept::new(String::new()),
            undo: Kept::new(None),
            turn: Kept::new(0),
        }
    }

    /// Says something for a while.
    pub fn say(self, text: impl Into<String>) {
        let turn = self.put(text.into(), None);
        page::later(STAY, move || {
            if self.turn.get_value() == turn {
                self.close();
            }
        });
    }

    /// Copies a text and says so.
    pub fn copy(self, text: String) {
        leptos::task::spawn_local(async move {
            self.say(if clipboard::write(&text).await {
                "Copied"
            } else {
                "The browser does not let this page copy."
            });
        });
    }

    /// Says something until it is closed. Other messages only cover it.
    pub fn stay(self, text: impl Into<String>) {
        let text = text.into();
        self.lasting.set_value(text.clone());
        self.put(text, None);
    }

    /// Says what was done, with a button that undoes it.
    pub fn undoable(self, text: impl Into<String>, undo: impl Fn() + 'static) {
        self.put(text.into(), Some(Rc::new(undo)));
    }

    /// Takes the message away.
    pub fn close(self) {
        self.undo.set_value(None);
        let covered = self.lasting.get_value();
        if self.text.with_untracked(|t| *t == covered) {
            self.lasting.set_value(String::new());
            self.text.set(String::new());
        } else {
            self.text.set(covered);
        }
    }

    fn put(self, text: String, undo: Undo) -> u32 {
        self.turn.update_value(|t| *t = t.wrapping_add(1));
        self.undo.set_value(undo);
        self.text.set(text);
        self.turn.get_value()
    }

    /// Where messages appear. The live region itself is always there, so that
    /// screen readers notice a change in it.
    pub fn view(self) -> Dom {
        let inner = move || {
            let text = self.text.get();
            if text.is_empty() {
                return nothing();
            }
            let undo = match self.undo.get_value() {
                Some(_) => button("plain", "undo", "Undo", move || {
                    let act = self.undo.get_value();
                    self.close();
                    if let Some(f) = act {
                        f();
                    }
                }),
                None => nothing(),
            };
            let close = button("plain slim", "close", "Close", move || self.close());
            tag("div", "toast", vec![line("p", "", text), undo, close])
        };
        spoken("toasts", vec![Dom::live(inner)])
    }
}
