//! Any text and any hints: no panic, a layout that loads, every line told, and an
//! end within bounds.

#![allow(
    clippy::unwrap_used,
    clippy::indexing_slicing,
    missing_docs,
    reason = "tests may panic"
)]

use codebook::Book;
use proptest::prelude::*;
use serde_json::json;
use teaching::{Hints, Kind, LIMITS, ROLES, Role, propose};

fn hints() -> impl Strategy<Value = Hints> {
    let place = 0_usize..80;
    let role = (0..ROLES.len()).prop_map(|i| ROLES[i]);
    (
        prop_oneof![Just(None), Just(Some(Kind::Text)), Just(Some(Kind::Bytes))],
        proptest::option::of(0_usize..12),
        proptest::collection::vec((place.clone(), role), 0..4),
        proptest::collection::vec((place.clone(), ".{0,30}"), 0..3),
        proptest::collection::vec(place.clone(), 0..4),
        proptest::collection::vec(place.clone(), 0..4),
        (
            proptest::option::of(0_usize..300),
            proptest::option::of(0_usize..100),
            proptest::option::of(0_usize..20),
        ),
        proptest::collection::vec((place.clone(), any::<bool>()), 0..3),
        proptest::collection::vec((place, any::<bool>()), 0..3),
        (proptest::option::of(any::<i64>()), ".{0,20}", ".{0,20}"),
    )
        .prop_map(
            |(
                kind,
                entry,
                roles,
                names,
                breaks,
                joins,
                (record, skip, epoch),
                little,
                decimal,
                (latest, id, name),
            )| Hints {
                kind,
                entry,
                roles,
                names,
                breaks,
                joins,
                record,
                skip,
                epoch,
                little,
                decimal,
                latest,
                id,
                name,
            },
        )
}

/// Lines that are somewhat like logs.
fn loggish() -> impl Strategy<Value = String> {
    let line = prop_oneof![
        3 => "(slot|no|#)? ?[0-9]{1,3} +(step|code|err|t)?[ =:]{1,2}[0-9A-Fa-f]{2,8}h? *[a-z]{0,6}[ ,|]{0,2}[0-9A-F]{0,4}",
        2 => "([0-9A-F]{2} ){1,18}",
        1 => "[0-9a-f]{4,8}:? ([0-9a-f]{2} ){8,16} \\|.{0,16}\\|?",
        1 => "[0-9]{1,4}[-./][0-9]{1,2}[-./][0-9]{1,4}[ T][0-9]{2}:[0-9]{2}(:[0-9]{2})? [A-Z0-9]{2,6}",
        1 => ".{0,60}",
        1 => Just(String::new()),
    ];
    (line.clone(), proptest::collection::vec(line, 0..14)).prop_map(|(again, mut lines)| {
        for line in lines.iter_mut().step_by(3) {
            line.clone_from(&again);
        }
        lines.join("\n")
    })
}

fn holds(text: &str, hints: &Hints) -> Result<(), TestCaseError> {
    let Ok(p) = propose(text, hints) else {
        return Ok(());
    };
    // The layout loads in a book.
    let doc = json!({"format": 1, "id": "x", "version": "1", "name": "x", "licence": "none",
        "layouts": [serde_json::to_value(&p.layout).unwrap()]});
    let book = Book::of(doc);
    prop_assert!(book.is_ok(), "{:?}\n{:?}", book.err(), p.layout);
    // Parts lie in the example, one behind the other, and have their text.
    let mut end = 0;
    for x in &p.parts {
        prop_assert!(
            x.span.0 >= end && x.span.1 >= x.span.0 && x.span.1 <= p.example.len(),
            "{:?} {:?}",
            p.example,
            x
        );
        prop_assert_eq!(p.example.get(x.span.0..x.span.1), Some(x.text.as_str()));
        end = x.span.1;
    }
    prop_assert!(p.read <= p.of);
    prop_assert!(p.ask.is_none_or(|a| a < p.parts.len()));
    prop_assert!(p.epoch.is_none_or(|e| e < p.times.len()));
    // Every physical line that was looked at is told once.
    let physical = reading::bare::look(text, LIMITS).physical.min(LIMITS.lines);
    let lines: Vec<usize> = p.lines.iter().map(|l| l.line).collect();
    let whole: Vec<usize> = (1..=physical).collect();
    prop_assert_eq!(lines, whole);
    // What a person said holds where it can.
    for x in p.parts.iter().filter(|x| x.told) {
        // Which epoch it is may still be open.
        prop_assert!(x.doubt.is_empty() || x.role == Role::Time, "{:?}", x);
        prop_assert!(hints.roles.iter().any(|r| r.1 == x.role));
    }
    Ok(())
}

