//! The order of a console's entries, and which way the paste lists them.
//!
//! The running number or the ring's head decides where the layout has one.
//! Times decide only where the clock was set. Where nothing tells, the order is
//! that of the listing, and the reading says so.

use codebook::model::{HeadMeans, Layout, Listing, OrderBy, OrderRule};
use serde_json::Value;
use std::collections::BTreeMap;

use crate::group::{Dump, Groups};
use crate::item::{Item, Kind};
use crate::result::ListingFound;
use crate::scan::Plans;

/// A console's entries, oldest first.
#[derive(Clone, Debug, Default)]
pub(crate) struct Ordered {
    /// Places in the list of items.
    pub items: Vec<usize>,
    /// What the order is known from; empty when it is not known.
    pub from: &'static str,
    /// Which way its entries are listed.
    pub listing: ListingFound,
}

fn number(item: &Item, name: &str) -> Option<u64> {
    item.fields.get(name).and_then(Value::as_u64)
}

/// A trusted time as a text that sorts.
fn time(item: &Item) -> Option<&str> {
    let get = |k: &str| item.fields.get(k).and_then(Value::as_str);
    get("time_utc").or_else(|| get("time_local"))
}

/// Orders the entries of a console, whose dumps are given by number.
pub(crate) fn order(plans: &Plans, items: &[Item], groups: &Groups, dumps: &[usize]) -> Ordered {
    let mut dumps: Vec<(usize, &Dump)> = dumps
        .iter()
        .filter_map(|&d| Some((d, groups.dumps.get(d)?)))
        .collect();
    let entries = |d: &Dump| -> Vec<usize> {
        d.items
            .iter()
            .copied()
            .filter(|&i| items.get(i).is_some_and(|x| x.kind == Kind::Entry))
            .filter(|&i| groups.places.get(i).is_some_and(|p| !p.again))
            .collect()
    };
    let rule = dumps.iter().flat_map(|d| &d.1.items).find_map(|&i| {
        let item = items.get(i)?;
        plans
            .books
            .get(item.book)?
            .model
            .layouts
            .get(item.layout)?
            .order()
    });
    let layout = dumps.iter().flat_map(|d| &d.1.items).find_map(|&i| {
        let item = items.get(i)?;
        plans.books.get(item.book)?.model.layouts.get(item.layout)
    });
    let all: Vec<usize> = dumps.iter().flat_map(|d| entries(d.1)).collect();
    let listed = listed_way(rule);
    if let (Some(rule), Some(layout)) = (rule, layout) {
        match rule.by {
            OrderBy::Sequence => {
                if let Some(sorted) = by_sequence(items, &all, rule, layout) {
                    let listing = way(groups, &sorted, listed);
                    return Ordered {
                        items: sorted,
                        from: "running number",
                        listing,
                    };
                }
            }
            OrderBy::Ring => {
                crate::sorted::sort_by_key(&mut dumps, |d| latest(items, &entries(d.1)));
                let mut sorted = Vec::new();
                let mut from = "";
                let mut known = true;
                for (_, d) in &dumps {
                    match by_ring(items, d, &entries(d), rule) {
                        Some((list, why)) => {
                            sorted.extend(list);
                            from = why;
                        }
                        None => {
                            known = false;
                            sorted.extend(entries(d));
                        }
                    }
                }
                if known && !sorted.is_empty() {
                    let listing = way(groups, &sorted, listed);
                    return Ordered {
                        items: sorted,
                        from,
                        listing,
                    };
                }
            }
            OrderBy::Time | OrderBy::Listing => {}
        }
    }
    by_time_or_listing(items, groups, all, listed)
}

fn listed_way(rule: Option<&OrderRule>) -> ListingFound {
    match rule.and_then(|r| r.listing) {
        Some(Listing::OldestFirst) => ListingFound::OldestFirst,
        Some(Listing::NewestFirst) => ListingFound::NewestFirst,
        None => ListingFound::Unknown,
    }
}

