//! What a code means: exact rows, rows with `?`, rows for one layout only, and
//! other wording on some boards.

use crate::Book;
use crate::model::{CodeBook, CodeMeaning};
use std::collections::BTreeMap;

/// Most rows that are given for a code. More say nothing, and a reading holds
/// them for each of its codes.
const MOST_FOUND: usize = 40;

/// One row of the code table that fits a code.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Found {
    /// The row's code, with its `?` if any.
    pub pattern: String,
    /// A few words.
    pub title: String,
    /// What the controller noticed.
    pub meaning: String,
    /// What it does not prove; empty when the book does not say.
    pub not_proof: String,
    /// The step it belongs to, if the book says.
    pub step: Option<String>,
    /// Rails involved.
    pub rails: Vec<String>,
    /// Parts involved.
    pub parts: Vec<String>,
    /// Where the row comes from, if not from the book's own sources.
    pub source: String,
    /// Whether wording of the asked board is in it.
    pub from_board: bool,
    /// Number of `?` in the pattern; 0 is an exact row.
    pub wildcards: usize,
}

/// What some characters of a code say by themselves.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct PartFound {
    /// What the characters name, such as "subsystem".
    pub name: String,
    /// The characters.
    pub chars: String,
    /// What they mean.
    pub means: String,
}

/// Rows of the code table by what they can fit.
#[derive(Clone, Debug, Default, PartialEq)]
pub(crate) struct Index {
    /// Rows without `?`, by code.
    exact: BTreeMap<String, Vec<usize>>,
    /// Rows with `?`, by number of characters.
    wild: BTreeMap<usize, Vec<usize>>,
}

impl Index {
    pub(crate) fn new(model: &CodeBook) -> Self {
        let mut index = Self::default();
        for (row, code) in model.codes.iter().enumerate() {
            if code.code.contains('?') {
                index
                    .wild
                    .entry(code.code.chars().count())
                    .or_default()
                    .push(row);
            } else {
                index.exact.entry(code.code.clone()).or_default().push(row);
            }
        }
        index
    }
}

impl Book {
    /// The rows that fit the code: fewest `?` first, then rows for the asked
    /// layout before rows for all, then in the order of the table. After the
    /// fortieth the rest is left out.
    ///
    /// Without a layout (a code in prose) rows of all layouts fit. Wording of
    /// the board replaces the general wording piece by piece.
    #[must_use]
    pub fn lookup(&self, code: &str, layout: Option<&str>, board: Option<&str>) -> Vec<Found> {
        self.rows(&code.to_ascii_uppercase(), layout)
            .into_iter()
            .take(MOST_FOUND)
            .map(|row| found(row, board))
            .collect()
    }

    /// A row of the code table by its place from 0, with the wording of the
    /// board, if it has one. `None` when there are not so many.
    #[must_use]
    pub fn row(&self, row: usize, board: Option<&str>) -> Option<Found> {
        Some(found(self.model.codes.get(row)?, board))
    }

    /// Whether any row fits the code, and with how few `?`.
    #[must_use]
    pub fn knows(&self, code: &str, layout: Option<&str>) -> Option<usize> {
        let upper;
        let code = if code.bytes().any(|b| b.is_ascii_lowercase()) {
            upper = code.to_ascii_uppercase();
            &upper
        } else {
            code
        };
        self.matching(code, layout).map(wildcards).min()
    }

    /// What parts of the code say by themselves. Parts that the code is too
    /// short for, and values that the book does not list, are left out.
    #[must_use]
    pub fn code_parts(&self, code: &str, layout: Option<&str>) -> Vec<PartFound> {
        let code = code.to_ascii_uppercase();
        let mut out = Vec::new();
        for part in &self.model.code_parts {
            if !for_layout(&part.layouts, layout) || part.from == 0 || part.to < part.from {
                continue;
            }
            let (skip, take) = (part.from as usize - 1, (part.to - part.from) as usize + 1);
            let chars: String = code.chars().skip(skip).take(take).collect();
            if chars.chars().count() < take {
                continue;
            }
            let fits = part.values.iter().filter(|v| matches(&v.is, &chars));
            if let Some(value) = fits.min_by_key(|v| v.is.matches('?').count()) {
                out.push(PartFound {
                    name: part.name.clone(),
                    chars,
                    means: value.means.clone(),
                });
            }
        }
        out
    }

