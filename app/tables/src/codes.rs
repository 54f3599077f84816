//! The codes in one cell, as the log writes them.
//!
//! How the other cells of the column are written decides what can't be seen in
//! one: whether `x` can be a digit, whether a dash makes a range, how many
//! digits a code has.

use crate::range;
use crate::seek::{cut, has, pieces};
use crate::style::{Style, look};

/// Most codes of one cell.
const MAX_CODES: usize = 4_096;
/// Longest code in characters, as the book has it.
const MAX_CODE: usize = 40;

/// What a cell gave.
#[derive(Default)]
pub(crate) struct Codes {
    pub codes: Vec<String>,
    /// What was done or doubted.
    pub notes: Vec<String>,
    /// Parts of the cell that are no codes, with the reason.
    pub refused: Vec<String>,
    /// Words in brackets behind the code, which belong to the text.
    pub beside: String,
}

/// Reads a cell.
pub(crate) fn read(cell: &str, style: &Style) -> Codes {
    let mut out = Codes::default();
    if style.verbatim {
        let code = cell.trim().to_ascii_uppercase();
        if good(&code) {
            out.codes.push(code);
        } else if !code.is_empty() {
            out.refused
                .push(["\"", &short(&code), "\" can't be a code"].concat());
        }
        return out;
    }
    let mut before = String::new();
    let (cell, beside) = without_brackets(cell);
    beside.clone_into(&mut out.beside);
    for item in items(cell, style) {
        if out.codes.len() >= MAX_CODES {
            out.refused
                .push("a cell may have at most 4,096 codes".to_owned());
            break;
        }
        if let Some((first, last)) = range_of(item, style) {
            span(first, last, &mut before, style, &mut out);
            continue;
        }
        match one(item, style, &before) {
            Some((code, notes)) => {
                out.notes.extend(notes);
                before.clone_from(&code);
                add(&mut out.codes, code);
            }
            None => out.refused.push(no_code(item)),
        }
    }
    out
}

/// `44D0 (seldom)`: what stands in front of the brackets, and the words in them.
fn without_brackets(cell: &str) -> (&str, &str) {
    let inside = cell.trim_end().strip_suffix(')').and_then(|c| cut(c, " ("));
    match inside {
        Some((code, words))
            if look(code).is_some()
                && look(words).is_none()
                && words.bytes().any(|b| b.is_ascii_alphabetic()) =>
        {
            (code, words)
        }
        _ => (cell, ""),
    }
}

/// Why a text is no code.
fn no_code(item: &str) -> String {
    let mut why = ["\"", &short(item), "\" is no code"].concat();
    if let Some(c) = item.chars().find(|c| c.is_alphanumeric() && !c.is_ascii()) {
        why.push_str(": ");
        why.push(c);
        why.push_str(
            " is a letter or digit of another script, even if it looks like one of a code",
        );
    }
    why
}

fn add(codes: &mut Vec<String>, code: String) {
    if codes.len() > 64 || !codes.contains(&code) {
        codes.push(code);
    }
}

fn span(first: &str, last: &str, before: &mut String, style: &Style, out: &mut Codes) {
    let ends = one(first, style, before)
        .and_then(|(a, notes)| Some((one(last, style, &a)?.0, a, notes)))
        .map(|(b, a, notes)| (a, b, notes));
    let Some((a, b, notes)) = ends else {
        out.refused.push(
            [
                "\"",
                &short(first),
                "\" to \"",
                &short(last),
                "\" is no range of codes",
            ]
            .concat(),
        );
        return;
    };
    out.notes.extend(notes);
    let hex = style.letters || [&a, &b].iter().any(|end| style.tail_has_letter(end));
    match range::cover(&a, &b, hex) {
        Ok(rows) => {
            let mut note = ["range ", &a, " to ", &b, " written as "].concat();
            for (n, row) in rows.iter().enumerate().take(4) {
                note.push_str(if n > 0 { ", " } else { "" });
                note.push_str(row);
            }
            if rows.len() > 4 {
                note.push_str(" and ");
                note.push_str(&(rows.len() - 4).to_string());
                note.push_str(" more");
            }
            if !hex {
                note.push_str("; counted in tens, since no code here has a letter");
            }
            out.notes.push(note);
            *before = b;
            for row in rows {
                add(&mut out.codes, row);
            }
        }
        Err(why) => out.refused.push(why),
    }
}

