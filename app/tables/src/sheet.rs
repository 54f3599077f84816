//! What a table is once its form is understood: rows of cells, and everything
//! around them. No line of the paste is lost: each is a row, part of the head,
//! a footnote, a mere drawing, or listed as left out with the reason.

/// How a table was written, or is to be written.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Form {
    /// Cells of an HTML table, laid out by the browser.
    Html,
    /// Lines with `|` between the cells, as Markdown has them, also boxes drawn
    /// with lines.
    Markdown,
    /// Between `{|` and `|}`.
    Wiki,
    /// `||a||b||`, or `^a^b^` for a head.
    Bars,
    /// `[table][tr][td]`.
    BbCode,
    /// One character between the cells, such as `,` or a tab, with quotes where
    /// needed.
    Separated(char),
    /// Aligned with spaces.
    Columns,
    /// "code: text", "code - text" and the like, one a line or within prose.
    List,
    /// No table was found; all lines are in [`Sheet::left`].
    Nothing,
}

/// One table.
#[derive(Clone, Debug, PartialEq)]
pub struct Sheet {
    /// How it was written.
    pub form: Form,
    /// A heading or caption above it, if any.
    pub title: String,
    /// The line of the title, from 1; 0 without one.
    pub title_line: usize,
    /// The word that stands before each item of a list, such as "code".
    pub lead: String,
    /// The head of each column; empty without a head.
    pub head: Vec<String>,
    /// The lines of the head.
    pub head_lines: Vec<usize>,
    /// Number of columns. All rows have as many cells.
    pub width: usize,
    /// The rows.
    pub rows: Vec<Row>,
    /// Notes under the table whose mark stands in a cell.
    pub footnotes: Vec<Footnote>,
    /// Lines that only draw the table, such as `|---|---|`.
    pub drawn: Vec<usize>,
    /// Everything else, with the reason.
    pub left: Vec<Left>,
}

/// One row.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Row {
    /// Its first line in the paste, from 1. For HTML the row of the table, from 1.
    pub line: usize,
    /// Its last line.
    pub last: usize,
    /// The cells.
    pub cells: Vec<Cell>,
}

/// One cell.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Cell {
    /// The text without mark-up, white space tidied; lines are kept apart.
    pub text: String,
    /// Marks that led to a footnote and were taken off the text.
    pub marks: Vec<String>,
    /// Whether the text stands here by itself.
    pub spread: Spread,
}

impl Cell {
    /// A cell with a text.
    pub(crate) fn of(text: &str) -> Self {
        Self {
            text: text.to_owned(),
            ..Self::default()
        }
    }
}

/// Where the text of a cell comes from.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Spread {
    /// From this cell.
    #[default]
    Own,
    /// From a cell above that reaches down over this place.
    Above,
    /// From a cell to the left that reaches over this place.
    Beside,
}

/// A note under the table.
#[derive(Clone, Debug, PartialEq)]
pub struct Footnote {
    /// The mark as cells carry it, without brackets: `1`, `*`, `†`.
    pub mark: String,
    /// What it says.
    pub text: String,
    /// Its line.
    pub line: usize,
    /// Its last line.
    pub last: usize,
}

/// Something that is not in the result.
#[derive(Clone, Debug, PartialEq)]
pub struct Left {
    /// Its first line (row, for HTML), from 1.
    pub line: usize,
    /// Its last line.
    pub last: usize,
    /// The text. Cut when many lines at once are left out.
    pub text: String,
    /// The reason, in words.
    pub why: String,
}

/// A cell of an HTML table, or a text around tables, as the browser has it. In
/// document order.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct RawCell {
    /// Number of the table, from 1. For [`Kind::Around`] the table that follows
    /// counts as not begun: the number of the last table that began, or 0.
    pub table: u32,
    /// Row within the table, from 1. For [`Kind::Around`] a number that grows.
    pub row: u32,
    /// The text, `\n` between lines.
    pub text: String,
    /// Footnote marks that stood raised in it (`<sup>`), in order, with `\n`
    /// between several. They are not in `text`.
    pub mark: String,
    /// What it is.
    pub kind: Kind,
    /// `colspan`; 0 counts as 1.
    pub across: u32,
    /// `rowspan`; 0 reaches to the end of the table.
    pub down: u32,
}

/// What a text of an HTML page is.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Kind {
    /// A cell (`td`).
    #[default]
    Cell,
    /// A heading cell (`th`).
    Heading,
    /// The table's `caption`.
    Caption,
    /// A paragraph, heading or list item outside tables.
    Around,
}
