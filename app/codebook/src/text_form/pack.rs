//! JSON in characters that forums leave alone, in short lines.
//!
//! All of it is ASCII. In strings, what could be taken for mark-up, quotes,
//! smileys or links is written as `\u` escapes. A blank may become a line end
//! anywhere, in strings too; a word that is too long for a line is cut inside
//! an escape, as nothing else can be meant by a line end there.

use crate::save::in_order;
use serde_json::Value;

/// Longest line. With two quote marks in front it still fits into a mail.
const WIDTH: usize = 76;

/// The document in lines.
pub(super) fn pack(doc: &Value) -> String {
    let mut out = Lines::default();
    put(doc, &mut out);
    out.end_word();
    out.text
}

/// Text that grows word by word.
#[derive(Default)]
struct Lines {
    text: String,
    /// Characters of the last line.
    width: usize,
    /// The word that is not yet in a line, in pieces that are not cut.
    word: Vec<String>,
}

impl Lines {
    fn blank(&mut self) {
        self.end_word();
    }

    /// Adds to the word: a character or an escape.
    fn push(&mut self, piece: &str) {
        self.word.push(piece.to_owned());
    }

    fn end_word(&mut self) {
        let word = std::mem::take(&mut self.word);
        let length: usize = word.iter().map(String::len).sum();
        if length == 0 {
            return;
        }
        if self.width > 0 {
            if self.width + 1 + length <= WIDTH {
                self.text.push(' ');
                self.width += 1;
            } else {
                self.new_line();
            }
        }
        let mut left = length;
        for piece in &word {
            // Room for the escape that is cut, if this is not the end.
            if self.width + left > WIDTH && self.width + piece.len() + 4 > WIDTH {
                self.cut(piece);
            } else {
                self.text.push_str(piece);
                self.width += piece.len();
            }
            left -= piece.len();
        }
    }

    fn new_line(&mut self) {
        self.text.push('\n');
        self.width = 0;
    }

    /// Puts a piece as an escape with the line end inside it. Structure can't be
    /// escaped, but is never in so long a word: a blank follows it.
    fn cut(&mut self, piece: &str) {
        let whole = match piece.as_bytes() {
            [b] => escape(u16::from(*b)),
            [b'\\', b'n'] => escape(u16::from(b'\n')),
            _ => piece.to_owned(),
        };
        let (head, tail) = whole.split_at_checked(4).unwrap_or((&whole, ""));
        self.text.push_str(head);
        self.new_line();
        self.text.push_str(tail);
        self.width = tail.len();
    }
}

fn put(value: &Value, out: &mut Lines) {
    match value {
        Value::Array(list) => {
            out.push("[");
            for (i, item) in list.iter().enumerate() {
                if i > 0 {
                    out.push(",");
                }
                out.blank();
                put(item, out);
            }
            out.blank();
            out.push("]");
        }
        Value::Object(map) => {
            out.push("{");
            for (i, (key, item)) in in_order(map).into_iter().enumerate() {
                if i > 0 {
                    out.push(",");
                }
                out.blank();
                string(key, out);
                out.push(":");
                out.blank();
                put(item, out);
            }
            out.blank();
            out.push("}");
        }
        Value::String(text) => string(text, out),
        other => out.push(&other.to_string()),
    }
}

fn string(text: &str, out: &mut Lines) {
    out.push("\"");
    let mut before = '"';
    let mut chars = text.chars().peekable();
    while let Some(c) = chars.next() {
        let next = chars.peek().copied().unwrap_or('"');
        if c == ' ' && before != ' ' {
            out.blank();
        } else if c == '\n' {
            out.push("\\n");
        } else if is_plain(before, c, next) {
            out.push(c.encode_utf8(&mut [0; 4]));
        } else {
            let mut pair = [0; 2];
            for unit in c.encode_utf16(&mut pair) {
                out.push(&escape(*unit));
            }
        }
        before = c;
    }
    out.push("\"");
}

/// Whether a character may stand as it is between these two. Of signs that are
/// mark-up somewhere when they are doubled, only the first may.
fn is_plain(before: char, c: char, next: char) -> bool {
    match c {
        _ if c.is_ascii_alphanumeric() => true,
        // Codes have several of them.
        '?' => true,
        ',' | ';' | '/' | '=' | '%' | '\'' => before != c,
        // A number with a dot begins a list. Three dots become one character,
        // but that is undone.
        '.' => !(before.is_ascii_digit() && next == ' '),
        // At the start of a line these begin a list or a picture.
        '-' | '+' | '!' => before.is_ascii_alphanumeric(),
        // Within a word it is no mark of stress.
        '_' => before.is_ascii_alphanumeric() && next.is_ascii_alphanumeric(),
        // No smileys, and no addresses.
        ':' => before.is_ascii_alphanumeric() && (next == ' ' || next.is_ascii_digit()),
        // No signs such as (c), and none of the marks around a book.
        '(' => !"bcertp".contains(next.to_ascii_lowercase()),
        ')' => before.is_ascii_lowercase() && before != 'p',
        _ => false,
    }
}

fn escape(unit: u16) -> String {
    let mut out = "\\u".to_owned();
    for shift in [12, 8, 4, 0] {
        out.push(char::from(hex((unit >> shift & 15) as u8)));
    }
    out
}

/// A digit of a number below 16.
pub(super) fn hex(digit: u8) -> u8 {
    digit + if digit < 10 { b'0' } else { b'A' - 10 }
}
