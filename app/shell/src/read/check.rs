//! What the person should look at: guesses to confirm and lines that can't be
//! read for sure, each with its choices as big buttons.

use super::sheet::{Doubt, Sheet};
use super::when;
use super::work::Outcome;
use crate::app::App;
use crate::platform::dom::Dom;
use crate::platform::page;
use crate::platform::state::{Kept, State};
use crate::widgets::bits::{button, icon, line, nothing, section as part, sentence, tag, words};
use std::rc::Rc;

/// Doubts drawn at once: as many as a phone shows, so that they are there soon.
const AT_ONCE: usize = 3;
/// Doubts drawn a moment later; the rest are in the marked text.
const FIRST: usize = 20;

/// The section, or nothing when all is clear.
pub fn section(app: App, outcome: &Rc<Outcome>, sheet: Sheet) -> Dom {
    let all = doubts(outcome);
    if all.is_empty() {
        return nothing();
    }
    let limit = State::new(AT_ONCE);
    if all.len() > AT_ONCE {
        // The section may be gone by then.
        page::after_paint(move || {
            limit.try_set(FIRST);
        });
    }
    let held = Kept::new(Rc::new(all));
    let body = move || {
        let all = held.get_value();
        let confirmed = app.work.confirmed.get();
        let open: Vec<&Doubt> = all.iter().filter(|d| !d.settled(&confirmed)).collect();
        if open.is_empty() {
            return nothing();
        }
        let more = open.len().saturating_sub(FIRST);
        let items = open
            .into_iter()
            .take(limit.get())
            .map(|d| item(app, d, sheet))
            .collect();
        let rest = if more > 0 {
            line(
                "p",
                "small",
                more.to_string() + " more are marked in the text below.",
            )
        } else {
            nothing()
        };
        part(
            "to-check",
            "To check",
            vec![tag("ul", "doubts", items), rest],
        )
    };
    Dom::live(body)
}

/// All guesses and unreadable lines, in the order of the text.
pub fn doubts(outcome: &Outcome) -> Vec<Doubt> {
    let mut out = Vec::new();
    for e in &outcome.reading.entries {
        for g in &e.guesses {
            out.push(Doubt {
                line: e.line,
                raw: e.raw.clone(),
                field: g.field.clone(),
                label: when::label(&outcome.books, &e.book, &e.layout, &g.field),
                from: g.from.clone(),
                to: g.to.clone(),
                why: g.why.clone(),
                agreed: g.confirmed_by.is_some(),
                choices: g.others.clone(),
                puts: g.puts.clone(),
                place: Some(g.span),
                guess: true,
            });
        }
    }
    for u in &outcome.reading.unreadable {
        let from = u
            .doubt
            .and_then(|s| outcome.text.get(s.0..s.1))
            .unwrap_or_default();
        let before =
            out.partition_point(|d| (d.line, d.place) <= (u.line, u.doubt.or(Some(u.span))));
        out.insert(
            before,
            Doubt {
                line: u.line,
                raw: u.raw.clone(),
                field: u.field.clone(),
                label: u.field.clone(),
                from: from.to_owned(),
                to: String::new(),
                why: u.why.clone(),
                agreed: false,
                choices: u.choices.clone(),
                puts: u.puts.clone(),
                place: u.doubt.or(Some(u.span)),
                guess: false,
            },
        );
    }
    out
}

fn item(app: App, doubt: &Doubt, sheet: Sheet) -> Dom {
    let mut parts = vec![doubt.head()];
    parts.push(line("p", "why", sentence(&doubt.why)));
    let mut buttons = Vec::new();
    if doubt.guess {
        let key = doubt.key();
        let label = "Accept ".to_owned() + &doubt.to;
        buttons.push(button("plain", "check", label, move || {
            app.work.confirm(key.clone());
            next_doubt();
        }));
    } else if let (Some(place), false) = (doubt.place, doubt.from.is_empty()) {
        for (choice, by) in doubt.choices.iter().zip(&doubt.puts) {
            let by = by.clone();
            buttons.push(button("choice", "", choice.clone(), move || {
                app.work.replace(place.0, place.1, &by)
            }));
        }
    }
    let mine = doubt.clone();
    let label = if doubt.guess { "Change" } else { "Edit" };
    buttons.push(button("plain", "edit", label, move || {
        sheet.show(mine.clone())
    }));
    parts.push(tag("div", "row", buttons));
    tag("li", "doubt", parts)
}

/// A settled doubt is gone from the list: the focus goes to the next one, or to
/// the summary when none is left.
pub fn next_doubt() {
    page::focus_first(&[".doubts button", "#summary"]);
}

impl Doubt {
    /// The line in question, with the doubtful characters set off.
    pub fn head(&self) -> Dom {
        let (class, picture, word) = if self.guess {
            ("mark warn", "guess", "Guess")
        } else {
            ("mark bad", "bad", "Not readable for sure")
        };
        let place = ", line ".to_owned() + &self.line.to_string();
        let label = if self.label.is_empty() {
            String::new()
        } else {
            ", ".to_owned() + &self.label
        };
        let what = if self.guess {
            vec![
                line("b", "mono", &self.from),
                words(" read as "),
                line("b", "mono", &self.to),
            ]
        } else {
            vec![line("span", "mono", self.raw.trim())]
        };
        tag(
            "div",
            "",
            vec![
                tag(
                    "p",
                    class,
                    vec![icon(picture), words(word.to_owned() + &place + &label)],
                ),
                tag("p", "doubt-text", what),
            ],
        )
    }
}
