//! Lists and sentences: "44D0: graphics rail low", "• 44D0 → graphics rail low",
//! "I found that code 44D0 means graphics rail low".
//!
//! A text like "44D0" with a letter and a digit is taken for a code at once.
//! What could be a number or a word as well is taken only when several lines
//! have the same shape.

use crate::grid::{Grid, RawRow};
use crate::lines::Line;
use crate::shape::only_codes;
use crate::sheet::Form;
use crate::style::look;
use crate::tidy::{Markup, tidy};

/// A code with its text.
pub(crate) struct Item<'a> {
    /// The word in front, such as "step".
    lead: &'a str,
    code: &'a str,
    text: &'a str,
    /// Whether it can hardly be anything but a code.
    strong: bool,
    /// Number of characters of the code; words and numbers apart by kind.
    width: usize,
    hex: bool,
    /// Whether a sign parts code and text, and not only space.
    signed: bool,
}

/// Where the text of an item may begin.
const SIGNS: [&str; 17] = [
    ":",
    "=>",
    "->",
    "==",
    "=",
    "→",
    "⇒",
    "➔",
    "►",
    " - ",
    " – ",
    " — ",
    "\t",
    "...",
    " means ",
    " stands for ",
    "  ",
];

/// Words in front of a number that make it no code.
const OTHERS: [&str; 16] = [
    "entry", "slot", "record", "line", "page", "chapter", "part", "figure", "table", "day",
    "version", "post", "photo", "re", "at", "in",
];

/// Words in front of a code that are no part of it.
const LEADS: [&str; 10] = [
    "code", "error", "fault", "step", "stage", "err", "codes", "hex", "rail", "board",
];

/// Reads one line as an item.
pub(crate) fn item(line: &str) -> Option<Item<'_>> {
    let text = without_bullet(line.trim());
    let mut found = None;
    let mut from = 0;
    // The longest front that is nothing but codes: "44D0 - 44D7: text".
    for (at, c) in text.char_indices().take(80) {
        // Only these begin a sign; most characters are none of them.
        let may = matches!(
            c,
            ':' | '=' | '-' | ' ' | '\t' | '.' | '→' | '⇒' | '➔' | '►'
        );
        if at < from || !may {
            continue;
        }
        let rest = text.get(at..)?;
        let Some(sign) = SIGNS.iter().find(|sign| rest.starts_with(**sign)) else {
            continue;
        };
        let front = text.get(..at)?.trim_end();
        let mut after = rest.get(sign.len()..)?;
        if *sign == "..." || *sign == "  " {
            after = after.trim_start_matches(['.', ' ']);
        }
        // 10:42 is a time.
        let joined = *sign == ":" && after.starts_with(|c: char| c.is_ascii_alphanumeric());
        if joined
            && front.ends_with(|c: char| c.is_ascii_digit())
            && after.starts_with(|c: char| c.is_ascii_digit())
        {
            continue;
        }
        from = at + sign.len();
        if let Some(mut one) = coded(front, after.trim()) {
            one.signed = !matches!(*sign, "  " | "\t");
            found = Some(one);
        }
    }
    found.or_else(|| bare_item(text))
}

/// `44D0 graphics rail low`, `[44D0] graphics rail low`: only a space between.
fn bare_item(text: &str) -> Option<Item<'_>> {
    let (code, after) = text.split_once(' ')?;
    let (_, width) = only_codes(code).filter(|&(hex, width)| {
        let marked = code.starts_with("0x");
        hex && (width >= 3 || marked) && code.bytes().any(|b| b.is_ascii_digit())
    })?;
    let mut one = coded(code, after.trim())?;
    let lettered = code.bytes().any(|b| b.is_ascii_alphabetic());
    // Counted apart: several lines must look so.
    one.strong = false;
    one.signed = false;
    one.width = width + if lettered { 200 } else { 220 };
    after
        .starts_with(|c: char| c.is_alphabetic())
        .then_some(one)
}

/// Whether a text begins with hex digits in groups, as a dump does.
pub(crate) fn is_dump(text: &str) -> bool {
    let hex =
        |w: &&str| matches!(w.len(), 2 | 4 | 8 | 16) && w.bytes().all(|b| b.is_ascii_hexdigit());
    text.split_whitespace().take_while(hex).take(4).count() == 4
}

fn coded<'a>(front: &'a str, text: &'a str) -> Option<Item<'a>> {
    let end = front.bytes().take_while(u8::is_ascii_alphabetic).count();
    let (word, rest) = front.split_at(end);
    let rest = rest.trim_start_matches([':', '#', '.']).trim_start();
    let same = |list: &[&str]| list.iter().any(|w| word.eq_ignore_ascii_case(w));
    if same(&OTHERS) && !rest.is_empty() && front.as_bytes().get(end) == Some(&b' ') {
        return None;
    }
    let (lead, code) = if same(&LEADS) && !rest.is_empty() {
        (word, rest)
    } else {
        ("", front)
    };
    let (hex, width) = only_codes(code)?;
    let words = !text.is_empty() && text.chars().any(char::is_alphabetic);
    if !text.is_empty() && (!words || is_dump(text)) {
        return None;
    }
    let strong = hex
        && width >= 3
        && code.bytes().any(|b| b.is_ascii_digit())
        && (code.contains(|c: char| c.is_ascii_alphabetic())
            || width >= 4 && code.starts_with('0'));
    Some(Item {
        lead,
        code,
        text,
        strong: strong || !lead.is_empty(),
        width: width + if hex { 0 } else { 100 },
        hex,
        signed: true,
    })
}

