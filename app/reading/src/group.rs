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
    /// Whether it follows the dump before without a line between.
    pub goes_on: bool,
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
    item.fields
        .get(key_field(layout_of(plans, item)?)?)
        .and_then(Value::as_u64)
}

fn trusted(item: &Item) -> bool {
    item.fields.get("clock").and_then(Value::as_str) == Some("set")
}

/// Groups items, which must be in the order of the paste. `other_before[i]`
/// says that the text between item i-1 and item i speaks of another console.
pub(crate) fn group(plans: &Plans, items: &[Item], other_before: &[bool]) -> Groups {
    let mut out = Groups {
        places: vec![Place::default(); items.len()],
        ..Groups::default()
    };
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
            d.items
                .iter()
                .rev()
                .filter_map(|&k| items.get(k))
                .find_map(|x| x.block)
        };
        let open = current.get(&item.book).copied();
        let new_block = open.and_then(|d| out.dumps.get(d)).is_some_and(|d| {
            item.block.is_some() && block(d).is_some_and(|b| Some(b) != item.block)
        });
        let fresh = open
            .and_then(|d| out.dumps.get(d))
            .is_none_or(|d| d.items.is_empty());
        let need = open.is_none() || (starts && !fresh) || repeated || new_block || other && !fresh;
        if need {
            let goes_on = repeated && !parted && !starts && !new_block && !other;
            out.dumps.push(Dump {
                book: item.book,
                other,
                goes_on,
                ..Dump::default()
            });
            current.insert(item.book, out.dumps.len() - 1);
            seen.remove(&item.book);
            contents.remove(&item.book);
        }
        let dump = current.get(&item.book).copied().unwrap_or(0);
        if let Some(d) = out.dumps.get_mut(dump) {
            d.other |= other;
            match item.kind {
                Kind::Header(_) => {
                    d.header
                        .extend(item.fields.iter().map(|(k, v)| (k.clone(), v.clone())));
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

/// What is known of a console while dumps are given out.
#[derive(Default)]
struct Known {
    book: usize,
    name: Option<String>,
    /// Keys seen.
    keys: HashSet<u64>,
}

/// Gives each dump a console: by the name in its header, by the records it
/// shares with an earlier dump, or by what the text in front says.
fn give_consoles(plans: &Plans, items: &[Item], out: &mut Groups) {
    let mut consoles: Vec<Known> = Vec::new();
    // Which consoles hold a record, by its content.
    let mut holders: HashMap<(usize, String), Vec<usize>> = HashMap::new();
    let mut unsure = false;
    for d in 0..out.dumps.len() {
        // A line that can't be read makes no console by itself.
        let readable = |i: &usize| {
            let kind = items.get(*i).map(|x| &x.kind);
            matches!(kind, Some(Kind::Entry | Kind::Empty))
        };
        let Some(dump) = out.dumps.get_mut(d) else {
            continue;
        };
        if !dump.items.iter().any(readable) {
            dump.console = usize::MAX;
            continue;
        }
        let entries: Vec<&Item> = dump
            .items
            .iter()
            .filter_map(|&i| items.get(i))
            .filter(|x| x.kind == Kind::Entry)
            .collect();
        let contents: Vec<(usize, String)> =
            entries.iter().map(|x| (dump.book, content(x))).collect();
        let name = dump
            .header
            .get("console")
            .and_then(Value::as_str)
            .map(str::to_owned);
        let named = name.as_ref().and_then(|n| {
            consoles
                .iter()
                .position(|c| c.book == dump.book && c.name.as_ref() == Some(n))
        });
        let last = consoles.iter().rposition(|c| c.book == dump.book);
        let mut equal: BTreeMap<usize, usize> = BTreeMap::new();
        for c in contents.iter().filter_map(|c| holders.get(c)).flatten() {
            *equal.entry(*c).or_default() += 1;
        }
        let best = equal
            .into_iter()
            .max_by_key(|&(c, n)| (n, std::cmp::Reverse(c)));
        let shared = |c: usize| {
            let keys = consoles.get(c).map(|k| &k.keys);
            entries
                .iter()
                .filter_map(|x| key(plans, x))
                .filter(|k| keys.is_some_and(|s| s.contains(k)))
                .count()
        };
        let other_name = |c: usize| {
            let known = consoles.get(c).and_then(|k| k.name.as_ref());
            name.is_some() && known.is_some() && known != name.as_ref()
        };
        let found = if named.is_some() {
            named
        } else if dump.goes_on {
            last
        } else if let Some((c, equal)) = best.filter(|b| !other_name(b.0)) {
            let all = shared(c).max(equal);
            let enough =
                equal * 2 >= all && !(dump.other && equal * 5 < all.max(entries.len()) * 4);
            if enough { Some(c) } else { None }
        } else {
            match last.filter(|&c| !other_name(c)) {
                Some(c) if shared(c) > 0 => {
                    unsure |= !dump.other;
                    None
                }
                Some(c) if !dump.other => Some(c),
                _ => None,
            }
        };
        let c = found.unwrap_or_else(|| {
            consoles.push(Known {
                book: dump.book,
                ..Known::default()
            });
            consoles.len() - 1
        });
        if let Some(known) = consoles.get_mut(c) {
            if known.name.is_none() {
                known.name = name;
            }
            known
                .keys
                .extend(entries.iter().filter_map(|x| key(plans, x)));
        }
        for content in contents {
            let list = holders.entry(content).or_default();
            if !list.contains(&c) {
                list.push(c);
            }
        }
        if let Some(dump) = out.dumps.get_mut(d) {
            dump.console = c;
            for &i in &dump.items {
                if let Some(p) = out.places.get_mut(i) {
                    p.console = c;
                }
            }
        }
    }
    out.consoles = consoles.len();
    if unsure {
        out.notes.push(
            "Two logs of the same family share slots but no entry. They were taken for two consoles; \
             two pulls of one console, far apart in time, would look the same."
                .into(),
        );
    }
}

/// All values of an entry as one text. Equal texts are equal records.
fn content(item: &Item) -> String {
    format!("{}/{}", item.layout, Value::Object(item.fields.clone()))
}

/// Whether a cut-off entry may be the same record as another one.
fn same(cut: &Item, whole: &Item) -> bool {
    cut.book == whole.book
        && cut.layout == whole.layout
        && cut
            .fields
            .iter()
            .all(|(k, v)| v.is_null() || whole.fields.get(k) == Some(v))
}

/// Marks records that were there before, within one console. With a key the
/// same content is the same record. Without one, a record is there again when
/// an earlier dump holds it as often.
fn mark_again(plans: &Plans, items: &[Item], out: &mut Groups) {
    let mut counts: HashMap<(usize, String), BTreeMap<usize, usize>> = HashMap::new();
    let mut by_key: HashMap<(usize, usize, u64), Vec<usize>> = HashMap::new();
    for (i, item) in items.iter().enumerate() {
        if item.kind != Kind::Entry {
            continue;
        }
        let Some(place) = out.places.get(i).copied() else {
            continue;
        };
        let keyed = key(plans, item);
        let dumps = counts.entry((place.console, content(item))).or_default();
        let here = dumps.get(&place.dump).copied().unwrap_or(0);
        let mut again = if keyed.is_some() {
            !dumps.is_empty()
        } else {
            dumps.iter().any(|(&d, &n)| d != place.dump && n > here)
        };
        *dumps.entry(place.dump).or_default() += 1;
        if let Some(k) = keyed {
            // A cut-off record and its whole twin are one; the whole one stays.
            let list = by_key.entry((place.console, item.layout, k)).or_default();
            let recent = list.iter().rev().take(8).copied();
            for o in recent {
                let Some(other) = items.get(o) else { continue };
                if !item.complete && other.complete && same(item, other) {
                    again = true;
                } else if item.complete
                    && !other.complete
                    && same(other, item)
                    && let Some(p) = out.places.get_mut(o)
                {
                    p.again = true;
                }
            }
            list.push(i);
        }
        if again && let Some(p) = out.places.get_mut(i) {
            p.again = true;
        }
    }
}

/// Words between two logs that speak of another console.
pub(crate) fn speaks_of_another(line: &str) -> bool {
    let line = line.to_lowercase();
    let first = [
        "second",
        "other",
        "another",
        "2nd",
        "third",
        "3rd",
        "next",
        "different",
    ];
    let thing = [
        "console", "unit", "board", "machine", "one", "box", "halyard", "orrery", "tamsin",
    ];
    let words: Vec<&str> = line
        .split(|c: char| !c.is_alphanumeric())
        .filter(|w| !w.is_empty())
        .collect();
    words.windows(2).any(|w| match w {
        [a, b] => {
            first.contains(a) && thing.contains(b)
                || thing.contains(a) && matches!(*b, "2" | "b" | "two" | "3" | "c")
        }
        _ => false,
    })
}
