//! Hints for lines as they are typed: line, then what is said about it.

#![allow(
    clippy::unwrap_used,
    clippy::indexing_slicing,
    clippy::panic,
    reason = "tests may panic"
)]

use super::*;
use crate::explain::tests::books;

/// `layout kind | fine part | bad (maybe) | next field | expected | example`.
#[track_caller]
fn check(line: &str, expected: &str) {
    assert_eq!(said(line, None), expected, "{line:?}");
}

fn said(line: &str, before: Option<&str>) -> String {
    let Some(h) = hint_like(&books(), line, before) else {
        return "none".into();
    };
    let kind = match h.kind {
        LineKind::Entry => "",
        LineKind::Empty => " empty",
        LineKind::Header => " header",
    };
    let fine = &line[..h.ok_until];
    let bad = h.bad.map_or(String::new(), |c| {
        let maybe: String = h.maybe.iter().collect();
        format!(" {c} ({maybe})")
    });
    let check = match h.check_ok {
        Some(true) => ", check fits",
        Some(false) => ", check does not fit",
        None => "",
    };
    if h.complete {
        return format!("{}{kind} | {fine} |{bad} complete{check}", h.layout);
    }
    format!(
        "{}{kind} | {fine} |{bad} | {} | {} | {}",
        h.layout, h.next_label, h.expected, h.example
    )
}

#[test]
fn a_text_line_from_the_first_letter_on() {
    check(
        "s",
        "orrery-line | s | | slot | `lot`, then 2 digits (0-9) | 07",
    );
    check(
        "Slot",
        "orrery-line | Slot | | slot | a space, then 2 digits (0-9) | 07",
    );
    check(
        "slot ",
        "orrery-line | slot  | | slot | 2 digits (0-9) | 07",
    );
    check(
        "slot 0",
        "orrery-line | slot 0 | | slot | 1 more digit (0-9) | 07",
    );
    check(
        "slot 07",
        "orrery-line | slot 07 | | power-up step | a space, then `step`, then 2 hex digits (0-9, A-F) | 0A",
    );
    check(
        "slot 07 step 0a ",
        "orrery-line | slot 07 step 0a  | | code | `code`, then 4 hex digits (0-9, A-F) | 44D0",
    );
    check(
        "slot 07 step 0A code 44",
        "orrery-line | slot 07 step 0A code 44 | | code | 2 more hex digits (0-9, A-F) | 44D0",
    );
    check(
        "slot 07  step 0A  code 44D0  clock 2C8F10B0  seen 0",
        "orrery-line | slot 07  step 0A  code 44D0  clock 2C8F10B0  seen 0 | | seen | 1 more hex digit (0-9, A-F) | 01",
    );
    check(
        "slot 07  step 0A  code 44D0  clock 2C8F10B0  seen 01",
        "orrery-line | slot 07  step 0A  code 44D0  clock 2C8F10B0  seen 01 | complete",
    );
    check(
        "slot 07  step 0A  code 44D0  clock FFFFFFFF  seen 01 ",
        "orrery-line | slot 07  step 0A  code 44D0  clock FFFFFFFF  seen 01  | complete",
    );
}

#[test]
fn the_first_bad_character() {
    check(
        "slot 07 step OA",
        "orrery-line | slot 07 step  | O (0D) | power-up step | 2 hex digits (0-9, A-F) | 0A",
    );
    check(
        "slot 07 step 0A code 44G0",
        "orrery-line | slot 07 step 0A code 44 | G (6C) | code | 2 more hex digits (0-9, A-F) | 44D0",
    );
    check(
        "slot 0l",
        "orrery-line | slot 0 | l (1) | slot | 1 more digit (0-9) | 07",
    );
    check(
        "slot 07 stop",
        "orrery-line | slot 07 st | o () | power-up step | `ep`, then 2 hex digits (0-9, A-F) | 0A",
    );
    // A fifth digit where four belong.
    check(
        "slot 07 step 0A code 44D01",
        "orrery-line | slot 07 step 0A code 44D0 | 1 () | clock | a space, then `clock`, then 8 hex digits (0-9, A-F) | 2C8F10B0",
    );
    check(
        "slot 07  step 0A  code 44D0  clock 2C8F10B0  seen 01 x",
        "orrery-line | slot 07  step 0A  code 44D0  clock 2C8F10B0  seen 01  | x () |  | nothing more | ",
    );
}

#[test]
fn other_lines_of_the_layout() {
    check(
        "slot 09  emp",
        "orrery-line empty | slot 09  emp | |  | `ty` | ",
    );
    check(
        "slot 09  empty",
        "orrery-line empty | slot 09  empty | complete",
    );
    check(
        "fault log: 24 sl",
        "orrery-line header | fault log: 24 sl | | head | `ots`, then `next`, then `slot`, then 2 digits (0-9) | 01",
    );
    check("end of log", "orrery-line header | end of log | complete");
}

