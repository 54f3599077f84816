//! Undoing what was done to a text on its way, as far as there is no doubt: the
//! text was plain ASCII without `<` and `&`, so what is else was put in.

/// The text with tags gone, entities, quotes, dashes and blanks made plain
/// again, and characters without width taken out.
pub(super) fn undo(text: &str) -> String {
    let mut now = text.to_owned();
    if now.contains('<') {
        now = without_tags(&now);
    }
    // A text that was escaped twice is met; three times is not.
    for _ in 0..2 {
        if now.contains('&') {
            now = without_entities(&now);
        }
    }
    let mut out = String::with_capacity(now.len());
    for c in now.chars() {
        match c {
            '\u{201C}'..='\u{201F}' | '\u{2033}' | '\u{AB}' | '\u{BB}' | '\u{FF02}' => {
                out.push('"');
            }
            '\u{2018}'..='\u{201B}' | '\u{2032}' | '\u{2BC}' | '\u{FF07}' => out.push('\''),
            '\u{2010}'..='\u{2015}' | '\u{2212}' => out.push('-'),
            '\u{2026}' => out.push_str("..."),
            '\u{A0}'
            | '\u{1680}'
            | '\u{2000}'..='\u{200A}'
            | '\u{202F}'
            | '\u{205F}'
            | '\u{3000}' => out.push(' '),
            '\r' => {
                if !out.ends_with('\n') {
                    out.push('\n');
                }
            }
            '\n' if out.ends_with('\n') => {}
            '\u{2028}' | '\u{2029}' | '\u{85}' => out.push('\n'),
            c if is_hidden(c) => {}
            c => out.push(c),
        }
    }
    out
}

/// Whether a character takes no room or turns the direction of others.
pub(super) fn is_hidden(c: char) -> bool {
    matches!(c, '\u{AD}' | '\u{61C}' | '\u{180E}' | '\u{200B}'..='\u{200F}'
        | '\u{202A}'..='\u{202E}' | '\u{2060}'..='\u{206F}' | '\u{FE00}'..='\u{FE0F}' | '\u{FEFF}')
}

/// Whether a text ends in the middle of an escape.
pub(super) fn is_open_escape(text: &str) -> bool {
    let mut end = text.as_bytes();
    // After the fourth digit it is complete.
    for _ in 0..4 {
        match end {
            [.., b'\\', b'u'] => return true,
            [rest @ .., digit] if digit.is_ascii_hexdigit() => end = rest,
            _ => break,
        }
    }
    text.ends_with('\\')
}

fn without_tags(text: &str) -> String {
    const LINE: [&str; 8] = ["br", "p", "div", "li", "tr", "pre", "blockquote", "code"];
    let mut out = String::with_capacity(text.len());
    let mut rest = text;
    while let Some(at) = rest.find('<') {
        let (before, tag) = rest.split_at_checked(at).unwrap_or((rest, ""));
        out.push_str(before);
        let inner = tag.get(1..).unwrap_or("");
        let name = inner.trim_start_matches('/');
        let is_tag = name.starts_with(|c: char| c.is_ascii_alphabetic());
        // A tag has an end nearby; a `<` without one is just that.
        let near = inner
            .char_indices()
            .nth(300)
            .map_or(inner.len(), |(i, _)| i);
        let end = inner.get(..near).and_then(|t| t.find('>'));
        match end.filter(|_| is_tag) {
            Some(end) => {
                let word = name.split(|c: char| !c.is_ascii_alphanumeric()).next();
                if LINE
                    .iter()
                    .any(|l| word.is_some_and(|w| w.eq_ignore_ascii_case(l)))
                {
                    out.push('\n');
                }
                rest = inner.get(end + 1..).unwrap_or("");
            }
            None => {
                out.push('<');
                rest = inner;
            }
        }
    }
    out.push_str(rest);
    out
}

fn without_entities(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    let mut rest = text;
    while let Some(at) = rest.find('&') {
        let (before, tail) = rest.split_at_checked(at).unwrap_or((rest, ""));
        out.push_str(before);
        let inner = tail.get(1..).unwrap_or("");
        let near = inner.char_indices().nth(10).map_or(inner.len(), |(i, _)| i);
        let name = inner
            .get(..near)
            .and_then(|t| t.split_once(';'))
            .map(|t| t.0);
        match name.and_then(entity) {
            Some(c) => {
                out.push(c);
                rest = inner.get(name.map_or(0, str::len) + 1..).unwrap_or("");
            }
            None => {
                out.push('&');
                rest = inner;
            }
        }
    }
    out.push_str(rest);
    out
}

fn entity(name: &str) -> Option<char> {
    Some(match name {
        "quot" | "ldquo" | "rdquo" | "bdquo" => '"',
        "amp" => '&',
        "lt" => '<',
        "gt" => '>',
        "apos" | "lsquo" | "rsquo" => '\'',
        "nbsp" => ' ',
        "ndash" | "mdash" => '-',
        "hellip" => '\u{2026}',
        _ => {
            let number = name.strip_prefix('#')?;
            let hex = number.strip_prefix(['x', 'X']);
            let code = match hex {
                Some(hex) => u32::from_str_radix(hex, 16),
                None => number.parse(),
            };
            char::from_u32(code.ok()?)?
        }
    })
}
