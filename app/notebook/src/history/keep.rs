//! From a reading to the fields of a record. The text is kept as it was; the
//! entries are kept beside it, so that a history needs no code book.

use crate::record::Data;
use codebook::Book;
use codebook::model::OrderBy;
use reading::Reading;
use reading::calendar::{DateTime, read_utc};
use reading::explain::explain;
use reading::result::Entry;
use serde_json::Value;
use std::rc::Rc;

/// The fields of a `reading` record. `console` is the number of one of
/// [`Reading::consoles`], from 1; one that is not there gives a record with the
/// text and no entries. `board` may be empty. Day, note, photo, console and job
/// are the caller's.
pub fn keep(
    reading: &Reading,
    console: usize,
    books: &[Rc<Book>],
    board: &str,
    text: &str,
) -> Data {
    let mut data = Data::new();
    let mut put = |name: &str, value: Value| data.insert(name.to_owned(), value);
    put("text", text.into());
    let found = reading.consoles.iter().find(|c| c.number == console);
    let mine: Vec<&Entry> = found
        .into_iter()
        .flat_map(|c| &c.entries)
        .filter_map(|&i| reading.entries.get(i))
        .collect();
    let book_id = found.map_or("", |c| &c.book);
    if !book_id.is_empty() {
        put("book", book_id.into());
    }
    if !board.is_empty() {
        put("board", board.into());
    }
    let chosen = |_: &str| (!board.is_empty()).then(|| board.to_owned());
    put(
        "summary",
        explain(reading, books, &chosen, found.map(|c| c.number))
            .summary
            .into(),
    );
    let layout = books.iter().find(|b| b.model.id == book_id).and_then(|b| {
        let id = &mine.first()?.layout;
        b.model.layouts.iter().find(|l| l.id() == id)
    });
    let rule = layout.and_then(|l| l.order());
    let by = rule.map(|r| r.by);
    let named = rule.map_or("", |r| &r.field);
    let seq = if by == Some(OrderBy::Sequence) && !named.is_empty() {
        named
    } else {
        "seq"
    };
    let slot = if by == Some(OrderBy::Ring) && !named.is_empty() {
        named
    } else {
        "slot"
    };
    let ring = rule
        .filter(|r| matches!(r.by, OrderBy::Ring | OrderBy::Sequence))
        .and_then(|r| r.size);
    let modulus = layout
        .into_iter()
        .flat_map(|l| l.fields())
        .find(|f| f.field == seq)
        .and_then(|f| f.modulus);
    if let Some(n) = ring {
        put("ring", n.into());
    }
    if let Some(n) = modulus {
        put("modulus", n.into());
    }
    if mine.len() > 1 && found.is_some_and(|c| c.order_from.is_empty()) {
        put("order", "unknown".into());
    }
    let counter = match by {
        Some(OrderBy::Sequence) => modulus.map(|m| (seq, m)),
        Some(OrderBy::Ring) => ring.map(|m| (slot, m)),
        _ => None,
    };
    let number = |e: &Entry| e.fields.get(counter?.0).and_then(Value::as_u64);
    // How many entries are missing behind entry a, by their numbers.
    let gap = |a: &Entry, b: &Entry| -> Option<u64> {
        let m = counter?.1.max(1);
        let step = (number(b)? % m + m - number(a)? % m) % m;
        let near = step > 0 && (m < 1000 || step <= m / 2);
        near.then(|| step - 1)
    };
    // Those of the ring are listed by slot, whatever their age.
    let by_slot =
        by == Some(OrderBy::Ring) || matches!(layout, Some(codebook::model::Layout::Bytes(_)));
    let doubts = Doubts::place(reading, &mine, console, by_slot, &gap);
    let mut list: Vec<Value> = Vec::new();
    let mut unsure = doubts.all;
    for (i, entry) in mine.iter().enumerate() {
        let before = i.checked_sub(1).and_then(|k| mine.get(k));
        let lost = before
            .and_then(|b| gap(b, entry))
            .unwrap_or(0)
            .max(doubts.before.get(i).copied().unwrap_or(0));
        if lost > 0 {
            list.push(marker(lost, true));
        }
        let sure = sure(entry);
        unsure += u64::from(!sure);
        list.push(compact(entry, seq, slot, sure));
    }
    let after = doubts.before.last().copied().unwrap_or(0);
    if after > 0 && !mine.is_empty() {
        list.push(marker(after, true));
    }
    if doubts.loose > 0 {
        list.push(marker(doubts.loose, false));
    }
    put("entries", Value::Array(list));
    put("doubts", unsure.into());
    data
}

