//! Explaining hand-made readings. Nothing here goes through the reader.

#![allow(
    clippy::unwrap_used,
    clippy::indexing_slicing,
    clippy::panic,
    reason = "tests may panic"
)]

use super::*;
use crate::result::{Console, Guess, LineClasses, Mention, Span, UnknownShape, Unreadable};
use serde_json::{Map, json};

/// The three demo families' layouts, each with a few codes and steps.
pub(crate) fn books() -> Vec<Rc<Book>> {
    let load = |json: Value| {
        Rc::new(Book::load(json.to_string().as_bytes()).unwrap_or_else(|p| panic!("{p:?}")))
    };
    vec![load(orrery()), load(halyard()), load(tamsin())]
}

fn orrery() -> Value {
    json!({
        "format": 1, "id": "larkfield-orrery", "version": "1.0.0", "name": "Orrery", "licence": "CC0-1.0",
        "layouts": [{
            "kind": "text", "id": "orrery-line", "name": "Orrery log line",
            "line": [
                "slot ", {"field": "slot", "as": "decimal", "width": 2, "label": "slot"},
                "  step ", {"field": "step", "width": 2, "label": "power-up step"},
                "  code ", {"field": "code", "width": 4, "label": "code"},
                "  clock ", {"field": "time", "width": 8, "label": "clock", "time":
                    {"epoch": "2000-01-01T00:00:00Z", "absent": ["FFFFFFFF"], "not_set_below": 16_777_216}},
                "  seen ", {"field": "count", "width": 2, "label": "seen"}
            ],
            "empty": [["slot ", {"field": "slot", "as": "decimal", "width": 2}, "  empty"]],
            "headers": [
                {"id": "head", "starts": true, "line": ["fault log: ", {"field": "size", "as": "decimal", "width": 2}, " slots, next slot ", {"field": "head", "as": "decimal", "width": 2}]},
                {"id": "end", "line": ["end of log"]}
            ],
            "order": {"by": "ring", "field": "slot", "size": 24, "head": {"field": "head", "means": "next"}},
            "example": "slot 07  step 0A  code 44D0  clock 2C8F10B0  seen 01"
        }],
        "codes": [
            {"code": "44D0", "title": "core rail late", "meaning": "The core rail was not good in time.",
             "not_proof": "It does not prove that the regulator is broken.", "step": "0A", "rails": ["V_CORE"], "parts": ["U7"],
             "boards": {"LW-47": {"title": "core rail late, small chip"}}},
            {"code": "44??", "title": "core rail trouble"},
            {"code": "5E91", "title": "no answer"}
        ],
        "code_parts": [{"name": "subsystem", "from": 1, "to": 1, "values": [{"is": "4", "means": "power"}]}],
        "steps": [
            {"id": "04", "name": "standby"},
            {"id": "0A", "name": "core rail", "about": "Waits for the core rail.", "rails": ["V_CORE"], "parts": ["U7"]},
            {"id": "0C", "name": "clocks"}
        ],
        "rails": [{"id": "V_CORE", "name": "core"}],
        "boards": [{"id": "LW-47", "name": "shrunk chip"}]
    })
}

fn halyard() -> Value {
    json!({
        "format": 1, "id": "larkfield-halyard", "version": "1.0.0", "name": "Halyard", "licence": "CC0-1.0",
        "layouts": [{
            "kind": "bytes", "id": "halyard-record", "name": "Halyard record", "length": 12,
            "fields": [
                {"field": "seq", "as": "decimal", "at": 0, "size": 2, "endian": "little", "modulus": 65536, "label": "running number"},
                {"field": "step", "at": 2}, {"field": "code", "at": 3, "size": 2},
                {"field": "time", "at": 5, "size": 4, "endian": "little", "time":
                    {"epoch": "2000-01-01T00:00:00Z", "absent": ["FFFFFFFF"], "not_set_below": 16_777_216}},
                {"field": "temp", "as": "decimal", "at": 9, "signed": true, "scale": 0.5, "unit": "°C"},
                {"field": "flags", "at": 10, "flags": [{"bit": 0, "name": "standby"}]},
                {"field": "check", "at": 11}
            ],
            "check": {"field": "check", "kind": "crc", "bits": 8, "poly": "2F", "init": "FF", "xorout": "FF", "over": {"bytes": [0, 11]}},
            "empty_byte": "FF",
            "headers": [{"id": "head", "starts": true, "line": ["halyard ring: ", {"field": "records", "as": "decimal", "width": 2}, " records of 12 bytes, head ", {"field": "head", "width": 2}]}],
            "order": {"by": "sequence", "field": "seq"},
            "example": "2C 01 0B 3A 12 F2 51 3C 0D 52 02 7D"
        }]
    })
}

