//! How long books made to be slow take to read pastes made to be slow.
//!
//! `cargo bench -p reading --bench hostile --profile release-native`
//!
//! Prints, for each book, the slowest of the pastes at 25, 50 and 100 kB in
//! milliseconds, beside the demo books with the same pastes, which are the
//! baseline of the same run.

#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::indexing_slicing,
    reason = "a benchmark may panic"
)]

#[path = "../tests/hostile/books.rs"]
mod books;

use codebook::Book;
use reading::Reader;
use reading::explain::explain;
use std::path::Path;
use std::rc::Rc;
use std::time::Instant;

fn demo(name: &str) -> Rc<Book> {
    let path = Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("../../public/books")
        .join(format!("{name}.json"));
    Rc::new(Book::load(&std::fs::read(path).unwrap()).unwrap())
}

fn main() {
    let only = std::env::args().skip(1).find(|a| !a.starts_with('-'));
    println!(
        "{:<16}{:>9}{:>9}{:>9} ms  slowest paste",
        "book", "25 kB", "50 kB", "100 kB"
    );
    let mut rows: Vec<(&str, Vec<Rc<Book>>)> = vec![(
        "demo books",
        ["orrery", "halyard", "tamsin"].map(demo).to_vec(),
    )];
    for (name, doc) in books::all() {
        if only.as_deref().is_some_and(|o| o != name) {
            continue;
        }
        match Book::load(doc.to_string().as_bytes()) {
            Ok(book) => rows.push((name, vec![Rc::new(book)])),
            Err(p) => println!("{name:<16} refused: {}", p[0]),
        }
    }
    for (name, books) in rows {
        let reader = Reader::new(books.clone());
        let mut times = Vec::new();
        let mut slowest = "";
        for size in [25_000, 50_000, 100_000] {
            let mut most = 0.0;
            for (paste, text) in books::pastes(size) {
                let start = Instant::now();
                let reading = reader.read(text.as_bytes());
                let explained = explain(&reading, &books, &|_| None, None);
                let ms = start.elapsed().as_secs_f64() * 1000.0;
                assert!(explained.counts.entries <= reading.entries.len());
                if ms > most {
                    (most, slowest) = (ms, paste);
                }
                if ms > 3000.0 {
                    println!(
                        "   {name} / {paste}: {ms:.0} ms for {size} bytes, {} entries",
                        reading.entries.len()
                    );
                }
            }
            times.push(most);
        }
        println!(
            "{name:<16}{:>9.0}{:>9.0}{:>9.0}     {slowest}",
            times[0], times[1], times[2]
        );
    }
}
