//! What to do next: checks, repairs and giving up on one scale.

use crate::facts::Facts;
use crate::key::Key;
use crate::model::Model;
use crate::network::Finding;
use crate::plan::{self, Action, Bench, Look, Sequence};
use crate::price::{Price, Weights, check_price, repair_price};
use crate::rules::{look_before_giving_up, measure_before_heat, mild_first, spoken_for};
use crate::suspects::{Answer, mends};
use codebook::model::{BenchCheck, CodeBook};

/// A check that alone saves less than this part of what the best one saves can
/// wait. Without this, anything that costs nothing would stand before what
/// tells most.
const TELLING: f64 = 0.1;
/// And so can one that speaks only for suspects that are together less probable
/// than this: nobody measures the clock cell over a rail code.
pub(crate) const PROBABLE: f64 = 0.05;
/// Elementary steps that weighing all checks may take.
const MOST_EFFORT: f64 = 6e7;
/// At most so many are looked at more closely.
const CLOSELY: usize = 6;

/// One thing that can be done.
#[derive(Clone, Debug, PartialEq)]
pub enum Deed {
    /// A check (a place in the book's `checks`).
    Check(usize),
    /// A repair (a place in the book's `repairs`).
    Repair(usize),
    /// Leave it.
    Stop,
}

/// One option, with what it leads to.
#[derive(Clone, Debug, PartialEq)]
pub struct Choice {
    /// What.
    pub deed: Deed,
    /// Its own price.
    pub price: Price,
    /// Expected cost in all: with the best way after it, as far as one further
    /// check.
    pub expected: f64,
    /// A check that would change little now.
    pub waits: bool,
    /// A check that stands before a repair with heat although the repair would
    /// be cheaper by the figures: see [`crate::rules::SURE`].
    pub before_heat: bool,
    /// A check that stands before giving up although giving up would be cheaper
    /// by the figures.
    pub before_stop: bool,
    /// For a check: its results.
    pub then: Vec<Then>,
    /// For a repair: the repairs in the order they would be tried (places in
    /// the book's `repairs`), and how probably the fault is still there at the
    /// end.
    pub order: Vec<usize>,
    /// See `order`.
    pub left: f64,
}

impl Choice {
    fn new(deed: Deed, price: Price, expected: f64) -> Self {
        Self {
            deed,
            price,
            expected,
            waits: false,
            before_heat: false,
            before_stop: false,
            then: Vec::new(),
            order: Vec::new(),
            left: 1.0,
        }
    }
}

/// What one result of a check would change.
#[derive(Clone, Debug, PartialEq)]
pub struct Then {
    /// A place in the check's `results`.
    pub result: usize,
    /// How probable it is.
    pub chance: f64,
    /// The suspect that leads then (a place in the model), and how far.
    pub leader: (usize, f64),
    /// What is to be expected from there.
    pub cost: f64,
}

/// All that can be done, the cheapest in expectation first; checks that can wait
/// stand behind.
#[derive(Clone, Debug, Default)]
pub struct Options {
    /// The choices; the first is the advice.
    pub choices: Vec<Choice>,
    /// Checks that can't be weighed: the book does not say what their results
    /// tell, or there are too many of them (places in `checks`).
    pub unweighed: Vec<usize>,
}

/// How probable each result of a check is when only this cause is there. The
/// results are gone through in the order of the book; the last one is what is
/// left.
pub fn results(model: &Model, check: &BenchCheck, cause: usize) -> Vec<f64> {
    alone(&findings(model, check), cause)
}

/// The finding of each result of a check.
fn findings<'m>(model: &'m Model, check: &BenchCheck) -> Vec<Option<&'m Finding>> {
    let each = check.results.iter().map(|result| {
        let key = Key::Check(check.id.clone(), result.id.clone());
        let place = model.place(&key)?;
        model.network.findings.get(place)
    });
    each.collect()
}

fn alone(results: &[Option<&Finding>], cause: usize) -> Vec<f64> {
    let mut left = 1.0;
    let mut out = Vec::with_capacity(results.len());
    for (i, finding) in results.iter().enumerate() {
        let last = i + 1 == results.len();
        let p = match finding {
            Some(finding) if !last => finding.alone(cause),
            _ => 1.0,
        };
        out.push(left * p);
        left *= 1.0 - p;
    }
    out
}

/// Whether a check is one for this board. One for some boards only is none while
/// the board is not known.
pub fn applies(check: &BenchCheck, board: &str) -> bool {
    check.only.is_empty() || check.only.iter().any(|b| b == board)
}

