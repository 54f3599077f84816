//! Tables of a web page: the browser reads the HTML and hands over its cells.

use crate::blocks::{Collected, walk};
use crate::grid::{Grid, RawRow, RawText};
use crate::lines::Line;
use crate::sheet::{Form, Kind, Left, RawCell, Sheet};
use crate::tidy::spaces;
use crate::{MAX_COLUMNS, MAX_TEXT};

/// Tables from cells in document order, merged cells laid out. Texts around the
/// tables give titles, footnotes and lists.
///
/// A row's `line` is its number in the table; texts around tables have the
/// number that the caller gave them.
#[must_use]
pub fn from_cells(cells: &[RawCell]) -> Vec<Sheet> {
    let mut out = Collected::default();
    let mut rest = cells;
    let mut room = MAX_TEXT;
    while let Some(first) = rest.first() {
        let around = first.kind == Kind::Around;
        let same =
            |c: &&RawCell| (c.kind == Kind::Around) == around && (around || c.table == first.table);
        let (these, after) = rest.split_at(rest.iter().take_while(same).count());
        rest = after;
        let bytes: usize = these.iter().map(|c| c.text.len()).sum();
        if bytes > room {
            out.loose(Left {
                line: first.row as usize,
                last: these.last().map_or(first.row, |c| c.row) as usize,
                text: first.text.chars().take(200).collect(),
                why: "more than 2 MiB of text; this was not read".to_owned(),
            });
            continue;
        }
        room -= bytes;
        if around {
            let mut lines = Vec::new();
            let mut no = 0;
            for one in these {
                // Numbers that fall would make no sense of "from" and "to".
                no = no.max(one.row as usize);
                for text in one.text.split('\n') {
                    lines.push(Line { no, text });
                }
            }
            walk(&lines, &mut out);
        } else {
            out.table(table(these));
        }
    }
    out.sheets()
}

fn table(cells: &[RawCell]) -> Grid {
    let mut grid = Grid::new(Form::Html);
    for cell in cells {
        if cell.kind == Kind::Caption {
            let text = spaces(&cell.text).replace('\n', " ");
            if text.is_empty() {
            } else if grid.title.is_empty() {
                grid.title = text;
                grid.title_line = cell.row as usize;
            } else {
                grid.left.push(Left {
                    line: cell.row as usize,
                    last: cell.row as usize,
                    text,
                    why: "a second caption".to_owned(),
                });
            }
            continue;
        }
        let line = cell.row as usize;
        if grid.rows.last().is_none_or(|row| row.line != line) {
            grid.rows.push(RawRow::new(line, line));
        }
        if let Some(row) = grid.rows.last_mut() {
            row.cells.push(RawText {
                text: spaces(&cell.text),
                marks: cell
                    .mark
                    .split('\n')
                    .map(|m| m.trim().to_owned())
                    .filter(|m| !m.is_empty())
                    .collect(),
                heading: cell.kind == Kind::Heading,
                across: (cell.across as usize).clamp(1, MAX_COLUMNS),
                down: match cell.down {
                    0 => usize::MAX,
                    n => n as usize,
                },
            });
        }
    }
    grid
}
