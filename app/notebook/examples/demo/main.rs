//! Adds to the records of the demonstration notebook what the app would keep of
//! their pastes; see `demo-logs/make/notebook.py`.

mod fill;

use std::io::{Read, Write};

fn main() -> Result<(), Box<dyn std::error::Error>> {
    let mut text = String::new();
    std::io::stdin().read_to_string(&mut text)?;
    std::io::stdout().write_all(fill::filled(&text)?.as_bytes())?;
    Ok(())
}
