//! Texts of a row: a short title out of a long text, lists out of one cell.

use crate::seek::{find, pieces};

/// A text up to this many characters is a title by itself.
const SHORT: usize = 60;

/// The title and the long text that one text makes. The long text is all of it,
/// or empty when the title already is.
pub(crate) fn title_and_text(text: &str) -> (String, String) {
    let text = text.trim();
    if text.chars().count() <= SHORT && !text.contains('\n') {
        return (text.to_owned(), String::new());
    }
    (first_clause(text), text.to_owned())
}

/// The first clause, at most [`SHORT`] characters; cut at a word with `…` when
/// it is longer.
fn first_clause(text: &str) -> String {
    let mut end = text.len();
    for sign in ["\n", ". ", "; ", " - ", " – ", " — ", ": ", ", ", " ("] {
        if let Some(at) = find(text, sign)
            && text.get(..at).is_some_and(|t| t.chars().count() >= 8)
        {
            end = end.min(at);
            // The stronger signs come first: a comma only matters when the
            // sentence is still too long.
            if text.get(..end).is_some_and(|t| t.chars().count() <= SHORT) {
                break;
            }
        }
    }
    let clause = text.get(..end).unwrap_or(text).trim().trim_end_matches('.');
    if clause.chars().count() <= SHORT {
        return clause.to_owned();
    }
    let mut cut: String = clause.chars().take(SHORT).collect();
    if let Some(at) = cut.rfind(' ').filter(|&at| at > SHORT / 2) {
        cut.truncate(at);
    }
    cut.push('…');
    cut
}

/// The items of a list in one cell: by lines, else by semicolons, else by
/// commas, slashes and "and".
pub(crate) fn list(cell: &str) -> Vec<String> {
    let mut out: Vec<String> = Vec::new();
    if crate::codes::is_nothing(cell) {
        return out;
    }
    let mut add = |part: &str| {
        let part = part.trim().trim_end_matches([',', ';']).trim();
        if !crate::codes::is_nothing(part) && !out.iter().any(|o| o == part) {
            out.push(part.to_owned());
        }
    };
    if cell.contains('\n') {
        cell.split('\n').for_each(&mut add);
    } else if cell.contains(';') {
        cell.split(';').for_each(&mut add);
    } else {
        for part in cell.split([',', '/']) {
            for part in pieces(part, " and ") {
                pieces(part, " & ").into_iter().for_each(&mut add);
            }
        }
    }
    out
}

/// Adds a text to another one, on a line of its own.
pub(crate) fn append(text: &mut String, more: &str) {
    if more.is_empty() {
        return;
    }
    if !text.is_empty() {
        text.push('\n');
    }
    text.push_str(more);
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_long_text_gives_a_title_and_stays_whole() {
        let long = "Graphics rail low; seen most often when the large chip starts to work on a cold board.";
        let (title, text) = title_and_text(long);
        assert_eq!(title, "Graphics rail low");
        assert_eq!(text, long);
        assert_eq!(
            title_and_text("fan does not turn"),
            ("fan does not turn".to_owned(), String::new())
        );
        let (title, _) = title_and_text(&"word ".repeat(40));
        assert!(
            title.ends_with('…') && title.chars().count() <= 61,
            "{title}"
        );
    }

    #[test]
    fn lists_come_apart() {
        assert_eq!(list("C1, C2 and C3"), ["C1", "C2", "C3"]);
        assert_eq!(
            list("left, of the fan\nright, of it"),
            ["left, of the fan", "right, of it"]
        );
        assert_eq!(list("-"), Vec::<String>::new());
    }
}
