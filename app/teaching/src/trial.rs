//! The proof: a book is made of the layout and the paste is read with it. What
//! the proposal says of lines is what the reader did, not an estimate.

use std::rc::Rc;

use codebook::Book;
use codebook::model::Layout;
use reading::{Limits, Reader, Reading};
use serde_json::{Value, json};

use crate::api::LineFit;
use crate::draft::Draft;

/// A book that has only this layout, and knows every code, so that a dump
/// without a check field is read too.
pub(crate) fn book(layout: &Layout) -> Option<Rc<Book>> {
    let layout_json = serde_json::to_value(layout).ok()?;
    let mut codes: Vec<Value> = Vec::new();
    for n in 1..=24 {
        codes.push(json!({ "code": "?".repeat(n), "title": "any code" }));
    }
    let doc = json!({
        "format": 1,
        "id": "taught",
        "version": "0.1.0",
        "name": "taught",
        "licence": "none",
        "layouts": [layout_json],
        "codes": codes
    });
    Book::of(doc).ok().map(Rc::new)
}

/// Reads the paste with the layout alone.
pub(crate) fn read(text: &str, layout: &Layout, limits: Limits) -> Option<Reading> {
    let book = book(layout)?;
    Some(
        Reader::new(vec![book])
            .with_limits(limits)
            .read(text.as_bytes()),
    )
}

/// Each physical line that was read or not, and why.
pub(crate) fn lines(reading: &Reading, draft: &Draft) -> Vec<LineFit> {
    let mut out: Vec<LineFit> = Vec::new();
    let c = &reading.line_classes;
    let mut add = |list: &[usize], reads: bool, why: &str| {
        for &line in list {
            let misses = !reads && (draft.lines.contains(&line) || why == UNREADABLE);
            let told = reading
                .unreadable
                .iter()
                .find(|u| u.line == line)
                .map(|u| u.why.clone());
            let why = match (reads, told) {
                (false, Some(w)) => w,
                _ => reading
                    .ignored_why
                    .get(&line)
                    .cloned()
                    .unwrap_or_else(|| why.to_owned()),
            };
            out.push(LineFit {
                line,
                reads,
                misses,
                why,
            });
        }
    };
    add(&c.entry, true, "entry");
    add(&c.continuation, true, "goes on with the entry above");
    add(&c.empty, true, "unused slot");
    add(&c.duplicate, true, "the same entry again");
    add(&c.unreadable, false, UNREADABLE);
    add(&c.ignored, false, "no entry");
    add(&c.blank, false, "blank");
    // A guess is not read for sure.
    for e in reading.entries.iter().filter(|e| e.guess) {
        if let Some(l) = out.iter_mut().find(|l| l.line == e.line) {
            l.why = "read with a guess".into();
            l.misses = true;
        }
    }
    reading::sorted::sort_by_key(&mut out, |l| l.line);
    out
}

const UNREADABLE: &str = "looks like an entry and can't be read";

/// Entries and unused slots read without a guess.
pub(crate) fn clean(reading: &Reading) -> usize {
    reading.fits.iter().map(|f| f.clean).sum()
}
