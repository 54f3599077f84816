//! Separated values: one character between cells, quotes where a cell holds
//! that character or a line break.

use crate::grid::{Grid, RawRow};
use crate::lines::Line;
use crate::sheet::Form;
use crate::tidy::{Markup, tidy};

/// A quoted cell may go over so many lines; then the quote is taken as text.
const MAX_LINES: usize = 100;

/// One record: its cells, and the number of lines that it takes.
pub(crate) struct Record {
    pub cells: Vec<String>,
    pub lines: usize,
}

/// Reads one record from the first of these lines.
pub(crate) fn record(lines: &[Line], sep: char) -> Record {
    let mut reader = Reader {
        cells: Vec::new(),
        cell: String::new(),
    };
    match quoted(&mut reader, lines, sep) {
        Some(lines) => Record {
            cells: reader.cells,
            lines,
        },
        // A quote was never closed: then quotes mean nothing here.
        None => Record {
            cells: lines.first().map_or_else(Vec::new, |line| {
                line.text.split(sep).map(str::to_owned).collect()
            }),
            lines: 1,
        },
    }
}

struct Reader {
    cells: Vec<String>,
    cell: String,
}

impl Reader {
    fn end(&mut self) {
        self.cells.push(std::mem::take(&mut self.cell));
    }
}

/// The number of lines read, or nothing when a quote stays open.
fn quoted(out: &mut Reader, lines: &[Line], sep: char) -> Option<usize> {
    let mut open = false;
    for (n, line) in lines.iter().take(MAX_LINES).enumerate() {
        let mut chars = line.text.chars().peekable();
        while let Some(c) = chars.next() {
            if open {
                if c != '"' {
                    out.cell.push(c);
                } else if chars.peek() == Some(&'"') {
                    out.cell.push('"');
                    chars.next();
                } else {
                    open = false;
                }
            } else if c == sep {
                out.end();
            } else if c == '"' && out.cell.trim().is_empty() {
                out.cell.clear();
                open = true;
            } else {
                out.cell.push(c);
            }
        }
        if !open {
            out.end();
            return Some(n + 1);
        }
        out.cell.push('\n');
    }
    None
}

/// How many cells most lines have with this separator, and how many lines have
/// so many. Only lines with at least two cells count.
pub(crate) fn usual(lines: &[Line], sep: char) -> (usize, usize) {
    let mut counts = [0_usize; crate::MAX_COLUMNS + 1];
    let mut at = 0;
    while at < lines.len() {
        let rest = lines.get(at..).unwrap_or(&[]);
        let one = record(rest, sep);
        let n = one.cells.len();
        if n >= 2
            && let Some(count) = counts.get_mut(n.min(crate::MAX_COLUMNS))
        {
            *count += one.lines;
        }
        at += one.lines;
    }
    let mut best = (0, 0);
    for (n, &count) in counts.iter().enumerate() {
        if count > best.1 {
            best = (n, count);
        }
    }
    best
}

/// The first `block` lines, or more when a quoted cell goes on, as a table of so
/// many columns. Lines of one cell are given back by their place; so is the
/// number of lines read.
pub(crate) fn read(
    lines: &[Line],
    block: usize,
    sep: char,
    width: usize,
) -> (Grid, Vec<usize>, usize) {
    let mut grid = Grid::new(Form::Separated(sep));
    let mut loose = Vec::new();
    let mut at = 0;
    while let Some(first) = lines.get(at).filter(|_| at < block) {
        let rest = lines.get(at..).unwrap_or(&[]);
        let mut one = record(rest, sep);
        let last = rest
            .get(one.lines.saturating_sub(1))
            .map_or(first.no, |l| l.no);
        if one.cells.len() < 2 {
            loose.extend(at..at + one.lines);
        } else {
            // A separator inside an unquoted last cell.
            if one.cells.len() > width && sep != '\t' && width >= 2 {
                let more = one.cells.split_off(width - 1);
                one.cells.push(more.join(&sep.to_string()));
            }
            let mut row = RawRow::new(first.no, last);
            for cell in &one.cells {
                row.push(tidy(cell, Markup::None), false);
            }
            grid.rows.push(row);
        }
        at += one.lines;
    }
    (grid, loose, at)
}
