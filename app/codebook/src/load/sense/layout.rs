//! Checks layouts: lines, byte records and what stands around them.

use super::field::{self, Stands};
use super::names::{filled, ids};
use super::{few, order, sum};
use crate::model::{ByteLayout, Encoding, Field, Header, Layout, Part, TextLayout};
use crate::problem::{Findings, key, place, short};
use std::collections::{BTreeMap, BTreeSet};

/// Most parts of one line, those inside `optional` counted.
pub const MAX_PARTS: usize = 64;
/// Most optional groups of one line: each doubles the ways to read it.
pub const MAX_OPTIONAL: usize = 3;

/// Most headers of a layout, and most ways to write an unused slot.
pub const MAX_LINES: usize = 16;
/// Most fields that are put together from others, and most parts of one.
pub const MAX_DERIVED: usize = 16;
/// Most fields of a record.
pub const MAX_FIELDS: usize = 100;
/// Most characters in the names of all flags of a layout. An entry holds the
/// names of those that are set.
pub const MAX_FLAG_NAMES: usize = 4_000;
/// Longest fixed text of a line.
pub const MAX_LITERAL: usize = 200;
/// Most bytes that the check fields of all byte layouts cover together. A dump
/// is cut at every place for each of them.
pub const MAX_COVERED: u64 = 1_024;

/// Lists what is too much in all layouts together.
pub(super) fn all(layouts: &[Layout], found: &mut Findings) {
    let covered = layouts.iter().filter_map(|l| l.check()?.over.bytes);
    let covered: u64 = covered.map(|[_, count]| u64::from(count)).sum();
    if covered > MAX_COVERED {
        found.problem(
            "layouts",
            format!(
                "have check fields over {covered} bytes in all; at most {MAX_COVERED} are allowed"
            ),
            "split the book in two",
        );
    }
}

/// Lists what is wrong with a layout.
pub(super) fn check(layout: &Layout, path: &str, found: &mut Findings) {
    filled(
        &key(path, "name"),
        layout.name(),
        "what people call this kind of line",
        found,
    );
    let fields = match layout {
        Layout::Text(text) => check_text(text, path, found),
        Layout::Bytes(bytes) => check_bytes(bytes, path, found),
    };
    let flags = fields.iter().flat_map(|(_, f)| &f.flags);
    let names: usize = flags.map(|flag| flag.name.chars().count()).sum();
    if names > MAX_FLAG_NAMES {
        found.problem(
            path,
            format!("has flags with names of {names} characters in all; at most {MAX_FLAG_NAMES} are allowed"),
            "shorten them, or leave some out",
        );
    }
    derived(layout, path, found);
    let known = known(layout);
    if let Some(rule) = layout.check() {
        sum::check(rule, layout, &known, &key(path, "check"), found);
    }
    if let Some(rule) = layout.order() {
        order::check(rule, layout, &known, &key(path, "order"), found);
    }
    for (path, one) in fields {
        length_of(one, &known, &path, found);
    }
}

/// The fields of an entry, each with its path.
type Paths<'m> = Vec<(String, &'m Field)>;

/// The fields of an entry by name, derived ones too.
fn known(layout: &Layout) -> BTreeMap<&str, &Field> {
    layout
        .fields()
        .into_iter()
        .chain(layout.derived())
        .map(|f| (f.field.as_str(), f))
        .collect()
}

fn check_text<'m>(layout: &'m TextLayout, path: &str, found: &mut Findings) -> Paths<'m> {
    let fields = line(&layout.line, &key(path, "line"), true, found);
    let hint = "a few ways are enough";
    few(
        &key(path, "empty"),
        layout.empty.len(),
        MAX_LINES,
        hint,
        found,
    );
    for (i, one) in layout.empty.iter().enumerate() {
        line(one, &place(&key(path, "empty"), i), false, found);
    }
    headers(&layout.headers, path, found);
    fields
}

