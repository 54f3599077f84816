//! The sheet that opens over the page for one doubt: accept it, write something
//! else, or go to the place in the text box.

use super::work::{Work, guess_key};
use crate::platform::dom::{Dom, El};
use crate::platform::state::{Kept, State};
use crate::platform::{caret, page};
use crate::widgets::bits::{button, field, line, mark, nothing, sentence, tag};
use leptos::prelude::*;
use reading::result::Span;
use wasm_bindgen::JsCast;
use web_sys::HtmlDialogElement;

/// A guess, or a line that can't be read for sure.
#[derive(Clone)]
pub struct Doubt {
    /// The line.
    pub line: usize,
    /// The text of the entry.
    pub raw: String,
    /// The field's name.
    pub field: String,
    /// What people call the field.
    pub label: String,
    /// The characters in doubt, as written.
    pub from: String,
    /// What they were read as.
    pub to: String,
    /// Why.
    pub why: String,
    /// The check field agrees.
    pub agreed: bool,
    /// What they may be.
    pub choices: Vec<String>,
    /// What to write for each of them.
    pub puts: Vec<String>,
    /// Where they are.
    pub place: Option<Span>,
    /// It was read; otherwise the line was left alone.
    pub guess: bool,
}

impl Doubt {
    /// What it says, for the list of accepted guesses.
    pub fn key(&self) -> String {
        guess_key(&self.raw, &self.field, &self.from, &self.to)
    }

    /// Whether nothing needs to be done about it.
    pub fn settled(&self, confirmed: &[String]) -> bool {
        self.guess && (self.agreed || confirmed.contains(&self.key()))
    }
}

/// The sheet. There is one, shown for one doubt at a time.
#[derive(Clone, Copy)]
pub struct Sheet {
    now: State<Option<Doubt>>,
    value: State<String>,
    dialog: Kept<Option<HtmlDialogElement>>,
}

impl Sheet {
    /// Closed.
    pub fn new() -> Self {
        Self {
            now: State::new(None),
            value: State::new(String::new()),
            dialog: Kept::new(None),
        }
    }

    /// Opens it.
    pub fn show(self, doubt: Doubt) {
        self.value.set(if doubt.to.is_empty() {
            doubt.from.clone()
        } else {
            doubt.to.clone()
        });
        self.now.set(Some(doubt));
        if let Some(d) = self.dialog.get_value() {
            page::open_dialog(&d);
        }
    }

    fn close(self) {
        if let Some(d) = self.dialog.get_value() {
            d.close();
        }
    }

    /// The dialog itself.
    pub fn view(self, work: Work) -> Dom {
        let inside = move || {
            self.now
                .get()
                .map_or_else(nothing, |d| self.inside(work, &d))
        };
        let dialog = El::new("dialog")
            .class("sheet")
            .attr("aria-labelledby", "sheet-title")
            .on("close", move |_| self.now.set(None));
        self.dialog.set_value(dialog.node().clone().dyn_into().ok());
        dialog.kid(Dom::live(inside)).done()
    }

    fn inside(self, work: Work, d: &Doubt) -> Dom {
        let mut buttons = Vec::new();
        if d.guess {
            let key = d.key();
            let label = if work.confirmed.with_untracked(|c| c.contains(&key)) {
                "Take the acceptance back".to_owned()
            } else {
                "Accept ".to_owned() + &d.to
            };
            buttons.push(button("main", "check", label, move || {
                work.confirm(key.clone());
                self.close();
                super::check::next_doubt();
            }));
        }
        let place = d.place;
        for (choice, by) in d.choices.iter().zip(&d.puts) {
            let by = by.clone();
            buttons.push(button("choice", "", choice.clone(), move || {
                self.use_text(work, place, &by)
            }));
        }
        let write = move || self.value.with_untracked(|v| self.use_text(work, place, v));
        let agreed = if d.agreed {
            mark("good", "check", "The check field agrees with this guess.")
        } else {
            nothing()
        };
        let heading = if d.guess {
            "A guess"
        } else {
            "Not readable for sure"
        };
        Dom::many(vec![
            El::new("h2").attr("id", "sheet-title").text(heading).done(),
            d.head(),
            line("p", "why", sentence(&d.why)),
            agreed,
            tag("div", "row", buttons),
            field("Or write it yourself", "text", self.value),
            tag(
                "div",
                "row",
                vec![
                    button("plain", "edit", "Use this", write),
                    button("plain", "read", "Go to the text box", move || {
                        self.to_box(place)
                    }),
                    button("plain", "close", "Close", move || self.close()),
                ],
            ),
        ])
    }

    fn use_text(self, work: Work, place: Option<Span>, text: &str) {
        if let Some(p) = place {
            work.replace(p.0, p.1, text);
        }
        self.close();
        page::focus("#summary");
    }

    fn to_box(self, place: Option<Span>) {
        self.close();
        let area = document().get_element_by_id("log-text");
        if let (Some(area), Some(p)) = (area.and_then(|a| a.dyn_into().ok()), place) {
            caret::select(&area, p.0, p.1);
        }
    }
}
