//! Notes under a table and the marks that lead to them.
//!
//! A mark is taken off a cell only when a note with that mark was found. A star
//! that stands in the place of a digit is left for the code reader.

use crate::sheet::{Cell, Footnote, Left};

/// The text's mark and the words after it, when it looks like a note.
pub(crate) fn note(text: &str) -> Option<(String, String)> {
    let text = text.trim();
    let (mark, rest) = if let Some((inner, rest)) = bracketed(text) {
        (inner.to_owned(), rest)
    } else {
        let end = text
            .char_indices()
            .find(|&(_, c)| !is_sign(c) && raised(c).is_none())
            .map_or(text.len(), |(at, _)| at);
        let (mark, rest) = text.split_at(end);
        if mark.is_empty() {
            // `1) text`, `^1 text`
            let digits = text.trim_start_matches('^');
            let end = digits.bytes().take_while(u8::is_ascii_digit).count();
            let (mark, rest) = digits.split_at(end.min(2));
            let rest = if text.starts_with('^') {
                rest
            } else {
                rest.strip_prefix([')', '.'])?
            };
            (mark.to_owned(), rest)
        } else {
            (plain(mark), rest)
        }
    };
    let rest = rest
        .trim_start_matches([':', '=', '-', '–', '.', ')'])
        .trim();
    let good =
        !mark.is_empty() && mark.chars().count() <= 3 && rest.chars().any(char::is_alphabetic);
    good.then(|| (mark, rest.to_owned()))
}

/// `(1)`, `[a]` and what follows.
fn bracketed(text: &str) -> Option<(&str, &str)> {
    let close = match text.chars().next()? {
        '(' => ')',
        '[' => ']',
        _ => return None,
    };
    let (inner, rest) = text.get(1..)?.split_once(close)?;
    let good = (1..=2).contains(&inner.chars().count())
        && inner
            .chars()
            .all(|c| c.is_ascii_digit() || c.is_ascii_lowercase() || is_sign(c));
    good.then_some((inner, rest))
}

fn is_sign(c: char) -> bool {
    matches!(c, '*' | '†' | '‡' | '§' | '¶')
}

fn raised(c: char) -> Option<char> {
    Some(match c {
        '⁰' => '0',
        '¹' => '1',
        '²' => '2',
        '³' => '3',
        '⁴' => '4',
        '⁵' => '5',
        '⁶' => '6',
        '⁷' => '7',
        '⁸' => '8',
        '⁹' => '9',
        _ => return None,
    })
}

/// A mark without brackets, raised digits as usual ones.
pub(crate) fn plain(mark: &str) -> String {
    mark.trim_matches(['(', ')', '[', ']', '^', ' '])
        .chars()
        .map(|c| raised(c).unwrap_or(c))
        .collect()
}

/// The mark at the end of a text, and the text without it.
fn ending(text: &str) -> Option<(&str, String)> {
    let text = text.trim_end();
    let last = text.chars().next_back()?;
    let run = |same: &dyn Fn(char) -> bool| text.len() - text.trim_end_matches(same).len();
    let (at, mark) = match last {
        ')' | ']' => {
            let open = if last == ')' { '(' } else { '[' };
            let inner = text.get(..text.len() - 1)?;
            match inner.rfind(open) {
                Some(at) => (at, bracketed(text.get(at..)?)?.0.to_owned()),
                // `1)` without an opening bracket.
                None if last == ')' => {
                    let digits = inner.trim_end_matches(|c: char| c.is_ascii_digit());
                    let mark = inner.get(digits.len()..)?;
                    (
                        digits.len(),
                        (1..=2).contains(&mark.len()).then(|| mark.to_owned())?,
                    )
                }
                None => return None,
            }
        }
        c if is_sign(c) => {
            let n = run(&|x| x == c);
            (text.len() - n, text.get(text.len() - n..)?.to_owned())
        }
        c if raised(c).is_some() => {
            let n = run(&|x| raised(x).is_some());
            (text.len() - n, plain(text.get(text.len() - n..)?))
        }
        c if c.is_ascii_digit() => {
            let n = run(&|x| x.is_ascii_digit());
            let before = text.get(..text.len() - n)?.strip_suffix('^')?;
            (before.len(), text.get(text.len() - n..)?.to_owned())
        }
        _ => return None,
    };
    let rest = text.get(..at)?.trim_end();
    (!rest.is_empty()).then_some((rest, mark))
}

