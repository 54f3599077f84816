//! Rows become codes, steps, rails and boards of a book, each with where it
//! comes from. No row is dropped without a word.

use crate::codes::{self, Codes, is_nothing};
use crate::merge::Merge;
use crate::plan::{Column, Plan, Role, What};
use crate::propose::style_of;
use crate::shape::volts;
use crate::sheet::{Cell, Form, Left, Row, Sheet};
use crate::style::Style;
use crate::taken::{Given, Taken, TakenRow};
use crate::texts::{append, list, title_and_text};
use codebook::model::{Board, BoardMeaning, CodeMeaning, Rail, Step};

/// Most codes of one row.
const MAX_ROW: usize = 4_096;
/// Most codes of all rows: what a book may have.
const MAX_ALL: usize = 20_000;

/// Takes the rows of sheets by their plans.
#[must_use]
pub fn take(given: &[Given]) -> Taken {
    let mut merge = Merge::default();
    for (number, one) in given.iter().enumerate() {
        let styles = styles(one.sheet, one.plan);
        for (place, row) in one.sheet.rows.iter().enumerate() {
            let mut maker = Maker {
                number,
                given: one,
                styles: &styles,
                row,
                cells: filled(one.plan, row),
                beside: String::new(),
                out: TakenRow {
                    sheet: number,
                    row: place,
                    line: row.line,
                    ..TakenRow::default()
                },
            };
            match maker.make(&mut merge) {
                Ok(()) => merge.taken.rows.push(maker.out),
                Err(why) => {
                    let text: Vec<&str> = row.cells.iter().map(|c| c.text.as_str()).collect();
                    merge.taken.left.push((
                        number,
                        Left {
                            line: row.line,
                            last: row.last,
                            text: text.join(" | "),
                            why,
                        },
                    ));
                }
            }
        }
    }
    merge.taken
}

/// How the codes of each code column are written; others have none.
fn styles(sheet: &Sheet, plan: &Plan) -> Vec<Option<Style>> {
    let codes = plan.columns.iter().enumerate();
    codes
        .map(|(n, column)| {
            (column.role == Role::Code).then(|| {
                let mut style = style_of(sheet, n);
                // What the person decided wins over what was learnt.
                style.verbatim = plan.verbatim;
                style.prefix = plan.prefix.to_ascii_uppercase();
                style.close_up = plan.close_up;
                style
            })
        })
        .collect()
}

/// Makes things of one row.
struct Maker<'a> {
    number: usize,
    given: &'a Given<'a>,
    styles: &'a [Option<Style>],
    row: &'a Row,
    /// The cells that say something, with their columns.
    cells: Vec<(&'a Column, &'a Cell)>,
    /// Words that stood in brackets behind a code.
    beside: String,
    out: TakenRow,
}

fn filled<'a>(plan: &'a Plan, row: &'a Row) -> Vec<(&'a Column, &'a Cell)> {
    let mut out = Vec::new();
    for (column, cell) in plan.columns.iter().zip(&row.cells) {
        if column.role != Role::Ignore && !cell.text.is_empty() && !is_nothing(&cell.text) {
            out.push((column, cell));
        }
    }
    out
}

/// The texts of a row, for all boards or for one.
#[derive(Default)]
struct Texts {
    title: String,
    meaning: String,
    not_proof: String,
    parts: Vec<String>,
}

impl<'a> Maker<'a> {
    /// All cells of a role, put together.
    fn all(&self, role: Role) -> String {
        let mut out = String::new();
        for &(column, cell) in &self.cells {
            if column.role == role && column.board.is_empty() {
                append(&mut out, &cell.text);
            }
        }
        out
    }

    fn list(&self, role: Role) -> Vec<String> {
        let mut out: Vec<String> = Vec::new();
        for &(column, cell) in &self.cells {
            if column.role == role && column.board.is_empty() {
                for one in list(&cell.text) {
                    if !out.contains(&one) {
                        out.push(one);
                    }
                }
            }
        }
        out
    }

    fn make(&mut self, merge: &mut Merge) -> Result<(), String> {
        match self.given.plan.what {
            What::Codes => self.codes(merge),
            What::Steps => self.step(merge),
            What::Rails => self.rail(merge),
            What::Boards => self.board(merge),
        }
    }

    /// The texts that are for all boards, with notes and footnotes at the end.
    /// When the title comes from elsewhere, notes don't make one.
    fn texts(&self, titled: bool) -> Texts {
        let mut title = self.all(Role::Title).replace('\n', " ");
        let mut meaning = self.all(Role::Meaning);
        if title.is_empty() && !meaning.is_empty() {
            (title, meaning) = title_and_text(&meaning);
        }
        let mut more = String::new();
        for &(column, cell) in &self.cells {
            if column.role != Role::Note {
                continue;
            }
            let note = if column.head.is_empty() {
                cell.text.clone()
            } else {
                [&column.head, ": ", &cell.text].concat()
            };
            append(&mut more, &note);
        }
        append(&mut more, &self.beside);
        append(&mut more, &self.footnotes());
        if title.is_empty() && !titled && !more.is_empty() {
            (title, more) = title_and_text(&more);
        }
        append(&mut meaning, &more);
        Texts {
            title,
            meaning,
            not_proof: self.all(Role::NotProof),
            parts: self.list(Role::Part),
        }
    }

