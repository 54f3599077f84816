//! Invented tables in every form and what is made of each, in `tests/cases`.
//! A file holds one or more pastes, parted by `=== next paste`, and after
//! `=== expected` what comes out. `UPDATE_EXPECT=1 cargo test -p tables` writes
//! that part anew; look at the diff before you commit it.
#![allow(clippy::unwrap_used, clippy::indexing_slicing, clippy::panic)]

mod support;

use support::{shown, taken};

#[test]
fn every_case_gives_what_its_file_says() {
    let folder = format!("{}/tests/cases", env!("CARGO_MANIFEST_DIR"));
    let mut files: Vec<_> = std::fs::read_dir(folder)
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .collect();
    files.sort();
    assert!(files.len() >= 15, "only {} cases", files.len());
    let mut wrong = Vec::new();
    for file in &files {
        let text = std::fs::read_to_string(file).unwrap();
        let (pastes, expected) = text.split_once("=== expected\n").unwrap_or((&text, ""));
        let each: Vec<&str> = pastes.split("=== next paste\n").collect();
        let (sheets, plans, result) = taken(&each, "a page");
        let got = shown(&sheets, &plans, &result);
        if got == expected {
            continue;
        }
        if std::env::var_os("UPDATE_EXPECT").is_some() {
            std::fs::write(file, format!("{pastes}=== expected\n{got}")).unwrap();
        } else {
            wrong.push(format!("{}:\n{got}", file.display()));
        }
    }
    assert!(wrong.is_empty(), "not as expected:\n{}", wrong.join("\n"));
}
