//! A diagnosis as it was on one day, kept with the job: so that later one can
//! see whether it was right.

use crate::facts::{Facts, Noticed};
use crate::next::{Deed, Options};
use crate::suspects::Answer;
use codebook::model::CodeBook;
use serde_json::{Value, json};

/// One suspect as it was.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Then {
    /// The cause's id; empty for "none of these".
    pub id: String,
    /// What it was called.
    pub title: String,
    /// Before anything was known.
    pub base: f64,
    /// With what was known.
    pub now: f64,
    /// The range.
    pub low: f64,
    /// The range.
    pub high: f64,
}

/// One finding as it was.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Known {
    /// As text (see [`crate::key::Key`]).
    pub key: String,
    /// What it was called; books change.
    pub name: String,
    /// How well it agreed with the finding being there.
    pub there: f64,
    /// The same for not there.
    pub not: f64,
    /// Why it counted so.
    pub why: String,
}

/// A frozen diagnosis.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Frozen {
    /// Id of the code book.
    pub book: String,
    /// Its version.
    pub version: String,
    /// Board revision.
    pub board: String,
    /// Whether the book's opinion was used.
    pub opinion: bool,
    /// Outcomes of the notebook that were counted.
    pub outcomes: usize,
    /// The suspects, the most probable first.
    pub suspects: Vec<Then>,
    /// What was noticed.
    pub noticed: Vec<Known>,
    /// Repairs made before that did not help, by what they were called.
    pub repairs: Vec<String>,
    /// What the advice was.
    pub advice: String,
}

/// "None of these", as it is called.
pub const NONE: &str = "something this book does not list";

/// What a suspect is called.
pub fn title(book: &CodeBook, cause: Option<usize>) -> String {
    let found = cause.and_then(|c| book.causes.get(c));
    found.map_or_else(|| NONE.to_owned(), |c| c.title.clone())
}

/// What a deed is called.
pub fn deed(book: &CodeBook, deed: &Deed) -> String {
    let found = match deed {
        Deed::Check(i) => book.checks.get(*i).map(|c| c.title.clone()),
        Deed::Repair(i) => book.repairs.get(*i).map(|r| r.title.clone()),
        Deed::Stop => Some("stop here, it is not worth more".to_owned()),
    };
    found.unwrap_or_default()
}

/// Freezes a diagnosis. `context` is the board, whether opinion was used, and
/// the number of outcomes; `name` says what a finding is called.
pub fn freeze(
    book: &CodeBook,
    context: (&str, bool, usize),
    name: impl Fn(&Noticed) -> String,
    answer: &Answer,
    facts: &Facts,
    options: &Options,
) -> Frozen {
    let suspects = answer.suspects.iter().map(|s| Then {
        id: s
            .cause
            .and_then(|c| book.causes.get(c))
            .map(|c| c.id.clone())
            .unwrap_or_default(),
        title: title(book, s.cause),
        base: s.base,
        now: s.now,
        low: s.low,
        high: s.high,
    });
    let noticed = facts.noticed.iter();
    let advice = options.choices.first().map(|c| deed(book, &c.deed));
    Frozen {
        book: book.id.clone(),
        version: book.version.clone(),
        board: context.0.to_owned(),
        opinion: context.1,
        outcomes: context.2,
        suspects: suspects.collect(),
        noticed: noticed
            .map(|n| Known {
                key: n.key.text(),
                name: name(n),
                there: n.if_there,
                not: n.if_not,
                why: n.why.clone(),
            })
            .collect(),
        repairs: facts.repairs.iter().map(|id| repair(book, id)).collect(),
        advice: advice.unwrap_or_default(),
    }
}

/// What a repair is called.
pub fn repair(book: &CodeBook, id: &str) -> String {
    let found = book.repairs.iter().find(|r| r.id == id);
    found.map_or_else(|| id.to_owned(), |r| r.title.clone())
}

/// Four digits are enough to look at later.
fn short(p: f64) -> f64 {
    (p * 1e4).round() / 1e4
}

impl Frozen {
    /// As JSON, for the record.
    pub fn to_json(&self) -> Value {
        let suspects: Vec<Value> = self
            .suspects
            .iter()
            .map(|s| {
                json!([
                    s.id,
                    s.title,
                    short(s.base),
                    short(s.now),
                    short(s.low),
                    short(s.high)
                ])
            })
            .collect();
        let noticed: Vec<Value> = self
            .noticed
            .iter()
            .map(|n| json!([n.key, short(n.there), short(n.not), n.why, n.name]))
            .collect();
        json!({
            "format": 1,
            "book": self.book,
            "version": self.version,
            "board": self.board,
            "opinion": self.opinion,
            "outcomes": self.outcomes,
            "suspects": suspects,
            "noticed": noticed,
            "repairs": self.repairs,
            "advice": self.advice,
        })
    }

    /// From JSON: what can't be read is left out. `None` when no suspect is there.
    pub fn from_json(value: &Value) -> Option<Self> {
        let text = |v: Option<&Value>| v.and_then(Value::as_str).unwrap_or_default().to_owned();
        let number = |v: Option<&Value>| {
            let n = v.and_then(Value::as_f64).unwrap_or_default();
            n.clamp(0.0, 1.0)
        };
        let list = |key: &str| value.get(key).and_then(Value::as_array);
        let suspects = list("suspects").into_iter().flatten().map(|s| Then {
            id: text(s.get(0)),
            title: text(s.get(1)),
            base: number(s.get(2)),
            now: number(s.get(3)),
            low: number(s.get(4)),
            high: number(s.get(5)),
        });
        let noticed = list("noticed").into_iter().flatten();
        let outcomes = value.get("outcomes").and_then(Value::as_u64);
        let suspects: Vec<Then> = suspects.filter(|s| !s.title.is_empty()).collect();
        (!suspects.is_empty()).then(|| Self {
            book: text(value.get("book")),
            version: text(value.get("version")),
            board: text(value.get("board")),
            opinion: value
                .get("opinion")
                .and_then(Value::as_bool)
                .unwrap_or(true),
            outcomes: outcomes.unwrap_or_default() as usize,
            suspects,
            noticed: noticed
                .map(|n| Known {
                    key: text(n.get(0)),
                    there: number(n.get(1)),
                    not: number(n.get(2)),
                    why: text(n.get(3)),
                    name: text(n.get(4)),
                })
                .collect(),
            repairs: list("repairs")
                .into_iter()
                .flatten()
                .map(|r| text(Some(r)))
                .collect(),
            advice: text(value.get("advice")),
        })
    }
}
