//! Time grows with the text, not faster. The limit is far above what is needed
//! and far below what looking at every pair of lines would take.
#![allow(clippy::unwrap_used, clippy::indexing_slicing)]

use std::time::{Duration, Instant};
use tables::{Given, Kind, Plan, RawCell, Sheet, from_cells, propose_after, sheets, take};

fn all_of(sheets: &[Sheet]) -> usize {
    let mut plans: Vec<Plan> = Vec::new();
    for (n, sheet) in sheets.iter().enumerate() {
        let last: Vec<_> = sheets[..n].iter().zip(&plans).rev().take(1).collect();
        let plan = propose_after(sheet, &last);
        plans.push(plan);
    }
    let given: Vec<Given> = sheets
        .iter()
        .zip(&plans)
        .map(|(sheet, plan)| Given {
            sheet,
            plan,
            from: "x",
        })
        .collect();
    let taken = take(&given);
    taken.rows.len() + taken.left.len()
}

/// A piece again and again, to the limit of a text.
fn full(piece: &str) -> String {
    piece.repeat(tables::MAX_TEXT / piece.len())
}

#[test]
fn hostile_texts_take_no_longer_than_their_size() {
    let pieces = [
        "44D0: a\n\nlorem ipsum\n\n",
        "44D0: low\n",
        "[table]\n",
        "[table][tr][td]44D0[/td][td]low[/td][/tr][/table]\n",
        "{|\n",
        "{|\n|-\n| a\n|}\n",
        "|-\n| 44D0 || low\n",
        "|a|b|\n|---|---|\n\n",
        "* note (1)\n",
        "|44D0*|low (1)|\n",
        "\"44D0;low\n",
        "a;\"b\n",
        "44D0  0A  low\n",
        "44D0-44DF,\n",
        "000-FFF;x\n",
        "44D0/1/2/3/4/5/6/7/8/9;x\n",
        "+---+\n| a |\n",
        "x",
        "44D0 ",
        "|",
        "||",
        "[",
        "<sup>",
        "&amp",
        "**",
        "(1)",
        "44D0: low and 44D1: high and ",
        "code - ",
        "\t",
        ",",
        "- ",
        "> ",
        "\u{3042}",
    ];
    for piece in pieces {
        let text = full(piece);
        let start = Instant::now();
        let sheets = sheets(&text);
        let read = start.elapsed();
        all_of(&sheets);
        let all = start.elapsed();
        println!("{piece:?}: read {read:?}, all {all:?}");
        assert!(all < Duration::from_secs(8), "{piece:?} took {all:?}");
    }
}

#[test]
fn merged_cells_do_not_multiply_the_text() {
    // One cell of 4,000 characters over all columns and rows.
    let mut cells: Vec<RawCell> = vec![RawCell {
        table: 1,
        row: 1,
        text: "x".repeat(4000),
        across: 64,
        down: 0,
        ..RawCell::default()
    }];
    for row in 1..20_000 {
        cells.push(RawCell {
            table: 1,
            row,
            text: "y".into(),
            across: 1,
            down: 1,
            kind: Kind::Cell,
            ..RawCell::default()
        });
    }
    let start = Instant::now();
    let sheets = from_cells(&cells);
    let bytes: usize = sheets
        .iter()
        .flat_map(|s| &s.rows)
        .flat_map(|r| &r.cells)
        .map(|c| c.text.len())
        .sum();
    assert!(bytes < 8 << 20, "{bytes} bytes");
    all_of(&sheets);
    assert!(start.elapsed() < Duration::from_secs(8));
}
