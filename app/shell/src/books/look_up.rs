//! A code without any log: what it means in all books.

use crate::app::App;
use crate::platform::dom::{Dom, El};
use crate::platform::state::State;
use crate::read::meaning;
use crate::text;
use crate::widgets::bits::{field, line, link_with, mark, nothing, section, tag};
use codebook::Book;
use reading::lookup::{Hit, How, look_up};
use std::rc::Rc;

/// Hits shown.
const MOST: usize = 30;

/// The part of the page.
pub fn view(app: App) -> Dom {
    let query = State::new(String::new());
    let hits = move || {
        let books = app.shelf.books();
        let text = query.get();
        if text.trim().is_empty() {
            return nothing();
        }
        let all = look_up(&books, &text, MOST);
        if all.is_empty() {
            return line("p", "", "Nothing like it is in any book.");
        }
        let near = all.iter().all(|h| matches!(h.how, How::Near { .. }));
        let head = if near {
            line("p", "", text::NEAR_HELP)
        } else {
            nothing()
        };
        let items = all.iter().filter_map(|h| Some(hit(books.get(h.book)?, h)));
        Dom::many(vec![head, tag("ul", "codes", items.collect())])
    };
    let results = El::new("div").attr("aria-live", "polite");
    section(
        "look-up",
        "Look up a code",
        vec![
            field("Code or word", "search", query),
            line("p", "small", text::LOOK_UP_HELP),
            results.kid(Dom::live(hits)).done(),
        ],
    )
}

fn hit(book: &Rc<Book>, hit: &Hit) -> Dom {
    let f = &hit.found;
    let top = vec![
        line("span", "code", &f.pattern),
        line("span", "what", &f.title),
    ];
    let mut parts = vec![tag("div", "entry-top", top)];
    let how = match &hit.how {
        How::Exact | How::Words => String::new(),
        How::Row => "A row for several codes".to_owned(),
        How::Wild => "Fits ".to_owned() + &hit.asked,
        How::Near { .. } => "Not ".to_owned() + &hit.asked + ", but close to it",
    };
    if let How::Near { .. } = hit.how {
        parts.push(mark("warn", "guess", how));
    } else if !how.is_empty() {
        parts.push(line("p", "small", how));
    }
    parts.extend(meaning(f));
    for piece in book.code_parts(&hit.asked, None) {
        parts.push(line(
            "p",
            "small",
            piece.name + " " + &piece.chars + ": " + &piece.means,
        ));
    }
    let to = "/books/".to_owned() + &book.model.id;
    parts.push(link_with("small-link", &to, "book", &book.model.name));
    tag("li", "code-row", parts)
}