fn check_bytes<'m>(layout: &'m ByteLayout, path: &str, found: &mut Findings) -> Paths<'m> {
    if !(2..=256).contains(&layout.length) {
        found.problem(
            key(path, "length"),
            "must be 2 to 256",
            "number of bytes of one record",
        );
    }
    if layout.fields.is_empty() {
        found.problem(
            key(path, "fields"),
            "must not be empty",
            "at least the field `code`",
        );
    }
    let hint = "leave out what nobody reads";
    few(
        &key(path, "fields"),
        layout.fields.len(),
        MAX_FIELDS,
        hint,
        found,
    );
    let fields = record(&layout.fields, layout.length, &key(path, "fields"), found);
    if let Some(byte) = &layout.empty_byte
        && (byte.len() != 2 || !byte.bytes().all(|b| b.is_ascii_hexdigit()))
    {
        found.problem(
            key(path, "empty_byte"),
            "must be two hex digits",
            "such as `FF`",
        );
    }
    if let Some(header) = &layout.header {
        let path = key(path, "header");
        if !(1..=256).contains(&header.length) {
            found.problem(
                key(&path, "length"),
                "must be 1 to 256",
                "number of bytes in front of the first record",
            );
        }
        record(&header.fields, header.length, &key(&path, "fields"), found);
        if !header.fields.iter().any(|f| f.equals.is_some()) {
            found.note(
                key(&path, "fields"),
                "none has a fixed value, so the header can't be told from a record",
                "give one of them `equals`",
            );
        }
    }
    headers(&layout.headers, path, found);
    fields
}

fn record<'m>(fields: &'m [Field], length: u32, path: &str, found: &mut Findings) -> Paths<'m> {
    let mut seen = BTreeSet::new();
    let mut out = Vec::new();
    for (i, one) in fields.iter().enumerate() {
        let path = place(path, i);
        field::check(one, Stands::InBytes(length), &path, found);
        twice(one, &mut seen, &path, found);
        out.push((path, one));
    }
    out
}

fn headers(headers: &[Header], path: &str, found: &mut Findings) {
    let path = key(path, "headers");
    few(
        &path,
        headers.len(),
        MAX_LINES,
        "only lines that say something",
        found,
    );
    ids(
        &path,
        "id",
        headers.iter().map(|h| h.id.as_str()).collect(),
        true,
        found,
    );
    for (i, header) in headers.iter().enumerate() {
        line(&header.line, &key(&place(&path, i), "line"), false, found);
    }
}

/// What is counted while walking through a line.
#[derive(Default)]
struct Walk<'m> {
    parts: usize,
    optional: usize,
    fixed: bool,
    firm: bool,
    seen: BTreeSet<&'m str>,
    fields: Paths<'m>,
}

fn line<'m>(parts: &'m [Part], path: &str, is_entry: bool, found: &mut Findings) -> Paths<'m> {
    let mut walk = Walk::default();
    walk_parts(parts, path, true, &mut walk, found);
    if walk.parts > MAX_PARTS {
        found.problem(
            path,
            format!("has {} parts; at most {MAX_PARTS} are allowed", walk.parts),
            "join fixed texts",
        );
    }
    if walk.optional > MAX_OPTIONAL {
        found.problem(
            path,
            format!(
                "has {} optional groups; at most {MAX_OPTIONAL} are allowed",
                walk.optional
            ),
            "write a layout for each way of writing instead",
        );
    }
    if parts.is_empty() {
        found.problem(path, "must not be empty", "fixed texts and fields in turn");
    } else if is_entry && !walk.firm {
        found.problem(
            path,
            "has no field that must be there and has a form of its own",
            "at least one field outside `optional` that is not `text`",
        );
    } else if !is_entry && !walk.fixed {
        found.problem(
            path,
            "has no fixed words, so every line would fit",
            "add the words that always stand there",
        );
    }
    walk.fields
}

