//! Proposes what the columns of a sheet are, from their heads and from what
//! their cells look like.

use crate::plan::{Column, Plan, Role, What};
use crate::shape::{self, Shape};
use crate::sheet::Sheet;
use crate::style::Style;
use crate::words::{is_verbatim, may_be_code, said};

/// Cells shown of each column.
const SAMPLE: usize = 3;

/// A proposal for one sheet. Every column has a reason; whatever was not clear
/// is marked so.
#[must_use]
pub fn propose(sheet: &Sheet) -> Plan {
    let shapes: Vec<Shape> = (0..sheet.width).map(|n| shape::of(sheet, n)).collect();
    let mut columns: Vec<Column> = (0..sheet.width).map(|n| begin(sheet, n)).collect();
    by_head(&mut columns, &shapes);
    let what = rows_about(sheet, &mut columns, &shapes);
    by_shape(what, &mut columns, &shapes);
    tidy_roles(what, &mut columns, &shapes);
    let mut doubts = Vec::new();
    let id = match what {
        What::Codes => Role::Code,
        What::Steps => Role::Step,
        What::Rails => Role::Rail,
        What::Boards => Role::Board,
    };
    if !columns.iter().any(|c| c.role == id) {
        doubts.push("no column looks like the one that names the rows".to_owned());
    }
    if what == What::Codes
        && !columns
            .iter()
            .any(|c| matches!(c.role, Role::Title | Role::Meaning))
    {
        doubts.push("no column looks like text".to_owned());
    }
    let code = columns.iter().position(|c| c.role == Role::Code);
    let style = code.map_or_else(Style::default, |n| style_of(sheet, n));
    if !style.prefix.is_empty() {
        doubts.push(
            [
                "every code begins with ",
                &style.prefix,
                "; it is taken off, since it may be no part of the code in the log",
            ]
            .concat(),
        );
    }
    let head = code
        .and_then(|n| sheet.head.get(n))
        .map_or("", String::as_str);
    let verbatim = is_verbatim(head);
    if style.close_up && !verbatim {
        doubts.push("the groups of a code are put together".to_owned());
    }
    Plan {
        what,
        columns,
        prefix: if verbatim {
            String::new()
        } else {
            style.prefix
        },
        join: " ".to_owned(),
        close_up: style.close_up && !verbatim,
        verbatim,
        doubts,
    }
}

/// A proposal for a sheet that may go on with an earlier one: without a head it
/// takes the roles of the last earlier sheet with as many columns.
#[must_use]
pub fn propose_after(sheet: &Sheet, earlier: &[(&Sheet, &Plan)]) -> Plan {
    let mut plan = propose(sheet);
    if !sheet.head.is_empty() {
        return plan;
    }
    let before = earlier.iter().rev().find(|(s, p)| {
        s.width == sheet.width && p.columns.len() == sheet.width && s.lead == sheet.lead
    });
    let Some((_, before)) = before else {
        return plan;
    };
    // Cells that are plainly no codes can't go on with a column of codes.
    let fits = before.columns.iter().enumerate().all(|(n, column)| {
        column.role != Role::Code || {
            let shape = shape::of(sheet, n);
            shape.filled == 0 || shape.most(shape.codes, 5)
        }
    });
    if !fits {
        return plan;
    }
    for (column, earlier) in plan.columns.iter_mut().zip(&before.columns) {
        column.role = earlier.role;
        column.board.clone_from(&earlier.board);
        column.head.clone_from(&earlier.head);
        column.sure = earlier.sure;
        column.why = "as in the table before, which has as many columns".to_owned();
    }
    plan.what = before.what;
    plan.prefix.clone_from(&before.prefix);
    plan.join.clone_from(&before.join);
    plan.close_up |= before.close_up;
    plan.verbatim = before.verbatim;
    plan.doubts.retain(|d| !d.starts_with("no column"));
    plan
}

/// Rows that tell how codes are written; of more, every so many-th is looked at.
const MAX_LEARNT: usize = 2_000;

