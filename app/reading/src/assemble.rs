//! The last phases: group, order, class every line, and put the reading
//! together.

use serde_json::Value;
use std::collections::BTreeMap;

use crate::group::{Groups, group, speaks_of_another};
use crate::item::{Item, Kind};
use crate::markup::why_ignored;
use crate::mentions::mentions;
use crate::order::{Ordered, order};
use crate::result::{
    Console, Entry, Fit, LineClasses, ListingFound, Mention, Reading, Span, Unreadable,
};
use crate::session::Material;
use crate::unknown::shape;
use crate::view::{is_soft, is_space};

/// Classes of lines, the strongest first.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
enum Class {
    Entry,
    Unreadable,
    Duplicate,
    Empty,
    Continuation,
    Header,
}

/// Puts the reading together.
pub(crate) fn assemble(m: &Material, mut items: Vec<Item>) -> Reading {
    items.retain(|i| !(i.range == (0, 0) && i.kind == Kind::Header(false)));
    items.extend(broken_off(m, &items));
    crate::sorted::sort_by_key(&mut items, |i| {
        (i.range, matches!(i.kind, Kind::Doubt { .. }))
    });
    let other = other_before(m, &items);
    let groups = group(&m.plans, &items, &other);
    let mut dumps_of: Vec<Vec<usize>> = vec![Vec::new(); groups.consoles];
    for (d, dump) in groups
        .dumps
        .iter()
        .enumerate()
        .filter(|d| !d.1.items.is_empty())
    {
        if let Some(list) = dumps_of.get_mut(dump.console) {
            list.push(d);
        }
    }
    let ordered: Vec<Ordered> = dumps_of
        .iter()
        .map(|d| order(&m.plans, &items, &groups, d))
        .collect();
    let mut reading = Reading {
        notes: groups.notes.clone(),
        ..Reading::default()
    };
    let span = |r: (usize, usize)| m.decoded.span(r.0, r.1);
    reading.line_spans = m.lines.iter().map(|&l| span(l)).collect();
    reading.listing = listing(&ordered);
    let classes = classes(m, &items, &groups);
    let mut place_of: BTreeMap<usize, usize> = BTreeMap::new();
    reading.fits = fits(m, &items);
    // From here on the values of entries are in the reading only: a long log
    // must not be in memory twice.
    for (i, item) in items.iter_mut().enumerate() {
        match &item.kind {
            Kind::Entry if groups.places.get(i).is_some_and(|p| !p.again) => {
                place_of.insert(i, reading.entries.len());
                reading.entries.push(to_entry(
                    m,
                    item,
                    groups.places.get(i).map_or(0, |p| p.console),
                ));
            }
            Kind::Doubt {
                why,
                choices,
                puts,
                field,
                doubt,
            } => {
                let (_, layout) = names(m, item);
                reading.unreadable.push(Unreadable {
                    line: item.lines.first().map_or(1, |l| l + 1),
                    raw: m
                        .decoded
                        .text
                        .get(item.range.0..item.range.1)
                        .unwrap_or("")
                        .to_owned(),
                    why: why.clone(),
                    choices: choices.clone(),
                    puts: puts.clone(),
                    field: field.clone(),
                    span: span(item.range),
                    doubt: doubt.map(span),
                    layout,
                });
            }
            _ => {}
        }
    }
    let mut empty_slots = vec![0; groups.consoles];
    for (_, place) in items
        .iter()
        .zip(&groups.places)
        .filter(|x| x.0.kind == Kind::Empty)
    {
        if let Some(n) = empty_slots.get_mut(place.console) {
            *n += 1;
        }
    }
    for (c, o) in ordered.iter().enumerate() {
        let dump = dumps_of.get(c).and_then(|d| groups.dumps.get(*d.first()?));
        let book = dump.and_then(|d| m.plans.books.get(d.book));
        let mut console = Console {
            number: c + 1,
            book: book.map_or_else(String::new, |b| b.model.id.clone()),
            name: dumps_of.get(c).into_iter().flatten().find_map(|&d| {
                let name = groups.dumps.get(d)?.header.get("console")?;
                name.as_str().map(str::to_owned)
            }),
            order_from: o.from.to_owned(),
            ..Console::default()
        };
        for (rank, i) in o.items.iter().enumerate() {
            if let Some(&place) = place_of.get(i) {
                console.entries.push(place);
                if let Some(e) = reading.entries.get_mut(place) {
                    e.order = rank + 1;
                }
            }
        }
        console.empty_slots = empty_slots.get(c).copied().unwrap_or(0);
        reading.consoles.push(console);
    }
    file_lines(m, &classes, &mut reading);
    reading.layouts = layouts(&reading);
    clock_notes(&mut reading);
    if items.iter().all(|i| matches!(i.kind, Kind::Doubt { .. })) || items.is_empty() {
        let lines = m
            .segments
            .iter()
            .zip(&m.scans)
            .map(|(s, v)| (s.line, &v.view));
        reading.unknown = shape(lines);
        for line in reading.unknown.iter().flat_map(|u| &u.lines) {
            if let Some(why) = reading.ignored_why.get_mut(line) {
                *why = "looks like an entry, but no code book fits".into();
            }
        }
        reading.notes.push(if reading.unknown.is_some() {
            "No code book fits; these look like entries.".into()
        } else {
            "No log was found in this text.".into()
        });
    }
    reading
}

