//! Help while an entry is typed by hand, from a photo or a screen: which layout
//! the line seems to be, how far it is fine, and what comes next.
//!
//! Nothing is mended here. A character that can't stand where it is is pointed
//! at, with what it may have been meant for.

mod bytes;
mod line;
mod words;

use codebook::Book;
use codebook::model::Layout;
use serde_json::Value;
use std::rc::Rc;

use crate::fold::fold;
use crate::plan::{LinePlan, plan_line};
use crate::view::View;

/// What can be said about a line while it is typed.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Hint {
    /// The book of the layout.
    pub book: String,
    /// The layout that fits furthest.
    pub layout: String,
    /// What people call it.
    pub layout_name: String,
    /// Which of the layout's lines this is.
    pub kind: LineKind,
    /// All is fine up to this byte of the line (a character boundary).
    pub ok_until: usize,
    /// The first character that can't stand where it is.
    pub bad: Option<char>,
    /// Where that character is in the line, in bytes.
    pub bad_span: Option<(usize, usize)>,
    /// What that character may have been meant for, the likeliest first. Never
    /// put in without asking.
    pub maybe: Vec<char>,
    /// The field that is being typed or comes next; empty when none does.
    pub next_field: String,
    /// What people call that field.
    pub next_label: String,
    /// What may stand at `ok_until`, in words.
    pub expected: String,
    /// What that field looks like in a good entry; may be empty.
    pub example: String,
    /// Whether the line is whole.
    pub complete: bool,
    /// Of a whole entry with a check field: whether the check fits.
    pub check_ok: Option<bool>,
}

/// Which line of a layout is typed.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord)]
pub enum LineKind {
    /// An entry.
    #[default]
    Entry,
    /// An unused slot.
    Empty,
    /// A line around the entries.
    Header,
}

/// How far a line fits one way of writing.
#[derive(Clone, Debug, Default)]
struct Fit {
    /// Cells that fit.
    cells: usize,
    /// Whether nothing is missing.
    complete: bool,
    /// Field, by name and label.
    field: String,
    label: String,
    expected: String,
    example: String,
    /// Characters that may stand at the first bad place, upper case.
    legal: Vec<u8>,
}

/// Longest line that is looked at; a typed entry is far shorter.
const LONGEST: usize = 600;

/// Highest cost of a slip that is worth a proposal.
const LIKELY: u32 = 25;

/// The hint for a line; none for a line that is blank, or that no layout of
/// the books begins like.
#[must_use]
pub fn hint(books: &[Rc<Book>], line: &str) -> Option<Hint> {
    hint_like(books, line, None)
}

/// The same when an entry of a layout (its id) was typed just before: among
/// equal fits that layout wins, and a blank line is one of it.
#[must_use]
pub fn hint_like(books: &[Rc<Book>], line: &str, before: Option<&str>) -> Option<Hint> {
    if line.len() > LONGEST {
        return None;
    }
    let view = fold(line, 0, line.len());
    let blank = !view.bytes.iter().any(|&b| crate::view::is_wordy(b));
    let mut best: Option<(Rank, &Book, &Layout, LineKind, Fit)> = None;
    for book in books {
        for layout in &book.model.layouts {
            let same = before == Some(layout.id());
            if blank && !same {
                continue;
            }
            for (kind, fit) in fits(layout, &view) {
                let rank = Rank {
                    cells: fit.cells,
                    complete: fit.complete,
                    same,
                    kind: std::cmp::Reverse(kind),
                };
                if best.as_ref().is_none_or(|b| rank > b.0) {
                    best = Some((rank, book, layout, kind, fit));
                }
            }
        }
    }
    let (_, book, layout, kind, fit) = best?;
    let typed = view
        .slice(0, fit.cells)
        .iter()
        .filter(|&&b| crate::view::is_wordy(b))
        .count();
    let strange = fit.cells < view.len();
    if !blank && (typed == 0 || strange && typed < 2) {
        return None;
    }
    let whole = fit.complete && fit.cells >= view.len();
    Some(Hint {
        check_ok: (whole && kind == LineKind::Entry && layout.check().is_some())
            .then(|| match layout {
                Layout::Text(_) => check(books, line),
                Layout::Bytes(record) => bytes::check(record, &view),
            })
            .flatten(),
        ..to_hint(line, &view, (book, layout, kind), fit)
    })
}

/// How fits are compared: the further one wins.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
struct Rank {
    cells: usize,
    complete: bool,
    same: bool,
    kind: std::cmp::Reverse<LineKind>,
}

fn fits(layout: &Layout, view: &View) -> Vec<(LineKind, Fit)> {
    match layout {
        Layout::Text(text) => {
            let fit = |plan: &LinePlan, example: &str| line::fit(plan, view, example);
            let mut out = vec![(LineKind::Entry, fit(&plan_line(&text.line), &text.example))];
            out.extend(
                text.empty
                    .iter()
                    .map(|l| (LineKind::Empty, fit(&plan_line(l), ""))),
            );
            out.extend(
                text.headers
                    .iter()
                    .map(|h| (LineKind::Header, fit(&plan_line(&h.line), ""))),
            );
            out
        }
        Layout::Bytes(record) => {
            let mut out = vec![(LineKind::Entry, bytes::fit(record, view))];
            let headers = record.headers.iter();
            out.extend(
                headers.map(|h| (LineKind::Header, line::fit(&plan_line(&h.line), view, ""))),
            );
            out
        }
    }
}

fn to_hint(line: &str, view: &View, what: (&Book, &Layout, LineKind), fit: Fit) -> Hint {
    let (book, layout, kind) = what;
    let mut hint = Hint {
        book: book.model.id.clone(),
        layout: layout.id().to_owned(),
        layout_name: layout.name().to_owned(),
        kind,
        ok_until: line.len(),
        complete: fit.complete && fit.cells >= view.len(),
        next_field: fit.field,
        next_label: fit.label,
        expected: fit.expected,
        example: fit.example,
        ..Hint::default()
    };
    if fit.cells < view.len() {
        let (from, to) = view.range(fit.cells, fit.cells + 1);
        hint.ok_until = from;
        hint.bad = line.get(from..to).and_then(|s| s.chars().next());
        hint.bad_span = Some((from, to));
        let mut readings = crate::slips::readings(view.byte(fit.cells), &fit.legal);
        readings.retain(|(_, cost)| *cost <= LIKELY);
        hint.maybe = readings
            .into_iter()
            .take(3)
            .map(|(b, _)| char::from(b))
            .collect();
    }
    hint
}

/// Whether the check field of a typed line of text fits.
fn check(books: &[Rc<Book>], line: &str) -> Option<bool> {
    let reading = crate::Reader::new(books.to_vec()).read(line.as_bytes());
    let Some(entry) = reading.entries.first() else {
        // The form is right, but no reading agrees with the check field.
        return (!reading.unreadable.is_empty()).then_some(false);
    };
    let untouched = entry.guesses.is_empty();
    entry
        .fields
        .get("check_ok")
        .and_then(Value::as_bool)
        .map(|ok| ok && untouched)
}

#[cfg(test)]
mod tests;
