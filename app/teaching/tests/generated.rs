//! Teaching generated layouts: how often the proposal is right with no help,
//! after one tap and after three.
//!
//! 100 layouts of lines and 100 of records from a seeded generator
//! (`generated/`). *Right* means: every part has its true span and role, the
//! clock its true epoch, and the reader gives the true values of all clean
//! entries with the proposed layout. A *tap* is one hint of somebody who knows:
//! the role of the part asked about, a wrong role, a break, a join, the length
//! of a record, the epoch, the order of bytes.
//!
//! `TEACH_SEED=n` tries another seed; `TEACH_SHOW=1` prints what went wrong.

#![allow(
    clippy::unwrap_used,
    clippy::indexing_slicing,
    clippy::panic,
    missing_docs,
    reason = "tests may panic"
)]

#[path = "generated/chance.rs"]
mod chance;
#[path = "generated/dumps.rs"]
mod dumps;
#[path = "generated/judge.rs"]
mod judge;
#[path = "generated/lines.rs"]
mod lines;
#[path = "generated/noise.rs"]
mod noise;
#[path = "generated/truth.rs"]
mod truth;

use chance::Chance;
use judge::{Tap, confident, wrong};
use teaching::{Hints, propose};
use truth::Case;

const SEED: u64 = 20_261_125;
/// 2026-11-25, so that no time lies ahead.
const NOW: i64 = 1_795_564_800;

/// Taps until it is right (4 when three are not enough), and whether anything
/// was wrong without a doubt.
fn teach(case: &Case, show: bool, nth: usize) -> (usize, Vec<String>) {
    let mut hints = Hints {
        latest: Some(NOW),
        ..Hints::default()
    };
    let mut sure = Vec::new();
    for taps in 0..4 {
        let p = match propose(&case.paste, &hints) {
            Ok(p) => p,
            Err(why) => {
                if show {
                    println!("--- {nth} taps {taps}: {}\n{}", why.what, case.paste);
                }
                if hints.kind.is_some() {
                    return (4, sure);
                }
                hints.kind = Some(case.kind);
                continue;
            }
        };
        sure.extend(confident(case, &p));
        let list = wrong(case, &p);
        if list.is_empty() {
            return (taps, sure);
        }
        if show {
            let what: Vec<&String> = list.iter().map(|w| &w.what).collect();
            println!(
                "--- {nth} taps {taps} {:?} entries {} example {:?}: {what:?}",
                case.kind,
                case.entries.len(),
                p.example
            );
            let shown: Vec<String> = p
                .parts
                .iter()
                .filter(|x| x.role != teaching::Role::Same)
                .map(|x| {
                    format!(
                        "{:?}{}@{}-{}",
                        x.role,
                        if x.little == Some(true) { "<" } else { "" },
                        x.span.0,
                        x.span.1
                    )
                })
                .collect();
            println!(
                "shown {} check {:?}",
                shown.join(" "),
                p.check.as_ref().map(|c| &c.words)
            );
            if taps == 0 {
                let truth: Vec<String> = case
                    .parts
                    .iter()
                    .zip(&case.entries[0].spans)
                    .map(|(p, s)| {
                        format!(
                            "{:?}{}@{}-{}",
                            p.role,
                            if p.little { "<" } else { "" },
                            s.0,
                            s.1
                        )
                    })
                    .collect();
                println!("truth {} first {:?}", truth.join(" "), case.entries[0].text);
                println!(
                    "{}",
                    case.paste.lines().take(9).collect::<Vec<_>>().join("\n")
                );
            }
        }
        // The part that is asked about first, if it is wrong.
        let asked = p.ask.and_then(|a| p.parts.get(a)).map(|x| x.span.0);
        let tap = list
            .iter()
            .map(|w| &w.tap)
            .find(|t| matches!(t, Tap::Role(at, _) if Some(*at) == asked))
            .or(list.iter().map(|w| &w.tap).find(|t| **t != Tap::None));
        match tap {
            Some(t) => t.give(&mut hints),
            None => return (4, sure),
        }
    }
    (4, sure)
}

#[test]
fn proposals_are_right_often_enough_and_never_wrong_without_a_doubt() {
    let given = |name: &str| std::env::var(name).ok().and_then(|s| s.parse().ok());
    let seed = given("TEACH_SEED").unwrap_or(SEED);
    let show = given("TEACH_SHOW").is_some();
    let only = given("TEACH_ONLY");
    let mut c = Chance(seed);
    let mut counts = [[0_usize; 5]; 2];
    // By number of entries: 1, 2 to 5, 6 to 24, 25 and more.
    let mut sizes = [[0_usize; 5]; 4];
    let mut sure = Vec::new();
    let mut slowest = std::time::Duration::ZERO;
    for nth in 0..200 {
        let text = nth % 2 == 0;
        let case = if text {
            lines::case(&mut c)
        } else {
            dumps::case(&mut c)
        };
        if only.is_some_and(|o| o != nth as u64) {
            continue;
        }
        let now = std::time::Instant::now();
        let (taps, wrong) = teach(&case, show, nth);
        slowest = slowest.max(now.elapsed());
        counts[usize::from(!text)][taps] += 1;
        let size = match case.entries.len() {
            1 => 0,
            2..=5 => 1,
            6..=24 => 2,
            _ => 3,
        };
        sizes[size][taps] += 1;
        sure.extend(wrong.into_iter().map(|w| format!("{nth}: {w}")));
    }
    println!(
        "seed {seed}                 no help   1 tap   2 taps   3 taps   (share right, in per cent; 100 of each kind)"
    );
    for (name, row) in [
        ("lines of text", counts[0]),
        ("records of bytes", counts[1]),
    ] {
        let upto = |k: usize| row[..=k].iter().sum::<usize>();
        println!(
            "{name:<28} {:>5} {:>8} {:>8} {:>8}",
            upto(0),
            upto(1),
            upto(2),
            upto(3)
        );
    }
    for (name, row) in [
        "1 entry",
        "2 to 5 entries",
        "6 to 24 entries",
        "25 to 40 entries",
    ]
    .iter()
    .zip(sizes)
    {
        let of = row.iter().sum::<usize>().max(1);
        let upto = |k: usize| row[..=k].iter().sum::<usize>() * 100 / of;
        println!(
            "{:<28} {:>5} {:>8} {:>8} {:>8}   of {of}",
            format!("  with {name}"),
            upto(0),
            upto(1),
            upto(2),
            upto(3)
        );
    }
    let all = |k: usize| {
        (0..2)
            .map(|r| counts[r][..=k].iter().sum::<usize>())
            .sum::<usize>()
            / 2
    };
    println!(
        "{:<28} {:>5} {:>8} {:>8} {:>8}",
        "both",
        all(0),
        all(1),
        all(2),
        all(3)
    );
    println!("slowest case with all its taps: {slowest:?}");
    println!("wrong without a doubt: {sure:?}");
    if only.is_none() {
        assert!(sure.is_empty(), "wrong without a doubt: {sure:?}");
        assert!(
            all(0) >= 70 && all(1) >= 90 && all(3) >= 99,
            "fewer are right than promised"
        );
    }
}
