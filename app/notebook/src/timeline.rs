//! The records of a console in the order things happened, a line each.

use crate::kinds::{self, Is};
use crate::view::Item;
use crate::{dates, measure};
use reading::sorted;

/// What a name is wanted for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Named {
    /// A code book, by its id.
    Book,
    /// A board revision of the console's book, by its id.
    Board,
    /// A symptom of the console's book, by its id.
    Symptom,
    /// A cause of the console's book, by its id.
    Cause,
}

/// Finds the name of something in a code book. `None` when no book has it.
pub type Names<'a> = &'a dyn Fn(Named, &str) -> Option<String>;

/// The day a record stands at: its own; else the day it was first written (in
/// UTC). Something looked at again stands at the day it was looked at.
pub fn day(item: &Item) -> Option<String> {
    let first = if item.kind == "follow-up" {
        ["done", "day", "closed"]
    } else {
        ["day", "done", "closed"]
    };
    for field in first {
        let text = item.text(field);
        if dates::number(text).is_some() {
            return Some(text.to_owned());
        }
    }
    dates::written(item.created.div_euclid(dates::DAY_MS))
}

/// Orders records: the newest day first, then the last written first.
pub fn order(items: &mut Vec<Item>) {
    let key = |item: &Item| day(item).and_then(|d| dates::number(&d)).unwrap_or(0);
    sorted::sort_by(items, |a, b| {
        key(b)
            .cmp(&key(a))
            .then_with(|| b.created.cmp(&a.created))
            .then_with(|| a.id.cmp(&b.id))
    });
}

/// The records of a job, in the order they come, without deleted ones.
pub fn of_job<'a>(items: &'a [Item], job: &str) -> Vec<&'a Item> {
    items
        .iter()
        .filter(|i| !i.view.gone && !job.is_empty() && i.text("job") == job)
        .collect()
}

/// What a person calls the value of a choice field; empty when nothing is chosen.
#[inline(never)]
pub(crate) fn label<'a>(item: &'a Item, field: &str) -> &'a str {
    let value = item.text(field);
    kinds::kind(&item.kind)
        .and_then(|k| k.field(field))
        .filter(|f| matches!(f.is, Is::Choice(_)))
        .map_or(value, |f| f.choice(value))
}

/// The names of a record's symptoms; the id where no book has a name.
pub(crate) fn symptoms(item: &Item, field: &str, names: Names) -> String {
    listed(item, field, Named::Symptom, names)
}

/// The names of a record's causes.
pub(crate) fn causes(item: &Item, field: &str, names: Names) -> String {
    listed(item, field, Named::Cause, names)
}

fn listed(item: &Item, field: &str, what: Named, names: Names) -> String {
    let mut all = String::new();
    for id in item
        .view
        .data
        .get(field)
        .and_then(|v| v.as_array())
        .into_iter()
        .flatten()
        .filter_map(|v| v.as_str())
    {
        let name = names(what, id).unwrap_or_else(|| id.to_owned());
        add(&mut all, ", ", &name);
    }
    all
}

/// Adds a part, if there is one, behind a comma or the like.
#[inline(never)]
pub(crate) fn add(to: &mut String, between: &str, part: &str) {
    let part = part.trim();
    if part.is_empty() {
        return;
    }
    if !to.is_empty() {
        to.push_str(between);
    }
    to.push_str(part);
}

/// Adds all parts. One small function in place of many sums: it is sent to a
/// phone.
#[inline(never)]
pub(crate) fn put(to: &mut String, parts: &[&str]) {
    for part in parts {
        to.push_str(part);
    }
}

/// The parts in one text.
#[inline(never)]
pub(crate) fn cat(parts: &[&str]) -> String {
    let mut all = String::new();
    put(&mut all, parts);
    all
}

#[inline(never)]
fn add_with(to: &mut String, before: &str, part: &str, after: &str) {
    if !part.trim().is_empty() {
        add(to, ", ", &cat(&[before, part.trim(), after]));
    }
}

/// The lines of a text as one.
#[inline(never)]
pub(crate) fn one_line(text: &str) -> String {
    let mut all = String::new();
    for line in text.lines() {
        add(&mut all, "; ", line);
    }
    all
}

/// The first letter small, as within a sentence.
pub(crate) fn small(text: &str) -> String {
    let mut chars = text.chars();
    match chars.next() {
        Some(c) => c.to_ascii_lowercase().to_string() + chars.as_str(),
        None => String::new(),
    }
}

/// The state of the board during a measurement, to stand behind the value.
pub(crate) fn condition(item: &Item) -> &str {
    match item.text("condition") {
        "off" => "board off",
        "standby" => "board on standby",
        "running" => "board running",
        other => other,
    }
}

