//! Takes mark-up off the text of a cell: bold, links, line breaks, entities.
//!
//! Only what the form of the table knows is taken off: `_` is emphasis in
//! Markdown, but may stand for any digit in a code of a plain list.

use crate::seek::{cut, has, pieces};

/// What mark-up to expect.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(crate) enum Markup {
    /// None: only white space is tidied.
    None,
    /// Markdown, with HTML line breaks and entities.
    Markdown,
    /// Wiki mark-up, with HTML line breaks and entities.
    Wiki,
    /// BBCode.
    BbCode,
}

/// Escaped characters are held out of the way at this place of Unicode's
/// private area until the mark-up is gone.
const HELD: u32 = 0x10_FE00;

fn hold(c: char) -> char {
    char::from_u32(HELD + (c as u32 & 0x7F)).unwrap_or(c)
}

fn release(c: char) -> char {
    match (c as u32).checked_sub(HELD) {
        Some(n) if n < 0x80 => char::from_u32(n).unwrap_or(c),
        _ => c,
    }
}

/// The text without mark-up, and the marks that stood raised in it.
pub(crate) fn tidy(text: &str, markup: Markup) -> (String, Vec<String>) {
    let mut marks = Vec::new();
    if markup == Markup::None || !text.contains(NEEDS) {
        return (spaces(text), marks);
    }
    let mut text = if markup == Markup::Markdown {
        escapes(text)
    } else {
        text.to_owned()
    };
    if markup == Markup::BbCode {
        text = tags(&text, '[', ']', &mut marks);
    } else {
        text = tags(&text, '<', '>', &mut marks);
        text = links(&text, markup);
    }
    match markup {
        Markup::Markdown => {
            for pair in ["**", "__", "~~", "`"] {
                text = pairs(&text, pair);
            }
            for pair in ['*', '_'] {
                text = wrapped(text, pair);
            }
        }
        Markup::Wiki => text = pieces(&pieces(&text, "'''").concat(), "''").concat(),
        _ => {}
    }
    text = entities(&text);
    (
        spaces(&text.chars().map(release).collect::<String>()),
        marks,
    )
}

/// Characters without which there is no mark-up.
const NEEDS: [char; 9] = ['<', '[', '&', '*', '_', '~', '`', '\'', '\\'];

fn escapes(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    let mut chars = text.chars().peekable();
    while let Some(c) = chars.next() {
        match chars.peek() {
            Some(&next) if c == '\\' && next.is_ascii_punctuation() => {
                out.push(hold(next));
                chars.next();
            }
            _ => out.push(c),
        }
    }
    out
}

/// Tags that only change the look, and those that mean something here.
const TAGS: [&str; 29] = [
    "b",
    "i",
    "u",
    "s",
    "em",
    "strong",
    "code",
    "tt",
    "kbd",
    "span",
    "small",
    "big",
    "font",
    "nowiki",
    "sub",
    "del",
    "ins",
    "mark",
    "p",
    "div",
    "center",
    "color",
    "size",
    "url",
    "a",
    "abbr",
    "highlight",
    "pre",
    "samp",
];

fn tags(text: &str, open: char, close: char, marks: &mut Vec<String>) -> String {
    let mut out = String::with_capacity(text.len());
    let mut rest = text;
    // Where a raised text began in `out`, if one is open.
    let mut raised: Option<usize> = None;
    while let Some(at) = rest.find(open) {
        let (before, tag) = rest.split_at(at);
        out.push_str(before);
        let inner = tag.get(1..).unwrap_or("");
        let Some(end) = inner.find(close).filter(|&end| end <= 200) else {
            out.push(open);
            rest = inner;
            continue;
        };
        let body = inner.get(..end).unwrap_or("");
        let after = inner.get(end + 1..).unwrap_or("");
        let name: String = body
            .trim_start_matches('/')
            .chars()
            .take_while(char::is_ascii_alphanumeric)
            .collect::<String>()
            .to_ascii_lowercase();
        let ends = body.starts_with('/');
        rest = after;
        match name.as_str() {
            "br" => out.push('\n'),
            "ref" if body.trim_end().ends_with('/') => {}
            "sup" | "ref" if !ends => raised = Some(out.len()),
            "sup" | "ref" => {
                if let Some(from) = raised.take().filter(|&from| out.is_char_boundary(from)) {
                    let mark = out.split_off(from).trim().to_owned();
                    if !mark.is_empty() {
                        marks.push(mark);
                    }
                }
            }
            name if TAGS.contains(&name) => {}
            _ => {
                out.push(open);
                out.push_str(body);
                out.push(close);
            }
        }
    }
    out.push_str(rest);
    out
}

/// `[[place|words]]`, `[[words]]` and `[words](address)` become the words.
fn links(text: &str, markup: Markup) -> String {
    let mut out = String::with_capacity(text.len());
    let mut rest = text;
    while let Some(at) = rest.find('[') {
        out.push_str(rest.get(..at).unwrap_or(""));
        rest = rest.get(at..).unwrap_or("");
        let found = if let Some((inner, after)) = rest.strip_prefix("[[").and_then(|r| cut(r, "]]"))
        {
            Some((inner.rsplit('|').next().unwrap_or(inner), after))
        } else if markup == Markup::Markdown {
            rest.strip_prefix('[')
                .and_then(|r| cut(r, "]("))
                .filter(|(words, _)| !words.contains('['))
                .and_then(|(words, r)| Some((words, r.split_once(')')?.1)))
        } else {
            None
        };
        match found {
            Some((words, after)) => {
                out.push_str(words);
                rest = after;
            }
            None => {
                out.push('[');
                rest = rest.get(1..).unwrap_or("");
            }
        }
    }
    out.push_str(rest);
    out
}

