//! Shares, ranges, weights and words against handbook values.
#![allow(
    clippy::unwrap_used,
    clippy::indexing_slicing,
    clippy::panic,
    reason = "tests may panic"
)]

use diagnosis::plain::{decibans, odds, percent, range, share, weight};
use diagnosis::pool::{Count, Pool};
use diagnosis::proportion::{Z90, Z95, wilson};
use diagnosis::random::Random;
use serde_json::Value;

/// Newcombe 1998, Statistics in Medicine 17:857-872, table I, method 3, and
/// small counts computed with statsmodels (`references.md` b1, b3).
#[test]
fn wilsons_range() {
    for (x, n, low, high) in [
        (81, 263, 0.255_289, 0.366_210),
        (15, 148, 0.062_386, 0.160_487),
        (0, 20, 0.0, 0.161_125),
        (1, 29, 0.006_113, 0.171_755),
        (0, 1, 0.0, 0.793_451),
        (1, 1, 0.206_549, 1.0),
        (3, 3, 0.438_503, 1.0),
        (9, 10, 0.595_850, 0.982_124),
        (7, 12, 0.319_511, 0.806_740),
        (50, 100, 0.403_832, 0.596_168),
    ] {
        let (a, b) = wilson(x, n, Z95).unwrap();
        assert!(
            (a - low).abs() < 1e-6 && (b - high).abs() < 1e-6,
            "{x}/{n}: {a} {b}"
        );
    }
    // NIST e-Handbook 7.2.4.1, 4 of 20, 90 % (b2).
    let (a, b) = wilson(4, 20, Z90).unwrap();
    assert!((a - 0.093_118).abs() < 1e-6 && (b - 0.378_377).abs() < 1e-6);
    assert_eq!(wilson(0, 0, Z95), None, "nothing of nothing is no estimate");
    assert_eq!(wilson(3, 2, Z95), None);
}

/// `references.md` c6: Good's decibans, and two lines printed in the General
/// Report on Tunny (1945).
#[test]
fn weights_of_evidence() {
    for (ratio, db) in [(2.0, 3.0103), (0.8, -0.9691), (10.0, 10.0), (0.5, -3.0103)] {
        assert!((decibans(ratio) - db).abs() < 5e-5);
    }
    assert!(
        (decibans(20.0) - 13.0).abs() < 0.02,
        "20 to 1 on is 13 decibans"
    );
    assert!(
        (decibans(2.5) - 4.0).abs() < 0.03,
        "5 to 2 on is 4 decibans"
    );
    assert!((decibans(8.0 / 13.0) + 2.1085).abs() < 5e-5);
    assert!((decibans(odds(0.909_091)) - 10.0).abs() < 1e-4);
    assert_eq!(weight(0.4), "says next to nothing");
    assert_eq!(
        weight(-6.2),
        "speaks clearly against it: odds 4 times worse (6 decibans)"
    );
    assert_eq!(
        weight(f64::NEG_INFINITY),
        "speaks very strongly against it: nothing else is possible"
    );
}

#[test]
fn numbers_in_plain_words() {
    for (p, words) in [
        (0.5, "about 1 in 2"),
        (0.6, "about 3 in 5"),
        (0.62, "about 3 in 5"),
        (0.54, "about 1 in 2"),
        (0.29, "about 3 in 10"),
        (0.67, "about 2 in 3"),
        (0.25, "about 1 in 4"),
        (0.05, "about 1 in 20"),
        (0.033, "about 1 in 30"),
        (0.01, "about 1 in 100"),
        (0.96, "about 29 in 30"),
        (0.001, "less than 1 in 200"),
        (0.999, "more than 199 in 200"),
        (f64::NAN, "unknown"),
    ] {
        assert_eq!(share(p), words, "{p}");
    }
    for i in 1..=1000 {
        let p = f64::from(i) / 1001.0;
        let words = share(p);
        if let Some((a, b)) = words.trim_start_matches("about ").split_once(" in ")
            && let (Ok(a), Ok(b)) = (a.parse::<f64>(), b.parse::<f64>())
        {
            assert!((a / b - p).abs() <= 0.05, "{p}: {words}");
        }
    }
    assert_eq!(percent(0.004), "under 1 %");
    assert_eq!(percent(0.624), "62 %");
    assert_eq!(percent(0.9999), "over 99 %");
    assert_eq!(range(0.41, 0.75), "41 to 75 %");
    assert_eq!(range(0.411, 0.412), "41 %");
}

/// SplitMix64: the first outputs of the published reference code for the seed
/// 1234567 (from memory; widely used as a test vector).
#[test]
fn the_draws_are_those_of_the_published_generator() {
    let mut random = Random::new(1_234_567);
    let all: Vec<u64> = (0..5).map(|_| random.bits()).collect();
    assert_eq!(
        all,
        [
            6_457_827_717_110_365_317,
            3_203_168_211_198_807_973,
            9_817_491_932_198_370_423,
            4_593_380_528_125_082_431,
            16_408_922_859_458_223_821,
        ]
    );
}

