//! Codes looked up without a log: in the demo books, by cases kept in a file,
//! and in made books against the plainest way to do it.
#![allow(
    clippy::unwrap_used,
    clippy::indexing_slicing,
    clippy::panic,
    reason = "tests may panic"
)]

use codebook::Book;
use proptest::prelude::*;
use reading::lookup::{Hit, How, look_up};
use serde_json::{Value, json};
use std::rc::Rc;

fn demo() -> Vec<Rc<Book>> {
    ["orrery", "halyard", "tamsin"]
        .iter()
        .map(|name| {
            let root = env!("CARGO_MANIFEST_DIR");
            let path = format!("{root}/../../public/books/{name}.json");
            Rc::new(Book::load(&std::fs::read(path).unwrap()).unwrap())
        })
        .collect()
}

fn book(codes: Value) -> Rc<Book> {
    let doc = json!({"format": 1, "id": "x", "version": "1", "name": "x", "licence": "x", "layouts": [], "codes": codes});
    Rc::new(Book::load(doc.to_string().as_bytes()).unwrap_or_else(|p| panic!("{p:?}")))
}

fn rows(codes: &[&str]) -> Rc<Book> {
    let rows: Vec<Value> = codes
        .iter()
        .map(|c| json!({"code": c, "title": "t"}))
        .collect();
    book(rows.into())
}

fn line(hit: &Hit) -> String {
    let how = match &hit.how {
        How::Exact => "exact".to_owned(),
        How::Row => "row".to_owned(),
        How::Wild => "wild".to_owned(),
        How::Near { cost, at } => format!("near {cost} {at:?}"),
        How::Words => "words".to_owned(),
    };
    format!("{} {}: {how}, {}", hit.book, hit.found.pattern, hit.asked)
}

#[test]
fn the_demo_books_answer_as_the_file_has_it() {
    let path = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/lookup/cases.txt");
    let cases = std::fs::read_to_string(path).unwrap();
    let books = demo();
    let mut now = String::new();
    for case in cases
        .lines()
        .filter(|l| l.is_empty() || l.starts_with(['#', '>']))
    {
        now += &(case.to_owned() + "\n");
        if let Some(query) = case.strip_prefix("> ") {
            for hit in look_up(&books, query, 6) {
                now += &(line(&hit) + "\n");
            }
        }
    }
    if std::env::var_os("UPDATE_EXPECT").is_some() {
        std::fs::write(path, &now).unwrap();
        return;
    }
    if let Some((was, is)) = cases.lines().zip(now.lines()).find(|(a, b)| a != b) {
        panic!("expected: {was}\n   found: {is}");
    }
    assert_eq!(cases, now);
}

/// Every code of every book, in every form that people write.
#[test]
fn every_row_is_the_first_hit_for_its_own_code() {
    let books = demo();
    for (b, book) in books.iter().enumerate() {
        for row in &book.model.codes {
            let code = &row.code;
            let mut forms = vec![
                code.clone(),
                code.to_lowercase(),
                format!("  {code}, "),
                code.replace(' ', "-"),
                code.replace(' ', ""),
                format!("what is {code}"),
            ];
            if !code.contains(' ') {
                forms.push(format!("0x{code}"));
                forms.push(format!("{code}h"));
                forms.push(format!("{} {}", &code[..2], &code[2..]));
            }
            for form in forms {
                if code.contains('?')
                    && (form.contains("what is") || form.contains(' ') && !code.contains(' '))
                {
                    continue;
                }
                let hits = look_up(&books, &form, 40);
                // The same code may be in two books.
                let first: Vec<&Hit> = hits
                    .iter()
                    .take_while(|h| h.found.pattern == *code)
                    .collect();
                assert!(
                    first.iter().any(|h| h.book == b),
                    "{form}: {:?}",
                    hits.first().map(line)
                );
            }
        }
    }
}

