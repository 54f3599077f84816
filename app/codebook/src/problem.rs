//! What is wrong with a book, and where.

use serde_json::Value;

/// One thing that is wrong with a book, or worth a look.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Problem {
    /// Where, such as `codes[12].title`; empty for the document as a whole.
    pub path: String,
    /// What is wrong.
    pub message: String,
    /// What to do about it, or what belongs there; may be empty.
    pub hint: String,
}

impl std::fmt::Display for Problem {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        if !self.path.is_empty() {
            write!(f, "{}: ", self.path)?;
        }
        f.write_str(&self.message)?;
        if !self.hint.is_empty() {
            write!(f, " ({})", self.hint)?;
        }
        Ok(())
    }
}

/// Collects problems and notes. A file of pure noise could give a problem a
/// byte, so the list ends at [`MOST`].
#[derive(Default)]
pub(crate) struct Findings {
    pub problems: Vec<Problem>,
    pub notes: Vec<Problem>,
    more: bool,
}

/// Longest list of problems that is given back.
pub(crate) const MOST: usize = 1000;

impl Findings {
    /// Adds something that is wrong.
    pub fn problem(&mut self, path: impl Into<String>, message: impl Into<String>, hint: &str) {
        if self.problems.len() < MOST {
            self.problems.push(Problem {
                path: path.into(),
                message: message.into(),
                hint: hint.to_owned(),
            });
        } else {
            self.more = true;
        }
    }

    /// Adds something that is odd, but does no harm.
    pub fn note(&mut self, path: impl Into<String>, message: impl Into<String>, hint: &str) {
        if self.notes.len() < MOST {
            self.notes.push(Problem {
                path: path.into(),
                message: message.into(),
                hint: hint.to_owned(),
            });
        }
    }

    /// Whether there are more problems than are listed.
    pub fn is_full(&self) -> bool {
        self.more
    }

    /// The problems, with a last line if there were too many to list.
    pub fn into_problems(mut self) -> Vec<Problem> {
        if self.more {
            self.problems.push(Problem {
                path: String::new(),
                message: format!("there are more problems than these {MOST}"),
                hint: "mend these and load the book again".to_owned(),
            });
        }
        self.problems
    }
}

/// A path with one more key.
pub(crate) fn key(path: &str, key: &str) -> String {
    let plain = !key.is_empty() && key.bytes().all(|b| b.is_ascii_alphanumeric() || b == b'_');
    match (plain, path.is_empty()) {
        (true, true) => key.to_owned(),
        (true, false) => format!("{path}.{key}"),
        (false, _) => format!("{path}[\"{}\"]", short(key)),
    }
}

/// A path with one more place in a list.
pub(crate) fn place(path: &str, index: usize) -> String {
    format!("{path}[{index}]")
}

/// The path, as [`Problem::path`] has it, of a JSON pointer (RFC 6901) into a
/// document. What the document does not have yet counts as a key.
#[must_use]
pub fn path_of(doc: &Value, pointer: &str) -> String {
    let mut path = String::new();
    let mut at = Some(doc);
    for step in pointer.split('/').skip(1) {
        let step = step.replace("~1", "/").replace("~0", "~");
        (path, at) = match (at, step.parse::<usize>()) {
            (Some(Value::Array(rows)), Ok(n)) => (place(&path, n), rows.get(n)),
            _ => (key(&path, &step), at.and_then(|v| v.get(&step))),
        };
    }
    path
}

/// A text cut to a length that fits a message, without what does not show or
/// would turn the message around.
pub(crate) fn short(text: &str) -> String {
    let shows = |c: &char| !c.is_control() && !crate::load::is_hidden(*c);
    let mut out: String = text.chars().take(40).filter(shows).collect();
    if text.chars().nth(40).is_some() {
        out.push('…');
    }
    out
}

#[cfg(test)]
mod tests {
    use super::path_of;
    use serde_json::json;

    #[test]
    fn a_pointer_leads_to_the_path_that_problems_have() {
        let doc = json!({ "codes": [{ "boards": { "1234": {}, "LB-2": {} } }] });
        for (pointer, path) in [
            ("", ""),
            ("/codes/0/title", "codes[0].title"),
            ("/codes/0/boards/1234/title", "codes[0].boards.1234.title"),
            (
                "/codes/0/boards/LB-2/title",
                "codes[0].boards[\"LB-2\"].title",
            ),
            ("/codes/0/boards/a~1b", "codes[0].boards[\"a/b\"]"),
            ("/service_port/baud", "service_port.baud"),
        ] {
            assert_eq!(path_of(&doc, pointer), path);
        }
    }
}