/// How the codes of a column are written.
pub(crate) fn style_of(sheet: &Sheet, column: usize) -> Style {
    let mut cells = sheet
        .rows
        .iter()
        .step_by(sheet.rows.len() / MAX_LEARNT + 1)
        .filter_map(|r| r.cells.get(column))
        .map(|c| c.text.as_str());
    Style::learn(&mut cells)
}

fn begin(sheet: &Sheet, n: usize) -> Column {
    let mut sample: Vec<String> = Vec::new();
    for cell in sheet.rows.iter().filter_map(|r| r.cells.get(n)) {
        if sample.len() < SAMPLE && !cell.text.is_empty() && !sample.contains(&cell.text) {
            sample.push(cell.text.clone());
        }
    }
    Column {
        role: Role::Ignore,
        board: String::new(),
        why: String::new(),
        sure: false,
        head: sheet.head.get(n).cloned().unwrap_or_default(),
        sample,
    }
}

fn set(column: &mut Column, role: Role, sure: bool, why: &str) {
    column.role = role;
    column.sure = sure;
    why.clone_into(&mut column.why);
}

/// Roles from the words of the heads, held against the cells.
fn by_head(columns: &mut [Column], shapes: &[Shape]) {
    for (column, shape) in columns.iter_mut().zip(shapes) {
        let Some(said) = said(&column.head) else {
            continue;
        };
        let why = if said.by.is_empty() {
            ["the head names board ", &said.board].concat()
        } else {
            ["the head says \"", said.by, "\""].concat()
        };
        let mut role = said.role;
        let mut sure = said.whole;
        let wordy = shape.most(shape.wordy, 6) && !shape.most(shape.codes, 5);
        if role == Role::Code && wordy && !is_verbatim(&column.head) {
            // "Error" over sentences is what went wrong, not its code.
            role = Role::Meaning;
            sure = false;
        }
        if role == Role::Volts && shape.filled > 0 && !shape.most(shape.volts, 5) {
            role = if shape.most(shape.rails, 5) {
                Role::Rail
            } else {
                Role::Note
            };
            sure = false;
        }
        column.board = said.board;
        set(column, role, sure, &why);
    }
}

/// What the rows are about.
fn rows_about(sheet: &Sheet, columns: &mut [Column], shapes: &[Shape]) -> What {
    let has = |role: Role, columns: &[Column]| {
        columns.iter().any(|c| c.role == role && c.board.is_empty())
    };
    let code = has(Role::Code, columns);
    let hint = [sheet.lead.as_str(), " ", &sheet.title.to_ascii_lowercase()].concat();
    let says = |word: &str| {
        hint.split(|c: char| !c.is_alphanumeric())
            .any(|w| w.strip_suffix('s').unwrap_or(w) == word)
    };
    let about = if says("step") || says("stage") {
        Some((What::Steps, Role::Step))
    } else if says("rail") {
        Some((What::Rails, Role::Rail))
    } else if says("board") && !says("code") {
        Some((What::Boards, Role::Board))
    } else {
        None
    };
    if let Some((what, role)) = about.filter(|_| !says("code") && !says("error") && !says("fault"))
    {
        let named = columns.iter().position(|c| c.role == role);
        let coded = columns.iter().position(|c| c.role == Role::Code);
        // A table of steps may well call its numbers codes.
        let first = named.or(coded).or_else(|| {
            shapes
                .iter()
                .position(|s| s.most(s.codes, 8) || s.most(s.rails, 8) || s.most(s.boards, 8))
        });
        if !(code && named.is_some())
            && let Some(column) = first.and_then(|n| columns.get_mut(n))
        {
            if column.role != role {
                set(column, role, true, "the title says what the rows are");
            }
            return what;
        }
    }
    if code {
        return What::Codes;
    }
    let text = has(Role::Title, columns) || has(Role::Meaning, columns);
    if has(Role::Rail, columns) && (has(Role::Volts, columns) || has(Role::At, columns)) {
        return What::Rails;
    }
    if has(Role::Step, columns) && text {
        return What::Steps;
    }
    if has(Role::Board, columns) && (text || has(Role::Tell, columns) || has(Role::Port, columns)) {
        // A column of codes without a head word makes it a table of codes.
        let coded = columns
            .iter()
            .zip(shapes)
            .any(|(c, s)| c.role == Role::Ignore && s.most(s.codes, 8));
        if !coded {
            return What::Boards;
        }
    }
    What::Codes
}