fn names(m: &Material, item: &Item) -> (String, String) {
    let book = m.plans.books.get(item.book);
    let layout = book.and_then(|b| b.model.layouts.get(item.layout));
    (
        book.map_or_else(String::new, |b| b.model.id.clone()),
        layout.map_or_else(String::new, |l| l.id().to_owned()),
    )
}

fn to_entry(m: &Material, item: &mut Item, console: usize) -> Entry {
    let span = |r: Span| m.decoded.span(r.0, r.1);
    let (book, layout) = names(m, item);
    let mut guesses = std::mem::take(&mut item.guesses);
    guesses.iter_mut().for_each(|g| g.span = span(g.span));
    let mut changes = std::mem::take(&mut item.changes);
    changes.iter_mut().for_each(|c| c.span = span(c.span));
    Entry {
        line: item.lines.first().map_or(1, |l| l + 1),
        raw: m
            .decoded
            .text
            .get(item.range.0..item.range.1)
            .unwrap_or("")
            .to_owned(),
        clean: std::mem::take(&mut item.clean),
        layout,
        book,
        console: console + 1,
        fields: std::mem::take(&mut item.fields),
        order: 0,
        guess: !guesses.is_empty(),
        guesses,
        complete: item.complete,
        span: m.decoded.span(item.range.0, item.range.1),
        field_spans: std::mem::take(&mut item.field_spans)
            .into_iter()
            .map(|(k, v)| (k, span(v)))
            .collect(),
        changes,
    }
}

fn listing(ordered: &[Ordered]) -> ListingFound {
    let mut all = ordered
        .iter()
        .filter(|o| !o.items.is_empty())
        .map(|o| o.listing);
    let first = all.next().unwrap_or_default();
    if all.all(|l| l == first) {
        first
    } else {
        ListingFound::Unknown
    }
}

