//! What every reading of every paste must keep to.

use std::collections::BTreeMap;

use reading::result::{Entry, Reading, Span};

/// Panics where the reading of a paste is not sound.
pub fn holds(paste: &[u8], reading: &Reading) {
    let text = std::str::from_utf8(paste).ok();
    let shown = || format!("{:?}\n{reading:#?}", String::from_utf8_lossy(paste));
    each_line_once(reading, &shown);
    spans(paste, text, reading, &shown);
    for entry in &reading.entries {
        assert!(
            reading.line_classes.entry.contains(&entry.line),
            "line {} is no entry line\n{}",
            entry.line,
            shown()
        );
        assert!(reading.layouts.contains(&entry.layout));
        assert_eq!(entry.guess, !entry.guesses.is_empty());
        if let Some(text) = text {
            assert_eq!(
                Some(entry.raw.as_str()),
                text.get(entry.span.0..entry.span.1),
                "raw\n{}",
                shown()
            );
            assert_eq!(applied(text, entry), entry.clean, "clean\n{}", shown());
        }
    }
    for u in &reading.unreadable {
        let c = &reading.line_classes;
        assert!(
            c.unreadable.contains(&u.line) || c.entry.contains(&u.line),
            "unreadable line {}\n{}",
            u.line,
            shown()
        );
        assert!(!u.why.is_empty());
    }
    for line in &reading.line_classes.unreadable {
        let at = reading.line_spans[line - 1];
        let listed = reading
            .unreadable
            .iter()
            .any(|u| u.span.0 <= at.1 && u.span.1 >= at.0);
        assert!(
            listed,
            "line {line} is unreadable and not listed\n{}",
            shown()
        );
    }
    orders(reading);
}

fn each_line_once(reading: &Reading, shown: &dyn Fn() -> String) {
    let c = &reading.line_classes;
    let mut all: Vec<usize> = [
        &c.entry,
        &c.continuation,
        &c.empty,
        &c.duplicate,
        &c.unreadable,
        &c.ignored,
        &c.blank,
    ]
    .into_iter()
    .flatten()
    .copied()
    .collect();
    all.sort_unstable();
    let want: Vec<usize> = (1..=reading.line_spans.len()).collect();
    assert_eq!(all, want, "each line is in one class\n{}", shown());
    let why: Vec<usize> = reading.ignored_why.keys().copied().collect();
    let mut ignored = c.ignored.clone();
    ignored.sort_unstable();
    // Behind the end of what is read one reason stands for all lines.
    if let Some((&last, _)) = reading
        .ignored_why
        .iter()
        .find(|w| w.1.starts_with("not read:"))
    {
        ignored.retain(|&n| n <= last);
    }
    assert_eq!(why, ignored, "each ignored line has a reason\n{}", shown());
}

fn spans(paste: &[u8], text: Option<&str>, reading: &Reading, shown: &dyn Fn() -> String) {
    let good = |s: &Span, what: &str| {
        assert!(
            s.0 <= s.1 && s.1 <= paste.len(),
            "{what} {s:?} of {}\n{}",
            paste.len(),
            shown()
        );
        if let Some(t) = text {
            assert!(
                t.is_char_boundary(s.0) && t.is_char_boundary(s.1),
                "{what} {s:?} cuts a character\n{}",
                shown()
            );
        }
    };
    let mut end = 0;
    for s in &reading.line_spans {
        good(s, "line");
        let between = &paste[end..s.0];
        assert!(
            between.len() <= 3,
            "{} bytes between two lines\n{}",
            between.len(),
            shown()
        );
        end = s.1;
    }
    for e in &reading.entries {
        good(&e.span, "entry");
        let inside = |s: &Span, what: &str| {
            good(s, what);
            assert!(
                s.0 >= e.span.0 && s.1 <= e.span.1,
                "{what} {s:?} outside {:?}\n{}",
                e.span,
                shown()
            );
        };
        e.field_spans.values().for_each(|s| inside(s, "field"));
        e.guesses.iter().for_each(|g| inside(&g.span, "guess"));
        e.changes.iter().for_each(|c| inside(&c.span, "change"));
    }
    for u in &reading.unreadable {
        good(&u.span, "unreadable");
        u.doubt.iter().for_each(|s| good(s, "doubt"));
    }
    reading
        .mentions
        .iter()
        .for_each(|m| good(&m.span, "mention"));
}

/// The pasted text of an entry with its recorded changes made.
fn applied(text: &str, entry: &Entry) -> String {
    let mut out = String::new();
    let mut at = entry.span.0;
    for c in &entry.changes {
        assert!(c.span.0 >= at, "changes overlap: {:#?}", entry.changes);
        assert_eq!(Some(c.from.as_str()), text.get(c.span.0..c.span.1));
        out.push_str(&text[at..c.span.0]);
        out.push_str(&c.to);
        at = c.span.1;
    }
    out.push_str(&text[at..entry.span.1]);
    out
}

/// Within each console the entries are numbered from 1 on.
fn orders(reading: &Reading) {
    let mut by_console: BTreeMap<usize, Vec<usize>> = BTreeMap::new();
    for e in &reading.entries {
        by_console.entry(e.console).or_default().push(e.order);
    }
    for (console, mut orders) in by_console {
        orders.sort_unstable();
        assert_eq!(
            orders,
            (1..=orders.len()).collect::<Vec<_>>(),
            "orders of console {console}"
        );
    }
}
