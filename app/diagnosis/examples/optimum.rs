//! The app's advice beside the exact optimum, on small cases cut out of the
//! demo books: four causes, their repairs and three checks, one fault at a time.
//!
//! `cargo run --profile release-native -p diagnosis --example optimum -- 200`
//!
//! The optimum is the least expected cost over *all* plans, found by going
//! through every state (which checks gave what, which repairs failed). The
//! advice is followed the same way, through every state that it can lead to.
#![allow(
    clippy::print_stdout,
    clippy::indexing_slicing,
    clippy::unwrap_used,
    reason = "a command"
)]

use codebook::Book;
use diagnosis::Key;
use diagnosis::model::model;
use diagnosis::next::results;
use diagnosis::plan::{Action, Bench, Look, best_sequence, worth};
use diagnosis::price::{Weights, check_price, repair_price};
use diagnosis::prior::priors;
use diagnosis::random::Random;
use diagnosis::suspects::mends;
use std::collections::BTreeMap;

fn main() {
    let count: usize = std::env::args()
        .nth(1)
        .and_then(|a| a.parse().ok())
        .unwrap_or(100);
    println!(
        "| book | cases | optimum | advice, no look ahead | advice, one check ahead | chance over cost, no checks |"
    );
    println!("|---|---|---|---|---|---|");
    for name in ["orrery", "halyard", "tamsin"] {
        let path = format!(
            "{}/../../public/books/{name}.json",
            env!("CARGO_MANIFEST_DIR")
        );
        let book = Book::load(&std::fs::read(path).unwrap()).unwrap().model;
        let board = &book.boards[0].id;
        let priors = priors(&book, board, &[], true);
        let keys = book.checks.iter().flat_map(|c| {
            c.results
                .iter()
                .map(|r| Key::Check(c.id.clone(), r.id.clone()))
        });
        let model = model(&book, &priors, keys.collect());
        let weights = Weights::default();
        let mut random = Random::new(5);
        let mut pick = |n: usize| (random.even() * n as f64) as usize;
        let mut sums = [0.0; 4];
        let mut cases = 0;
        while cases < count {
            let mut causes: Vec<usize> = Vec::new();
            while causes.len() < 4 {
                let c = pick(model.causes.len());
                if !causes.contains(&c) {
                    causes.push(c);
                }
            }
            // Checks that have to do with them.
            let telling: Vec<usize> = (0..book.checks.len())
                .filter(|k| {
                    book.checks[*k]
                        .results
                        .iter()
                        .flat_map(|r| &r.shows)
                        .any(|s| {
                            causes
                                .iter()
                                .any(|c| book.causes[model.causes[*c]].id == s.cause)
                        })
                })
                .collect();
            if telling.len() < 3 {
                continue;
            }
            let mut checks: Vec<usize> = Vec::new();
            while checks.len() < 3 {
                let k = telling[pick(telling.len())];
                if !checks.contains(&k) {
                    checks.push(k);
                }
            }
            let mut bench = Bench {
                stop: weights.console,
                ..Bench::default()
            };
            for repair in &book.repairs {
                let for_it = causes.iter().enumerate();
                let for_it = for_it
                    .filter(|(_, c)| book.causes[model.causes[**c]].repairs.contains(&repair.id));
                let list: Vec<(usize, f64)> =
                    for_it.map(|(i, _)| (i, mends(&book, &repair.id))).collect();
                if !list.is_empty() {
                    bench.actions.push(Action {
                        look: repair_price(repair, &weights).all,
                        mend: 0.0,
                        mends: list,
                    });
                }
            }
            for k in checks {
                let check = &book.checks[k];
                let by: Vec<Vec<f64>> = causes.iter().map(|c| results(&model, check, *c)).collect();
                bench.looks.push(Look {
                    cost: check_price(check, &weights).all,
                    results: (0..check.results.len())
                        .map(|r| by.iter().map(|b| b[r]).collect())
                        .collect(),
                });
            }
            let shares: Vec<f64> = causes.iter().map(|c| priors.rows[*c].share).collect();
            let sum: f64 = shares.iter().sum();
            let suspects: Vec<f64> = shares.iter().map(|s| s / sum).collect();
            sums[0] += optimum(&bench, &suspects, 0, 0, &mut BTreeMap::new());
            sums[1] += followed(&bench, &suspects, 0, 0, 0);
            sums[2] += followed(&bench, &suspects, 0, 0, 1);
            sums[3] += best_sequence(&suspects, &bench.actions, bench.stop).cost;
            cases += 1;
        }
        let cell = |s: f64| {
            format!(
                "{:.2} ({:+.1} %)",
                s / cases as f64,
                (s / sums[0] - 1.0) * 100.0
            )
        };
        println!(
            "| {name} | {cases} | {:.2} | {} | {} | {} |",
            sums[0] / cases as f64,
            cell(sums[1]),
            cell(sums[2]),
            cell(sums[3])
        );
    }
}

