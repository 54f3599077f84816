//! A simulated bench: consoles that are broken in known ways are mended by the
//! app's advice and by simpler habits, and the costs are put side by side.
//!
//! `cargo run --profile release-native -p diagnosis --example kitchen -- 5000`
//!
//! Three worlds. *As the book says*: causes and findings are drawn from the
//! book's own network. *One code*: a controller that stops at the first failed
//! wait, so that exactly one of a cause's codes is seen. *Wrong book*: the true
//! shares and strengths differ from the book's by a factor of about e (normal,
//! standard deviation 1, in log odds; drawn once for each book).
#![allow(
    clippy::print_stdout,
    clippy::indexing_slicing,
    clippy::unwrap_used,
    reason = "a command"
)]

use codebook::Book;
use codebook::model::CodeBook;
use diagnosis::facts::{Facts, Noticed};
use diagnosis::model::model;
use diagnosis::next::{Deed, options};
use diagnosis::plain::odds;
use diagnosis::price::{Weights, check_price, repair_price};
use diagnosis::prior::{Priors, priors};
use diagnosis::random::Random;
use diagnosis::suspects::{Answer, Question, answer, mends};
use diagnosis::{Key, Network};
use std::collections::BTreeMap;

const WORLDS: [&str; 3] = ["as the book says", "one code", "wrong book"];
const HABITS: [&str; 6] = [
    "the app's advice",
    "most talked-of first",
    "most talked-of once, then give up",
    "most probable first",
    "cheapest first",
    "chance over cost, no checks",
];

/// One console: what is broken, and how each finding turns out.
struct Console {
    broken: Vec<usize>,
    noticed: Vec<Noticed>,
    /// For each check and result whether it comes by itself, and which of the
    /// broken causes bring it about as long as they are there.
    results: Vec<Vec<(bool, Vec<usize>)>>,
    /// For each repair whether it works this time.
    works: Vec<bool>,
}

impl Console {
    /// The result of a check with these causes still there: the first in the
    /// book's order that comes, or the last.
    fn result(&self, check: usize, left: &[usize]) -> usize {
        let all = &self.results[check];
        let came = all
            .iter()
            .position(|(by_itself, by)| *by_itself || by.iter().any(|i| left.contains(i)));
        came.unwrap_or(all.len().saturating_sub(1))
    }
}

struct Bench<'a> {
    book: &'a CodeBook,
    board: String,
    priors: Priors,
    weights: Weights,
    /// Answers already worked out, by what was noticed.
    known: BTreeMap<String, (Answer, Vec<Deed>)>,
    /// What can be noticed: codes, symptoms, results of checks.
    keys: Vec<Key>,
    codes: usize,
    symptoms: usize,
    /// The truth of each world.
    worlds: Vec<Network>,
}

fn main() {
    let count: usize = std::env::args()
        .nth(1)
        .and_then(|a| a.parse().ok())
        .unwrap_or(1000);
    println!(
        "{count} consoles in each world, mean cost to mend or give up (in the book's money, \
        minutes and risk at the default weights)\n"
    );
    println!(
        "| book, board | world | {} | saved to most talked-of | mended |",
        HABITS.join(" | ")
    );
    println!("|---|---|{}---|---|", "---|".repeat(HABITS.len()));
    let mut bands = vec![[(0_u32, 0_u32, 0.0_f64); 10]; 3];
    let mut totals = [[0.0; 6]; 3];
    for (name, board) in [
        ("orrery", "LW-41"),
        ("orrery", "LW-52"),
        ("halyard", "HB-3"),
        ("halyard", "HB-5"),
        ("tamsin", "TM-1"),
    ] {
        let path = format!(
            "{}/../../public/books/{name}.json",
            env!("CARGO_MANIFEST_DIR")
        );
        let book = Book::load(&std::fs::read(path).unwrap()).unwrap().model;
        let mut bench = Bench {
            priors: priors(&book, board, &[], true),
            book: &book,
            board: board.to_owned(),
            weights: Weights::default(),
            known: BTreeMap::new(),
            keys: Vec::new(),
            codes: 0,
            symptoms: 0,
            worlds: Vec::new(),
        };
        bench.build();
        for (w, world) in WORLDS.iter().enumerate() {
            let mut random = Random::new(42 + w as u64);
            let mut sums = [0.0; 6];
            let mut mended = 0;
            for _ in 0..count {
                let console = draw(&bench, w, &mut random);
                for (h, sum) in sums.iter_mut().enumerate() {
                    let (cost, fixed) = if h == 0 {
                        bench.advised(&console, &mut bands[w])
                    } else {
                        bench.habit(&console, h)
                    };
                    *sum += cost / count as f64;
                    mended += usize::from(fixed && h == 0);
                }
            }
            for (total, sum) in totals[w].iter_mut().zip(sums) {
                *total += sum / 5.0;
            }
            let cells: Vec<String> = sums.iter().map(|s| format!("{s:.1}")).collect();
            println!(
                "| {name}, {board} | {world} | {} | {:.0} % | {:.0} % |",
                cells.join(" | "),
                (1.0 - sums[0] / sums[1]) * 100.0,
                mended as f64 / count as f64 * 100.0
            );
        }
    }
    for (world, total) in WORLDS.iter().zip(totals) {
        let cells: Vec<String> = total.iter().map(|s| format!("{s:.1}")).collect();
        println!(
            "| all | {world} | {} | {:.0} % | |",
            cells.join(" | "),
            (1.0 - total[0] / total[1]) * 100.0
        );
    }
    println!(
        "\nCalibration: of the suspects called so probable before each step, how many it was\n"
    );
    println!("| called | {} |", WORLDS.join(" | "));
    println!("|---|---|---|---|");
    for i in 0..10 {
        let cells: Vec<String> = bands
            .iter()
            .map(|b| {
                let (n, right, said) = b[i];
                let n1 = f64::from(n.max(1));
                format!(
                    "{:.1} % (said {:.1} %, n {n})",
                    f64::from(right) / n1 * 100.0,
                    said / n1 * 100.0
                )
            })
            .collect();
        println!(
            "| {} to {} % | {} |",
            i * 10,
            i * 10 + 10,
            cells.join(" | ")
        );
    }
}