fn marker(lost: u64, sure: bool) -> Value {
    let mut map = Data::new();
    map.insert("lost".to_owned(), lost.into());
    if !sure {
        map.insert("sure".to_owned(), false.into());
    }
    Value::Object(map)
}

/// A guess that the check field confirms is as good as read.
fn sure(entry: &Entry) -> bool {
    entry.complete
        && entry.guesses.iter().all(|g| g.confirmed_by.is_some())
        && entry.fields.get("check_ok") != Some(&Value::Bool(false))
}

fn compact(entry: &Entry, seq: &str, slot: &str, sure: bool) -> Value {
    let mut map = Data::new();
    let field = |name: &str| entry.fields.get(name).filter(|v| !v.is_null());
    for (to, from) in [
        ("code", "code"),
        ("step", "step"),
        ("time", "time_raw"),
        ("clock", "clock"),
        ("rel", "time_rel_s"),
        ("seq", seq),
        ("slot", slot),
        ("count", "count"),
    ] {
        if let Some(value) = field(from) {
            map.insert(to.to_owned(), value.clone());
        }
    }
    if let Some(s) = field("time_utc").and_then(Value::as_str).and_then(read_utc) {
        map.insert("utc".to_owned(), s.into());
    }
    if let Some((date, _)) = field("time_local")
        .and_then(Value::as_str)
        .and_then(DateTime::read)
    {
        map.insert("local".to_owned(), date.seconds().into());
    }
    if !sure {
        map.insert("sure".to_owned(), false.into());
    }
    Value::Object(map)
}

/// Where lines that can't be read stand among the entries.
#[derive(Default)]
struct Doubts {
    /// For each entry how many stand before it, and last how many behind all.
    before: Vec<u64>,
    /// How many are the newest or the oldest entry, which can't be told.
    loose: u64,
    /// All of this console.
    all: u64,
}

impl Doubts {
    fn place(
        reading: &Reading,
        mine: &[&Entry],
        console: usize,
        by_slot: bool,
        gap: &dyn Fn(&Entry, &Entry) -> Option<u64>,
    ) -> Self {
        let mut out = Self {
            before: vec![0; mine.len() + 1],
            ..Self::default()
        };
        let Some(newest) = mine.len().checked_sub(1) else {
            return out;
        };
        let mut lines: Vec<(usize, usize)> =
            mine.iter().enumerate().map(|(i, e)| (e.line, i)).collect();
        reading::sorted::sort(&mut lines);
        for doubt in &reading.unreadable {
            let near = |e: &&Entry| e.line <= doubt.line;
            let owner = reading
                .entries
                .iter()
                .filter(near)
                .max_by_key(|e| e.line)
                .or_else(|| reading.entries.iter().min_by_key(|e| e.line));
            if owner.is_none_or(|e| {
                e.console != console || !doubt.layout.is_empty() && e.layout != doubt.layout
            }) {
                continue;
            }
            out.all += 1;
            let split = lines.partition_point(|l| l.0 <= doubt.line);
            let age = |k: Option<usize>| k.and_then(|k| lines.get(k)).map(|l| l.1);
            let (above, below) = (age(split.checked_sub(1)), age(Some(split)));
            let place = match (above, below) {
                // Between two neighbours: numbers know better whether anything
                // is missing there.
                (Some(a), Some(b)) if a.abs_diff(b) == 1 => {
                    let (a, b) = (a.min(b), a.max(b));
                    match (mine.get(a), mine.get(b)) {
                        (Some(x), Some(y)) if gap(x, y).is_none() => Some(b),
                        _ => None,
                    }
                }
                (Some(a), Some(b)) if a.min(b) == 0 && a.max(b) == newest => {
                    out.loose += 1;
                    None
                }
                (Some(a), None) | (None, Some(a)) if a == newest || a == 0 => {
                    if by_slot && newest > 0 {
                        out.loose += u64::from(a == newest || below == Some(0));
                        None
                    } else if newest == 0 {
                        // One entry only: nothing tells on which side it stands.
                        out.loose += 1;
                        None
                    } else {
                        Some(if a == newest { newest + 1 } else { 0 })
                    }
                }
                _ => None,
            };
            if let Some(n) = place.and_then(|p| out.before.get_mut(p)) {
                *n += 1;
            }
        }
        out
    }
}