/// Lines that begin an entry and break off before its key fields, with nothing
/// below to go on with; and lines that only look like an entry.
fn broken_off(m: &Material, items: &[Item]) -> Vec<Item> {
    let mut taken = vec![false; m.lines.len()];
    for line in items.iter().flat_map(|i| &i.lines) {
        if let Some(t) = taken.get_mut(*line) {
            *t = true;
        }
    }
    let mut out = Vec::new();
    for (k, (scan, segment)) in m.scans.iter().zip(&m.segments).enumerate() {
        if m.joined.get(k) == Some(&true) || taken.get(segment.line) == Some(&true) {
            continue;
        }
        let body = crate::markup::body_start(&scan.view);
        let (plan, from, why) = match (&scan.open, scan.resembles) {
            (Some(open), _) if open.cut.is_none() && open.fields > 0 && body == open.from => {
                (open.plan, open.from, "cut off before the code is whole")
            }
            (None, Some(plan)) => (
                plan,
                body,
                "looks like an entry, but too much of it can't be read",
            ),
            _ => continue,
        };
        let plan = m.plans.layouts.get(plan);
        let mut item = crate::item::nothing(segment.line);
        item.book = plan.map_or(0, |p| p.book);
        item.layout = plan.map_or(0, |p| p.layout);
        item.range = scan.view.range(from, scan.view.len());
        item.kind = Kind::Doubt {
            why: why.into(),
            choices: Vec::new(),
            puts: Vec::new(),
            field: String::new(),
            doubt: None,
        };
        out.push(item);
    }
    out
}

/// Whether the lines between two items speak of another console.
fn other_before(m: &Material, items: &[Item]) -> Vec<bool> {
    let mut out = Vec::with_capacity(items.len());
    let mut next = 0;
    for item in items {
        let first = item.lines.first().copied().unwrap_or(0);
        let mut other = false;
        while next < first {
            if let Some(&(a, b)) = m.lines.get(next)
                && b - a < 400
            {
                other |= speaks_of_another(m.decoded.text.get(a..b).unwrap_or(""));
            }
            next += 1;
        }
        next = next.max(item.lines.last().map_or(first, |l| l + 1));
        out.push(other);
    }
    out
}

fn classes(m: &Material, items: &[Item], groups: &Groups) -> Vec<Option<Class>> {
    let mut out: Vec<Option<Class>> = vec![None; m.lines.len()];
    let mut put = |line: usize, class: Class| {
        if let Some(c) = out.get_mut(line) {
            *c = Some(c.map_or(class, |old| old.min(class)));
        }
    };
    for (item, place) in items.iter().zip(&groups.places) {
        let (first, rest) = match &item.kind {
            Kind::Entry if place.again => (Class::Duplicate, Class::Continuation),
            Kind::Entry => (Class::Entry, Class::Continuation),
            Kind::Empty => (Class::Empty, Class::Empty),
            Kind::Header(_) => (Class::Header, Class::Header),
            Kind::Doubt { .. } => (Class::Unreadable, Class::Continuation),
        };
        for (k, &line) in item.lines.iter().enumerate() {
            put(line, if k == 0 { first } else { rest });
        }
    }
    out
}

/// Files every physical line under its class, with reasons for the ignored.
fn file_lines(m: &Material, classes: &[Option<Class>], reading: &mut Reading) {
    let mut segment = 0;
    for (line, class) in classes.iter().enumerate() {
        while m.segments.get(segment).is_some_and(|s| s.line < line) {
            segment += 1;
        }
        let n = line + 1;
        let l: &mut LineClasses = &mut reading.line_classes;
        let Some(class) = class else {
            if line >= m.read_lines {
                l.ignored.push(n);
                if line == m.read_lines {
                    reading
                        .ignored_why
                        .insert(n, "not read: the paste is too long from here on".into());
                }
                continue;
            }
            let Some(scan) = m
                .scans
                .get(segment)
                .filter(|_| m.segments.get(segment).is_some_and(|s| s.line == line))
            else {
                l.blank.push(n);
                continue;
            };
            let range = m.lines.get(line).copied().unwrap_or_default();
            let white = m.decoded.text.get(range.0..range.1).unwrap_or("");
            let seen = scan.view.bytes.iter().all(|&b| is_space(b)) && !scan.stripped;
            if seen
                || white
                    .chars()
                    .all(|c| c.is_whitespace() || crate::fold::is_zero_width(c))
            {
                l.blank.push(n);
                continue;
            }
            l.ignored.push(n);
            let why = if scan.row.is_none()
                && scan.view.bytes.iter().all(|&b| is_soft(b) || b == b'\n')
                && scan.stripped
            {
                "mark-up only"
            } else {
                why_ignored(&scan.view, scan.stripped)
            };
            reading.ignored_why.insert(n, why.into());
            for (from, to, code) in mentions(&m.plans.books, &scan.view) {
                let (a, b) = scan.view.range(from, to);
                reading.mentions.push(Mention {
                    line: n,
                    code,
                    span: m.decoded.span(a, b),
                });
            }
            continue;
        };
        match class {
            Class::Entry => l.entry.push(n),
            Class::Unreadable => l.unreadable.push(n),
            Class::Duplicate => l.duplicate.push(n),
            Class::Empty => l.empty.push(n),
            Class::Continuation => l.continuation.push(n),
            Class::Header => {
                l.ignored.push(n);
                reading
                    .ignored_why
                    .insert(n, "a line about the log as a whole".into());
            }
        }
    }
}

