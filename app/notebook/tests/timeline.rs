//! The records of a console in a list.

#![allow(clippy::unwrap_used, clippy::panic, reason = "tests may panic")]

use notebook::timeline::{Named, day, line, of_job, order};
use notebook::{Item, View};
use serde_json::{Value, json};

fn item(id: &str, kind: &str, created: i64, fields: Value) -> Item {
    let Value::Object(data) = fields else {
        panic!("not an object")
    };
    Item {
        id: id.to_owned(),
        kind: kind.to_owned(),
        created,
        changed: created,
        view: View {
            data,
            ..View::default()
        },
    }
}

fn names(what: Named, id: &str) -> Option<String> {
    match (what, id) {
        (Named::Symptom, "no-picture") => Some("No picture".to_owned()),
        (Named::Book, "larkfield-orrery") => Some("Orrery".to_owned()),
        (Named::Board, "lw-47") => Some("LW-47".to_owned()),
        _ => None,
    }
}

const TODAY: &str = "2026-11-25";

#[test]
fn a_record_stands_at_its_own_day_or_at_the_day_it_was_written() {
    // 1,700,000,000 s is 2023-11-14T22:13:20Z.
    let at = 1_700_000_000_000;
    for (kind, fields, expected) in [
        ("note", json!({"day": "2026-03-12"}), "2026-03-12"),
        ("note", json!({}), "2023-11-14"),
        ("note", json!({"day": ""}), "2023-11-14"),
        ("note", json!({"day": "2026-02-30"}), "2023-11-14"),
        (
            "note",
            json!({"day": "soon", "done": "2024-02-29"}),
            "2024-02-29",
        ),
        ("note", json!({"day": 7}), "2023-11-14"),
        ("job", json!({"closed": "2026-03-12"}), "2026-03-12"),
        (
            "job",
            json!({"day": "2026-03-01", "closed": "2026-03-12"}),
            "2026-03-01",
        ),
        (
            "follow-up",
            json!({"day": "2026-03-01", "done": "2026-03-12"}),
            "2026-03-12",
        ),
        ("follow-up", json!({"day": "2026-03-01"}), "2026-03-01"),
    ] {
        let item = item("a", kind, at, fields.clone());
        assert_eq!(day(&item).as_deref(), Some(expected), "{kind} {fields}");
    }
    assert_eq!(day(&item("a", "note", i64::MAX, json!({}))), None);
    assert_eq!(
        day(&item("a", "note", -1, json!({}))).as_deref(),
        Some("1969-12-31")
    );
}

#[test]
fn the_newest_day_comes_first_then_the_last_written() {
    let mut items = vec![
        item("old", "note", 9, json!({"day": "2025-12-31"})),
        item("b", "note", 5, json!({"day": "2026-01-01"})),
        item("a", "note", 5, json!({"day": "2026-01-01"})),
        item("late", "note", 7, json!({"day": "2026-01-01"})),
        item("new", "note", 1, json!({"day": "2026-01-02"})),
        item("none", "note", i64::MAX, json!({})),
    ];
    order(&mut items);
    let ids: Vec<&str> = items.iter().map(|i| i.id.as_str()).collect();
    assert_eq!(ids, ["new", "late", "a", "b", "old", "none"]);
}

#[test]
fn the_records_of_a_job_are_those_that_name_it() {
    let mut gone = item("gone", "note", 1, json!({"job": "j1"}));
    gone.view.gone = true;
    let items = [
        item("a", "note", 1, json!({"job": "j1"})),
        item("b", "note", 1, json!({"job": "j2"})),
        item("c", "note", 1, json!({})),
        gone,
        item("d", "repair", 1, json!({"job": "j1"})),
    ];
    let of = |job| {
        of_job(&items, job)
            .iter()
            .map(|i| i.id.clone())
            .collect::<Vec<_>>()
    };
    assert_eq!(of("j1"), ["a", "d"]);
    assert_eq!(of(""), Vec::<String>::new());
}

