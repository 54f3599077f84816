//! Which book? How well each layout of each book fits the text.

use super::work::Outcome;
use crate::platform::dom::Dom;
use crate::widgets::bits::{count, fold, line, mark, nothing, tag};
use reading::result::Fit;

/// What people call a layout.
pub fn name(outcome: &Outcome, fit: &Fit) -> String {
    let book = outcome.books.iter().find(|b| b.model.id == fit.book);
    let layout = book.and_then(|b| b.model.layouts.iter().find(|l| l.id() == fit.layout));
    match (book, layout) {
        (Some(b), Some(l)) => l.name().to_owned() + " (" + &b.model.name + ")",
        _ => fit.layout.clone(),
    }
}

/// All layouts that read anything of the text, folded.
pub fn view(outcome: &Outcome) -> Dom {
    let some = |f: &&Fit| f.clean + f.guessed + f.unreadable > 0;
    let all: Vec<&Fit> = outcome.reading.fits.iter().filter(some).collect();
    if all.is_empty() {
        return nothing();
    }
    let items = all.iter().map(|f| item(outcome, f)).collect();
    fold(
        "How well each book fits",
        false,
        vec![tag("ul", "bullets", items)],
    )
}

fn item(outcome: &Outcome, f: &Fit) -> Dom {
    let mut told = vec![count(f.clean, "line", "lines") + " read as written"];
    let mut add = |n: usize, words: &str| {
        if n > 0 {
            told.push(n.to_string() + words);
        }
    };
    add(f.guessed, " with guesses");
    add(f.unreadable, " not readable for sure");
    add(f.checks_ok, " check fields right");
    add(f.checks_wrong, " check fields wrong");
    add(f.known_codes, " with a code that the book knows");
    let chosen = if f.chosen {
        mark("good", "check", "Used")
    } else {
        nothing()
    };
    let head = line("b", "", name(outcome, f));
    tag(
        "li",
        "",
        vec![head, line("p", "small", told.join(", ")), chosen],
    )
}