fn latest(items: &[Item], list: &[usize]) -> Option<String> {
    list.iter()
        .filter_map(|&i| time(items.get(i)?))
        .max()
        .map(str::to_owned)
}

/// Sorts by a running number that may wrap: the widest gap of the circle is
/// where the log begins.
fn by_sequence(
    items: &[Item],
    all: &[usize],
    rule: &OrderRule,
    layout: &Layout,
) -> Option<Vec<usize>> {
    let fields = layout.fields();
    let field = fields.iter().find(|f| f.field == rule.field)?;
    let modulus = field
        .modulus
        .or_else(|| field.size.filter(|s| *s < 8).map(|s| 1_u64 << (8 * s)));
    let mut keyed: Vec<(u64, usize)> = Vec::new();
    for &i in all {
        keyed.push((number(items.get(i)?, &rule.field)?, i));
    }
    let mut numbers: Vec<u64> = keyed.iter().map(|k| k.0).collect();
    crate::sorted::sort(&mut numbers);
    numbers.dedup();
    let start = match (modulus, numbers.first(), numbers.last()) {
        (Some(m), Some(&low), Some(&high)) if numbers.len() > 1 && high < m => {
            let mut widest = (m - high + low, low);
            for w in numbers.windows(2) {
                if let [a, b] = w
                    && b - a > widest.0
                {
                    widest = (b - a, *b);
                }
            }
            widest.1
        }
        _ => 0,
    };
    let m = modulus.unwrap_or(u64::MAX);
    crate::sorted::sort_by_key(&mut keyed, |&(n, i)| {
        (
            if n >= start {
                n - start
            } else {
                (m - start).saturating_add(n)
            },
            i,
        )
    });
    Some(keyed.into_iter().map(|k| k.1).collect())
}

/// Sorts a ring: by its head, by its mark, by the unused slots at its end, or
/// by trusted times if these leave one place for the head.
fn by_ring(
    items: &[Item],
    dump: &Dump,
    list: &[usize],
    rule: &OrderRule,
) -> Option<(Vec<usize>, &'static str)> {
    let mut slots: Vec<(u64, usize)> = Vec::new();
    for &i in list {
        slots.push((number(items.get(i)?, &rule.field)?, i));
    }
    crate::sorted::sort(&mut slots);
    let size = rule
        .size
        .unwrap_or_else(|| slots.last().map_or(1, |s| s.0.saturating_add(1)))
        .max(1);
    let after = |slot: u64| {
        if slot.saturating_add(1) >= rule.first.saturating_add(size) {
            rule.first
        } else {
            slot.saturating_add(1)
        }
    };
    let oldest = |means: HeadMeans, slot: u64| match means {
        HeadMeans::Newest => after(slot),
        HeadMeans::Next | HeadMeans::Oldest => slot,
    };
    let head = rule.head.as_ref().and_then(|h| {
        let v = dump.header.get(&h.field)?;
        Some((oldest(h.means, v.as_u64()?), "ring head in the header"))
    });
    let mark = rule.mark.as_ref().and_then(|m| {
        let (slot, _) = slots.iter().find(|s| {
            items
                .get(s.1)
                .and_then(|x| x.fields.get(&m.field))
                .and_then(Value::as_str)
                .is_some_and(|v| v.eq_ignore_ascii_case(&m.is))
        })?;
        Some((oldest(m.means, *slot), "mark at the head of the ring"))
    });
    let vacant = || {
        // Unused slots behind the last used one: the ring has not gone round.
        let unused: Vec<u64> = dump
            .items
            .iter()
            .filter_map(|&i| items.get(i))
            .filter(|x| x.kind == Kind::Empty)
            .filter_map(|x| number(x, &rule.field))
            .collect();
        let last = slots.last()?.0;
        let first = slots.first()?.0;
        (!unused.is_empty() && unused.iter().all(|&u| u > last || u < first))
            .then_some((rule.first, "unused slots behind the last entry"))
    };
    let times = || {
        let stamped: Vec<(u64, &str)> = slots
            .iter()
            .filter_map(|&(s, i)| Some((s, time(items.get(i)?)?)))
            .collect();
        let breaks: Vec<u64> = stamped
            .windows(2)
            .filter_map(|w| match w {
                [a, b] if b.1 < a.1 => Some(b.0),
                _ => None,
            })
            .collect();
        match breaks.as_slice() {
            _ if stamped.len() < 2 => None,
            [] => Some((slots.first()?.0, "slots and the times in them")),
            [one] if stamped.last()?.1 <= stamped.first()?.1 => {
                Some((*one, "slots and the times in them"))
            }
            _ => None,
        }
    };
    let (start, why) = head.or(mark).or_else(vacant).or_else(times)?;
    let place = |slot: u64| slot.saturating_add(size - start.min(size)) % size;
    crate::sorted::sort_by_key(&mut slots, |&(s, i)| (place(s), i));
    Some((slots.into_iter().map(|s| s.1).collect(), why))
}

