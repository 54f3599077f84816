//! A full update for 20 causes, 40 findings and 12 checks: all suspects, 300
//! draws for the ranges, all checks weighed. And one exact inference beside a
//! general-purpose library's, on the same network in the same run.
//!
//! `cargo bench -p diagnosis --bench speed --profile release-native`
//!
//! For the library, FAULTLEAF_PYTHON names a Python with pyagrum (see
//! `tests/reference/requirements.txt`); without it that line is left out.
#![allow(
    clippy::unwrap_used,
    clippy::indexing_slicing,
    clippy::print_stdout,
    reason = "a benchmark may panic"
)]

use codebook::Book;
use codebook::model::CodeBook;
use criterion::Criterion;
use diagnosis::draws::Draws;
use diagnosis::exact::posterior;
use diagnosis::facts::{Facts, Noticed};
use diagnosis::next::options;
use diagnosis::price::Weights;
use diagnosis::prior::priors;
use diagnosis::suspects::{Question, answer};
use diagnosis::{Finding, Key, Network, Observed};
use serde_json::{Value, json};
use std::hint::black_box;

const CAUSES: usize = 20;
const CODES: usize = 40;
const CHECKS: usize = 12;
const OFTEN: [&str; 3] = ["rarely", "sometimes", "mostly"];

/// A book of this size; all of it invented.
fn book() -> CodeBook {
    let id = |kind: &str, n: usize| format!("{kind}-{n}");
    let causes: Vec<Value> = (0..CAUSES)
        .map(|c| {
            let links: Vec<Value> = (0..CODES)
                .filter(|s| (s * 7 + c * 3) % 5 == 0)
                .map(|s| json!({ "kind": "symptom", "name": id("s", s), "often": OFTEN[(s + c) % 3] }))
                .collect();
            json!({ "id": id("c", c), "title": id("cause", c), "links": links, "repairs": [id("r", c)],
                "seen": { "B1": { "cases": 1 + c % 4, "of": 40 } } })
        })
        .collect();
    let checks: Vec<Value> = (0..CHECKS)
        .map(|k| {
            let shows: Vec<Value> = (0..CAUSES)
                .filter(|c| (c + k) % 4 == 0)
                .map(|c| json!({ "cause": id("c", c), "often": "mostly" }))
                .collect();
            json!({ "id": id("k", k), "title": id("check", k), "how": ["look"], "minutes": 5 + k,
                "results": [{ "id": "bad", "says": "bad", "shows": shows }, { "id": "fine", "says": "fine" }] })
        })
        .collect();
    let repairs: Vec<Value> = (0..CAUSES)
        .map(|r| json!({ "id": id("r", r), "title": id("repair", r), "difficulty": 1 + r % 5, "minutes": 30 + r, "money": r }))
        .collect();
    let symptoms: Vec<Value> = (0..CODES)
        .map(|s| json!({ "id": id("s", s), "title": id("symptom", s) }))
        .collect();
    let doc = json!({ "format": 1, "id": "bench", "version": "1", "name": "bench", "licence": "CC0-1.0",
        "layouts": [], "boards": [{ "id": "B1", "name": "b" }, { "id": "B2", "name": "b" }, { "id": "B3", "name": "b" }],
        "symptoms": symptoms, "causes": causes, "checks": checks, "repairs": repairs });
    Book::load(doc.to_string().as_bytes()).unwrap().model
}

fn facts() -> Facts {
    let noticed = (0..CODES).map(|s| {
        // 6 seen, 34 looked for and not there.
        let (if_there, if_not) = match s % 7 {
            0 => (1.0, 0.1),
            _ => (0.0, 1.0),
        };
        Noticed {
            key: Key::Symptom(format!("s-{s}")),
            if_there,
            if_not,
            after: 0,
            why: String::new(),
            record: String::new(),
        }
    });
    Facts {
        noticed: noticed.collect(),
        ..Facts::default()
    }
}

/// The largest network of the reference values, with its first evidence.
fn large() -> (Network, Vec<Observed>) {
    let path = concat!(
        env!("CARGO_MANIFEST_DIR"),
        "/../../tests/reference/networks.json"
    );
    let doc: Value = serde_json::from_slice(&std::fs::read(path).unwrap()).unwrap();
    let net = doc["networks"].as_array().unwrap().last().unwrap();
    let number = |v: &Value| v.as_f64().unwrap();
    let list = |v: &Value| v.as_array().unwrap().clone();
    let network = Network {
        causes: list(&net["causes"]).iter().map(number).collect(),
        findings: list(&net["findings"])
            .iter()
            .map(|f| Finding {
                leak: number(&f["leak"]),
                links: list(&f["links"])
                    .iter()
                    .map(|l| (l[0].as_u64().unwrap() as usize, number(&l[1])))
                    .collect(),
            })
            .collect(),
    };
    let evidence = list(&net["cases"][0]["evidence"]);
    let evidence = evidence.iter().map(|e| {
        Observed::weak(
            e[0].as_u64().unwrap() as usize,
            number(&e[1]),
            number(&e[2]),
        )
    });
    (network, evidence.collect())
}

fn main() {
    let (book, facts) = (book(), facts());
    let mut c = Criterion::default().sample_size(20).configure_from_args();
    let priors_of = priors(&book, "B1", &[], true);
    let question = Question {
        book: &book,
        board: "B1",
        priors: &priors_of,
        facts: &facts,
    };
    c.bench_function("priors, pooled over 3 boards", |b| {
        b.iter(|| black_box(priors(&book, "B1", &[], true)));
    });
    c.bench_function("suspects alone", |b| {
        b.iter(|| black_box(answer(&question)))
    });
    c.bench_function("full update: suspects, 300 draws, 12 checks", |b| {
        b.iter(|| {
            let mut found = answer(&question);
            found.ranges(&question, &Draws::new(question.priors));
            black_box(options(&book, "B1", &found, &facts, &Weights::default()))
        });
    });
    c.bench_function("ranges alone", |b| {
        let mut found = answer(&question);
        b.iter(|| found.ranges(&question, &Draws::new(question.priors)));
    });
    c.bench_function("options alone", |b| {
        let found = answer(&question);
        b.iter(|| black_box(options(&book, "B1", &found, &facts, &Weights::default())));
    });
    let (network, evidence) = large();
    c.bench_function("one exact inference, 20 causes x 40 findings", |b| {
        b.iter(|| black_box(posterior(&network, &evidence, &[])));
    });
    c.final_summary();
    if let Some(python) = std::env::var_os("FAULTLEAF_PYTHON") {
        let script = concat!(
            env!("CARGO_MANIFEST_DIR"),
            "/../../tests/reference/speed.py"
        );
        let out = std::process::Command::new(python)
            .arg(script)
            .output()
            .unwrap();
        println!(
            "the same inference by a general-purpose library: {}",
            String::from_utf8_lossy(&out.stdout).trim()
        );
    }
}
