//! The demonstration logs with their expected readings.

use browser_tests::Value;
use std::path::PathBuf;

/// A demonstration log and what a careful person reads in it.
pub struct Log {
    /// The file's name without its ending.
    pub name: String,
    /// The text, as the app decodes a file.
    pub text: String,
    /// The expected reading.
    pub expected: Value,
}

fn folder() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("../../demo-logs")
}

/// One demonstration log, by the number its name starts with.
pub fn log(number: &str) -> Log {
    let mut all = logs();
    all.retain(|l| l.name.starts_with(number));
    assert_eq!(all.len(), 1, "demonstration log {number}");
    all.remove(0)
}

/// All demonstration logs, by name.
pub fn logs() -> Vec<Log> {
    let mut out = Vec::new();
    for entry in std::fs::read_dir(folder()).unwrap() {
        let path = entry.unwrap().path();
        let name = path.file_name().unwrap().to_string_lossy().into_owned();
        let Some(name) = name.strip_suffix(".expected.json") else {
            continue;
        };
        let expected = std::fs::read(&path).unwrap();
        let text = std::fs::read(folder().join(format!("{name}.txt"))).unwrap();
        out.push(Log {
            name: name.to_owned(),
            text: decode(&text),
            expected: serde_json::from_slice(&expected).unwrap(),
        });
    }
    out.sort_by(|a, b| a.name.cmp(&b.name));
    out
}

/// UTF-16 with its mark, else UTF-8 with marks for what isn't.
fn decode(bytes: &[u8]) -> String {
    let units = |make: fn([u8; 2]) -> u16| {
        let units: Vec<u16> = bytes[2..]
            .chunks_exact(2)
            .map(|c| make([c[0], c[1]]))
            .collect();
        String::from_utf16_lossy(&units)
    };
    match bytes {
        [0xFF, 0xFE, ..] => units(u16::from_le_bytes),
        [0xFE, 0xFF, ..] => units(u16::from_be_bytes),
        _ => String::from_utf8_lossy(bytes).into_owned(),
    }
}

impl Log {
    fn list(&self, key: &str) -> &[Value] {
        self.expected[key].as_array().map_or(&[], Vec::as_slice)
    }

    /// The codes of the entries, as they stand in the paste.
    pub fn codes(&self) -> Vec<String> {
        self.list("entries").iter().map(code).collect()
    }

    /// The same, newest first, where the log says it for every entry of one console.
    pub fn newest_first(&self) -> Option<Vec<String>> {
        let mut all = Vec::new();
        for e in self.list("entries") {
            if e["console"] != 1 {
                return None;
            }
            all.push((e["order"].as_u64()?, code(e)));
        }
        all.sort_by_key(|(order, _)| std::cmp::Reverse(*order));
        Some(all.into_iter().map(|(_, code)| code).collect())
    }

    /// The phrases the summary line must have, and numbers of nothing else.
    pub fn summary_has(&self) -> Vec<String> {
        let entries = self.list("entries");
        let n = entries.len();
        if n == 0 {
            return vec!["No log entries".to_owned()];
        }
        let consoles = entries.iter().filter_map(|e| e["console"].as_u64()).max();
        let mut first = many(n, "entry", "entries");
        if let Some(c) = consoles.filter(|c| *c > 1) {
            first = format!("{first} of {c} consoles");
        }
        let mut out = vec![first];
        let guesses: Vec<&Value> = entries
            .iter()
            .flat_map(|e| e["guesses"].as_array().unwrap())
            .collect();
        let open = guesses
            .iter()
            .filter(|g| g["confirmed_by"].is_null())
            .count();
        let check_wrong = entries
            .iter()
            .filter(|e| e["fields"]["check_ok"] == false)
            .count();
        let incomplete = entries.iter().filter(|e| e["complete"] == false).count();
        for (n, one, more) in [
            (open, "guess to confirm", "guesses to confirm"),
            (
                guesses.len() - open,
                "guess confirmed by the check field",
                "guesses confirmed by the check field",
            ),
            (
                check_wrong,
                "check field that does not fit",
                "check fields that do not fit",
            ),
            (incomplete, "incomplete", "incomplete"),
            (
                self.list("unreadable").len(),
                "line that can't be read for sure",
                "lines that can't be read for sure",
            ),
        ] {
            if n > 0 {
                out.push(many(n, one, more));
            }
        }
        out
    }
}

fn code(entry: &Value) -> String {
    entry["fields"]["code"]
        .as_str()
        .unwrap_or("no code")
        .to_owned()
}

fn many(n: usize, one: &str, more: &str) -> String {
    format!("{n} {}", if n == 1 { one } else { more })
}
