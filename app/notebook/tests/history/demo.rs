//! From pasted text to what is new, with the demo code books: read, kept, laid
//! over each other. The truth is in the records the texts are made of.

use codebook::Book;
use notebook::Data;
use notebook::history::{History, Lost, Pulled, history, keep};
use reading::{Reader, Reading};
use serde_json::{Value, json};
use std::fmt::Write as _;
use std::path::Path;
use std::rc::Rc;

fn root() -> std::path::PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../..")
}

fn books() -> Vec<Rc<Book>> {
    ["orrery", "halyard", "tamsin"]
        .map(|name| {
            let path = root().join("public/books").join(name.to_owned() + ".json");
            Rc::new(Book::load(&std::fs::read(path).unwrap()).unwrap())
        })
        .to_vec()
}

fn log(name: &str) -> String {
    std::fs::read_to_string(root().join("demo-logs").join(name)).unwrap()
}

fn kept(text: &str) -> Data {
    let books = books();
    let reading = Reader::new(books.clone()).read(text.as_bytes());
    assert_eq!(reading.consoles.len(), 1, "{:#?}", reading.consoles);
    keep(&reading, 1, &books, "", text)
}

/// Reads, keeps and lays over each other, a day apart.
fn compared(texts: &[&str]) -> (Vec<Pulled>, History) {
    let list: Vec<Pulled> = texts
        .iter()
        .enumerate()
        .map(|(i, text)| {
            let mut data = kept(text);
            assert_eq!(data.get("text"), Some(&json!(text)), "byte for byte");
            data.insert("day".into(), format!("2026-03-0{}", i + 1).into());
            Pulled::from_data(&i.to_string(), 0, &data)
        })
        .collect();
    let found = history(&list);
    (list, found)
}

fn new_codes(list: &[Pulled], found: &History, join: usize) -> Vec<String> {
    let new = found.joins[join].new.iter().map(|e| found.events[*e].at);
    new.map(|(r, k)| list[r].entries[k].code.clone()).collect()
}

/// `12-second-pull`: three times B110 after the first pull.
#[test]
fn the_second_pull_of_an_orrery_shows_three_new_entries() {
    let text = log("12-second-pull.txt");
    let (first, second) = text.split_at(text.find("Same console a week later").unwrap());
    let (list, found) = compared(&[first, second]);
    assert_eq!(list[0].ring, Some(24));
    assert_eq!(found.joins[0].text, "3 new entries; 6 were there before.");
    assert_eq!(new_codes(&list, &found, 0), ["B110"; 3]);
    assert_eq!(found.joins[0].lost, Lost::None);
}

/// `33-overlapping-pulls`: the poster counts four new ones.
#[test]
fn the_second_pull_of_a_halyard_shows_four_new_entries() {
    let text = log("33-overlapping-pulls.txt");
    let (first, second) = text.split_at(text.find("second pull").unwrap());
    let (list, found) = compared(&[first, second]);
    assert_eq!(list[0].modulus, Some(65_536));
    assert_eq!(found.joins[0].possible, [4]);
    assert_eq!(
        new_codes(&list, &found, 0),
        ["9110", "9264", "9264", "9400"]
    );
    assert_eq!(found.joins[0].text, "4 new entries; 7 were there before.");
}

/// `42-tamsin-wrap`, newest first: without its four newest lines it is an
/// earlier pull.
#[test]
fn a_tamsin_whose_numbers_go_round_shows_four_new_entries() {
    let text = log("42-tamsin-wrap.txt");
    let earlier: String = text
        .lines()
        .filter(|l| !l.starts_with("entry 000"))
        .flat_map(|l| [l, "\n"])
        .collect();
    let (list, found) = compared(&[&earlier, &text]);
    assert_eq!(list[0].modulus, Some(10_000));
    assert_eq!(found.joins[0].possible, [4]);
    assert_eq!(
        new_codes(&list, &found, 0),
        ["FERN 17", "CEDAR 22", "AMBER 14", "AMBER 14"]
    );
}

/// An Orrery log as the console prints it after so many entries.
fn orrery(written: usize) -> String {
    let mut out = format!("fault log: 24 slots, next slot {:02}\n", written % 24);
    for slot in 0..24 {
        // The newest entry that went to this slot.
        match (0..written).rev().find(|i| i % 24 == slot) {
            Some(i) => {
                let code = ["44D0", "5E91", "6190", "1100"][i * i % 4];
                // Every seventh without a set clock, always the same second.
                let clock = if i % 7 == 3 {
                    3
                } else {
                    0x2C8F_10B0 + 7919 * i
                };
                writeln!(
                    out,
                    "slot {slot:02}  step 0A  code {code}  clock {clock:08X}  seen 01"
                )
                .unwrap();
            }
            None => writeln!(out, "slot {slot:02}  empty").unwrap(),
        }
    }
    out + "end of log\n"
}