fn walk_parts<'m>(
    parts: &'m [Part],
    path: &str,
    outer: bool,
    walk: &mut Walk<'m>,
    found: &mut Findings,
) {
    for (i, part) in parts.iter().enumerate() {
        walk.parts += 1;
        let path = place(path, i);
        let next = parts.get(i + 1);
        match part {
            Part::Text(text) => {
                if text.is_empty() {
                    found.problem(
                        path,
                        "must not be empty",
                        "take it out, or write one space for any gap",
                    );
                } else if text.chars().count() > MAX_LITERAL {
                    found.problem(
                        path,
                        format!("is longer than {MAX_LITERAL} characters"),
                        "only what stands in every line",
                    );
                } else if text.chars().any(char::is_control) {
                    found.problem(
                        path,
                        "must not hold line ends, tabs or other control characters",
                        "one space stands for any gap",
                    );
                }
                walk.fixed |= outer && text.chars().any(char::is_alphanumeric);
            }
            Part::Optional { optional } => {
                walk.optional += 1;
                if !outer {
                    found.problem(
                        path.as_str(),
                        "stands inside another optional group",
                        "put it beside that group",
                    );
                }
                if optional.is_empty() {
                    found.problem(key(&path, "optional"), "must not be empty", "take it out");
                }
                walk_parts(optional, &key(&path, "optional"), false, walk, found);
            }
            Part::Field(one) => {
                field::check(
                    one,
                    Stands::InLine {
                        last: next.is_none(),
                    },
                    &path,
                    found,
                );
                twice(one, &mut walk.seen, &path, found);
                walk.firm |= outer && one.encoding != Encoding::Text;
                walk.fixed |= outer && one.equals.is_some();
                if one.encoding == Encoding::Text && matches!(next, Some(Part::Field(_))) {
                    found.problem(
                        path.as_str(),
                        "is free text with a field right behind it, so nobody can tell where it ends",
                        "put the fixed text between the two",
                    );
                }
                walk.fields.push((path, one));
            }
        }
    }
}

fn twice<'m>(one: &'m Field, seen: &mut BTreeSet<&'m str>, path: &str, found: &mut Findings) {
    if !seen.insert(&one.field) {
        found.problem(
            key(path, "field"),
            format!("`{}` is there twice", short(&one.field)),
            "give it another name",
        );
    }
}

fn derived(layout: &Layout, path: &str, found: &mut Findings) {
    let mut seen: BTreeSet<&str> = layout
        .fields()
        .into_iter()
        .map(|f| f.field.as_str())
        .collect();
    let hint = "only what is looked up or read";
    few(
        &key(path, "derived"),
        layout.derived().len(),
        MAX_DERIVED,
        hint,
        found,
    );
    for (i, one) in layout.derived().iter().enumerate() {
        let path = place(&key(path, "derived"), i);
        few(
            &key(&path, "join"),
            one.join.len(),
            MAX_DERIVED,
            hint,
            found,
        );
        field::name(one, &path, found);
        if one.join.is_empty() {
            found.problem(
                key(&path, "join"),
                "is missing",
                "the fields and fixed texts it is put together from",
            );
        }
        for (j, part) in one.join.iter().enumerate() {
            let path = place(&key(&path, "join"), j);
            match part {
                Part::Text(_) => {}
                Part::Field(f) => {
                    super::names::refer(&key(&path, "field"), &f.field, &seen, "the fields", found)
                }
                Part::Optional { .. } => {
                    found.problem(
                        path,
                        "can't be optional here",
                        "only fields and fixed texts",
                    );
                }
            }
        }
        twice(one, &mut seen, &path, found);
    }
    let empty_when = match layout {
        Layout::Text(t) => &t.empty_when,
        Layout::Bytes(b) => &b.empty_when,
    };
    let all: BTreeSet<&str> = seen;
    for (name, text) in empty_when {
        let path = key(&key(path, "empty_when"), name);
        super::names::refer(&path, name, &all, "the fields", found);
        filled(&path, text, "the value in an unused slot", found);
    }
}

fn length_of(one: &Field, known: &BTreeMap<&str, &Field>, path: &str, found: &mut Findings) {
    let Some(rule) = &one.length_of else { return };
    let path = key(&key(path, "length_of"), "fields");
    if rule.fields.is_empty() {
        found.problem(
            path.as_str(),
            "must not be empty",
            "the fields whose bytes are counted",
        );
    }
    let names: BTreeSet<&str> = known.keys().copied().collect();
    super::names::refer_all(&path, &rule.fields, &names, "the fields", found);
}
