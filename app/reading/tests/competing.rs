//! Layouts of two invented books compete for pastes: a layout of bare columns
//! would fit almost anything, and must not take what a check field proves to be
//! a dump, nor prose with numbers in it. All values are made up.

use std::path::Path;
use std::rc::Rc;

use codebook::Book;
use reading::{Reader, Reading};

fn file(name: &str) -> Vec<u8> {
    let path = Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("tests/competing")
        .join(name);
    std::fs::read(&path).unwrap_or_else(|e| panic!("{}: {e}", path.display()))
}

fn read(paste: &str) -> Reading {
    let book = |name| Rc::new(Book::load(&file(name)).unwrap_or_else(|p| panic!("{p:#?}")));
    Reader::new(vec![book("kettle.json"), book("bare.json")]).read(&file(paste))
}

/// Layouts used, numbers of entries, and lines by class in the order entry,
/// continuation, empty, duplicate, unreadable.
fn check(paste: &str, layouts: &[&str], entries: usize, lines: [&[usize]; 5]) -> Reading {
    let r = read(paste);
    assert_eq!(r.layouts, layouts, "{paste}");
    assert_eq!(r.entries.len(), entries, "{paste}");
    let c = &r.line_classes;
    let got = [
        &c.entry,
        &c.continuation,
        &c.empty,
        &c.duplicate,
        &c.unreadable,
    ];
    for (want, got) in lines.iter().zip(got) {
        assert_eq!(want, got, "{paste}: {c:?}");
    }
    r
}

#[test]
fn dumps_whose_checks_agree_are_dumps() {
    let raw = ["kettle-raw"];
    let half: [&[usize]; 5] = [&[2, 3, 4, 5, 7, 8], &[6], &[9, 10, 11], &[], &[]];
    check("half-rows.txt", &raw, 6, half);
    check("turned.txt", &raw, 6, [&[2, 3, 4, 5], &[], &[6], &[], &[]]);
    // A lost byte costs one record.
    check(
        "lost-byte.txt",
        &raw,
        5,
        [&[1, 2, 3, 4], &[], &[5], &[], &[]],
    );
    let slips = check(
        "slips.txt",
        &raw,
        6,
        [&[1, 2, 3, 4, 5, 6], &[], &[], &[], &[]],
    );
    let guesses: Vec<_> = slips.entries.iter().flat_map(|e| &e.guesses).collect();
    assert_eq!(guesses.len(), 3);
    assert!(
        guesses
            .iter()
            .all(|g| g.confirmed_by.as_deref() == Some("check"))
    );
}

#[test]
fn columns_and_prose_are_told_apart() {
    let lines: [&[usize]; 5] = [&[2, 3, 4, 5, 6, 7, 8], &[9], &[], &[], &[]];
    let r = check("columns.txt", &["bare"], 7, lines);
    // 9998, 9999, 0, 1: the running number goes round at 10000.
    let orders: Vec<usize> = r.entries.iter().map(|e| e.order).collect();
    assert_eq!(orders, [1, 2, 3, 4, 5, 6, 7]);
    check("nothing.txt", &[], 0, [&[], &[], &[], &[], &[]]);
}

#[test]
fn lines_wrapped_and_stamped_and_pasted_again() {
    let lines: [&[usize]; 5] = [&[3, 4, 5, 6, 8, 11], &[7], &[9], &[], &[]];
    let r = check("wrapped.txt", &["kettle"], 6, lines);
    let codes: Vec<_> = r.mentions.iter().map(|m| m.code.as_str()).collect();
    assert_eq!(codes, ["2B17", "4C99"]);
    // A layout that begins with a time in brackets is no terminal's stamp; the
    // second copy, with slips, is the same log again.
    check(
        "stamped.txt",
        &["iso"],
        5,
        [&[1, 2, 3, 9, 10], &[], &[], &[6, 7, 8], &[]],
    );
}
