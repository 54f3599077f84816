//! The power-up sequence as a list of steps, with the place where it stopped.

use super::work::Seen;
use crate::platform::dom::Dom;
use crate::widgets::bits::{count, icon, line, nothing, section as part, tag, words};
use reading::explain::StepRow;

/// The section, or nothing when the books name no steps.
pub fn section(seen: &Seen) -> Dom {
    let rows = &seen.told.steps;
    if rows.is_empty() {
        return nothing();
    }
    let most = rows.iter().map(|r| r.stopped_here).max().unwrap_or(0);
    let mut lists = Vec::new();
    let mut books: Vec<&str> = Vec::new();
    for r in rows {
        if !books.contains(&r.book.as_str()) {
            books.push(&r.book);
        }
    }
    for book in &books {
        if books.len() > 1 {
            let name = seen.outcome.books.iter().find(|b| b.model.id == *book);
            lists.push(line(
                "h3",
                "",
                name.map(|b| b.model.name.clone()).unwrap_or_default(),
            ));
        }
        let items = rows
            .iter()
            .filter(|r| r.book == *book)
            .map(|r| item(r, most))
            .collect();
        lists.push(tag("ol", "steps", items));
    }
    part("steps", "Power-up, step by step", lists)
}

fn item(row: &StepRow, most: usize) -> Dom {
    let stopped = row.stopped_here;
    let mut parts = vec![tag(
        "div",
        "step-top",
        vec![
            line("b", "mono step-id", &row.id),
            line(
                "span",
                "",
                if row.known && row.name == row.id {
                    // Known only from the codes that name it.
                    "no name in the code book".to_owned()
                } else if row.known {
                    row.name.clone()
                } else {
                    "not in the code book".to_owned()
                },
            ),
        ],
    )];
    if stopped > 0 {
        let newest = if row.newest_here {
            ", the newest entry too"
        } else {
            ""
        };
        let words_of = "Stopped here ".to_owned() + &count(stopped, "time", "times") + newest;
        parts.push(tag("p", "mark bad", vec![icon("stop"), words(words_of)]));
        if !row.about.is_empty() {
            parts.push(line("p", "small", &row.about));
        }
        let mut more = Vec::new();
        if !row.rails.is_empty() {
            more.push("Rails: ".to_owned() + &row.rails.join(", "));
        }
        if !row.parts.is_empty() {
            more.push("Parts: ".to_owned() + &row.parts.join(", "));
        }
        if !more.is_empty() {
            parts.push(line("p", "small", more.join(". ")));
        }
    }
    let class = match stopped {
        0 => "step-row",
        n if n == most => "step-row stopped most",
        _ => "step-row stopped",
    };
    tag("li", class, parts)
}
