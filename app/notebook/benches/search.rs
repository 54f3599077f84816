//! How fast a search is among 20,000 records of about 300 bytes, beside a plain
//! search that makes each text small on the fly.
//!
//! `cargo bench -p notebook --bench search --profile release-native`
//!
//! Both give the number of records found; the benchmark fails when they do not
//! agree. The records are made here and the same each time. Bytes of memory for
//! a record are printed first.

#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::indexing_slicing,
    reason = "a benchmark may panic"
)]

use criterion::{BenchmarkId, Criterion};
use notebook::search::Index;
use notebook::{Data, Item, View};
use std::hint::black_box;

const RECORDS: usize = 20_000;

/// Numbers that look drawn and are the same each time.
struct Mix(u64);

impl Mix {
    fn next(&mut self, below: usize) -> usize {
        self.0 = self
            .0
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        usize::try_from((self.0 >> 33) % below as u64).unwrap()
    }
}

const WORDS: [&str; 40] = [
    "coil",
    "ground",
    "board",
    "standby",
    "resistance",
    "Fan",
    "replaced",
    "capacitor",
    "polymer",
    "after",
    "before",
    "measured",
    "again",
    "same",
    "lamp",
    "red",
    "blinks",
    "three",
    "times",
    "stops",
    "two",
    "seconds",
    "warm",
    "cold",
    "paste",
    "cleaned",
    "flux",
    "joint",
    "crack",
    "Gehäuse",
    "vis cassée",
    "connector",
    "port",
    "short",
    "rail",
    "memory",
    "graphics",
    "chip",
    "reflowed",
    "holds",
];

fn records() -> Vec<Item> {
    let mut mix = Mix(7);
    (0..RECORDS)
        .map(|n| {
            let mut data = Data::new();
            let kind = if n % 100 == 0 { "console" } else { "repair" };
            let text = |mix: &mut Mix, words: usize| {
                let mut out = String::new();
                for _ in 0..words {
                    out += WORDS[mix.next(WORDS.len())];
                    out.push(' ');
                }
                out
            };
            if kind == "console" {
                let name = format!("Shelf {} {}", n / 100, WORDS[mix.next(WORDS.len())]);
                data.insert("name".into(), name.into());
                data.insert("note".into(), text(&mut mix, 40).into());
            } else {
                let console = format!("c{:05}", n / 100 * 100);
                data.insert("console".into(), console.into());
                data.insert("what".into(), text(&mut mix, 8).into());
                let part = format!("C{} {:04X}", mix.next(900), mix.next(65_536));
                data.insert("parts".into(), part.into());
                data.insert("note".into(), text(&mut mix, 36).into());
            }
            Item {
                id: format!("c{n:05}"),
                kind: kind.into(),
                created: n as i64,
                changed: mix.next(1_000_000) as i64,
                view: View {
                    data,
                    ..View::default()
                },
            }
        })
        .collect()
}

/// The plain way: each text made small when it is looked at.
fn plain(texts: &[String], query: &str) -> usize {
    let query = query.to_lowercase();
    let words: Vec<&str> = query.split_whitespace().collect();
    texts
        .iter()
        .filter(|t| {
            let small = t.to_lowercase();
            words.iter().all(|w| small.contains(w))
        })
        .count()
}

fn main() {
    let items = records();
    let mut index = Index::default();
    let start = std::time::Instant::now();
    for item in &items {
        index.put(item, &|_, _| None);
    }
    let built = start.elapsed();
    let texts: Vec<String> = items
        .iter()
        .map(|i| {
            ["name", "what", "parts", "note"]
                .map(|f| i.text(f))
                .join("\n")
        })
        .collect();
    let bytes: usize = texts.iter().map(String::len).sum();
    println!(
        "{RECORDS} records, {} bytes of text each; index: {} bytes each, {built:.1?} to build",
        bytes / RECORDS,
        index.bytes() / RECORDS,
    );
    let mut criterion = Criterion::default().configure_from_args();
    let mut group = criterion.benchmark_group("search");
    for query in [
        "c",    // nearly all records
        "q",    // none, and too short for the filter
        "ca",   // many
        "44d0", // a code: few
        "graphics reflowed holds",
        "shelf 12",     // a nickname
        "nothing such", // none
        "apacitor polyme",
    ] {
        assert_eq!(
            index.find(query, 50).total,
            plain(&texts, query),
            "the two ways do not agree about {query:?}"
        );
        group.bench_with_input(BenchmarkId::new("index", query), query, |b, q| {
            b.iter(|| black_box(index.find(black_box(q), 50).total));
        });
        group.bench_with_input(BenchmarkId::new("plain", query), query, |b, q| {
            b.iter(|| black_box(plain(&texts, black_box(q))));
        });
    }
    group.finish();
    criterion.final_summary();
}
