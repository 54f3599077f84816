//! The network of one book and one board, with the words it was made from.

use crate::key::Key;
use crate::network::{Finding, Network};
use crate::prior::{Priors, SECOND};
use codebook::model::{Cause, CheckResult, CodeBook};
use codebook::often::Often;

/// How often something is noticed although nothing in the network brings it
/// about: a code and a stop at a step, a symptom. Our choice; nobody counts
/// this.
const LEAK_CODE: f64 = 0.001;
const LEAK_SYMPTOM: f64 = 0.03;
/// The same for a result of a check, where the book is silent.
const LEAK_RESULT: f64 = 0.02;
/// How often a cause shows what the book lists for it without saying how often.
const LISTED: &str = "sometimes";
/// How often a fault that the book does not list shows a result.
const OTHER_RESULT: f64 = 0.1;

/// Where the strength of a link comes from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Basis {
    /// The book says how often.
    Said,
    /// The book lists it and does not say how often: taken as "sometimes".
    Listed,
    /// A fault that the book does not list may show anything.
    Anything,
}

/// A network with the names of its parts.
#[derive(Clone, Debug, Default)]
pub struct Model {
    /// The sum is taken over this.
    pub network: Network,
    /// The cause (a place in the book's `causes`) of each cause of the network;
    /// the last one of the network is "none of these" and has none.
    pub causes: Vec<usize>,
    /// The findings of the network.
    pub keys: Vec<Key>,
    /// For each finding the links as the book has them.
    pub said: Vec<Vec<(usize, Often, Basis)>>,
}

/// Makes the network for these findings.
pub fn model(book: &CodeBook, priors: &Priors, keys: Vec<Key>) -> Model {
    let mut out = Model {
        causes: priors.rows.iter().map(|r| r.cause).collect(),
        ..Model::default()
    };
    out.network.causes = scaled(&priors.shares());
    for key in &keys {
        let mut links = Vec::new();
        for (at, cause) in out.causes.iter().enumerate() {
            let Some(cause) = book.causes.get(*cause) else {
                continue;
            };
            if let Some((often, basis)) = strength(book, cause, key) {
                links.push((at, often, basis));
            }
        }
        let share = other(book, key);
        links.push((out.causes.len(), exactly(share), Basis::Anything));
        out.network.findings.push(Finding {
            leak: leak(book, key),
            links: links.iter().map(|(i, o, _)| (*i, o.share)).collect(),
        });
        out.said.push(links);
    }
    out.keys = keys;
    out
}

impl Model {
    /// The place of a finding.
    pub fn place(&self, key: &Key) -> Option<usize> {
        self.keys.iter().position(|k| k == key)
    }
}

/// From shares of dead consoles to probabilities of single faults: so small
/// that a second fault is there in about one of twenty, their ratios kept.
pub(crate) fn scaled(shares: &[f64]) -> Vec<f64> {
    shares.iter().map(|s| s * SECOND).collect()
}

/// A share without doubt.
fn exactly(share: f64) -> Often {
    Often {
        share,
        counted: f64::INFINITY,
    }
}

/// How often a cause shows a finding; `None` when the book does not link them.
pub fn strength(book: &CodeBook, cause: &Cause, key: &Key) -> Option<(Often, Basis)> {
    let linked = |kind: &str, name: &str| {
        let found = cause
            .links
            .iter()
            .find(|l| l.kind == kind && l.name == name);
        found.and_then(|l| Often::parse(&l.often))
    };
    let listed = || Often::parse(LISTED).map(|o| (o, Basis::Listed));
    match key {
        Key::Code(code) => by_code(cause, code),
        Key::Step(step) => match linked("step", step) {
            Some(often) => Some((often, Basis::Said)),
            None if cause.steps.contains(step) => listed(),
            None => None,
        },
        Key::Symptom(symptom) => match linked("symptom", symptom) {
            Some(often) => Some((often, Basis::Said)),
            None if cause.symptoms.contains(symptom) => listed(),
            None => None,
        },
        Key::Check(check, result) => {
            let result = result_of(book, check, result)?;
            let shows = result.shows.iter().find(|s| s.cause == cause.id)?;
            Often::parse(&shows.often).map(|o| (o, Basis::Said))
        }
    }
}

/// A code may fit several patterns of a cause: the one with the fewest open
/// places counts, and of equal ones the strongest.
fn by_code(cause: &Cause, code: &str) -> Option<(Often, Basis)> {
    let mut best: Option<(usize, Often, Basis)> = None;
    let mut take = |pattern: &str, often: Often, basis: Basis| {
        let open = pattern.matches('?').count();
        let better = best.is_none_or(|(o, b, _)| open < o || (open == o && often.share > b.share));
        if better && codebook::fits(pattern, code) {
            best = Some((open, often, basis));
        }
    };
    for link in cause.links.iter().filter(|l| l.kind == "code") {
        if let Some(often) = Often::parse(&link.often) {
            take(&link.name, often, Basis::Said);
        }
    }
    let said = |code: &String| {
        cause
            .links
            .iter()
            .any(|l| l.kind == "code" && l.name == *code)
    };
    for pattern in cause.codes.iter().filter(|c| !said(c)) {
        if let Some(often) = Often::parse(LISTED) {
            take(pattern, often, Basis::Listed);
        }
    }
    best.map(|(_, often, basis)| (often, basis))
}

/// A result of a check, by ids.
pub fn result_of<'b>(book: &'b CodeBook, check: &str, result: &str) -> Option<&'b CheckResult> {
    let check = book.checks.iter().find(|c| c.id == check)?;
    check.results.iter().find(|r| r.id == result)
}

fn leak(book: &CodeBook, key: &Key) -> f64 {
    match key {
        Key::Code(_) | Key::Step(_) => LEAK_CODE,
        Key::Symptom(_) => LEAK_SYMPTOM,
        Key::Check(check, result) => {
            let said = result_of(book, check, result).and_then(|r| Often::parse(&r.anyway));
            said.map_or(LEAK_RESULT, |o| o.share)
        }
    }
}

/// How often a fault that the book does not list shows a finding: it may be
/// anything, so every code, step and symptom gets its part.
fn other(book: &CodeBook, key: &Key) -> f64 {
    let part = |n: usize, each: f64| (each / n.max(1) as f64).min(0.5);
    match key {
        Key::Code(_) => part(codes(book), 1.0),
        Key::Step(_) => part(book.steps.len(), 1.0),
        Key::Symptom(_) => part(book.symptoms.len(), 2.0),
        Key::Check(..) => OTHER_RESULT,
    }
}

/// How many codes the causes of the book name.
pub fn codes(book: &CodeBook) -> usize {
    let mut all: Vec<&str> = Vec::new();
    for cause in &book.causes {
        let linked = cause.links.iter().filter(|l| l.kind == "code");
        let names = cause.codes.iter().map(String::as_str);
        for code in names.chain(linked.map(|l| l.name.as_str())) {
            if !all.contains(&code) {
                all.push(code);
            }
        }
    }
    all.len()
}
