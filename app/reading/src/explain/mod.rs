//! Phase 10: what a reading means, by the code books.
//!
//! The reading itself holds no meanings. This puts beside it what the book says
//! about each code, where power-up stopped, and when things happened as far as
//! that is known. Nothing here guesses at causes.

mod summary;
mod when;

pub(crate) use summary::many;
pub use when::{When, seconds_text, when};

use codebook::{Book, Found, PartFound};
use serde_json::Value;
use std::collections::BTreeMap;
use std::rc::Rc;

use crate::result::{Entry, Reading};

/// Shown with a code for which the book does not say what it leaves open.
pub const GENERAL_NOT_PROOF: &str = "It does not prove that any one part is broken: the cause can \
    lie before, behind or beside the place that was watched.";

/// The caution that goes with every reading.
pub const CAUTION: &str = "A code names the place where the console noticed trouble. It does not \
    say which part to buy. Measure before you replace anything.";

/// Bytes of what the books say about all codes together. Beyond that only the
/// most specific row is given for a code: a book may have long rows that fit
/// everything, and a paste thousands of codes.
const MOST_TEXT: usize = 8 << 20;

/// A reading with its meaning.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Explained {
    /// One line, such as "6 entries, 2 guesses to confirm, stopped most often
    /// at step 0A".
    pub summary: String,
    /// What is counted in it.
    pub counts: Counts,
    /// The code books that read something.
    pub books: Vec<BookUsed>,
    /// The distinct codes, the most frequent first.
    pub codes: Vec<CodeRow>,
    /// The power-up steps in order, book by book.
    pub steps: Vec<StepRow>,
    /// The entries by console and order, oldest first.
    pub timeline: Vec<TimePoint>,
    /// What the dates are worth; empty when no entry has one. What a clock that
    /// was not set means stands in the notes of the reading.
    pub clock: String,
}

/// How many of what.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Counts {
    /// Entries shown (of the asked console, or all).
    pub entries: usize,
    /// Entries with fields missing.
    pub incomplete: usize,
    /// Guesses that nothing confirms.
    pub guesses: usize,
    /// Guesses that the check field confirms.
    pub confirmed: usize,
    /// Entries whose check field does not fit.
    pub check_wrong: usize,
    /// Stretches that look like entries and can't be read for sure.
    pub unreadable: usize,
    /// Lines that are no log.
    pub ignored: usize,
    /// Lines with an unused slot.
    pub empty: usize,
    /// Lines with the same record again.
    pub duplicate: usize,
    /// Codes that the text only talks about.
    pub mentions: usize,
    /// Consoles told apart.
    pub consoles: usize,
}

/// A code book that read something.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct BookUsed {
    /// Its id.
    pub id: String,
    /// Its name.
    pub name: String,
    /// Its version.
    pub version: String,
    /// The board revision that meanings are for, if one was chosen.
    pub board: Option<String>,
}

/// One code with its meaning.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct CodeRow {
    /// The book.
    pub book: String,
    /// The layout that its entries were read by.
    pub layout: String,
    /// The code.
    pub code: String,
    /// Number of entries with it.
    pub count: usize,
    /// Its earliest time by a clock that was set.
    pub first: Option<When>,
    /// Its latest time by a clock that was set.
    pub last: Option<When>,
    /// How many of its entries carry no time by a clock that was set.
    pub untimed: usize,
    /// Its entries, as places in the reading, oldest first.
    pub entries: Vec<usize>,
    /// The steps it was logged at, with how often.
    pub steps: Vec<(String, usize)>,
    /// What the book says, the most specific first; empty when the book does
    /// not know the code. `not_proof` is never empty.
    pub found: Vec<Found>,
    /// What parts of the code say.
    pub parts: Vec<PartFound>,
    /// For a code that the book does not know exactly: known codes one
    /// character away.
    pub near: Vec<String>,
    /// Whether any of its entries has it by a guess that nothing confirms.
    pub guessed: bool,
}

/// One power-up step.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct StepRow {
    /// The book.
    pub book: String,
    /// The step as the log writes it.
    pub id: String,
    /// A few words; empty when the book does not know the step.
    pub name: String,
    /// What happens there.
    pub about: String,
    /// Rails, by id.
    pub rails: Vec<String>,
    /// Parts, as printed on the board.
    pub parts: Vec<String>,
    /// Number of entries at this step.
    pub stopped_here: usize,
    /// Whether the newest entry of a console is at this step.
    pub newest_here: bool,
    /// Whether the book lists it.
    pub known: bool,
}