/// A record in a list: what it is, and a second line that may be empty.
pub fn line(item: &Item, names: Names, today: &str) -> (String, String) {
    let (mut title, mut more) = (String::new(), String::new());
    let text = |field| item.text(field);
    match item.kind.as_str() {
        "console" => {
            add(&mut title, "", text("name"));
            let book = text("book");
            let board = text("board");
            add(
                &mut more,
                ", ",
                &names(Named::Book, book).unwrap_or_else(|| book.to_owned()),
            );
            add(
                &mut more,
                ", ",
                &names(Named::Board, board).unwrap_or_else(|| board.to_owned()),
            );
        }
        "job" => {
            add(&mut title, "", text("name"));
            let closed = text("stage") == "closed";
            let (field, day, before) = if closed && !text("outcome").is_empty() {
                ("outcome", "closed", "closed ")
            } else {
                (
                    "stage",
                    if closed { "closed" } else { "day" },
                    if closed { "" } else { "begun " },
                )
            };
            add(&mut more, "", label(item, field));
            add_with(&mut more, before, &dates::words(text(day), today), "");
        }
        "symptom" => {
            add(&mut title, ", ", &symptoms(item, "symptoms", names));
            add_with(&mut more, "lamp ", text("lamp"), "");
            add_with(&mut more, "beeps ", text("beeps"), "");
            add_with(&mut more, "stops after ", text("seconds"), " s");
            if title.is_empty() {
                title = std::mem::take(&mut more);
            }
            add(&mut more, ". ", &one_line(text("note")));
        }
        "reading" => {
            add(&mut title, "", text("summary"));
            add(&mut more, "", &one_line(text("note")));
        }
        "measurement" => {
            add(&mut title, "", label(item, "quantity"));
            add(&mut title, ", ", text("place"));
            let value = measure::Typing::of(|f| item.text(f)).short();
            add(&mut more, "", &value);
            add(&mut more, ", ", condition(item));
        }
        "check" => {
            add(&mut title, "", text("what"));
            add(&mut more, "", label(item, "result"));
            add(&mut more, ": ", text("says"));
            add(&mut more, ". ", &one_line(text("note")));
        }
        "repair" => {
            add(&mut title, "", text("what"));
            add(&mut more, "", &one_line(text("parts")));
            if more.is_empty() {
                add(&mut more, "", &one_line(text("note")));
            }
        }
        kinds::RUN => run(item, &mut title, &mut more),
        "note" => {
            let mut lines = text("note").trim().splitn(2, '\n');
            add(&mut title, "", lines.next().unwrap_or(""));
            add(&mut more, "", &one_line(lines.next().unwrap_or("")));
        }
        kinds::DIAGNOSIS => {
            add(&mut title, "", text("summary"));
            add(&mut more, "", &one_line(text("note")));
        }
        "photo" => add(&mut title, "", text("caption")),
        kinds::BOOK => {
            add(&mut title, "", text("name"));
            add(&mut more, "", text("book"));
            let unused = !text("draft").is_empty();
            add(
                &mut more,
                ", ",
                if unused { "changes not yet in use" } else { "" },
            );
        }
        "follow-up" => {
            (title, more) = follow_up(item, today);
        }
        _ => {}
    }
    if title.is_empty() {
        title = kinds::kind(&item.kind)
            .map_or(item.kind.as_str(), |k| k.title)
            .to_owned();
    }
    (title, more)
}

fn run(item: &Item, title: &mut String, more: &mut String) {
    add(title, "", item.text("name"));
    let number = |field| {
        item.view
            .data
            .get(field)
            .and_then(|v| v.as_u64())
            .unwrap_or(0)
    };
    for (field, word) in [
        ("done", " done"),
        ("skipped", " skipped"),
        ("open", " open"),
    ] {
        let n = number(field);
        if n > 0 || field == "done" {
            add(more, ", ", &cat(&[&n.to_string(), word]));
        }
    }
    add(more, ". ", &one_line(item.text("skips")));
    add(more, ". ", &one_line(item.text("note")));
}

fn follow_up(item: &Item, today: &str) -> (String, String) {
    let (day, done) = (item.text("day"), item.text("done"));
    let found = small(label(item, "found"));
    let title = if !done.is_empty() || !found.is_empty() {
        let mut title = "Looked".to_owned();
        if !done.is_empty() {
            put(&mut title, &[" on ", &dates::words(done, today)]);
        }
        add(&mut title, ": ", &found);
        title
    } else if day.is_empty() {
        "Look again, no day yet".to_owned()
    } else if dates::between(day, today).is_some_and(|late| late > 0) {
        cat(&["Look again was due on ", &dates::words(day, today)])
    } else {
        cat(&["Look again on ", &dates::words(day, today)])
    };
    (title, one_line(item.text("note")))
}
