//! What differs between two states of a book, row by row, and taking such
//! changes in.
//!
//! Works on JSON documents and knows no section by name: an editor's draft that
//! is not yet right, former versions and books from others are all compared by
//! the same rule, and keys that this version does not know come along. A list
//! at the top of the document is a *section*, and its items are *rows*; all
//! else is a single value. Rows are matched by what they are known by (code and
//! layouts, id, title), not by their place.

pub use crate::words::words;

use crate::save::in_order;
use serde_json::{Map, Value};

/// Sections whose rows may say where they come from (the key `source`). A
/// caution must say it: from whom it was taken in is no answer there.
const WITH_SOURCE: [&str; 8] = [
    "codes", "steps", "rails", "boards", "symptoms", "causes", "checks", "repairs",
];

/// Most rows of a list that are compared one by one. No list of a book has as
/// many; a longer one is a single value.
const MOST_ROWS: usize = 25_000;

/// One difference between two documents.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Change {
    /// The list the row is in, such as `codes`; empty for a single value, such
    /// as the name, and for the document as a whole.
    pub section: String,
    /// What the row is known by within its section: the code (with its layouts,
    /// if it names some), the id, the title. The second row of the same name
    /// carries ` #2` and so on. For a single value its key; empty for the
    /// document as a whole.
    pub key: String,
    /// The older row or value; `None` when it is new.
    pub before: Option<Value>,
    /// The newer one; `None` when it was taken out.
    pub after: Option<Value>,
    /// Place in the newer list, from 0; for what was taken out, in the older.
    pub place: usize,
    /// The row stands in another order to its neighbours than before. If
    /// `before` and `after` are the same, this is all that changed.
    pub moved: bool,
    /// The key of the last row before it that stayed where it was; `None` at
    /// the start of the list. If no row stayed, the older list's last. Where only some changes are taken in, or into
    /// another book, a row finds its place by it.
    pub behind: Option<String>,
}

impl Change {
    /// Whether more changed than the place.
    #[must_use]
    pub fn is_more_than_a_move(&self) -> bool {
        self.before != self.after
    }

    /// Whether the change is of the document as a whole, as when one of the two
    /// is no object.
    fn is_whole(&self) -> bool {
        self.section.is_empty() && self.key.is_empty() && self.place == usize::MAX
    }
}

/// All differences: the single values first, then section by section, each in
/// the order of the newer list with the rows that were taken out last. Values
/// and sections are in the order of the format's page.
///
/// [`apply`] with all of them makes the newer document from the older.
#[must_use]
pub fn compare(old: &Value, new: &Value) -> Vec<Change> {
    let mut out = Vec::new();
    let (Some(was), Some(is)) = (old.as_object(), new.as_object()) else {
        if old != new {
            out.push(Change {
                before: Some(old.clone()),
                after: Some(new.clone()),
                place: usize::MAX,
                ..Change::default()
            });
        }
        return out;
    };
    let mut keys = in_order(is);
    keys.extend(
        in_order(was)
            .into_iter()
            .filter(|(k, _)| !is.contains_key(*k)),
    );
    let mut lists = Vec::new();
    for (key, _) in keys {
        let (a, b) = (was.get(key), is.get(key));
        if a == b {
            continue;
        }
        match (rows_of(key, a), rows_of(key, b)) {
            (Some(old), Some(new)) => {
                lists.push((key, old, new));
                // A list that is there and empty is not one that is not there.
                if old.is_empty() && new.is_empty() {
                    out.push(single(key, a, b));
                }
            }
            _ => out.push(single(key, a, b)),
        }
    }
    for (key, old, new) in lists {
        compare_rows(key, old, new, &mut out);
        let is_there = is.contains_key(key);
        if !is_there && !old.is_empty() {
            out.push(single(key, Some(&Value::Array(Vec::new())), None));
        }
    }
    out
}

/// The document with the changes made, and nothing else touched. They are taken
/// in the order of [`compare`]; any of them may be left out.
///
/// A row that is no longer there is put in again by a change of it, but not by a
/// move alone. One that was taken out already stays out, and one that is there
/// already is replaced: to take the same changes in twice does no more than
/// once, as long as no two rows have the same name.
///
/// Where `source` is not empty, rows that are put in and may say where they come
/// from, but do not, get it as their `source`.
#[must_use]
pub fn apply(doc: &Value, changes: &[Change], source: &str) -> Value {
    if let Some(whole) = changes.iter().find(|c| c.is_whole()) {
        return whole.after.clone().unwrap_or_default();
    }
    let Value::Object(all) = doc else {
        return doc.clone();
    };
    let mut all = all.clone();
    let mut done: Vec<&str> = Vec::new();
    for change in changes {
        let name = change.section.as_str();
        if name.is_empty() || done.contains(&name) {
            continue;
        }
        done.push(name);
        let old = all.remove(name);
        let own: Vec<&Change> = changes.iter().filter(|c| c.section == name).collect();
        let new = match old {
            None => {
                let rows = rows_with(Vec::new(), &own, source);
                if rows.is_empty() {
                    continue;
                }
                rows
            }
            Some(Value::Array(rows)) => rows_with(rows, &own, source),
            // No list, against the format: not ours to throw away.
            Some(other) => {
                all.insert(name.to_owned(), other);
                continue;
            }
        };
        all.insert(name.to_owned(), Value::Array(new));
    }
    // Last, as an emptied list can then be taken out.
    for change in changes.iter().filter(|c| c.section.is_empty()) {
        let here = all.get(&change.key);
        match &change.after {
            Some(value) => drop(all.insert(change.key.clone(), value.clone())),
            None if is_empty_list(change.before.as_ref())
                && here.is_some()
                && !is_empty_list(here) => {}
            None => drop(all.remove(&change.key)),
        }
    }
    Value::Object(all)
}

