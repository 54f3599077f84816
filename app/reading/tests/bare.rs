//! Layouts with few or no fixed words, as they are taught from a log: what stands
//! in front of them or in them must not be taken for values.

#![allow(
    clippy::unwrap_used,
    clippy::indexing_slicing,
    missing_docs,
    reason = "tests may panic"
)]

use std::rc::Rc;

use codebook::Book;
use reading::{Reader, Reading};
use serde_json::{Value, json};

fn read(layout: &Value, text: &str) -> Reading {
    let doc = json!({"format": 1, "id": "x", "version": "1", "name": "x", "licence": "none", "layouts": [layout]});
    let book = Book::of(doc).unwrap_or_else(|e| panic!("{e:?}"));
    Reader::new(vec![Rc::new(book)]).read(text.as_bytes())
}

fn values(r: &Reading, field: &str) -> Vec<Value> {
    r.entries.iter().map(|e| e.fields[field].clone()).collect()
}

#[test]
fn the_stamp_of_a_recorder_is_not_read_as_columns() {
    let layout = json!({"kind": "text", "id": "columns", "name": "columns", "line": [
        {"field": "seq", "as": "decimal", "width": [1, 6]}, " ", {"field": "step", "width": 2}, " ",
        {"field": "code", "width": 4}, " ", {"field": "time", "width": 8, "time": {"epoch": "1970-01-01T00:00:00Z"}}, " ",
        {"field": "flags", "width": 2}, " ", {"field": "other", "width": 4}]});
    let text = "[10:00:01.242] 689  0B  DCD0h  577dd00d  05  C03F\n[10:00:02.725] 688  1C  39FAh  577dcf4f  80  36FA\n";
    let r = read(&layout, text);
    assert_eq!(values(&r, "seq"), [689, 688]);
    assert_eq!(values(&r, "code"), ["DCD0", "39FA"]);
    assert!(r.entries.iter().all(|e| !e.guess));
}

#[test]
fn a_date_that_is_not_there_may_follow_right_behind_its_name() {
    let layout = json!({"kind": "text", "id": "dated", "name": "dated", "line": [
        "slot: ", {"field": "slot", "as": "decimal", "width": 2}, ", at: ",
        {"field": "time", "as": "date", "pattern": "DD.MM.YYYY hh:mm:ss", "time": {"zone": "local", "absent": ["--.--.---- --:--:--"]}},
        ", code: ", {"field": "code", "width": 4}]});
    let r = read(
        &layout,
        "slot: 01, at: --.--.---- --:--:--, code: 44D0\nslot: 02, at: 03.11.2007 21:40:15, code: 44D0\n",
    );
    assert_eq!(values(&r, "clock"), ["absent", "set"]);
}

#[test]
fn the_last_byte_of_a_dump_may_have_a_row_of_its_own() {
    let layout = json!({"kind": "bytes", "id": "record", "name": "record", "length": 3, "fields": [
        {"field": "mark", "at": 0, "equals": "A5"}, {"field": "code", "at": 1, "size": 2}]});
    let text =
        "00000000  A5 44 D0 A5 5E 91 A5 44  |.D..^..D|\n00000008  D0                       |.|\n";
    let r = read(&layout, text);
    assert_eq!(values(&r, "code"), ["44D0", "5E91", "44D0"]);
    // A lone number behind an offset that does not go on is none.
    let r = read(
        &layout,
        "00000000  A5 44 D0 A5 5E 91 A5 44  |.D..^..D|\n00000040  D0  |.|\n",
    );
    assert_eq!(values(&r, "code"), ["44D0", "5E91"]);
}
