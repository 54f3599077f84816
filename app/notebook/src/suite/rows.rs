//! Rows and facts: what is put is found again, exactly.

use super::{Outcome, ids, put, row, same, well};
use crate::store::{Change, Row, Store};

/// Texts that a careless store would change: a mark of byte order, all that
/// ends lines, a zero, an unassigned and a last character, letters that can be
/// written in two ways, and text that is no JSON or looks like other things.
const TEXTS: &[&str] = &[
    "",
    "\0",
    "a\0b",
    "\u{feff}mark",
    "line\r\nline\rline\nline\u{85}line\u{2028}line\u{2029}",
    "e\u{301} \u{e9} \u{212b} \u{c5}",
    "\u{fffd} \u{ffff} \u{fdd0} \u{e000} \u{10ffff}",
    "\u{1f468}\u{200d}\u{1f527} \u{202e}turned\u{202c}",
    "{\"not\": \"read\" by the store",
    "__proto__",
    "undefined",
    " \t ",
];

pub(crate) async fn empty<S: Store>(store: &S) -> Outcome {
    same("count", well(store.count().await)?, 0)?;
    same("row", well(store.row("a").await)?, None)?;
    let two = ["a".to_owned(), "b".to_owned()];
    same("rows", well(store.rows(&two).await)?, vec![None, None])?;
    same("no rows", well(store.rows(&[]).await)?, vec![])?;
    same("all rows", well(store.rows_after("", 10).await)?, vec![])?;
    same("of kind", well(store.of_kind("console").await)?, vec![])?;
    same("of console", well(store.of_console("a").await)?, vec![])?;
    same("photo ids", well(store.photo_ids().await)?, vec![])?;
    same("photo", well(store.photo("a").await)?.is_some(), false)?;
    same("fact", well(store.fact("a").await)?, None)
}

pub(crate) async fn put_and_replace<S: Store>(store: &S) -> Outcome {
    let (first, other) = (row("a", "job", "c", "one"), row("b", "job", "c", "two"));
    put(store, &[first.clone(), other.clone()]).await?;
    same("first", well(store.row("a").await)?, Some(first.clone()))?;
    same("other", well(store.row("b").await)?, Some(other.clone()))?;
    let asked = ["b", "none", "a", "b"].map(str::to_owned);
    same(
        "as asked",
        well(store.rows(&asked).await)?,
        vec![Some(other.clone()), None, Some(first), Some(other.clone())],
    )?;
    same("count", well(store.count().await)?, 2)?;
    // Twice in one change: the last one stays.
    let next = row("a", "note", "d", "three");
    put(store, &[row("a", "job", "c", "before"), next.clone()]).await?;
    same("replaced", well(store.row("a").await)?, Some(next.clone()))?;
    same("left", well(store.row("b").await)?, Some(other.clone()))?;
    same("count after", well(store.count().await)?, 2)?;
    // It has to be found under its new kind and console only.
    same(
        "old kind",
        well(store.of_kind("job").await)?,
        vec![other.clone()],
    )?;
    same(
        "new kind",
        well(store.of_kind("note").await)?,
        vec![next.clone()],
    )?;
    same(
        "old console",
        well(store.of_console("c").await)?,
        vec![other.clone()],
    )?;
    same(
        "new console",
        well(store.of_console("d").await)?,
        vec![next],
    )?;
    let mut decide = |_| {
        Ok(Change {
            drop: vec!["a".to_owned(), "never there".to_owned()],
            ..Change::default()
        })
    };
    well(store.change(&[], &mut decide).await)?;
    same("dropped", well(store.row("a").await)?, None)?;
    same("of its kind", well(store.of_kind("note").await)?, vec![])?;
    same("of its console", well(store.of_console("d").await)?, vec![])?;
    same("all", well(store.rows_after("", 10).await)?, vec![other])?;
    same("count at last", well(store.count().await)?, 1)
}

pub(crate) async fn texts<S: Store>(store: &S) -> Outcome {
    let mut rows: Vec<Row> = TEXTS
        .iter()
        .enumerate()
        .map(|(n, text)| row(&n.to_string(), "note", "c", text))
        .collect();
    // Two megabytes, not all of one byte a letter.
    rows.push(row(
        "long",
        "note",
        "c",
        &"log line \u{2713}\n".repeat(150_000),
    ));
    put(store, &rows).await?;
    for row in rows {
        let found = well(store.row(&row.id).await)?;
        same(&("text ".to_owned() + &row.id), found, Some(row))?;
    }
    // As ids, kinds and consoles too.
    for text in TEXTS.iter().filter(|t| !t.is_empty()) {
        let odd = row(text, text, text, "odd");
        put(store, std::slice::from_ref(&odd)).await?;
        let name = format!("{text:?}");
        same(&name, well(store.row(text).await)?, Some(odd.clone()))?;
        same(&name, well(store.of_kind(text).await)?, vec![odd.clone()])?;
        same(&name, well(store.of_console(text).await)?, vec![odd])?;
    }
    Ok(())
}

