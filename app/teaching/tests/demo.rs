//! The three demo families taught from their own logs alone: how much of the
//! true layout (`public/books`) is found.

#![allow(
    clippy::unwrap_used,
    clippy::indexing_slicing,
    clippy::panic,
    missing_docs,
    reason = "tests may panic"
)]

use std::path::PathBuf;

use codebook::Book;
use codebook::model::{Encoding, Layout};
use teaching::{Hints, Kind, Proposal, Role, propose};

/// 2026-11-25.
const NOW: i64 = 1_795_564_800;

fn root() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("../..")
}

fn taught(log: &str) -> (String, Proposal) {
    let text = std::fs::read_to_string(root().join("demo-logs").join(log)).unwrap();
    let p = propose(
        &text,
        &Hints {
            latest: Some(NOW),
            ..Hints::default()
        },
    )
    .unwrap();
    (text, p)
}

fn book(name: &str) -> Book {
    let json = std::fs::read(root().join(format!("public/books/{name}.json"))).unwrap();
    Book::load(&json).unwrap()
}

/// The parts that are no fixed text, as "role text".
fn parts(p: &Proposal) -> Vec<String> {
    p.parts
        .iter()
        .filter(|x| x.role != Role::Same)
        .map(|x| format!("{:?} {}", x.role, x.text))
        .collect()
}

/// Of the fields of the true layout how many the taught one has with the same
/// name (or the same place in the line) and way of writing.
fn same_fields(p: &Proposal, book: &Book) -> (usize, usize) {
    let truth = &book.model.layouts[0];
    let key = |l: &Layout| -> Vec<String> {
        l.fields()
            .iter()
            .map(|f| {
                format!(
                    "{} {:?} {:?} {:?} {:?} {:?} {:?}",
                    f.field, f.encoding, f.width, f.at, f.size, f.endian, f.pattern
                )
            })
            .collect()
    };
    let mine = key(&p.layout);
    let all = key(truth);
    (all.iter().filter(|f| mine.contains(f)).count(), all.len())
}

#[test]
fn the_orrery_log_teaches_its_whole_line() {
    for log in [
        "01-clean-terminal.txt",
        "02-forum-bbcode.txt",
        "08-clock-never-set.txt",
        "14-logger-stamps.txt",
        "23-mail-reply.txt",
    ] {
        let (_, p) = taught(log);
        println!(
            "{log}: {:?} read {} of {}, fields as in the book {:?}",
            parts(&p),
            p.read,
            p.of,
            same_fields(&p, &book("orrery"))
        );
        assert_eq!(p.kind, Kind::Text, "{log}");
        let roles: Vec<Role> = p
            .parts
            .iter()
            .map(|x| x.role)
            .filter(|r| *r != Role::Same)
            .collect();
        assert_eq!(
            roles,
            [Role::Slot, Role::Step, Role::Code, Role::Time, Role::Count],
            "{log}"
        );
        assert!(p.read * 10 >= p.of * 8, "{log}: {} of {}", p.read, p.of);
    }
    // The whole of it, from the plain log.
    let (_, p) = taught("01-clean-terminal.txt");
    assert_eq!((p.read, p.of), (24, 24));
    assert_eq!(same_fields(&p, &book("orrery")), (5, 5));
    let Layout::Text(layout) = &p.layout else {
        panic!("no line of text")
    };
    let time = layout.line.iter().find_map(|x| match x {
        codebook::model::Part::Field(f) if f.field == "time" => f.time.clone(),
        _ => None,
    });
    let time = time.unwrap();
    assert_eq!(time.epoch, "2000-01-01T00:00:00Z");
    assert_eq!(time.absent, ["FFFFFFFF"]);
    assert_eq!(time.not_set_below, Some(0x0100_0000));
    assert_eq!(layout.empty.len(), 1);
    let head = layout.order.as_ref().and_then(|o| o.head.clone()).unwrap();
    assert_eq!((head.field.as_str(), layout.headers.len()), ("head", 1));
}

#[test]
fn a_clock_that_was_never_set_is_told_as_time_since_the_start() {
    let (_, p) = taught("08-clock-never-set.txt");
    let row = &p.times[p.epoch.unwrap()];
    assert_eq!((row.epoch.as_str(), row.unit_seconds), ("", 1.0), "{row:?}");
}

