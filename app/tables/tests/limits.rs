//! What a book can't hold is left out with the reason, never a refused book.
#![allow(clippy::unwrap_used, clippy::indexing_slicing)]

mod support;

use codebook::Book;
use codebook::model::CodeBook;
use support::taken;

fn empty() -> CodeBook {
    let json =
        br#"{"format":1,"id":"a","version":"1","name":"a","licence":"CC0-1.0","layouts":[]}"#;
    Book::load(json).unwrap().model
}

#[test]
fn codes_beyond_what_a_book_may_have_are_left() {
    let mut text = String::from("code;meaning\n");
    for n in 0..2_000 {
        text += &format!("{n:03X}01-{n:03X}0E;group {n}\n");
    }
    let (_, _, taken) = taken(&[&text], "a page");
    assert!(taken.piece.codes.len() <= 20_000);
    assert!(taken.piece.codes.len() > 19_900);
    assert_eq!(taken.rows.len() + taken.left.len(), 2_000);
    assert!(taken.left.iter().all(|(_, l)| l.why.contains("20,000")));
    let mut model = empty();
    model.codes = taken.piece.codes;
    assert!(Book::load(&serde_json::to_vec(&model).unwrap()).is_ok());
}

#[test]
fn names_that_nothing_describes_get_a_bare_entry() {
    let text = "code;meaning;step;rail;layout;board\n44D0;low;0A;V_GFX, V_5;orrery-line;LW-41\n44D1;late;0A;V_5;;\n";
    let (_, _, taken) = taken(&[text], "a page");
    let mut piece = taken.piece;
    assert_eq!(piece.codes[0].layouts, ["orrery-line"]);
    let said = piece.name_missing(&empty());
    assert_eq!(
        said,
        [
            "layout orrery-line is not in the book",
            "step 0A",
            "rail V_GFX",
            "rail V_5",
            "board LW-41"
        ]
    );
    let mut model = empty();
    model.codes = piece.codes;
    model.steps = piece.steps;
    model.rails = piece.rails;
    model.boards = piece.boards;
    assert!(Book::load(&serde_json::to_vec(&model).unwrap()).is_ok());
}