fn tamsin() -> Value {
    json!({
        "format": 1, "id": "larkfield-tamsin", "version": "1.0.0", "name": "Tamsin", "licence": "CC0-1.0",
        "layouts": [{
            "kind": "text", "id": "tamsin-line", "name": "Tamsin log line",
            "line": [
                "entry ", {"field": "seq", "as": "decimal", "width": 4, "modulus": 10_000},
                ": group ", {"field": "group", "as": "word", "words": [{"text": "amber"}, {"text": "birch"}, {"text": "cedar"}]},
                " number ", {"field": "number", "as": "digits", "alphabet": "0123456789", "width": 2},
                ", on ", {"field": "time", "as": "date", "pattern": "DD.MM.YYYY at hh:mm:ss", "time":
                    {"epoch": "1996-01-01T00:00:00Z", "zone": "local", "not_set_before": "1997-01-01T00:00:00Z", "absent": ["--.--.---- at --:--:--"]}},
                ", check ", {"field": "check", "as": "digits", "alphabet": "ACDEFGHJKLMNPQRTUVWXYZ", "width": 2}
            ],
            "derived": [{"field": "code", "join": [{"field": "group"}, " ", {"field": "number"}]}],
            "check": {"field": "check", "kind": "weighted_sum", "bits": 16, "seed": 7, "modulus": 484,
                      "over": {"fields": ["seq", "group", "number", "time"], "as": "digits"}},
            "order": {"by": "sequence", "field": "seq", "listing": "newest-first"}
        }],
        "codes": [{"code": "AMBER 14", "title": "lamp", "step": "T3"}],
        "steps": [{"id": "T3", "name": "lamp test"}]
    })
}

/// An entry of the Orrery family: step, code, clock state and its value.
pub(crate) fn entry(order: usize, step: &str, code: &str, clock: &str) -> Entry {
    let mut fields = Map::new();
    fields.insert("slot".into(), order.into());
    fields.insert("step".into(), step.into());
    fields.insert("code".into(), code.into());
    fields.insert("count".into(), 1.into());
    let (state, at) = clock.split_once(' ').unwrap_or((clock, ""));
    let mut put = |name: &str, v: Value| drop(fields.insert(name.into(), v));
    match state {
        "utc" => put("time_utc", at.into()),
        "local" => put("time_local", at.into()),
        "rel" => put(
            "time_rel_s",
            at.parse::<i64>().map_or(Value::Null, Value::from),
        ),
        _ => {}
    }
    match state {
        "utc" | "local" => put("clock", "set".into()),
        "rel" => put("clock", "not set".into()),
        "absent" => put("clock", "absent".into()),
        _ => {}
    }
    Entry {
        line: order,
        raw: format!("slot {order:02} step {step} code {code}"),
        layout: "orrery-line".into(),
        book: "larkfield-orrery".into(),
        console: 1,
        fields,
        order,
        complete: true,
        ..Entry::default()
    }
}

pub(crate) fn guess(field: &str, from: &str, to: &str, confirmed: bool) -> Guess {
    Guess {
        field: field.into(),
        from: from.into(),
        to: to.into(),
        why: "l is no hex digit".into(),
        others: Vec::new(),
        puts: Vec::new(),
        confirmed_by: confirmed.then(|| "check".into()),
        span: Span(0, 1),
    }
}

