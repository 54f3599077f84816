//! How often each cause is the one, before anything is known of this console:
//! the book's opinion and the outcomes in the notebook, pooled over the board
//! revisions of the family.

use crate::pool::{Count, Pool};
use crate::random::Random;
use codebook::model::{Cause, CodeBook};
use codebook::often::{Often, WORD};

/// An opinion put as a count counts as at most so many consoles, however large
/// it says it is. Outcomes count in full. Our choice.
pub const OPINION_MOST: f64 = 40.0;

/// By this a share of dead consoles becomes the probability of one fault by
/// itself. About one console in twenty then has a second one: our choice, common
/// practice has no figure.
pub const SECOND: f64 = 0.1;

/// How often the fault is none of the book's causes, where the book is silent.
const UNLISTED: Often = Often {
    share: 0.1,
    counted: WORD,
};

/// In place of a cause's id: the repair showed something that the book does not
/// list.
pub const NOT_LISTED: &str = "not-in-book";

/// A closed job whose cause is confirmed by a repair that held.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Outcome {
    /// Board revision.
    pub board: String,
    /// Ids of the causes that were found.
    pub causes: Vec<String>,
}

/// The priors of one board.
#[derive(Clone, Debug, Default)]
pub struct Priors {
    /// One row for each cause that this board can have.
    pub rows: Vec<Row>,
    /// How often it is none of them.
    pub unlisted: Often,
}

/// The prior of one cause.
#[derive(Clone, Debug, Default)]
pub struct Row {
    /// Place in the book's `causes`.
    pub cause: usize,
    /// The book's opinion for this board, as it counts.
    pub opinion: Count,
    /// What the opinion says, before it was limited: cases, of, who.
    pub said: String,
    /// Outcomes of this board in the notebook.
    pub own: Count,
    /// What the other boards of the family have: opinion and outcomes.
    pub others: Count,
    /// The share of all dead consoles of this board, the rows and `unlisted`
    /// together 1.
    pub share: f64,
    pool: Pool,
    /// The board's place among the counts; nothing when it is not known.
    group: Option<usize>,
    groups: usize,
}

impl Row {
    /// The mean share: of the board, or of all boards alike when it is not
    /// known which one it is.
    fn mean(&self) -> f64 {
        match self.group {
            Some(group) => self.pool.mean(group),
            None => {
                let all = (0..self.groups).map(|g| self.pool.mean(g));
                all.sum::<f64>() / self.groups.max(1) as f64
            }
        }
    }

    fn draw(&self, random: &mut Random) -> f64 {
        let any = (random.even() * self.groups as f64) as usize;
        self.pool.draw(self.group.unwrap_or(any), random)
    }
}

/// The prior of the causes of a board. Without a board id (or one that the book
/// does not have) it is the mean of the family's boards.
pub fn priors(book: &CodeBook, board: &str, outcomes: &[Outcome], opinion: bool) -> Priors {
    let mut out = Priors {
        rows: Vec::new(),
        unlisted: unlisted(book, outcomes, opinion),
    };
    let mut pools: Vec<(Vec<Count>, Pool)> = Vec::new();
    let mut boards: Vec<&str> = book.boards.iter().map(|b| b.id.as_str()).collect();
    if boards.is_empty() {
        boards.push("");
    }
    let group = boards.iter().position(|b| *b == board);
    for (i, cause) in book.causes.iter().enumerate() {
        if is_never(cause, board) {
            continue;
        }
        let mut counts = Vec::with_capacity(boards.len());
        let mut row = Row {
            cause: i,
            group,
            groups: boards.len(),
            ..Row::default()
        };
        for (at, name) in boards.iter().enumerate() {
            let said = if opinion {
                opinion_of(cause, name)
            } else {
                Count::default()
            };
            let own = counted(cause, name, outcomes);
            let both = Count {
                cases: said.cases + own.cases,
                of: said.of + own.of,
            };
            if Some(at) == group {
                (row.opinion, row.own) = (said, own);
            } else {
                row.others.cases += both.cases;
                row.others.of += both.of;
            }
            counts.push(both);
        }
        row.said = words(cause, board);
        // Causes with the same counts have the same pool.
        let same = pools.iter().find(|(c, _)| *c == counts);
        row.pool = same.map(|(_, p)| p.clone()).unwrap_or_else(|| {
            let pool = Pool::new(&counts, book.causes.len());
            pools.push((counts.clone(), pool.clone()));
            pool
        });
        row.share = row.mean();
        out.rows.push(row);
    }
    let rest = 1.0 - out.unlisted.share;
    let sum: f64 = out.rows.iter().map(|r| r.share).sum();
    for row in &mut out.rows {
        row.share *= rest / sum.max(1e-12);
    }
    out
}