/// A share moved by a normal step in log odds.
fn moved(p: f64, sd: f64, random: &mut Random) -> f64 {
    if p <= 0.0 || p >= 1.0 {
        return p;
    }
    let o = (odds(p).ln() + sd * random.normal()).exp();
    o / (1.0 + o)
}

fn code_keys(book: &CodeBook) -> Vec<Key> {
    let mut all: Vec<String> = Vec::new();
    for cause in &book.causes {
        let linked = cause
            .links
            .iter()
            .filter(|l| l.kind == "code")
            .map(|l| &l.name);
        for code in cause.codes.iter().chain(linked) {
            let code = code.replace('?', "0");
            if !all.contains(&code) {
                all.push(code);
            }
        }
    }
    all.into_iter().map(Key::Code).collect()
}

/// A broken console of this world.
fn draw(bench: &Bench, world: usize, random: &mut Random) -> Console {
    let book = bench.book;
    let (keys, net) = (&bench.keys, &bench.worlds[world]);
    let (codes, symptoms) = (bench.codes, bench.symptoms);
    let broken = loop {
        let n = net.causes.iter().enumerate();
        let set: Vec<usize> = n
            .filter(|(_, p)| random.even() < **p)
            .map(|(i, _)| i)
            .collect();
        if !set.is_empty() {
            break set;
        }
    };
    let p = |f: usize| {
        let f = &net.findings[f];
        1.0 - broken
            .iter()
            .fold(1.0 - f.leak, |q, i| q * (1.0 - f.link(*i)))
    };
    let mut noticed = Vec::new();
    let mut note = |key: &Key, there: bool| {
        noticed.push(Noticed {
            key: key.clone(),
            if_there: if there { 1.0 } else { 0.0 },
            if_not: if there { 0.0 } else { 1.0 },
            after: 0,
            why: String::new(),
            record: String::new(),
        });
    };
    if world == 1 {
        // One code, in proportion to how often the cause shows it.
        let weights: Vec<f64> = (0..codes).map(p).collect();
        let mut at = random.even() * weights.iter().sum::<f64>();
        for (key, w) in keys.iter().zip(weights) {
            at -= w;
            if at <= 0.0 {
                note(key, true);
                break;
            }
        }
    } else {
        for (f, key) in keys.iter().enumerate().take(codes) {
            note(key, random.even() < p(f));
        }
    }
    // People look for half of the symptoms; which half has nothing to do with
    // the fault.
    for (f, key) in keys.iter().enumerate().take(symptoms).skip(codes) {
        let there = random.even() < p(f);
        if random.even() < 0.5 {
            note(key, there);
        }
    }
    let mut at = symptoms;
    let mut results = Vec::new();
    for check in &book.checks {
        let each = check.results.iter().map(|_| {
            let f = &net.findings[at];
            at += 1;
            let by_itself = random.even() < f.leak;
            let mut by = broken.clone();
            by.retain(|i| random.even() < f.link(*i));
            (by_itself, by)
        });
        results.push(each.collect());
    }
    let works = book
        .repairs
        .iter()
        .map(|r| random.even() < mends(book, &r.id))
        .collect();
    Console {
        broken,
        noticed,
        results,
        works,
    }
}

