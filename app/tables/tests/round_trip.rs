//! The tables of a book, written in any form and read back, are the same tables.
//! Measured with the three demo books.
#![allow(clippy::unwrap_used, clippy::indexing_slicing, clippy::panic)]

mod support;

use codebook::Book;
use codebook::model::{BoardMeaning, CodeBook, CodeMeaning};
use proptest::prelude::*;
use support::{cells_of_html, taken};
use tables::{Form, What, write};

const FORMS: [Form; 8] = [
    Form::Html,
    Form::Markdown,
    Form::Wiki,
    Form::Bars,
    Form::BbCode,
    Form::Separated(','),
    Form::Separated(';'),
    Form::Separated('\t'),
];

fn demo(name: &str) -> CodeBook {
    let path = format!(
        "{}/../../public/books/{name}.json",
        env!("CARGO_MANIFEST_DIR")
    );
    let json = std::fs::read(path).unwrap();
    Book::load(&json).unwrap().model
}

#[test]
fn demo_books_come_back_equal_from_their_own_tables() {
    for name in ["orrery", "halyard", "tamsin"] {
        let book = demo(name);
        for form in FORMS {
            let texts: Vec<String> = [What::Codes, What::Steps, What::Rails, What::Boards]
                .iter()
                .map(|&what| write(&book, what, form))
                .collect();
            let texts: Vec<&str> = texts.iter().map(String::as_str).collect();
            let (_, _, taken) = taken(&texts, "");
            assert!(
                taken.left.is_empty() && taken.conflicts.is_empty(),
                "{name} {form:?}: {:?} {:?}",
                taken.left,
                taken.conflicts
            );
            assert_eq!(taken.piece.codes.len(), book.codes.len(), "{name} {form:?}");
            for (got, want) in taken.piece.codes.iter().zip(&book.codes) {
                assert_eq!(got, want, "{name} {form:?}");
            }
            assert_eq!(taken.piece.steps, book.steps, "{name} {form:?}");
            assert_eq!(taken.piece.rails, book.rails, "{name} {form:?}");
            assert_eq!(taken.piece.boards, book.boards, "{name} {form:?}");
        }
    }
}

/// All four tables in one text are four sheets.
#[test]
fn all_tables_in_one_text_come_back() {
    let book = demo("orrery");
    for form in FORMS {
        let mut text = String::new();
        for (what, title) in [
            (What::Codes, "Codes"),
            (What::Steps, "Power-up steps"),
            (What::Rails, "Rails"),
            (What::Boards, "Boards"),
        ] {
            text += &format!("{title}\n\n{}\n", write(&book, what, form));
        }
        if form == Form::Html {
            assert!(!cells_of_html(&text).is_empty());
            text = format!("<div>{text}</div>");
        }
        let (sheets, _, taken) = taken(&[&text], "");
        assert_eq!(sheets.len(), 4, "{form:?}");
        assert_eq!(taken.piece.codes, book.codes, "{form:?}");
        assert_eq!(taken.piece.steps, book.steps, "{form:?}");
        assert_eq!(taken.piece.rails, book.rails, "{form:?}");
        assert_eq!(taken.piece.boards, book.boards, "{form:?}");
    }
}

/// Texts with everything that some form has to escape.
fn text() -> impl Strategy<Value = String> {
    prop::collection::vec(
        prop::sample::select(
            &[
                "a", "low", "|", "||", "*", "**", "`", "<b>", "<br>", "&amp;", "&", "\"", "'",
                "''", "[[x]]", "[1]", "(2)", "{|", "}", "!", "!!", "=", "\\", "_x_", "~~", "#",
                ";", ",", "44D0", "3.3 V", "–", "é", "^", ": ", "\n", "[td]",
            ][..],
        ),
        1..8,
    )
    .prop_map(|bits| {
        let joined = format!("t{}", bits.join(" "));
        let lines: Vec<String> = joined
            .split('\n')
            .map(|l| l.split_whitespace().collect::<Vec<_>>().join(" "))
            .collect();
        lines.join("\n").trim().to_owned()
    })
}

fn one_line() -> impl Strategy<Value = String> {
    text().prop_map(|t| t.split_whitespace().collect::<Vec<_>>().join(" "))
}

fn names() -> impl Strategy<Value = Vec<String>> {
    prop::collection::vec(
        "[A-Z][A-Z0-9_]{1,4}([,;/ ][A-Z0-9]{1,2})?( and [A-Z])?",
        0..4,
    )
    .prop_map(|mut n| {
        n.sort();
        n.dedup();
        n
    })
}

fn meaning() -> impl Strategy<Value = CodeMeaning> {
    (
        prop::sample::select(
            &[
                "44D0",
                "44D0-44DF",
                "0X12",
                "E-10",
                "44 D0",
                "A, B",
                "AMBER 1?",
                "X",
                "7/8",
                "N/A",
                "CODE 5",
                "12H",
                "#1",
                "???",
                "30X0",
                "44D0*",
                "\"Q\"",
                "(1)",
                "A|B",
                "A:B",
            ][..],
        ),
        one_line(),
        prop_oneof![Just(String::new()), text()],
        prop_oneof![Just(String::new()), text()],
        prop::option::of("[0-9A-F]{2}"),
        names(),
        names(),
        prop::collection::btree_map(
            "[A-Z]{2}-[0-9]",
            (prop::option::of(one_line()), prop::option::of(text())),
            0..3,
        ),
        prop_oneof![Just(String::new()), one_line()],
    )
        .prop_map(
            |(code, title, meaning, not_proof, step, rails, parts, boards, source)| CodeMeaning {
                code: code.to_owned(),
                title,
                meaning,
                not_proof,
                step,
                rails,
                parts,
                layouts: Vec::new(),
                boards: boards
                    .into_iter()
                    .filter(|(_, (a, b))| a.is_some() || b.is_some())
                    .map(|(board, (title, meaning))| {
                        (
                            board,
                            BoardMeaning {
                                title,
                                meaning,
                                ..BoardMeaning::default()
                            },
                        )
                    })
                    .collect(),
                source,
            },
        )
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn any_code_table_comes_back_equal(rows in prop::collection::vec(meaning(), 1..8), form in prop::sample::select(&FORMS[..])) {
        let mut book = demo("tamsin");
        book.codes = rows;
        book.codes.sort_by(|a, b| a.code.cmp(&b.code));
        book.codes.dedup_by(|a, b| a.code == b.code);
        let text = write(&book, What::Codes, form);
        let (_, _, taken) = taken(&[&text], "");
        prop_assert_eq!(taken.piece.codes, book.codes, "{:?}\n{}", form, text);
    }
}