#[test]
fn spelled_words_dates_and_checks() {
    check(
        "entry 0412: group a",
        "tamsin-line | entry 0412: group a | | group | `amber` | amber",
    );
    check(
        "entry 0412: group ",
        "tamsin-line | entry 0412: group  | | group | one of amber, birch, cedar | amber",
    );
    check(
        "entry 0412: group bitch",
        "tamsin-line | entry 0412: group bi | t () | group | `birch` | amber",
    );
    check(
        "entry 0412: group amber number 14, on 03.1",
        "tamsin-line | entry 0412: group amber number 14, on 03.1 | | time | a date like DD.MM.YYYY at hh:mm:ss | 03.11.2007 at 21:40:15",
    );
    check(
        "entry 0412: group amber number 14, on 03.11.2O07",
        "tamsin-line | entry 0412: group amber number 14, on 03.11.2 | O (0) | time | a date like DD.MM.YYYY at hh:mm:ss | 03.11.2007 at 21:40:15",
    );
    check(
        "entry 0412: group amber number 14, on --.--.---- at --:--:--, check K",
        "tamsin-line | entry 0412: group amber number 14, on --.--.---- at --:--:--, check K | | check | 1 more character of ACDEFGHJKLMNPQRTUVWXYZ | AC",
    );
    check(
        "entry 0412: group amber number 14, on 03.11.2007 at 21:40:15, check KB",
        "tamsin-line | entry 0412: group amber number 14, on 03.11.2007 at 21:40:15, check K | B () | check | 1 more character of ACDEFGHJKLMNPQRTUVWXYZ | AC",
    );
}

#[test]
fn a_whole_entry_is_held_against_its_check_field() {
    // 7 + sum of place times value over 0412 AMBER 14 03112007AT214015, worked
    // out by hand: see the test of the sum itself in `codebook`.
    let digits: Vec<u64> = "0412AMBER1403112007AT214015"
        .chars()
        .map(|c| u64::from(c.to_digit(36).unwrap()))
        .collect();
    let sum: u64 = (7 + digits.iter().zip(1..).map(|(d, w)| d * w).sum::<u64>()) % 484;
    let letters = b"ACDEFGHJKLMNPQRTUVWXYZ";
    let pair = format!(
        "{}{}",
        letters[sum as usize / 22] as char,
        letters[sum as usize % 22] as char
    );
    let line =
        format!("entry 0412: group amber number 14, on 03.11.2007 at 21:40:15, check {pair}");
    check(
        &line,
        &format!("tamsin-line | {line} | complete, check fits"),
    );
    let wrong = line.replace("at 21", "at 22");
    assert_eq!(hint(&books(), &wrong).unwrap().check_ok, Some(false));
}

#[test]
fn rows_of_bytes() {
    check(
        "2C 01 0B",
        "halyard-record | 2C 01 0B | | code | 2 hex digits (0-9, A-F), byte 4 of 12 | 3A 12",
    );
    check(
        "2C01 0B3",
        "halyard-record | 2C01 0B3 | | code | 1 more hex digit (0-9, A-F), byte 4 of 12 | 3A 12",
    );
    check(
        "0010: 2C",
        "halyard-record | 0010: 2C | | running number | 2 hex digits (0-9, A-F), byte 2 of 12 | 2C 01",
    );
    check(
        "00000010  2C 01",
        "halyard-record | 00000010  2C 01 | | step | 2 hex digits (0-9, A-F), byte 3 of 12 | 0B",
    );
    check(
        "0x2C 0x01",
        "halyard-record | 0x2C 0x01 | | step | 2 hex digits (0-9, A-F), byte 3 of 12 | 0B",
    );
    check(
        "2C O1",
        "halyard-record | 2C  | O (0D) | running number | 2 hex digits (0-9, A-F), byte 2 of 12 | 2C 01",
    );
    check(
        "halyard ring: 6",
        "halyard-record header | halyard ring: 6 | | records | 1 more digit (0-9) | 01",
    );
}

#[test]
fn a_whole_record_is_held_against_its_check_field() {
    let bytes = [
        0x2C, 0x01, 0x0B, 0x3A, 0x12, 0xF2, 0x51, 0x3C, 0x0D, 0x52, 0x02,
    ];
    let books = books();
    let crc = codebook::checksum::compute_bytes(books[1].model.layouts[0].check().unwrap(), &bytes);
    let mut row: Vec<String> = bytes.iter().map(|b| format!("{b:02X}")).collect();
    row.push(format!("{crc:02X}"));
    assert_eq!(hint(&books, &row.join(" ")).unwrap().check_ok, Some(true));
    row[4] = "13".into();
    assert_eq!(hint(&books, &row.join(" ")).unwrap().check_ok, Some(false));
}

