//! A range gives every code inside it and none outside. Held against counting
//! through all codes one by one.
#![allow(clippy::unwrap_used, clippy::indexing_slicing, clippy::panic)]

use codebook::model::{CodeBook, CodeMeaning};
use proptest::prelude::*;
use tables::{Given, propose, sheets, take};

fn taken(first: &str, last: &str, sign: &str) -> (Vec<CodeMeaning>, usize) {
    let text = format!("code;meaning\n{first}{sign}{last};the range\nABCD;not in it\n");
    let sheets = sheets(&text);
    let plan = propose(&sheets[0]);
    let taken = take(&[Given {
        sheet: &sheets[0],
        plan: &plan,
        from: "",
    }]);
    let rows = taken
        .piece
        .codes
        .into_iter()
        .filter(|c| c.title == "the range")
        .collect();
    (rows, taken.left.len())
}

fn fits(pattern: &str, code: &str) -> bool {
    pattern.len() == code.len()
        && pattern
            .chars()
            .zip(code.chars())
            .all(|(p, c)| p == '?' || p == c)
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 300, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn a_hex_range_holds_what_it_says_and_nothing_else(a in 0u32..0x10000, len in 0u32..5000, sign in prop::sample::select(&["-", "–", " to ", ".."][..])) {
        let b = (a + len).min(0xFFFF);
        let (rows, left) = taken(&format!("{a:04X}"), &format!("{b:04X}"), sign);
        if b - a >= 4096 {
            prop_assert_eq!((rows.len(), left), (0, 1));
            return Ok(());
        }
        let mut of_rows = vec![0; rows.len()];
        for code in 0..=0xFFFFu32 {
            let text = format!("{code:04X}");
            let mut hits = 0;
            for (n, row) in rows.iter().enumerate() {
                if fits(&row.code, &text) {
                    hits += 1;
                    of_rows[n] += 1;
                }
            }
            prop_assert_eq!(hits, usize::from((a..=b).contains(&code)), "{}", text);
        }
        // Fewest rows with `?` at the end: no sixteen neighbours are left single.
        prop_assert!(rows.len() <= 15 * 2 * 4, "{} rows", rows.len());
        for row in &rows {
            let stem = row.code.trim_end_matches('?');
            let free = row.code.len() - stem.len();
            if !stem.is_empty() {
                let wider = format!("{}{}", &stem[..stem.len() - 1], "?".repeat(free + 1));
                let low = u32::from_str_radix(&wider.replace('?', "0"), 16).unwrap();
                let high = u32::from_str_radix(&wider.replace('?', "F"), 16).unwrap();
                prop_assert!(low < a || high > b, "{} could be {}", row.code, wider);
            }
        }
    }

    #[test]
    fn a_short_end_means_the_same_as_a_long_one(a in 0u32..0xFFFF, tail in 0u32..0x100) {
        let b = (a & 0xFF00) | tail;
        prop_assume!(b > a);
        let short = taken(&format!("{a:04X}"), &format!("{tail:02X}"), "-");
        let long = taken(&format!("{a:04X}"), &format!("{b:04X}"), "-");
        prop_assert_eq!(short, long);
    }

    #[test]
    fn a_decimal_range_holds_no_letters(a in 0u32..100, len in 0u32..100) {
        let b = (a + len).min(99);
        let text = format!("AMBER {a:02} - AMBER {b:02}|supply\nBIRCH 01|clock\n");
        let sheets = sheets(&text);
        let plan = propose(&sheets[0]);
        let taken = take(&[Given { sheet: &sheets[0], plan: &plan, from: "" }]);
        let got: Vec<&str> = taken.piece.codes.iter().filter(|c| c.title == "supply").map(|c| c.code.as_str()).collect();
        let want: Vec<String> = (a..=b).map(|n| format!("AMBER {n:02}")).collect();
        prop_assert_eq!(got, want);
    }
}

/// Wildcards of the ends stay, and the lookup of the book agrees.
#[test]
fn wildcards_in_the_ends_stay() {
    let (rows, _) = taken("30x0", "30xF", "-");
    let codes: Vec<&str> = rows.iter().map(|r| r.code.as_str()).collect();
    assert_eq!(codes, ["30??"]);
    let mut model: CodeBook = serde_json::from_str(
        r#"{"format":1,"id":"a","version":"1","name":"a","licence":"CC0-1.0","layouts":[]}"#,
    )
    .unwrap();
    model.codes = rows;
    let book = codebook::Book::load(&serde_json::to_vec(&model).unwrap()).unwrap();
    for code in 0..=0xFFFF_u32 {
        let text = format!("{code:04X}");
        assert_eq!(
            book.lookup(&text, None, None).len(),
            usize::from(code >> 8 == 0x30),
            "{text}"
        );
    }
}
