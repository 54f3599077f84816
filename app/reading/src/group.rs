//! Which records belong to one dump, which dumps to one console, and which
//! records are the same one again.

use serde_json::Value;
use std::collections::{BTreeMap, HashMap, HashSet};

use codebook::model::{Layout, OrderBy};

use crate::item::{Item, Kind};
use crate::scan::Plans;

/// Where an item belongs.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(crate) struct Place {
    /// The dump, counted over the paste.
    pub dump: usize,
    /// The console, from 0.
    pub console: usize,
    /// Whether it is a record that was there before.
    pub again: bool,
}

/// What is known of a dump.
#[derive(Clone, Debug, Default)]
pub(crate) struct Dump {
    /// The book.
    pub book: usize,
    /// Values from its header lines.
    pub header: BTreeMap<String, Value>,
    /// Places in the list of items.
    pub items: Vec<usize>,
    /// Whether the text in front speaks of another console.
    pub other: bool,
    /// The console it was given.
    pub console: usize,
}

/// Result of grouping.
#[derive(Debug, Default)]
pub(crate) struct Groups {
    /// One for each item.
    pub places: Vec<Place>,
    /// The dumps.
    pub dumps: Vec<Dump>,
    /// Number of consoles.
    pub consoles: usize,
    /// What to tell the person.
    pub notes: Vec<String>,
}

/// The field that tells records of a layout apart.
pub(crate) fn key_field(layout: &Layout) -> Option<&str> {
    let has = |name: &str| layout.fields().iter().any(|f| f.field == name);
    if let Some(rule) = layout.order()
        && matches!(rule.by, OrderBy::Ring | OrderBy::Sequence)
        && !rule.field.is_empty()
        && has(&rule.field)
    {
        return Some(rule.field.as_str());
    }
    ["seq", "slot"].into_iter().find(|n| has(n))
}

fn layout_of<'p>(plans: &'p Plans, item: &Item) -> Option<&'p Layout> {
    plans.books.get(item.book)?.model.layouts.get(item.layout)
}

fn key(plans: &Plans, item: &Item) -> Option<u64> {
    item.fields.get(key_field(layout_of(plans, item)?)?).and_then(Value::as_u64)
}

fn trusted(item: &Item) -> bool {
    item.fields.get("clock").and_then(Value::as_str) == Some("set")
}

