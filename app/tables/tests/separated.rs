//! Separated values against an independent reader, the `csv` crate.
#![allow(clippy::unwrap_used, clippy::indexing_slicing, clippy::panic)]

use csv::ReaderBuilder;
use proptest::prelude::*;
use tables::{Form, sheets};

/// What the `csv` crate makes of it.
fn outside(text: &str, sep: u8) -> Vec<Vec<String>> {
    ReaderBuilder::new()
        .has_headers(false)
        .delimiter(sep)
        .flexible(true)
        .from_reader(text.as_bytes())
        .records()
        .map(|r| r.unwrap().iter().map(str::to_owned).collect())
        .collect()
}

/// White space as a sheet has it.
fn tidy(text: &str) -> String {
    let lines: Vec<String> = text
        .trim()
        .split('\n')
        .map(|l| l.split_whitespace().collect::<Vec<_>>().join(" "))
        .collect();
    lines.join("\n").trim().to_owned()
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::default() })]

    /// Tables with commas, quotes and line breaks in cells, written by the `csv`
    /// crate, are read as it reads them.
    #[test]
    fn cells_are_those_of_another_reader(
        rows in prop::collection::vec(("[0-9A-F]{4}", "[a-z ,;\"\n]{0,12}[a-z]", "[a-z,\"]{1,8}"), 3..12),
        sep in prop::sample::select(&b",;\t|"[..]),
    ) {
        let mut writer = csv::WriterBuilder::new().delimiter(sep).from_writer(Vec::new());
        writer.write_record(["code", "title", "note"]).unwrap();
        for (a, b, c) in &rows {
            writer.write_record([a, b, c]).unwrap();
        }
        let text = String::from_utf8(writer.into_inner().unwrap()).unwrap();
        let want = outside(&text, sep);
        let sheets = sheets(&text);
        prop_assert_eq!(sheets.len(), 1, "{}", text);
        let sheet = &sheets[0];
        prop_assert_eq!(sheet.form, Form::Separated(char::from(sep)));
        prop_assert_eq!(&sheet.head, &want[0]);
        let got: Vec<Vec<String>> = sheet.rows.iter().map(|r| r.cells.iter().map(|c| c.text.clone()).collect()).collect();
        let want: Vec<Vec<String>> = want[1..].iter().map(|r| r.iter().map(|c| tidy(c)).collect()).collect();
        prop_assert_eq!(got, want);
    }
}