/// Most different marks of one table.
const MAX_MARKS: usize = 100;

/// The marks that a cell carries, added to a list without repeats.
pub(crate) fn collect(cell: &Cell, marks: &mut Vec<String>) {
    let mut add = |mark: String| {
        if marks.len() < MAX_MARKS && !marks.contains(&mark) {
            marks.push(mark);
        }
    };
    for mark in &cell.marks {
        add(plain(mark));
    }
    for line in cell.text.split('\n') {
        let mut line = line;
        while let Some((shorter, mark)) = ending(line) {
            add(mark);
            line = shorter;
        }
    }
}

/// Takes the marks of known notes off a text. `digits` is the usual number of
/// characters in its column, when the column holds codes: a star that fills up
/// to it is no mark.
pub(crate) fn take_off(cell: &mut Cell, notes: &[Footnote], digits: usize) {
    for mark in &mut cell.marks {
        *mark = plain(mark);
    }
    if notes.is_empty() || !cell.text.split('\n').any(|line| ending(line).is_some()) {
        return;
    }
    let mut lines: Vec<&str> = Vec::new();
    let mut found: Vec<String> = Vec::new();
    for line in cell.text.split('\n') {
        let mut line = line;
        while let Some((shorter, mark)) = ending(line) {
            let stands_in = mark == "*" && line.trim().chars().count() == digits;
            if stands_in || !notes.iter().any(|note| note.mark == mark) {
                break;
            }
            found.push(mark);
            line = shorter;
        }
        lines.push(line);
    }
    if !found.is_empty() {
        let text = lines.join("\n");
        found.reverse();
        for mark in found {
            if !cell.marks.contains(&mark) {
                cell.marks.push(mark);
            }
        }
        cell.text = text;
    }
}

/// Parts the texts under a table into its notes and the rest.
pub(crate) fn part(loose: Vec<Left>, carried: &[String]) -> (Vec<Footnote>, Vec<Left>) {
    let mut notes: Vec<Footnote> = Vec::new();
    let mut rest = Vec::new();
    for one in loose {
        match note(&one.text) {
            Some((mark, text))
                if carried.contains(&mark) && !notes.iter().any(|n| n.mark == mark) =>
            {
                notes.push(Footnote {
                    mark,
                    text,
                    line: one.line,
                    last: one.last,
                });
            }
            _ => rest.push(one),
        }
    }
    (notes, rest)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn notes_and_their_marks_are_known() {
        let of = |t: &str| note(t).map(|(m, _)| m);
        for (text, mark) in [
            ("(1) only warm", "1"),
            ("[2] only warm", "2"),
            ("* only warm", "*"),
            ("** only warm", "**"),
            ("† only warm", "†"),
            ("¹ only warm", "1"),
            ("1) only warm", "1"),
            ("^3 only warm", "3"),
        ] {
            assert_eq!(of(text).as_deref(), Some(mark), "{text}");
        }
        assert_eq!(of("44D0 low"), None);
        assert_eq!(of("2 fans"), None);
    }

    #[test]
    fn marks_come_off_and_digits_stay() {
        let of = |t: &'static str| ending(t).map(|(rest, mark)| (rest, mark.leak() as &str));
        assert_eq!(of("44D0 (1)"), Some(("44D0", "1")));
        assert_eq!(of("44D0¹"), Some(("44D0", "1")));
        assert_eq!(of("44D1"), None);
        assert_eq!(of("44D0*"), Some(("44D0", "*")));
        assert_eq!(of("44D0**"), Some(("44D0", "**")));
        assert_eq!(of("low 1)"), Some(("low", "1")));
        assert_eq!(of("low^2"), Some(("low", "2")));
        assert_eq!(of("fan (slow)"), None);
        assert_eq!(of("*"), None);
    }
}
