//! Names that rows use and nothing describes. A book with such a name is
//! refused, so each gets a bare entry that says that it is one.

use crate::taken::Piece;
use codebook::model::{Board, CodeBook, Rail, Step};

impl Piece {
    /// Adds a bare step, rail or board for every name that the piece uses and
    /// neither it nor the book has; gives their names, such as `step 0A`.
    /// Layouts that the book does not have are taken off the codes, since a bare
    /// layout can't be made.
    pub fn name_missing(&mut self, book: &CodeBook) -> Vec<String> {
        let mut added = Vec::new();
        let mut steps: Vec<String> = Vec::new();
        let mut rails: Vec<String> = Vec::new();
        let mut boards: Vec<String> = Vec::new();
        for code in &mut self.codes {
            code.layouts.retain(|id| {
                let known = book.layouts.iter().any(|l| l.id() == id);
                let said = ["layout ", id, " is not in the book"].concat();
                if !known && added.len() < MAX_NAMES && !added.contains(&said) {
                    added.push(said);
                }
                known
            });
            code.step.iter().for_each(|s| put(&mut steps, s));
            code.rails.iter().for_each(|r| put(&mut rails, r));
            code.boards.keys().for_each(|b| put(&mut boards, b));
        }
        for step in &self.steps {
            step.rails.iter().for_each(|r| put(&mut rails, r));
        }
        for id in steps {
            if !book.steps.iter().chain(&self.steps).any(|s| s.id == id) {
                added.push(["step ", &id].concat());
                self.steps.push(Step {
                    name: ["step ", &id].concat(),
                    id,
                    about: String::new(),
                    rails: Vec::new(),
                    parts: Vec::new(),
                    source: SOURCE.to_owned(),
                });
            }
        }
        for id in rails {
            if !book.rails.iter().chain(&self.rails).any(|r| r.id == id) {
                added.push(["rail ", &id].concat());
                self.rails.push(Rail {
                    name: ["rail ", &id].concat(),
                    id,
                    volts: None,
                    at: String::new(),
                    source: SOURCE.to_owned(),
                });
            }
        }
        for id in boards {
            if !book.boards.iter().chain(&self.boards).any(|b| b.id == id) {
                added.push(["board ", &id].concat());
                self.boards.push(Board {
                    name: ["board ", &id].concat(),
                    id,
                    tell: Vec::new(),
                    about: String::new(),
                    port_note: String::new(),
                    source: SOURCE.to_owned(),
                });
            }
        }
        added
    }
}

/// What a bare entry says of itself.
const SOURCE: &str = "named by other rows, not described yet";

/// Most names of one kind; a table with more has the wrong column for them.
const MAX_NAMES: usize = 2_000;

fn put(list: &mut Vec<String>, name: &str) {
    if list.len() < MAX_NAMES && !list.iter().any(|n| n == name) {
        list.push(name.to_owned());
    }
}
