//! Finds the tables in a text, whatever their form, and gives every other line
//! to the table that it stands by.

use crate::grid::Grid;
use crate::lines::{Line, lines};
use crate::list::{Items, is_dump};
use crate::seek::{cut, has};
use crate::settle::settle;
use crate::shape::only_codes;
use crate::sheet::{Form, Left, Sheet};
use crate::words::said;
use crate::{MAX_ROWS, bbcode, columns, list, pipes, separated, wiki};
use std::cell::OnceCell;

/// A table, or a line outside tables.
enum Found {
    Table(Grid),
    Loose(Left),
}

/// All tables of a text that is not HTML: Markdown, wiki mark-up, BBCode,
/// separated values, aligned columns, lists, sentences.
///
/// Every line is in one of the sheets: in a row, the title, the head, a footnote,
/// as a mere drawing, or in `left` with the reason. A text without a table gives
/// one sheet of [`Form::Nothing`]; an empty one gives none.
#[must_use]
pub fn sheets(text: &str) -> Vec<Sheet> {
    // Spaces of other kinds are spaces; invisible characters are nothing.
    let plain: String;
    let text = if text.contains(is_odd_space) {
        let kept = text
            .chars()
            .filter(|c| !matches!(c, '\u{FEFF}' | '\u{200B}'));
        plain = kept
            .map(|c| if is_odd_space(c) { ' ' } else { c })
            .collect();
        &plain
    } else {
        text
    };
    let (lines, beyond) = lines(text);
    let mut found = Collected::default();
    walk(&lines, &mut found);
    if let Some(left) = beyond {
        found.loose(left);
    }
    found.sheets()
}

/// What was found so far, in order.
#[derive(Default)]
pub(crate) struct Collected {
    found: Vec<Found>,
    /// The place of the last table, what stood since, and whether any of that
    /// is a heading.
    table: Option<usize>,
    since: usize,
    heading: bool,
}

impl Collected {
    pub fn table(&mut self, grid: Grid) {
        self.table = Some(self.found.len());
        self.since = 0;
        self.heading = false;
        self.found.push(Found::Table(grid));
    }

    pub fn loose(&mut self, left: Left) {
        self.since += 1;
        self.heading |= is_heading(&left.text);
        self.found.push(Found::Loose(left));
    }

    pub fn sheets(self) -> Vec<Sheet> {
        assemble(self.found)
    }

    /// Adds a table, or puts it to the one before when it goes on.
    fn join(&mut self, grid: Grid) {
        // Lists go on over lines between them, other tables only over a gap.
        let may = self.since == 0 || grid.form == Form::List && !self.heading;
        let before = self.table.and_then(|at| self.found.get_mut(at));
        let width = |g: &Grid| g.rows.first().map(|r| r.cells.len());
        let named = grid.rows.first().is_some_and(|row| {
            let known = row
                .cells
                .iter()
                .filter(|c| said(&c.text).is_some_and(|s| s.whole));
            known.count() * 2 >= row.cells.len()
        });
        if let Some(Found::Table(before)) = before
            && may
            && before.form == grid.form
            && width(before) == width(&grid)
            && before.lead == grid.lead
            && !named
            && grid.title_line == 0
            && !grid.first_is_head
        {
            before.rows.extend(grid.rows);
            before.drawn.extend(grid.drawn);
            before.left.extend(grid.left);
            return;
        }
        self.table(grid);
    }
}

fn is_odd_space(c: char) -> bool {
    matches!(
        c,
        '\u{A0}' | '\u{2002}'..='\u{200B}' | '\u{202F}' | '\u{FEFF}'
    )
}

fn loose(line: &Line, why: &str) -> Left {
    Left {
        line: line.no,
        last: line.no,
        text: line.text.trim().to_owned(),
        why: why.to_owned(),
    }
}