/// Groups items, which must be in the order of the paste. `other_before[i]`
/// says that the text between item i-1 and item i speaks of another console.
pub(crate) fn group(plans: &Plans, items: &[Item], other_before: &[bool]) -> Groups {
    let mut out = Groups { places: vec![Place::default(); items.len()], ..Groups::default() };
    let mut current: HashMap<usize, usize> = HashMap::new();
    let mut seen: HashMap<usize, HashMap<u64, usize>> = HashMap::new();
    let mut other = false;
    let mut contents: HashMap<usize, HashSet<String>> = HashMap::new();
    let mut last_line = 0;
    for (i, item) in items.iter().enumerate() {
        other |= other_before.get(i) == Some(&true);
        let starts = matches!(item.kind, Kind::Header(true));
        // Without a key, the same content with a trusted time, behind other
        // text, is the beginning of a second copy.
        let parted = item.lines.first().is_some_and(|&l| l > last_line + 1);
        last_line = item.lines.last().copied().unwrap_or(last_line);
        let content = || Value::Object(item.fields.clone()).to_string();
        let again = |set: &HashSet<String>| parted && trusted(item) && set.contains(&content());
        let repeated = match (&item.kind, key(plans, item)) {
            (Kind::Entry | Kind::Empty, Some(k)) => {
                seen.get(&item.book).is_some_and(|s| s.contains_key(&k))
            }
            (Kind::Entry, None) => contents.get(&item.book).is_some_and(again),
            _ => false,
        };
        let block = |d: &Dump| {
            d.items.iter().rev().filter_map(|&k| items.get(k)).find_map(|x| x.block)
        };
        let open = current.get(&item.book).copied();
        let new_block = open
            .and_then(|d| out.dumps.get(d))
            .is_some_and(|d| item.block.is_some() && block(d).is_some_and(|b| Some(b) != item.block));
        let fresh = open.and_then(|d| out.dumps.get(d)).is_none_or(|d| d.items.is_empty());
        let need = open.is_none() || (starts && !fresh) || repeated || new_block || other && !fresh;
        if need {
            out.dumps.push(Dump { book: item.book, other, ..Dump::default() });
            current.insert(item.book, out.dumps.len() - 1);
            seen.remove(&item.book);
            contents.remove(&item.book);
        }
        let dump = current.get(&item.book).copied().unwrap_or(0);
        if let Some(d) = out.dumps.get_mut(dump) {
            d.other |= other;
            match item.kind {
                Kind::Header(_) => {
                    d.header.extend(item.fields.iter().map(|(k, v)| (k.clone(), v.clone())));
                }
                _ => d.items.push(i),
            }
        }
        other = false;
        if matches!(item.kind, Kind::Entry | Kind::Empty)
            && let Some(k) = key(plans, item)
        {
            seen.entry(item.book).or_default().insert(k, i);
        } else if item.kind == Kind::Entry && trusted(item) {
            contents.entry(item.book).or_default().insert(content());
        }
        if let Some(p) = out.places.get_mut(i) {
            p.dump = dump;
        }
    }
    give_consoles(plans, items, &mut out);
    mark_again(plans, items, &mut out);
    out
}

/// Compares a dump with all earlier ones of its book.
fn give_consoles(plans: &Plans, items: &[Item], out: &mut Groups) {
    let mut next = 0;
    let mut consoles: Vec<(usize, Option<String>, HashMap<u64, Vec<usize>>)> = Vec::new();
    for d in 0..out.dumps.len() {
        let Some(dump) = out.dumps.get(d) else { continue };
        let entries: Vec<usize> =
            dump.items.iter().copied().filter(|&i| items.get(i).is_some_and(|x| x.kind == Kind::Entry)).collect();
        let name = dump.header.get("console").and_then(Value::as_str).map(str::to_owned);
        if dump.items.is_empty() {
            continue;
        }
        let mut found = None;
        let mut unsure = false;
        for (c, (book, known_name, keys)) in consoles.iter().enumerate() {
            if *book != dump.book {
                continue;
            }
            if let (Some(a), Some(b)) = (&name, known_name) {
                if a == b {
                    found = Some(c);
                    break;
                }
                continue;
            }
            let (mut equal, mut differ) = (0, 0);
            for &i in &entries {
                let Some(item) = items.get(i) else { continue };
                let Some(k) = key(plans, item) else { continue };
                if let Some(others) = keys.get(&k) {
                    if others.iter().any(|&o| items.get(o).is_some_and(|x| same(x, item))) {
                        equal += 1;
                    } else {
                        differ += 1;
                    }
                }
            }
            let content_again = entries.iter().filter(|&&i| {
                items.get(i).is_some_and(|x| {
                    keys.values().flatten().any(|&o| items.get(o).is_some_and(|y| same(x, y)))
                })
            });
            let joins = if equal + differ > 0 {
                unsure = equal == 0 && !dump.other;
                equal >= differ && equal > 0 && !(dump.other && equal * 5 < (equal + differ) * 4)
            } else if entries.is_empty() {
                !dump.other
            } else {
                !dump.other || content_again.count() * 5 >= entries.len() * 4
            };
            if joins {
                found = Some(c);
                unsure = false;
                break;
            }
        }
        if unsure && found.is_none() {
            out.notes.push(
                "Two logs of the same family share slots but no entry. They were taken for two consoles; \
                 two pulls of one console, far apart in time, would look the same."
                    .into(),
            );
        }
        let c = found.unwrap_or_else(|| {
            consoles.push((dump.book, name.clone(), HashMap::new()));
            consoles.len() - 1
        });
        if let Some(known) = consoles.get_mut(c) {
            if known.1.is_none() {
                known.1 = name;
            }
            for &i in &entries {
                let k = items.get(i).and_then(|x| key(plans, x)).unwrap_or(u64::MAX - i as u64);
                known.2.entry(k).or_default().push(i);
            }
        }
        next = next.max(c + 1);
        if let Some(dump) = out.dumps.get_mut(d) {
            dump.console = c;
            for &i in &dump.items {
                if let Some(p) = out.places.get_mut(i) {
                    p.console = c;
                }
            }
        }
    }
    out.consoles = next;
}