    /// The footnotes that the row's cells lead to.
    fn footnotes(&self) -> String {
        let mut out = String::new();
        let mut seen: Vec<&str> = Vec::new();
        for &(_, cell) in &self.cells {
            for mark in &cell.marks {
                if seen.contains(&mark.as_str()) {
                    continue;
                }
                seen.push(mark);
                let note = self.given.sheet.footnotes.iter().find(|n| n.mark == *mark);
                append(&mut out, note.map_or("", |n| n.text.as_str()));
            }
        }
        out
    }

    /// Where the row comes from.
    fn source(&self) -> String {
        let said = self.all(Role::Source).replace('\n', ", ");
        let from = self.given.from;
        if from.is_empty() {
            return said;
        }
        let word = if self.given.sheet.form == Form::Html {
            ", row "
        } else {
            ", line "
        };
        let place = [from, word, &self.row.line.to_string()].concat();
        if said.is_empty() {
            place
        } else {
            [&said, " (", &place, ")"].concat()
        }
    }

    /// The codes of the row: all columns of codes together.
    fn read_codes(&mut self) -> Result<Vec<String>, String> {
        let mut rows: Vec<String> = vec![String::new()];
        let mut parts = 0;
        let mut refused = Vec::new();
        let all = self.styles.iter().flatten().count();
        for (n, style) in self.styles.iter().enumerate() {
            let (Some(style), Some(cell)) = (style, self.row.cells.get(n)) else {
                continue;
            };
            let Codes {
                codes,
                notes,
                refused: no,
                beside,
            } = codes::read(&cell.text, style);
            self.out.notes.extend(notes);
            refused.extend(no);
            append(&mut self.beside, &beside);
            if codes.is_empty() {
                continue;
            }
            parts += 1;
            if rows.len() * codes.len() > MAX_ROW {
                return Err("the row stands for more than 4,096 codes".to_owned());
            }
            let mut next = Vec::new();
            for front in &rows {
                for code in &codes {
                    let join = if front.is_empty() {
                        ""
                    } else {
                        self.given.plan.join.as_str()
                    };
                    next.push([front.as_str(), join, code].concat());
                }
            }
            rows = next;
        }
        if parts == 0 {
            return Err(if refused.is_empty() {
                "it has no code".to_owned()
            } else {
                refused.join("; ")
            });
        }
        if parts < all {
            return Err("a part of its code is missing".to_owned());
        }
        if rows.iter().any(|code| code.chars().count() > 40) {
            return Err("its code is longer than 40 characters".to_owned());
        }
        self.out.notes.extend(refused);
        Ok(rows)
    }

    fn codes(&mut self, merge: &mut Merge) -> Result<(), String> {
        let codes = self.read_codes()?;
        let mut boards = self.board_columns();
        let named = boards.first().is_some_and(|(_, m)| m.title.is_some());
        let mut texts = self.texts(named);
        let on: Vec<String> = self.list(Role::Board);
        if texts.title.is_empty()
            && let Some((_, first)) = boards.first()
            && let Some(title) = &first.title
        {
            // Said only for single boards: the first of them names the code.
            texts.title.clone_from(title);
            let first = first.clone();
            let all = self.board_names();
            if boards.len() == all && boards.iter().all(|(_, m)| *m == first) {
                boards.clear();
                let more = std::mem::take(&mut texts.meaning);
                texts.meaning = first.meaning.unwrap_or_default();
                append(&mut texts.meaning, &more);
            } else {
                self.out
                    .notes
                    .push("only said for single boards; the title is that of the first".to_owned());
            }
        }
        if texts.title.is_empty() {
            return Err("it has a code but no text".to_owned());
        }
        let mut step = self
            .list(Role::Step)
            .iter()
            .map(|s| step_id(s))
            .collect::<Vec<_>>();
        let step = match step.len() {
            0 | 1 => step.pop(),
            _ => {
                append(&mut texts.meaning, &["Step: ", &step.join(", ")].concat());
                self.out
                    .notes
                    .push("more than one step; they stand in the text".to_owned());
                None
            }
        };
        let mut row = CodeMeaning {
            code: String::new(),
            title: texts.title,
            meaning: texts.meaning,
            not_proof: texts.not_proof,
            step: step.filter(|s| !s.is_empty()),
            rails: self.list(Role::Rail),
            parts: texts.parts,
            layouts: self.list(Role::Layout),
            source: self.source(),
            ..CodeMeaning::default()
        };
        for (board, meaning) in boards {
            row.boards.insert(board, meaning);
        }
        if merge.taken.piece.codes.len() + codes.len() > MAX_ALL {
            return Err("more than 20,000 codes; a book can't have more".to_owned());
        }
        if !on.is_empty() {
            self.out.notes.push(["only for ", &on.join(", ")].concat());
        }
        for code in codes {
            row.code.clone_from(&code);
            merge.code(&row, &on, &mut self.out, self.number);
            self.out.became.push(code);
        }
        Ok(())
    }

