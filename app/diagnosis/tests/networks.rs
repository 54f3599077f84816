//! The exact sum against the outside: published examples and a general-purpose
//! library.
#![allow(
    clippy::unwrap_used,
    clippy::indexing_slicing,
    clippy::panic,
    reason = "tests may panic"
)]

use diagnosis::exact::{MOST_OPEN, Posterior, given, posterior};
use diagnosis::network::{Finding, Network, Observed};
use serde_json::Value;

fn close(a: f64, b: f64, by: f64) -> bool {
    (a - b).abs() <= by * b.abs().max(1e-300) || (a - b).abs() < 1e-14
}

fn finding(leak: f64, links: &[(usize, f64)]) -> Finding {
    Finding {
        leak,
        links: links.to_vec(),
    }
}

/// How probable each cause is whether or not anything is broken.
fn open(p: &Posterior) -> Vec<f64> {
    p.causes
        .iter()
        .map(|c| c * p.likelihood / p.evidence)
        .collect()
}

/// The fever example of Russell and Norvig, Artificial Intelligence (section on
/// noisy-OR; also in public lecture slides): cold .6, flu .2 and malaria .1
/// inhibit, no leak.
#[test]
fn the_fever_table() {
    let table = [
        ([0, 0, 0], 0.0),
        ([0, 0, 1], 0.9),
        ([0, 1, 0], 0.8),
        ([0, 1, 1], 0.98),
        ([1, 0, 0], 0.4),
        ([1, 0, 1], 0.94),
        ([1, 1, 0], 0.88),
        ([1, 1, 1], 0.988),
    ];
    for (on, fever) in table {
        let net = Network {
            causes: on.iter().map(|o| f64::from(*o)).collect(),
            findings: vec![finding(0.0, &[(0, 0.4), (1, 0.8), (2, 0.9)])],
        };
        let p = posterior(&net, &[Observed::seen(0)], &[]);
        let p = p.map_or(0.0, |p| p.evidence);
        assert!((p - fever).abs() < 1e-12, "{on:?}: {p}, not {fever}");
    }
}

/// The two conventions for the leak, told apart (`references.md` c3, computed
/// with pyagrum 3.3.1 both ways): ours is the separate one.
#[test]
fn the_leak_is_separate() {
    let with = |on: [f64; 2], strengths: [f64; 2]| {
        let net = Network {
            causes: on.to_vec(),
            findings: vec![finding(0.1, &[(0, strengths[0]), (1, strengths[1])])],
        };
        posterior(&net, &[Observed::not_seen(0)], &[]).map_or(0.9, |p| p.evidence)
    };
    for (on, separate, included) in [
        ([0.0, 0.0], 0.1, 0.1),
        ([0.0, 1.0], 0.64, 0.6),
        ([1.0, 0.0], 0.82, 0.8),
        ([1.0, 1.0], 0.928, 0.911_111),
    ] {
        assert!((1.0 - with(on, [0.8, 0.6]) - separate).abs() < 1e-9);
        // Strengths that hold the leak already, as Henrion 1989 gives them.
        let taken_out = |p: f64| 1.0 - (1.0 - p) / 0.9;
        let p = 1.0 - with(on, [taken_out(0.8), taken_out(0.6)]);
        assert!((p - included).abs() < 1e-6, "{on:?} {p}");
    }
}

fn worked() -> Network {
    Network {
        causes: vec![0.10, 0.03, 0.05],
        findings: vec![
            finding(0.01, &[(0, 0.8), (1, 0.6)]),
            finding(0.02, &[(0, 0.3), (2, 0.9)]),
            finding(0.05, &[(1, 0.7), (2, 0.4)]),
        ],
    }
}

