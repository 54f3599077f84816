//! Phase 1: bytes to text, with a way back.
//!
//! UTF-8 passes through untouched. UTF-16 is known by its byte order mark. Bytes
//! that are no UTF-8 are read as single characters of Windows-1252's Latin part,
//! so that one stray byte does not cost a line.

use crate::result::Span;

/// Text, and where each of its bytes comes from in the paste.
pub(crate) struct Decoded {
    /// The text.
    pub text: String,
    /// For each byte of `text` the paste offset of its character, and one more
    /// for the end. `None` when text and paste are the same bytes.
    map: Option<Vec<u32>>,
    /// What had to be done, for the notes.
    pub note: Option<&'static str>,
}

impl Decoded {
    /// A span of the text as a span of the paste.
    pub fn span(&self, from: usize, to: usize) -> Span {
        match &self.map {
            None => Span(from, to),
            Some(map) => {
                let at = |i: usize| map.get(i).or(map.last()).map_or(0, |&v| v as usize);
                Span(at(from), at(to))
            }
        }
    }
}

/// Decodes any bytes. Never fails.
pub(crate) fn decode(paste: &[u8]) -> Decoded {
    match paste {
        [0xFF, 0xFE, rest @ ..] => utf16(rest, u16::from_le_bytes),
        [0xFE, 0xFF, rest @ ..] => utf16(rest, u16::from_be_bytes),
        _ => match std::str::from_utf8(paste) {
            Ok(text) => Decoded {
                text: text.to_owned(),
                map: None,
                note: None,
            },
            Err(_) => mixed(paste),
        },
    }
}

fn utf16(rest: &[u8], join: fn([u8; 2]) -> u16) -> Decoded {
    let units = rest.as_chunks::<2>().0.iter().map(|&c| join(c));
    let mut text = String::with_capacity(rest.len() / 2);
    let mut map = Vec::with_capacity(rest.len() / 2 + 1);
    let mut at = 2_u32;
    for c in char::decode_utf16(units) {
        let c = c.unwrap_or(char::REPLACEMENT_CHARACTER);
        map.resize(map.len() + c.len_utf8(), at);
        text.push(c);
        at += if c.len_utf16() == 2 { 4 } else { 2 };
    }
    map.push(u32::try_from(rest.len() + 2).unwrap_or(u32::MAX));
    Decoded {
        text,
        map: Some(map),
        note: Some("The paste is UTF-16 text."),
    }
}

fn mixed(paste: &[u8]) -> Decoded {
    let mut text = String::with_capacity(paste.len());
    let mut map = Vec::with_capacity(paste.len() + 1);
    let mut at = 0_usize;
    let mark = |n: usize| u32::try_from(n).unwrap_or(u32::MAX);
    for chunk in paste.utf8_chunks() {
        for c in chunk.valid().chars() {
            map.resize(map.len() + c.len_utf8(), mark(at));
            text.push(c);
            at += c.len_utf8();
        }
        for &b in chunk.invalid() {
            let c = char::from(b);
            map.resize(map.len() + c.len_utf8(), mark(at));
            text.push(c);
            at += 1;
        }
    }
    map.push(mark(at));
    Decoded {
        text,
        map: Some(map),
        note: Some("Some bytes are no valid UTF-8; each was read as one character."),
    }
}

/// The physical lines of a text, without their line ends, as byte ranges.
/// Ends are `\n`, `\r\n`, `\r` and the Unicode line and paragraph separators.
pub(crate) fn lines(text: &str) -> Vec<(usize, usize)> {
    let bytes = text.as_bytes();
    let mut out = Vec::new();
    let (mut start, mut i) = (0, 0);
    while let Some(&b) = bytes.get(i) {
        let end = match b {
            b'\n' => 1,
            b'\r' => 1 + usize::from(bytes.get(i + 1) == Some(&b'\n')),
            0xE2 if matches!(bytes.get(i + 1..i + 3), Some([0x80, 0xA8 | 0xA9])) => 3,
            _ => 0,
        };
        if end > 0 {
            out.push((start, i));
            i += end;
            start = i;
        } else {
            i += 1;
        }
    }
    if start < bytes.len() {
        out.push((start, bytes.len()));
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn line_ends() {
        assert_eq!(
            lines("a\r\nb\rc\n\nd"),
            [(0, 1), (3, 4), (5, 6), (7, 7), (8, 9)]
        );
        assert_eq!(lines("a\n"), [(0, 1)]);
        assert_eq!(lines("a\u{2028}b"), [(0, 1), (4, 5)]);
        assert_eq!(lines(""), []);
    }

    #[test]
    fn spans_lead_back_to_the_paste() {
        let d = decode(b"a\xFFb");
        assert_eq!(d.text, "aÿb");
        assert_eq!(d.span(3, 4), Span(2, 3));
        let d = decode(b"\xFF\xFEa\0b\0");
        assert_eq!(d.text, "ab");
        assert_eq!(d.span(1, 2), Span(4, 6));
    }
}
