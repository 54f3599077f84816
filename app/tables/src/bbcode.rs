//! Tables of forums: `[table][tr][td]`.

use crate::grid::{Grid, RawRow, RawText};
use crate::lines::Line;
use crate::sheet::{Form, Left};
use crate::tidy::{Markup, tidy};
use crate::wiki::number;

/// Reads a table that begins in the first of these lines, and tells how many
/// lines it took.
pub(crate) fn read(lines: &[Line]) -> Option<(Grid, usize)> {
    find(lines.first()?.text, "[table")?;
    let mut table = Table {
        grid: Grid::new(Form::BbCode),
        row: RawRow::default(),
        cell: None,
        outside: String::new(),
    };
    let mut taken = 0;
    for line in lines {
        taken += 1;
        if table.line(line) {
            break;
        }
    }
    table.end_row();
    Some((table.grid, taken))
}

fn find(text: &str, word: &str) -> Option<usize> {
    text.char_indices().map(|(at, _)| at).find(|&at| {
        text.get(at..at + word.len())
            .is_some_and(|t| t.eq_ignore_ascii_case(word))
    })
}

struct Table {
    grid: Grid,
    row: RawRow,
    cell: Option<RawText>,
    outside: String,
}

impl Table {
    /// Reads a line; whether the table ends in it.
    fn line(&mut self, line: &Line) -> bool {
        let mut rest = line.text;
        let mut ended = false;
        while let Some(at) = rest.find('[') {
            self.text(rest.get(..at).unwrap_or(""));
            rest = rest.get(at..).unwrap_or("");
            let end = rest.find(']').filter(|&end| end < 80);
            let body = end.and_then(|end| rest.get(1..end)).unwrap_or("");
            let name: String = body
                .chars()
                .take_while(|c| c.is_ascii_alphanumeric() || *c == '/')
                .collect();
            let name = name.to_ascii_lowercase();
            match name.as_str() {
                "table" | "tbody" | "thead" | "/tbody" | "/thead" => {}
                "/table" => ended = true,
                "tr" | "/tr" => self.end_row(),
                "td" | "th" => {
                    self.end_cell();
                    if self.row.line == 0 {
                        self.row.line = line.no;
                    }
                    self.cell = Some(RawText {
                        heading: name == "th",
                        across: number(body, "colspan", 1).max(1),
                        down: number(body, "rowspan", 1).max(1),
                        ..RawText::default()
                    });
                }
                "/td" | "/th" => self.end_cell(),
                _ => {
                    self.text("[");
                    rest = rest.get(1..).unwrap_or("");
                    continue;
                }
            }
            self.row.last = line.no;
            rest = rest.get(end.unwrap_or(0) + 1..).unwrap_or("");
        }
        self.text(rest);
        match &mut self.cell {
            Some(cell) => {
                cell.text.push('\n');
                self.row.last = line.no;
            }
            None if self.row.line == 0 => self.grid.drawn.push(line.no),
            None => {}
        }
        let outside = std::mem::take(&mut self.outside);
        if !outside.trim().is_empty() {
            self.grid.left.push(Left {
                line: line.no,
                last: line.no,
                text: outside.trim().to_owned(),
                why: "not in a cell".to_owned(),
            });
        }
        ended
    }

    fn text(&mut self, text: &str) {
        match &mut self.cell {
            Some(cell) => cell.text.push_str(text),
            None => self.outside.push_str(text),
        }
    }

    fn end_cell(&mut self) {
        if let Some(mut cell) = self.cell.take() {
            let (text, marks) = tidy(&cell.text, Markup::BbCode);
            cell.text = text;
            cell.marks = marks;
            self.row.cells.push(cell);
        }
    }

    fn end_row(&mut self) {
        self.end_cell();
        let row = std::mem::take(&mut self.row);
        if row.cells.is_empty() {
            if row.line > 0 {
                self.grid.drawn.push(row.line);
            }
        } else {
            self.grid.rows.push(row);
        }
    }
}
