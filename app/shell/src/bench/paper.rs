//! A checklist on paper: one or two pages, with boxes and blanks for a pencil
//! where a step is still open.

use super::run::Now;
use crate::consoles;
use crate::platform::dom::{Dom, El};
use crate::platform::state::State;
use crate::platform::{clock, device, page, worker};
use crate::text;
use crate::widgets::bits::{button, line, nothing, tag, title, words};
use care::{Care, Run};
use notebook::{Item, dates};

/// The page of a checklist under way.
pub fn page(now: Now) -> Dom {
    let going = now.going.get_untracked();
    let address = going.address() + "/all";
    let tools = tag(
        "div",
        "no-print",
        vec![
            consoles::back(&address, "All steps"),
            title("On paper"),
            line("p", "", text::PAPER_LEAD),
            button("main", "print", "Print or save as PDF", page::print),
        ],
    );
    let Some(care) = super::care() else {
        return tools;
    };
    let console = State::new(String::new());
    let (app, id) = (now.app, going.console.clone());
    leptos::task::spawn_local(async move {
        if let Some(record) = app.notes.quiet_record(&id).await {
            console.try_set(Item::of(&record).text("name").to_owned());
        }
    });
    let shown = Dom::live(move || {
        console.with(|name| drawn(care, &going.run, &going.name, name, &going.day))
    });
    Dom::many(vec![tools, tag("div", "paper-shown", vec![shown])])
}

/// The same for print only, on another page.
pub fn sheet(care: &Care, run: &Run, name: &str, day: &str) -> Dom {
    tag("div", "print-only", vec![drawn(care, run, name, "", day)])
}

fn drawn(care: &Care, run: &Run, name: &str, console: &str, day: &str) -> Dom {
    let mut parts = vec![
        line("h2", "paper-title", "Checklist: ".to_owned() + name),
        head(console, day),
    ];
    let mut rows = Vec::new();
    let mut phase = "";
    for (n, step) in run.list.iter().enumerate() {
        if step.phase != phase {
            phase = &step.phase;
            rows.push(line("h3", "", phase));
        }
        rows.push(row(run, n));
    }
    parts.push(tag("div", "paper-steps", rows));
    parts.push(line("p", "small", text::CARE_LIMITS));
    let build = worker::build_id().unwrap_or_default();
    let foot = "Printed ".to_owned()
        + &dates::words(&device::today(), "")
        + ". Faultleaf, build "
        + &build
        + ", cautions version "
        + &care.version.to_string()
        + ".";
    parts.push(line("p", "small", foot));
    tag("article", "paper", parts)
}

fn head(console: &str, day: &str) -> Dom {
    let blank = |label: &str, value: &str| {
        let value = if value.is_empty() {
            tag("span", "blank", Vec::new())
        } else {
            line("span", "", value)
        };
        tag("span", "paper-field", vec![line("span", "", label), value])
    };
    let day = if day.is_empty() {
        String::new()
    } else {
        dates::words(day, "")
    };
    tag(
        "p",
        "paper-head",
        vec![
            blank("Console: ", console),
            blank("Day: ", &day),
            blank("Signed: ", ""),
        ],
    )
}

fn row(run: &Run, n: usize) -> Dom {
    let Some(step) = run.list.get(n) else {
        return nothing();
    };
    let mark = run.mark(n);
    let sign = match (run.skipped(n), mark.is_open()) {
        (Some(_), _) => "\u{2013}",
        (None, true) => "\u{2610}",
        (None, false) => "\u{2611}",
    };
    let number = (n + 1).to_string() + ". ";
    let mut kids = vec![words(number + &step.text)];
    if let Some(hold) = &step.hold {
        kids.push(words(" "));
        kids.push(line("b", "", "HOLD: ".to_owned() + hold));
    }
    let small = |text: String| line("span", "paper-small", text);
    if let Some(why) = run.skipped(n) {
        kids.push(small(" Skipped: ".to_owned() + why));
    }
    if let Some(note) = run.notes.get(n).filter(|t| !t.trim().is_empty()) {
        kids.push(small(" Note: ".to_owned() + note.trim()));
    }
    if let Some(ms) = mark.at_ms() {
        let style = clock::Style {
            twelve: false,
            local: true,
        };
        kids.push(small(" ".to_owned() + &clock::moment(ms, style)));
    }
    let end = if mark.is_open() {
        tag("span", "blank", Vec::new())
    } else {
        nothing()
    };
    let sign = El::new("span").class("paper-sign").text(sign).done();
    tag("div", "paper-row", vec![sign, tag("div", "", kids), end])
}