/// One code, upper case. A short one takes the beginning of the code before it.
fn one(text: &str, style: &Style, before: &str) -> Option<(String, Vec<String>)> {
    let mut notes = Vec::new();
    let bare = bare(text, style);
    let mut code = bare.to_ascii_uppercase();
    if !style.prefix.is_empty()
        && let Some(rest) = code.strip_prefix(&style.prefix)
        && !rest.is_empty()
    {
        code = rest.to_owned();
    }
    if style.close_up
        && let Some(closed) = closed(&code)
    {
        code = closed;
    }
    let plain = code.clone();
    code = wild(&code, bare, style);
    let missing = style.width.saturating_sub(code.chars().count());
    if plain.ends_with('*') && style.hex && missing > 0 {
        code.push_str(&"?".repeat(missing));
    } else if missing > 0
        && !before.is_empty()
        && before.chars().count() == style.width
        && code.chars().all(|c| c.is_ascii_hexdigit() || c == '?')
    {
        let kept: String = before.chars().take(missing).collect();
        notes.push([&code, " taken as ", &kept, &code].concat());
        code.insert_str(0, &kept);
    }
    if !good(&code) {
        return None;
    }
    if style.hex && !code.chars().all(|c| c.is_ascii_hexdigit() || c == '?') {
        let width = code.chars().count();
        let alike = width == style.width && !code.contains(' ');
        let odd = code.chars().find(|c| !c.is_ascii_hexdigit() && *c != '?')?;
        if !alike || !odd.is_ascii_alphanumeric() {
            return None;
        }
        let mut note = [
            &code,
            " holds ",
            &odd.to_string(),
            ", the other codes only hex digits",
        ]
        .concat();
        if let Some(digit) = alike_digit(odd) {
            note.push_str("; perhaps a slip for ");
            note.push(digit);
        }
        note.push_str("; left as it is");
        notes.push(note);
    } else if style.width > 0 && code.chars().count() != style.width && style.hex {
        notes.push([&code, " is not as long as the other codes"].concat());
    }
    Some((code, notes))
}

fn alike_digit(c: char) -> Option<char> {
    Some(match c {
        'O' | 'Q' => '0',
        'I' | 'L' => '1',
        'Z' => '2',
        'S' => '5',
        'G' => '6',
        _ => return None,
    })
}

fn good(code: &str) -> bool {
    code.chars().count() <= MAX_CODE
        && code.chars().any(|c| c.is_alphanumeric() || c == '?')
        && !code.chars().any(char::is_control)
        && code.trim() == code
}

fn short(text: &str) -> String {
    text.trim().chars().take(40).collect()
}

/// Words that may stand in front of a code and are no part of it.
const LEADS: [&str; 8] = [
    "code", "codes", "error", "err", "fault", "hex", "event", "from",
];

/// Takes off quotes, brackets, words in front and the marks of hex: `0x`, `$`,
/// `#`, a trailing `h`.
pub(crate) fn bare<'t>(text: &'t str, style: &Style) -> &'t str {
    let mut text = text.trim();
    if is_word(text)
        && !text.ends_with(['h', 'H'])
        && !matches!(text.as_bytes().get(1), Some(b'x' | b'X'))
    {
        return text;
    }
    for _ in 0..4 {
        text = text
            .trim_matches(|c| matches!(c, '"' | '\'' | '`' | '“' | '”' | '‘' | '’' | '«' | '»'))
            .trim_end_matches([':', ',', ';', '.', '='])
            .trim();
        for (open, close) in [('(', ')'), ('[', ']'), ('<', '>'), ('{', '}')] {
            if let Some(inner) = text.strip_prefix(open).and_then(|t| t.strip_suffix(close)) {
                text = inner.trim();
            }
        }
        let end = text.bytes().take_while(u8::is_ascii_alphabetic).count();
        let (word, rest) = text.split_at(end);
        let rest_starts = rest.trim_start_matches([':', '.', '#']).trim_start();
        if rest.starts_with([' ', ':', '.', '#'])
            && !rest_starts.is_empty()
            && LEADS.iter().any(|lead| word.eq_ignore_ascii_case(lead))
        {
            text = rest_starts;
        } else {
            break;
        }
    }
    let fits = |rest: &str| {
        !rest.is_empty()
            && rest
                .chars()
                .all(|c| c.is_ascii_hexdigit() || is_wild(c) || is_gap(c))
            && (style.width == 0
                || rest.chars().count() == style.width
                || text.chars().count() != style.width)
    };
    for prefix in ["0x", "0X", "16#", "&H", "&h", "\\x", "$", "#", "x'", "X'"] {
        if let Some(rest) = text.strip_prefix(prefix)
            && fits(rest.trim_end_matches('\''))
            && (prefix.len() > 1 || rest.len() > 1)
        {
            return rest.trim_end_matches('\'').trim();
        }
    }
    if let Some(rest) = text.strip_suffix(['h', 'H'])
        && rest.len() > 1
        && fits(rest)
        && (rest.bytes().any(|b| b.is_ascii_digit())
            || text.ends_with('h') && rest.bytes().all(|b| b.is_ascii_uppercase()))
        && !rest.contains(' ')
    {
        return rest;
    }
    text
}

