//! Text made plain for search: small letters, no accents, one kind of space,
//! dash and quote mark.

/// What the letters U+00C0 to U+017F are without their marks (Latin-1
/// Supplement and Latin Extended-A). `1` to `9` and `*` stand for those that are
/// more than one letter or no letter, see [`odd`].
const PLAIN: &[u8; 192] = b"\
aaaaaa1ceeeeiiii3nooooo*ouuuuy42\
aaaaaa1ceeeeiiii3nooooo*ouuuuy4y\
aaaaaaccccccccddddeeeeeeeeeegggg\
gggghhhhiiiiiiiiii55jjkkklllllll\
lllnnnnnnnnnoooooo66rrrrrrssssss\
ssttttttuuuuuuuuuuuuwwyyyzzzzzzs";

fn odd(mark: u8) -> &'static str {
    match mark {
        b'1' => "ae",
        b'2' => "ss",
        b'3' => "d",
        b'4' => "th",
        b'5' => "ij",
        b'6' => "oe",
        _ => "x",
    }
}

/// The text made plain. Doing it twice changes nothing more.
pub fn fold(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for c in text.chars() {
        push(&mut out, c);
    }
    out
}

fn push(out: &mut String, c: char) {
    if c.is_ascii() {
        out.push(if c == '\t' || c == '\r' {
            ' '
        } else {
            c.to_ascii_lowercase()
        });
        return;
    }
    let number = c as usize;
    if let Some(plain) = number.checked_sub(0xC0).and_then(|n| PLAIN.get(n)) {
        match plain {
            b'a'..=b'z' => out.push(char::from(*plain)),
            mark => out.push_str(odd(*mark)),
        }
        return;
    }
    match c {
        // Marks that are written behind their letter, and what can't be seen.
        '\u{300}'..='\u{36F}' | '\u{AD}' | '\u{200B}'..='\u{200D}' | '\u{2060}' | '\u{FEFF}' => {}
        // A micro sign and the Greek letter; most people type u.
        '\u{B5}' | '\u{3BC}' => out.push('u'),
        '\u{2010}'..='\u{2015}' | '\u{2212}' => out.push('-'),
        '\u{2018}' | '\u{2019}' => out.push('\''),
        '\u{201C}' | '\u{201D}' | '\u{201E}' => out.push('"'),
        '\u{2028}' | '\u{2029}' => out.push('\n'),
        c if c.is_whitespace() => out.push(' '),
        c => {
            for small in c.to_lowercase() {
                if small == c {
                    out.push(c);
                } else {
                    // The small letter may have a mark: the sign for angstrom.
                    push(out, small);
                }
            }
        }
    }
}

/// The part of a text, in bytes, that `from..to` of its folded form comes from.
pub(super) fn place(text: &str, from: usize, to: usize) -> (usize, usize) {
    let mut folded = String::new();
    let (mut length, mut start, mut end) = (0, None, None);
    for (at, c) in text.char_indices() {
        folded.clear();
        push(&mut folded, c);
        // What folds to nothing belongs to the letter before it.
        if length >= to && !folded.is_empty() {
            end = Some(at);
            break;
        }
        length += folded.len();
        if length > from && start.is_none() {
            start = Some(at);
        }
    }
    (start.unwrap_or(text.len()), end.unwrap_or(text.len()))
}
