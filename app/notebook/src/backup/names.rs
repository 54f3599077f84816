//! Names of files in a backup: which are sound, and what each file is.

/// Longest id of a record that goes into a file name or comes from one.
pub const ID_LIMIT: usize = 80;

/// Longest path of a file in a backup, in bytes.
pub const PATH_LIMIT: usize = 240;

/// Whether an id is fit to be part of a file name: 1 to 80 of the letters `a`
/// to `z`, `A` to `Z`, digits, `-` and `_`.
pub fn safe_id(id: &str) -> bool {
    !id.is_empty()
        && id.len() <= ID_LIMIT
        && id
            .bytes()
            .all(|b| b.is_ascii_alphanumeric() || b == b'-' || b == b'_')
}

/// A name made fit to be part of a file name, up to 40 characters; `console`
/// where nothing of it is.
pub fn slug(name: &str) -> String {
    let mut out = String::new();
    for c in name.chars() {
        if out.len() >= 40 {
            break;
        }
        if c.is_ascii_alphanumeric() {
            out.push(c.to_ascii_lowercase());
        } else if !out.is_empty() && !out.ends_with('-') {
            out.push('-');
        }
    }
    let out = out.trim_end_matches('-');
    if out.is_empty() { "console" } else { out }.to_owned()
}

/// Whether a character does not show, or changes how others show: control
/// characters, marks of writing direction, zero-width characters.
pub fn hides(c: char) -> bool {
    c.is_control()
        || matches!(c, '\u{200b}'..='\u{200f}' | '\u{2028}'..='\u{202e}' | '\u{2060}'..='\u{206f}' | '\u{feff}')
}

/// What is wrong with a path; `None` when it is a plain path inside the archive.
///
/// Nothing is ever unpacked to a disk here. Still, a name made to write outside
/// its folder says that the file was made to do harm, and the person may unpack
/// it with another program.
pub fn fault(path: &str) -> Option<&'static str> {
    if path.is_empty() {
        Some("The file has no name.")
    } else if path.len() > PATH_LIMIT {
        Some("The name is longer than 240 bytes.")
    } else if path.chars().any(hides) {
        Some("There is a character in the name that does not show.")
    } else if path.contains('\\') || path.contains(':') {
        Some("The name has a backslash or a colon, so it could leave its folder.")
    } else if path.starts_with('/') {
        Some("The name begins at the root of a disk.")
    } else {
        let inner = path.strip_suffix('/').unwrap_or(path);
        inner
            .split('/')
            .any(|p| matches!(p, "" | "." | ".."))
            .then_some("The name could leave its folder.")
    }
}

/// What a file of a backup is.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Is {
    /// `notebook.json`: what the backup says of itself.
    About,
    /// A list of records.
    Records,
    /// The picture of the photo record with this id.
    Photo(String),
    /// The text of a damaged record with this id.
    Damaged(String),
    /// Words for a person, a copy for other programs, or a folder: nothing to
    /// read in.
    Nothing,
    /// Something this app does not know.
    Unknown,
}

impl Is {
    /// When files of this sort are read; 5 for never.
    pub(crate) fn turn(&self) -> u8 {
        match self {
            Self::About => 0,
            Self::Records => 1,
            Self::Photo(_) => 2,
            Self::Damaged(_) => 3,
            Self::Unknown => 4,
            Self::Nothing => 5,
        }
    }
}

/// What the file with this path (without a folder around everything) is.
pub fn is(path: &str) -> Is {
    if path.is_empty() || path.ends_with('/') || path == "README.txt" {
        return Is::Nothing;
    }
    if path == "notebook.json" {
        return Is::About;
    }
    let id = |folder: &str, end: &str| {
        let id = path.strip_prefix(folder)?.strip_suffix(end)?;
        safe_id(id).then(|| id.to_owned())
    };
    if let Some(id) = id("photos/", ".jpg") {
        return Is::Photo(id);
    }
    if let Some(id) = id("damaged/", ".txt") {
        return Is::Damaged(id);
    }
    if id("books/", ".json").is_some() {
        // A copy. The book itself is in its record.
        return Is::Nothing;
    }
    let inner = path
        .strip_prefix("consoles/")
        .and_then(|p| p.split_once('/'))
        .map(|(_, file)| file)
        .or_else(|| path.strip_prefix("other/"));
    let number = inner
        .and_then(|f| f.strip_prefix("records"))
        .and_then(|f| f.strip_suffix(".json"));
    match number {
        Some("") => Is::Records,
        Some(n)
            if n.strip_prefix('-')
                .is_some_and(|n| !n.is_empty() && n.bytes().all(|b| b.is_ascii_digit())) =>
        {
            Is::Records
        }
        _ => Is::Unknown,
    }
}