/// Finds the tables among lines.
pub(crate) fn walk<'a>(given: &[Line<'a>], found: &mut Collected) {
    // Quoted in a forum: the sign in front is no part of the text.
    let lines: Vec<Line<'a>> = given
        .iter()
        .map(|line| Line {
            no: line.no,
            text: match line.text.strip_prefix('>') {
                Some(rest) => rest.trim_start_matches('>').trim_start_matches(' '),
                None => line.text,
            },
        })
        .collect();
    // Only looked at when a block is not plainly something else.
    let items = OnceCell::new();
    let items = || items.get_or_init(|| Items::of(&lines));
    let mut at = 0;
    while let Some(first) = lines.get(at) {
        let rest = lines.get(at..).unwrap_or(&[]);
        if first.is_blank() {
            at += 1;
        } else if let Some((grid, taken)) = marked(rest) {
            found.join(grid);
            at += taken;
        } else if first.text.trim().starts_with("```") || first.text.trim().starts_with("~~~") {
            found.loose(loose(first, "a fence around text"));
            at += 1;
        } else {
            at += block(&lines, at, block_end(rest), &items, found);
        }
    }
}

/// Most lines over which an open quote may reach.
const MAX_QUOTED: usize = 50;

/// How many lines go on without a blank one that is not inside quotes.
fn block_end(lines: &[Line]) -> usize {
    let mut open = false;
    let mut n = 0;
    while let Some(line) = lines.get(n) {
        let rest = lines.get(n + 1..).unwrap_or(&[]);
        if line.is_blank() && !(open && rest.iter().take(MAX_QUOTED).any(|l| is_odd(l.text)))
            || n > 0 && !open && marked_begins(lines, n)
        {
            break;
        }
        open ^= is_odd(line.text);
        n += 1;
    }
    n.max(1)
}

/// Whether a quote that begins in the line does not end in it.
fn is_odd(line: &str) -> bool {
    line.bytes().filter(|&b| b == b'"').count() % 2 == 1
}

/// A table whose form shows in its first line.
fn marked(lines: &[Line]) -> Option<(Grid, usize)> {
    let text = lines.first()?.text;
    if !text.contains(['|', '[', '+', '^', '│', '║', '┃', '┌', '╔', '┏', '╒', '╓'])
    {
        return None;
    }
    bbcode::read(lines)
        .or_else(|| wiki::read(lines))
        .or_else(|| pipes::bars(lines))
        .or_else(|| pipes::markdown(lines))
}

/// Whether such a table begins at this place, without reading it.
fn marked_begins(lines: &[Line], at: usize) -> bool {
    let few = lines.get(at..(at + 3).min(lines.len())).unwrap_or(&[]);
    let fence = few
        .first()
        .is_some_and(|l| l.text.trim().starts_with("```"));
    fence || marked(few).is_some()
}

/// Reads a block of lines without a blank one between; gives the lines taken.
fn block<'i, 'a: 'i>(
    lines: &[Line<'a>],
    at: usize,
    len: usize,
    items: &dyn Fn() -> &'i Items<'a>,
    found: &mut Collected,
) -> usize {
    let all = lines.get(at..).unwrap_or(&[]);
    let block = all.get(..len).unwrap_or(all);
    let listed = || items().among(at, at + block.len());
    for sep in ['\t', ';', '|', ','] {
        if !block.iter().any(|l| l.text.contains(sep)) {
            continue;
        }
        let (width, count) = separated::usual(block, sep);
        let enough = width > 1
            && (sep == '\t' && count * 10 >= len * 5
                || count > 1 && count * 10 >= len * 6 && good(block, sep, &listed));
        if enough {
            let (grid, rest, taken) = separated::read(all, len, sep, width);
            push(grid, &rest, all, found);
            return taken;
        }
    }
    let gappy = block.iter().filter(|l| columns::is_gappy(l.text)).count();
    let ruled = block
        .iter()
        .any(|l| columns::is_line(l.text) && l.text.trim().contains(' '));
    if (gappy > 1 && gappy * 10 >= len * 5 && listed() * 10 < len * 6 || ruled)
        && let Some((grid, rest)) = columns::read(block)
    {
        push(grid, &rest, block, found);
        return len;
    }
    let (grid, rest) = list::read(block, at, items());
    push(grid, &rest, block, found);
    len
}

