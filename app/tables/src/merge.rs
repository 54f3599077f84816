//! Puts rows together: the same row once, rows that disagree side by side and
//! listed as a conflict, rows for one board to the general row.

use crate::taken::{Conflict, Taken, TakenRow};
use codebook::model::{Board, BoardMeaning, CodeMeaning, Rail, Step};
use std::collections::BTreeMap;

/// What is put together so far.
#[derive(Default)]
pub(crate) struct Merge {
    pub taken: Taken,
    /// Places in `piece.codes` by code.
    places: BTreeMap<String, Vec<usize>>,
    /// For each code, sheet and line of its row, and whether it is only said for
    /// single boards.
    from: Vec<(usize, usize, bool)>,
    /// The same for steps, rails and boards, by kind and id.
    named: Vec<(u8, String, usize, usize)>,
}

/// Names of the fields that differ.
fn differing(a: &CodeMeaning, b: &CodeMeaning) -> Vec<String> {
    let mut out = Vec::new();
    let mut put = |differs: bool, name: &str| {
        if differs {
            out.push(name.to_owned());
        }
    };
    put(a.title != b.title, "title");
    put(a.meaning != b.meaning, "meaning");
    put(a.not_proof != b.not_proof, "what it does not prove");
    put(a.step != b.step, "step");
    put(a.rails != b.rails, "rails");
    put(a.parts != b.parts, "parts");
    put(a.boards != b.boards, "wording on boards");
    out
}

fn on_board(row: &CodeMeaning) -> BoardMeaning {
    let text = |t: &String| Some(t.clone()).filter(|t| !t.is_empty());
    BoardMeaning {
        title: text(&row.title),
        meaning: text(&row.meaning),
        not_proof: text(&row.not_proof),
        parts: Some(row.parts.clone()).filter(|p| !p.is_empty()),
    }
}

impl Merge {
    /// Adds a code, for the boards `on` only when there are any.
    pub fn code(&mut self, row: &CodeMeaning, on: &[String], out: &mut TakenRow, sheet: usize) {
        let places = self.places.entry(row.code.clone()).or_default();
        let codes = &mut self.taken.piece.codes;
        // Rows for one layout stand beside rows for another.
        let mut same = None;
        let mut other = None;
        for &at in places.iter() {
            let Some(before) = codes.get(at).filter(|b| b.layouts == row.layouts) else {
                continue;
            };
            if on.is_empty()
                && differing(before, row).is_empty()
                && !self.from.get(at).is_some_and(|f| f.2)
            {
                same = Some(at);
            }
            other = other.or(Some(at));
        }
        if let Some(at) = same {
            let line = self.from.get(at).map_or(0, |f| f.1);
            out.notes.push(
                [
                    &row.code,
                    " says the same as line ",
                    &line.to_string(),
                    "; taken once",
                ]
                .concat(),
            );
            return;
        }
        let merged = other.filter(|&at| !on.is_empty() || self.from.get(at).is_some_and(|f| f.2));
        if let (Some(at), false) = (merged, on.is_empty()) {
            let from = self.from.get(at).map_or((0, 0), |f| (f.0, f.1));
            if let Some(before) = codes.get_mut(at) {
                let meaning = on_board(row);
                for board in on {
                    match before.boards.get(board) {
                        Some(old) if *old != meaning => {
                            conflict(
                                &mut self.taken.conflicts,
                                &row.code,
                                from,
                                (sheet, out.line),
                                vec![["wording on ", board].concat()],
                            );
                            out.notes.push(
                                [
                                    &row.code,
                                    " already has other wording on ",
                                    board,
                                    "; the first one stays",
                                ]
                                .concat(),
                            );
                        }
                        Some(_) => out
                            .notes
                            .push([&row.code, " on ", board, " is there twice"].concat()),
                        None => {
                            before.boards.insert(board.clone(), meaning.clone());
                        }
                    }
                }
                add_source(before, &row.source);
                return;
            }
        }
        if let Some(at) = merged
            && let (Some(before), Some(from)) = (codes.get_mut(at), self.from.get_mut(at))
        {
            // Until now only single boards were known: this row is for all.
            let boards = std::mem::take(&mut before.boards);
            let source = std::mem::take(&mut before.source);
            *before = row.clone();
            for (board, meaning) in boards {
                before.boards.entry(board).or_insert(meaning);
            }
            add_source(before, &source);
            from.2 = false;
            return;
        }
        if let Some(at) = other
            && let (Some(before), Some(from)) = (codes.get(at), self.from.get(at))
        {
            let differs = differing(before, row);
            conflict(
                &mut self.taken.conflicts,
                &row.code,
                (from.0, from.1),
                (sheet, out.line),
                differs,
            );
            out.notes.push(
                [
                    &row.code,
                    " says something else in line ",
                    &from.1.to_string(),
                    "; both are kept",
                ]
                .concat(),
            );
        }
        let mut row = row.clone();
        let meaning = on_board(&row);
        for board in on {
            row.boards.insert(board.clone(), meaning.clone());
        }
        places.push(codes.len());
        codes.push(row);
        self.from.push((sheet, out.line, !on.is_empty()));
    }

