//! From a table as written to a sheet: merged cells laid out, title and head
//! found, headings between rows and repeated heads set aside, footnotes tied to
//! their marks.

use crate::footnotes::{collect, note, part, take_off};
use crate::grid::{Grid, Laid, lay_out};
use crate::shape::only_codes;
use crate::sheet::{Cell, Form, Left, Row, Sheet};
use crate::words::said;

/// Rows that are looked at to tell whether a column holds codes.
const MAX_LOOKED: usize = 60;
/// Most rows of a head.
const MAX_HEAD: usize = 3;

/// Makes the sheet. `after` are the texts that follow the table; `room` is the
/// number of rows that may still be taken.
pub(crate) fn settle(grid: Grid, after: Vec<Left>, room: &mut usize) -> Sheet {
    let mut sheet = Sheet {
        form: grid.form,
        title: grid.title,
        title_line: grid.title_line,
        lead: grid.lead,
        head: Vec::new(),
        head_lines: Vec::new(),
        width: 0,
        rows: Vec::new(),
        footnotes: Vec::new(),
        drawn: grid.drawn,
        left: grid.left,
    };
    let mut raw = grid.rows;
    if raw.len() > *room {
        let beyond = raw.split_off(*room);
        if let (Some(first), Some(end)) = (beyond.first(), beyond.last()) {
            let text = first.cells.first().map_or("", |c| c.text.as_str());
            sheet.left.push(Left {
                line: first.line,
                last: end.last,
                text: text.chars().take(200).collect(),
                why: "more than 20,000 rows; these were not read".to_owned(),
            });
        }
    }
    *room -= raw.len();
    let mut laid = lay_out(raw, &mut sheet.left);
    laid.retain(|one| {
        let filled = filled(&one.row) > 0;
        if !filled {
            sheet.drawn.extend(one.row.line..=one.row.last);
        }
        filled
    });
    sheet.width = laid.first().map_or(0, |one| one.row.cells.len());
    title(&mut laid, &mut sheet);
    head(&mut laid, &mut sheet, grid.first_is_head);
    unfold(&mut laid, &mut sheet);
    let mut notes = Vec::new();
    for one in laid {
        sort_out(one, &mut sheet, &mut notes);
    }
    notes.extend(after);
    let mut marks = Vec::new();
    if notes.iter().any(|one| note(&one.text).is_some()) {
        let rows = sheet.rows.iter().flat_map(|row| &row.cells);
        rows.for_each(|cell| collect(cell, &mut marks));
        for head in &sheet.head {
            collect(&Cell::of(head), &mut marks);
        }
    }
    let (footnotes, rest) = part(notes, &marks);
    sheet.footnotes = footnotes;
    sheet.left.extend(rest);
    if !sheet.footnotes.is_empty() {
        take_marks(&mut sheet);
    }
    sheet
}

fn filled(row: &Row) -> usize {
    row.cells.iter().filter(|c| !c.text.is_empty()).count()
}

/// The text of the only filled cell, or of the cell that covers the row.
fn alone(one: &Laid) -> Option<&str> {
    let first = one.row.cells.iter().find(|c| !c.text.is_empty())?;
    (one.whole || filled(&one.row) == 1).then_some(first.text.as_str())
}

/// A first row of one text is the title.
fn title(laid: &mut Vec<Laid>, sheet: &mut Sheet) {
    let [first, _, ..] = laid.as_slice() else {
        return;
    };
    let Some(text) = alone(first).filter(|t| sheet.width > 1 && only_codes(t).is_none()) else {
        return;
    };
    if !sheet.title.is_empty() || note(text).is_some() || text.len() > 200 {
        return;
    }
    text.clone_into(&mut sheet.title);
    sheet.title_line = first.row.line;
    sheet.head_lines.extend(first.row.line..=first.row.last);
    laid.remove(0);
}

fn head(laid: &mut Vec<Laid>, sheet: &mut Sheet, first_is_head: bool) {
    let mut rows = laid
        .iter()
        .take(MAX_HEAD)
        .take_while(|one| one.heading && !(one.whole && sheet.width > 1))
        .count();
    if rows == laid.len() && rows > 1 {
        rows = 1;
    }
    if rows == 0 && laid.len() > 1 && (first_is_head || looks_like_head(laid)) {
        rows = 1;
    }
    if rows > 0 && (sheet.form == Form::List || holds_codes(laid, rows)) {
        rows = 0;
    }
    let body = laid.split_off(rows);
    let mut head = vec![String::new(); sheet.width];
    for one in laid.iter() {
        sheet.head_lines.extend(one.row.line..=one.row.last);
        for (text, cell) in head.iter_mut().zip(&one.row.cells) {
            let more = cell.text.replace('\n', " ");
            if more.is_empty() || *text == more {
                continue;
            }
            if !text.is_empty() {
                text.push(' ');
            }
            text.push_str(&more);
        }
    }
    if head.iter().any(|h| !h.is_empty()) {
        sheet.head = head;
    }
    *laid = body;
}

