//! Columns aligned with spaces.

use crate::grid::{Grid, RawRow};
use crate::lines::Line;
use crate::list::is_dump;
use crate::seek::has;
use crate::sheet::Form;
use crate::tidy::{Markup, tidy};

/// Farthest character at which a column may begin.
const MAX_START: usize = 400;

/// A piece of a line between gaps, with the character where it begins.
struct Piece<'a> {
    start: usize,
    text: &'a str,
}

/// The pieces of a line; a gap is two spaces or a tab.
fn pieces(line: &str) -> Vec<Piece<'_>> {
    let mut out = Vec::new();
    // Byte and character where the open piece begins, and where its text ends.
    let mut open: Option<(usize, usize, usize)> = None;
    let mut gap = 2;
    for (count, (at, c)) in line.char_indices().enumerate() {
        if c == ' ' || c == '\t' || c == '\u{A0}' {
            gap += if c == '\t' { 2 } else { 1 };
            continue;
        }
        if gap >= 2
            && let Some((from, start, end)) = open.take()
        {
            out.push(Piece {
                start,
                text: line.get(from..end).unwrap_or(""),
            });
        }
        let end = at + c.len_utf8();
        open = Some(match open {
            Some((from, start, _)) => (from, start, end),
            None => (at, count, end),
        });
        gap = 0;
    }
    if let Some((from, start, end)) = open {
        out.push(Piece {
            start,
            text: line.get(from..end).unwrap_or(""),
        });
    }
    out
}

/// Whether the line has a gap inside.
pub(crate) fn is_gappy(line: &str) -> bool {
    let text = line.trim();
    has(text, "  ") || text.contains('\t')
}

/// A line of dashes, perhaps in groups.
pub(crate) fn is_line(line: &str) -> bool {
    let text = line.trim();
    text.len() >= 3
        && text
            .bytes()
            .all(|b| matches!(b, b'-' | b'=' | b' ' | b'_' | b'~'))
}

/// The lines as a table, when they are one. Lines that are none of it are given
/// back by their place.
pub(crate) fn read(lines: &[Line]) -> Option<(Grid, Vec<usize>)> {
    let starts = starts(lines)?;
    let mut grid = Grid::new(Form::Columns);
    let mut loose = Vec::new();
    for (place, line) in lines.iter().enumerate() {
        if is_line(line.text) {
            grid.first_is_head |= grid.rows.len() == 1 && line.text.trim().contains(' ');
            grid.drawn.push(line.no);
            continue;
        }
        let pieces = pieces(line.text);
        let goes_on = pieces.len() == 1
            && pieces
                .first()
                .is_some_and(|p| p.start > 0 && column(&starts, p.start) > 0);
        if pieces.len() < 2 && !goes_on || goes_on && grid.rows.is_empty() {
            loose.push(place);
            continue;
        }
        let cells = cells(&pieces, &starts);
        if goes_on && let Some(above) = grid.rows.last_mut() {
            for (cell, more) in above.cells.iter_mut().zip(&cells) {
                if !more.is_empty() {
                    cell.text
                        .push_str(if cell.text.is_empty() { "" } else { " " });
                    cell.text.push_str(more);
                }
            }
            above.last = line.no;
            continue;
        }
        let mut row = RawRow::new(line.no, line.no);
        for cell in &cells {
            row.push(tidy(cell, Markup::None), false);
        }
        grid.rows.push(row);
    }
    (!grid.rows.is_empty() && !is_log(&grid)).then_some((grid, loose))
}

/// Whether the rows are lines of a log and no table: the same word in front of
/// the value in most columns, or cells that are a dump.
fn is_log(grid: &Grid) -> bool {
    let width = grid.rows.first().map_or(0, |r| r.cells.len());
    let mut named = 0;
    for n in 0..width {
        let mut cells = grid
            .rows
            .iter()
            .filter_map(|r| r.cells.get(n))
            .map(|c| c.text.as_str());
        let word = |text: &str| text.split(' ').next().unwrap_or("").to_owned();
        let first = cells.next().unwrap_or("");
        let front = word(first);
        let same = front.bytes().all(|b| b.is_ascii_alphabetic())
            && front.len() < first.len()
            && first.bytes().any(|b| b.is_ascii_digit());
        named += usize::from(same && cells.all(|c| word(c) == front));
    }
    let dumped = |row: &&RawRow| row.cells.iter().any(|c| is_dump(&c.text));
    let dumps = grid.rows.iter().filter(dumped).count();
    named > 2 && named * 2 >= width || dumps * 2 >= grid.rows.len()
}

/// Where the columns begin, in characters.
fn starts(lines: &[Line]) -> Option<Vec<usize>> {
    // Groups of dashes under a head show it.
    let ruled = lines
        .iter()
        .find(|l| is_line(l.text) && l.text.trim().contains(' '));
    if let Some(line) = ruled {
        let mut out = Vec::new();
        let mut inside = false;
        for (count, c) in line.text.chars().enumerate() {
            if c != ' ' && !inside {
                out.push(count);
            }
            inside = c != ' ';
        }
        return (out.len() > 1).then_some(out);
    }
    let mut counts = vec![0_usize; MAX_START];
    let mut widths = vec![0_usize; crate::MAX_COLUMNS + 1];
    let mut rows = 0;
    for line in lines {
        let pieces = pieces(line.text);
        if pieces.len() < 2 {
            continue;
        }
        rows += 1;
        if let Some(n) = widths.get_mut(pieces.len()) {
            *n += 1;
        }
        for piece in &pieces {
            if let Some(n) = counts.get_mut(piece.start) {
                *n += 1;
            }
        }
    }
    if rows < 2 {
        return None;
    }
    let aligned: Vec<usize> = counts
        .iter()
        .enumerate()
        .filter(|&(_, &n)| n * 10 >= rows * 5)
        .map(|(at, _)| at)
        .collect();
    let (usual, many) = widths
        .iter()
        .enumerate()
        .max_by_key(|&(_, n)| *n)
        .map_or((0, 0), |(w, &n)| (w, n));
    if aligned.len() > 1 && aligned.len() + 1 >= usual {
        Some(aligned)
    } else if many * 10 >= rows * 7 {
        // Not aligned, but always as many pieces: their order tells.
        Some((0..usual).map(|n| MAX_START + n).collect())
    } else {
        None
    }
}

/// The column that holds this character.
fn column(starts: &[usize], at: usize) -> usize {
    starts
        .iter()
        .rposition(|&start| start <= at + 1)
        .unwrap_or(0)
}

fn cells(pieces: &[Piece], starts: &[usize]) -> Vec<String> {
    if starts.first().is_some_and(|&s| s >= MAX_START) {
        return pieces.iter().map(|p| p.text.to_owned()).collect();
    }
    let mut out = vec![String::new(); starts.len()];
    let mut put = |at: usize, text: &str| {
        if let Some(cell) = out.get_mut(column(starts, at)) {
            cell.push_str(if cell.is_empty() { "" } else { " " });
            cell.push_str(text.trim());
        }
    };
    for piece in pieces {
        // A long cell may leave only one space in front of the next column.
        let mut from = 0;
        let mut begins = piece.start;
        for &start in starts.iter().filter(|&&s| s > piece.start + 1) {
            let Some(n) = start.checked_sub(piece.start) else {
                continue;
            };
            let Some((cut, _)) = piece.text.char_indices().nth(n) else {
                break;
            };
            let front = piece.text.get(from..cut).unwrap_or("");
            if front.ends_with(' ') {
                put(begins, front);
                from = cut;
                begins = start;
            }
        }
        put(begins, piece.text.get(from..).unwrap_or(""));
    }
    out
}