#[test]
fn the_halyard_dump_teaches_record_check_and_ends() {
    for log in [
        "25-dump-with-gutter.txt",
        "26-colon-half-rows.txt",
        "27-word-swapped-4.txt",
        "28-word-swapped-2.txt",
        "29-words-as-they-are.txt",
        "30-byte-list.txt",
        "31-dashes-newest-first.txt",
    ] {
        let (_, p) = taught(log);
        let check = p.check.clone();
        println!(
            "{log}: {:?} read {} of {}, fields as in the book {:?}, check {:?}",
            parts(&p),
            p.read,
            p.of,
            same_fields(&p, &book("halyard")),
            check.map(|c| c.words)
        );
        assert_eq!(
            (p.kind, p.record, p.skip),
            (Kind::Bytes, Some(12), 0),
            "{log}"
        );
        let rule = p
            .layout
            .check()
            .unwrap_or_else(|| panic!("{log}: no check"));
        let truth = book("halyard");
        assert_eq!(Some(rule), truth.model.layouts[0].check(), "{log}");
        let found = p.check.clone().unwrap();
        assert!(
            found.doubt.is_empty() && found.agrees == found.of && found.of > 5,
            "{log}: {found:?}"
        );
        // Step and code are where they are, and the clock is found with its end.
        let at = |role: Role| {
            p.parts
                .iter()
                .find(|x| x.role == role)
                .map(|x| (x.span, x.little))
        };
        assert_eq!(at(Role::Step), Some(((6, 8), None)), "{log}");
        assert_eq!(at(Role::Code).map(|x| x.0), Some((9, 14)), "{log}");
        assert_eq!(at(Role::Time), Some(((15, 26), Some(true))), "{log}");
        assert_eq!(at(Role::Seq), Some(((0, 5), Some(true))), "{log}");
        assert_eq!(p.read, p.of, "{log}");
    }
}

#[test]
fn the_tamsin_log_teaches_words_dates_and_check_letters() {
    for log in [
        "40-tamsin-clean.txt",
        "42-tamsin-wrap.txt",
        "45-tamsin-cells.txt",
    ] {
        let (_, p) = taught(log);
        println!(
            "{log}: {:?} read {} of {}, fields as in the book {:?}",
            parts(&p),
            p.read,
            p.of,
            same_fields(&p, &book("tamsin"))
        );
        let truth = book("tamsin");
        let (mine, theirs) = (
            p.layout.check().unwrap(),
            truth.model.layouts[0].check().unwrap(),
        );
        assert_eq!(
            (mine.kind, mine.seed, mine.modulus, &mine.over),
            (theirs.kind, theirs.seed, theirs.modulus, &theirs.over),
            "{log}"
        );
        let letters = |l: &Layout| {
            l.fields()
                .iter()
                .find(|f| f.field == "check")
                .map(|f| f.alphabet.clone())
        };
        assert_eq!(
            letters(&p.layout),
            letters(&truth.model.layouts[0]),
            "{log}"
        );
        let date = p
            .layout
            .fields()
            .into_iter()
            .find(|f| f.encoding == Encoding::Date)
            .map(|f| f.pattern.clone());
        assert_eq!(date.as_deref(), Some("DD.MM.YYYY at hh:mm:ss"), "{log}");
        assert_eq!(p.layout.derived().len(), 1, "{log}");
        assert_eq!(p.read, p.of, "{log}");
    }
    // A date that is not there is told as absent.
    let (_, p) = taught("42-tamsin-wrap.txt");
    let absent = p
        .layout
        .fields()
        .into_iter()
        .find_map(|f| f.time.clone())
        .unwrap()
        .absent;
    assert_eq!(absent, ["--.--.---- at --:--:--"]);
}

/// A paste that holds no log: something may be proposed, but never without a
/// doubt, and the code is never sure.
#[test]
fn talk_is_never_taken_for_a_log_without_a_doubt() {
    let text = std::fs::read_to_string(root().join("demo-logs/47-nothing-here.txt")).unwrap();
    let Ok(p) = propose(&text, &Hints::default()) else {
        return;
    };
    let sure = p
        .parts
        .iter()
        .find(|x| x.role == Role::Code && x.doubt.is_empty());
    assert!(sure.is_none(), "{sure:?}");
}