pub(crate) fn reading(entries: Vec<Entry>) -> Reading {
    let last = entries.iter().map(|e| e.console).max().unwrap_or(0);
    let consoles = (1..=last)
        .map(|n| Console {
            number: n,
            book: "larkfield-orrery".into(),
            entries: (0..entries.len())
                .filter(|&i| entries[i].console == n)
                .collect(),
            order_from: "ring head in the header".into(),
            ..Console::default()
        })
        .collect();
    Reading {
        layouts: vec!["orrery-line".into()],
        line_classes: LineClasses {
            entry: entries.iter().map(|e| e.line).collect(),
            ..LineClasses::default()
        },
        line_spans: entries.iter().map(|_| Span(0, 1)).collect(),
        entries,
        consoles,
        ..Reading::default()
    }
}

pub(crate) fn explained(reading: &Reading) -> Explained {
    explain(reading, &books(), &|_| None, None)
}

#[track_caller]
fn summary(reading: &Reading, expected: &str) {
    assert_eq!(explained(reading).summary, expected);
}

#[test]
fn summary_of_a_usual_log() {
    let mut log = reading(vec![
        entry(1, "0A", "44D0", "rel 5"),
        entry(2, "0C", "5E91", "rel 9"),
        entry(3, "0A", "44D0", "rel 12"),
    ]);
    summary(&log, "3 entries, stopped most often at step 0A");
    log.entries[0].guesses = vec![
        guess("code", "44DO", "44D0", false),
        guess("step", "OA", "0A", false),
    ];
    log.entries[1].guesses = vec![guess("code", "5E9l", "5E91", true)];
    log.entries[2]
        .fields
        .insert("check_ok".into(), false.into());
    log.entries[2].complete = false;
    log.unreadable.push(Unreadable::default());
    summary(
        &log,
        "3 entries, 2 guesses to confirm, 1 guess confirmed by the check field, \
         1 check field that does not fit, 1 incomplete, 1 line that can't be read for sure, \
         stopped most often at step 0A",
    );
}

#[test]
fn summary_says_no_more_than_it_knows() {
    let at = |steps: &[&str]| {
        let list = steps
            .iter()
            .enumerate()
            .map(|(i, s)| entry(i + 1, s, "44D0", "absent"))
            .collect();
        explained(&reading(list)).summary
    };
    assert_eq!(at(&["0A"]), "1 entry, at step 0A");
    assert_eq!(at(&["0A", "0A"]), "2 entries, always stopped at step 0A");
    assert_eq!(
        at(&["0A", "0C"]),
        "2 entries, stopped at steps 0A and 0C, once each"
    );
    assert_eq!(
        at(&["0A", "0C", "0A", "0C", "04"]),
        "5 entries, stopped most often at steps 0A and 0C"
    );
    assert_eq!(
        at(&["0A", "0C", "04"]),
        "3 entries, stopped at 3 different steps, once each"
    );
    assert_eq!(
        at(&["0A", "0C", "04", "0A", "0C", "04", "11"]),
        "7 entries, stopped most often at 3 steps, 2 times each"
    );
}

#[test]
fn summary_without_steps_names_the_code() {
    let plain = |code: &str, order: usize| {
        let mut e = entry(order, "", code, "");
        e.fields.remove("step");
        e
    };
    summary(
        &reading(vec![plain("5E91", 1), plain("5E91", 2), plain("7000", 3)]),
        "3 entries, most often code 5E91",
    );
    summary(
        &reading(vec![plain("5E91", 1), plain("5E91", 2)]),
        "2 entries, always code 5E91",
    );
    summary(
        &reading(vec![plain("5E91", 1), plain("7000", 2)]),
        "2 entries",
    );
    // The book gives 44D0 a step where the log does not.
    summary(
        &reading(vec![plain("44D0", 1), plain("7000", 2)]),
        "2 entries, stopped at step 0A where a step is known",
    );
}