/// Characters that people write for "any digit".
pub(crate) fn is_wild(c: char) -> bool {
    matches!(c, '?' | 'x' | 'X' | '*' | '_' | '#')
}

/// Characters between the groups of a code.
pub(crate) fn is_gap(c: char) -> bool {
    matches!(c, ' ' | '.' | ':' | '-' | '_')
}

/// Groups of two or four hex digits put together.
pub(crate) fn closed(code: &str) -> Option<String> {
    let groups: Vec<&str> = code.split([' ', '.', ':', '-']).collect();
    let size = groups.first()?.len();
    let good = groups.len() > 1
        && (size == 2 || size == 4)
        && groups
            .iter()
            .all(|g| g.len() == size && g.chars().all(|c| c.is_ascii_hexdigit() || is_wild(c)));
    good.then(|| groups.concat())
}

/// Wildcards as `?`, where they can't be digits. `given` has the case as it was.
fn wild(code: &str, given: &str, style: &Style) -> String {
    if style.hex {
        let hex = code.chars().all(|c| c.is_ascii_hexdigit() || is_wild(c));
        return if hex {
            let mut out: String = code
                .chars()
                .map(|c| if is_wild(c) { '?' } else { c })
                .collect();
            // A star in front or behind may stand for nothing at all.
            if out.chars().count() == style.width + 1 && style.width > 0 && code.ends_with('*') {
                out.pop();
            }
            out
        } else {
            code.to_owned()
        };
    }
    let cut = code.rfind([' ', '-']).map_or(0, |at| at + 1);
    let (head, tail) = code.split_at(cut);
    let letters = tail
        .bytes()
        .take_while(|&b| b.is_ascii_alphabetic() && b != b'X')
        .count();
    let digits = tail.get(letters..).unwrap_or("");
    let crosses = digits.chars().filter(|&c| c == 'X').count();
    let plain = digits.chars().all(|c| c.is_ascii_hexdigit() || is_wild(c));
    let may = plain
        && (digits.starts_with(|c: char| c.is_ascii_digit())
            || crosses > 1
            || (letters == 0 && crosses > 0 && cut > 0)
            || given.contains('x') && given.bytes().any(|b| b.is_ascii_uppercase()));
    let mut out = head.to_owned();
    for (i, c) in tail.char_indices() {
        let wild = match c {
            '?' | '*' => true,
            '#' | '_' => i >= letters && plain,
            'X' => i >= letters && may,
            _ => false,
        };
        out.push(if wild { '?' } else { c });
    }
    out
}

/// The parts of a cell that are codes or ranges of their own.
pub(crate) fn items<'t>(cell: &'t str, style: &Style) -> Vec<&'t str> {
    let mut parts: Vec<&str> = vec![cell];
    if is_word(cell) && !is_nothing(cell) {
        return parts;
    }
    let splits: [&[&str]; 4] = [
        &["\n", ";"],
        &[","],
        &[" and ", " or ", " & ", " + "],
        &["/"],
    ];
    for separators in splits {
        for sep in separators {
            if parts.iter().any(|p| has(p, sep)) {
                parts = parts.iter().flat_map(|p| pieces(p, sep)).collect();
            }
        }
    }
    let mut out = Vec::new();
    for part in parts {
        let part = part.trim();
        // Codes with only a space between.
        let words = part.split(' ').count();
        let each = |w: &str| {
            w.chars().count() == style.width
                && w.chars().all(|c| c.is_ascii_hexdigit() || is_wild(c))
        };
        if words > 1 && style.width > 2 && style.hex && part.split(' ').all(each) {
            out.extend(part.split(' '));
        } else if !part.is_empty() && !is_nothing(part) {
            out.push(part);
        }
    }
    out
}

/// Whether a text is one word of letters and digits, as most codes are.
fn is_word(text: &str) -> bool {
    !text.is_empty() && text.bytes().all(|b| b.is_ascii_alphanumeric())
}

/// Signs for "nothing here".
pub(crate) fn is_nothing(text: &str) -> bool {
    let text = text.trim();
    text.chars()
        .all(|c| matches!(c, '-' | '–' | '—' | '.' | '/' | '…'))
        || text.eq_ignore_ascii_case("n/a")
        || text.eq_ignore_ascii_case("none")
}

