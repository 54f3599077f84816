//! Phase 3: take out what surrounds the log: HTML, BBCode, Markdown escapes,
//! and the time stamps of chats and terminal loggers.

use crate::view::{BREAK, View, is_space};

/// What carries over from one physical line to the next.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(crate) struct Carry {
    /// Inside a script, a style sheet or a comment: nothing is text.
    pub hidden: bool,
}

const HTML_INLINE: &[&str] = &[
    "a", "b", "i", "u", "s", "em", "strong", "span", "code", "tt", "kbd", "samp", "font", "small",
    "sub", "sup", "del", "ins", "img", "mark", "big", "abbr", "strike", "wbr", "label",
];
const HTML_BLOCK: &[&str] = &[
    "br",
    "p",
    "div",
    "tr",
    "li",
    "ul",
    "ol",
    "hr",
    "pre",
    "table",
    "tbody",
    "thead",
    "tfoot",
    "h1",
    "h2",
    "h3",
    "h4",
    "h5",
    "h6",
    "blockquote",
    "html",
    "body",
    "head",
    "title",
    "meta",
    "link",
    "section",
    "article",
    "details",
    "summary",
    "caption",
    "dl",
    "dt",
    "dd",
    "center",
    "colgroup",
    "col",
    "main",
    "header",
    "footer",
    "nav",
];
const BB_INLINE: &[&str] = &[
    "b",
    "i",
    "u",
    "s",
    "color",
    "colour",
    "size",
    "font",
    "url",
    "img",
    "email",
    "mono",
    "tt",
    "highlight",
    "sub",
    "sup",
    "icode",
    "attach",
    "user",
];
const BB_BLOCK: &[&str] = &[
    "quote", "code", "list", "*", "table", "tr", "pre", "spoiler", "center", "left", "right",
    "indent", "li", "ul", "ol", "hr", "plain", "noparse",
];

/// The view without mark-up.
pub(crate) fn strip(view: View, carry: &mut Carry) -> View {
    if !carry.hidden
        && !view
            .bytes
            .iter()
            .any(|b| matches!(b, b'<' | b'[' | b'&' | b'\\'))
    {
        return view;
    }
    let mut out = View::default();
    let mut i = 0;
    while i < view.len() {
        if carry.hidden {
            match find_end_of_hidden(&view, i) {
                Some(end) => {
                    carry.hidden = false;
                    i = end;
                }
                None => break,
            }
            continue;
        }
        let (skip, put) = match view.byte(i) {
            b'<' => html(&view, i, carry),
            b'[' => bbcode(&view, i),
            b'&' => entity(&view, i),
            b'\\' if matches!(view.byte(i + 1), b'!'..=b'/' | b':'..=b'@' | b'['..=b'`' | b'{'..=b'~') => {
                (1, None)
            }
            _ => (0, None),
        };
        if skip == 0 {
            out.push_from(&view, i);
            i += 1;
        } else {
            if let Some(byte) = put {
                let (from, to) = view.range(i, i + skip);
                out.push(
                    byte,
                    view.start(i),
                    u16::try_from(to - from).unwrap_or(u16::MAX),
                );
            }
            i += skip;
        }
    }
    out
}

fn find_end_of_hidden(view: &View, from: usize) -> Option<usize> {
    let rest = view.slice(from, view.len());
    let ends: [&[u8]; 3] = [b"</script>", b"</style>", b"-->"];
    (0..rest.len()).find_map(|i| {
        ends.iter().find_map(|end| {
            let here = rest.get(i..i + end.len())?;
            here.eq_ignore_ascii_case(end)
                .then_some(from + i + end.len())
        })
    })
}

/// Name of the tag that begins behind `i`, in lower case, and where it ends.
fn tag_name(view: &View, i: usize) -> Option<(String, usize)> {
    let mut at = i + 1;
    if view.byte(at) == b'/' {
        at += 1;
    }
    let from = at;
    while (view.byte(at).is_ascii_alphanumeric() || view.byte(at) == b'*') && at - from < 12 {
        at += 1;
    }
    (at > from).then(|| {
        (
            String::from_utf8_lossy(view.slice(from, at)).to_ascii_lowercase(),
            at,
        )
    })
}

fn close(view: &View, from: usize, with: u8) -> Option<usize> {
    (from..(from + 400).min(view.len())).find(|&i| view.byte(i) == with)
}

fn html(view: &View, i: usize, carry: &mut Carry) -> (usize, Option<u8>) {
    if view.slice(i, i + 4) == b"<!--" {
        carry.hidden = true;
        return (4, None);
    }
    let Some((name, at)) = tag_name(view, i) else {
        return (0, None);
    };
    if !matches!(view.byte(at), b'>' | b'/' | b' ' | b'\t' | BREAK) {
        return (0, None);
    }
    let Some(end) = close(view, at, b'>') else {
        return (0, None);
    };
    let skip = end + 1 - i;
    let opens = view.byte(i + 1) != b'/';
    match name.as_str() {
        "script" | "style" if opens => {
            carry.hidden = true;
            (skip, Some(BREAK))
        }
        "td" | "th" => (skip, opens.then_some(b'\t')),
        n if HTML_BLOCK.contains(&n) || n == "script" || n == "style" => (skip, Some(BREAK)),
        n if HTML_INLINE.contains(&n) => (skip, None),
        _ => (0, None),
    }
}

