//! When things happened: one row a code, time from left to right. Entries
//! without a set clock get a picture of their own, by order only. Both have the
//! same facts in a table for those who can't see them.

use super::when;
use super::work::Seen;
use crate::app::App;
use crate::platform::clock;
use crate::platform::dom::{Dom, El};
use crate::widgets::bits::{count, fold, line, nothing, section as part, tag};
use reading::explain::field_text;

/// Codes with a row of their own; the rest share one.
const ROWS: usize = 9;
/// Height of a row, in rem.
const HEIGHT: f64 = 2.4;

struct Dot {
    /// Place from left to right, 0 to 1.
    at: f64,
    row: usize,
}

/// The section, or nothing for fewer than two entries.
pub fn section(app: App, seen: &Seen) -> Dom {
    let points = &seen.told.timeline;
    if points.len() < 2 {
        return nothing();
    }
    let style = app.settings.get_untracked().clock();
    let code_of = |i: usize| {
        let entry = seen.outcome.reading.entries.get(i);
        entry
            .and_then(|e| field_text(e, "code"))
            .unwrap_or_default()
    };
    let mut names: Vec<String> = Vec::new();
    for row in &seen.told.codes {
        if names.len() < ROWS && !names.contains(&row.code) {
            names.push(row.code.clone());
        }
    }
    let row_of = |code: &str| names.iter().position(|n| n == code).unwrap_or(names.len());
    let timed: Vec<(i64, usize)> = points
        .iter()
        .filter_map(|p| p.time_s.map(|t| (t, row_of(&code_of(p.entry)))))
        .collect();
    let untimed: Vec<usize> = points
        .iter()
        .filter(|p| p.time_s.is_none())
        .map(|p| row_of(&code_of(p.entry)))
        .collect();
    let mut parts = Vec::new();
    if let (Some(first), Some(last)) = (
        timed.iter().map(|t| t.0).min(),
        timed.iter().map(|t| t.0).max(),
    ) {
        #[allow(
            clippy::cast_precision_loss,
            reason = "seconds fit a float well enough for a picture"
        )]
        let place = |t: i64| {
            if last > first {
                (t - first) as f64 / (last - first) as f64
            } else {
                0.5
            }
        };
        let dots = timed
            .iter()
            .map(|(t, row)| Dot {
                at: place(*t),
                row: *row,
            })
            .collect();
        #[allow(clippy::cast_precision_loss, reason = "the same")]
        let ends = (
            clock::day(first as f64, style),
            clock::day(last as f64, style),
        );
        let what = count(timed.len(), "entry", "entries") + " from " + &ends.0 + " to " + &ends.1;
        parts.push(chart(&names, dots, "By time", &what, ends, "dot"));
    }
    if !untimed.is_empty() {
        let n = untimed.len();
        #[allow(clippy::cast_precision_loss, reason = "a count of entries")]
        let place = |i: usize| {
            if n > 1 {
                i as f64 / (n - 1) as f64
            } else {
                0.5
            }
        };
        let dots = untimed
            .iter()
            .enumerate()
            .map(|(i, row)| Dot {
                at: place(i),
                row: *row,
            })
            .collect();
        let what = count(n, "entry", "entries") + ", oldest on the left";
        let ends = ("oldest".to_owned(), "newest".to_owned());
        parts.push(chart(
            &names,
            dots,
            "By order only",
            &what,
            ends,
            "dot open",
        ));
    }
    if !seen.told.clock.is_empty() {
        parts.push(line("p", "small", &seen.told.clock));
    }
    parts.push(fold("The same as a table", false, vec![table(seen, style)]));
    part("timeline", "When it happened", parts)
}

fn chart(
    names: &[String],
    dots: Vec<Dot>,
    title: &'static str,
    what: &str,
    ends: (String, String),
    class: &'static str,
) -> Dom {
    let used: Vec<usize> = (0..=names.len())
        .filter(|r| dots.iter().any(|d| d.row == *r))
        .collect();
    #[allow(clippy::cast_precision_loss, reason = "a handful of rows")]
    let y = |row: usize| (used.iter().position(|u| *u == row).unwrap_or(0) as f64 + 0.5) * HEIGHT;
    #[allow(clippy::cast_precision_loss, reason = "the same")]
    let height = used.len() as f64 * HEIGHT + 1.8;
    let rem = |n: f64| n.to_string() + "rem";
    let percent = |at: f64| (26.0 + at * 70.0).to_string() + "%";
    let mut marks: Vec<Dom> = Vec::new();
    for row in &used {
        let name = names
            .get(*row)
            .cloned()
            .unwrap_or_else(|| "others".to_owned());
        let lane = El::svg("line")
            .class("lane")
            .attr("x1", "24%")
            .attr("x2", "98%");
        marks.push(
            lane.attr("y1", &rem(y(*row)))
                .attr("y2", &rem(y(*row)))
                .done(),
        );
        marks.push(label("lane-name", "0", &rem(y(*row) + 0.35), &name));
    }
    for d in &dots {
        let dot = El::svg("circle").class(class).attr("r", "0.45rem");
        marks.push(
            dot.attr("cx", &percent(d.at))
                .attr("cy", &rem(y(d.row)))
                .done(),
        );
    }
    let base = rem(height - 0.5);
    let id = if class == "dot" {
        "chart-time"
    } else {
        "chart-order"
    };
    let drawing = El::svg("svg")
        .class("chart")
        .attr("role", "img")
        .attr("aria-labelledby", id)
        .attr("width", "100%")
        .attr("height", &rem(height))
        .kid(
            El::svg("title")
                .attr("id", id)
                .text(&(title.to_owned() + ": " + what))
                .done(),
        )
        .kids(marks)
        .kid(label("axis", "24%", &base, &ends.0))
        .kid(label("axis end", "98%", &base, &ends.1));
    Dom::many(vec![line("h3", "", title), drawing.done()])
}

fn label(class: &str, x: &str, y: &str, text: &str) -> Dom {
    El::svg("text")
        .class(class)
        .attr("x", x)
        .attr("y", y)
        .text(text)
        .done()
}

fn table(seen: &Seen, style: clock::Style) -> Dom {
    let mut rows = Vec::new();
    for p in seen.told.timeline.iter().take(500) {
        let Some(e) = seen.outcome.reading.entries.get(p.entry) else {
            continue;
        };
        let field = |name: &str| field_text(e, name).unwrap_or_default();
        rows.push(tag(
            "tr",
            "",
            vec![
                line("td", "", p.order.to_string()),
                line("td", "mono", field("code")),
                line("td", "mono", field("step")),
                line("td", "", when::say(&p.when, style)),
            ],
        ));
    }
    let head = ["Order", "Code", "Step", "Time"];
    let head = head
        .into_iter()
        .map(|h| El::new("th").attr("scope", "col").text(h).done())
        .collect();
    let body = tag("tbody", "", rows);
    let table = tag(
        "table",
        "",
        vec![tag("thead", "", vec![tag("tr", "", head)]), body],
    );
    let region = El::new("div")
        .class("wide")
        .attr("tabindex", "0")
        .attr("role", "region");
    region
        .attr("aria-label", "Entries by time")
        .kid(table)
        .done()
}