/// Takes off a mark that stands in pairs around words.
fn pairs(text: &str, pair: &str) -> String {
    if !has(text, pair) {
        return text.to_owned();
    }
    let mut out = String::with_capacity(text.len());
    let mut rest = text;
    while let Some((before, after)) = cut(rest, pair) {
        out.push_str(before);
        match cut(after, pair) {
            Some((inner, after)) if !inner.trim().is_empty() => {
                out.push_str(inner);
                rest = after;
            }
            _ => {
                out.push_str(pair);
                rest = after;
            }
        }
    }
    out.push_str(rest);
    out
}

/// Takes off a single mark around the whole text.
fn wrapped(text: String, mark: char) -> String {
    match text
        .trim()
        .strip_prefix(mark)
        .and_then(|t| t.strip_suffix(mark))
    {
        Some(inner)
            if inner.len() > 1 && !inner.starts_with([' ', mark]) && !inner.contains(mark) =>
        {
            inner.to_owned()
        }
        _ => text,
    }
}

const NAMED: [(&str, char); 16] = [
    ("amp", '&'),
    ("lt", '<'),
    ("gt", '>'),
    ("quot", '"'),
    ("apos", '\''),
    ("nbsp", ' '),
    ("ndash", '–'),
    ("mdash", '—'),
    ("minus", '−'),
    ("hellip", '…'),
    ("rarr", '→'),
    ("deg", '°'),
    ("ohm", 'Ω'),
    ("dagger", '†'),
    ("Dagger", '‡'),
    ("times", '×'),
];

fn entities(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    let mut rest = text;
    while let Some(at) = rest.find('&') {
        out.push_str(rest.get(..at).unwrap_or(""));
        rest = rest.get(at + 1..).unwrap_or("");
        let found = rest
            .split_once(';')
            .filter(|(name, _)| name.len() <= 8)
            .and_then(|(name, after)| Some((entity(name)?, after)));
        match found {
            Some((c, after)) => {
                out.push(c);
                rest = after;
            }
            None => out.push('&'),
        }
    }
    out.push_str(rest);
    out
}

fn entity(name: &str) -> Option<char> {
    let number = name.strip_prefix('#');
    let number = match number.and_then(|n| n.strip_prefix(['x', 'X'])) {
        Some(hex) => u32::from_str_radix(hex, 16).ok(),
        None => number.and_then(|n| n.parse().ok()),
    };
    match number {
        Some(n) => char::from_u32(n).filter(|&c| c == '\n' || !c.is_control()),
        None => NAMED.iter().find(|(n, _)| *n == name).map(|&(_, c)| c),
    }
}

/// Runs of white space become one space, lines are trimmed, empty lines at the
/// ends and invisible characters go.
pub(crate) fn spaces(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for line in text.trim().split('\n') {
        if !out.is_empty() {
            while out.ends_with(' ') {
                out.pop();
            }
            out.push('\n');
        }
        let mut gap = false;
        for c in line.chars() {
            match c {
                '\u{200B}'..='\u{200F}' | '\u{2060}' | '\u{FEFF}' | '\u{AD}' => {}
                c if c.is_whitespace() || c.is_control() => gap = true,
                c => {
                    if gap && !out.is_empty() && !out.ends_with('\n') {
                        out.push(' ');
                    }
                    gap = false;
                    out.push(c);
                }
            }
        }
    }
    while out.ends_with(['\n', ' ']) {
        out.pop();
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    fn text(text: &str, markup: Markup) -> String {
        tidy(text, markup).0
    }

    #[test]
    fn mark_up_goes_and_words_stay() {
        let md = Markup::Markdown;
        assert_eq!(text("**44D0**", md), "44D0");
        assert_eq!(text("`44_0`  low", md), "44_0 low");
        assert_eq!(text(r"44\*0 \| a\_b", md), "44*0 | a_b");
        assert_eq!(text("see [this page](x/y)", md), "see this page");
        assert_eq!(text("5 < 6 & 7 > 2", md), "5 < 6 & 7 > 2");
        assert_eq!(text("44D*", md), "44D*");
        assert_eq!(text("a<br>b<br/>c", md), "a\nb\nc");
        let wiki = Markup::Wiki;
        assert_eq!(
            text("'''44D0''' [[Fan|the fan]] &ndash; &#x41;", wiki),
            "44D0 the fan – A"
        );
        assert_eq!(text("[b]44D0[/b] [x]", Markup::BbCode), "44D0 [x]");
        assert_eq!(text("44__ **", Markup::None), "44__ **");
    }

    #[test]
    fn raised_marks_are_kept_apart() {
        let (text, marks) = tidy("44D0<sup>1</sup>", Markup::Wiki);
        assert_eq!((text.as_str(), marks), ("44D0", vec!["1".to_owned()]));
    }
}
