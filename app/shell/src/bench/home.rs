//! The bench: checklists, cautions, sums, and what the books say about service
//! ports.

use super::kept::Going;
use super::{kept, parts};
use crate::app::App;
use crate::books::port;
use crate::consoles::{Want, headline, loaded};
use crate::platform::dom::Dom;
use crate::text;
use crate::widgets::bits::{
    count, icon, line, link, link_with, mark, nothing, section, tag, title,
};
use notebook::{dates, kinds};
use reading::sorted;

/// Ended checklists in the list.
const MOST: usize = 10;

/// The page.
pub fn page(app: App) -> Dom {
    Dom::many(vec![
        title(text::BENCH_TITLE),
        line("p", "", text::BENCH_LEAD),
        tag(
            "div",
            "row",
            vec![link_with("main", "/bench/new", "list", "Begin a checklist")],
        ),
        loaded(app, Want::Kinds(&[kinds::RUN]), move |page| {
            let mut all = kept::all();
            // One that was deleted does not come back from the small storage.
            let gone = |g: &Going| page.records.iter().any(|r| r.id == g.id && r.gone());
            all.retain(|g| !gone(g));
            let items = page.items();
            let ended = items.iter().filter(|i| !all.iter().any(|g| g.id == i.id));
            let ended: Vec<Going> = ended.filter_map(Going::of).collect();
            all.extend(ended);
            runs(&all)
        }),
        section(
            "cautions",
            "Cautions",
            vec![
                line("p", "", text::BENCH_CAUTIONS),
                tag(
                    "div",
                    "row",
                    vec![
                        link_with("plain", "/bench/cautions", "caution", "All cautions"),
                        link_with("plain", "/bench/charge", "meter", "Stored charge"),
                    ],
                ),
            ],
        ),
        ports(app),
    ])
}

fn runs(all: &[Going]) -> Dom {
    let (mut open, mut ended): (Vec<&Going>, Vec<&Going>) =
        all.iter().partition(|g| g.run.ended.is_none());
    for some in [&mut open, &mut ended] {
        sorted::sort_by(some, |a, b| b.run.started.cmp(&a.run.started));
    }
    let list = |head: &'static str, id: &'static str, some: &[&Going]| {
        if some.is_empty() {
            return nothing();
        }
        let rows = some.iter().take(MOST).map(|g| row(g));
        section(id, head, vec![tag("ul", "records", rows.collect())])
    };
    Dom::many(vec![
        list("Under way", "under-way", &open),
        list("Ended", "ended", &ended),
    ])
}

fn row(going: &Going) -> Dom {
    let counts = going.run.counts();
    let words = count(counts.done, "step done", "steps done")
        + ", "
        + &counts.open.to_string()
        + " open \u{b7} "
        + &dates::words(&going.day, "");
    let words = headline(&going.name, &words);
    let to = if going.run.ended.is_some() {
        going.address() + "/all"
    } else {
        going.address()
    };
    tag(
        "li",
        "record",
        vec![link("record-link", &to, vec![icon("list"), words])],
    )
}

fn ports(app: App) -> Dom {
    let ports = move || {
        let mut out = Vec::new();
        for held in app.shelf.held.get() {
            if held.book.model.service_port.is_some() {
                out.push(line("h3", "", &held.book.model.name));
                if held.demo {
                    out.push(mark("warn", "info", text::DEMO));
                }
                out.push(port::view(&held.book.model));
            }
        }
        Dom::many(out)
    };
    section(
        "ports",
        "Service ports",
        vec![port_cautions(), Dom::live(ports)],
    )
}

/// What to mind before one connects to a service port: the steps of that phase.
pub fn port_cautions() -> Dom {
    let Some(care) = super::care() else {
        return nothing();
    };
    let list = care.compose(&["pull-log"], &[]);
    let own = list.steps.iter().filter_map(|n| care.steps.get(*n));
    let port = care.phases.iter().position(|p| p.id == "port");
    let rows = own.filter(|s| Some(s.phase) == port).map(|s| {
        let kids = vec![
            line("p", "", &s.text),
            parts::from(&care.sources_line(&s.from)),
        ];
        tag("li", "", kids)
    });
    let rows: Vec<Dom> = rows.collect();
    Dom::many(vec![
        line("h3", "", "Before you connect"),
        tag("ol", "steps-all", rows),
    ])
}