#[test]
fn summary_of_several_consoles_mixes_nothing() {
    let mut other = entry(1, "0C", "5E91", "absent");
    other.console = 2;
    let log = reading(vec![entry(1, "0A", "44D0", "absent"), other]);
    summary(&log, "2 entries of 2 consoles");
    let second = explain(&log, &books(), &|_| None, Some(2));
    assert_eq!(second.summary, "1 entry, at step 0C");
    assert_eq!(second.codes.len(), 1);
    assert_eq!(second.timeline.len(), 1);
}

#[test]
fn summary_of_no_entries() {
    let mut none = Reading::default();
    summary(&none, "nothing to read yet");
    none.line_spans = vec![Span(0, 1); 3];
    none.line_classes.blank = vec![1, 2, 3];
    summary(&none, "nothing to read yet");
    none.line_classes = LineClasses {
        ignored: vec![1, 2, 3],
        ..LineClasses::default()
    };
    summary(&none, "no log entries in 3 lines");
    none.mentions = vec![Mention::default()];
    summary(&none, "no log entries; the text only talks about 1 code");
    none.line_classes.empty = vec![3];
    summary(&none, "the log is empty: 1 unused slot");
    none.unreadable = vec![Unreadable::default(), Unreadable::default()];
    summary(
        &none,
        "no entry can be read for sure, but 2 lines look like one",
    );
    none.unknown = Some(UnknownShape {
        lines: vec![1, 2],
        columns: vec![],
    });
    summary(&none, "no code book fits, but 2 lines look like entries");
}

#[test]
fn codes_with_meanings_for_the_board() {
    let log = reading(vec![
        entry(1, "0A", "44D0", "utc 2016-05-02T07:41:10Z"),
        entry(2, "0C", "44D0", "rel 12"),
        entry(3, "0A", "44D0", "utc 2016-05-04T08:00:00Z"),
        entry(4, "0A", "5E9A", "absent"),
        entry(5, "0A", "44FF", "utc 2016-05-03T08:00:00Z"),
    ]);
    let out = explain(
        &log,
        &books(),
        &|book| (book == "larkfield-orrery").then(|| "LW-47".into()),
        None,
    );
    let first = &out.codes[0];
    assert_eq!(
        (first.code.as_str(), first.count, first.untimed),
        ("44D0", 3, 1)
    );
    assert_eq!(
        first.first.as_ref().unwrap().to_string(),
        "2016-05-02 07:41:10 UTC"
    );
    assert_eq!(
        first.last.as_ref().unwrap().to_string(),
        "2016-05-04 08:00:00 UTC"
    );
    assert_eq!(first.steps, [("0A".to_owned(), 2), ("0C".to_owned(), 1)]);
    assert_eq!(first.entries, [0, 1, 2]);
    assert_eq!(first.parts[0].means, "power");
    let titles: Vec<&str> = first.found.iter().map(|f| f.title.as_str()).collect();
    assert_eq!(titles, ["core rail late, small chip", "core rail trouble"]);
    assert_eq!(
        first.found[0].not_proof,
        "It does not prove that the regulator is broken."
    );
    assert_eq!(first.found[1].not_proof, GENERAL_NOT_PROOF);
    assert!(first.near.is_empty());
    // Of equals the one with the newest entry comes first.
    assert_eq!(out.codes[1].code, "44FF");
    assert_eq!(out.codes[2].code, "5E9A");
    assert!(out.codes[2].found.is_empty());
    assert_eq!(out.codes[2].near, ["5E91"]);
    assert_eq!(out.codes[2].first, None);
    assert_eq!(out.books[0].board.as_deref(), Some("LW-47"));
}

#[test]
fn a_guessed_code_is_marked_until_confirmed() {
    let mut log = reading(vec![entry(1, "0A", "44D0", "absent")]);
    log.entries[0].guesses = vec![guess("code", "44DO", "44D0", false)];
    assert!(explained(&log).codes[0].guessed);
    log.entries[0].guesses = vec![guess("code", "44DO", "44D0", true)];
    assert!(!explained(&log).codes[0].guessed);
    log.entries[0].guesses = vec![guess("slot", "O1", "01", false)];
    assert!(!explained(&log).codes[0].guessed);
}