#[test]
fn generated_orrery_rings_give_the_true_numbers() {
    let texts: Vec<String> = [5, 20, 30, 36, 36, 59, 90]
        .iter()
        .map(|n| orrery(*n))
        .collect();
    let texts: Vec<&str> = texts.iter().map(String::as_str).collect();
    let (list, found) = compared(&texts);
    let possible: Vec<_> = found.joins.iter().map(|j| j.possible.clone()).collect();
    assert_eq!(
        possible[..5],
        [vec![15], vec![10], vec![6], vec![0], vec![23]]
    );
    // 31 were written, the ring shows 24 of them, by the slots 7 are missing.
    assert_eq!(
        (found.joins[5].lost, found.joins[5].or_more),
        (Lost::AtLeast(7), Some(31))
    );
    assert_eq!(found.events.len(), 59 + 24);
    assert_eq!(found.after_reading(2).events.len(), 29 + 24);
    // By the console's own clock, which began at 0x2C8F10B0 (September 2023).
    assert!(
        list.iter()
            .flat_map(|p| &p.entries)
            .all(|e| e.utc.is_some() || e.rel == Some(3.0))
    );
}

/// CRC-8/AUTOSAR, bit by bit, not the crate's own.
fn crc8(data: &[u8]) -> u8 {
    let mut reg = 0xFF_u8;
    for byte in data {
        reg ^= byte;
        for _ in 0..8 {
            reg = if reg & 0x80 > 0 {
                (reg << 1) ^ 0x2F
            } else {
                reg << 1
            };
        }
    }
    reg ^ 0xFF
}

/// A Halyard ring as a dump after so many records; the first has number 65500.
fn halyard(written: usize) -> String {
    assert_eq!(crc8(b"123456789"), 0xDF);
    let mut out = format!(
        "halyard ring: 64 records of 12 bytes, head {:02X}\n",
        written % 64
    );
    for place in 0..64 {
        let record = match (0..written).rev().find(|i| i % 64 == place) {
            Some(i) => {
                let seq = ((65_500 + i) % 65_536) as u16;
                let time = (0x1300_0000 + 40_000 * i) as u32;
                let [a, b] = seq.to_le_bytes();
                let [t0, t1, t2, t3] = time.to_le_bytes();
                let mut r = vec![a, b, 0x0A, 0x92, 0x64, t0, t1, t2, t3, 60, 0];
                r.push(crc8(&r));
                r
            }
            None => vec![0xFF; 12],
        };
        let bytes: Vec<String> = record.iter().map(|b| format!("{b:02X}")).collect();
        writeln!(out, "{:04X}: {}", place * 12, bytes.join(" ")).unwrap();
    }
    out
}

#[test]
fn generated_halyard_rings_give_the_true_numbers_across_the_wrap() {
    let texts: Vec<String> = [20, 50, 90, 230].iter().map(|n| halyard(*n)).collect();
    let texts: Vec<&str> = texts.iter().map(String::as_str).collect();
    let (_, found) = compared(&texts);
    let possible: Vec<_> = found.joins.iter().map(|j| j.possible.clone()).collect();
    assert_eq!(possible, [[30], [40], [140]]);
    assert_eq!(found.joins[2].lost, Lost::Exactly(76));
    assert_eq!(found.events.len(), 90 + 64);
}

fn entries(data: &Data) -> Vec<Value> {
    data["entries"].as_array().unwrap().clone()
}

fn markers(data: &Data) -> Vec<(usize, Value)> {
    let all = entries(data).into_iter().enumerate();
    all.filter(|(_, e)| e.get("lost").is_some()).collect()
}

/// Breaks the line of a slot so that nothing can be read for sure.
fn broken(text: &str, slot: &str) -> String {
    let start = text.find(&format!("\nslot {slot}")).unwrap() + 1;
    let end = start + text[start..].find('\n').unwrap();
    let line = text[start..end].split_once("code").unwrap().0.to_owned() + "code 4##0  clock #";
    [&text[..start], &line, &text[end..]].concat()
}

#[test]
fn a_line_that_cant_be_read_leaves_a_marker_in_its_place() {
    // 30 written, the next slot is 06: slot 02 is in the middle by age.
    let data = kept(&broken(&orrery(30), "02"));
    assert_eq!(markers(&data), [(20, json!({"lost": 1}))]);
    assert_eq!(data["doubts"], json!(1));
    // The newest is in slot 05, the oldest in 06: which of both is broken, the
    // numbers can't tell.
    for slot in ["05", "06"] {
        let data = kept(&broken(&orrery(30), slot));
        let at_end = json!({"lost": 1, "sure": false});
        assert_eq!(markers(&data), [(23, at_end)], "{slot}");
    }
    // And what is new then is told as a range that holds the truth.
    let (before, after) = (broken(&orrery(30), "05"), orrery(33));
    let (_, found) = compared(&[&before, &after]);
    assert_eq!(found.joins[0].possible, [3, 4]);
    let (before, after) = (broken(&orrery(30), "06"), orrery(33));
    let (_, found) = compared(&[&before, &after]);
    assert_eq!(found.joins[0].possible, [2, 3]);
}