/// Both ends, when the text is a range.
pub(crate) fn range_of<'t>(text: &'t str, style: &Style) -> Option<(&'t str, &'t str)> {
    if text.len() > 120 || is_word(text) {
        return None;
    }
    for sep in [
        " to ",
        " through ",
        " thru ",
        " until ",
        "...",
        "..",
        "…",
        "–",
        "—",
        "−",
        "~",
    ] {
        if let Some((a, b)) = cut(text, sep) {
            let tidy = |t: &str| bare(t, style).bytes().any(|b| b.is_ascii_alphanumeric());
            return (tidy(a) && tidy(b)).then_some((a, b));
        }
    }
    if style.dashes {
        return None;
    }
    for (at, _) in text.match_indices('-') {
        let (a, b) = (text.get(..at)?, text.get(at + 1..)?);
        let (x, y) = (bare(a, style), bare(b, style));
        let (m, n) = (x.chars().count(), y.chars().count());
        // "A0-BF" and "44D0-DF" are ranges; "E-10" is a code with a dash.
        let counts = |t: &str| t.chars().any(|c| c.is_ascii_digit() || is_wild(c));
        let hex = |t: &str| t.chars().all(|c| c.is_ascii_hexdigit() || is_wild(c));
        let both = hex(x) && hex(y) && (style.hex || counts(x) || counts(y) && m > 2);
        if !(counts(x) && counts(y) || both) || m < 2 && style.width != 1 {
            continue;
        }
        let spaced = a.ends_with(' ') && b.starts_with(' ');
        let tail = n < m && y.chars().all(|c| c.is_ascii_hexdigit() || is_wild(c));
        if n == m
            || tail && (style.width == 0 || m == style.width)
            || (style.hex || spaced) && n > m
        {
            return Some((a, b));
        }
    }
    None
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The codes of each cell of a column, `/` between, `!` for a refusal.
    fn column(cells: &[&str]) -> Vec<String> {
        let style = Style::learn(&mut cells.iter().copied());
        let one = |cell: &&str| {
            let codes = read(cell, &style);
            let refused = "!".repeat(codes.refused.len());
            [codes.codes.join("/"), refused].concat()
        };
        cells.iter().map(one).collect()
    }

    #[test]
    fn wildcards_are_taken_only_where_they_can_be_no_digit() {
        assert_eq!(
            column(&["44D0", "44Dx", "4XD0", "44**", "4_D0", "44D#", "44*"]),
            ["44D0", "44D?", "4?D0", "44??", "4?D0", "44D?", "44??"]
        );
        assert_eq!(
            column(&[
                "XENON 14", "NIX 1x", "FIX x1", "TX1", "MAX 07", "P0xxx", "AX2 03"
            ]),
            [
                "XENON 14", "NIX 1?", "FIX ?1", "TX1", "MAX 07", "P0???", "AX2 03"
            ]
        );
    }

    #[test]
    fn marks_of_hex_come_off_and_codes_stay() {
        assert_eq!(
            column(&[
                "0x44D0",
                "44d1h",
                "$44D2",
                "#44D3",
                "code 44D4",
                "(44D5)",
                "44D6:"
            ]),
            ["44D0", "44D1", "44D2", "44D3", "44D4", "44D5", "44D6"]
        );
        // 0 is a digit when the code would be too short without it.
        assert_eq!(column(&["0xx", "1xx", "2A0"]), ["0??", "1??", "2A0"]);
        assert_eq!(column(&["E-12", "F-13", "E-14"]), ["E-12", "F-13", "E-14"]);
        assert_eq!(column(&["E-12", "E-13", "E-14"]), ["12", "13", "14"]);
    }

    #[test]
    fn groups_close_up_and_lists_come_apart() {
        assert_eq!(
            column(&["44 D0", "44.D1", "5E91"]),
            ["44D0", "44D1", "5E91"]
        );
        assert_eq!(column(&["44D0 44D1", "5E91"]), ["44D0/44D1", "5E91"]);
        assert_eq!(column(&["07 1", "07 A", "0C 3"]), ["07 1", "07 A", "0C 3"]);
        assert_eq!(column(&["44D0/1/2", "5E91"]), ["44D0/44D1/44D2", "5E91"]);
        assert_eq!(
            column(&["07-01", "07-0A", "12-05", "08-03"]),
            ["07-01", "07-0A", "12-05", "08-03"]
        );
    }
}
