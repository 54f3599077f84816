//! What to do next: checks, repairs and giving up on one scale.

use crate::facts::Facts;
use crate::key::Key;
use crate::model::Model;
use crate::plan::{self, Action, Bench, Look, Sequence};
use crate::suspects::{Answer, mends};
use codebook::model::{BenchCheck, CodeBook, Repair};
use codebook::often::Often;
use serde_json::{Value, json};

/// What things cost this person. Money is in the unit of the book's choice.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Weights {
    /// What an hour at the bench counts as.
    pub hour: f64,
    /// What a small risk to board or person counts as.
    pub small: f64,
    /// What a real risk counts as.
    pub real: f64,
    /// What it counts as to heat a board that did not need it.
    pub needless: f64,
    /// What the console is worth mended: the cost of giving up.
    pub console: f64,
}

impl Default for Weights {
    /// Our choice, to be changed by the person.
    fn default() -> Self {
        Self {
            hour: 3.0,
            small: 2.0,
            real: 10.0,
            needless: 10.0,
            console: 120.0,
        }
    }
}

impl Weights {
    /// From JSON; what is missing or no sound number is as at the start.
    pub fn from_json(value: &Value) -> Self {
        let own = Self::default();
        let number = |key: &str, or: f64| {
            let n = value.get(key).and_then(Value::as_f64);
            n.filter(|n| (0.0..=MOST_COST).contains(n)).unwrap_or(or)
        };
        Self {
            hour: number("hour", own.hour),
            small: number("small", own.small),
            real: number("real", own.real),
            needless: number("needless", own.needless),
            console: number("console", own.console),
        }
    }

    /// As JSON.
    pub fn to_json(self) -> Value {
        json!({
            "hour": self.hour,
            "small": self.small,
            "real": self.real,
            "needless": self.needless,
            "console": self.console,
        })
    }
}

/// The highest cost that can be set.
pub const MOST_COST: f64 = 100_000.0;
/// Minutes to put the console together and try it after a repair. Common
/// practice, no source.
pub const TRY_MINUTES: f64 = 10.0;
/// A check that alone saves less than this part of what the best one saves can
/// wait. Without this, anything that costs nothing would stand before what
/// tells most.
const TELLING: f64 = 0.1;
/// And so can one that speaks only for suspects that are together less probable
/// than this: nobody measures the clock cell over a rail code.
const PROBABLE: f64 = 0.05;
/// A suspect shows a result clearly when it does so at least this often.
const CLEARLY: f64 = 0.25;
/// A board is heated first only when what the repair is for is more probable
/// than this; below it a check that speaks for it comes before, if there is one
/// without a real risk and much cheaper. Measure before you heat: common
/// practice, no source.
pub const SURE: f64 = 0.9;
/// Much cheaper: at most this part of the repair's price.
const CHEAPER: f64 = 0.5;
/// Two ways are practically equal when their expected costs differ by less than
/// this part.
pub const EQUAL: f64 = 0.02;
/// A check costs next to nothing when it costs at most this part of what the
/// console is worth.
const NEXT_TO_NOTHING: f64 = 0.02;
/// Elementary steps that weighing all checks may take.
const MOST_EFFORT: f64 = 6e7;
/// At most so many are looked at more closely.
const CLOSELY: usize = 6;

/// A cost and what it is made of.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Price {
    /// Minutes.
    pub minutes: f64,
    /// Money.
    pub money: f64,
    /// What its risk counts as.
    pub risk: f64,
    /// All together.
    pub all: f64,
}

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
    /// be cheaper by the figures: see [`SURE`].
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
    /// What would come next.
    pub next: Deed,
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

/// The price of a check.
pub fn check_price(check: &BenchCheck, weights: &Weights) -> Price {
    price(
        check.minutes,
        check.money,
        risk(&check.risk, weights),
        weights,
    )
}

/// The price of a repair, with trying the console afterwards. One with heat has
/// at least a small risk.
pub fn repair_price(repair: &Repair, weights: &Weights) -> Price {
    let word = match (repair.risk.as_str(), repair.difficulty) {
        ("", 4..) => "real",
        ("", 3) => "small",
        ("" | "none", _) if repair.heat => "small",
        (word, _) => word,
    };
    let minutes = repair.minutes + TRY_MINUTES;
    price(minutes, repair.money, risk(word, weights), weights)
}

