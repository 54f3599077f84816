//! Prints the suspects and the next check for a book, a board and findings:
//!
//! `cargo run -p diagnosis --example weigh -- public/books/orrery.json LW-41 "code 44D0" "symptom warm-start"`
//!
//! A finding with `-` before it was looked for and not seen.
#![allow(clippy::print_stdout, clippy::print_stderr, reason = "a command")]

use codebook::Book;
use diagnosis::Key;
use diagnosis::draws::Draws;
use diagnosis::facts::{Facts, Noticed, with_result};
use diagnosis::frozen::{deed, title};
use diagnosis::next::{Deed, options};
use diagnosis::plain;
use diagnosis::price::Weights;
use diagnosis::prior::priors;
use diagnosis::suspects::{Of, Question, answer};

fn main() -> Result<(), String> {
    let mut args = std::env::args().skip(1);
    let usage = "weigh BOOK.json BOARD FINDING...";
    let path = args.next().ok_or(usage)?;
    let board = args.next().ok_or(usage)?;
    let bytes = std::fs::read(&path).map_err(|e| e.to_string())?;
    let book = Book::load(&bytes).map_err(|p| format!("{p:#?}"))?.model;
    let mut facts = Facts::default();
    for text in args {
        let not = text.starts_with('-');
        let key = Key::parse(text.trim_start_matches('-')).ok_or("no such finding")?;
        facts.noticed.push(Noticed {
            key,
            if_there: if not { 0.0 } else { 1.0 },
            if_not: if not { 1.0 } else { 0.0007 },
            after: 0,
            why: String::new(),
            record: String::new(),
        });
    }
    let priors = priors(&book, &board, &[], true);
    let question = Question {
        book: &book,
        board: &board,
        priors: &priors,
        facts: &facts,
    };
    let mut found = answer(&question);
    found.ranges(&question, &Draws::new(question.priors));
    println!("{board}: {} draws", found.draws);
    for s in found.suspects.iter().take(19) {
        println!(
            "  {:>9}  {:>11}  base {:>9}  {}",
            plain::percent(s.now),
            plain::range(s.low, s.high),
            plain::percent(s.base),
            title(&book, s.cause)
        );
        for r in found.reasons(s.at).iter().take(3) {
            let Of::Noticed(at) = r.of else { continue };
            let key = facts.noticed.get(at).map(|n| n.key.text());
            println!("        {:+.1} dB {}", r.weight, key.unwrap_or_default());
        }
    }
    let all = options(&book, &board, &found, &facts, &Weights::default());
    for c in all.choices.iter().take(40) {
        println!(
            "  expected {:6.1}  own {:5.1} {} {}",
            c.expected,
            c.price.all,
            if c.waits { "(waits)" } else { "" },
            deed(&book, &c.deed)
        );
        let next = |result| {
            let check = match c.deed {
                Deed::Check(at) => book.checks.get(at),
                _ => None,
            };
            let then = check.map_or_else(Facts::default, |c| with_result(&facts, c, result));
            let question = Question {
                facts: &then,
                ..question
            };
            let weights = Weights::default();
            let all = options(&book, &board, &answer(&question), &then, &weights);
            all.choices
                .first()
                .map_or_else(String::new, |c| deed(&book, &c.deed))
        };
        for t in &c.then {
            println!(
                "        {:>8}: then {}",
                plain::percent(t.chance),
                next(t.result)
            );
        }
    }
    Ok(())
}
