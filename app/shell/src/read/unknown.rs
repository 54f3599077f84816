//! A text that no code book fits: the columns that its lines seem to have.

use crate::platform::dom::Dom;
use crate::text;
use crate::widgets::bits::{count, line, link, section, tag, words};
use reading::result::UnknownShape;

/// Words of a column that are listed.
const WORDS: usize = 8;

/// The columns.
pub fn view(shape: &UnknownShape) -> Dom {
    let mut columns = Vec::new();
    for (n, c) in shape.columns.iter().enumerate() {
        let mut items = Vec::new();
        for (word, times) in c.words.iter().take(WORDS) {
            let times = " ".to_owned() + &count(*times, "time", "times");
            items.push(tag("li", "", vec![line("b", "mono", word), words(times)]));
        }
        let more = c.words.len().saturating_sub(WORDS);
        if more > 0 {
            items.push(line(
                "li",
                "small",
                "and ".to_owned() + &more.to_string() + " others",
            ));
        }
        let title = "Column ".to_owned()
            + &(n + 1).to_string()
            + ", "
            + &count(c.width, "character", "characters");
        columns.push(tag(
            "div",
            "column",
            vec![line("h3", "", title), tag("ul", "bullets", items)],
        ));
    }
    let lines = count(shape.lines.len(), "line shares", "lines share") + " this shape.";
    section(
        "columns",
        "What the lines are made of",
        vec![
            line("p", "", lines),
            tag("div", "columns", columns),
            line("p", "small", text::NO_BOOK_NEXT),
            tag(
                "p",
                "",
                vec![link("", "/books", vec![words(text::BOOKS_TITLE)])],
            ),
        ],
    )
}
