//! The board revision of each book that reads this text.

use super::work::Seen;
use crate::app::App;
use crate::platform::dom::Dom;
use crate::widgets::bits::{fold, line, nothing, section as part};
use crate::widgets::boards;
use leptos::prelude::*;
use std::rc::Rc;

/// The section, or nothing when no book of this text has boards.
pub fn section(app: App, seen: &Seen) -> Dom {
    let outcome = &seen.outcome;
    let mut parts = Vec::new();
    for book in &outcome.books {
        let id = book.model.id.clone();
        let used = outcome.reading.entries.iter().any(|e| e.book == id);
        if !used || book.model.boards.is_empty() {
            continue;
        }
        let work = app.work;
        let mine = id.clone();
        let now = Signal::derive(move || {
            work.boards
                .with(|b| b.get(&mine).cloned().unwrap_or_default())
        });
        let chosen = work.boards.with_untracked(|b| b.get(&id).cloned());
        let group = "board-".to_owned() + &id;
        let name = book.model.name.clone();
        let title = match chosen {
            Some(b) => name + ": board " + &b,
            None => name + ": which board is it?",
        };
        let choose = Rc::new(move |board: String| work.choose_board(id.clone(), board));
        parts.push(fold(
            title,
            false,
            vec![boards::chooser(group, &book.model.boards, now, choose)],
        ));
    }
    if parts.is_empty() {
        return nothing();
    }
    parts.insert(
        0,
        line(
            "p",
            "small",
            "Some codes mean other things on other boards.",
        ),
    );
    part("board", "Board revision", parts)
}