/// Whether lines with this separator are a table and not sentences: the first
/// one names columns, or one column holds codes.
fn good(block: &[Line], sep: char, listed: &dyn Fn() -> usize) -> bool {
    let first = block.first().map_or("", |l| l.text);
    let named = first
        .split(sep)
        .filter(|cell| said(cell.trim_matches('"')).is_some_and(|s| s.whole))
        .count();
    if named > 1 {
        return true;
    }
    if sep == ',' && listed() * 10 >= block.len() * 5 {
        return false;
    }
    (0..6).any(|n| {
        let coded = block
            .iter()
            .take(200)
            .filter(|l| {
                let cell = l.text.split(sep).nth(n).map(|c| c.trim_matches(['"', ' ']));
                cell.is_some_and(|c| only_codes(c).is_some())
            })
            .count();
        coded > 1 && coded * 10 >= block.len().min(200) * 6
    })
}

/// Adds a table and the lines that are none of it. A table that goes on after a
/// gap is put to the one before.
fn push(grid: Grid, rest: &[usize], lines: &[Line], found: &mut Collected) {
    let begins = grid.rows.first().map_or(usize::MAX, |r| r.line);
    let mut after = Vec::new();
    for line in rest
        .iter()
        .filter_map(|&n| lines.get(n))
        .filter(|l| !l.is_blank())
    {
        let one = loose(line, "no part of a table");
        if line.no < begins {
            found.loose(one);
        } else {
            after.push(one);
        }
    }
    if !grid.rows.is_empty() {
        found.join(grid);
    }
    after.into_iter().for_each(|one| found.loose(one));
}

/// A line that is marked as a heading.
fn is_heading(text: &str) -> bool {
    let text = text.trim();
    text.starts_with('#')
        || text.starts_with("==") && text.ends_with("==")
        || text.starts_with("[b]") && text.ends_with("[/b]")
        || text.len() > 4 && text.starts_with("**") && text.ends_with("**")
}

/// Titles, footnotes and the rest go to the tables that they stand by.
fn assemble(found: Vec<Found>) -> Vec<Sheet> {
    let mut room = MAX_ROWS;
    let mut out: Vec<Sheet> = Vec::new();
    let mut grid: Option<Grid> = None;
    let mut around: Vec<Left> = Vec::new();
    let mut first: Vec<Left> = Vec::new();
    for one in found {
        match one {
            Found::Loose(left) => around.push(left),
            Found::Table(mut next) => {
                title(&mut next, &mut around);
                match grid.replace(next) {
                    Some(done) => out.push(settle(done, std::mem::take(&mut around), &mut room)),
                    None => first = std::mem::take(&mut around),
                }
            }
        }
    }
    match grid {
        Some(done) => out.push(settle(done, around, &mut room)),
        None if around.is_empty() => {}
        None => {
            let mut nothing = settle(Grid::new(Form::Nothing), Vec::new(), &mut room);
            nothing.left = around;
            out.push(nothing);
        }
    }
    if let Some(sheet) = out.first_mut() {
        first.append(&mut sheet.left);
        sheet.left = first;
    }
    out
}

/// The line in front of a table is its title when it is short, or marked as a
/// heading.
fn title(grid: &mut Grid, around: &mut Vec<Left>) {
    let begins = grid
        .rows
        .iter()
        .map(|r| r.line)
        .chain(grid.drawn.iter().copied())
        .min();
    let (Some(begins), Some(last)) = (begins, around.last()) else {
        return;
    };
    let near = begins.saturating_sub(last.last);
    let heading = is_heading(&last.text);
    let short = last.text.chars().count() <= 80 && near <= 2;
    // A line of a log, or a fence, is no title.
    let other = last.text.starts_with("```")
        || has(&last.text, "  ")
        || is_dump(cut(&last.text, ": ").map_or("", |(_, after)| after));
    if !grid.title.is_empty() || other || last.last > begins || !(short || heading && near <= 3) {
        return;
    }
    let text = last.text.as_str();
    let text = text.strip_prefix("[b]").unwrap_or(text);
    let text = text.strip_suffix("[/b]").unwrap_or(text);
    let text = text
        .trim_matches(['#', '=', '*', ' '])
        .trim_end_matches(':')
        .trim();
    if text.chars().any(char::is_alphabetic) {
        grid.title = text.to_owned();
        grid.title_line = last.line;
        around.pop();
    }
}