fn price(minutes: f64, money: f64, risk: f64, weights: &Weights) -> Price {
    Price {
        minutes,
        money,
        risk,
        // Nothing is free: a hand has to move.
        all: (minutes / 60.0 * weights.hour + money + risk).max(0.05),
    }
}

fn risk(word: &str, weights: &Weights) -> f64 {
    match word {
        "small" => weights.small,
        "real" => weights.real,
        _ => 0.0,
    }
}

/// How probable each result of a check is when only this cause is there. The
/// results are gone through in the order of the book; the last one is what is
/// left.
pub fn results(model: &Model, check: &BenchCheck, cause: usize) -> Vec<f64> {
    let mut left = 1.0;
    let mut out = Vec::with_capacity(check.results.len());
    for (i, result) in check.results.iter().enumerate() {
        let key = Key::Check(check.id.clone(), result.id.clone());
        let finding = model
            .place(&key)
            .and_then(|at| model.network.findings.get(at));
        let last = i + 1 == check.results.len();
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
    // Each result of each check, by the exact sum; in a very large book only as
    // far as there is time, those first that speak for probable suspects.
    let mut order: Vec<(usize, usize, f64)> = Vec::new();
    for (look, check) in ways.checks.iter().enumerate() {
        let row = book.checks.get(*check);
        let speaks = row.map_or(0.0, |row| spoken_for(book, answer, row, &suspects));
        order.push((look, *check, speaks));
    }
    reading::sorted::sort_by(&mut order, |a, b| b.2.total_cmp(&a.2));
    let actions = ways.bench.actions.len() as f64;
    let each =
        2.0 * crate::exact::effort(&answer.model.network, &answer.evidence) + actions * actions;
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
        let results = answer.results(row, facts, book).into_iter().enumerate();
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
    // Looking one check further costs as much again for each pair of checks.
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
                next: ways.best(&one.single, &[seen.look]),
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
            left: answer.still_dead(book, facts, &order),
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

/// How risky a check or repair is, for the order of what is practically equal.
fn rank_of_risk(book: &CodeBook, deed: &Deed) -> u8 {
    let word = match deed {
        Deed::Check(at) => book.checks.get(*at).map_or("", |c| c.risk.as_str()),
        _ => "real",
    };
    match word {
        "real" => 2,
        "small" => 1,
        _ => 0,
    }
}

/// Of what is practically equal to the best, a check with less risk comes first,
/// and of those one that clearly speaks for the leading suspect.
fn mild_first(book: &CodeBook, answer: &Answer, choices: &mut Vec<Choice>) {
    let Some(best) = choices.first().map(|c| c.expected) else {
        return;
    };
    let mut leading = vec![0.0; answer.model.causes.len()];
    let first = answer.suspects.first();
    if let Some(p) = first.and_then(|s| leading.get_mut(s.at)) {
        *p = 1.0;
    }
    let speaks = |deed: &Deed| match deed {
        Deed::Check(at) => {
            let check = book.checks.get(*at);
            check.is_some_and(|c| spoken_for(book, answer, c, &leading) > 0.0)
        }
        _ => false,
    };
    let near = |c: &&Choice| !c.waits && c.expected <= best * (1.0 + EQUAL);
    let n = choices.iter().take_while(near).count();
    let mut rest = choices.split_off(n);
    // A sort that keeps the order of equal ones.
    reading::sorted::sort_by_key(choices, |c| (rank_of_risk(book, &c.deed), !speaks(&c.deed)));
    choices.append(&mut rest);
}

/// Before giving up comes a check without risk that speaks for a suspect and
/// costs next to nothing.
fn look_before_giving_up(
    book: &CodeBook,
    answer: &Answer,
    suspects: &[f64],
    choices: &mut Vec<Choice>,
) {
    let Some(stop) = choices.first().filter(|c| c.deed == Deed::Stop) else {
        return;
    };
    let cheap = stop.price.all * NEXT_TO_NOTHING;
    let found = choices.iter().position(|c| match c.deed {
        Deed::Check(at) => book.checks.get(at).is_some_and(|check| {
            let mild = c.price.all <= cheap && rank_of_risk(book, &c.deed) == 0;
            mild && spoken_for(book, answer, check, suspects) >= PROBABLE
        }),
        _ => false,
    });
    if let Some(check) = to_front(choices, found) {
        check.before_stop = true;
    }
}

/// Puts a check in front of all, also one that could have waited.
fn to_front(choices: &mut Vec<Choice>, place: Option<usize>) -> Option<&mut Choice> {
    let check = choices.remove(place?);
    choices.insert(
        0,
        Choice {
            waits: false,
            ..check
        },
    );
    choices.first_mut()
}

/// Puts a check before a repair with heat.
fn measure_before_heat(book: &CodeBook, answer: &Answer, choices: &mut Vec<Choice>) {
    let Some((Deed::Repair(at), price)) = choices.first().map(|c| (c.deed.clone(), c.price.all))
    else {
        return;
    };
    let Some(repair) = book.repairs.get(at).filter(|r| r.heat) else {
        return;
    };
    let mends = answer.suspects.iter().filter(|s| {
        let cause = s.cause.and_then(|c| book.causes.get(c));
        cause.is_some_and(|c| c.repairs.contains(&repair.id))
    });
    if mends.map(|s| s.now).fold(0.0, f64::max) > SURE {
        return;
    }
    let speaking = speaking_for(book, choices, &repair.id);
    let found = choices.iter().position(|c| match c.deed {
        Deed::Check(check) => {
            let real = book.checks.get(check).is_some_and(|c| c.risk == "real");
            !real && c.price.all <= price * CHEAPER && speaking.contains(&check)
        }
        _ => false,
    });
    if let Some(check) = to_front(choices, found) {
        check.before_heat = true;
    }
}

/// Checks still to be done (places in the book's `checks`) that clearly speak
/// for a cause that this repair mends, the best first.
pub fn speaking_for(book: &CodeBook, choices: &[Choice], repair: &str) -> Vec<usize> {
    let causes = book.causes.iter();
    let causes = causes.filter(|c| c.repairs.iter().any(|r| r == repair));
    let ids: Vec<&str> = causes.map(|c| c.id.as_str()).collect();
    let checks = choices.iter().filter_map(|c| match c.deed {
        Deed::Check(at) => Some(at),
        _ => None,
    });
    let speaks = |at: &usize| {
        let check = book.checks.get(*at);
        check.is_some_and(|check| ids.iter().any(|id| clearly_shows(check, id)))
    };
    checks.filter(speaks).collect()
}

/// How probable the suspects are together that a check speaks for: those that
/// clearly show one of its results.
fn spoken_for(book: &CodeBook, answer: &Answer, check: &BenchCheck, suspects: &[f64]) -> f64 {
    let each = answer.model.causes.iter().zip(suspects);
    let shown = each.filter(|(cause, _)| {
        let cause = book.causes.get(**cause);
        cause.is_some_and(|cause| clearly_shows(check, &cause.id))
    });
    shown.map(|(_, p)| p).sum()
}

/// Whether a check has a result that this cause clearly shows.
fn clearly_shows(check: &BenchCheck, cause: &str) -> bool {
    let shown = check.results.iter().flat_map(|r| &r.shows);
    let mut own = shown.filter(|s| s.cause == cause);
    own.any(|s| Often::parse(&s.often).is_some_and(|o| o.share >= CLEARLY))
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
        if done || check.results.len() < 2 || !applies(check, board) {
            continue;
        }
        let each = (0..answer.model.network.causes.len()).map(|c| results(&answer.model, check, c));
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

    /// The best deed from here.
    fn best(&self, suspects: &[f64], done: &[usize]) -> Deed {
        let sequence = plan::best_sequence(suspects, &self.bench.actions, self.bench.stop);
        let mut best = sequence.cost;
        let first = self.repairs_of(&sequence).first().copied();
        let mut deed = first.map_or(Deed::Stop, Deed::Repair);
        for (look, check) in self.checks.iter().enumerate() {
            if done.contains(&look) {
                continue;
            }
            let cost = plan::worth(suspects, &self.bench, look, done, 0).cost;
            if cost < best {
                best = cost;
                deed = Deed::Check(*check);
            }
        }
        deed
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
