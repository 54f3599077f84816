//! Cautions below the codes: always a way to them, and what heat does not prove
//! where a book names a repair with heat for one of the codes.

use super::work::Seen;
use crate::platform::dom::Dom;
use crate::text;
use crate::widgets::bits::{icon, line, link_with, nothing, tag};
use codebook::Book;
use reading::explain::CodeRow;

/// Words of a repair that is done with heat.
const WORDS: [&str; 6] = ["preheat", "hot air", "reball", "reflow", "solder", "iron"];

/// The part of the page.
pub fn section(seen: &Seen) -> Dom {
    let codes = &seen.told.codes;
    let warm = codes.iter().find(|row| {
        let book = seen.outcome.books.iter().find(|b| b.model.id == row.book);
        book.is_some_and(|b| heated(b, row))
    });
    let proves = match warm {
        Some(row) => {
            let words =
                "For code ".to_owned() + &row.code + " the book also names work with heat. ";
            tag(
                "p",
                "caution",
                vec![icon("caution"), line("span", "", words + text::HEAT_PROVES)],
            )
        }
        None => nothing(),
    };
    let row = vec![
        link_with(
            "plain",
            "/bench/new",
            "list",
            "Before you open it: a checklist",
        ),
        link_with("plain", "/bench/cautions", "caution", "Cautions"),
    ];
    Dom::many(vec![proves, tag("div", "row no-print", row)])
}

/// Whether a repair with heat is named for a cause that shows this code.
fn heated(book: &Book, row: &CodeRow) -> bool {
    let m = &book.model;
    let shows = |code: &String| *code == row.code || row.found.iter().any(|f| f.pattern == *code);
    let causes = m.causes.iter().filter(|c| c.codes.iter().any(shows));
    let mut repairs = causes.flat_map(|c| &c.repairs);
    repairs.any(|id| {
        let found = m.repairs.iter().find(|r| r.id == *id);
        found.is_some_and(|r| {
            let text = (r.title.clone() + " " + &r.about).to_ascii_lowercase();
            WORDS.iter().any(|w| text.contains(w))
        })
    })
}