/// Those of their changes that touch what mine changed too, in another way.
#[must_use]
pub fn clashes(base: &Value, mine: &Value, theirs: &Value) -> Vec<Change> {
    let (own, mut out) = (compare(base, mine), compare(base, theirs));
    if own.iter().chain(&out).any(Change::is_whole) {
        if own.is_empty() || mine == theirs {
            out.clear();
        }
        return out;
    }
    let mut by_name = Map::new();
    for (i, change) in own.iter().enumerate() {
        if change.is_more_than_a_move() {
            by_name.insert(name_of(change), i.into());
        }
    }
    out.retain(|theirs| {
        let at = by_name.get(&name_of(theirs)).and_then(number);
        let mine = at.and_then(|i| own.get(i));
        theirs.is_more_than_a_move() && mine.is_some_and(|mine| mine.after != theirs.after)
    });
    out
}

fn number(value: &Value) -> Option<usize> {
    usize::try_from(value.as_u64()?).ok()
}

fn name_of(change: &Change) -> String {
    [change.section.as_str(), "\n", &change.key].concat()
}

fn single(key: &str, before: Option<&Value>, after: Option<&Value>) -> Change {
    Change {
        key: key.to_owned(),
        before: before.cloned(),
        after: after.cloned(),
        ..Change::default()
    }
}

fn is_empty_list(value: Option<&Value>) -> bool {
    value.and_then(Value::as_array).is_some_and(Vec::is_empty)
}

/// The rows of a section; `None` when it is no list, or too long a one. A list
/// without a name is none either: an empty section stands for single values.
fn rows_of<'v>(key: &str, value: Option<&'v Value>) -> Option<&'v [Value]> {
    match value {
        _ if key.is_empty() => None,
        None => Some(&[]),
        Some(value) => {
            let rows = value.as_array().map(Vec::as_slice);
            rows.filter(|rows| rows.len() <= MOST_ROWS)
        }
    }
}

/// What each row is known by; no two the same.
fn names(rows: &[Value]) -> Vec<String> {
    let mut seen = Map::new();
    let mut out = Vec::with_capacity(rows.len());
    for row in rows {
        let first = known_by(row);
        let mut name = first.clone();
        // Where the count of this name stands, so that a thousand rows of one
        // name are not each counted from the start.
        let mut n = seen.get(&first).and_then(Value::as_u64).unwrap_or(0);
        while seen.contains_key(&name) {
            n = n.max(1) + 1;
            name = [first.as_str(), " #", &n.to_string()].concat();
        }
        if n > 0 {
            seen.insert(first, n.into());
        }
        seen.insert(name.clone(), 1.into());
        out.push(name);
    }
    out
}

/// What a row is known by, as far as it says.
fn known_by(row: &Value) -> String {
    const KEYS: [&str; 7] = ["id", "code", "name", "title", "text", "is", "field"];
    let Some(map) = row.as_object() else {
        return row.to_string();
    };
    let Some((key, name)) = KEYS.iter().find_map(|k| Some((*k, map.get(*k)?.as_str()?))) else {
        return row.to_string();
    };
    let mut out = name.to_owned();
    // The same code may have a row for each layout.
    if key != "id" {
        let layouts = map.get("layouts").and_then(Value::as_array);
        let mut between = " (";
        for layout in layouts.into_iter().flatten() {
            out.push_str(between);
            out.push_str(layout.as_str().unwrap_or("?"));
            between = ", ";
        }
        if between == ", " {
            out.push(')');
        }
    }
    out
}

fn compare_rows(section: &str, old: &[Value], new: &[Value], out: &mut Vec<Change>) {
    let (old_names, new_names) = (names(old), names(new));
    let mut by_name = Map::new();
    for (i, name) in old_names.iter().enumerate() {
        by_name.insert(name.clone(), i.into());
    }
    // Where each newer row was, if it was there.
    let mut from: Vec<Option<usize>> = Vec::with_capacity(new.len());
    for name in &new_names {
        from.push(by_name.remove(name).as_ref().and_then(number));
    }
    let stay = longest_in_order(&from);
    // With nothing in common, what is new goes to the end of what is there.
    let mut behind: Option<&String> = None;
    if !stay.contains(&true) {
        behind = old_names.last();
    }
    let rows = new.iter().zip(&new_names).zip(from.iter().zip(&stay));
    for (place, ((row, name), (from, stay))) in rows.enumerate() {
        let before = from.and_then(|at| old.get(at));
        let moved = before.is_some() && !stay;
        if moved || before != Some(row) {
            out.push(Change {
                section: section.to_owned(),
                key: name.clone(),
                before: before.cloned(),
                after: Some(row.clone()),
                place,
                moved,
                behind: behind.cloned(),
            });
        }
        if *stay {
            behind = Some(name);
        }
    }
    for (place, (row, name)) in old.iter().zip(&old_names).enumerate() {
        if by_name.contains_key(name) {
            out.push(Change {
                section: section.to_owned(),
                key: name.clone(),
                before: Some(row.clone()),
                place,
                ..Change::default()
            });
        }
    }
}