/// Roles for columns whose heads said nothing.
fn by_shape(what: What, columns: &mut [Column], shapes: &[Shape]) {
    if what == What::Codes && !columns.iter().any(|c| c.role == Role::Code) {
        code_column(columns, shapes);
    }
    // Columns beside a code whose heads name parts of a code.
    if what == What::Codes {
        for (column, shape) in columns.iter_mut().zip(shapes) {
            let open = column.role == Role::Ignore && column.why.is_empty();
            if open
                && !column.head.is_empty()
                && may_be_code(&column.head)
                && shape.most(shape.codes, 8)
                && !shape.most(shape.counting, 8)
            {
                set(
                    column,
                    Role::Code,
                    false,
                    "its head names a part of a code, and its cells look like one",
                );
            }
        }
    }
    if what == What::Codes {
        word_of_code(columns, shapes);
    }
    for (column, shape) in columns.iter_mut().zip(shapes) {
        if column.role != Role::Ignore || !column.why.is_empty() {
            continue;
        }
        if shape.filled == 0 {
            set(column, Role::Ignore, true, "it is empty");
        } else if shape.most(shape.counting, 8) && shape.filled > 2 {
            set(column, Role::Ignore, true, "it only counts the rows");
        } else if shape.most(shape.parts, 8) {
            set(
                column,
                Role::Part,
                shape.most(shape.parts, 10),
                "its cells look like parts on a board",
            );
        } else if what == What::Rails && shape.most(shape.volts, 8) {
            set(column, Role::Volts, true, "its cells are volts");
        } else if shape.most(shape.rails, 8) {
            set(
                column,
                Role::Rail,
                shape.most(shape.rails, 10),
                "its cells look like names of rails",
            );
        } else if shape.most(shape.boards, 8) {
            set(
                column,
                Role::Board,
                shape.most(shape.boards, 10),
                "its cells look like names of boards",
            );
        } else if what == What::Codes
            && shape.most(shape.hex, 9)
            && shape.code_width <= shape.codes * 2
            && column.head.is_empty()
        {
            set(
                column,
                Role::Step,
                false,
                "its cells are short hex numbers beside the code",
            );
        }
    }
    text_columns(columns, shapes);
}

/// A column of single words, few and repeated, right in front of the codes, with
/// a head such as "Group": the first part of a code like `AMBER 14`.
fn word_of_code(columns: &mut [Column], shapes: &[Shape]) {
    let Some(code) = columns.iter().position(|c| c.role == Role::Code) else {
        return;
    };
    let Some(n) = code.checked_sub(1) else {
        return;
    };
    if let (Some(column), Some(shape)) = (columns.get_mut(n), shapes.get(n))
        && column.role == Role::Ignore
        && column.why.is_empty()
        && !column.head.is_empty()
        && may_be_code(&column.head)
        && shape.filled > 1
        && shape.wordy == 0
        && shape.distinct * 3 <= shape.filled * 2
        && !shape.most(shape.counting, 5)
    {
        set(
            column,
            Role::Code,
            false,
            "its head and its few words make it the first part of the code",
        );
    }
}