/// `04-typed-from-photo` has guesses that nothing confirms, `41-check-letters`
/// such as the check letters confirm; the expected readings say which.
#[test]
fn a_guess_is_not_sure_unless_the_check_field_confirms_it() {
    for (name, confirmed) in [("04-typed-from-photo", false), ("41-check-letters", true)] {
        let want: Value =
            serde_json::from_str(&log(&(name.to_owned() + ".expected.json"))).unwrap();
        let list = want["entries"].as_array().unwrap();
        let guessed = list.iter().filter(|e| e["guess"] == json!(true)).count();
        assert!(guessed > 0);
        let data = kept(&log(&(name.to_owned() + ".txt")));
        let all = entries(&data);
        let unsure = all
            .iter()
            .filter(|e| e["sure"] == json!(false) && e["lost"].is_null());
        let broken = want["unreadable"].as_array().map_or(0, Vec::len);
        let unsure = unsure.count();
        // An entry whose check field does not fit is not sure either.
        let wrong = list
            .iter()
            .filter(|e| e["fields"]["check_ok"] == json!(false))
            .count();
        let guessed = if confirmed { 0 } else { guessed };
        assert_eq!(unsure, guessed + wrong, "{name}");
        assert_eq!(data["doubts"], json!(unsure + broken), "{name}");
    }
}

#[test]
fn each_console_of_a_paste_is_kept_by_itself() {
    let books = books();
    let text = log("11-two-consoles.txt");
    let reading = Reader::new(books.clone()).read(text.as_bytes());
    assert_eq!(reading.consoles.len(), 2);
    let all: Vec<Data> = (1..=2)
        .map(|n| keep(&reading, n, &books, "LW-41", &text))
        .collect();
    let count: usize = all.iter().map(|d| entries(d).len()).sum();
    assert_eq!(count, reading.entries.len());
    assert_ne!(all[0]["entries"], all[1]["entries"]);
    assert!(
        all.iter()
            .all(|d| d["text"] == json!(text) && d["board"] == json!("LW-41"))
    );
    // A number that no console has.
    assert!(entries(&keep(&reading, 7, &books, "", &text)).is_empty());
}

#[test]
fn a_line_that_cant_be_read_counts_for_its_own_console_only() {
    let books = books();
    let text = broken(&orrery(30), "02") + "\nand the other console:\n" + &orrery(9);
    let reading = Reader::new(books.clone()).read(text.as_bytes());
    assert_eq!(reading.consoles.len(), 2);
    let doubts = |n| keep(&reading, n, &books, "", &text)["doubts"].clone();
    assert_eq!((doubts(1), doubts(2)), (json!(1), json!(0)));
}

#[test]
fn a_text_that_no_book_reads_is_kept_all_the_same() {
    let text = "nothing here\r\n\u{feff}\u{0}at all";
    let books = books();
    let reading = Reader::new(books.clone()).read(text.as_bytes());
    let data = keep(&reading, 1, &books, "", text);
    assert_eq!(data["text"], json!(text));
    assert!(entries(&data).is_empty());
    let found = history(&[Pulled::from_data("a", 0, &data)]);
    assert_eq!(found.apart[0].text, "No entry was read in it.");
    let _ = keep(&Reading::default(), 1, &[], "", "");
}

#[test]
fn what_is_kept_are_fields_of_the_table_only() {
    let kind = notebook::kinds::kind("reading").unwrap();
    for text in [orrery(30), halyard(90), log("15-order-unknown.txt")] {
        let data = kept(&text);
        for name in data.keys() {
            assert!(kind.field(name).is_some(), "{name}");
        }
    }
    assert_eq!(
        kept(&log("15-order-unknown.txt"))["order"],
        json!("unknown")
    );
}

#[test]
fn an_entry_is_kept_with_all_it_says() {
    let data = kept(&orrery(2));
    assert_eq!(
        entries(&data)[1],
        json!({"code": "5E91", "step": "0A", "time": "2C8F2F9F", "clock": "set",
               "utc": 1_694_266_143, "slot": 1, "count": 1})
    );
    assert_eq!(data["book"], json!("larkfield-orrery"));
    assert_eq!(data["doubts"], json!(0));
}
