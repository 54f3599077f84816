//! Holds the typed model against sense: what a schema can't say, such as that a
//! field named in one place exists in another.

mod faults;
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

/// Most rows of the code table with `?`. Each is held against every word of a
/// paste that may be a code.
pub const MAX_OPEN: usize = 2_000;
/// Most rows of the other lists.
pub const MAX_ROWS: usize = 1_000;
/// Most parts of codes that say something by themselves.
pub const MAX_CODE_PARTS: usize = 16;

/// Lists everything in the book that makes no sense.
pub(super) fn check(book: &CodeBook, found: &mut Findings) {
    head(book, found);
    let names = Names::of(book, found);
    for (i, one) in book.layouts.iter().enumerate() {
        layout::check(one, &place("layouts", i), found);
    }
    layout::all(&book.layouts, found);
    trade::codes(book, &names, found);
    trade::steps_and_boards(book, &names, found);
    faults::faults(book, &names, found);
}

/// Lists a list that is too long.
fn few(path: &str, n: usize, most: usize, hint: &str, found: &mut Findings) {
    if n > most {
        let message = format!("has {n} items; at most {most} are allowed");
        found.problem(path, message, hint);
    }
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
        ("code_parts", book.code_parts.len(), MAX_CODE_PARTS),
        ("sources", book.sources.len(), MAX_ROWS),
        ("steps", book.steps.len(), MAX_ROWS),
        ("rails", book.rails.len(), MAX_ROWS),
        ("boards", book.boards.len(), MAX_ROWS),
        ("symptoms", book.symptoms.len(), MAX_ROWS),
        ("causes", book.causes.len(), MAX_ROWS),
        ("checks", book.checks.len(), MAX_ROWS),
        ("repairs", book.repairs.len(), MAX_ROWS),
        ("cautions", book.cautions.len(), MAX_ROWS),
    ];
    for (path, n, most) in many {
        few(path, n, most, "split the book in two", found);
    }
    let open = book.codes.iter().filter(|c| c.code.contains('?')).count();
    if open > MAX_OPEN {
        found.problem(
            "codes",
            format!("has {open} rows with `?`; at most {MAX_OPEN} are allowed"),
            "write one row for what they have in common",
        );
    }
}
