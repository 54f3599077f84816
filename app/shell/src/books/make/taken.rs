//! What the tables give together, and what of them was left out.

use super::columns::cut;
use crate::platform::dom::{Dom, El};
use crate::platform::state::State;
use crate::text;
use crate::widgets::bits::{bullets, count, fold, fold_named, line, mark, nothing, show_all, tag};
use std::rc::Rc;
use tables::{Sheet, Taken};

/// Rows of a result drawn at once.
const FIRST: usize = 6;

/// The table as it was laid out, for those who want to compare.
pub fn grid(sheet: &Sheet) -> Dom {
    let row = |name: &'static str, cells: Vec<String>| {
        let cells = cells.iter().map(|c| line(name, "", c)).collect();
        tag("tr", "", cells)
    };
    let mut rows = Vec::new();
    if !sheet.head.is_empty() {
        rows.push(row("th", sheet.head.clone()));
    }
    for r in sheet.rows.iter().take(100) {
        rows.push(row("td", r.cells.iter().map(|c| c.text.clone()).collect()));
    }
    let table = tag("table", "", vec![tag("tbody", "", rows)]);
    let wide = El::new("div").class("wide").attr("tabindex", "0");
    let wide = wide
        .attr("role", "group")
        .attr("aria-label", "Table")
        .kid(table)
        .done();
    if sheet.rows.len() > 100 {
        return Dom::many(vec![
            wide,
            line("p", "small", "The first 100 rows are shown."),
        ]);
    }
    wide
}

pub fn left(all: &[tables::Left]) -> Dom {
    if all.is_empty() {
        return nothing();
    }
    let items = all.iter().take(50).map(|l| {
        "Line ".to_owned() + &l.line.to_string() + ": " + &cut(&l.text) + " (" + &l.why + ")"
    });
    let title = "Not part of the table: ".to_owned() + &count(all.len(), "line", "lines");
    fold(title, false, vec![bullets(items)])
}

/// What all tables give together.
pub fn taken(t: &Rc<Taken>) -> Dom {
    let p = &t.piece;
    let counts = [
        (p.codes.len(), "code", "codes"),
        (p.steps.len(), "step", "steps"),
        (p.rails.len(), "rail", "rails"),
        (p.boards.len(), "board", "boards"),
    ];
    let counts = counts.into_iter().filter(|c| c.0 > 0);
    let counts: Vec<String> = counts.map(|(n, one, many)| count(n, one, many)).collect();
    if counts.is_empty() {
        return mark("warn", "info", text::MAKE_NOTHING_TAKEN);
    }
    let mut parts = vec![mark(
        "good",
        "check",
        "From the tables: ".to_owned() + &counts.join(", "),
    )];
    let limit = State::new(FIRST);
    let held = t.clone();
    let rows = move || {
        let codes = &held.piece.codes;
        let items = codes.iter().take(limit.get()).map(|c| {
            let top = vec![
                line("span", "code", &c.code),
                line("span", "what", &c.title),
            ];
            let mut parts = vec![tag("div", "entry-top", top)];
            if !c.meaning.is_empty() {
                parts.push(line("p", "", &c.meaning));
            }
            let step = c.step.as_ref().map(|s| "Step ".to_owned() + s + " · ");
            parts.push(line("p", "small", step.unwrap_or_default() + &c.source));
            tag("li", "code-row", parts)
        });
        let list = tag("ul", "codes", items.collect());
        Dom::many(vec![list, show_all(codes.len(), limit)])
    };
    if !p.codes.is_empty() {
        parts.push(fold_named(
            "taken-codes",
            "Look at the codes",
            vec![Dom::live(rows)],
        ));
    }
    if !t.conflicts.is_empty() {
        let n = count(t.conflicts.len(), "code is said", "codes are said");
        parts.push(mark(
            "warn",
            "guess",
            n + " to mean different things. All of it is kept, with its place.",
        ));
        let items = t.conflicts.iter().take(50);
        let items = items.map(|c| c.code.clone() + ": " + &c.differs.join("; "));
        parts.push(fold_named(
            "taken-conflicts",
            "What does not agree",
            vec![bullets(items)],
        ));
    }
    let notes = t.rows.iter().filter(|r| !r.notes.is_empty());
    let notes: Vec<String> = notes
        .take(100)
        .map(|r| {
            "Row ".to_owned()
                + &r.line.to_string()
                + ", "
                + &r.became.join(", ")
                + ": "
                + &r.notes.join("; ")
        })
        .collect();
    if !notes.is_empty() {
        parts.push(fold_named(
            "taken-notes",
            "What was done on the way",
            vec![bullets(notes)],
        ));
    }
    if !t.left.is_empty() {
        let items = t.left.iter().take(50).map(|(_, l)| {
            "Row ".to_owned() + &l.line.to_string() + ": " + &cut(&l.text) + " (" + &l.why + ")"
        });
        let title = "Left out: ".to_owned() + &count(t.left.len(), "row", "rows");
        parts.push(fold_named("taken-left", title, vec![bullets(items)]));
    }
    Dom::many(parts)
}