fn bbcode(view: &View, i: usize) -> (usize, Option<u8>) {
    let Some((name, at)) = tag_name(view, i) else {
        return (0, None);
    };
    if !matches!(view.byte(at), b']' | b'=' | b' ') {
        return (0, None);
    }
    let Some(end) = close(view, at, b']') else {
        return (0, None);
    };
    let skip = end + 1 - i;
    match name.as_str() {
        "td" | "th" => (skip, (view.byte(i + 1) != b'/').then_some(b'\t')),
        n if BB_BLOCK.contains(&n) => (skip, Some(BREAK)),
        n if BB_INLINE.contains(&n) => (skip, None),
        _ => (0, None),
    }
}

fn entity(view: &View, i: usize) -> (usize, Option<u8>) {
    let Some(end) = (i + 1..i + 12).find(|&k| view.byte(k) == b';') else {
        return (0, None);
    };
    let name = String::from_utf8_lossy(view.slice(i + 1, end)).to_ascii_lowercase();
    let c = match name.as_str() {
        "nbsp" | "ensp" | "emsp" | "thinsp" => Some(' '),
        "amp" => Some('&'),
        "lt" => Some('<'),
        "gt" => Some('>'),
        "quot" | "ldquo" | "rdquo" => Some('"'),
        "apos" | "lsquo" | "rsquo" => Some('\''),
        "ndash" | "mdash" | "minus" => Some('-'),
        "num" => Some('#'),
        "colon" => Some(':'),
        "vert" => Some('|'),
        "zwnj" | "zwj" | "shy" => return (end + 1 - i, None),
        n => n.strip_prefix('#').and_then(|n| {
            let code = match n.strip_prefix('x') {
                Some(hex) => u32::from_str_radix(hex, 16),
                None => n.parse(),
            };
            char::from_u32(code.ok()?)
        }),
    };
    match c {
        Some(c) if crate::fold::is_zero_width(c) => (end + 1 - i, None),
        Some(c) if c.is_ascii() && c >= ' ' => (end + 1 - i, Some(c as u8)),
        Some(c) => match crate::fold::simple(c).or_else(|| crate::fold::look_alike(c)) {
            Some(b) => (end + 1 - i, Some(b)),
            None => (0, None),
        },
        None => (0, None),
    }
}

/// Length of a clock stamp such as `10:02:08.148` or `2016-05-02 10:02` at `i`.
fn stamp_at(view: &View, i: usize) -> Option<usize> {
    let digits = |at: usize, most: usize| {
        (0..most)
            .take_while(|&k| view.byte(at + k).is_ascii_digit())
            .count()
    };
    let mut at = i;
    // A date in front: 2016-05-02, 02.05.2016, 5/2/16.
    let first = digits(at, 4);
    let sep = view.byte(at + first);
    if first > 0 && matches!(sep, b'-' | b'.' | b'/') {
        let second = digits(at + first + 1, 2);
        let next = at + first + 1 + second;
        let third = digits(next + 1, 4);
        if second > 0 && view.byte(next) == sep && third > 0 {
            at = next + 1 + third;
            while matches!(view.byte(at), b' ' | b',' | b'T' | b't') && at - i < 16 {
                at += 1;
            }
        }
    }
    let hours = digits(at, 2);
    let minutes = digits(at + hours + 1, 2);
    if hours == 0 || view.byte(at + hours) != b':' || minutes != 2 {
        return None;
    }
    at += hours + 3;
    if view.byte(at) == b':' && digits(at + 1, 2) == 2 {
        at += 3;
    } else if hours == 1 && at == i + 4 && view.byte(at).is_ascii_hexdigit() {
        return None;
    }
    if matches!(view.byte(at), b'.' | b',') && digits(at + 1, 6) > 0 {
        at += 1 + digits(at + 1, 6);
    }
    if matches!(view.byte(at), b'Z' | b'z') {
        at += 1;
    }
    let tail = view.slice(at, at + 3).to_ascii_lowercase();
    if matches!(tail.as_slice(), b" am" | b" pm") {
        at += 3;
    }
    // A colon or a hex digit right behind means bytes, not a clock.
    (!matches!(view.byte(at), b':') && !view.byte(at).is_ascii_alphanumeric()).then_some(at - i)
}

/// Length of a bracketed stamp at `i`.
fn bracketed(view: &View, i: usize) -> Option<usize> {
    let closing = match view.byte(i) {
        b'[' => b']',
        b'(' => b')',
        b'{' => b'}',
        _ => return None,
    };
    let seconds = || {
        // A bare counter such as [   12.345678] as kernels print it.
        let mut k = i + 1;
        while is_space(view.byte(k)) {
            k += 1;
        }
        let from = k;
        while view.byte(k).is_ascii_digit() {
            k += 1;
        }
        let dot = k;
        if k == from || view.byte(k) != b'.' {
            return None;
        }
        k += 1;
        while view.byte(k).is_ascii_digit() {
            k += 1;
        }
        (k > dot + 3).then_some(k)
    };
    let end = stamp_at(view, i + 1).map(|n| i + 1 + n).or_else(seconds)?;
    (view.byte(end) == closing).then_some(end + 1 - i)
}

