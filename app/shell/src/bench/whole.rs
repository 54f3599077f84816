//! The whole checklist: how each step stands, and its end.

use super::kept;
use super::run::Now;
use crate::consoles;
use crate::platform::device;
use crate::platform::dom::{Dom, El};
use crate::text;
use crate::widgets::bits::{
    button, count, icon, line, link_with, mark, nothing, tag, title, unseen, words,
};

/// The page.
pub fn page(now: Now) -> Dom {
    Dom::live(move || drawn(now))
}

fn drawn(now: Now) -> Dom {
    let going = now.going.get();
    let run = &going.run;
    let (home, home_words) = going.home();
    let counts = run.counts();
    let mut told = vec![count(counts.done, "step done", "steps done")];
    if counts.skipped > 0 {
        told.push(count(counts.skipped, "skipped", "skipped"));
    }
    if counts.open > 0 {
        told.push(count(counts.open, "open", "open"));
    }
    let mut parts = vec![
        consoles::back(&home, home_words),
        title(&going.name),
        line("p", "summary", told.join(", ")),
    ];
    if counts.holds_open > 0 {
        let words = count(counts.holds_open, "hold point is", "hold points are");
        parts.push(mark("warn", "stop", words + " still open."));
    }
    parts.push(end(now, &going, counts.open));
    let mut phase = "";
    let mut rows = Vec::new();
    for (n, step) in run.list.iter().enumerate() {
        if step.phase != phase {
            flush(&mut parts, phase, &mut rows);
            phase = &step.phase;
        }
        rows.push(row(now, n));
    }
    flush(&mut parts, phase, &mut rows);
    Dom::many(parts)
}

fn flush(parts: &mut Vec<Dom>, phase: &str, rows: &mut Vec<Dom>) {
    if !rows.is_empty() {
        parts.push(line("h2", "", phase));
        parts.push(tag("ol", "run-steps", std::mem::take(rows)));
    }
}

fn row(now: Now, n: usize) -> Dom {
    let found = now.going.try_with_untracked(|g| {
        let step = g.run.list.get(n)?.clone();
        let why = g.run.skipped(n).map(str::to_owned);
        let note = g.run.notes.get(n).cloned().unwrap_or_default();
        Some((step, g.run.mark(n).is_open(), why, note, g.address()))
    });
    let Some((step, open, why, note, address)) = found.flatten() else {
        return nothing();
    };
    let (picture, said) = match (&why, open) {
        (Some(_), _) => ("cut", "Skipped: "),
        (None, true) if step.hold.is_some() => ("stop", "Open, hold point: "),
        (None, true) => ("right", "Open: "),
        (None, false) => ("check", "Done: "),
    };
    let to = El::new("a")
        .attr("href", &address)
        .class("run-step")
        .on("click", move |_| now.change(|r| r.go(n)))
        .kid(icon(picture))
        .kid(tag("span", "", vec![unseen(said), words(&step.text)]));
    let mut kids = vec![to.done()];
    if let Some(why) = why {
        kids.push(line("p", "small", "Skipped: ".to_owned() + &why));
    }
    if !note.trim().is_empty() {
        kids.push(line("p", "small note-text", note));
    }
    tag("li", "", kids)
}

fn end(now: Now, going: &kept::Going, open: usize) -> Dom {
    let paper = link_with("plain", &(going.address() + "/paper"), "print", "On paper");
    if going.run.ended.is_some() {
        let again = button("plain", "undo", "Go on after all", move || {
            now.change(care::Run::reopen);
        });
        return Dom::many(vec![
            mark("good", "check", text::RUN_ENDED),
            tag("div", "row", vec![paper, again]),
        ]);
    }
    let finish = button(
        if open == 0 { "main" } else { "plain" },
        "check",
        if open == 0 {
            "End the checklist"
        } else {
            "End it here"
        },
        move || now.change(|r| r.end(device::now_ms())),
    );
    let on = if open == 0 {
        nothing()
    } else {
        link_with("main", &going.address(), "right", "Go on")
    };
    tag("div", "row", vec![on, finish, paper])
}