fn after(bench: &Bench, suspects: &[f64], action: usize) -> Vec<f64> {
    let mut left = suspects.to_vec();
    for (i, m) in &bench.actions[action].mends {
        left[*i] *= 1.0 - m;
    }
    left
}

fn split<'a>(look: &'a Look, suspects: &'a [f64]) -> impl Iterator<Item = Vec<f64>> + 'a {
    look.results
        .iter()
        .map(|l| suspects.iter().zip(l).map(|(p, l)| p * l).collect())
}

/// Least expected cost over all plans; `suspects` hold the chance to be here.
fn optimum(
    bench: &Bench,
    suspects: &[f64],
    looked: u32,
    tried: u32,
    known: &mut BTreeMap<String, f64>,
) -> f64 {
    let here: f64 = suspects.iter().sum();
    if here < 1e-12 {
        return 0.0;
    }
    let text = format!("{looked} {tried} {suspects:?}");
    if let Some(cost) = known.get(&text) {
        return *cost;
    }
    let mut best = here * bench.stop;
    for a in 0..bench.actions.len() {
        if tried >> a & 1 == 0 {
            let rest = after(bench, suspects, a);
            best = best.min(
                here * bench.actions[a].look + optimum(bench, &rest, looked, tried | 1 << a, known),
            );
        }
    }
    for (k, look) in bench.looks.iter().enumerate() {
        if looked >> k & 1 == 0 {
            let mut cost = here * look.cost;
            for part in split(look, suspects).collect::<Vec<_>>() {
                cost += optimum(bench, &part, looked | 1 << k, tried, known);
            }
            best = best.min(cost);
        }
    }
    known.insert(text, best);
    best
}

/// What the advice costs when it is asked anew after every step.
fn followed(bench: &Bench, suspects: &[f64], looked: u32, tried: u32, ahead: u32) -> f64 {
    let here: f64 = suspects.iter().sum();
    if here < 1e-12 {
        return 0.0;
    }
    let free: Vec<usize> = (0..bench.actions.len())
        .filter(|a| tried >> a & 1 == 0)
        .collect();
    let rest = Bench {
        actions: free.iter().map(|a| bench.actions[*a].clone()).collect(),
        ..bench.clone()
    };
    let sequence = best_sequence(suspects, &rest.actions, rest.stop);
    let mut best = (sequence.cost, None);
    let done: Vec<usize> = (0..bench.looks.len())
        .filter(|k| looked >> k & 1 == 1)
        .collect();
    for k in (0..bench.looks.len()).filter(|k| looked >> k & 1 == 0) {
        let cost = worth(suspects, &rest, k, &done, ahead).cost;
        if cost < best.0 {
            best = (cost, Some(k));
        }
    }
    match best.1 {
        Some(k) => {
            let look = &bench.looks[k];
            let parts: Vec<Vec<f64>> = split(look, suspects).collect();
            let each = parts
                .iter()
                .map(|p| followed(bench, p, looked | 1 << k, tried, ahead));
            here * look.cost + each.sum::<f64>()
        }
        None => match sequence.order.first() {
            None => here * bench.stop,
            Some(a) => {
                let a = free[*a];
                let left = after(bench, suspects, a);
                here * bench.actions[a].look + followed(bench, &left, looked, tried | 1 << a, ahead)
            }
        },
    }
}
