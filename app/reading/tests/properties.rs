//! What holds for every paste: any bytes, any text made of log-like pieces,
//! and clean logs of the three demo families with noise on them.

#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::indexing_slicing,
    reason = "a test fails by a panic"
)]

#[path = "properties/invariants.rs"]
mod invariants;
#[path = "properties/logs.rs"]
mod logs;
#[path = "properties/noise.rs"]
mod noise;
#[path = "properties/pieces.rs"]
mod pieces;

use std::path::Path;
use std::rc::Rc;

use codebook::Book;
use proptest::prelude::*;
use reading::result::Reading;
use reading::{Limits, Reader};

use invariants::holds;
use logs::{Log, any_log};
use noise::{Noise, any_noise};
use pieces::any_text;

thread_local! {
    static READER: Reader = Reader::new(["orrery", "halyard", "tamsin"].map(book).to_vec());
}

fn book(name: &str) -> Rc<Book> {
    let path = Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("../../public/books")
        .join(format!("{name}.json"));
    let bytes = std::fs::read(&path).unwrap_or_else(|e| panic!("{}: {e}", path.display()));
    Rc::new(Book::load(&bytes).unwrap_or_else(|p| panic!("{name}: {p:#?}")))
}

fn read(paste: &[u8]) -> Reading {
    READER.with(|r| r.read(paste))
}

fn json(reading: &Reading) -> String {
    serde_json::to_string(reading).unwrap()
}

/// Fields that a guess may have changed.
fn guessed(entry: &reading::result::Entry) -> Vec<&str> {
    let mut out: Vec<&str> = Vec::new();
    for g in &entry.guesses {
        match g.field.as_str() {
            "time" => out.extend(["time_raw", "time_utc", "time_local", "time_rel_s", "clock"]),
            "group" | "number" => out.extend([g.field.as_str(), "code"]),
            name => out.push(name),
        }
    }
    out
}

/// Each entry says what the record with its number says, but for guessed
/// fields. Gives the number of records found without any guess.
fn faithful(log: &Log, reading: &Reading, paste: &str) -> usize {
    let mut found = 0;
    for entry in &reading.entries {
        let doubtful = guessed(entry);
        if doubtful.contains(&log.key) {
            continue;
        }
        let number = entry
            .fields
            .get(log.key)
            .and_then(serde_json::Value::as_u64);
        let record = log.records.iter().find(|r| Some(r.number) == number);
        let record = record
            .unwrap_or_else(|| panic!("no record {number:?} was written\n{paste}\n{entry:#?}"));
        for (name, want) in &record.fields {
            let got = entry.fields.get(*name);
            let missing = !entry.complete && got.is_some_and(serde_json::Value::is_null);
            assert!(
                doubtful.contains(name) || missing || got == Some(want),
                "{name} of record {number:?}: want {want}, got {got:?}\n{paste}\n{entry:#?}"
            );
        }
        found += usize::from(!entry.guess && entry.complete);
    }
    found
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn any_bytes_give_a_sound_reading(paste in proptest::collection::vec(any::<u8>(), 0..400)) {
        holds(&paste, &read(&paste));
    }

    #[test]
    fn any_text_gives_a_sound_reading(paste in any_text()) {
        holds(paste.as_bytes(), &read(paste.as_bytes()));
    }

    #[test]
    fn broken_text_gives_a_sound_reading(paste in any_text(), at in any::<prop::sample::Index>(), byte in 0x80_u8..) {
        let mut paste = paste.into_bytes();
        if !paste.is_empty() {
            let at = at.index(paste.len());
            paste[at] = byte;
        }
        holds(&paste, &read(&paste));
    }

    #[test]
    fn a_long_paste_is_cut_soundly(paste in any_text(), bytes in 0_usize..300, lines in 0_usize..6) {
        let reading = READER.with(|r| r.clone().with_limits(Limits { bytes, lines }).read(paste.as_bytes()));
        holds(paste.as_bytes(), &reading);
    }

    #[test]
    fn the_same_paste_reads_the_same_in_any_steps(paste in any_text(), step in 1_usize..5) {
        let once = json(&read(paste.as_bytes()));
        prop_assert_eq!(&once, &json(&read(paste.as_bytes())));
        let stepped = READER.with(|r| {
            let mut session = r.start(paste.as_bytes());
            let mut done = 0;
            loop {
                let progress = session.step(step);
                assert!(progress.done >= done && progress.done <= progress.total);
                done = progress.done;
                if progress.finished {
                    break session.finish();
                }
            }
        });
        prop_assert_eq!(&once, &json(&stepped));
    }

    #[test]
    fn a_clean_log_reads_whole(log in any_log()) {
        let paste = log.text();
        let reading = read(paste.as_bytes());
        holds(paste.as_bytes(), &reading);
        prop_assert_eq!(faithful(&log, &reading, &paste), log.records.len(), "{}", paste);
        prop_assert_eq!(reading.entries.len(), log.records.len());
    }

    #[test]
    fn one_kind_of_noise_changes_nothing(log in any_log(), noise in any_noise()) {
        let paste = noise.on(&log.text());
        let reading = read(paste.as_bytes());
        holds(paste.as_bytes(), &reading);
        let found = faithful(&log, &reading, &paste);
        if noise.harmless() {
            prop_assert_eq!(found, log.records.len(), "{:?}\n{}", noise, paste);
        }
    }

    #[test]
    fn noises_together_change_no_unguessed_field(log in any_log(), noises in proptest::collection::vec(any_noise(), 2..4)) {
        // A terminal wraps before people quote and mark up what it shows.
        let mut noises = noises;
        noises.sort_by_key(|n| !matches!(n, Noise::Wrapped(_)));
        let paste = noises.iter().fold(log.text(), |text, noise: &Noise| noise.on(&text));
        let reading = read(paste.as_bytes());
        holds(paste.as_bytes(), &reading);
        faithful(&log, &reading, &paste);
    }

    #[test]
    fn clean_lines_read_the_same_again(log in any_log(), noise in any_noise()) {
        let paste = noise.on(&log.text());
        let first = read(paste.as_bytes());
        let of_text = |e: &&reading::result::Entry| e.layout != "halyard-record" && e.complete;
        let entries: Vec<_> = first.entries.iter().filter(of_text).collect();
        let clean: Vec<&str> = entries.iter().map(|e| e.clean.as_str()).collect();
        let again = read(clean.join("\n").as_bytes());
        prop_assert_eq!(again.entries.len(), entries.len(), "{}", clean.join("\n"));
        for (a, b) in entries.iter().zip(&again.entries) {
            prop_assert_eq!(&a.fields, &b.fields, "{}", a.clean);
            prop_assert!(!b.guess);
        }
    }
}