fn by_time_or_listing(
    items: &[Item],
    groups: &Groups,
    all: Vec<usize>,
    listed: ListingFound,
) -> Ordered {
    let stamped: Vec<&str> = all.iter().filter_map(|&i| time(items.get(i)?)).collect();
    if stamped.len() == all.len() && all.len() > 1 {
        let mut sorted = all.clone();
        let up = stamped.windows(2).filter(|w| w.first() < w.get(1)).count();
        let down = stamped.windows(2).filter(|w| w.first() > w.get(1)).count();
        if up + down > 0 {
            if down > up {
                sorted.reverse();
            }
            crate::sorted::sort_by(&mut sorted, |&a, &b| {
                let t = |i: usize| items.get(i).and_then(time);
                t(a).cmp(&t(b))
            });
            let listing = way(groups, &sorted, listed);
            return Ordered {
                items: sorted,
                from: "times",
                listing,
            };
        }
    }
    // Some times are trusted: they can still tell the direction.
    let up = stamped.windows(2).filter(|w| w.first() < w.get(1)).count();
    let down = stamped.windows(2).filter(|w| w.first() > w.get(1)).count();
    let direction = match listed {
        ListingFound::Unknown if up > 0 && down == 0 => ListingFound::OldestFirst,
        ListingFound::Unknown if down > 0 && up == 0 => ListingFound::NewestFirst,
        other => other,
    };
    let mut sorted = all;
    if direction == ListingFound::NewestFirst {
        sorted.reverse();
    }
    let from = match (direction, listed) {
        (ListingFound::Unknown, _) => "",
        (_, ListingFound::Unknown) => "listing, direction from the times",
        _ => "listing",
    };
    Ordered {
        items: sorted,
        from,
        listing: direction,
    }
}

/// Which way a paste lists entries whose order is known.
fn way(groups: &Groups, sorted: &[usize], listed: ListingFound) -> ListingFound {
    let mut rank: BTreeMap<usize, usize> = BTreeMap::new();
    for (r, &i) in sorted.iter().enumerate() {
        rank.insert(i, r);
    }
    let (mut up, mut down) = (0, 0);
    let mut last: Option<(usize, usize)> = None;
    for (&i, &r) in &rank {
        let dump = groups.places.get(i).map_or(0, |p| p.dump);
        if let Some((d, before)) = last
            && d == dump
        {
            if r > before {
                up += 1;
            } else {
                down += 1;
            }
        }
        last = Some((dump, r));
    }
    match (up, down) {
        (0, 0) => listed,
        (_, 0) => ListingFound::OldestFirst,
        (0, _) => ListingFound::NewestFirst,
        _ => ListingFound::Unknown,
    }
}