    /// Number of boards that have a column of their own.
    fn board_names(&self) -> usize {
        let mut names: Vec<&str> = Vec::new();
        for column in &self.given.plan.columns {
            if !column.board.is_empty() && !names.contains(&column.board.as_str()) {
                names.push(&column.board);
            }
        }
        names.len()
    }

    /// Wording of columns that are for one board.
    fn board_columns(&self) -> Vec<(String, BoardMeaning)> {
        let mut out: Vec<(String, BoardMeaning)> = Vec::new();
        let general = self
            .given
            .plan
            .columns
            .iter()
            .any(|c| c.board.is_empty() && matches!(c.role, Role::Title | Role::Meaning));
        for &(column, cell) in &self.cells {
            if column.board.is_empty() {
                continue;
            }
            if !out.iter().any(|(b, _)| *b == column.board) {
                out.push((column.board.clone(), BoardMeaning::default()));
            }
            let Some((_, to)) = out.iter_mut().find(|(b, _)| *b == column.board) else {
                continue;
            };
            let text = cell.text.clone();
            match column.role {
                Role::Title => to.title = Some(text.replace('\n', " ")),
                Role::Meaning if general => to.meaning = Some(text),
                Role::Meaning => {
                    let (title, meaning) = title_and_text(&text);
                    to.title = Some(title);
                    to.meaning = Some(meaning).filter(|m| !m.is_empty());
                }
                Role::NotProof => to.not_proof = Some(text),
                Role::Part => to.parts = Some(list(&text)),
                _ => {}
            }
        }
        out
    }

    fn id(&self, role: Role, what: &str) -> Result<String, String> {
        let id = self.all(role).replace('\n', " ");
        if id.is_empty() {
            return Err(["it has no ", what].concat());
        }
        if id.chars().count() > 40 {
            return Err(["its ", what, " is longer than 40 characters"].concat());
        }
        Ok(id)
    }

    fn step(&mut self, merge: &mut Merge) -> Result<(), String> {
        let id = step_id(&self.id(Role::Step, "step")?);
        if id.is_empty() {
            return Err("it has no step".to_owned());
        }
        let texts = self.texts(false);
        let step = Step {
            name: named(texts.title, &id, &mut self.out),
            about: texts.meaning,
            rails: self.list(Role::Rail),
            parts: texts.parts,
            source: self.source(),
            id: id.clone(),
        };
        self.out.became.push(id);
        merge.step(step, &mut self.out);
        Ok(())
    }

    fn rail(&mut self, merge: &mut Merge) -> Result<(), String> {
        let id = self.id(Role::Rail, "rail")?;
        let mut texts = self.texts(false);
        append(&mut texts.title, &texts.meaning);
        let said = self.all(Role::Volts);
        let volts = volts(&said);
        let mut at = self.all(Role::At);
        if volts.is_none() && !said.is_empty() {
            // Not one number: kept as words.
            append(&mut at, &said);
            self.out
                .notes
                .push(["\"", &said, "\" is not one voltage; kept as words"].concat());
        }
        let rail = Rail {
            name: named(texts.title.replace('\n', "; "), &id, &mut self.out),
            volts,
            at,
            source: self.source(),
            id: id.clone(),
        };
        self.out.became.push(id);
        merge.rail(rail, &mut self.out);
        Ok(())
    }

    fn board(&mut self, merge: &mut Merge) -> Result<(), String> {
        let id = self.id(Role::Board, "board")?;
        let texts = self.texts(false);
        let mut tell = Vec::new();
        for line in self.all(Role::Tell).split('\n').map(str::trim) {
            if !line.is_empty() {
                tell.push(line.to_owned());
            }
        }
        let board = Board {
            name: named(texts.title, &id, &mut self.out),
            tell,
            about: texts.meaning,
            port_note: self.all(Role::Port),
            source: self.source(),
            id: id.clone(),
        };
        self.out.became.push(id);
        merge.board(board, &mut self.out);
        Ok(())
    }
}

/// A name, or the id when there is none: a book needs one.
fn named(name: String, id: &str, out: &mut TakenRow) -> String {
    if !name.is_empty() {
        return name;
    }
    out.notes
        .push("it has no name; the short one stands for it".to_owned());
    id.to_owned()
}

/// A step as the log writes it: `0x0A`, `step 0a` and `0Ah` are `0A`.
fn step_id(text: &str) -> String {
    let text = text.trim();
    let word = text.get(..5).filter(|w| w.eq_ignore_ascii_case("step "));
    let text = word.and_then(|_| text.get(5..)).unwrap_or(text);
    codes::bare(text, &Style::default()).to_ascii_uppercase()
}
