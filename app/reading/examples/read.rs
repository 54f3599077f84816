//! Prints the reading of a paste as JSON.
//!
//! `cargo run --release -p reading --example read -- --book BOOK.json [--book ...] [PASTE.txt]`
//!
//! Without a file (or with `-`) the paste comes from standard input. Exit code
//! 2 means that a file can't be read or a book is not valid; what is wrong is
//! printed.

use std::io::Read;
use std::process::ExitCode;
use std::rc::Rc;

use codebook::Book;
use reading::Reader;

fn main() -> ExitCode {
    match run() {
        Ok(()) => ExitCode::SUCCESS,
        Err(message) => {
            eprintln!("{message}");
            ExitCode::from(2)
        }
    }
}

fn run() -> Result<(), String> {
    let mut books = Vec::new();
    let mut paste = None;
    let mut args = std::env::args().skip(1);
    while let Some(arg) = args.next() {
        match arg.as_str() {
            "--book" => {
                let path = args.next().ok_or("--book wants a file")?;
                books.push(Rc::new(load(&path)?));
            }
            "--help" | "-h" => {
                println!("read --book BOOK.json [--book BOOK.json ...] [PASTE.txt | -]");
                return Ok(());
            }
            _ if arg.starts_with("--") => return Err(format!("unknown option {arg}; try --help")),
            _ => paste = Some(arg),
        }
    }
    let mut bytes = Vec::new();
    match paste.as_deref() {
        None | Some("-") => {
            std::io::stdin()
                .read_to_end(&mut bytes)
                .map_err(|e| format!("standard input: {e}"))?;
        }
        Some(path) => bytes = std::fs::read(path).map_err(|e| format!("{path}: {e}"))?,
    }
    let reading = Reader::new(books).read(&bytes);
    let json = serde_json::to_string_pretty(&reading).map_err(|e| e.to_string())?;
    println!("{json}");
    Ok(())
}

fn load(path: &str) -> Result<Book, String> {
    let bytes = std::fs::read(path).map_err(|e| format!("{path}: {e}"))?;
    Book::load(&bytes).map_err(|problems| {
        let lines: Vec<String> = problems
            .iter()
            .map(|p| format!("  {}: {} ({})", p.path, p.message, p.hint))
            .collect();
        format!("{path} is no valid code book:\n{}", lines.join("\n"))
    })
}
