//! The pasted text with every line marked: by a letter, a word for screen
//! readers, and a colour. Guesses and doubtful stretches are buttons in it.

use super::check::doubts;
use super::sheet::{Doubt, Sheet};
use super::work::Outcome;
use crate::platform::dom::{Dom, El};
use crate::platform::state::{Kept, State};
use crate::text;
use crate::widgets::bits::{
    button, count, fold, line, nothing, section as part, tag, unseen, words,
};
use reading::result::LineClasses;
use std::rc::Rc;

/// Lines drawn at first, and with each tap on "more".
const CHUNK: usize = 200;

/// The classes: letter, class name, word, explanation.
const CLASSES: [(&str, &str, &str); 7] = [
    ("E", "l-entry", "entry"),
    ("+", "l-more", "goes on"),
    ("·", "l-empty", "unused slot"),
    ("=", "l-same", "same again"),
    ("?", "l-bad", "not readable"),
    ("–", "l-off", "not part of the log"),
    ("", "l-blank", "blank"),
];

/// The section.
pub fn section(outcome: &Rc<Outcome>, sheet: Sheet) -> Dom {
    let classes = classes(
        &outcome.reading.line_classes,
        outcome.reading.line_spans.len(),
    );
    let doubts = doubts(outcome);
    let total = classes.len();
    let held = Kept::new(Rc::new((outcome.clone(), classes, doubts)));
    let shown = State::new(CHUNK);
    let lines = move || {
        let Some(held) = held.try_get_value() else {
            return nothing();
        };
        let (outcome, classes, doubts) = &*held;
        let n = shown.get().min(total);
        let items = (0..n)
            .map(|i| row(outcome, classes, doubts, i, sheet))
            .collect();
        let more = if n < total {
            let label = "Show more of ".to_owned() + &count(total, "line", "lines");
            button("plain", "", label, move || {
                shown.update(|s| *s += 5 * CHUNK)
            })
        } else {
            nothing()
        };
        Dom::many(vec![tag("ol", "paste", items), more])
    };
    part(
        "text",
        "The text, line by line",
        vec![
            line("p", "small", text::TEXT_HELP),
            legend(&outcome.reading.line_classes),
            Dom::live(lines),
            ignored(outcome),
        ],
    )
}

fn lists(c: &LineClasses) -> [&Vec<usize>; 7] {
    [
        &c.entry,
        &c.continuation,
        &c.empty,
        &c.duplicate,
        &c.unreadable,
        &c.ignored,
        &c.blank,
    ]
}

fn classes(c: &LineClasses, total: usize) -> Vec<usize> {
    let mut out = vec![6; total];
    for (class, list) in lists(c).into_iter().enumerate() {
        for n in list {
            if let Some(slot) = n.checked_sub(1).and_then(|i| out.get_mut(i)) {
                *slot = class;
            }
        }
    }
    out
}

fn legend(c: &LineClasses) -> Dom {
    let mut items = Vec::new();
    for ((letter, class, word), list) in CLASSES.into_iter().zip(lists(c)) {
        if !list.is_empty() && !letter.is_empty() {
            let n = " ".to_owned() + &list.len().to_string();
            items.push(tag(
                "li",
                class,
                vec![line("b", "sign", letter), words(word), words(n)],
            ));
        }
    }
    tag("ul", "legend", items)
}

fn row(outcome: &Outcome, classes: &[usize], doubts: &[Doubt], i: usize, sheet: Sheet) -> Dom {
    let class = classes.get(i).and_then(|c| CLASSES.get(*c));
    let (letter, class, word) = class.copied().unwrap_or(("", "l-blank", "blank"));
    let Some(span) = outcome.reading.line_spans.get(i) else {
        return nothing();
    };
    let mut parts = vec![
        line("span", "num", (i + 1).to_string()),
        El::new("b")
            .class("sign")
            .attr("aria-hidden", "true")
            .text(letter)
            .done(),
        unseen(word.to_owned() + ": "),
    ];
    parts.push(tag(
        "span",
        "ln",
        pieces(&outcome.text, span.0, span.1, doubts, sheet),
    ));
    tag("li", class, parts)
}

/// The text of one line, cut at the doubts in it.
fn pieces(text: &str, from: usize, to: usize, doubts: &[Doubt], sheet: Sheet) -> Vec<Dom> {
    let piece = |a: usize, b: usize| {
        text.get(a..b)
            .unwrap_or_default()
            .trim_end_matches(['\n', '\r'])
            .to_owned()
    };
    let mut out = Vec::new();
    let mut at = from;
    for d in doubts {
        let Some(p) = d.place else { continue };
        if p.1 <= from || p.0 >= to {
            continue;
        }
        let (a, b) = (p.0.max(at), p.1.min(to));
        if a >= b {
            continue;
        }
        if a > at {
            out.push(words(piece(at, a)));
        }
        out.push(doubtful(piece(a, b), d, sheet));
        at = b;
    }
    if at < to {
        out.push(words(piece(at, to)));
    }
    out
}

fn doubtful(text: String, d: &Doubt, sheet: Sheet) -> Dom {
    let class = if d.guess { "guess" } else { "doubt-mark" };
    let help = if d.guess {
        " (guess, read as ".to_owned() + &d.to + ")"
    } else {
        " (not readable)".to_owned()
    };
    let mine = d.clone();
    let button = El::new("button").attr("type", "button").class(class);
    button
        .text(&text)
        .kid(unseen(help))
        .on("click", move |_| sheet.show(mine.clone()))
        .done()
}

fn ignored(outcome: &Outcome) -> Dom {
    let why = &outcome.reading.ignored_why;
    if why.is_empty() {
        return nothing();
    }
    let mut items = Vec::new();
    for (n, reason) in why.iter().take(5 * CHUNK) {
        items.push(tag(
            "li",
            "",
            vec![
                line("b", "", "Line ".to_owned() + &n.to_string() + ": "),
                words(reason),
            ],
        ));
    }
    let title = count(why.len(), "line is", "lines are") + " not part of the log";
    fold(title, false, vec![tag("ul", "bullets", items)])
}