    /// Exact codes of the book that differ from this one in a single character
    /// or in two swapped neighbours. For a code that the book does not know;
    /// never a reason to change what was read.
    #[must_use]
    pub fn near(&self, code: &str, layout: Option<&str>) -> Vec<String> {
        let code: Vec<char> = code.to_ascii_uppercase().chars().collect();
        let mut out: Vec<String> = Vec::new();
        for row in &self.model.codes {
            if for_layout(&row.layouts, layout)
                && !row.code.contains('?')
                && is_near(&code, &row.code)
                && !out.contains(&row.code)
            {
                out.push(row.code.clone());
            }
        }
        out
    }

    fn matching<'a>(
        &'a self,
        code: &'a str,
        layout: Option<&'a str>,
    ) -> impl Iterator<Item = &'a CodeMeaning> {
        let exact = self.index.exact.get(code);
        let wild = self.index.wild.get(&code.chars().count());
        let rows = exact.into_iter().chain(wild).flatten();
        rows.filter_map(|&row| self.model.codes.get(row))
            .filter(move |row| for_layout(&row.layouts, layout) && matches(&row.code, code))
    }

    fn rows<'a>(&'a self, code: &'a str, layout: Option<&'a str>) -> Vec<&'a CodeMeaning> {
        let mut rows: Vec<_> = self.matching(code, layout).collect();
        // A stable sort keeps the order of the table among equals.
        rows.sort_by_key(|row| (wildcards(row), row.layouts.is_empty()));
        rows
    }
}

fn found(row: &CodeMeaning, board: Option<&str>) -> Found {
    let mut found = Found {
        pattern: row.code.clone(),
        title: row.title.clone(),
        meaning: row.meaning.clone(),
        not_proof: row.not_proof.clone(),
        step: row.step.clone(),
        rails: row.rails.clone(),
        parts: row.parts.clone(),
        source: row.source.clone(),
        from_board: false,
        wildcards: wildcards(row),
    };
    if let Some(here) = board.and_then(|board| row.boards.get(board)) {
        found.from_board = true;
        replace(&mut found.title, &here.title);
        replace(&mut found.meaning, &here.meaning);
        replace(&mut found.not_proof, &here.not_proof);
        replace(&mut found.parts, &here.parts);
    }
    found
}

fn replace<T: Clone>(old: &mut T, new: &Option<T>) {
    if let Some(new) = new {
        old.clone_from(new);
    }
}

fn wildcards(row: &CodeMeaning) -> usize {
    row.code.bytes().filter(|&b| b == b'?').count()
}

fn for_layout(layouts: &[String], asked: Option<&str>) -> bool {
    layouts.is_empty() || asked.is_none_or(|asked| layouts.iter().any(|l| l == asked))
}

/// Whether a pattern, in which `?` is any one character, fits the whole text.
pub fn matches(pattern: &str, text: &str) -> bool {
    let mut chars = text.chars();
    pattern
        .chars()
        .all(|p| chars.next().is_some_and(|c| p == '?' || p == c))
        && chars.next().is_none()
}

fn is_near(code: &[char], other: &str) -> bool {
    // The first two places that differ. Nothing is copied: a large table is gone
    // through for each code that it does not know.
    let mut differ: [Option<(usize, char, char)>; 2] = [None, None];
    let mut theirs = other.chars();
    for (i, &a) in code.iter().enumerate() {
        let Some(b) = theirs.next() else {
            return false;
        };
        if a != b {
            match differ.iter_mut().find(|d| d.is_none()) {
                Some(place) => *place = Some((i, a, b)),
                None => return false,
            }
        }
    }
    if theirs.next().is_some() {
        return false;
    }
    match differ {
        [Some(_), None] => true,
        [Some((i, a, b)), Some((j, c, d))] => i + 1 == j && a == d && b == c,
        _ => false,
    }
}
