//! Tables with `|` between the cells: Markdown, boxes drawn with lines, and
//! `||a||b||` with its relatives.

use crate::grid::{Grid, RawRow};
use crate::lines::Line;
use crate::seek::pieces;
use crate::sheet::Form;
use crate::tidy::{Markup, tidy};

/// Characters that stand for `|` in drawn boxes.
const BARS: [char; 4] = ['|', '│', '┃', '║'];

fn is_bar(c: char) -> bool {
    BARS.contains(&c)
}

/// A line that only draws: `|---|:-:|`, `+----+`, `├──┼──┤`.
pub(crate) fn is_rule(line: &str) -> bool {
    let line = line.trim();
    let mut dashes = 0;
    for c in line.chars() {
        match c {
            '-' | '=' | '─' | '━' | '═' => dashes += 1,
            '+' | ':' | ' ' | '\t' => {}
            '┌'..='╬' => {}
            c if is_bar(c) => {}
            _ => return false,
        }
    }
    dashes >= 1 && (dashes >= 3 || line.starts_with(is_bar))
}

/// Whether a rule has corners or bars, and not only dashes.
fn has_joints(line: &str) -> bool {
    line.contains(|c| c == '+' || is_bar(c) || ('┌'..='╬').contains(&c) && !matches!(c, '═'))
}

/// The cells of a line; `\|` does not part them.
fn cells(line: &str) -> Vec<&str> {
    let line = line.trim();
    let line = line.strip_prefix(is_bar).unwrap_or(line);
    let mut out = Vec::new();
    let mut from = 0;
    let mut escaped = false;
    let mut ended = false;
    for (at, c) in line.char_indices() {
        if is_bar(c) && !escaped {
            out.push(line.get(from..at).unwrap_or(""));
            from = at + c.len_utf8();
        }
        ended = is_bar(c) && !escaped;
        escaped = c == '\\' && !escaped;
    }
    if !ended {
        out.push(line.get(from..).unwrap_or(""));
    }
    out
}

fn has_bar(line: &str) -> bool {
    line.contains(is_bar)
}

/// Reads a table that begins with the first of these lines, and tells how many
/// lines it took.
pub(crate) fn markdown(lines: &[Line]) -> Option<(Grid, usize)> {
    let first = lines.first()?;
    let second = lines.get(1).map_or("", |l| l.text);
    let text = first.text.trim();
    let boxed = is_rule(text) && has_joints(text) && has_bar(second);
    let ruled = has_bar(text)
        && !is_rule(text)
        && is_rule(second)
        && second.contains('-')
        && (has_joints(second) || cells(text).len() == 2);
    let closed = |t: &str| t.starts_with(is_bar) && t.ends_with(is_bar) && cells(t).len() > 1;
    let fenced = closed(text)
        && !text.starts_with("||")
        && (closed(second.trim()) || second.trim().is_empty());
    if !boxed && !ruled && !fenced {
        return None;
    }
    let mut grid = Grid::new(Form::Markdown);
    grid.first_is_head = ruled;
    let mut taken = 0;
    let mut rules = 0;
    for line in lines {
        if is_rule(line.text) {
            rules += 1;
            // Under the first row of a box a rule makes it the head.
            grid.first_is_head |= boxed && rules == 2 && grid.rows.len() == 1;
            grid.drawn.push(line.no);
        } else if has_bar(line.text) {
            push(&mut grid, line, boxed);
        } else {
            break;
        }
        taken += 1;
    }
    (!grid.rows.is_empty()).then_some((grid, taken))
}

fn push(grid: &mut Grid, line: &Line, boxed: bool) {
    let mut row = RawRow::new(line.no, line.no);
    for cell in cells(line.text) {
        row.push(tidy(cell, Markup::Markdown), false);
    }
    // In a box, a line without a first cell goes on with the row above.
    let goes_on = boxed && row.cells.first().is_some_and(|c| c.text.is_empty());
    if let Some(above) = grid.rows.last_mut().filter(|_| goes_on)
        && above.cells.len() == row.cells.len()
        && grid.drawn.last() != Some(&line.no.saturating_sub(1))
    {
        for (cell, more) in above.cells.iter_mut().zip(row.cells) {
            if !more.text.is_empty() {
                cell.text
                    .push_str(if cell.text.is_empty() { "" } else { " " });
                cell.text.push_str(&more.text);
            }
        }
        above.last = line.no;
        return;
    }
    grid.rows.push(row);
}

/// `||a||b||` rows, with `|a|b|` rows under a `||head||`, and `^a^b^` heads.
pub(crate) fn bars(lines: &[Line]) -> Option<(Grid, usize)> {
    let starts = |t: &str| {
        t.starts_with("||") || t.starts_with('^') && t.ends_with(['^', '|']) && t.len() > 2
    };
    if !starts(lines.first()?.text.trim()) {
        return None;
    }
    let mut grid = Grid::new(Form::Bars);
    let rows = lines
        .iter()
        .take_while(|l| starts(l.text.trim()) || l.text.trim().starts_with('|'));
    let taken = rows.clone().count();
    let mixed = rows.clone().any(|l| !l.text.trim().starts_with("||"));
    for line in rows {
        let text = line.text.trim();
        let mut row = RawRow::new(line.no, line.no);
        if text.starts_with("||") {
            let inner = text.get(2..).unwrap_or("");
            let inner = inner.strip_suffix("||").unwrap_or(inner);
            for cell in pieces(inner, "||") {
                let head = cell.strip_prefix('=').and_then(|c| c.strip_suffix('='));
                row.push(
                    tidy(head.unwrap_or(cell), Markup::Wiki),
                    mixed || head.is_some(),
                );
            }
        } else {
            // Each cell begins with the character that tells its kind.
            let mut rest = text;
            while let Some(kind) = rest.chars().next() {
                rest = rest.get(1..).unwrap_or("");
                let end = rest.find(['|', '^']).unwrap_or(rest.len());
                if end == rest.len() && rest.trim().is_empty() {
                    break;
                }
                let (cell, after) = rest.split_at(end);
                row.push(tidy(cell, Markup::Wiki), kind == '^');
                rest = after;
            }
        }
        grid.rows.push(row);
    }
    Some((grid, taken))
}