#[test]
fn a_row_of_one_layout_and_two_rows_of_one_code_are_all_found() {
    let books = [book(json!([
        {"code": "1000", "title": "first"},
        {"code": "1000", "title": "second"},
        {"code": "1???", "title": "third"},
        {"code": "????", "title": "fourth"},
    ]))];
    let titles = |q: &str| -> Vec<String> {
        look_up(&books, q, 9)
            .into_iter()
            .map(|h| h.found.title)
            .collect()
    };
    assert_eq!(titles("1000"), ["first", "second", "third", "fourth"]);
    // A word is a word, even if a row fits whatever has four letters.
    assert_eq!(titles("first"), ["first"]);
    assert_eq!(titles("rest"), [""; 0]);
    assert_eq!(look_up(&books, "1000", 0), []);
    assert_eq!(look_up(&[], "1000", 9), []);
}

#[test]
fn what_is_near_is_in_the_order_of_the_slips() {
    let books = [rows(&[
        "84D0", "04D0", "B4DB", "B4D", "4BD0", "B4DD0", "B0D4", "FFFF",
    ])];
    let near: Vec<(String, u32)> = look_up(&books, "B4D0", 9)
        .into_iter()
        .map(|h| match h.how {
            How::Near { cost, .. } => (h.found.pattern, cost),
            other => panic!("{other:?}"),
        })
        .collect();
    let near: Vec<(&str, u32)> = near.iter().map(|(c, n)| (c.as_str(), *n)).collect();
    // B for 8: 10; swapped: 15; D doubled: 15; B for 0, 0 for B, 0 left out: 20.
    assert_eq!(
        near,
        [
            ("84D0", 10),
            ("4BD0", 15),
            ("B4DD0", 15),
            ("04D0", 20),
            ("B4DB", 20),
            ("B4D", 20)
        ]
    );
    // A code of two characters is near to all others: only slips count.
    let books = [rows(&["88", "8B", "B8", "89", "98", "8"])];
    let near: Vec<String> = look_up(&books, "B8", 9)
        .into_iter()
        .map(|h| line(&h))
        .collect();
    assert_eq!(near, ["0 B8: exact, B8"]);
    let near: Vec<String> = look_up(&books, "8S", 9)
        .into_iter()
        .map(|h| line(&h))
        .collect();
    assert_eq!(near, [""; 0]);
}

/// The codes of any family, also those that are no hex.
#[test]
fn codes_with_signs_letters_and_x_are_found() {
    let books = [rows(&[
        "P0420", "E-12", "X1F", "XX", "ERR.7", "A/B", "漢1", "1*2", "FAX",
    ])];
    for (asked, code) in [
        ("p0420", "P0420"),
        ("e-12", "E-12"),
        ("E-12.", "E-12"),
        ("x1f", "X1F"),
        ("xx", "XX"),
        ("err.7", "ERR.7"),
        ("漢1", "漢1"),
        ("fax", "FAX"),
    ] {
        let hits = look_up(&books, asked, 9);
        assert_eq!(
            hits.first().map(line),
            Some(format!("0 {code}: exact, {code}")),
            "{asked}"
        );
    }
}

#[test]
fn words_are_found_in_titles_before_texts_and_short_ones_only_whole() {
    let books = [book(json!([
        {"code": "0001", "title": "fan", "meaning": "The café fan did not turn. See U12.", "parts": ["J5"]},
        {"code": "0002", "title": "other", "meaning": "Fantastic."},
        {"code": "0003", "title": "third", "parts": ["U1"]},
        {"code": "0004", "title": "hot graphics chip"},
        {"code": "0005", "title": "chip", "meaning": "A graphic one.", "not_proof": "No proof of a hot air leak."},
    ]))];
    let codes = |q: &str| -> Vec<String> {
        look_up(&books, q, 9)
            .into_iter()
            .map(|h| h.found.pattern)
            .collect()
    };
    assert_eq!(codes("fan"), ["0001", "0002"]);
    assert_eq!(codes("an"), [""; 0]);
    assert_eq!(codes("U1"), ["0003"]);
    assert_eq!(codes("graphic"), ["0004", "0005"]);
    assert_eq!(codes("CHIP graphics"), ["0004"]);
    assert_eq!(codes("hot chip"), ["0004", "0005"]);
    assert_eq!(codes("CAFÉ"), ["0001"]);
}

