//! Phase 2: fold characters. Every space becomes a space, every dash a dash,
//! full-width letters and look-alike letters of other scripts become ASCII,
//! characters without width go. The view keeps the way back.
//!
//! The look-alikes are those that Unicode Technical Standard 39 lists for the
//! letters and digits a log may hold, Latin capitals and small letters only.
//! Digits of other scripts are *not* folded: their shapes differ.

use crate::view::{OTHER_LETTER, OTHER_SIGN, View};

/// Folds one line of `text` (the range must lie on character boundaries).
pub(crate) fn fold(text: &str, from: usize, to: usize) -> View {
    let line = text.get(from..to).unwrap_or("");
    let mut view = View {
        bytes: Vec::with_capacity(line.len()),
        at: Vec::with_capacity(line.len()),
        len: Vec::with_capacity(line.len()),
    };
    let base = u32::try_from(from).unwrap_or(u32::MAX);
    if line.is_ascii() {
        for (at, &b) in (base..).zip(line.as_bytes()) {
            if b >= b' ' {
                view.push(b, at, 1);
            } else if b == b'\t' || b == 0x0B || b == 0x0C {
                view.push(b'\t', at, 1);
            }
        }
        return view;
    }
    for (i, c) in line.char_indices() {
        let at = base.saturating_add(u32::try_from(i).unwrap_or(u32::MAX));
        let len = u16::try_from(c.len_utf8()).unwrap_or(4);
        match plain(c) {
            Plain::Char(b) => view.push(b, at, len),
            Plain::Gone => {}
            Plain::Three(b) => {
                // Only the first cell carries the text; the others are empty.
                view.push(b, at, len);
                view.push(b, at + u32::from(len), 0);
                view.push(b, at + u32::from(len), 0);
            }
        }
    }
    view
}

enum Plain {
    Char(u8),
    Three(u8),
    Gone,
}

fn plain(c: char) -> Plain {
    if c.is_ascii() {
        let b = c as u8;
        return match b {
            b'\t' | 0x0B | 0x0C => Plain::Char(b'\t'),
            0..=0x1F | 0x7F => Plain::Gone,
            _ => Plain::Char(b),
        };
    }
    if is_zero_width(c) {
        return Plain::Gone;
    }
    if c == '…' {
        return Plain::Three(b'.');
    }
    Plain::Char(
        simple(c)
            .or_else(|| look_alike(c))
            .unwrap_or(if c.is_alphanumeric() {
                OTHER_LETTER
            } else {
                OTHER_SIGN
            }),
    )
}

/// Characters that take no room: marks of direction, joiners, soft hyphens,
/// byte order marks, variation selectors.
pub(crate) fn is_zero_width(c: char) -> bool {
    matches!(c, '\u{AD}' | '\u{61C}' | '\u{180E}' | '\u{200B}'..='\u{200F}' | '\u{202A}'..='\u{202E}'
        | '\u{2060}'..='\u{2064}' | '\u{2066}'..='\u{206F}' | '\u{FE00}'..='\u{FE0F}' | '\u{FEFF}'
        | '\u{80}'..='\u{84}' | '\u{86}'..='\u{9F}')
        || matches!(c, '\0'..='\u{8}' | '\u{E}'..='\u{1F}' | '\u{7F}')
}

/// Spaces, quotes, dashes and compatible forms with one plain character.
pub(crate) fn simple(c: char) -> Option<u8> {
    Some(match c {
        '\u{A0}' | '\u{1680}' | '\u{2000}'..='\u{200A}' | '\u{202F}' | '\u{205F}' | '\u{3000}' => {
            b' '
        }
        '‘' | '’' | '‚' | '‛' | '′' | 'ʼ' => b'\'',
        '“' | '”' | '„' | '‟' | '″' | '«' | '»' => b'"',
        '‐'..='―' | '−' | '﹘' | '﹣' => b'-',
        '│' | '┃' | '║' | '▏' | '¦' => b'|',
        '\u{FF01}'..='\u{FF5E}' => u8::try_from(u32::from(c) - 0xFEE0).ok()?,
        '₀'..='₉' => b'0' + u8::try_from(u32::from(c) - 0x2080).ok()?,
        '⁰' => b'0',
        '¹' => b'1',
        '²' => b'2',
        '³' => b'3',
        '⁴'..='⁹' => b'0' + u8::try_from(u32::from(c) - 0x2070).ok()?,
        '×' => b'x',
        _ => return None,
    })
}

