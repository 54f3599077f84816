//! From a table that someone has to rows of a code book, and back.
//!
//! ```text
//! text ──sheets──▶ Sheet ──propose──▶ Plan (a person corrects it) ──take──▶ Piece
//! cells ─from_cells─┘                       book ──write──▶ the same tables as text
//! ```
//!
//! Tables come in every form: cells of a web page, wiki mark-up, Markdown,
//! separated values, aligned columns, lists with dashes, sentences. Nothing here
//! fails: any text gives sheets, and each line of it is in a sheet or listed as
//! left out with the reason. Whatever is proposed says why.

mod bbcode;
mod blocks;
mod cells;
mod codes;
mod columns;
mod footnotes;
mod grid;
mod lines;
mod list;
mod merge;
mod missing;
mod pipes;
mod plan;
mod propose;
mod range;
mod seek;
mod separated;
mod settle;
mod shape;
mod sheet;
mod style;
mod take;
mod taken;
mod texts;
mod tidy;
mod wiki;
mod words;
mod write;

pub use blocks::sheets;
pub use cells::from_cells;
pub use plan::{Column, Plan, Role, What};
pub use propose::{propose, propose_after};
pub use sheet::{Cell, Footnote, Form, Kind, Left, RawCell, Row, Sheet, Spread};
pub use take::take;
pub use taken::{Conflict, Given, Piece, Taken, TakenRow};
pub use write::write;

/// Most bytes of a text that are read; 2 MiB.
pub const MAX_TEXT: usize = 2 << 20;
/// Most rows of all sheets of one text.
pub const MAX_ROWS: usize = 20_000;
/// Most columns of a sheet.
pub const MAX_COLUMNS: usize = 64;
/// Most characters of a cell.
pub const MAX_CELL: usize = 4_000;
/// Most codes that one range may stand for.
pub const MAX_RANGE: u64 = 4_096;
