//! Every paste in `demo-logs/` reads as its expectation says. The expectations
//! come from the records that the pastes were made of, never from the reader.

use std::path::{Path, PathBuf};
use std::rc::Rc;

use codebook::Book;
use reading::Reader;
use serde_json::Value;

fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../..")
}

fn logs() -> PathBuf {
    std::env::var_os("DEMO_LOGS").map_or_else(|| root().join("demo-logs"), PathBuf::from)
}

fn book(name: &str) -> Rc<Book> {
    let path = root().join("public/books").join(format!("{name}.json"));
    let bytes = std::fs::read(&path).unwrap_or_else(|e| panic!("{}: {e}", path.display()));
    Rc::new(Book::load(&bytes).unwrap_or_else(|p| panic!("{name}: {p:#?}")))
}

/// Lists where `got` lacks what `want` asks for. Only keys that `want` has are
/// compared; lists must have the same length.
fn differences(path: &str, want: &Value, got: &Value, out: &mut Vec<String>) {
    match (want, got) {
        (Value::Object(w), Value::Object(g)) => {
            for (k, v) in w {
                differences(
                    &format!("{path}.{k}"),
                    v,
                    g.get(k).unwrap_or(&Value::Null),
                    out,
                );
            }
        }
        (Value::Array(w), Value::Array(g))
            if path.ends_with(".choices") || path.ends_with(".mentions") =>
        {
            let text = |v: &Value| v.to_string();
            let mut a: Vec<String> = w.iter().map(text).collect();
            let keep = |v: &Value| match (v, w.first()) {
                (Value::Object(o), Some(Value::Object(first))) => Value::Object(
                    o.iter()
                        .filter(|(k, _)| first.contains_key(*k))
                        .map(|(k, v)| (k.clone(), v.clone()))
                        .collect(),
                ),
                _ => v.clone(),
            };
            let mut b: Vec<String> = g.iter().map(|v| text(&keep(v))).collect();
            a.sort();
            b.sort();
            b.dedup();
            a.dedup();
            if a != b {
                out.push(format!("{path}: want {a:?}, got {b:?}"));
            }
        }
        (Value::Array(w), Value::Array(g)) => {
            if w.len() != g.len() {
                out.push(format!(
                    "{path}: want {} items, got {}: want {want}, got {got}",
                    w.len(),
                    g.len()
                ));
                return;
            }
            for (i, (a, b)) in w.iter().zip(g).enumerate() {
                differences(&format!("{path}[{i}]"), a, b, out);
            }
        }
        (Value::Number(a), Value::Number(b)) if a.as_f64() == b.as_f64() => {}
        _ if want == got => {}
        _ => out.push(format!("{path}: want {want}, got {got}")),
    }
}

#[test]
fn every_demo_log_reads_as_expected() {
    let only = std::env::var("DEMO_LOG").unwrap_or_default();
    let mut files: Vec<PathBuf> = std::fs::read_dir(logs())
        .unwrap()
        .map(|e| e.unwrap().path())
        .filter(|p| p.to_string_lossy().ends_with(".expected.json"))
        .collect();
    files.sort();
    assert!(files.len() >= 30, "only {} demo logs found", files.len());
    let mut failed = Vec::new();
    for file in &files {
        let name = file
            .file_name()
            .unwrap()
            .to_string_lossy()
            .replace(".expected.json", "");
        if !name.contains(&only) {
            continue;
        }
        let want: Value = serde_json::from_slice(&std::fs::read(file).unwrap()).unwrap();
        let books = want["books"]
            .as_array()
            .unwrap()
            .iter()
            .map(|b| book(b.as_str().unwrap()))
            .collect();
        let paste = std::fs::read(file.with_file_name(format!("{name}.txt"))).unwrap();
        let got = serde_json::to_value(Reader::new(books).read(&paste)).unwrap();
        let mut want = want;
        want.as_object_mut()
            .unwrap()
            .retain(|k, _| !["books", "about", "title", "note", "noise"].contains(&k.as_str()));
        let mut out = Vec::new();
        differences("", &want, &got, &mut out);
        if !out.is_empty() {
            failed.push(format!("{name}:\n  {}", out.join("\n  ")));
        }
    }
    assert!(
        failed.is_empty(),
        "{} of {} demo logs differ\n{}",
        failed.len(),
        files.len(),
        failed.join("\n")
    );
}

/// Putting a choice in the place in doubt makes the line read as that choice;
/// the same for what else a guess may be.
#[test]
fn choices_do_what_they_say() {
    let books: Vec<Rc<Book>> = ["orrery", "halyard", "tamsin"].map(book).to_vec();
    let reader = Reader::new(books);
    let mut tried = 0;
    for entry in std::fs::read_dir(logs()).unwrap() {
        let path = entry.unwrap().path();
        if path.extension().is_none_or(|e| e != "txt") {
            continue;
        }
        let Ok(text) = String::from_utf8(std::fs::read(&path).unwrap()) else {
            continue;
        };
        let reading = reader.read(text.as_bytes());
        let doubts = reading.unreadable.iter().filter_map(|u| {
            Some((
                u.line,
                u.field.clone(),
                u.doubt?,
                u.choices.clone(),
                u.puts.clone(),
            ))
        });
        let guesses = reading.entries.iter().flat_map(|e| {
            e.guesses.iter().map(|g| {
                (
                    e.line,
                    g.field.clone(),
                    g.span,
                    g.others.clone(),
                    g.puts.clone(),
                )
            })
        });
        for (line, field, span, choices, puts) in doubts.chain(guesses).collect::<Vec<_>>() {
            assert_eq!(choices.len(), puts.len());
            for (choice, put) in choices.iter().zip(&puts) {
                let mended = format!("{}{put}{}", &text[..span.0], &text[span.1..]);
                let again = reader.read(mended.as_bytes());
                let value = again
                    .entries
                    .iter()
                    .find(|e| {
                        e.line == line && e.field_spans.get(&field).is_some_and(|s| s.0 == span.0)
                    })
                    .map(|e| e.raw.clone());
                let still = again
                    .unreadable
                    .iter()
                    .any(|u| u.line == line && u.span.0 <= span.0 && u.span.1 >= span.0);
                assert!(
                    value.as_ref().is_some_and(|raw| raw.contains(put.as_str())) || still,
                    "{}: line {line}: {field} as {choice}: {again:#?}",
                    path.display()
                );
                // Another doubt in the same record may keep it unreadable, but not this one.
                assert!(
                    again.unreadable.iter().all(|u| u.doubt != Some(span)) || field == "check",
                    "{}: {line} {choice}",
                    path.display()
                );
                tried += 1;
            }
        }
    }
    assert!(tried > 20, "only {tried} choices tried");
}