proptest! {
    #[test]
    fn any_text_is_taught_or_refused(text in "(?s).{0,400}", hints in hints()) {
        holds(&text, &hints)?;
    }

    #[test]
    fn anything_like_a_log_is_taught_or_refused(text in loggish(), hints in hints()) {
        holds(&text, &hints)?;
    }

    #[test]
    fn anything_like_a_log_is_taught_without_hints(text in loggish()) {
        holds(&text, &Hints::default())?;
    }
}

/// Pastes made to be slow. The bound is generous: these tests run unoptimised
/// beside others.
#[test]
fn long_and_odd_pastes_end_soon() {
    let long = [
        "slot 07 step 0A code 44D0 clock 2C8F10B0 seen 01\n".repeat(5000),
        "a1 ".repeat(60_000),
        "00 ".repeat(40_000),
        (0..4000)
            .map(|i| format!("{:02X} ", i * 37 % 256))
            .collect::<String>(),
        (0..900)
            .map(|i| format!("w{i} {i} x{} {} y{} {:X}\n", i % 7, i * i, i % 3, i * 7919))
            .collect(),
        (0..400)
            .map(|i| {
                (0..60)
                    .map(|k| format!("{:02x} ", (i * k * 31 + k) % 251))
                    .collect::<String>()
                    + "\n"
            })
            .collect(),
        (0..400)
            .map(|i| {
                (0..100)
                    .map(|k| format!("a{} ", (i + k) % 13))
                    .collect::<String>()
                    + "\n"
            })
            .collect(),
        "1".repeat(100_000),
        "-.-.-.-. ".repeat(10_000),
        (0..300)
            .map(|i| format!("{i:08x}: {}\n", "ff ".repeat(16)))
            .collect(),
    ];
    for (n, text) in long.iter().enumerate() {
        for kind in [None, Some(Kind::Text), Some(Kind::Bytes)] {
            let now = std::time::Instant::now();
            let p = propose(
                text,
                &Hints {
                    kind,
                    ..Hints::default()
                },
            );
            let took = now.elapsed();
            println!("{n} {kind:?}: {took:?}");
            assert!(took.as_secs() < 2, "paste {n} took {took:?}");
            if let Ok(p) = p
                && text.lines().count() > LIMITS.lines
            {
                assert!(
                    p.doubts.iter().any(|d| d.contains("first 400 lines")),
                    "{:?}",
                    p.doubts
                );
            }
        }
    }
}

/// One line is enough to read the next paste of the same console.
#[test]
fn one_line_teaches_enough_to_read_a_second_paste() {
    let p = propose(
        "slot 07  step 0A  code 44D0  clock 2C8F10B0  seen 01",
        &Hints::default(),
    )
    .unwrap();
    assert!(
        p.parts
            .iter()
            .filter(|x| !matches!(x.role, Role::Keep))
            .all(|x| !x.doubt.is_empty()),
        "{:?}",
        p.parts
    );
    let doc = json!({"format": 1, "id": "x", "version": "1", "name": "x", "licence": "none",
        "layouts": [serde_json::to_value(&p.layout).unwrap()]});
    let book = std::rc::Rc::new(Book::of(doc).unwrap());
    let second = "slot 08  step 12  code E100  clock 2C8F2000  seen 1F\nslot 09  step 00  code 1100  clock 2C8F2A00  seen 01\n";
    let reading = reading::Reader::new(vec![book]).read(second.as_bytes());
    assert_eq!(reading.entries.len(), 2);
    assert_eq!(reading.entries[0].fields["code"], "E100");
}
