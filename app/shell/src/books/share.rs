//! A book given to others: as a file, as text for a forum, its table alone.

use crate::app::App;
use crate::platform::device::{self, Sent};
use crate::platform::dom::Dom;
use crate::text;
use crate::widgets::bits::{button, fold, line, tag};

use codebook::{Book, text_form};
use std::rc::Rc;
use tables::{Form, What};

/// The part of a book's page.
pub fn section(app: App, book: &Rc<Book>) -> Dom {
    let held = |make: fn(&Book) -> String| {
        let book = book.clone();
        move || app.toasts.copy(make(&book))
    };
    let (a, b) = (book.clone(), book.clone());
    fold(
        "Keep a copy, or pass it on",
        false,
        vec![
            line("p", "small", text::MAKE_SHARE),
            tag(
                "div",
                "row",
                vec![
                    button("plain", "share", "Share the file", move || {
                        give(app, &a, true)
                    }),
                    button("plain", "open", "Save the file", move || {
                        give(app, &b, false)
                    }),
                    button(
                        "plain",
                        "copy",
                        "Copy the book for a forum",
                        held(text_form::write),
                    ),
                    button(
                        "plain",
                        "copy",
                        "Copy the code table (Markdown)",
                        held(markdown),
                    ),
                    button(
                        "plain",
                        "copy",
                        "Copy the code table (BBCode)",
                        held(bbcode),
                    ),
                    button("plain", "copy", "Copy the code table (CSV)", held(csv)),
                ],
            ),
        ],
    )
}

fn markdown(book: &Book) -> String {
    tables::write(&book.model, What::Codes, Form::Markdown)
}

fn bbcode(book: &Book) -> String {
    tables::write(&book.model, What::Codes, Form::BbCode)
}

fn csv(book: &Book) -> String {
    tables::write(&book.model, What::Codes, Form::Separated(','))
}

fn give(app: App, book: &Rc<Book>, share: bool) {
    let name = book.model.id.clone() + "-" + &book.model.version + ".json";
    let Some(blob) = device::blob(codebook::print(book.doc()).as_bytes(), "application/json")
    else {
        app.toasts.say("The file could not be made.");
        return;
    };
    if !share {
        device::download(&name, &blob);
        app.toasts.say("The browser saves the file");
        return;
    }
    leptos::task::spawn_local(async move {
        // Share sheets know text files, and not always JSON.
        let text = device::blob(
            &super::super::platform::files::bytes(&blob)
                .await
                .unwrap_or_default(),
            "text/plain",
        );
        let (name, blob) = match text {
            Some(text) if !device::can_share(&name, &blob) => (name + ".txt", text),
            _ => (name, blob),
        };
        app.toasts
            .say(match device::share_file(&name, &blob).await {
                Sent::Shared => "Handed over",
                Sent::Cancelled => return,
                Sent::Downloaded => "Sharing did not work. The file was saved instead.",
            });
    });
}
