//! A job as a text for others.

use super::notes::Page;
use super::{Want, address, back, loaded};
use crate::app::App;
use crate::platform::dom::{Dom, El};
use crate::platform::state::State;
use crate::platform::{device, share};
use crate::text;
use crate::widgets::bits::{button, line, nothing, tag, title};
use crate::widgets::segment::segment;
use leptos::prelude::*;
use notebook::tell::{self, Form, Telling};
use notebook::timeline::Named;

/// The page.
pub fn page(app: App, console: String, job: String) -> Dom {
    let form = State::new(0_usize);
    let nickname = State::new(false);
    let own = console.clone();
    let forms = segment(
        "Made for",
        "tell-form",
        &["Plain text", "BBCode", "Markdown"],
        Signal::derive(move || form.get()),
        move |n| form.set(n),
    );
    let input = El::new("input")
        .attr("type", "checkbox")
        .on("change", move |e| {
            nickname.set(event_target_checked(&e));
        });
    let body = loaded(app, Want::Console(console.clone()), move |page| {
        let (page, own, job) = (page.clone(), own.clone(), job.clone());
        Dom::live(move || drawn(app, &page, &own, &job, form.get(), nickname.get()))
    });
    Dom::many(vec![
        back(&address(&console), "Back to the console"),
        title("Tell others"),
        line("p", "lead", text::TELL_LEAD),
        forms,
        super::field::ticked(input, "With the nickname", ""),
        body,
    ])
}

fn drawn(app: App, page: &Page, console: &str, job: &str, form: usize, nickname: bool) -> Dom {
    let (Some(home), Some(job)) = (page.item(console), page.item(job)) else {
        return line("p", "", text::RECORD_LOST);
    };
    let book = home.text("book").to_owned();
    let names = move |what: Named, id: &str| app.notes.name(&book, what, id);
    let how = Telling {
        form: match form {
            1 => Form::BbCode,
            2 => Form::Markdown,
            _ => Form::Plain,
        },
        nickname,
        today: &device::today(),
    };
    let told = tell::job(how, &home, &job, &page.items(), &names);
    let out = if told.left_out.is_empty() {
        nothing()
    } else {
        line(
            "p",
            "note",
            "Left out: ".to_owned() + &told.left_out.join(", ") + ".",
        )
    };
    let (a, b) = (told.text.clone(), told.text.clone());
    let mut row = vec![button("main", "copy", "Copy", move || {
        app.toasts.copy(a.clone())
    })];
    if share::there() {
        row.push(button("plain", "share", "Share", move || {
            let text = b.clone();
            leptos::task::spawn_local(async move {
                if share::text("Repair", &text).await == share::Shared::Refused {
                    app.toasts.copy(text);
                }
            });
        }));
    }
    let area = El::new("pre")
        .class("log-pre")
        .attr("tabindex", "0")
        .attr("aria-label", "The text");
    Dom::many(vec![
        out,
        tag("div", "row", row),
        area.text(&told.text).done(),
    ])
}
