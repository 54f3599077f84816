//! Two jobs side by side.

use super::case::{Case, with_case};
use super::names;
use crate::app::App;
use crate::consoles::{Want, back, loaded, option};
use crate::platform::dom::{Dom, El};
use crate::route;
use crate::text;
use crate::widgets::bits::{line, tag, title};
use diagnosis::plain;
use leptos::prelude::event_target_value;
use std::rc::Rc;

/// The page. `other` is `console.job` of the other one, or empty.
pub fn page(app: App, case: Rc<Case>, other: &str) -> Dom {
    let to = case.address();
    let (own, now) = (case.clone(), other.to_owned());
    let choose = loaded(app, Want::Kinds(&["console", "job"]), move |page| {
        let items = page.items();
        let mut options = vec![option("", "Choose one", now.is_empty())];
        for job in items
            .iter()
            .filter(|i| i.kind == "job" && i.id != own.job.id)
        {
            let home = items.iter().find(|c| c.id == job.text("console"));
            // Another family has other suspects: there is nothing to compare.
            let Some(home) = home.filter(|c| c.text("book") == own.book.model.id) else {
                continue;
            };
            let name = [
                home.text("name"),
                ": ",
                job.text("name"),
                " (",
                home.text("board"),
                ", ",
                job.text("day"),
                ")",
            ]
            .concat();
            let value = [&home.id, ".", &job.id].concat();
            options.push(option(&value, &name, value == now));
        }
        if options.len() < 2 {
            return line("p", "", text::COMPARE_NONE);
        }
        let base = own.address();
        let select = El::new("select").kids(options).on("change", move |event| {
            let to = [&base, "/compare/", &event_target_value(&event)].concat();
            route::go(app.route, &to);
        });
        tag(
            "label",
            "field",
            vec![line("span", "", "The other job"), select.done()],
        )
    });
    let body = match other.split_once('.') {
        None => Dom::default(),
        Some((console, job)) => {
            let case = case.clone();
            with_case(app, console, job, move |other| table(&case, &other))
        }
    };
    Dom::many(vec![
        back(&to, "Back to the suspects"),
        title("Two jobs side by side"),
        choose,
        body,
    ])
}

fn table(a: &Case, b: &Case) -> Dom {
    let (one, two) = (a.work(true), b.work(true));
    let head = |which: &'static str, case: &Case| {
        let parts = [
            which,
            case.console.text("name"),
            case.job.text("name"),
            &case.board,
        ];
        let parts: Vec<&str> = parts.into_iter().filter(|p| !p.is_empty()).collect();
        parts.join(", ")
    };
    let mut rows = vec![tag(
        "tr",
        "",
        vec![
            line("th", "", "Suspect"),
            line("th", "", head("This job", a)),
            line("th", "", head("The other", b)),
        ],
    )];
    // By name: the two may be of different families.
    let mut names: Vec<String> = Vec::new();
    let all = |case: &Case, w: &super::case::Worked| -> Vec<(String, String)> {
        let each = w.answer.suspects.iter().filter(|s| s.now >= 0.01).map(|s| {
            let words = [
                plain::percent(s.now),
                " (".to_owned(),
                plain::range(s.low, s.high),
                ")".to_owned(),
            ];
            (names::suspect(case, s.cause), words.concat())
        });
        each.collect()
    };
    let (left, right) = (all(a, &one), all(b, &two));
    for (name, _) in left.iter().chain(&right) {
        if !names.contains(name) {
            names.push(name.clone());
        }
    }
    for name in names {
        let of = |list: &[(String, String)]| {
            let found = list.iter().find(|(n, _)| *n == name);
            found.map_or_else(|| "under 1 %".to_owned(), |(_, w)| w.clone())
        };
        rows.push(tag(
            "tr",
            "",
            vec![
                line("th", "", &name),
                line("td", "", of(&left)),
                line("td", "", of(&right)),
            ],
        ));
    }
    let next = |case: &Case, w: &super::case::Worked| {
        let first = w.options.choices.first();
        first
            .map(|c| names::deed(case, &c.deed))
            .unwrap_or_default()
    };
    rows.push(tag(
        "tr",
        "",
        vec![
            line("th", "", "Next"),
            line("td", "", next(a, &one)),
            line("td", "", next(b, &two)),
        ],
    ));
    let findings = |case: &Case| {
        let seen = case.facts.noticed.iter().filter(|n| n.if_there > n.if_not);
        let all: Vec<String> = seen.map(|n| names::finding(case, &n.key)).collect();
        all.join("; ")
    };
    rows.push(tag(
        "tr",
        "",
        vec![
            line("th", "", "Seen"),
            line("td", "", findings(a)),
            line("td", "", findings(b)),
        ],
    ));
    tag(
        "div",
        "wide-table",
        vec![tag("table", "", vec![tag("tbody", "", rows)])],
    )
}
