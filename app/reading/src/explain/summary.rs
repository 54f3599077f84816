//! The one line above everything else. It claims no more than the reading
//! holds.

use super::{CodeRow, Counts, StepRow};
use crate::result::Reading;

/// The summary line.
pub(super) fn line(
    reading: &Reading,
    counts: &Counts,
    codes: &[CodeRow],
    steps: &[StepRow],
    console: Option<usize>,
) -> String {
    if counts.entries == 0 {
        return nothing(reading, counts);
    }
    let entries = many(counts.entries, "entry", "entries");
    let several = console.is_none() && counts.consoles > 1;
    let mut parts = vec![if several {
        format!("{entries} of {} consoles", counts.consoles)
    } else {
        entries
    }];
    let mut add = |n: usize, one: &str, more: &str| {
        if n > 0 {
            parts.push(many(n, one, more));
        }
    };
    add(counts.guesses, "guess to confirm", "guesses to confirm");
    add(
        counts.confirmed,
        "guess confirmed by the check field",
        "guesses confirmed by the check field",
    );
    add(
        counts.check_wrong,
        "check field that does not fit",
        "check fields that do not fit",
    );
    add(counts.incomplete, "incomplete", "incomplete");
    add(
        counts.unreadable,
        "line that can't be read for sure",
        "lines that can't be read for sure",
    );
    if !several {
        parts.extend(stopped(counts.entries, steps).or_else(|| most_often(counts.entries, codes)));
    }
    parts.join(", ")
}

/// Where power-up stopped, as far as one can say.
fn stopped(entries: usize, steps: &[StepRow]) -> Option<String> {
    let total: usize = steps.iter().map(|s| s.stopped_here).sum();
    let most = steps
        .iter()
        .map(|s| s.stopped_here)
        .max()
        .filter(|n| *n > 0)?;
    let top: Vec<&str> = steps
        .iter()
        .filter(|s| s.stopped_here == most)
        .map(|s| s.id.as_str())
        .collect();
    Some(match top.as_slice() {
        [one] if entries == 1 => format!("at step {one}"),
        [one] if most == entries => format!("always stopped at step {one}"),
        [one] if most == total => format!("stopped at step {one} where a step is known"),
        [one] => format!("stopped most often at step {one}"),
        [a, b] if most == 1 => format!("stopped at steps {a} and {b}, once each"),
        [a, b] => format!("stopped most often at steps {a} and {b}"),
        more if most == 1 => format!("stopped at {} different steps, once each", more.len()),
        more => format!(
            "stopped most often at {} steps, {most} times each",
            more.len()
        ),
    })
}

/// Without steps, the commonest code.
fn most_often(entries: usize, codes: &[CodeRow]) -> Option<String> {
    let first = codes.first()?;
    let ties = codes.iter().filter(|c| c.count == first.count).count();
    Some(match ties {
        1 if entries == 1 => format!("code {}", first.code),
        1 if first.count == entries => format!("always code {}", first.code),
        1 => format!("most often code {}", first.code),
        _ => return None,
    })
}

/// What to say when there is no entry.
fn nothing(reading: &Reading, counts: &Counts) -> String {
    let lines = reading.line_spans.len();
    if let Some(shape) = &reading.unknown {
        let n = many(
            shape.lines.len(),
            "line looks like an entry",
            "lines look like entries",
        );
        return format!("no code book fits, but {n}");
    }
    if counts.unreadable > 0 {
        let n = many(
            counts.unreadable,
            "line looks like one",
            "lines look like one",
        );
        return format!("no entry can be read for sure, but {n}");
    }
    if counts.empty > 0 {
        return format!(
            "the log is empty: {}",
            many(counts.empty, "unused slot", "unused slots")
        );
    }
    if counts.mentions > 0 {
        let n = many(counts.mentions, "code", "codes");
        return format!("no log entries; the text only talks about {n}");
    }
    if lines == 0 || reading.line_classes.blank.len() == lines {
        return "nothing to read yet".to_owned();
    }
    format!("no log entries in {}", many(lines, "line", "lines"))
}

/// A number with its noun.
pub(crate) fn many(n: usize, one: &str, more: &str) -> String {
    format!("{n} {}", if n == 1 { one } else { more })
}

/// "All 6 entries were" or "2 of 6 entries were".
pub(super) fn of(n: usize, all: usize, one: &str, more: &str) -> String {
    match (n, all) {
        (1, 1) => format!("The only {one}"),
        (n, all) if n == all => format!("All {n} {more}"),
        (n, all) => format!("{n} of {all} {more}"),
    }
}