/// Letters of other scripts that look like a Latin letter.
pub(crate) fn look_alike(c: char) -> Option<u8> {
    Some(match c {
        'Α' | 'А' | 'Ꭺ' => b'A',
        'Β' | 'В' | 'Ᏼ' => b'B',
        'С' | 'Ϲ' | 'Ⅽ' => b'C',
        'Ⅾ' | 'Ꭰ' => b'D',
        'Ε' | 'Е' | 'Ꭼ' => b'E',
        'Ϝ' => b'F',
        'Η' | 'Н' => b'H',
        'Ι' | 'І' | 'Ⅰ' | 'Ӏ' => b'I',
        'Ј' => b'J',
        'Κ' | 'К' => b'K',
        'Μ' | 'М' => b'M',
        'Ν' => b'N',
        'Ο' | 'О' | 'Օ' => b'O',
        'Ρ' | 'Р' => b'P',
        'Ѕ' => b'S',
        'Τ' | 'Т' => b'T',
        'Υ' | 'Ү' => b'Y',
        'Χ' | 'Х' => b'X',
        'Ζ' => b'Z',
        'а' | 'ɑ' | 'α' => b'a',
        'Ь' | 'Ƅ' => b'b',
        'с' | 'ϲ' | 'ⅽ' => b'c',
        'ԁ' | 'ⅾ' => b'd',
        'е' | 'ҽ' => b'e',
        'ƒ' => b'f',
        'һ' => b'h',
        'і' | 'ι' | 'ı' => b'i',
        'ј' => b'j',
        'ⅼ' => b'l',
        'ո' => b'n',
        'о' | 'ο' | 'σ' => b'o',
        'р' | 'ρ' => b'p',
        'ԛ' => b'q',
        'ѕ' => b's',
        'υ' => b'u',
        'ν' | 'ѵ' => b'v',
        'х' => b'x',
        'у' => b'y',
        'Ƨ' | 'Ϩ' => b'2',
        'З' | 'Ʒ' | 'Ȝ' | 'Ӡ' => b'3',
        'Ƽ' => b'5',
        'б' => b'6',
        'Ȣ' | 'ȣ' => b'8',
        _ => return None,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn folded(s: &str) -> String {
        fold(s, 0, s.len())
            .bytes
            .iter()
            .map(|&b| b as char)
            .collect()
    }

    /// Look-alikes to hex letters from Unicode Technical Standard 39's table
    /// (as parsed by confusable-homoglyphs 3.3.1), full-width forms by NFKC.
    #[test]
    fn letters_of_other_scripts_become_latin() {
        assert_eq!(
            folded("\u{391}\u{410}\u{392}\u{412}\u{3F9}\u{421}\u{395}\u{415}\u{3DC}"),
            "AABBCCEEF"
        );
        assert_eq!(
            folded("\u{251}\u{3B1}\u{430}\u{184}\u{42C}\u{3F2}\u{441}\u{435}\u{4BD}"),
            "aaabbccee"
        );
        assert_eq!(
            folded("\u{FF10}\u{FF19}\u{FF21}\u{FF26}\u{FF41}\u{FF46}"),
            "09AFaf"
        );
    }

    /// Digits of other scripts are not folded by NFKC either.
    #[test]
    fn digits_of_other_scripts_stay_strange() {
        for c in ['\u{660}', '\u{6F1}', '\u{966}'] {
            assert_eq!(plain_byte(c), OTHER_LETTER);
        }
    }

    fn plain_byte(c: char) -> u8 {
        match plain(c) {
            Plain::Char(b) | Plain::Three(b) => b,
            Plain::Gone => 0,
        }
    }

    #[test]
    fn widthless_characters_go_and_the_way_back_stays() {
        let s = "4\u{200B}4\u{A0}D0";
        let v = fold(s, 0, s.len());
        assert_eq!(v.bytes, b"44 D0");
        assert_eq!(v.at, [0, 4, 5, 7, 8]);
        assert_eq!(v.range(0, 2), (0, 5));
    }
}