#[test]
fn steps_keep_the_order_of_the_book() {
    let log = reading(vec![
        entry(1, "0C", "5E91", "absent"),
        entry(2, "0a", "44D0", "absent"),
        entry(3, "7F", "5E91", "absent"),
    ]);
    let out = explained(&log);
    let rows: Vec<(&str, usize, bool, bool)> = out
        .steps
        .iter()
        .map(|s| (s.id.as_str(), s.stopped_here, s.newest_here, s.known))
        .collect();
    assert_eq!(
        rows,
        [
            ("04", 0, false, true),
            ("0A", 1, false, true),
            ("0C", 1, false, true),
            ("7F", 1, true, false)
        ]
    );
    assert_eq!(out.steps[1].rails, ["V_CORE"]);
}

#[test]
fn times_are_never_better_than_the_clock() {
    let at = |clock: &str| when(&entry(1, "0A", "44D0", clock)).to_string();
    assert_eq!(at("utc 2016-05-02T07:41:10Z"), "2016-05-02 07:41:10 UTC");
    assert_eq!(
        at("local 2007-11-03T21:40:15"),
        "2007-11-03 21:40:15 local time"
    );
    assert_eq!(
        at("rel 1004"),
        "1004 s (16 min 44 s) since start, clock not set"
    );
    assert_eq!(at("rel"), "clock not set");
    assert_eq!(at("absent"), "no time in the entry");
    assert_eq!(at(""), "no time");
    // A date that comes with a clock that was not set is not shown as one.
    let mut odd = entry(1, "0A", "44D0", "rel 60");
    odd.fields
        .insert("time_utc".into(), "2000-01-01T00:01:00Z".into());
    assert_eq!(when(&odd), When::SinceStart(60.0));
    assert_eq!(when(&odd).seconds(), None);
}

#[test]
fn lengths_of_time() {
    for (s, text) in [
        (0.0, "0 s"),
        (119.0, "119 s"),
        (120.0, "120 s (2 min 0 s)"),
        (3725.0, "3725 s (1 h 2 min)"),
        (200_000.0, "200000 s (2 d 7 h)"),
        (1.5, "1.5 s"),
    ] {
        assert_eq!(seconds_text(s), text);
    }
}

#[test]
fn timeline_by_console_and_order() {
    let mut other = entry(1, "0C", "5E91", "local 2007-11-03T21:40:15");
    other.console = 2;
    let log = reading(vec![
        entry(2, "0A", "44D0", "rel 7"),
        other,
        entry(1, "0A", "44D0", "utc 2000-01-01T00:00:10Z"),
    ]);
    let line = explained(&log).timeline;
    let seen: Vec<(usize, usize, usize)> =
        line.iter().map(|t| (t.console, t.order, t.entry)).collect();
    assert_eq!(seen, [(1, 1, 2), (1, 2, 0), (2, 1, 1)]);
    assert_eq!(line[0].time_s, Some(946_684_810));
    assert_eq!((line[1].time_s, line[1].since_start_s), (None, Some(7.0)));
    assert_eq!(line[2].time_s, Some(1_194_126_015));
}

#[test]
fn what_the_times_are_worth() {
    let of = |clocks: &[&str]| {
        let list = clocks
            .iter()
            .enumerate()
            .map(|(i, c)| entry(i + 1, "0A", "44D0", c))
            .collect();
        explained(&reading(list)).clock
    };
    assert_eq!(of(&["absent", ""]), "");
    assert_eq!(
        of(&["utc 2016-05-02T07:41:10Z"]),
        "Dates are what the console's own clock said; the log can't tell whether it was right."
    );
    assert_eq!(
        of(&["local 2007-11-03T21:40:15", "rel 5", "absent"]),
        "Dates are what the console's own clock said, in the owner's local time; the log can't tell whether it \
         was right. 1 of 3 entries have no time."
    );
    // What a clock that was not set means is said in the notes of the reading.
    assert_eq!(of(&["rel 5"]), "");
}