    /// Adds a step; the first one of an id stays.
    pub fn step(&mut self, step: Step, out: &mut TakenRow) {
        let steps = &self.taken.piece.steps;
        let before = steps.iter().find(|s| s.id == step.id);
        let same = before.map(|b| {
            let mut b = b.clone();
            b.source.clone_from(&step.source);
            b == step
        });
        if self.settle(0, &step.id, same, out) {
            self.taken.piece.steps.push(step);
        }
    }

    /// Adds a rail; the first one of an id stays.
    pub fn rail(&mut self, rail: Rail, out: &mut TakenRow) {
        let rails = &self.taken.piece.rails;
        let before = rails.iter().find(|r| r.id == rail.id);
        let same = before.map(|b| {
            let mut b = b.clone();
            b.source.clone_from(&rail.source);
            b == rail
        });
        if self.settle(1, &rail.id, same, out) {
            self.taken.piece.rails.push(rail);
        }
    }

    /// Adds a board; the first one of an id stays.
    pub fn board(&mut self, board: Board, out: &mut TakenRow) {
        let boards = &self.taken.piece.boards;
        let before = boards.iter().find(|b| b.id == board.id);
        let same = before.map(|b| {
            let mut b = b.clone();
            b.source.clone_from(&board.source);
            b == board
        });
        if self.settle(2, &board.id, same, out) {
            self.taken.piece.boards.push(board);
        }
    }

    /// Whether a thing is new; notes on it when it is not.
    fn settle(&mut self, kind: u8, id: &str, same: Option<bool>, out: &mut TakenRow) -> bool {
        let Some(same) = same else {
            self.named.push((kind, id.to_owned(), out.sheet, out.line));
            return true;
        };
        let before = self.named.iter().find(|n| n.0 == kind && n.1 == id);
        let (sheet, line) = before.map_or((0, 0), |n| (n.2, n.3));
        let line_text = line.to_string();
        if same {
            out.notes
                .push([id, " says the same as line ", &line_text, "; taken once"].concat());
        } else {
            out.notes.push(
                [
                    id,
                    " says something else in line ",
                    &line_text,
                    "; that one stays",
                ]
                .concat(),
            );
            let differs = vec!["the row".to_owned()];
            conflict(
                &mut self.taken.conflicts,
                id,
                (sheet, line),
                (out.sheet, out.line),
                differs,
            );
        }
        false
    }
}

/// Sources of rows that were put together, each once.
fn add_source(row: &mut CodeMeaning, more: &str) {
    if more.is_empty() || row.source == more {
        return;
    }
    // A long list of sources helps nobody.
    if row.source.len() + more.len() < 400 {
        row.source
            .push_str(if row.source.is_empty() { "" } else { "; " });
        row.source.push_str(more);
    }
}

fn conflict(
    list: &mut Vec<Conflict>,
    code: &str,
    first: (usize, usize),
    second: (usize, usize),
    differs: Vec<String>,
) {
    // The newest conflict of a code is the likeliest to be added to.
    if let Some(known) = list.iter_mut().rev().take(50).find(|c| c.code == code) {
        if !known.places.contains(&second) {
            known.places.push(second);
        }
        for one in differs {
            if !known.differs.contains(&one) {
                known.differs.push(one);
            }
        }
        return;
    }
    list.push(Conflict {
        code: code.to_owned(),
        places: vec![first, second],
        differs,
    });
}