/// Beta draws have the mean, the spread and the limits of `references.md` c8
/// (Gelman et al., 437 girls of 980 births; Beta(1,1) + 7 of 10; Beta(1,9) + 3
/// of 4).
#[test]
fn beta_draws() {
    for (a, b, mean, low, high, by) in [
        (438.0, 544.0, 0.446_028_5, 0.415_065, 0.477_200, 0.001),
        (8.0, 4.0, 0.666_667, 0.390_257, 0.890_737, 0.006),
        (4.0, 10.0, 0.285_714, 0.090_920, 0.538_132, 0.006),
        (1.0, 6.0, 0.142_857, 0.004_211, 0.459_258, 0.006),
        (4.0, 1.0, 0.8, 0.397_635, 0.993_691, 0.012),
    ] {
        let mut random = Random::new(7);
        let mut all: Vec<f64> = (0..40_000).map(|_| random.beta(a, b)).collect();
        all.sort_by(f64::total_cmp);
        let own = all.iter().sum::<f64>() / all.len() as f64;
        assert!((own - mean).abs() < by, "Beta({a},{b}): mean {own}");
        assert!((all[1000] - low).abs() < by, "Beta({a},{b}): {}", all[1000]);
        assert!(
            (all[39_000] - high).abs() < by,
            "Beta({a},{b}): {}",
            all[39_000]
        );
    }
}

/// Dirichlet (Gelman et al. 3.4, a poll of 727, 583 and 137; and (1,1,1) + 3, 5,
/// 2), as gamma draws divided by their sum would give them: each share alone is
/// a beta.
#[test]
fn shares_of_a_poll() {
    for (count, all, mean, sd) in [
        (728.0, 1450.0, 0.502_069, 0.013_126),
        (584.0, 1450.0, 0.402_759, 0.012_875),
        (138.0, 1450.0, 0.095_172, 0.007_704),
        (4.0, 13.0, 0.307_692, 0.015_215_55_f64.sqrt()),
        (6.0, 13.0, 0.461_538, 0.017_751_48_f64.sqrt()),
        (3.0, 13.0, 0.230_769, 0.012_679_63_f64.sqrt()),
    ] {
        let mut random = Random::new(11);
        let draws: Vec<f64> = (0..40_000)
            .map(|_| random.beta(count, all - count))
            .collect();
        let own = draws.iter().sum::<f64>() / 40_000.0;
        let spread = (draws.iter().map(|d| (d - own).powi(2)).sum::<f64>() / 40_000.0).sqrt();
        assert!((own - mean).abs() < sd * 0.03, "{own} {mean}");
        assert!((spread - sd).abs() < sd * 0.03, "{spread} {sd}");
    }
}

/// Partial pooling against numeric integration by scipy
/// (`tests/reference/pooling.py`): the rat tumour data of Gelman et al.,
/// chapter 5, and small sets such as ours.
#[test]
fn partial_pooling() {
    let path = concat!(
        env!("CARGO_MANIFEST_DIR"),
        "/../../tests/reference/pooling.json"
    );
    let doc: Value = serde_json::from_slice(&std::fs::read(path).unwrap()).unwrap();
    let sets = doc["sets"].as_array().unwrap();
    assert!(sets.len() >= 4);
    let mut small = 0;
    for set in sets {
        let groups: Vec<Count> = set["groups"]
            .as_array()
            .unwrap()
            .iter()
            .map(|g| Count {
                cases: g[0].as_f64().unwrap(),
                of: g[1].as_f64().unwrap(),
            })
            .collect();
        small += usize::from(groups.len() < 10);
        let pool = Pool::new(&groups, 2);
        for (i, mean) in set["means"].as_array().unwrap().iter().enumerate() {
            let (own, mean) = (pool.mean(i), mean.as_f64().unwrap());
            assert!(
                (own - mean).abs() < 0.01 * mean.max(0.1),
                "{} group {i}: {own}, not {mean}",
                set["name"]
            );
        }
        if groups.len() == 71 {
            let (a, b) = pool.common();
            // Printed in the book as 2.4 and 14.3 (from memory).
            assert!((a - 2.4).abs() < 0.1 && (b - 14.3).abs() < 0.6, "{a} {b}");
            let mut random = Random::new(3);
            let mut draws: Vec<f64> = (0..20_000).map(|_| pool.draw(70, &mut random)).collect();
            draws.sort_by(f64::total_cmp);
            let mean = draws.iter().sum::<f64>() / 20_000.0;
            assert!((mean - pool.mean(70)).abs() < 0.002);
        }
    }
    assert!(small >= 3);
}