/// The column of codes: most of its cells are codes, hardly any twice, and as
/// far left and as wide as can be.
fn code_column(columns: &mut [Column], shapes: &[Shape]) {
    let mut best: Option<(usize, usize)> = None;
    for (n, shape) in shapes.iter().enumerate() {
        let open = columns.get(n).is_some_and(|c| c.role == Role::Ignore);
        if !open
            || !shape.most(shape.codes, 7)
            || shape.most(shape.boards, 8) && shape.distinct * 2 < shape.filled
        {
            continue;
        }
        let width = shape.code_width / shape.codes.max(1);
        let mut score = 1000 * shape.codes / shape.filled.max(1);
        score += 600 * shape.distinct / shape.filled.max(1);
        score += 300 * shape.hex / shape.codes.max(1);
        score += 60 * width.min(6);
        score = score.saturating_sub(20 * n.min(10));
        if shape.most(shape.counting, 8) {
            score = score.saturating_sub(900);
        }
        if shape.most(shape.parts, 8) || shape.most(shape.rails, 8) {
            score = score.saturating_sub(500);
        }
        if best.is_none_or(|(s, _)| score > s) {
            best = Some((score, n));
        }
    }
    let Some((_, n)) = best else {
        return;
    };
    if let (Some(column), Some(shape)) = (columns.get_mut(n), shapes.get(n)) {
        let sure = shape.most(shape.codes, 10)
            && shape.most(shape.hex, 9)
            && shape.code_width >= shape.codes * 3;
        set(
            column,
            Role::Code,
            sure,
            "its cells look like codes, and hardly any is there twice",
        );
    }
}

/// Open columns of words: the longest is the meaning, a shorter one in front of
/// it the title, others are notes.
fn text_columns(columns: &mut [Column], shapes: &[Shape]) {
    let length = |n: usize| shapes.get(n).map_or(0, |s| s.chars / s.filled.max(1));
    let mut open: Vec<usize> = Vec::new();
    for (n, (column, shape)) in columns.iter().zip(shapes).enumerate() {
        if column.role == Role::Ignore && column.why.is_empty() && shape.filled > 0 {
            open.push(n);
        }
    }
    let has = |role: Role, columns: &[Column]| {
        columns.iter().any(|c| c.role == role && c.board.is_empty())
    };
    if !has(Role::Meaning, columns)
        && let Some(&longest) = open
            .iter()
            .max_by_key(|&&n| (length(n), std::cmp::Reverse(n)))
        && let Some(column) = columns.get_mut(longest)
    {
        let sure = open.len() == 1;
        set(
            column,
            Role::Meaning,
            sure,
            "its cells hold the longest text",
        );
        open.retain(|&n| n != longest);
        if !has(Role::Title, columns)
            && let Some(&n) = open
                .iter()
                .find(|&&n| n < longest && length(n) * 2 <= length(longest).max(1))
            && let Some(column) = columns.get_mut(n)
        {
            set(
                column,
                Role::Title,
                false,
                "its cells hold a short text in front of the long one",
            );
            open.retain(|&m| m != n);
        }
    }
    for n in open {
        if let Some(column) = columns.get_mut(n) {
            set(column, Role::Note, false, "its cells hold more text");
        }
    }
}

/// Settles roles that do not go together.
fn tidy_roles(what: What, columns: &mut [Column], shapes: &[Shape]) {
    for (column, shape) in columns.iter_mut().zip(shapes) {
        if !what.roles().contains(&column.role) {
            column.role = if what == What::Rails && column.role == Role::Meaning {
                Role::Title
            } else if what.roles().contains(&Role::Part) && shape.most(shape.parts, 8) {
                Role::Part
            } else {
                Role::Note
            };
            column.sure = false;
        }
    }
    // Parts of a code stand side by side; another code further right is none.
    let mut last = None;
    for (n, column) in columns.iter_mut().enumerate() {
        if column.role != Role::Code {
            continue;
        }
        if last.is_some_and(|last| last + 1 < n) {
            set(column, Role::Note, false, "the code stands further left");
        } else {
            last = Some(n);
        }
    }
    // One column names the rows of steps, rails and boards.
    let id = match what {
        What::Codes => return,
        What::Steps => Role::Step,
        What::Rails => Role::Rail,
        What::Boards => Role::Board,
    };
    let mut seen = false;
    for column in columns.iter_mut().filter(|c| c.role == id) {
        if seen {
            column.role = Role::Note;
            column.sure = false;
        }
        seen = true;
    }
}