/// In order, also for those that begin alike and those that are not ASCII.
const IDS: &[&str] = &[
    "-", "0", "1", "10", "2", "A", "Z", "a", "a ", "a-", "aa", "ab", "b", "z", "\u{e9}", "\u{3c9}",
    "\u{6f22}",
];

pub(crate) async fn order<S: Store>(store: &S) -> Outcome {
    // Put in another order than they have.
    for step in [3, 2, 1] {
        let rows: Vec<Row> = IDS
            .iter()
            .step_by(step)
            .rev()
            .map(|id| row(id, "note", "c", id))
            .collect();
        put(store, &rows).await?;
    }
    same(
        "all",
        ids(&well(store.rows_after("", 100).await)?),
        IDS.to_vec(),
    )?;
    same(
        "of kind",
        ids(&well(store.of_kind("note").await)?),
        IDS.to_vec(),
    )?;
    same(
        "of console",
        ids(&well(store.of_console("c").await)?),
        IDS.to_vec(),
    )
}

pub(crate) async fn paging<S: Store>(store: &S) -> Outcome {
    let mut all: Vec<&str> = IDS.to_vec();
    all.extend(["\u{ff21}", "\u{1f50b}", "\u{1f50b}a"]);
    let rows: Vec<Row> = all.iter().map(|id| row(id, "note", "c", id)).collect();
    put(store, &rows).await?;
    for most in [1, 2, 7, 100] {
        let mut found: Vec<String> = Vec::new();
        loop {
            let after = found.last().cloned().unwrap_or_default();
            let page = well(store.rows_after(&after, most).await)?;
            if page.is_empty() {
                break;
            }
            if page.len() > most as usize || found.len() > all.len() {
                return Err("a page is too long, or they never end".to_owned());
            }
            found.extend(page.into_iter().map(|r| r.id));
        }
        // The two last ones stand in another order in a browser.
        found.sort_unstable();
        same(
            "all pages",
            found,
            all.iter().map(|id| (*id).to_owned()).collect(),
        )?;
    }
    same(
        "a page of none",
        well(store.rows_after("", 0).await)?,
        vec![],
    )?;
    let next = well(store.rows_after("a", 2).await)?;
    same("behind a", ids(&next), vec!["a ", "a-"])?;
    let next = well(store.rows_after("aaa", 1).await)?;
    same("behind one that is not there", ids(&next), vec!["ab"])
}

pub(crate) async fn by_kind_and_console<S: Store>(store: &S) -> Outcome {
    let rows = [
        row("1", "console", "1", ""),
        row("10", "console", "10", ""),
        row("a", "job", "1", ""),
        row("b", "jobs", "10", ""),
        row("c", "job", "10", ""),
        row("d", "note", "", ""),
        row("e", "note", "1 ", ""),
        row("f", "Job", "\u{e9}", ""),
        row("g", "note", "e\u{301}", ""),
    ];
    put(store, &rows).await?;
    for (kind, should) in [
        ("console", vec!["1", "10"]),
        ("job", vec!["a", "c"]),
        ("jobs", vec!["b"]),
        ("Job", vec!["f"]),
        ("jo", vec![]),
        ("", vec![]),
    ] {
        same(kind, ids(&well(store.of_kind(kind).await)?), should)?;
    }
    for (console, should) in [
        ("1", vec!["1", "a"]),
        ("10", vec!["10", "b", "c"]),
        ("1 ", vec!["e"]),
        ("", vec!["d"]),
        ("\u{e9}", vec!["f"]),
        ("e\u{301}", vec!["g"]),
        ("2", vec![]),
    ] {
        same(
            console,
            ids(&well(store.of_console(console).await)?),
            should,
        )?;
    }
    Ok(())
}

pub(crate) async fn facts<S: Store>(store: &S) -> Outcome {
    for (name, value) in [
        ("backup", "2026-11-25"),
        ("device", ""),
        ("backup", "2026-11-26"),
        ("odd \u{1f50b}\0", "a\0\u{1f50b}"),
    ] {
        well(store.set_fact(name, value).await)?;
        same(name, well(store.fact(name).await)?, Some(value.to_owned()))?;
    }
    same(
        "device",
        well(store.fact("device").await)?,
        Some(String::new()),
    )?;
    same("not there", well(store.fact("back").await)?, None)?;
    // A fact is no record.
    same("count", well(store.count().await)?, 0)
}
