//! The tables, read back by another program, and the guard against formulas.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::indexing_slicing)]

use notebook::csv::{cell, events, measurements};
use notebook::{Data, Item, Record};
use proptest::prelude::*;

fn item(id: &str, kind: &str, json: &str) -> Item {
    let mut record = Record::new(id, kind, 0);
    let data: Data = serde_json::from_str(json).unwrap();
    record.write("a", 0, &[], None, false, data);
    Item::of(&record)
}

fn table(text: &str) -> Vec<Vec<String>> {
    let text = text.strip_prefix('\u{feff}').expect("a byte order mark");
    assert!(text.ends_with("\r\n"));
    csv::ReaderBuilder::new()
        .has_headers(false)
        .from_reader(text.as_bytes())
        .records()
        .map(|row| row.unwrap().iter().map(str::to_owned).collect())
        .collect()
}

fn notebook() -> Vec<Item> {
    vec![
        item(
            "c2",
            "console",
            r#"{"name":"the swap-meet one","serial":"=77-K","price":"12, with box"}"#,
        ),
        item("c1", "console", r#"{"name":"@attic \"find\""}"#),
        item("j1", "job", r#"{"console":"c1","name":"stops; restarts"}"#),
        item(
            "m2",
            "measurement",
            r#"{"console":"c2","day":"2026-03-13","quantity":"temperature","place":"=HYPERLINK(\"http:x\")","value":"-0.42","note":"two\nlines, one \"quoted\""}"#,
        ),
        item(
            "m1",
            "measurement",
            r#"{"console":"c1","job":"j1","day":"2026-03-12","quantity":"resistance","place":"V_CORE coil to ground","value":"4k7","percent":"0.8","counts":"3","condition":"off","meter":"+-"}"#,
        ),
        item(
            "m3",
            "measurement",
            r#"{"console":"gone","quantity":"made up","value":"OL"}"#,
        ),
        item(
            "r1",
            "reading",
            r#"{"console":"c1","day":"2026-03-12","entries":[
            {"slot":7,"code":"44D0","step":"0A","time":"2C8F10B0","clock":"set","utc":1694088000,"count":1},
            {"code":"-44D0","sure":false,"rel":12.5,"step":["odd"]},
            {"lost":3}, 5]}"#,
        ),
        item("r2", "reading", r#"{"console":"c2","entries":"none"}"#),
    ]
}

#[test]
fn measurements_are_read_back_as_they_are() {
    let text = measurements(&notebook(), false);
    let rows = table(&text);
    assert_eq!(
        rows[0],
        [
            "Console",
            "Job",
            "Day",
            "What is measured",
            "Where",
            "Value",
            "Number",
            "Unit",
            "Meter accuracy: % of reading",
            "Meter accuracy: digits",
            "Tips held together read",
            "Meter and range",
            "Board",
            "Note"
        ]
    );
    assert_eq!(
        rows[1],
        [
            "", "", "", "made up", "", "OL", "", "", "", "", "", "", "", ""
        ]
    );
    assert_eq!(
        rows[2],
        [
            "'@attic \"find\"",
            "stops; restarts",
            "2026-03-12",
            "Resistance",
            "V_CORE coil to ground",
            "4k7",
            "4700",
            "\u{3a9}",
            "0.8",
            "3",
            "",
            "'+-",
            "Off, unplugged, proved empty",
            ""
        ]
    );
    assert_eq!(
        rows[3],
        [
            "the swap-meet one",
            "",
            "2026-03-13",
            "Temperature",
            "'=HYPERLINK(\"http:x\")",
            "-0.42",
            "-0.42",
            "\u{b0}C",
            "",
            "",
            "",
            "",
            "",
            "two\nlines, one \"quoted\""
        ]
    );
    assert_eq!(rows.len(), 4);
}

#[test]
fn events_are_read_back_as_they_are() {
    let rows = table(&events(&notebook(), false));
    assert_eq!(
        rows[0],
        [
            "Console",
            "Job",
            "Log pulled on",
            "Slot",
            "Running number",
            "Code",
            "Power-up step",
            "Time as written",
            "Clock",
            "Time in UTC",
            "Local time",
            "Seconds since the start",
            "Count",
            "Read for sure",
            "Entries missing here"
        ]
    );
    let name = "'@attic \"find\"";
    assert_eq!(
        rows[1],
        [
            name,
            "",
            "2026-03-12",
            "7",
            "",
            "44D0",
            "0A",
            "2C8F10B0",
            "set",
            "2023-09-07 12:00:00",
            "",
            "",
            "1",
            "yes",
            ""
        ]
    );
    assert_eq!(
        rows[2],
        [
            name,
            "",
            "2026-03-12",
            "",
            "",
            "'-44D0",
            "[\"odd\"]",
            "",
            "",
            "",
            "",
            "12.5",
            "",
            "no",
            ""
        ]
    );
    assert_eq!(rows[3][13..], ["", "3"]);
    assert_eq!(rows.len(), 4);
}

#[test]
fn private_fields_are_left_out_unless_asked_for() {
    let items = notebook();
    for text in [measurements(&items, false), events(&items, false)] {
        assert!(!text.contains("77-K") && !text.contains("Serial") && !text.contains("Price"));
    }
    let rows = table(&measurements(&items, true));
    assert_eq!(rows[0][14..], ["Where from", "Price paid", "Serial number"]);
    assert_eq!(rows[3][14..], ["", "12, with box", "'=77-K"]);
    let rows = table(&events(&items, true));
    assert_eq!(rows[0][15..], ["Where from", "Price paid", "Serial number"]);
}

#[test]
fn deleted_records_are_left_out() {
    let mut items = notebook();
    for item in &mut items {
        item.view.gone = true;
    }
    assert_eq!(table(&measurements(&items, false)).len(), 1);
    assert_eq!(table(&events(&items, false)).len(), 1);
}

/// OWASP, "CSV Injection", from memory: these first characters begin a formula.
#[test]
fn cells_that_begin_like_a_formula_are_guarded() {
    let cases = [
        ("=1+1", "'=1+1"),
        ("+1", "'+1"),
        ("-1+1", "'-1+1"),
        ("-", "'-"),
        ("--1", "'--1"),
        ("-1e5", "'-1e5"),
        ("-12m", "'-12m"),
        ("-1.2.3", "'-1.2.3"),
        ("-.5", "'-.5"),
        ("-5.", "'-5."),
        ("-cmd|' /C calc'!A0", "'-cmd|' /C calc'!A0"),
        ("@SUM(A1)", "'@SUM(A1)"),
        ("\t=1", "\"'\t=1\""),
        ("\r=1", "\"'\r=1\""),
        ("\n=1", "\"'\n=1\""),
        ("\u{ff1d}1", "'\u{ff1d}1"),
        ("\u{ff0b}1", "'\u{ff0b}1"),
        ("\u{ff0d}1", "'\u{ff0d}1"),
        ("\u{ff20}A", "'\u{ff20}A"),
        ("=\"a\",b", "\"'=\"\"a\"\",b\""),
        // As they are.
        ("", ""),
        ("-0.42", "-0.42"),
        ("-0,42", "\"-0,42\""),
        ("-7", "-7"),
        ("0.42", "0.42"),
        ("a=b", "a=b"),
        ("'quoted", "'quoted"),
        ("\u{2212}5", "\u{2212}5"),
        (" a", "\" a\""),
        ("a;b", "\"a;b\""),
    ];
    for (text, written) in cases {
        assert_eq!(cell(text), written, "{text:?}");
    }
}

proptest! {
    /// Whatever is in a cell: read back by another program it is the same, or
    /// the same behind an apostrophe.
    #[test]
    fn any_text_is_read_back(name: String, place in "[-=+@,;\"'\r\n\t a0-9.\u{ff1d}]{0,12}") {
        let json = serde_json::json!({"console": "c", "place": place, "note": name}).to_string();
        let console = serde_json::json!({"name": name}).to_string();
        let items = [item("c", "console", &console), item("m", "measurement", &json)];
        let rows = table(&measurements(&items, false));
        prop_assert_eq!(rows.len(), 2);
        for (found, text) in [(&rows[1][0], &name), (&rows[1][4], &place), (&rows[1][13], &name)] {
            prop_assert!(found == text || *found == "'".to_owned() + text, "{:?} {:?}", found, text);
            let formula = found.starts_with(['=', '+', '@', '\t', '\r', '\n', '\u{ff1d}', '\u{ff0b}', '\u{ff0d}', '\u{ff20}']);
            prop_assert!(!formula);
            if let Some(rest) = found.strip_prefix('-') {
                prop_assert!(rest.replace(',', ".").parse::<f64>().is_ok(), "{:?}", found);
            }
        }
    }
}