/// Which of the rows need not move: as many as can be, in rising order of where
/// they were.
fn longest_in_order(from: &[Option<usize>]) -> Vec<bool> {
    // The row that ends the best run of each length, and for each row the one
    // before it in its run.
    let mut ends: Vec<usize> = Vec::new();
    let mut before: Vec<Option<usize>> = vec![None; from.len()];
    let was = |i: usize| from.get(i).copied().flatten();
    for (i, place) in from.iter().enumerate() {
        if place.is_none() {
            continue;
        }
        let at = ends.partition_point(|&end| was(end) < *place);
        if let Some(b) = before.get_mut(i) {
            *b = at.checked_sub(1).and_then(|at| ends.get(at)).copied();
        }
        match ends.get_mut(at) {
            Some(end) => *end = i,
            None => ends.push(i),
        }
    }
    let mut stay = vec![false; from.len()];
    let mut at = ends.last().copied();
    while let Some(i) = at {
        if let Some(s) = stay.get_mut(i) {
            *s = true;
        }
        at = before.get(i).copied().flatten();
    }
    stay
}

/// A list of rows with the changes of its section made.
fn rows_with(rows: Vec<Value>, changes: &[&Change], source: &str) -> Vec<Value> {
    let mut by_name = Map::new();
    for (i, change) in changes.iter().enumerate() {
        by_name.insert(change.key.clone(), i.into());
    }
    // Rows that stay in their places, changed or not, and for each place the
    // rows that come in behind it; the first list is for the very start.
    let mut kept: Vec<(String, Value, Option<&Change>)> = Vec::new();
    let mut done = vec![false; changes.len()];
    let mut moving: Vec<Option<Value>> = vec![None; changes.len()];
    for (name, row) in names(&rows).into_iter().zip(rows) {
        let at = by_name.get(&name).and_then(number).unwrap_or(usize::MAX);
        let Some(change) = changes.get(at) else {
            kept.push((name, row, None));
            continue;
        };
        // One that is new there and here already, or changed in its place,
        // stays in the place that it has here.
        if let (Some(after), false) = (&change.after, change.moved) {
            kept.push((name, filled(after, &change.section, source), Some(change)));
            done.iter_mut().skip(at).take(1).for_each(|d| *d = true);
        } else if let Some(place) = moving.get_mut(at) {
            *place = Some(row);
        }
    }
    let mut places = Map::new();
    for (i, (name, ..)) in kept.iter().enumerate() {
        places.insert(name.clone(), (i + 1).into());
    }
    let mut coming: Vec<Vec<Value>> = vec![Vec::new(); kept.len() + 1];
    let mut come = 0;
    let mut last = (0, 0);
    for ((change, done), own) in changes.iter().zip(done).zip(moving) {
        let (Some(after), false) = (&change.after, done) else {
            continue;
        };
        // A move alone brings no row back, and none's words.
        let row = if change.is_more_than_a_move() {
            filled(after, &change.section, source)
        } else if let Some(own) = own {
            own
        } else {
            continue;
        };
        let mut at = match &change.behind {
            None => 0,
            Some(name) => {
                let at = places.get(name).and_then(number);
                at.unwrap_or(change.place.saturating_sub(come).min(kept.len()))
            }
        };
        // Behind those that came to the same place when this was done before.
        let from = at;
        if from == last.0 {
            at = at.max(last.1);
        }
        while kept.get(at).and_then(|k| k.2).is_some_and(|k| {
            k.before.is_none() && k.behind == change.behind && k.place < change.place
        }) {
            at += 1;
        }
        last = (from, at);
        if let Some(list) = coming.get_mut(at) {
            list.push(row);
            come += 1;
        }
    }
    let mut out = Vec::with_capacity(kept.len() + come);
    let mut coming = coming.into_iter();
    out.extend(coming.next().unwrap_or_default());
    for ((_, row, _), more) in kept.into_iter().zip(coming) {
        out.push(row);
        out.extend(more);
    }
    out
}

/// A row with its source, where it may have one and says nothing.
fn filled(row: &Value, section: &str, source: &str) -> Value {
    let mut row = row.clone();
    if let (Value::Object(map), false) = (&mut row, source.is_empty())
        && WITH_SOURCE.contains(&section)
    {
        let own = map.get("source");
        if own.is_none_or(|s| s.is_null() || s.as_str().is_some_and(|s| s.trim().is_empty())) {
            map.insert("source".to_owned(), source.into());
        }
    }
    row
}
