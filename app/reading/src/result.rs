//! What comes out of reading: the [`Reading`] and its parts.
//!
//! The JSON of these types is a promise to others (see `READING.md`): keys may
//! be added, none changes its meaning.

use serde::Serialize;
use serde_json::{Map, Value};
use std::collections::BTreeMap;

/// A stretch of the pasted text: first byte and the byte behind the last.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Serialize)]
pub struct Span(pub usize, pub usize);

/// What a pasted text was decoded to.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct Reading {
    /// Ids of the layouts that read at least one entry.
    pub layouts: Vec<String>,
    /// Which way the paste lists its entries.
    pub listing: ListingFound,
    /// The entries, in the order of the paste.
    pub entries: Vec<Entry>,
    /// Every physical line, once, by its class.
    pub line_classes: LineClasses,
    /// Lines, or stretches of them, that look like entries but can't be read
    /// for sure.
    pub unreadable: Vec<Unreadable>,
    /// Why each ignored line was ignored, by line number.
    pub ignored_why: BTreeMap<usize, String>,
    /// Codes that the text talks about without being log entries.
    pub mentions: Vec<Mention>,
    /// What else a person should know about this reading.
    pub notes: Vec<String>,
    /// Where each physical line is in the pasted text.
    pub line_spans: Vec<Span>,
    /// How well each layout fits, best first.
    pub fits: Vec<Fit>,
    /// The consoles told apart.
    pub consoles: Vec<Console>,
    /// What a paste that no book fits seems to be made of.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub unknown: Option<UnknownShape>,
}

/// Which way a paste lists its entries.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum ListingFound {
    /// The first entry of the paste is the oldest.
    OldestFirst,
    /// The first entry of the paste is the newest.
    NewestFirst,
    /// Nothing in the paste tells.
    #[default]
    Unknown,
}

/// One entry of a fault log.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct Entry {
    /// The line it begins on, counted from 1.
    pub line: usize,
    /// The text it was read from, untouched.
    pub raw: String,
    /// `raw` after the recorded `changes`, and nothing else.
    pub clean: String,
    /// The layout that read it.
    pub layout: String,
    /// The book the layout is from.
    pub book: String,
    /// Which console of the paste, counted from 1.
    pub console: usize,
    /// The values by field name, `null` where a value is missing.
    pub fields: Map<String, Value>,
    /// Place in time within its console, 1 is the oldest.
    pub order: usize,
    /// Whether anything in it is a guess.
    pub guess: bool,
    /// The guesses.
    pub guesses: Vec<Guess>,
    /// Whether all fields are there.
    pub complete: bool,
    /// Where it is in the pasted text.
    pub span: Span,
    /// Where each field is in the pasted text.
    pub field_spans: BTreeMap<String, Span>,
    /// All that differs between `raw` and `clean`, in order.
    pub changes: Vec<Change>,
}

/// A proposed repair of one or more characters.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct Guess {
    /// The field it is in; empty for the fixed words of the layout.
    pub field: String,
    /// As written.
    pub from: String,
    /// As read.
    pub to: String,
    /// Why.
    pub why: String,
    /// `check` when the check field agrees.
    pub confirmed_by: Option<String>,
    /// What else the written characters may be, likeliest first.
    pub others: Vec<String>,
    /// For each of `others` the text that would stand at `span` then (a dump
    /// keeps its spaces and its order of bytes).
    pub puts: Vec<String>,
    /// Where the written characters are.
    pub span: Span,
}

/// One recorded difference between what was pasted and what was read.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Change {
    /// The pasted characters.
    pub span: Span,
    /// As pasted.
    pub from: String,
    /// As read.
    pub to: String,
    /// What kind of change.
    pub kind: ChangeKind,
}

/// The kinds of change.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum ChangeKind {
    /// Upper case for lower case.
    Case,
    /// A full-width or other compatible form made plain.
    FullWidth,
    /// A letter of another script that looks the same.
    LookAlike,
    /// A character without width taken out.
    ZeroWidth,
    /// White space, a quote mark or a dash of another kind made plain.
    Plain,
    /// Mark-up, a quote mark, a stamp or a prompt inside the entry taken out.
    Wrapper,
    /// A line break inside the entry taken out.
    Join,
    /// Leading zeros that the whole paste leaves out put back.
    Zeros,
    /// A guess.
    Guess,
}

/// Physical lines by class. Each line is in exactly one list.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize)]
pub struct LineClasses {
    /// An entry begins here.
    pub entry: Vec<usize>,
    /// Goes on with the entry above.
    pub continuation: Vec<usize>,
    /// An unused slot.
    pub empty: Vec<usize>,
    /// The same record again.
    pub duplicate: Vec<usize>,
    /// Looks like an entry and can't be read for sure.
    pub unreadable: Vec<usize>,
    /// Not part of a log; `ignored_why` says why.
    pub ignored: Vec<usize>,
    /// Nothing but white space.
    pub blank: Vec<usize>,
}

/// A stretch that looks like an entry and can't be read for sure.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct Unreadable {
    /// The line it begins on.
    pub line: usize,
    /// The text, untouched.
    pub raw: String,
    /// Why it was not read.
    pub why: String,
    /// What the doubtful stretch may be, if that can be told: each choice is
    /// what `field` would read.
    pub choices: Vec<String>,
    /// For each choice the text that would stand at `doubt` then.
    pub puts: Vec<String>,
    /// The field in doubt.
    #[serde(skip_serializing_if = "String::is_empty")]
    pub field: String,
    /// Where the entry would be.
    pub span: Span,
    /// The characters in doubt: replacing them by a choice makes the line
    /// readable.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub doubt: Option<Span>,
    /// The layout it looks like.
    #[serde(skip_serializing_if = "String::is_empty")]
    pub layout: String,
}

/// A code that the text talks about.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize)]
pub struct Mention {
    /// The line.
    pub line: usize,
    /// The code, upper case.
    pub code: String,
    /// Where.
    pub span: Span,
}

/// How well one layout fits the paste.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct Fit {
    /// The book.
    pub book: String,
    /// The layout.
    pub layout: String,
    /// Entries and unused slots it reads without any guess.
    pub clean: usize,
    /// Entries it reads only with guesses.
    pub guessed: usize,
    /// Lines it recognises but can't read.
    pub unreadable: usize,
    /// Records whose check field agrees.
    pub checks_ok: usize,
    /// Records whose check field does not agree.
    pub checks_wrong: usize,
    /// Entries whose code the book knows.
    pub known_codes: usize,
    /// Whether it was used.
    pub chosen: bool,
}

/// One console of the paste.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize)]
pub struct Console {
    /// Its number, from 1.
    pub number: usize,
    /// What the paste calls it, if it does.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub name: Option<String>,
    /// The book that reads it.
    pub book: String,
    /// Its entries, as places in `entries`, oldest first.
    pub entries: Vec<usize>,
    /// Whether that order is known, and from what.
    pub order_from: String,
    /// Unused slots seen.
    pub empty_slots: usize,
}

/// What a paste that no book fits seems to be made of.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize)]
pub struct UnknownShape {
    /// Lines that share the commonest pattern of hex words.
    pub lines: Vec<usize>,
    /// The words of those lines, column by column.
    pub columns: Vec<UnknownColumn>,
}

/// One column of hex words.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize)]
pub struct UnknownColumn {
    /// Number of characters of its words.
    pub width: usize,
    /// Distinct words with how often each is there, commonest first.
    pub words: Vec<(String, usize)>,
}
