//! Times the whole way for 10,000 rows in each form:
//! `cargo run -p tables --profile release-native --example speed`

use std::time::Instant;
use tables::{Form, Given, What, propose, sheets, take, write};

fn main() -> Result<(), Box<dyn std::error::Error>> {
    let mut rows = String::from("code,title,meaning,step,parts\n");
    for n in 0..10_000_u32 {
        let code = n.wrapping_mul(0x9E37) & 0xFFFF;
        let line = format!(
            "{code:04X},rail {n} low,\"The rail was under its window, for the {n}th time since the button was pressed.\",{:02X},\"U{}, C{}\"\n",
            n % 24,
            n % 90,
            n % 700
        );
        rows.push_str(&line);
    }
    let sheet = sheets(&rows).into_iter().next().ok_or("no sheet")?;
    let plan = propose(&sheet);
    let taken = take(&[Given {
        sheet: &sheet,
        plan: &plan,
        from: "a page",
    }]);
    let json =
        br#"{"format":1,"id":"a","version":"1","name":"a","licence":"CC0-1.0","layouts":[]}"#;
    let mut book = codebook::Book::load(json).map_err(|_| "no book")?.model;
    book.codes = taken.piece.codes;
    println!("form                 bytes     sheets  propose     take   codes");
    for form in [
        Form::Separated(','),
        Form::Separated('\t'),
        Form::Markdown,
        Form::Wiki,
        Form::Bars,
        Form::BbCode,
    ] {
        let text = write(&book, What::Codes, form);
        let start = Instant::now();
        let all = sheets(&text);
        let read = start.elapsed();
        let sheet = all.first().ok_or("no sheet")?;
        let start = Instant::now();
        let plan = propose(sheet);
        let proposed = start.elapsed();
        let start = Instant::now();
        let taken = take(&[Given {
            sheet,
            plan: &plan,
            from: "a page",
        }]);
        let took = start.elapsed();
        println!(
            "{:18} {:8} {:6} ms {:5} ms {:5} ms  {}",
            format!("{form:?}"),
            text.len(),
            read.as_millis(),
            proposed.as_millis(),
            took.as_millis(),
            taken.piece.codes.len()
        );
    }
    Ok(())
}
