//! Holds the typed model against sense: what a schema can't say, such as that a
//! field named in one place exists in another.

mod field;
mod layout;
mod names;
mod order;
mod pattern;
mod sum;
mod time;
mod trade;

use crate::model::CodeBook;
use crate::problem::{Findings, place};
use names::{Names, filled};

/// Most layouts of one book.
pub const MAX_LAYOUTS: usize = 32;
/// Most rows of the code table.
pub const MAX_CODES: usize = 20_000;

/// Lists everything in the book that makes no sense.
pub(super) fn check(book: &CodeBook, found: &mut Findings) {
    head(book, found);
    let names = Names::of(book, found);
    for (i, one) in book.layouts.iter().enumerate() {
        layout::check(one, &place("layouts", i), found);
    }
    trade::codes(book, &names, found);
    trade::steps_and_boards(book, &names, found);
    trade::faults(book, &names, found);
}

fn head(book: &CodeBook, found: &mut Findings) {
    if !names::is_slug(&book.id) {
        found.problem(
            "id",
            "must be lower-case letters, digits and single hyphens",
            "such as `larkfield-orrery`; it never changes, so choose it with care",
        );
    }
    filled(
        "version",
        &book.version,
        "such as `1.0.0`; raise it with every change",
        found,
    );
    filled("name", &book.name, "what people call the book", found);
    filled(
        "licence",
        &book.licence,
        "such as `CC-BY-4.0`, so that others know what they may do with it",
        found,
    );
    for (i, source) in book.sources.iter().enumerate() {
        filled(
            &format!("sources[{i}].title"),
            &source.title,
            "title, or who said so",
            found,
        );
    }
    if book.layouts.is_empty() {
        found.note(
            "layouts",
            "there is none, so this book can explain codes but can't read a log",
            "add a layout when you have a line of a log to show",
        );
    }
    let many = [
        ("layouts", book.layouts.len(), MAX_LAYOUTS),
        ("codes", book.codes.len(), MAX_CODES),
    ];
    for (path, n, most) in many {
        if n > most {
            found.problem(
                path,
                format!("has {n} items; at most {most} are allowed"),
                "split the book in two",
            );
        }
    }
}