#[test]
fn each_kind_has_its_two_lines() {
    for (kind, fields, title, more) in [
        (
            "console",
            json!({"name": "attic find", "book": "larkfield-orrery", "board": "lw-47"}),
            "attic find",
            "Orrery, LW-47",
        ),
        (
            "console",
            json!({"book": "gone-book"}),
            "Console",
            "gone-book",
        ),
        (
            "job",
            json!({"name": "stops after two seconds", "stage": "parts", "day": "2026-11-01"}),
            "stops after two seconds",
            "In pieces, waiting for parts, begun 1 November",
        ),
        (
            "job",
            json!({"name": "no sound", "stage": "closed", "outcome": "repaired", "closed": "2025-03-12"}),
            "no sound",
            "Repaired, closed 12 March 2025",
        ),
        ("job", json!({"stage": "closed"}), "Job", "Closed"),
        ("job", json!({}), "Job", ""),
        (
            "symptom",
            json!({"symptoms": ["no-picture", "x-9"], "lamp": "red, three short", "beeps": "2", "seconds": "2,1"}),
            "No picture, x-9",
            "lamp red, three short, beeps 2, stops after 2,1 s",
        ),
        (
            "symptom",
            json!({"lamp": "red", "note": "only\nwhen cold"}),
            "lamp red",
            "only; when cold",
        ),
        ("symptom", json!({"symptoms": "no list"}), "Symptom", ""),
        (
            "reading",
            json!({"summary": "6 entries, 2 guesses to confirm"}),
            "6 entries, 2 guesses to confirm",
            "",
        ),
        (
            "measurement",
            json!({"quantity": "resistance", "place": "V_CORE coil to ground", "value": "0.42", "percent": "0.8", "counts": "3", "condition": "off"}),
            "Resistance, V_CORE coil to ground",
            "0.42 Ω ± 0.034 Ω, board off",
        ),
        (
            "measurement",
            json!({"quantity": "newer", "value": "7"}),
            "newer",
            "7",
        ),
        (
            "check",
            json!({"what": "Fan turns", "result": "bad", "note": "hums"}),
            "Fan turns",
            "Not as it should be. hums",
        ),
        (
            "repair",
            json!({"what": "Replaced the coil", "parts": "L7, 1 µH\n\nC12"}),
            "Replaced the coil",
            "L7, 1 µH; C12",
        ),
        (
            "repair",
            json!({"what": "Cleaned", "note": "flux"}),
            "Cleaned",
            "flux",
        ),
        (
            "note",
            json!({"note": "First line\nsecond\n third "}),
            "First line",
            "second; third",
        ),
        ("note", json!({}), "Note", ""),
        ("photo", json!({"caption": "coil side"}), "coil side", ""),
        ("photo", json!({}), "Photo", ""),
        (
            "follow-up",
            json!({"day": "2026-12-12"}),
            "Look again on 12 December",
            "",
        ),
        (
            "follow-up",
            json!({"day": "2026-11-25"}),
            "Look again on 25 November",
            "",
        ),
        (
            "follow-up",
            json!({"day": "2026-11-24"}),
            "Look again was due on 24 November",
            "",
        ),
        ("follow-up", json!({}), "Look again, no day yet", ""),
        (
            "follow-up",
            json!({"day": "2026-03-01", "done": "2026-03-12", "found": "holds", "note": "an hour"}),
            "Looked on 12 March: still works",
            "an hour",
        ),
        (
            "follow-up",
            json!({"found": "same-fault"}),
            "Looked: the same fault is back",
            "",
        ),
        ("a-newer-kind", json!({"what": "x"}), "a-newer-kind", ""),
    ] {
        let got = line(&item("a", kind, 0, fields.clone()), &names, TODAY);
        assert_eq!(got, (title.to_owned(), more.to_owned()), "{kind} {fields}");
    }
    assert_eq!(
        line(&Item::default(), &names, ""),
        (String::new(), String::new())
    );
}