fn without_bullet(text: &str) -> &str {
    let rest =
        text.trim_start_matches(['•', '·', '▪', '◦', '○', '●', '►', '‣', '*', '+', '-', '–']);
    if rest.len() < text.len() && rest.starts_with([' ', '\t']) {
        return rest.trim_start();
    }
    let digits = text.bytes().take_while(u8::is_ascii_digit).count();
    if (1..=3).contains(&digits)
        && let Some(rest) = text.get(digits..).and_then(|r| r.strip_prefix([')', '.']))
        && rest.starts_with(' ')
    {
        return rest.trim_start();
    }
    text
}

/// Which lines of a text are items, all looked at together.
pub(crate) struct Items<'a> {
    found: Vec<Option<Item<'a>>>,
}

impl<'a> Items<'a> {
    /// Looks at all lines.
    pub fn of(lines: &[Line<'a>]) -> Self {
        let mut found: Vec<Option<Item>> = lines.iter().map(|l| item(l.text)).collect();
        let mut counts = [0_usize; 256];
        let mut sure = [false; 256];
        for one in found.iter().flatten() {
            if let (Some(n), Some(s)) = (counts.get_mut(one.width), sure.get_mut(one.width)) {
                *n += 1;
                *s |= one.strong;
            }
        }
        for one in &mut found {
            let good = one.as_ref().is_none_or(|item| {
                let many = counts.get(item.width).is_some_and(|&n| n >= 3);
                let sure = sure.get(item.width) == Some(&true);
                item.strong || many || (sure && item.hex)
            });
            if !good {
                *one = None;
            }
        }
        Self { found }
    }

    /// Whether the line at this place is an item.
    pub fn at(&self, place: usize) -> Option<&Item<'a>> {
        self.found.get(place)?.as_ref()
    }

    /// How many of these lines are items with a sign between code and text.
    pub fn among(&self, from: usize, to: usize) -> usize {
        let found = self.found.get(from..to).unwrap_or(&[]);
        found.iter().flatten().filter(|item| item.signed).count()
    }
}

/// The items among the lines from place `from`, as a table. Lines that are none
/// are given back by their place.
pub(crate) fn read(lines: &[Line], from: usize, items: &Items) -> (Grid, Vec<usize>) {
    let mut grid = Grid::new(Form::List);
    let mut loose = Vec::new();
    let mut leads: Vec<&str> = Vec::new();
    let mut deep = 0;
    for (place, line) in lines.iter().enumerate() {
        let indent = line.text.len() - line.text.trim_start().len();
        if let Some(item) = items.at(from + place) {
            push(&mut grid, line, item.code, item.text);
            leads.push(item.lead);
            deep = indent;
            continue;
        }
        let previous = place
            .checked_sub(1)
            .and_then(|p| lines.get(p))
            .map_or(0, |l| l.no);
        if let Some(above) = grid.rows.last_mut()
            && above.last == previous
            && let Some(cell) = above.cells.get_mut(1)
            && (indent > deep || cell.text.is_empty())
            && !line.is_blank()
        {
            cell.text
                .push_str(if cell.text.is_empty() { "" } else { " " });
            cell.text.push_str(&tidy(line.text, Markup::None).0);
            above.last = line.no;
            continue;
        }
        let before = grid.rows.len();
        mentions(line, &mut grid);
        if grid.rows.len() == before {
            loose.push(place);
        }
    }
    let lead = leads.iter().copied().find(|l| !l.is_empty()).unwrap_or("");
    if leads.iter().all(|l| l.eq_ignore_ascii_case(lead)) {
        grid.lead = lead.to_ascii_lowercase();
    }
    (grid, loose)
}

fn push(grid: &mut Grid, line: &Line, code: &str, text: &str) {
    let mut row = RawRow::new(line.no, line.no);
    row.push(tidy(code, Markup::None), false);
    row.push(tidy(text, Markup::None), false);
    grid.rows.push(row);
}

/// Codes with their meaning within a sentence.
fn mentions(line: &Line, grid: &mut Grid) {
    let text = line.text;
    // Place of the code, its end, and where its text begins.
    let mut found: Vec<(usize, usize, usize)> = Vec::new();
    let mut word_from = 0;
    let mut named = false;
    for (at, c) in text.char_indices().chain([(text.len(), ' ')]) {
        if !matches!(c, ' ' | ':' | '=' | ',' | '(' | '"' | '\t' | '→') {
            continue;
        }
        let word = text.get(word_from..at).unwrap_or("");
        let rest = text.get(at..).unwrap_or("");
        if let Some(look) = look(word).filter(|l| l.hex && l.digit && (3..=8).contains(&l.width)) {
            let letter = word.bytes().any(|b| b.is_ascii_uppercase()) || word.starts_with("0x");
            let sign = [": ", " = ", "=", " means ", " stands for ", " → ", " -> "]
                .iter()
                .chain(named.then_some(&" is "))
                .find(|sign| rest.starts_with(**sign));
            if let Some(sign) = sign.filter(|_| letter || named && look.width >= 3) {
                found.push((word_from, at, at + sign.len()));
            }
        }
        if !word.is_empty() {
            named = LEADS.iter().any(|l| word.eq_ignore_ascii_case(l));
        }
        word_from = at + c.len_utf8();
    }
    for (n, &(from, to, begins)) in found.iter().enumerate() {
        let end = found.get(n + 1).map_or(text.len(), |next| next.0);
        let mut words = text.get(begins..end).unwrap_or("").trim();
        for tail in [
            " code", " error", " fault", " and", " or", ",", ";", " and", ",",
        ] {
            words = words.strip_suffix(tail).unwrap_or(words).trim_end();
        }
        if words.chars().any(char::is_alphabetic) && !is_dump(words) {
            push(grid, line, text.get(from..to).unwrap_or(""), words);
        }
    }
}
