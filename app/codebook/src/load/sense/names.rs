//! The names that a book gives to its things, and whether references meet one.

use crate::load::is_hidden;
use crate::model::CodeBook;
use crate::problem::{Findings, place, short};
use std::collections::BTreeSet;

/// All names that other places of the book may refer to.
pub(super) struct Names<'b> {
    pub layouts: BTreeSet<&'b str>,
    pub steps: BTreeSet<&'b str>,
    pub rails: BTreeSet<&'b str>,
    pub boards: BTreeSet<&'b str>,
    pub symptoms: BTreeSet<&'b str>,
    pub causes: BTreeSet<&'b str>,
    pub repairs: BTreeSet<&'b str>,
}

impl<'b> Names<'b> {
    /// Collects the names and lists those that are empty or there twice.
    pub fn of(book: &'b CodeBook, found: &mut Findings) -> Self {
        let checks: Vec<&str> = book.checks.iter().map(|x| x.id.as_str()).collect();
        let cautions: Vec<&str> = book.cautions.iter().map(|x| x.id.as_str()).collect();
        ids("checks", "id", checks, true, found);
        ids("cautions", "id", cautions, true, found);
        let layouts = book.layouts.iter().map(crate::model::Layout::id).collect();
        Self {
            layouts: ids("layouts", "id", layouts, true, found),
            steps: ids(
                "steps",
                "id",
                book.steps.iter().map(|x| x.id.as_str()).collect(),
                false,
                found,
            ),
            rails: ids(
                "rails",
                "id",
                book.rails.iter().map(|x| x.id.as_str()).collect(),
                false,
                found,
            ),
            boards: ids(
                "boards",
                "id",
                book.boards.iter().map(|x| x.id.as_str()).collect(),
                false,
                found,
            ),
            symptoms: ids(
                "symptoms",
                "id",
                book.symptoms.iter().map(|x| x.id.as_str()).collect(),
                true,
                found,
            ),
            causes: ids(
                "causes",
                "id",
                book.causes.iter().map(|x| x.id.as_str()).collect(),
                true,
                found,
            ),
            repairs: ids(
                "repairs",
                "id",
                book.repairs.iter().map(|x| x.id.as_str()).collect(),
                true,
                found,
            ),
        }
    }
}

/// The set of ids of a list; `strict` ones are slugs, others as the board or
/// the log has them.
pub(super) fn ids<'b>(
    list: &str,
    id_key: &str,
    ids: Vec<&'b str>,
    strict: bool,
    found: &mut Findings,
) -> BTreeSet<&'b str> {
    let mut seen = BTreeSet::new();
    for (i, id) in ids.into_iter().enumerate() {
        let path = format!("{}.{id_key}", place(list, i));
        if strict && !is_slug(id) {
            found.problem(
                path,
                format!("`{}` is no short name", short(id)),
                "lower-case letters, digits and single hyphens; it never changes",
            );
            seen.insert(id);
        } else if !strict && (id.trim().is_empty() || id.trim() != id) {
            found.problem(path, "must have text, without space at either end", "");
            seen.insert(id.trim());
        } else if !strict && id.chars().any(|c| c.is_control() || is_hidden(c)) {
            found.problem(path, "has characters that do not show", "type it anew");
            seen.insert(id);
        } else if !seen.insert(id) {
            found.problem(
                path,
                format!("`{}` is there twice", short(id)),
                "each of these names stands for one thing",
            );
        }
    }
    seen
}

/// Lower-case letters and digits in groups with single hyphens between.
pub(super) fn is_slug(text: &str) -> bool {
    text.len() <= 64
        && text.split('-').all(|group| {
            !group.is_empty()
                && group
                    .bytes()
                    .all(|b| b.is_ascii_lowercase() || b.is_ascii_digit())
        })
}

/// Lists a text that has nothing in it.
pub(super) fn filled(path: &str, text: &str, hint: &str, found: &mut Findings) {
    if text.trim().is_empty() {
        found.problem(path, "must not be empty", hint);
    }
}

/// Lists a reference to something that does not exist.
pub(super) fn refer(
    path: &str,
    name: &str,
    known: &BTreeSet<&str>,
    list: &str,
    found: &mut Findings,
) {
    if !known.contains(name) {
        let list = if list.contains(' ') {
            list.to_owned()
        } else {
            format!("`{list}`")
        };
        let message = format!("there is no `{}` in {list}", short(name));
        found.problem(path, message, &some_of(known, &list));
    }
}

/// The same for a list of references.
pub(super) fn refer_all(
    path: &str,
    names: &[String],
    known: &BTreeSet<&str>,
    list: &str,
    found: &mut Findings,
) {
    for (i, name) in names.iter().enumerate() {
        refer(&place(path, i), name, known, list, found);
    }
}

fn some_of(known: &BTreeSet<&str>, list: &str) -> String {
    if known.is_empty() {
        return format!("nothing is in {list}; add it there, or take the name out here");
    }
    let mut some: Vec<String> = known.iter().take(8).map(|k| short(k)).collect();
    if known.len() > 8 {
        some.push("…".to_owned());
    }
    format!("known: {}", some.join(", "))
}
