//! Reads the pastes of the demonstration notebook as the app does.
#![allow(
    clippy::indexing_slicing,
    reason = "a tool for a file of this repository; a missing key of JSON reads as null"
)]

use codebook::Book;
use notebook::history::keep;
use reading::Reader;
use serde_json::Value;
use std::path::Path;
use std::rc::Rc;

/// What goes wrong, in words.
pub type Problem = Box<dyn std::error::Error>;

/// The books of the app.
pub fn books() -> Result<Vec<Rc<Book>>, Problem> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../public/books");
    let mut all = Vec::new();
    for name in ["orrery", "halyard", "tamsin"] {
        let bytes = std::fs::read(folder.join(name.to_owned() + ".json"))?;
        let book = Book::load(&bytes).map_err(|p| format!("{name}: {p:?}"))?;
        all.push(Rc::new(book));
    }
    Ok(all)
}

/// The records with the fields that the app makes of each reading's text, one
/// record a line. What was made before is made anew.
pub fn filled(text: &str) -> Result<String, Problem> {
    let books = books()?;
    let mut records: Vec<Value> = serde_json::from_str(text)?;
    let boards: Vec<(Value, Option<Value>)> = records
        .iter()
        .map(|r| {
            (
                r["id"].clone(),
                r.pointer("/versions/0/data/board").cloned(),
            )
        })
        .collect();
    for record in &mut records {
        if record["kind"] != "reading" {
            continue;
        }
        let versions = record["versions"].as_array_mut();
        for version in versions.into_iter().flatten() {
            let Some(data) = version["data"].as_object_mut() else {
                continue;
            };
            let paste = data["text"].as_str().unwrap_or_default().to_owned();
            let console = data["console"].clone();
            let board = boards.iter().find(|(id, _)| *id == console);
            let board = board
                .and_then(|b| b.1.as_ref()?.as_str())
                .unwrap_or_default();
            let reading = Reader::new(books.clone()).read(paste.as_bytes());
            if reading.consoles.len() != 1 || !reading.unreadable.is_empty() {
                return Err(format!("{} is not one clean log", record["id"]).into());
            }
            data.extend(keep(&reading, 1, &books, board, &paste));
        }
    }
    let lines: Vec<String> = records.iter().map(Value::to_string).collect();
    Ok("[\n".to_owned() + &lines.join(",\n") + "\n]\n")
}