impl Bench<'_> {
    fn build(&mut self) {
        self.keys = code_keys(self.book);
        self.codes = self.keys.len();
        let symptoms = self
            .book
            .symptoms
            .iter()
            .map(|s| Key::Symptom(s.id.clone()));
        self.keys.extend(symptoms);
        self.symptoms = self.keys.len();
        for check in &self.book.checks {
            for result in &check.results {
                self.keys
                    .push(Key::Check(check.id.clone(), result.id.clone()));
            }
        }
        let own = model(self.book, &self.priors, self.keys.clone()).network;
        let mut wrong = own.clone();
        let mut random = Random::new(4711);
        for p in &mut wrong.causes {
            *p = moved(*p, 1.0, &mut random);
        }
        for f in &mut wrong.findings {
            for (_, c) in &mut f.links {
                *c = moved(*c, 1.0, &mut random);
            }
        }
        self.worlds = vec![own.clone(), own, wrong];
    }

    fn start(&self, console: &Console) -> Facts {
        Facts {
            noticed: console.noticed.clone(),
            ..Facts::default()
        }
    }

    /// Mends what a repair is for. Places in the model are kept in `left`.
    fn needless(&self, repair: usize, helped: bool) -> f64 {
        if self.book.repairs[repair].heat && !helped {
            self.weights.needless
        } else {
            0.0
        }
    }

    fn mend(&self, console: &Console, answer: &Answer, repair: usize, left: &mut Vec<usize>) {
        if !console.works[repair] {
            return;
        }
        let id = &self.book.repairs[repair].id;
        left.retain(|at| {
            let cause = answer.model.causes.get(*at);
            !cause.is_some_and(|c| self.book.causes[*c].repairs.contains(id))
        });
    }

    fn ask(&self, facts: &Facts) -> Answer {
        answer(&Question {
            book: self.book,
            board: &self.board,
            priors: &self.priors,
            facts,
        })
    }

    fn advised(&mut self, console: &Console, bands: &mut [(u32, u32, f64); 10]) -> (f64, bool) {
        let mut facts = self.start(console);
        let mut left = console.broken.clone();
        let mut cost = 0.0;
        loop {
            let text = format!(
                "{:?}{:?}{:?}",
                facts
                    .noticed
                    .iter()
                    .map(|n| (&n.key, n.if_there, n.after))
                    .collect::<Vec<_>>(),
                facts.repairs,
                facts.done
            );
            if !self.known.contains_key(&text) {
                let found = self.ask(&facts);
                let all = options(self.book, &self.board, &found, &facts, &self.weights);
                let deeds = all.choices.into_iter().map(|c| c.deed).collect();
                self.known.insert(text.clone(), (found, deeds));
            }
            let (found, deeds) = self.known[&text].clone();
            for s in &found.suspects {
                let band = &mut bands[((s.now * 10.0) as usize).min(9)];
                band.0 += 1;
                band.1 += u32::from(left.contains(&s.at));
                band.2 += s.now;
            }
            match deeds[0] {
                Deed::Stop => return (cost + self.weights.console, false),
                Deed::Repair(r) => {
                    cost += repair_price(&self.book.repairs[r], &self.weights).all;
                    let before = left.len();
                    self.mend(console, &found, r, &mut left);
                    cost += self.needless(r, left.len() < before);
                    if left.is_empty() {
                        return (cost, true);
                    }
                    facts.repairs.push(self.book.repairs[r].id.clone());
                }
                Deed::Check(c) => {
                    let check = &self.book.checks[c];
                    cost += check_price(check, &self.weights).all;
                    let came = console.result(c, &left);
                    for (r, result) in check.results.iter().enumerate().take(came + 1) {
                        if r + 1 == check.results.len() {
                            break;
                        }
                        let there = r == came;
                        facts.noticed.push(Noticed {
                            key: Key::Check(check.id.clone(), result.id.clone()),
                            if_there: if there { 1.0 } else { 0.0 },
                            if_not: if there { 0.0 } else { 1.0 },
                            after: facts.repairs.len(),
                            why: String::new(),
                            record: String::new(),
                        });
                    }
                    facts.done.push(check.id.clone());
                }
            }
        }
    }

    /// Repairs in a fixed order until it works or the console is not worth it.
    fn habit(&self, console: &Console, habit: usize) -> (f64, bool) {
        let found = self.ask(&self.start(console));
        let mut order: Vec<(f64, usize)> = Vec::new();
        for (r, repair) in self.book.repairs.iter().enumerate() {
            let of = |by: fn(&diagnosis::suspects::Suspect) -> f64| -> f64 {
                let for_it = found.suspects.iter().filter(|s| {
                    s.cause
                        .is_some_and(|c| self.book.causes[c].repairs.contains(&repair.id))
                });
                for_it.map(by).sum()
            };
            let (base, now) = (of(|s| s.base), of(|s| s.now));
            let price = repair_price(repair, &self.weights).all;
            let rank = match habit {
                1 | 2 => base,
                3 => now,
                4 if now >= 0.01 => 1.0 / price,
                4 => 0.0,
                _ => now / price,
            };
            if rank > 0.0 {
                order.push((rank, r));
            }
        }
        order.sort_by(|a, b| b.0.total_cmp(&a.0));
        let mut left = console.broken.clone();
        let mut cost = 0.0;
        for (_, r) in order {
            let price = repair_price(&self.book.repairs[r], &self.weights).all;
            // Nobody puts more in than the console is worth.
            if cost + price > self.weights.console {
                break;
            }
            cost += price;
            let before = left.len();
            self.mend(console, &found, r, &mut left);
            cost += self.needless(r, left.len() < before);
            if left.is_empty() {
                return (cost, true);
            }
            if habit == 2 {
                break;
            }
        }
        (cost + self.weights.console, false)
    }
}
