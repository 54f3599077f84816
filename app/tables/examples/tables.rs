//! Prints what is read from a table: `cargo run -p tables --example tables -- FILE...`
//! (several files are pastes in turn; not for HTML, which a browser has to read).

use tables::{Given, propose_after, sheets, take};

fn main() -> std::io::Result<()> {
    let mut all = Vec::new();
    for path in std::env::args().skip(1) {
        all.extend(sheets(&std::fs::read_to_string(path)?));
    }
    let mut plans = Vec::new();
    for (n, sheet) in all.iter().enumerate() {
        let earlier: Vec<_> = all.iter().take(n).zip(&plans).collect();
        let plan = propose_after(sheet, &earlier);
        println!("{:?} {:?}: {:?}", sheet.form, sheet.title, plan.what);
        for column in &plan.columns {
            println!(
                "  {:?} {:?} sure {}: {}",
                column.head, column.role, column.sure, column.why
            );
        }
        plans.push(plan);
    }
    let given: Vec<Given> = all
        .iter()
        .zip(&plans)
        .map(|(sheet, plan)| Given {
            sheet,
            plan,
            from: "a file",
        })
        .collect();
    println!("{:#?}", take(&given));
    Ok(())
}