/// Whether two entries are the same record.
fn same(a: &Item, b: &Item) -> bool {
    if a.book != b.book || a.layout != b.layout {
        return false;
    }
    a.fields.iter().all(|(k, v)| {
        let w = b.fields.get(k).unwrap_or(&Value::Null);
        v == w || (!a.complete && v.is_null()) || (!b.complete && w.is_null())
    })
}

/// Marks records that were there before, within one console. With a key the
/// same key and content are the same record. Without one, a record is there
/// again when an earlier dump holds it as often.
fn mark_again(plans: &Plans, items: &[Item], out: &mut Groups) {
    let mut by_text: HashMap<(usize, String), Vec<usize>> = HashMap::new();
    for (i, item) in items.iter().enumerate() {
        if item.kind != Kind::Entry {
            continue;
        }
        let Some(place) = out.places.get(i).copied() else { continue };
        let keyed = key(plans, item);
        let name = match keyed {
            Some(k) => format!("{}/{}/{k}", item.book, item.layout),
            None => format!("{}/{}/{}", item.book, item.layout, Value::Object(item.fields.clone())),
        };
        let list = by_text.entry((place.console, name)).or_default();
        let before: Vec<usize> =
            list.iter().copied().filter(|&o| items.get(o).is_some_and(|x| same(x, item))).collect();
        let again = if keyed.is_some() {
            !before.is_empty()
        } else {
            let here = before.iter().filter(|&&o| out.places.get(o).is_some_and(|p| p.dump == place.dump)).count();
            let mut per_dump: BTreeMap<usize, usize> = BTreeMap::new();
            for &o in &before {
                if let Some(p) = out.places.get(o).filter(|p| p.dump != place.dump) {
                    *per_dump.entry(p.dump).or_default() += 1;
                }
            }
            per_dump.values().max().is_some_and(|&most| most > here)
        };
        list.push(i);
        if again && let Some(p) = out.places.get_mut(i) {
            p.again = true;
        }
        // A whole record replaces a cut-off one.
        if again
            && item.complete
            && let Some(&first) = before.iter().find(|&&o| items.get(o).is_some_and(|x| !x.complete))
            && out.places.get(first).is_some_and(|p| !p.again)
        {
            if let Some(p) = out.places.get_mut(first) {
                p.again = true;
            }
            if let Some(p) = out.places.get_mut(i) {
                p.again = false;
            }
        }
    }
}

/// Words between two logs that speak of another console.
pub(crate) fn speaks_of_another(line: &str) -> bool {
    let line = line.to_lowercase();
    let first = ["second", "other", "another", "2nd", "third", "3rd", "next", "different"];
    let thing = ["console", "unit", "board", "machine", "one", "box", "halyard", "orrery", "tamsin"];
    let words: Vec<&str> = line.split(|c: char| !c.is_alphanumeric()).filter(|w| !w.is_empty()).collect();
    words.windows(2).any(|w| match w {
        [a, b] => {
            first.contains(a) && thing.contains(b)
                || thing.contains(a) && matches!(*b, "2" | "b" | "two" | "3" | "c")
        }
        _ => false,
    })
}