/// Whether power-up gets as far as a check needs; also when the log does not say
/// where it stops.
pub fn reached(book: &CodeBook, check: &BenchCheck, facts: &Facts) -> bool {
    let needs = book.steps.iter().position(|s| s.id == check.reaches);
    needs.is_none() || facts.stop.is_none() || needs <= facts.stop
}

/// The suspects as single faults, adding up to 1.
pub fn singles(answer: &Answer) -> Vec<f64> {
    let mut out = vec![0.0; answer.model.network.causes.len()];
    for suspect in &answer.suspects {
        if let Some(p) = out.get_mut(suspect.at) {
            *p = suspect.now;
        }
    }
    single(&out)
}

/// A check with its results.
struct Seen {
    look: usize,
    check: usize,
    price: Price,
    /// How probable the suspects are together that it speaks for.
    speaks: f64,
    results: Vec<Outlook>,
    cost: f64,
}

/// One result of a check: how probable it is, the suspects after it, the same
/// as single faults, and what is to be expected without a further check.
struct Outlook {
    result: usize,
    chance: f64,
    after: Vec<f64>,
    single: Vec<f64>,
    cost: f64,
}

/// Probabilities of several faults as those of single ones, adding up to 1.
fn single(now: &[f64]) -> Vec<f64> {
    let sum: f64 = now.iter().sum();
    now.iter().map(|p| p / sum.max(1e-12)).collect()
}

/// Everything that can be done now, as the planner sees it.
struct Ways {
    bench: Bench,
    /// The repair of each action.
    repairs: Vec<usize>,
    /// The check of each look.
    checks: Vec<usize>,
}

/// Weighs everything that can be done.
pub fn options(
    book: &CodeBook,
    board: &str,
    answer: &Answer,
    facts: &Facts,
    weights: &Weights,
) -> Options {
    let ways = ways(book, board, answer, facts, weights);
    let suspects = singles(answer);
    let now = plan::best_sequence(&suspects, &ways.bench.actions, ways.bench.stop);
    let (mut looks, beyond) = looks(book, answer, weights, &ways);
    // Looking one check further costs as much again for each pair of checks.
    let actions = ways.bench.actions.len() as f64;
    let ahead = looks.len() as f64 * actions * actions * CLOSELY as f64 * 9.0 < MOST_EFFORT;
    reading::sorted::sort_by(&mut looks, |a, b| a.cost.total_cmp(&b.cost));
    let most = looks.first().map_or(0.0, |l| now.cost - l.cost);
    let mut choices = Vec::new();
    for (rank, seen) in looks.into_iter().enumerate() {
        let saves = now.cost - seen.cost;
        let waits = saves <= 0.0 || saves < TELLING * most || seen.speaks < PROBABLE;
        let close = ahead && !waits && rank < CLOSELY;
        let (mut then, mut expected) = (Vec::new(), seen.price.all);
        for one in &seen.results {
            let cost = if close {
                plan::best_cost(&one.single, &ways.bench, &[seen.look], 1)
            } else {
                one.cost
            };
            expected += one.chance * cost;
            then.push(Then {
                result: one.result,
                chance: one.chance,
                leader: leader(&one.after),
                cost,
            });
        }
        choices.push(Choice {
            waits,
            then,
            ..Choice::new(Deed::Check(seen.check), seen.price, expected)
        });
    }
    // Repairing now; no choice when stopping is the better part.
    let order: Vec<usize> = ways.repairs_of(&now);
    if let Some((first, repair)) = order
        .first()
        .and_then(|r| Some((*r, book.repairs.get(*r)?)))
    {
        let price = repair_price(repair, weights);
        choices.push(Choice {
            left: answer.still_dead(book, &order),
            order,
            ..Choice::new(Deed::Repair(first), price, now.cost)
        });
    }
    let giving_up = Price {
        all: weights.console,
        ..Price::default()
    };
    choices.push(Choice::new(Deed::Stop, giving_up, weights.console));
    reading::sorted::sort_by(&mut choices, |a, b| {
        a.waits
            .cmp(&b.waits)
            .then(a.expected.total_cmp(&b.expected))
    });
    mild_first(book, answer, &mut choices);
    measure_before_heat(book, answer, &mut choices);
    look_before_giving_up(book, answer, &suspects, &mut choices);
    let unweighed = |(_, c): &(usize, &BenchCheck)| c.results.len() < 2 && applies(c, board);
    let all = book.checks.iter().enumerate();
    Options {
        choices,
        unweighed: all
            .filter(unweighed)
            .map(|(i, _)| i)
            .chain(beyond)
            .collect(),
    }
}