/// One entry on the timeline.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct TimePoint {
    /// The entry, as a place in the reading.
    pub entry: usize,
    /// Its console.
    pub console: usize,
    /// Its place in time within the console.
    pub order: usize,
    /// Seconds since 1970, only by a clock that was set. Of local time, as if
    /// it were UTC.
    pub time_s: Option<i64>,
    /// Seconds since the console started, when the clock was not set.
    pub since_start_s: Option<f64>,
    /// What can be said about its time.
    pub when: When,
}

/// Explains a reading.
///
/// `board` gives the board revision that the person chose for a book. With a
/// `console` only its entries are explained; lines that belong to no console
/// are counted in either case.
#[must_use]
pub fn explain(
    reading: &Reading,
    books: &[Rc<Book>],
    board: &dyn Fn(&str) -> Option<String>,
    console: Option<usize>,
) -> Explained {
    let mut shown: Vec<(usize, &Entry)> = reading
        .entries
        .iter()
        .enumerate()
        .filter(|(_, e)| console.is_none_or(|c| e.console == c))
        .collect();
    crate::sorted::sort_by_key(&mut shown, |(_, e)| (e.console, e.order));
    let find = |id: &str| books.iter().find(|b| b.model.id == id);
    let counts = counts(reading, &shown);
    let codes = codes(&shown, &find, board);
    let steps = steps(&shown, &find, &codes);
    let timeline = shown.iter().map(|(i, e)| point(*i, e)).collect();
    let summary = summary::line(reading, &counts, &codes, &steps, console);
    Explained {
        summary,
        counts,
        books: used(&shown, &find, board),
        codes,
        steps,
        timeline,
        clock: when::worth(&shown),
    }
}

/// A field of an entry as text.
#[must_use]
pub fn field_text(entry: &Entry, name: &str) -> Option<String> {
    match entry.fields.get(name)? {
        Value::Null => None,
        Value::String(s) => Some(s.clone()),
        Value::Array(items) => {
            let items: Vec<&str> = items.iter().filter_map(Value::as_str).collect();
            Some(items.join(", "))
        }
        other => Some(other.to_string()),
    }
}

fn counts(reading: &Reading, shown: &[(usize, &Entry)]) -> Counts {
    let guesses = || shown.iter().flat_map(|(_, e)| &e.guesses);
    let lines = &reading.line_classes;
    Counts {
        entries: shown.len(),
        incomplete: shown.iter().filter(|(_, e)| !e.complete).count(),
        guesses: guesses().filter(|g| g.confirmed_by.is_none()).count(),
        confirmed: guesses().filter(|g| g.confirmed_by.is_some()).count(),
        check_wrong: shown
            .iter()
            .filter(|(_, e)| e.fields.get("check_ok") == Some(&Value::Bool(false)))
            .count(),
        unreadable: reading.unreadable.len(),
        ignored: lines.ignored.len(),
        empty: lines.empty.len(),
        duplicate: lines.duplicate.len(),
        mentions: reading.mentions.len(),
        consoles: reading.consoles.len(),
    }
}

fn used<'b>(
    shown: &[(usize, &Entry)],
    find: &dyn Fn(&str) -> Option<&'b Rc<Book>>,
    board: &dyn Fn(&str) -> Option<String>,
) -> Vec<BookUsed> {
    let mut out: Vec<BookUsed> = Vec::new();
    for (_, e) in shown {
        if out.iter().any(|b| b.id == e.book) {
            continue;
        }
        let model = find(&e.book).map(|b| &b.model);
        out.push(BookUsed {
            id: e.book.clone(),
            name: model.map_or_else(|| e.book.clone(), |m| m.name.clone()),
            version: model.map(|m| m.version.clone()).unwrap_or_default(),
            board: board(&e.book),
        });
    }
    out
}

