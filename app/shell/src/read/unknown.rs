//! A text that no code book fits: the columns that its lines seem to have.

use crate::app::App;
use crate::books::receive;
use crate::platform::dom::Dom;
use crate::platform::markup;
use crate::route;
use crate::text;
use crate::widgets::bits::{button, count, fold, line, section, tag, words};
use reading::result::UnknownShape;

/// Words of a column that are listed.
const WORDS: usize = 8;

/// The columns.
pub fn view(app: App, shape: Option<&UnknownShape>) -> Dom {
    let Some(shape) = shape else {
        return next(app);
    };
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
            next(app),
            fold(
                "The values in them",
                false,
                vec![tag("div", "columns", columns)],
            ),
        ],
    )
}

/// What can be done with a text that no book fits: it may be a log to make a
/// book from, or a book itself.
fn next(app: App) -> Dom {
    let book = app
        .work
        .text
        .with_untracked(|t| codebook::text_form::is_book(t));
    if book {
        return button(
            "main",
            "book",
            "This is a code book. Look at it",
            move || {
                let text = app.work.text.get_untracked();
                if let Err(list) = receive::look(app, &text) {
                    let first = list.first().map(ToString::to_string).unwrap_or_default();
                    app.toasts
                        .say("It can't be taken as it is: ".to_owned() + &first);
                }
            },
        );
    }
    let make = button("main", "plus", text::MAKE_TITLE, move || {
        app.make.take_up();
        app.make.put_log(app.work.text.get_untracked());
        route::go(app.route, "/make");
    });
    let table = button("plain", "book", "It is a code table", move || {
        app.make.take_up();
        let text = app.work.text.get_untracked();
        app.make.add_table(&text, markup::looks_like(&text));
        route::go(app.route, "/make");
    });
    Dom::many(vec![
        line("p", "", text::NO_BOOK_NEXT),
        tag("div", "row", vec![make, table]),
    ])
}