/// Each check with its results by the exact sum. In a very large book only as far
/// as there is time, those first that speak for probable suspects; the others
/// are places in the book's `checks`.
fn looks(
    book: &CodeBook,
    answer: &Answer,
    weights: &Weights,
    ways: &Ways,
) -> (Vec<Seen>, Vec<usize>) {
    let singles = singles(answer);
    let mut order: Vec<(usize, usize, f64)> = Vec::new();
    for (look, check) in ways.checks.iter().enumerate() {
        let row = book.checks.get(*check);
        let speaks = row.map_or(0.0, |row| spoken_for(book, answer, row, &singles));
        order.push((look, *check, speaks));
    }
    reading::sorted::sort_by(&mut order, |a, b| b.2.total_cmp(&a.2));
    let actions = ways.bench.actions.len() as f64;
    let each = 2.0 * crate::exact::effort(&answer.model.network, &answer.evidence, &answer.repairs)
        + actions * actions;
    let mut steps = 0.0;
    let mut looks: Vec<Seen> = Vec::new();
    let mut beyond = Vec::new();
    for (look, check, speaks) in order {
        let Some(row) = book.checks.get(check) else {
            continue;
        };
        steps += each * row.results.len() as f64;
        if steps > MOST_EFFORT && !looks.is_empty() {
            beyond.push(check);
            continue;
        }
        let price = check_price(row, weights);
        let results = answer.results(row).into_iter().enumerate();
        let results = results.map(|(result, (chance, after))| {
            let single = single(&after);
            let cost = plan::best_cost(&single, &ways.bench, &[look], 0);
            Outlook {
                result,
                chance,
                after,
                single,
                cost,
            }
        });
        let results: Vec<Outlook> = results.filter(|r| r.chance > 0.0).collect();
        let after: f64 = results.iter().map(|r| r.chance * r.cost).sum();
        looks.push(Seen {
            look,
            check,
            price,
            speaks,
            results,
            cost: price.all + after,
        });
    }
    (looks, beyond)
}

fn ways(book: &CodeBook, board: &str, answer: &Answer, facts: &Facts, weights: &Weights) -> Ways {
    let mut ways = Ways {
        bench: Bench {
            stop: weights.console,
            ..Bench::default()
        },
        repairs: Vec::new(),
        checks: Vec::new(),
    };
    for (i, repair) in book.repairs.iter().enumerate() {
        let share = mends(book, &repair.id);
        let for_it = answer.model.causes.iter().enumerate().filter(|(_, c)| {
            let cause = book.causes.get(**c);
            cause.is_some_and(|c| c.repairs.contains(&repair.id))
        });
        let mends: Vec<(usize, f64)> = for_it.map(|(at, _)| (at, share)).collect();
        if mends.is_empty() || facts.repairs.contains(&repair.id) {
            continue;
        }
        ways.repairs.push(i);
        // Heat for nothing is paid for by every board that it does not mend.
        let needless = if repair.heat { weights.needless } else { 0.0 };
        ways.bench.actions.push(Action {
            look: repair_price(repair, weights).all + needless,
            mend: -needless,
            mends,
        });
    }
    for (i, check) in book.checks.iter().enumerate() {
        let done = facts.done.contains(&check.id);
        if done || check.results.len() < 2 || !applies(check, board) || !reached(book, check, facts)
        {
            continue;
        }
        let found = findings(&answer.model, check);
        let each = (0..answer.model.network.causes.len()).map(|c| alone(&found, c));
        let by_cause: Vec<Vec<f64>> = each.collect();
        let of = |r: usize| {
            by_cause
                .iter()
                .map(move |c| c.get(r).copied().unwrap_or_default())
        };
        ways.checks.push(i);
        ways.bench.looks.push(Look {
            cost: check_price(check, weights).all,
            results: (0..check.results.len()).map(|r| of(r).collect()).collect(),
        });
    }
    ways
}

impl Ways {
    /// The repairs of a sequence, as places in the book.
    fn repairs_of(&self, sequence: &Sequence) -> Vec<usize> {
        let each = sequence.order.iter();
        each.filter_map(|a| self.repairs.get(*a).copied()).collect()
    }
}

fn leader(suspects: &[f64]) -> (usize, f64) {
    let mut best = (0, 0.0);
    for (i, p) in suspects.iter().enumerate() {
        if *p > best.1 {
            best = (i, *p);
        }
    }
    best
}
