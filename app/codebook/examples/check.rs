//! Checks a code book and prints every problem and note:
//! `cargo run -p codebook --example check -- BOOK.json`

use std::process::ExitCode;

fn main() -> ExitCode {
    let mut bad = false;
    for path in std::env::args().skip(1) {
        let bytes = match std::fs::read(&path) {
            Ok(bytes) => bytes,
            Err(e) => {
                eprintln!("{path}: {e}");
                bad = true;
                continue;
            }
        };
        match codebook::Book::load(&bytes) {
            Ok(book) => {
                let m = &book.model;
                println!(
                    "{path}: good. {} {}: {} layouts, {} codes, {} steps, {} causes",
                    m.id,
                    m.version,
                    m.layouts.len(),
                    m.codes.len(),
                    m.steps.len(),
                    m.causes.len()
                );
                for note in &book.notes {
                    println!("  note: {note}");
                }
            }
            Err(problems) => {
                bad = true;
                println!("{path}: refused, {} problems", problems.len());
                for problem in problems {
                    println!("  {problem}");
                }
            }
        }
    }
    if bad {
        ExitCode::FAILURE
    } else {
        ExitCode::SUCCESS
    }
}