/// 20,000 rows, and text of any length: each word is held against each row once.
#[test]
fn the_largest_table_is_looked_through() {
    let all: Vec<Value> = (0..20_000)
        .map(|n| json!({"code": format!("{n:04X}"), "title": "core rail late", "meaning": "word ".repeat(20)}))
        .collect();
    let books = [book(all.into())];
    assert_eq!(look_up(&books, "1234 4321 1F00", 3).len(), 3);
    assert_eq!(look_up(&books, "*", 9).len(), 0);
    assert_eq!(look_up(&books, "1*", 9).len(), 9);
    assert_eq!(look_up(&books, &"12?4 ".repeat(1000), 9).len(), 9);
    assert_eq!(look_up(&books, &"*1*2*3*4".repeat(1000), 9).len(), 0);
    assert_eq!(look_up(&books, &"rail ".repeat(1000), 9).len(), 9);
}

/// The plainest way: all ways to fill the stars, place by place.
fn fits(asked: &[char], code: &[char]) -> bool {
    match (asked, code) {
        ([], []) => true,
        (['*', rest @ ..], _) => fits(rest, code) || !code.is_empty() && fits(asked, &code[1..]),
        ([a, rest @ ..], [c, more @ ..]) if a == c || *a == '?' || *c == '?' => fits(rest, more),
        _ => false,
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(400))]

    #[test]
    fn any_text_gives_at_most_so_many_rows_and_none_twice(text in "(\\PC|[0-9A-Fa-f?*x ,]|amber|44D0){0,40}", most in 0..20_usize) {
        let books = demo();
        let hits = look_up(&books, &text, most);
        prop_assert!(hits.len() <= most);
        for (i, hit) in hits.iter().enumerate() {
            prop_assert!(!hit.asked.is_empty());
            prop_assert!(hits[..i].iter().all(|h| h.book != hit.book || h.found != hit.found));
            if let How::Near { cost, at } = &hit.how {
                prop_assert!(*cost > 0 && *cost <= 30 && !at.is_empty());
                prop_assert!(at.iter().all(|i| *i < hit.found.pattern.len()));
            }
        }
        // Fewer are the first of more.
        let more = look_up(&books, &text, most + 7);
        prop_assert_eq!(&hits[..], &more[..hits.len()]);
    }

    #[test]
    fn wildcards_fit_what_they_fit_in_the_plainest_way(
        asked in "[0-3?*]{0,3}[0-3][?*][0-3?*]{0,2}",
        codes in proptest::collection::vec("[0-3?]{1,5}", 1..12)
    ) {
        let list: Vec<&str> = codes.iter().map(String::as_str).collect();
        let books = [rows(&list)];
        let pattern: Vec<char> = asked.chars().collect();
        let hits = look_up(&books, &asked, 99);
        let count = codes.iter().filter(|c| fits(&pattern, &c.chars().collect::<Vec<_>>())).count();
        let wild: Vec<&Hit> = hits.iter().filter(|h| h.how == How::Wild && h.asked == asked).collect();
        prop_assert_eq!(wild.len(), count, "{:?}", hits.iter().map(line).collect::<Vec<_>>());
        for hit in wild {
            prop_assert!(fits(&pattern, &hit.found.pattern.chars().collect::<Vec<_>>()));
        }
    }

    /// What is one slip away is found, and said to be near and where.
    #[test]
    fn one_slip_away_is_near(n in 0..0x1_0000_u32, at in 0..4_usize, with in 0..16_u32, kind in 0..4_u8) {
        let code = format!("{n:04X}");
        let mut typed: Vec<char> = code.chars().collect();
        match kind {
            0 => typed[at] = char::from_digit(with, 16).unwrap().to_ascii_uppercase(),
            1 if at < 3 => typed.swap(at, at + 1),
            2 => typed.insert(at, typed[at]),
            _ => drop(typed.remove(at)),
        }
        let typed: String = typed.into_iter().collect();
        prop_assume!(typed != code && typed.contains(|c: char| c.is_ascii_digit()));
        let hits = look_up(&[rows(&[&code])], &typed, 9);
        prop_assert_eq!(hits.len(), 1, "{} for {}", typed, code);
        let near = matches!(&hits[0].how, How::Near { cost, .. } if (10..=25).contains(cost));
        prop_assert!(near, "{}", line(&hits[0]));
    }
}
