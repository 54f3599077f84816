//! The code table of a book, with a search.

use crate::platform::dom::{Dom, El};
use crate::platform::state::{Kept, State};
use crate::read::meaning;
use crate::widgets::bits::{count, field, line, nothing, tag};
use codebook::Book;
use leptos::prelude::*;
use std::rc::Rc;

/// Rows drawn at once.
const FIRST: usize = 40;

/// The search and the rows that fit.
pub fn view(book: Rc<Book>, board: Signal<String>) -> Dom {
    let held = Kept::new(book);
    let query = State::new(String::new());
    let rows = move || {
        let Some(book) = held.try_get_value() else {
            return nothing();
        };
        let board = board.get();
        let board = (!board.is_empty()).then_some(board);
        let found = find(&book, &query.get());
        let total = found.len();
        let items: Vec<Dom> = found
            .iter()
            .take(FIRST)
            .map(|c| row(&book, c, board.as_deref()))
            .collect();
        let more = if total > FIRST {
            line(
                "p",
                "small",
                "The first ".to_owned() + &FIRST.to_string() + " are shown. Type to find others.",
            )
        } else {
            nothing()
        };
        Dom::many(vec![
            line("p", "small", count(total, "code", "codes")),
            tag("ul", "codes", items),
            more,
        ])
    };
    Dom::many(vec![
        field("Find a code, or a word of its meaning", "search", query),
        El::new("div")
            .attr("aria-live", "polite")
            .kid(Dom::live(rows))
            .done(),
    ])
}

/// Patterns of the table that fit: by the code itself, or by a word.
fn find(book: &Book, query: &str) -> Vec<String> {
    let q = query.trim().to_uppercase();
    let mut out: Vec<String> = Vec::new();
    for c in &book.model.codes {
        let fits = q.is_empty()
            || c.code.contains(&q)
            || c.title.to_uppercase().contains(&q)
            || c.meaning.to_uppercase().contains(&q)
            || c.parts.iter().any(|p| p.to_uppercase() == q);
        if fits && !out.contains(&c.code) {
            out.push(c.code.clone());
        }
    }
    for f in book.lookup(&q, None, None) {
        if !out.contains(&f.pattern) {
            out.push(f.pattern);
        }
    }
    out
}

fn row(book: &Book, pattern: &str, board: Option<&str>) -> Dom {
    let found = book
        .lookup(pattern, None, board)
        .into_iter()
        .find(|f| f.pattern == pattern);
    let Some(f) = found else { return nothing() };
    let mut parts = vec![tag(
        "div",
        "entry-top",
        vec![
            line("span", "code", &f.pattern),
            line("span", "what", &f.title),
        ],
    )];
    parts.extend(meaning(&f));
    let mut small = Vec::new();
    if let Some(step) = &f.step {
        small.push("Step ".to_owned() + step);
    }
    if !f.rails.is_empty() {
        small.push("rails ".to_owned() + &f.rails.join(", "));
    }
    if !f.parts.is_empty() {
        small.push("parts ".to_owned() + &f.parts.join(", "));
    }
    if !small.is_empty() {
        parts.push(line("p", "small", small.join(" · ")));
    }
    tag("li", "code-row", parts)
}