#[test]
fn blank_and_strange_lines() {
    assert_eq!(hint(&books(), ""), None);
    assert_eq!(hint(&books(), "  "), None);
    assert_eq!(hint(&books(), "hello"), None);
    assert_eq!(hint(&books(), &"slot ".repeat(500)), None);
    assert_eq!(hint(&[], "slot"), None);
    assert_eq!(
        said("", Some("tamsin-line")),
        "tamsin-line |  | | seq | `entry`, then 4 digits (0-9) | 0123"
    );
}

/// Places are bytes on character boundaries, whatever is typed.
#[test]
fn other_scripts() {
    // Full-width digits and a Cyrillic letter that looks the same are fine.
    check(
        "slot ０7 step 0А ",
        "orrery-line | slot ０7 step 0А  | | code | `code`, then 4 hex digits (0-9, A-F) | 44D0",
    );
    check(
        "slot 07 step 0Ж",
        "orrery-line | slot 07 step 0 | Ж () | power-up step | 1 more hex digit (0-9, A-F) | 0A",
    );
}

/// The examples on the format's page are good entries: to type and to read.
#[test]
fn examples_of_the_format_page() {
    let page = include_str!("../../../codebook/FORMAT.md");
    let (smallest, _) = page
        .split_once("```json book\n")
        .unwrap()
        .1
        .split_once("\n```")
        .unwrap();
    for part in page.split("```json layout\n").skip(1) {
        let mut doc: Value = serde_json::from_str(smallest).unwrap();
        let layout: Value = serde_json::from_str(part.split_once("\n```").unwrap().0).unwrap();
        let example = layout["example"].as_str().unwrap().to_owned();
        let has_check = layout["check"].is_object();
        doc["layouts"] = serde_json::json!([layout]);
        let books = vec![Rc::new(Book::load(doc.to_string().as_bytes()).unwrap())];
        let said = hint(&books, &example).unwrap();
        assert_eq!(
            (said.complete, said.check_ok),
            (true, has_check.then_some(true)),
            "{example}"
        );
        let reading = crate::Reader::new(books).read(example.as_bytes());
        assert_eq!(reading.entries.len(), 1, "{example}");
        assert!(
            reading.entries[0].complete && !reading.entries[0].guess,
            "{example}"
        );
    }
}

#[test]
fn numbers_with_sign_and_fraction() {
    let doc = serde_json::json!({
        "format": 1, "id": "x", "version": "1", "name": "x", "licence": "CC0-1.0",
        "layouts": [{"kind": "text", "id": "x", "name": "x", "line": [
            "temp ", {"field": "temp", "as": "decimal", "width": [1, 3], "signed": true, "scale": 1.0, "unit": "C"},
            " code ", {"field": "code", "width": 4}]}]
    });
    let books = vec![Rc::new(Book::load(doc.to_string().as_bytes()).unwrap())];
    for line in [
        "temp -12.5 code 44D0",
        "temp 7 code 44D0",
        "temp 7,25 code 44D0",
    ] {
        assert!(hint(&books, line).unwrap().complete, "{line}");
    }
    for line in ["temp -", "temp -12.", "temp 7,2", "temp 7 code"] {
        let h = hint(&books, line).unwrap();
        assert_eq!(
            (h.ok_until, h.bad, h.complete),
            (line.len(), None, false),
            "{line}"
        );
    }
    assert_eq!(hint(&books, "temp -x").unwrap().bad, Some('x'));
}

proptest::proptest! {
    #[test]
    fn any_line(line in "[slotepcdk 0-9A-F:,.\\-×Ж\u{200B}]{0,60}|\\PC{0,40}") {
        if let Some(h) = hint(&books(), &line) {
            proptest::prop_assert!(line.is_char_boundary(h.ok_until));
            if let Some((from, to)) = h.bad_span {
                proptest::prop_assert!(from < to && line.get(from..to).is_some());
            }
        }
    }

    /// Every beginning of a good line is fine up to its end.
    #[test]
    fn beginnings_of_good_lines(cut in 1_usize..52) {
        let line = "slot 07  step 0A  code 44D0  clock 2C8F10B0  seen 01";
        let h = hint(&books(), &line[..cut]).unwrap();
        proptest::prop_assert_eq!((h.ok_until, h.bad, h.layout.as_str()), (cut, None, "orrery-line"));
    }
}
