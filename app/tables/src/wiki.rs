//! Wiki tables between `{|` and `|}`, also a piece of one that begins with `|-`.

use crate::grid::{Grid, RawRow, RawText};
use crate::lines::Line;
use crate::seek::{cut, find, has};
use crate::sheet::{Form, Left};
use crate::tidy::{Markup, tidy};

/// Reads a table that begins with the first of these lines, and tells how many
/// lines it took.
pub(crate) fn read(lines: &[Line]) -> Option<(Grid, usize)> {
    let first = lines.first()?.text.trim();
    let second = lines.get(1).map_or("", |l| l.text.trim());
    let piece = first == "|-" && second.starts_with(['|', '!']);
    if !first.starts_with("{|") && !piece {
        return None;
    }
    let mut table = Table {
        grid: Grid::new(Form::Wiki),
        row: RawRow::default(),
        open: None,
        caption: false,
    };
    let mut taken = 0;
    let mut depth = 0_usize;
    for line in lines {
        let text = line.text.trim();
        if piece
            && (text.is_empty()
                || !text.starts_with(['|', '!']) && taken > 1 && table.open.is_none())
        {
            break;
        }
        // An unclosed table ends at the next heading.
        if text.starts_with("==") && text.ends_with("==") && depth <= 1 {
            break;
        }
        taken += 1;
        if text.starts_with("{|") {
            depth += 1;
            if depth > 1 {
                table.grid.left.push(left(line, "a table within a table"));
            } else {
                table.grid.drawn.push(line.no);
            }
        } else if text.starts_with("|}") && !text.starts_with("|}}") {
            if depth > 1 {
                depth -= 1;
                table.grid.left.push(left(line, "a table within a table"));
                continue;
            }
            table.grid.drawn.push(line.no);
            break;
        } else if depth > 1 {
            table.grid.left.push(left(line, "a table within a table"));
        } else {
            table.line(line, text);
        }
    }
    table.end_row();
    Some((table.grid, taken))
}

fn left(line: &Line, why: &str) -> Left {
    Left {
        line: line.no,
        last: line.no,
        text: line.text.to_owned(),
        why: why.to_owned(),
    }
}

/// A cell whose text may go on in the next line.
struct Open {
    text: String,
    heading: bool,
    across: usize,
    down: usize,
}

struct Table {
    grid: Grid,
    row: RawRow,
    open: Option<Open>,
    caption: bool,
}

impl Table {
    fn line(&mut self, line: &Line, text: &str) {
        if let Some(caption) = text.strip_prefix("|+") {
            self.end_row();
            self.caption = true;
            if self.grid.title_line > 0 {
                self.grid.left.push(left(line, "a second caption"));
                return;
            }
            let text = tidy(without_attributes(caption).0, Markup::Wiki).0;
            if text.is_empty() {
                self.grid.drawn.push(line.no);
            } else {
                self.grid.title = text.replace('\n', " ");
                self.grid.title_line = line.no;
            }
        } else if text.starts_with("|-") {
            self.end_row();
            self.caption = false;
            self.grid.drawn.push(line.no);
        } else if let Some(cells) = text.strip_prefix('!') {
            self.cells(line, cells, true);
        } else if let Some(cells) = text.strip_prefix('|') {
            self.cells(line, cells, false);
        } else if let Some(open) = &mut self.open {
            open.text.push('\n');
            open.text.push_str(line.text);
            self.row.last = line.no;
        } else if !text.is_empty() {
            let why = if self.caption {
                "more of the caption"
            } else {
                "not in a cell"
            };
            self.grid.left.push(left(line, why));
        }
    }

    fn cells(&mut self, line: &Line, cells: &str, heading: bool) {
        self.end_cell();
        if self.row.line == 0 {
            self.row.line = line.no;
        }
        self.row.last = line.no;
        let mut rest = cells;
        loop {
            let at = find(rest, "||").or_else(|| find(rest, "!!").filter(|_| heading));
            let (cell, after) = match at {
                Some(at) => (rest.get(..at).unwrap_or(""), rest.get(at + 2..)),
                None => (rest, None),
            };
            self.end_cell();
            let (text, attributes) = without_attributes(cell);
            self.open = Some(Open {
                text: text.to_owned(),
                heading,
                across: number(attributes, "colspan", 1),
                down: match number(attributes, "rowspan", 1) {
                    0 => usize::MAX,
                    n => n,
                },
            });
            match after {
                Some(more) => rest = more,
                None => break,
            }
        }
    }

    fn end_cell(&mut self) {
        if let Some(open) = self.open.take() {
            let (text, marks) = tidy(&open.text, Markup::Wiki);
            self.row.cells.push(RawText {
                text,
                marks,
                heading: open.heading,
                across: open.across.max(1),
                down: open.down,
            });
        }
    }

    fn end_row(&mut self) {
        self.end_cell();
        let row = std::mem::take(&mut self.row);
        if !row.cells.is_empty() {
            self.grid.rows.push(row);
        }
    }
}

/// `style="..." | text`: the text and what stands before the bar.
fn without_attributes(cell: &str) -> (&str, &str) {
    match cell.split_once('|') {
        Some((before, text))
            if before.contains('=') && !has(before, "[[") && !has(before, "{{") =>
        {
            (text, before)
        }
        _ => (cell, ""),
    }
}

/// The number of an attribute such as `rowspan="2"`.
pub(crate) fn number(attributes: &str, name: &str, usual: usize) -> usize {
    let lower = attributes.to_ascii_lowercase();
    cut(&lower, name)
        .and_then(|(_, rest)| rest.trim_start().strip_prefix('='))
        .map(|rest| rest.trim_start_matches(['"', '\'', ' ']))
        .and_then(|rest| {
            let end = rest.bytes().take_while(u8::is_ascii_digit).count();
            rest.get(..end)?.parse().ok()
        })
        .unwrap_or(usual)
        .min(100_000)
}
