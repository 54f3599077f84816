//! The history of a console's log: all its readings laid over each other.

use super::notes::Page;
use super::{Want, address, back, facts, loaded};
use crate::app::App;
use crate::platform::clock;
use crate::platform::device;
use crate::platform::dom::Dom;
use crate::platform::state::State;
use crate::text;
use crate::widgets::bits::{count, line, link, mark, nothing, section, show_all, tag, title};
use notebook::history::{History, Pulled, Since, history};
use notebook::{Item, dates, timeline};
use std::rc::Rc;

/// Entries drawn at once.
const MOST: usize = 60;

struct Held {
    readings: Vec<Item>,
    pulled: Vec<Pulled>,
    made: History,
}

/// The page.
pub fn page(app: App, id: String) -> Dom {
    let own = id.clone();
    let body = loaded(app, Want::Console(id.clone()), move |page| {
        drawn(app, &own, page)
    });
    Dom::many(vec![
        back(&address(&id), "Back to the console"),
        title("Log history"),
        body,
    ])
}

fn drawn(app: App, id: &str, page: &Page) -> Dom {
    let mut items = page.items();
    timeline::order(&mut items);
    let readings: Vec<Item> = items
        .iter()
        .filter(|i| i.kind == "reading")
        .cloned()
        .collect();
    if readings.is_empty() {
        let to_read = link("", "/read", vec![Dom::text("Read a log")]);
        return Dom::many(vec![
            line("p", "", text::NO_READINGS),
            tag("p", "", vec![to_read]),
        ]);
    }
    let pulled: Vec<Pulled> = readings.iter().map(Pulled::of).collect();
    let made = history(&pulled);
    let repair = items.iter().find(|i| i.kind == "repair");
    let held = Rc::new(Held {
        readings,
        pulled,
        made,
    });
    let several = held.readings.len() > 1;
    let mut parts = vec![if several {
        since(
            app,
            "Since the last reading",
            &held.made.after_last(),
            &held,
        )
    } else {
        line("p", "lead", text::ONE_READING)
    }];
    if let Some(repair) = repair.filter(|_| several) {
        let day = timeline::day(repair).unwrap_or_default();
        let heading = "Since the last repair, ".to_owned() + &dates::words(&day, &device::today());
        let since_repair = held.made.after_day(&held.pulled, &day, repair.created);
        parts.push(since(app, &heading, &since_repair, &held));
    }
    parts.push(joins(id, &held));
    parts.push(all(app, held));
    Dom::many(parts)
}

fn since(app: App, heading: &str, since: &Since, held: &Held) -> Dom {
    let mut list = Vec::new();
    for &e in since.events.iter().rev().take(MOST) {
        list.push(event(app, held, e, false));
    }
    tag(
        "section",
        "",
        vec![
            line("h2", "", heading),
            line("p", "summary", &since.text),
            tag("ol", "entries", list),
        ],
    )
}

fn label(held: &Held, reading: usize) -> String {
    let day = held
        .readings
        .get(reading)
        .and_then(timeline::day)
        .unwrap_or_default();
    dates::words(&day, &device::today())
}

/// How the readings follow each other.
fn joins(id: &str, held: &Held) -> Dom {
    let to = |reading: usize| {
        let own = held.readings.get(reading).map_or("", |r| r.id.as_str());
        let words = "Reading of ".to_owned() + &label(held, reading);
        link("", &(address(id) + "/" + own), vec![Dom::text(&words)])
    };
    let mut list = Vec::new();
    if let Some(&first) = held.made.order.first() {
        list.push(tag(
            "li",
            "join",
            vec![to(first), line("p", "", "The first of them.")],
        ));
    }
    for join in &held.made.joins {
        list.push(tag(
            "li",
            "join",
            vec![to(join.to), line("p", "", &join.text)],
        ));
    }
    for apart in &held.made.apart {
        let mark = mark("warn", "info", &apart.text);
        list.push(tag("li", "join", vec![to(apart.reading), mark]));
    }
    section(
        "readings",
        "How the readings follow each other",
        vec![tag("ol", "joins", list)],
    )
}

/// The whole history, newest first.
fn all(app: App, held: Rc<Held>) -> Dom {
    let total = held.made.events.len();
    let limit = State::new(MOST);
    let list = move || {
        let most = limit.get();
        let shown = (0..total)
            .rev()
            .take(most)
            .map(|e| event(app, &held, e, true))
            .collect();
        let more = show_all(total, limit);
        Dom::many(vec![tag("ol", "entries", shown), more])
    };
    let heading =
        "The whole log: ".to_owned() + &count(total, "entry", "entries") + ", newest first";
    section("whole", &heading, vec![Dom::live(list)])
}

fn event(app: App, held: &Held, at: usize, with_readings: bool) -> Dom {
    let Some(event) = held.made.events.get(at) else {
        return nothing();
    };
    let (r, k) = event.at;
    let Some(entry) = held.pulled.get(r).and_then(|p| p.entries.get(k)) else {
        return nothing();
    };
    let style = app.settings.get_untracked().clock();
    let book = held.pulled.get(r).map_or("", |p| &p.book);
    let mut small: Vec<String> = Vec::new();
    if !entry.step.is_empty() {
        small.push("step ".to_owned() + &entry.step);
    }
    small.push(match (entry.utc, entry.local, entry.rel) {
        (Some(s), _, _) => clock::seconds(s, style),
        (_, Some(s), _) => clock::seconds_as_written(s, style),
        (_, _, Some(s)) => s.to_string() + " s after the clock started",
        _ => "no time".to_owned(),
    });
    if entry.count > Some(1) {
        small.push("seen ".to_owned() + &entry.count.unwrap_or(0).to_string() + " times");
    }
    let mut parts = vec![
        tag(
            "div",
            "entry-top",
            vec![
                line("b", "code mono", &entry.code),
                line("span", "what", facts::meaning(app, book, &entry.code)),
            ],
        ),
        line("p", "small", small.join(" \u{b7} ")),
    ];
    if entry.unsure {
        parts.push(mark(
            "warn",
            "guess",
            "Has a guess in it, or is not complete",
        ));
    }
    if event.disputed {
        parts.push(mark("warn", "info", text::DISPUTED));
    }
    if with_readings && held.readings.len() > 1 {
        let first = event
            .readings
            .first()
            .map(|r| label(held, *r))
            .unwrap_or_default();
        let words = "First seen in the reading of ".to_owned()
            + &first
            + ", in "
            + &count(event.readings.len(), "reading", "readings");
        parts.push(line("p", "small", words));
    }
    tag("li", "entry", parts)
}
