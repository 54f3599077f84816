//! A table as its form gave it, before heads, footnotes and reach of merged
//! cells are settled. Every form reads into this one shape.

use crate::sheet::{Cell, Form, Left, Row, Spread};
use crate::{MAX_CELL, MAX_COLUMNS};

/// Most bytes of text that merged cells may be repeated to.
const MAX_SPREAD: usize = 4 << 20;

/// A cell as written.
#[derive(Clone, Debug, Default)]
pub(crate) struct RawText {
    pub text: String,
    pub marks: Vec<String>,
    pub heading: bool,
    /// Columns it covers, at least 1.
    pub across: usize,
    /// Rows it covers, at least 1.
    pub down: usize,
}

/// A row as written.
#[derive(Clone, Debug, Default)]
pub(crate) struct RawRow {
    pub line: usize,
    pub last: usize,
    pub cells: Vec<RawText>,
}

impl RawRow {
    pub fn new(line: usize, last: usize) -> Self {
        Self {
            line,
            last,
            cells: Vec::new(),
        }
    }

    /// Adds a cell of one place.
    pub fn push(&mut self, (text, marks): (String, Vec<String>), heading: bool) {
        self.cells.push(RawText {
            text,
            marks,
            heading,
            across: 1,
            down: 1,
        });
    }
}

/// A table as written.
#[derive(Clone, Debug)]
pub(crate) struct Grid {
    pub form: Form,
    pub title: String,
    pub title_line: usize,
    pub lead: String,
    pub rows: Vec<RawRow>,
    /// Whether the form says that the first row is the head.
    pub first_is_head: bool,
    pub drawn: Vec<usize>,
    pub left: Vec<Left>,
}

impl Grid {
    pub fn new(form: Form) -> Self {
        Self {
            form,
            title: String::new(),
            title_line: 0,
            lead: String::new(),
            rows: Vec::new(),
            first_is_head: false,
            drawn: Vec::new(),
            left: Vec::new(),
        }
    }
}

/// A row laid out, with what the head search needs.
pub(crate) struct Laid {
    pub row: Row,
    /// Whether all its filled cells are heading cells.
    pub heading: bool,
    /// Whether one cell covers the whole row.
    pub whole: bool,
}

/// A cell that reaches down into rows to come.
struct Reach {
    column: usize,
    rows: usize,
    text: String,
    marks: Vec<String>,
    heading: bool,
}

/// Lays out rows: merged cells stand in every place that they cover, all rows
/// get as many cells. What is over the limits goes to `left`.
pub(crate) fn lay_out(rows: Vec<RawRow>, left: &mut Vec<Left>) -> Vec<Laid> {
    let mut out: Vec<Laid> = Vec::with_capacity(rows.len());
    let mut reaching: Vec<Reach> = Vec::new();
    let mut spread = 0_usize;
    for raw in rows {
        let mut places: Vec<Option<(Cell, bool)>> = Vec::new();
        for reach in &mut reaching {
            if spread + reach.text.len() <= MAX_SPREAD {
                spread += reach.text.len();
                let cell = Cell {
                    text: reach.text.clone(),
                    marks: reach.marks.clone(),
                    spread: Spread::Above,
                };
                put(&mut places, reach.column, cell, reach.heading);
            } else {
                put(&mut places, reach.column, above(), reach.heading);
            }
            reach.rows -= 1;
        }
        reaching.retain(|r| r.rows > 0);
        let mut at = 0;
        let cells = raw.cells.len();
        let mut whole = false;
        for mut one in raw.cells {
            while places.get(at).is_some_and(Option::is_some) {
                at += 1;
            }
            if at >= MAX_COLUMNS {
                if !one.text.is_empty() {
                    left.push(Left {
                        line: raw.line,
                        last: raw.last,
                        text: one.text,
                        why: "a row may have at most 64 columns; this cell was left out".to_owned(),
                    });
                }
                continue;
            }
            cut(&mut one.text, raw.line, raw.last, left);
            let across = one.across.clamp(1, MAX_COLUMNS - at);
            whole = cells == 1 && across > 1;
            for n in 0..across {
                if places.get(at + n).is_some_and(Option::is_some) {
                    break;
                }
                let here = n == 0;
                let fits = here || spread + one.text.len() <= MAX_SPREAD;
                spread += if here || !fits { 0 } else { one.text.len() };
                let (text, marks) = if n + 1 == across && fits {
                    (
                        std::mem::take(&mut one.text),
                        std::mem::take(&mut one.marks),
                    )
                } else if fits {
                    (one.text.clone(), one.marks.clone())
                } else {
                    (String::new(), Vec::new())
                };
                let cell = Cell {
                    text,
                    marks,
                    spread: if here { Spread::Own } else { Spread::Beside },
                };
                if one.down > 1 {
                    reaching.push(Reach {
                        column: at + n,
                        rows: one.down - 1,
                        text: cell.text.clone(),
                        marks: cell.marks.clone(),
                        heading: one.heading,
                    });
                }
                put(&mut places, at + n, cell, one.heading);
            }
            at += across;
        }
        let filled = || places.iter().flatten().filter(|(c, _)| !c.text.is_empty());
        out.push(Laid {
            heading: filled().count() > 0 && filled().all(|(_, heading)| *heading),
            whole,
            row: Row {
                line: raw.line,
                last: raw.last,
                cells: places
                    .into_iter()
                    .map(|p| p.map_or_else(Cell::default, |(cell, _)| cell))
                    .collect(),
            },
        });
    }
    let width = out.iter().map(|l| l.row.cells.len()).max().unwrap_or(0);
    for laid in &mut out {
        laid.row.cells.resize_with(width, Cell::default);
    }
    out
}

fn above() -> Cell {
    Cell {
        spread: Spread::Above,
        ..Cell::default()
    }
}

fn put(places: &mut Vec<Option<(Cell, bool)>>, at: usize, cell: Cell, heading: bool) {
    if at >= MAX_COLUMNS {
        return;
    }
    if places.len() <= at {
        places.resize_with(at + 1, || None);
    }
    if let Some(place) = places.get_mut(at) {
        *place = Some((cell, heading));
    }
}

/// Cuts a text that is too long and keeps the rest aside.
fn cut(text: &mut String, line: usize, last: usize, left: &mut Vec<Left>) {
    if text.len() <= MAX_CELL {
        return;
    }
    if let Some((at, _)) = text.char_indices().nth(MAX_CELL) {
        let rest = text.split_off(at);
        left.push(Left {
            line,
            last,
            text: rest,
            why: "a cell may have at most 4,000 characters; this is the rest of one".to_owned(),
        });
    }
}
