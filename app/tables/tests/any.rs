//! Whatever is pasted: no panic, and no line is lost.
#![allow(clippy::unwrap_used, clippy::indexing_slicing, clippy::panic)]

mod support;

use proptest::prelude::*;
use tables::{
    Form, Given, Kind, Plan, RawCell, Role, Sheet, What, from_cells, propose, sheets, take,
};

/// Pieces that tables are made of, so that chance comes near to real ones.
const BITS: [&str; 44] = [
    "|",
    "||",
    "\n",
    "\n",
    "\n",
    "\r\n",
    "{|",
    "|}",
    "|-",
    "!",
    "|+",
    "---",
    "|---|---|",
    "44D0",
    "44D1",
    "30x0-30xF",
    "0x7A",
    " - ",
    ": ",
    "code",
    "meaning",
    "[table]",
    "[tr]",
    "[td]",
    "[/td]",
    "[/tr]",
    "[/table]",
    ",",
    ";",
    "\t",
    "\"",
    "  ",
    " ",
    "graphics rail low",
    "*",
    "(1)",
    "† ",
    "<br>",
    "&amp;",
    "rowspan=\"3\" |",
    "+---+",
    "│",
    "AMBER 14",
    "> ",
];

fn text() -> impl Strategy<Value = String> {
    prop_oneof![
        3 => prop::collection::vec(prop::sample::select(&BITS[..]), 0..120).prop_map(|b| b.concat()),
        1 => any::<String>(),
        1 => "[ -~\n\t|]{0,300}",
    ]
}

/// The numbers of all lines that a sheet has somewhere.
fn accounted(sheet: &Sheet, seen: &mut Vec<usize>) {
    for row in &sheet.rows {
        seen.extend(row.line..=row.last);
        assert_eq!(row.cells.len(), sheet.width);
    }
    seen.extend(&sheet.head_lines);
    seen.extend(&sheet.drawn);
    for note in &sheet.footnotes {
        seen.extend(note.line..=note.last);
    }
    for left in &sheet.left {
        seen.extend(left.line..=left.last);
        assert!(!left.why.is_empty());
    }
    seen.push(sheet.title_line);
    assert!(sheet.head.is_empty() || sheet.head.len() == sheet.width);
}

