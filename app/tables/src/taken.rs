//! What was taken from tables: a piece of a book, and what became of each row.

use crate::plan::Plan;
use crate::sheet::{Left, Sheet};
use codebook::model::{Board, CodeMeaning, Rail, Step};

/// One sheet with its plan.
#[derive(Clone, Copy, Debug)]
pub struct Given<'a> {
    /// The table.
    pub sheet: &'a Sheet,
    /// What its columns are, as proposed or corrected.
    pub plan: &'a Plan,
    /// Where it comes from, such as "table pasted 2026-11-25".
    pub from: &'a str,
}

/// Rows for a book.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Piece {
    /// Codes, in the order of the tables.
    pub codes: Vec<CodeMeaning>,
    /// Steps.
    pub steps: Vec<Step>,
    /// Rails.
    pub rails: Vec<Rail>,
    /// Boards.
    pub boards: Vec<Board>,
}

/// The result of [`crate::take`].
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Taken {
    /// What goes into the book.
    pub piece: Piece,
    /// What became of each row, in order.
    pub rows: Vec<TakenRow>,
    /// Rows that gave nothing, with the sheet's number and the reason.
    pub left: Vec<(usize, Left)>,
    /// Rows that say different things of one code or name. All are in `piece`
    /// (codes), or the first one is (steps, rails, boards).
    pub conflicts: Vec<Conflict>,
}

/// A row that was taken.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct TakenRow {
    /// Number of the given sheet, from 0.
    pub sheet: usize,
    /// Number of the row in the sheet's `rows`, from 0.
    pub row: usize,
    /// The row's first line, from 1.
    pub line: usize,
    /// The codes, or the id, that it became.
    pub became: Vec<String>,
    /// What was done or doubted on the way, in words.
    pub notes: Vec<String>,
}

/// Rows that do not agree.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Conflict {
    /// The code, or the id.
    pub code: String,
    /// The rows: sheet and line.
    pub places: Vec<(usize, usize)>,
    /// What differs, in words.
    pub differs: Vec<String>,
}
