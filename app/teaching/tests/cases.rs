//! Pastes and what is proposed for them, word for word: `cases/*.txt` with
//! `cases/*.expected`. `UPDATE_EXPECT=1` writes the expected files anew; look at
//! the difference before keeping it.

#![allow(clippy::unwrap_used, missing_docs, reason = "tests may panic")]

use std::fmt::Write;
use std::path::PathBuf;

use teaching::{Hints, propose};

fn told(text: &str) -> String {
    let hints = Hints {
        latest: Some(1_795_564_800),
        ..Hints::default()
    };
    let mut out = String::new();
    let p = match propose(text, &hints) {
        Ok(p) => p,
        Err(why) => return format!("{} {}\n", why.what, why.todo),
    };
    writeln!(
        out,
        "{:?}, read {} of {}, record {:?}, in front {}",
        p.kind, p.read, p.of, p.record, p.skip
    )
    .unwrap();
    writeln!(out, "{}", p.example).unwrap();
    for (i, x) in p.parts.iter().enumerate() {
        let ask = if p.ask == Some(i) { "?" } else { " " };
        let end = [(x.little, "little", "big"), (x.decimal, "decimal", "hex")];
        let end: String = end
            .iter()
            .filter_map(|(v, a, b)| v.map(|v| if v { *a } else { *b }))
            .map(|s| format!(" {s}"))
            .collect();
        writeln!(
            out,
            "{ask} {:<22} {:?} {}{end} | {} | {}",
            x.text, x.role, x.name, x.why, x.doubt
        )
        .unwrap();
    }
    if let Some(c) = &p.check {
        writeln!(
            out,
            "check: {}; {} of {}; {}",
            c.words, c.agrees, c.of, c.doubt
        )
        .unwrap();
    }
    for (k, t) in p.times.iter().enumerate() {
        let chosen = if p.epoch == Some(k) { "=" } else { " " };
        writeln!(
            out,
            "{chosen} {}: {} to {}, {}",
            t.name, t.first, t.last, t.why
        )
        .unwrap();
    }
    for l in p.lines.iter().filter(|l| !l.reads && l.why != "blank") {
        writeln!(
            out,
            "line {}{}: {}",
            l.line,
            if l.misses { " (missed)" } else { "" },
            l.why
        )
        .unwrap();
    }
    for d in &p.doubts {
        writeln!(out, "! {d}").unwrap();
    }
    writeln!(out, "{}", serde_json::to_string_pretty(&p.layout).unwrap()).unwrap();
    out
}

#[test]
fn each_paste_is_proposed_as_expected() {
    let folder = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("tests/cases");
    let mut pastes: Vec<PathBuf> = std::fs::read_dir(&folder)
        .unwrap()
        .map(|e| e.unwrap().path())
        .collect();
    pastes.retain(|p| p.extension().is_some_and(|e| e == "txt"));
    pastes.sort();
    assert!(pastes.len() > 5);
    let mut wrong = Vec::new();
    for paste in pastes {
        let now = told(&std::fs::read_to_string(&paste).unwrap());
        let file = paste.with_extension("expected");
        if std::env::var_os("UPDATE_EXPECT").is_some() {
            std::fs::write(&file, &now).unwrap();
        }
        if std::fs::read_to_string(&file).unwrap_or_default() != now {
            println!("{}:\n{now}", paste.display());
            wrong.push(paste.file_name().unwrap().to_owned());
        }
    }
    assert!(
        wrong.is_empty(),
        "not as expected: {wrong:?}; UPDATE_EXPECT=1 writes what is proposed now"
    );
}