fn all_of(sheets: &[Sheet]) {
    let plans = support::plans(sheets);
    for (sheet, plan) in sheets.iter().zip(&plans) {
        assert_eq!(plan.columns.len(), sheet.width);
        for column in &plan.columns {
            assert!(!column.why.is_empty(), "{column:?}");
            assert!(plan.what.roles().contains(&column.role));
        }
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
    every_row(&given);
}

/// Every row is taken or left with the reason, and what comes out is fit for a
/// book.
fn every_row(given: &[Given]) {
    let taken = take(given);
    let rows: usize = given.iter().map(|g| g.sheet.rows.len()).sum();
    assert_eq!(taken.rows.len() + taken.left.len(), rows);
    for row in &taken.rows {
        assert!(!row.became.is_empty());
    }
    let mut piece = taken.piece;
    let empty = empty_book();
    piece.name_missing(&empty);
    let mut book = empty;
    book.codes = piece.codes;
    book.steps = piece.steps;
    book.rails = piece.rails;
    book.boards = piece.boards;
    let json = serde_json::to_vec(&book).unwrap();
    if let Err(problems) = codebook::Book::load(&json) {
        panic!("{problems:?}");
    }
}

fn empty_book() -> codebook::model::CodeBook {
    serde_json::from_str(
        r#"{"format":1,"id":"a","version":"1","name":"a","licence":"CC0-1.0","layouts":[]}"#,
    )
    .unwrap()
}

fn lines_of(text: &str) -> Vec<&str> {
    let mut out = Vec::new();
    for line in text.split_inclusive('\n') {
        let line = line.strip_suffix('\n').unwrap_or(line);
        out.extend(line.strip_suffix('\r').unwrap_or(line).split('\r'));
    }
    out
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn any_text_is_read_and_no_line_is_lost(text in text()) {
        let sheets = sheets(&text);
        let mut seen = Vec::new();
        sheets.iter().for_each(|s| accounted(s, &mut seen));
        for (n, line) in lines_of(&text).iter().enumerate() {
            let blank = line.trim().is_empty() || line.trim().chars().all(|c| c == '>' || c.is_whitespace());
            prop_assert!(blank || seen.contains(&(n + 1)), "line {} {:?} of {:?} is nowhere: {:#?}", n + 1, line, text, sheets);
        }
        all_of(&sheets);
    }

    #[test]
    fn any_cells_are_read_and_no_row_is_lost(
        cells in prop::collection::vec((0u32..3, 0u32..6, text(), 0u32..5, 0u32..5, 0u8..10, "[a-z1*\n]{0,3}"), 0..24),
    ) {
        let cells: Vec<RawCell> = cells
            .into_iter()
            .enumerate()
            .map(|(n, (table, row, text, across, down, kind, mark))| RawCell {
                table,
                row: if matches!(kind, 2 | 3) { n as u32 + 1 } else { row },
                text,
                mark,
                kind: match kind { 0 => Kind::Heading, 1 => Kind::Caption, 2 | 3 => Kind::Around, _ => Kind::Cell },
                across,
                down,
            })
            .collect();
        let sheets = from_cells(&cells);
        let mut seen = Vec::new();
        sheets.iter().for_each(|s| accounted(s, &mut seen));
        for cell in &cells {
            let blank = cell.text.lines().all(|l| l.trim().is_empty() || l.trim().chars().all(|c| c == '>'));
            prop_assert!(blank || seen.contains(&(cell.row as usize)), "{cell:?} is nowhere: {sheets:#?}");
        }
        all_of(&sheets);
    }

    /// A person may tap any role on any column.
    #[test]
    fn any_plan_may_be_taken(
        text in text(),
        roles in prop::collection::vec(0usize..16, 8),
        what in 0usize..4,
        flags in any::<[bool; 2]>(),
        board in "[A-Z]{0,2}",
        join in "[ -]{0,2}",
    ) {
        let sheets = sheets(&text);
        let plans: Vec<Plan> = sheets
            .iter()
            .map(|sheet| {
                let mut plan = propose(sheet);
                plan.what = [What::Codes, What::Steps, What::Rails, What::Boards][what];
                for (column, role) in plan.columns.iter_mut().zip(&roles) {
                    column.role = Role::ALL[*role];
                    column.board = if matches!(column.role, Role::Title | Role::Meaning) { board.clone() } else { String::new() };
                }
                plan.verbatim = flags[0];
                plan.close_up = flags[1];
                plan.join = join.clone();
                plan
            })
            .collect();
        let given: Vec<Given> = sheets.iter().zip(&plans).map(|(sheet, plan)| Given { sheet, plan, from: "x" }).collect();
        every_row(&given);
    }
}

#[test]
fn what_is_beyond_the_limits_is_said() {
    let long = "44D0;graphics rail low\n".repeat(30_000);
    let sheets = sheets(&long);
    let rows: usize = sheets.iter().map(|s| s.rows.len()).sum();
    assert_eq!(rows, tables::MAX_ROWS);
    let mut seen = Vec::new();
    sheets.iter().for_each(|s| accounted(s, &mut seen));
    assert!((1..=30_000).all(|n| seen.contains(&n)));

    let huge = "44D0: graphics rail low\n".repeat(200_000);
    let sheets = tables::sheets(&huge);
    assert!(
        sheets
            .iter()
            .flat_map(|s| &s.left)
            .any(|l| l.why.contains("2 MiB") && l.last == 200_000)
    );

    let wide = format!(
        "code,meaning{}\n44D0,low{}\n",
        ",x".repeat(100),
        ",y".repeat(100)
    );
    let sheets = tables::sheets(&wide);
    assert_eq!(sheets[0].width, 64);

    let long = format!("code,meaning\n44D0,{}\n44D1,low\n", "a".repeat(5000));
    let sheets = tables::sheets(&long);
    let left: usize = sheets[0].left.iter().map(|l| l.text.len()).sum();
    assert_eq!(sheets[0].rows[0].cells[1].text.len() + left, 5000);
    assert_eq!(sheets[0].form, Form::Separated(','));
}
