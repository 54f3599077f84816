//! What recognition hands on: one item for each entry, unused slot, header or
//! doubtful stretch, whatever kind of layout it came from.

use serde_json::{Map, Value};
use std::collections::BTreeMap;

use crate::result::{Change, ChangeKind, Guess, Span};
use crate::view::{OTHER_LETTER, OTHER_SIGN, View};

/// What an item is.
#[derive(Clone, Debug, PartialEq)]
pub(crate) enum Kind {
    /// An entry.
    Entry,
    /// An unused slot.
    Empty,
    /// A line around entries; the flag says that a new dump begins.
    Header(bool),
    /// Can't be read for sure.
    Doubt {
        /// Why.
        why: String,
        /// What the field may read.
        choices: Vec<String>,
        /// The text for each choice, where it is not the choice itself.
        puts: Vec<String>,
        /// The field.
        field: String,
        /// Its characters.
        doubt: Option<(usize, usize)>,
    },
}

/// Something recognised in the paste. Ranges are text offsets.
#[derive(Clone, Debug)]
pub(crate) struct Item {
    /// What it is.
    pub kind: Kind,
    /// The book, by number.
    pub book: usize,
    /// The layout, by number in that book.
    pub layout: usize,
    /// Physical lines it touches, the first first (from 0).
    pub lines: Vec<usize>,
    /// Where it is.
    pub range: (usize, usize),
    /// The values.
    pub fields: Map<String, Value>,
    /// Where each field is.
    pub field_spans: BTreeMap<String, Span>,
    /// The guesses.
    pub guesses: Vec<Guess>,
    /// The text after all changes.
    pub clean: String,
    /// The changes.
    pub changes: Vec<Change>,
    /// Whether all fields are there.
    pub complete: bool,
    /// The dump it is in, when that is known from its bytes.
    pub block: Option<usize>,
}

impl Item {
    /// Whether the check field agrees, if there is one.
    pub fn check_ok(&self) -> Option<bool> {
        self.fields.get("check_ok").and_then(Value::as_bool)
    }
}

/// A replacement in a view: cells `from..to` read `text`.
#[derive(Clone, Debug)]
pub(crate) struct Replace {
    /// First cell.
    pub from: usize,
    /// Cell behind the last.
    pub to: usize,
    /// The new text.
    pub text: String,
    /// Guess, or zeros put back.
    pub kind: ChangeKind,
}

/// Writes out cells `from..to` of a view: the clean text and all that differs
/// from the pasted text. Cells in `upper` are shown in upper case.
pub(crate) fn clean(
    text: &str,
    view: &View,
    (from, to): (usize, usize),
    replaces: &[Replace],
    upper: &[(usize, usize)],
) -> (String, Vec<Change>) {
    let mut out = String::new();
    let mut changes: Vec<Change> = Vec::new();
    let source = |a: usize, b: usize| text.get(a..b).unwrap_or("");
    let mut i = from;
    let mut last_end: Option<usize> = None;
    while i < to {
        let (at, end) = view.range(i, i + 1);
        if let Some(before) = last_end.filter(|&b| b < at) {
            let gone = source(before, at);
            note(&mut changes, (before, at), gone, "", kind_of_gone(gone));
        }
        if let Some(r) = replaces.iter().find(|r| r.from == i && r.to > i) {
            let (a, b) = view.range(r.from, r.to);
            let was = source(a, b);
            if was != r.text {
                note(&mut changes, (a, b), was, &r.text, r.kind);
            }
            out.push_str(&r.text);
            last_end = Some(b);
            i = r.to;
            continue;
        }
        let byte = view.byte(i);
        let was = source(at, end);
        if matches!(byte, OTHER_LETTER | OTHER_SIGN) {
            out.push_str(was);
        } else {
            let raise = upper.iter().any(|u| u.0 <= i && i < u.1);
            let now = if raise {
                byte.to_ascii_uppercase()
            } else {
                byte
            };
            let now = if now == b'\n' { ' ' } else { now as char };
            let mut buffer = [0; 4];
            let now_text: &str = now.encode_utf8(&mut buffer);
            if now_text != was {
                note(
                    &mut changes,
                    (at, end),
                    was,
                    now_text,
                    kind_of_change(was, now),
                );
            }
            out.push(now);
        }
        last_end = Some(end);
        i += 1;
    }
    (out, changes)
}

/// Records a change, joined to the one before when both are of one kind.
fn note(changes: &mut Vec<Change>, (a, b): (usize, usize), from: &str, to: &str, kind: ChangeKind) {
    if let Some(last) = changes.last_mut()
        && last.kind == kind
        && last.span.1 == a
        && !matches!(kind, ChangeKind::Guess | ChangeKind::Zeros)
    {
        last.span.1 = b;
        last.from.push_str(from);
        last.to.push_str(to);
        return;
    }
    changes.push(Change {
        span: Span(a, b),
        from: from.to_owned(),
        to: to.to_owned(),
        kind,
    });
}

fn kind_of_gone(text: &str) -> ChangeKind {
    if text.contains(['\n', '\r', '\u{2028}', '\u{2029}']) {
        ChangeKind::Join
    } else if text.chars().all(crate::fold::is_zero_width) {
        ChangeKind::ZeroWidth
    } else {
        ChangeKind::Wrapper
    }
}

fn kind_of_change(was: &str, now: char) -> ChangeKind {
    let Some(c) = was.chars().next() else {
        return ChangeKind::Plain;
    };
    if was.contains(['\n', '\r', '\u{2028}', '\u{2029}']) {
        ChangeKind::Join
    } else if c.is_ascii() && c.eq_ignore_ascii_case(&now) {
        ChangeKind::Case
    } else if was.len() > c.len_utf8() || c == '<' || c == '[' {
        ChangeKind::Wrapper
    } else if matches!(c, '\u{FF01}'..='\u{FF5E}') {
        ChangeKind::FullWidth
    } else if crate::fold::look_alike(c).is_some() {
        ChangeKind::LookAlike
    } else {
        ChangeKind::Plain
    }
}

/// An item that is nothing at all, for a line that can't be there.
pub(crate) fn nothing(line: usize) -> Item {
    Item {
        kind: Kind::Header(false),
        book: 0,
        layout: 0,
        lines: vec![line],
        range: (0, 0),
        fields: Map::new(),
        field_spans: BTreeMap::new(),
        guesses: Vec::new(),
        clean: String::new(),
        changes: Vec::new(),
        complete: true,
        block: None,
    }
}
