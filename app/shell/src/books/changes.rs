//! What differs between two texts of a book, in words: for the editor, for
//! versions, and for a book that came from somebody else.

use crate::platform::dom::Dom;
use crate::platform::state::State;
use crate::widgets::bits::{line, show_all, tag};
use codebook::compare::{self, Change};
use serde_json::Value;
use std::rc::Rc;

/// Changes drawn at once.
const FIRST: usize = 30;

/// The changes from one text to another.
pub fn between(old: &Value, new: &Value) -> Rc<Vec<Change>> {
    let mut all = compare::compare(old, new);
    // The place in the list tells nobody anything, but for steps and boards.
    all.retain(|c| c.is_more_than_a_move() || matches!(c.section.as_str(), "steps" | "boards"));
    Rc::new(all)
}

/// What became of a row, in a word.
fn sort(change: &Change) -> &'static str {
    match (&change.before, &change.after) {
        (None, _) => "New",
        (_, None) => "Gone",
        _ if change.moved => "Moved",
        _ => "Changed",
    }
}

/// A change in a line, and what differs in it.
pub fn words(change: &Change) -> (String, Vec<String>) {
    let row = change.after.as_ref().or(change.before.as_ref());
    let name = match row {
        Some(row) if row.is_object() => super::edit::row_name(row),
        _ => change.key.clone(),
    };
    let part = super::edit::section_name(&change.section);
    let part = if part.is_empty() {
        String::new()
    } else {
        part.to_owned() + ": "
    };
    (
        sort(change).to_owned() + ": " + &part + &name,
        compare::words(change),
    )
}

/// The list.
pub fn view(list: &Rc<Vec<Change>>) -> Dom {
    let limit = State::new(FIRST);
    let list = list.clone();
    Dom::live(move || {
        let items = list.iter().take(limit.get()).map(|c| {
            let (head, pieces) = words(c);
            let pieces = pieces.iter().take(20);
            let pieces = pieces.map(|p| line("p", "small", p)).collect();
            tag("li", "record", vec![line("b", "", head), Dom::many(pieces)])
        });
        Dom::many(vec![
            tag("ul", "records", items.collect()),
            show_all(list.len(), limit),
        ])
    })
}

/// The version that a changed text should have, where it still has the one of
/// the text before: everyone who has the book sees from it that it changed.
pub fn raised(before: &Value, now: &Value) -> Option<String> {
    let version = before.get("version")?.as_str()?;
    let same = now.get("version")?.as_str()? == version && !version.is_empty();
    same.then(|| next_version(version))
}

/// A version that comes after this one: the last number in it goes up.
fn next_version(version: &str) -> String {
    let digits = version
        .chars()
        .rev()
        .take_while(char::is_ascii_digit)
        .count();
    let (head, last) = version.split_at(version.len() - digits);
    match last.parse::<u64>() {
        Ok(n) => head.to_owned() + &n.saturating_add(1).to_string(),
        Err(_) => version.to_owned() + ".1",
    }
}