/// A table that is printed in two halves side by side, with the same heads over
/// each, becomes one below the other.
fn unfold(laid: &mut Vec<Laid>, sheet: &mut Sheet) {
    let width = sheet.width;
    let head = &sheet.head;
    let again = |size: usize| (size..head.len()).all(|n| head.get(n) == head.get(n - size));
    let size = (2..=width / 2).find(|&size| width.is_multiple_of(size) && again(size));
    let Some(size) = size.filter(|_| head.len() == width && head.iter().all(|h| !h.is_empty()))
    else {
        return;
    };
    let mut out: Vec<Laid> = Vec::new();
    for half in 0..width / size {
        for one in laid.iter_mut() {
            let cells = one.row.cells.iter_mut().skip(half * size).take(size);
            let row = Row {
                line: one.row.line,
                last: one.row.last,
                cells: cells.map(std::mem::take).collect(),
            };
            if filled(&row) > 0 {
                out.push(Laid {
                    row,
                    heading: one.heading,
                    whole: one.whole,
                });
            }
        }
    }
    *laid = out;
    sheet.head.truncate(size);
    sheet.width = size;
}

/// Whether the first row reads like a head and the others do not.
fn looks_like_head(laid: &[Laid]) -> bool {
    let Some((first, body)) = laid.split_first() else {
        return false;
    };
    let mut words = 0;
    let mut known = 0;
    let mut long = false;
    for cell in first.row.cells.iter().filter(|c| !c.text.is_empty()) {
        words += 1;
        known += usize::from(said(&cell.text).is_some_and(|s| s.whole || !s.board.is_empty()));
        long |= cell.text.split(' ').count() > 5;
        if has_code(&cell.text) && said(&cell.text).is_none() {
            return false;
        }
    }
    if known > 0 && known * 2 >= words {
        return true;
    }
    // A column of codes whose first cell is none.
    let odd = first.row.cells.iter().enumerate().any(|(n, cell)| {
        let looked = body.iter().take(MAX_LOOKED);
        let mut all = 0;
        let mut codes = 0;
        for text in looked
            .filter_map(|one| one.row.cells.get(n))
            .map(|c| c.text.as_str())
        {
            all += 1;
            codes += usize::from(only_codes(text).is_some());
        }
        !cell.text.is_empty()
            && only_codes(&cell.text).is_none()
            && all > 1
            && codes * 10 >= all * 9
    });
    odd && !long && words > 1
}

fn has_code(text: &str) -> bool {
    only_codes(text).is_some() && text.bytes().any(|b| b.is_ascii_digit())
}

/// Whether the head that the form shows is a row of data after all.
fn holds_codes(laid: &[Laid], rows: usize) -> bool {
    let Some(first) = laid.first() else {
        return false;
    };
    if rows > 1
        || first
            .row
            .cells
            .iter()
            .any(|c| said(&c.text).is_some_and(|s| s.whole))
    {
        return false;
    }
    first.row.cells.iter().enumerate().any(|(n, cell)| {
        let under = laid.get(rows).and_then(|one| one.row.cells.get(n));
        has_code(&cell.text) && under.is_some_and(|c| has_code(&c.text))
    })
}

/// A row, or a heading between rows, a repeated head, a note inside the table.
fn sort_out(one: Laid, sheet: &mut Sheet, notes: &mut Vec<Left>) {
    let left = |text: &str, why: &str| Left {
        line: one.row.line,
        last: one.row.last,
        text: text.to_owned(),
        why: why.to_owned(),
    };
    if sheet.width > 1
        && let Some(text) = alone(&one)
    {
        let first = one.row.cells.first().is_some_and(|c| !c.text.is_empty());
        if note(text).is_some() {
            notes.push(left(
                text,
                "a note in the table without a mark that leads to it",
            ));
            return;
        }
        if (first || one.heading) && only_codes(text).is_none() {
            sheet.left.push(left(text, "a heading between rows"));
            return;
        }
    }
    if !sheet.head.is_empty() {
        let same = sheet
            .head
            .iter()
            .zip(&one.row.cells)
            .filter(|(h, c)| h.eq_ignore_ascii_case(&c.text.replace('\n', " ")));
        if same.count() == sheet.width {
            sheet
                .left
                .push(left(&sheet.head.join(" "), "the head again"));
            return;
        }
    }
    sheet.rows.push(one.row);
}

/// Takes the marks of the footnotes off all cells.
fn take_marks(sheet: &mut Sheet) {
    let notes = std::mem::take(&mut sheet.footnotes);
    for n in 0..sheet.width {
        // The usual width of a column of codes, for stars that stand in.
        let digits = usual_width(&sheet.rows, n);
        for cell in sheet.rows.iter_mut().filter_map(|row| row.cells.get_mut(n)) {
            take_off(cell, &notes, digits);
        }
    }
    for head in &mut sheet.head {
        let mut cell = Cell::of(head);
        take_off(&mut cell, &notes, 0);
        *head = cell.text;
    }
    sheet.footnotes = notes;
}

fn usual_width(rows: &[Row], column: usize) -> usize {
    let mut counts = [0_usize; 41];
    let mut all = 0;
    let texts = rows.iter().filter_map(|row| row.cells.get(column));
    for text in texts.map(|c| c.text.as_str()) {
        let width = text.chars().count();
        // Codes with a star do not tell.
        if !text.is_empty() && !text.ends_with('*') && has_code(text) {
            all += 1;
            if let Some(n) = counts.get_mut(width) {
                *n += 1;
            }
        }
    }
    let most = counts.iter().enumerate().max_by_key(|&(_, n)| *n);
    most.filter(|&(_, &n)| n > 0 && n * 2 >= all)
        .map_or(0, |(width, _)| width)
}