/// The view without time stamps: bracketed ones anywhere, bare ones at the
/// start. `None` when there is none.
pub(crate) fn without_stamps(view: &View) -> Option<View> {
    if !view.bytes.contains(&b':') && !view.bytes.contains(&b'[') {
        return None;
    }
    let mut out = View::default();
    let mut i = 0;
    let mut found = false;
    let mut at_start = true;
    while i < view.len() {
        let bare = || {
            let n = stamp_at(view, i)?;
            is_space(view.byte(i + n)).then_some(n)
        };
        let stamp = bracketed(view, i).or_else(|| if at_start { bare() } else { None });
        if let Some(n) = stamp {
            found = true;
            i += n;
            // In the middle of a word nothing is left; elsewhere one space stays.
            continue;
        }
        let b = view.byte(i);
        if !(is_space(b) || b == b'>' || b == b'|') {
            at_start = false;
        }
        out.push_from(view, i);
        i += 1;
    }
    found.then_some(out)
}

/// Where the text proper begins, behind quote marks, bullets and list numbers.
pub(crate) fn body_start(view: &View) -> usize {
    let mut i = 0;
    loop {
        while is_space(view.byte(i))
            || matches!(view.byte(i), b'>' | b'|' | crate::view::OTHER_SIGN)
        {
            i += 1;
        }
        let mark = match view.byte(i) {
            b'-' | b'*' | b'+' if is_space(view.byte(i + 1)) => 2,
            b'0'..=b'9' => {
                let digits = (0..4)
                    .take_while(|&k| view.byte(i + k).is_ascii_digit())
                    .count();
                let closes = matches!(view.byte(i + digits), b')' | b'.');
                if closes && is_space(view.byte(i + digits + 1)) {
                    digits + 2
                } else {
                    0
                }
            }
            _ => 0,
        };
        if mark == 0 {
            return i.min(view.len());
        }
        i += mark;
    }
}

/// Why a line that holds no entry is there, in a few words.
pub(crate) fn why_ignored(view: &View, stripped: bool) -> &'static str {
    let text = String::from_utf8_lossy(&view.bytes);
    let t = text
        .trim_matches(|c: char| c.is_ascii_whitespace() || c == '>' || c == '|')
        .trim();
    let lower = t.to_ascii_lowercase();
    if t.is_empty() {
        return if stripped {
            "mark-up only"
        } else {
            "quote mark only"
        };
    }
    if lower.starts_with("```") || lower.starts_with("~~~") {
        return "code fence";
    }
    if lower.contains("--more--") || lower == "(end)" || lower.starts_with("-- more") {
        return "pager";
    }
    if t.bytes().all(|b| {
        matches!(
            b,
            b'-' | b'=' | b'|' | b'+' | b':' | b'*' | b'_' | b' ' | b'~' | b'#'
        )
    }) {
        return "ruler";
    }
    let word = lower.split([' ', '\t']).next().unwrap_or("");
    if word.len() > 1 && word.ends_with(['>', '$', '%']) || word == "$" || word == "#" {
        return "prompt or command";
    }
    "no record structure"
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::fold::fold;

    fn stripped(s: &str) -> String {
        let v = strip(fold(s, 0, s.len()), &mut Carry::default());
        String::from_utf8_lossy(&v.bytes).into_owned()
    }

    #[test]
    fn tags_go_and_blocks_break() {
        assert_eq!(stripped("<td>44<b>D0</b></td><br/>x"), "\t44D0\nx");
        assert_eq!(
            stripped("[code]slot 02[/code] [color=#F0AD4E]x[/color]"),
            "\nslot 02\n x"
        );
        assert_eq!(
            stripped("a &lt;b&gt;&nbsp;&#x34;4 \\# [07]"),
            "a <b> 44 # [07]"
        );
        assert_eq!(stripped("<bob> hi <script>44D0</script>z"), "<bob> hi \nz");
    }

    #[test]
    fn stamps_go() {
        let s = "[10:02:08.148] slot 0[10:02:08.151]7 step 0A";
        let v = without_stamps(&fold(s, 0, s.len())).unwrap();
        assert_eq!(String::from_utf8_lossy(&v.bytes), " slot 07 step 0A");
        let s = "2016-05-02 21:14:03 slot 07";
        let v = without_stamps(&fold(s, 0, s.len())).unwrap();
        assert_eq!(String::from_utf8_lossy(&v.bytes), " slot 07");
        let s = "1A:4D:22:01";
        assert!(without_stamps(&fold(s, 0, s.len())).is_none());
    }

    #[test]
    fn body_is_found_behind_marks() {
        let at = |s: &str| body_start(&fold(s, 0, s.len()));
        assert_eq!(at("> > - slot"), 6);
        assert_eq!(at("12) slot"), 4);
        assert_eq!(at("07 0A"), 0);
    }
}