/// `references.md` c4, all rows (brute enumeration, Quickscore, pyagrum and
/// pgmpy agree there).
#[test]
fn the_worked_example() {
    let rows: [(&[Observed], f64, [f64; 3]); 8] = [
        (&[], 1.0, [0.1, 0.03, 0.05]),
        (
            &[Observed::seen(0)],
            0.105_594_40,
            [0.762_885, 0.180_600, 0.050_000],
        ),
        (
            &[Observed::seen(0), Observed::seen(1)],
            0.029_386_42,
            [0.945_385, 0.067_991, 0.166_088],
        ),
        (
            &[Observed::seen(0), Observed::seen(1), Observed::seen(2)],
            0.004_422_81,
            [0.771_896, 0.345_276, 0.552_477],
        ),
        (
            &[Observed::seen(0), Observed::seen(1), Observed::not_seen(2)],
            0.024_963_61,
            [0.976_122, 0.018_864, 0.097_631],
        ),
        (
            &[
                Observed::seen(0),
                Observed::not_seen(1),
                Observed::not_seen(2),
            ],
            0.060_916_60,
            [0.801_591, 0.079_706, 0.003_148],
        ),
        (
            &[
                Observed::not_seen(0),
                Observed::not_seen(1),
                Observed::not_seen(2),
            ],
            0.781_635_97,
            [0.015_317, 0.003_698, 0.003_148],
        ),
        (
            &[Observed::seen(0), Observed::seen(2)],
            0.019_714_19,
            [0.373_266, 0.697_165, 0.134_458],
        ),
    ];
    for (evidence, likelihood, causes) in rows {
        let p = posterior(&worked(), evidence, &[]).unwrap();
        assert!(
            (p.evidence - likelihood).abs() < 1e-8,
            "{evidence:?}: {}",
            p.evidence
        );
        for (a, b) in open(&p).iter().zip(causes) {
            assert!((a - b).abs() < 1e-6, "{evidence:?}: {a}, not {b}");
        }
    }
}

/// Every case of `tests/reference/networks.json`, which `networks.py` makes
/// with the general-purpose library pyagrum and by brute enumeration.
#[test]
fn as_a_general_purpose_library() {
    let path = concat!(
        env!("CARGO_MANIFEST_DIR"),
        "/../../tests/reference/networks.json"
    );
    let doc: Value = serde_json::from_slice(&std::fs::read(path).unwrap()).unwrap();
    let (mut exact, mut capped) = (0, 0);
    for net in doc["networks"].as_array().unwrap() {
        let name = net["name"].as_str().unwrap();
        let number = |v: &Value| v.as_f64().unwrap();
        let network = Network {
            causes: net["causes"]
                .as_array()
                .unwrap()
                .iter()
                .map(number)
                .collect(),
            findings: net["findings"]
                .as_array()
                .unwrap()
                .iter()
                .map(|f| Finding {
                    leak: number(&f["leak"]),
                    links: f["links"]
                        .as_array()
                        .unwrap()
                        .iter()
                        .map(|l| (l[0].as_u64().unwrap() as usize, number(&l[1])))
                        .collect(),
                })
                .collect(),
        };
        for case in net["cases"].as_array().unwrap() {
            let evidence: Vec<Observed> = case["evidence"]
                .as_array()
                .unwrap()
                .iter()
                .map(|e| {
                    Observed::weak(
                        e[0].as_u64().unwrap() as usize,
                        number(&e[1]),
                        number(&e[2]),
                    )
                })
                .collect();
            let Some(p) = posterior(&network, &evidence, &[]) else {
                // No cause at all explains it: then the library has 0 too.
                assert_eq!(number(&case["given_fault"]["likelihood"]), 0.0, "{name}");
                continue;
            };
            if !p.left_out.is_empty() {
                capped += 1;
                continue;
            }
            exact += 1;
            assert!(
                close(p.evidence, number(&case["likelihood"]), 1e-9),
                "{name}"
            );
            for (a, b) in open(&p).iter().zip(case["causes"].as_array().unwrap()) {
                assert!(close(*a, number(b), 1e-8), "{name}: {a}, not {b}");
            }
            let fault = &case["given_fault"];
            assert!(
                close(p.likelihood, number(&fault["likelihood"]), 1e-7),
                "{name}"
            );
            for (a, b) in p.causes.iter().zip(fault["causes"].as_array().unwrap()) {
                assert!(close(*a, number(b), 1e-7), "{name}: {a}, not {b}");
            }
            for pair in fault["pairs"].as_array().unwrap() {
                let (i, j) = (
                    pair[0].as_u64().unwrap() as usize,
                    pair[1].as_u64().unwrap() as usize,
                );
                let both =
                    given(&network, &evidence, &[], i).map_or(0.0, |g| p.causes[i] * g.causes[j]);
                assert!(
                    close(both, number(&pair[2]), 1e-7),
                    "{name} {i} {j}: {both}, not {}",
                    pair[2]
                );
            }
        }
    }
    assert!(
        exact >= 60,
        "only {exact} cases compared, {capped} above {MOST_OPEN} open findings"
    );
}