/// How often it is none of the book's causes: what the book says, and the
/// outcomes of the family, whatever the board.
fn unlisted(book: &CodeBook, outcomes: &[Outcome], opinion: bool) -> Often {
    let said = Often::parse(&book.unlisted).filter(|_| opinion);
    let said = said.unwrap_or(UNLISTED);
    let own = outside_the_book(book, outcomes);
    let counted = said.counted + own.of;
    let share = (said.share * said.counted + own.cases) / counted;
    if counted.is_finite() {
        Often { share, counted }
    } else {
        said
    }
}

/// Outcomes of the family: something that the book does not list, and in all.
pub fn outside_the_book(book: &CodeBook, outcomes: &[Outcome]) -> Count {
    let known = book.causes.iter().any(|c| c.id == NOT_LISTED);
    let all = outcomes.iter().filter(|o| !o.causes.is_empty());
    let none = |o: &&Outcome| !known && o.causes.iter().any(|c| c == NOT_LISTED);
    Count {
        cases: all.clone().filter(none).count() as f64,
        of: all.count() as f64,
    }
}

impl Priors {
    /// All shares, the one of "not listed" last.
    pub fn shares(&self) -> Vec<f64> {
        let mut all: Vec<f64> = self.rows.iter().map(|r| r.share).collect();
        all.push(self.unlisted_share());
        all
    }

    /// One draw of all shares, the one of "not listed" last.
    pub(crate) fn draw(&self, random: &mut Random) -> Vec<f64> {
        let mut all: Vec<f64> = self.rows.iter().map(|r| r.draw(random)).collect();
        let unlisted = crate::draws::often(&self.unlisted, random);
        let sum: f64 = all.iter().sum();
        for share in &mut all {
            *share *= (1.0 - unlisted) / sum.max(1e-12);
        }
        all.push(unlisted);
        all
    }

    fn unlisted_share(&self) -> f64 {
        if self.rows.is_empty() {
            1.0
        } else {
            self.unlisted.share
        }
    }
}

/// Whether the book rules a cause out on a board.
fn is_never(cause: &Cause, board: &str) -> bool {
    cause.boards.get(board).is_some_and(|w| w == "never")
}

/// The book's opinion as a count.
fn opinion_of(cause: &Cause, board: &str) -> Count {
    if let Some(seen) = cause.seen.get(board) {
        let (cases, of) = (f64::from(seen.cases), f64::from(seen.of));
        let limit = (OPINION_MOST / of.max(1.0)).min(1.0);
        return Count {
            cases: cases * limit,
            of: of * limit,
        };
    }
    let share = common(cause, board).map(|(_, share)| share);
    share.map_or_else(Count::default, |share| Count {
        cases: share * WORD,
        of: WORD,
    })
}

/// The book's word for how common a cause is on a board, and the share that it
/// stands for. Our choice.
fn common<'c>(cause: &'c Cause, board: &str) -> Option<(&'c str, f64)> {
    let word = cause.boards.get(board)?;
    let share = match word.as_str() {
        "often" => 0.3,
        "sometimes" => 0.1,
        "seldom" => 0.03,
        _ => return None,
    };
    Some((word, share))
}

/// The same in words.
fn words(cause: &Cause, board: &str) -> String {
    if let Some(seen) = cause.seen.get(board) {
        let (cases, of) = (seen.cases.to_string(), seen.of.to_string());
        let who = if seen.source.is_empty() {
            "the book does not say who counted"
        } else {
            &seen.source
        };
        return [cases.as_str(), " of ", &of, " (", who, ")"].concat();
    }
    match common(cause, board) {
        Some((word, share)) => {
            let share = crate::plain::percent(share);
            ["\u{201c}", word, "\u{201d}, taken as ", &share, " of 10"].concat()
        }
        None if board.is_empty() => "no board is chosen".to_owned(),
        None => "nothing said for this board".to_owned(),
    }
}

/// Outcomes of a board: with this cause, and in all.
fn counted(cause: &Cause, board: &str, outcomes: &[Outcome]) -> Count {
    let mut out = Count::default();
    for one in outcomes
        .iter()
        .filter(|o| o.board == board && !o.causes.is_empty())
    {
        out.of += 1.0;
        if one.causes.contains(&cause.id) {
            out.cases += 1.0;
        }
    }
    out
}
