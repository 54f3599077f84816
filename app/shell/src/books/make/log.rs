//! Teaching a line: the log, what its parts are taken for, and the taps that
//! correct it.

use super::super::read_file;
use super::entry::{record, times};
use super::parts::item;
use super::state::Make;
use crate::app::App;
use crate::platform::dom::{Dom, El};
use crate::platform::{clipboard, files, page};
use crate::text;
use crate::widgets::bits::{
    button, count, fold_named, line, mark, nothing, section, sentence, spoken, tag, words,
};
use leptos::prelude::event_target_value;
use teaching::{Hints, Kind, Proposal, Role, Why};

/// Lines that are not read which are shown.
const MISSED: usize = 30;

/// The part of the page.
pub fn view(app: App) -> Dom {
    let make = app.make;
    let area = El::new("textarea")
        .attr("id", "make-log")
        .class("log")
        .attr("rows", "4")
        .attr("placeholder", "Paste or type here")
        .attr("autocapitalize", "off")
        .attr("autocomplete", "off")
        .attr("spellcheck", "false")
        .attr("aria-label", "Log")
        .live_prop("value", move || make.log.get().into())
        .on("input", move |event| make.typed(event_target_value(&event)));
    let from_read = Dom::live(move || {
        let text = app.work.text.get();
        if text.trim().is_empty() || make.log.with(|l| *l == text) {
            return nothing();
        }
        button("plain", "read", "Take the text from Read", move || {
            make.put_log(app.work.text.get_untracked())
        })
    });
    let row = vec![
        button("main", "paste", "Paste the log", move || paste(app)),
        button("plain", "open", "Open a file", || page::tap("log-file")),
        files::input(
            "log-file",
            ".txt,.log,text/*",
            "File with a log",
            move |file| read_file(app, file, move |text| make.put_log(text)),
        ),
        from_read,
    ];
    let result = Dom::live(move || match make.taught.get() {
        None => nothing(),
        Some(told) => match &*told {
            Ok(p) => proposal(make, p),
            Err(why) => nothing_found(make, why),
        },
    });
    section(
        "make-log-part",
        "A log of it",
        vec![
            line("p", "small", text::MAKE_LOG),
            area.done(),
            tag("div", "row", row),
            spoken("", vec![result]),
        ],
    )
}

fn paste(app: App) {
    leptos::task::spawn_local(async move {
        match clipboard::read().await {
            Some(text) if text.trim().is_empty() => app.toasts.say(text::PASTE_EMPTY),
            Some(text) => app.make.put_log(text),
            None => {
                app.toasts.say(text::PASTE_REFUSED);
                page::focus("#make-log");
            }
        }
    });
}

fn nothing_found(make: Make, why: &Why) -> Dom {
    let kind = make.hints.with_untracked(|h| h.kind);
    Dom::many(vec![
        mark("warn", "info", &why.what),
        line("p", "", &why.todo),
        tag("div", "row", kinds(make, kind.unwrap_or(Kind::Text))),
    ])
}

/// The other kind of layout, and the way back to the start.
fn kinds(make: Make, now: Kind) -> Vec<Dom> {
    let (kind, words) = match now {
        Kind::Text => (Kind::Bytes, "It is a dump of bytes"),
        Kind::Bytes => (Kind::Text, "It is lines of text"),
    };
    vec![
        button("plain", "turn", words, move || {
            make.say(|h| {
                *h = Hints {
                    kind: Some(kind),
                    ..Hints::default()
                }
            })
        }),
        button(
            "plain",
            "undo",
            "Forget what I said of the parts",
            move || make.say(|h| *h = Hints::default()),
        ),
    ]
}

fn proposal(make: Make, p: &Proposal) -> Dom {
    let read = p.read.to_string() + " of " + &count(p.of, "entry reads", "entries read");
    let (kind, picture) = if p.read == p.of {
        ("good", "check")
    } else {
        ("warn", "info")
    };
    let mut out = vec![mark(kind, picture, read), example(p)];
    if p.kind == Kind::Bytes {
        out.push(record(make, p));
    }
    let (same, rest): (Vec<_>, Vec<_>) = p
        .parts
        .iter()
        .enumerate()
        .partition(|(_, part)| part.role == Role::Same && part.doubt.is_empty());
    let list = rest.into_iter().map(|(n, part)| item(make, p, n, part));
    out.push(tag("ul", "teach", list.collect()));
    if !same.is_empty() {
        let title = "Always the same: ".to_owned() + &count(same.len(), "part", "parts");
        let list = same.into_iter().map(|(n, part)| item(make, p, n, part));
        out.push(fold_named(
            "teach-same",
            title,
            vec![tag("ul", "teach", list.collect())],
        ));
    }
    out.push(times(make, p));
    if let Some(check) = &p.check {
        let told = sentence(&check.words)
            + ". It agrees in "
            + &check.agrees.to_string()
            + " of "
            + &check.of.to_string()
            + ".";
        out.push(mark("good", "check", told));
        if !check.doubt.is_empty() {
            out.push(mark("warn", "guess", sentence(&check.doubt)));
        }
    }
    out.extend(p.doubts.iter().map(|d| mark("warn", "guess", sentence(d))));
    out.push(missed(p));
    out.push(others(make, p));
    Dom::many(out)
}

/// The example with its parts set off; each part's number leads to its row.
fn example(p: &Proposal) -> Dom {
    let mut at = 0;
    let mut out = Vec::new();
    for (n, part) in p.parts.iter().enumerate() {
        let (from, to) = part.span;
        out.push(words(p.example.get(at..from).unwrap_or("")));
        let class = match (part.role, part.doubt.is_empty()) {
            (Role::Same | Role::Skip, _) => "part dull",
            (_, true) => "part",
            (_, false) => "part doubted",
        };
        let number = (n + 1).to_string();
        let text = p.example.get(from..to).unwrap_or("");
        out.push(tag(
            "span",
            class,
            vec![words(text), line("sub", "", number)],
        ));
        at = to;
    }
    out.push(words(p.example.get(at..).unwrap_or("")));
    tag("p", "log-pre mono", out)
}

fn missed(p: &Proposal) -> Dom {
    let all: Vec<_> = p.lines.iter().filter(|l| l.misses).collect();
    if all.is_empty() {
        return nothing();
    }
    let items = all.iter().take(MISSED).map(|l| {
        let words = "Line ".to_owned() + &l.line.to_string() + ": " + &l.why;
        line("li", "", words)
    });
    let title = "Not read as written: ".to_owned() + &count(all.len(), "line", "lines");
    fold_named(
        "teach-missed",
        title,
        vec![tag("ul", "bullets", items.collect())],
    )
}

/// Other lines that may be the entries, and the other kind of layout.
fn others(make: Make, p: &Proposal) -> Dom {
    let mut parts = Vec::new();
    for (n, text, times) in p.others.iter().take(6) {
        let (n, label) = (*n, text.trim().to_owned());
        let like = count(*times, "line", "lines") + " like this";
        parts.push(line("p", "small", like));
        parts.push(button("plain mono", "", label, move || {
            make.say(|h| {
                *h = Hints {
                    entry: Some(n),
                    ..Hints::default()
                }
            })
        }));
    }
    parts.push(tag("div", "row", kinds(make, p.kind)));
    fold_named("teach-others", "These are not the entries?", parts)
}