fn codes<'b>(
    shown: &[(usize, &Entry)],
    find: &dyn Fn(&str) -> Option<&'b Rc<Book>>,
    board: &dyn Fn(&str) -> Option<String>,
) -> Vec<CodeRow> {
    let mut rows: BTreeMap<(&str, &str, String), (CodeRow, usize)> = BTreeMap::new();
    for (rank, (i, e)) in shown.iter().enumerate() {
        let Some(code) = field_text(e, "code") else {
            continue;
        };
        let (row, newest) = rows.entry((&e.book, &e.layout, code)).or_default();
        *newest = rank;
        row.count += 1;
        row.entries.push(*i);
        row.guessed |= e
            .guesses
            .iter()
            .any(|g| g.field == "code" && g.confirmed_by.is_none());
        match when(e) {
            at @ (When::Utc(..) | When::Local(..)) => {
                if row
                    .first
                    .as_ref()
                    .is_none_or(|first| at.seconds() < first.seconds())
                {
                    row.first = Some(at.clone());
                }
                if row
                    .last
                    .as_ref()
                    .is_none_or(|last| at.seconds() >= last.seconds())
                {
                    row.last = Some(at);
                }
            }
            _ => row.untimed += 1,
        }
        if let Some(step) = field_text(e, "step") {
            match row.steps.iter_mut().find(|(s, _)| *s == step) {
                Some((_, n)) => *n += 1,
                None => row.steps.push((step, 1)),
            }
        }
    }
    let mut out: Vec<(CodeRow, usize)> = Vec::new();
    let mut room = MOST_TEXT;
    for ((book, layout, code), (mut row, newest)) in rows {
        if let Some(b) = find(book) {
            row.found = b.lookup(&code, Some(layout), board(book).as_deref());
            for found in &mut row.found {
                if found.not_proof.trim().is_empty() {
                    GENERAL_NOT_PROOF.clone_into(&mut found.not_proof);
                }
            }
            row.parts = b.code_parts(&code, Some(layout));
            let said = row
                .found
                .iter()
                .map(|f| f.title.len() + f.meaning.len() + f.not_proof.len());
            let said = said.sum::<usize>() + row.parts.iter().map(|p| p.means.len()).sum::<usize>();
            if said > room {
                row.found.truncate(1);
                row.parts.truncate(1);
            }
            room = room.saturating_sub(said);
            if row.found.first().is_none_or(|f| f.wildcards > 0) {
                row.near = b.near(&code, Some(layout));
                row.near.truncate(5);
            }
        }
        crate::sorted::sort_by_key(&mut row.steps, |(_, n)| std::cmp::Reverse(*n));
        (row.book, row.layout, row.code) = (book.to_owned(), layout.to_owned(), code);
        out.push((row, newest));
    }
    // The most frequent first; of equals the one with the newest entry.
    crate::sorted::sort_by_key(&mut out, |(row, newest)| {
        std::cmp::Reverse((row.count, *newest))
    });
    out.into_iter().map(|(row, _)| row).collect()
}

fn steps<'b>(
    shown: &[(usize, &Entry)],
    find: &dyn Fn(&str) -> Option<&'b Rc<Book>>,
    codes: &[CodeRow],
) -> Vec<StepRow> {
    let mut seen: Vec<&str> = Vec::new();
    let mut out: Vec<StepRow> = Vec::new();
    for (_, e) in shown {
        if seen.contains(&e.book.as_str()) {
            continue;
        }
        seen.push(&e.book);
        for step in find(&e.book).into_iter().flat_map(|b| &b.model.steps) {
            out.push(StepRow {
                book: e.book.clone(),
                id: step.id.clone(),
                name: step.name.clone(),
                about: step.about.clone(),
                rails: step.rails.clone(),
                parts: step.parts.clone(),
                known: true,
                ..StepRow::default()
            });
        }
    }
    // The step of an entry is its own, else the one that the book gives its code.
    let mut by_code: BTreeMap<(&str, &str, &str), &str> = BTreeMap::new();
    for row in codes {
        if let Some(step) = row.found.iter().find_map(|f| f.step.as_deref()) {
            by_code.insert((&row.book, &row.layout, &row.code), step);
        }
    }
    for (k, (_, e)) in shown.iter().enumerate() {
        let own = field_text(e, "step").or_else(|| {
            let code = field_text(e, "code")?;
            by_code
                .get(&(&e.book, &e.layout, &code))
                .map(|s| (*s).to_owned())
        });
        let Some(step) = own else { continue };
        let newest = shown
            .get(k + 1)
            .is_none_or(|(_, next)| next.console != e.console);
        let row = out
            .iter_mut()
            .find(|r| r.book == e.book && r.id.eq_ignore_ascii_case(&step));
        match row {
            Some(row) => {
                row.stopped_here += 1;
                row.newest_here |= newest;
            }
            None => out.push(StepRow {
                book: e.book.clone(),
                id: step,
                stopped_here: 1,
                newest_here: newest,
                ..StepRow::default()
            }),
        }
    }
    out
}

fn point(i: usize, entry: &Entry) -> TimePoint {
    let when = when(entry);
    TimePoint {
        entry: i,
        console: entry.console,
        order: entry.order,
        time_s: when.seconds(),
        since_start_s: match when {
            When::SinceStart(s) => Some(s),
            _ => None,
        },
        when,
    }
}

#[cfg(test)]
pub(crate) mod tests;