fn fits(m: &Material, items: &[Item]) -> Vec<Fit> {
    let mut fits: Vec<Fit> = Vec::new();
    for plan in 0..m.plans.layouts.len() {
        let Some((book, b, layout, l)) = m.plans.layout(plan) else {
            continue;
        };
        let mut fit = Fit {
            book: book.model.id.clone(),
            layout: layout.id().to_owned(),
            ..Fit::default()
        };
        for item in items.iter().filter(|i| i.book == b && i.layout == l) {
            match item.kind {
                Kind::Entry if item.guesses.is_empty() => fit.clean += 1,
                Kind::Entry => fit.guessed += 1,
                Kind::Empty => fit.clean += 1,
                Kind::Doubt { .. } => fit.unreadable += 1,
                Kind::Header(_) => {}
            }
            if item.kind == Kind::Entry {
                fit.chosen = true;
                match item.check_ok() {
                    Some(true) => fit.checks_ok += 1,
                    Some(false) => fit.checks_wrong += 1,
                    None => {}
                }
                let code = item.fields.get("code").and_then(Value::as_str);
                if code.is_some_and(|c| book.knows(c, Some(layout.id())).is_some()) {
                    fit.known_codes += 1;
                }
            }
        }
        // Lines that another layout read better count as what this one would read.
        for scan in &m.scans {
            let rivals = scan
                .hits
                .iter()
                .flat_map(|h| std::iter::once(h).chain(&h.others));
            let other = rivals.filter(|h| h.plan == plan).count();
            if !fit.chosen {
                fit.clean += other;
            }
        }
        fits.push(fit);
    }
    crate::sorted::sort_by_key(&mut fits, |f| {
        std::cmp::Reverse((f.chosen, f.clean + f.guessed, f.checks_ok))
    });
    fits
}

fn layouts(reading: &Reading) -> Vec<String> {
    let mut out: Vec<String> = Vec::new();
    for e in &reading.entries {
        if !out.contains(&e.layout) {
            out.push(e.layout.clone());
        }
    }
    out
}

/// What must be said about clocks.
fn clock_notes(reading: &mut Reading) {
    for console in &reading.consoles {
        let clocks: Vec<&str> = console
            .entries
            .iter()
            .filter_map(|&e| reading.entries.get(e)?.fields.get("clock")?.as_str())
            .collect();
        let name = if reading.consoles.len() > 1 {
            format!("Console {}: ", console.number)
        } else {
            String::new()
        };
        let unset = clocks.iter().filter(|c| **c == "not set").count();
        if unset > 0 && unset == clocks.len() {
            reading.notes.push(format!(
                "{name}the clock was never set; times are seconds since the start."
            ));
        } else if unset > 0 {
            reading.notes.push(format!(
                "{name}the clock was not set for {unset} of {} entries; how much time lies between is not known.",
                clocks.len()
            ));
        }
        if console.order_from.is_empty() && console.entries.len() > 1 {
            reading.notes.push(format!(
                "{name}nothing tells which entry is the oldest; they stand as listed."
            ));
        }
    }
}
