//! A book as text to post in a forum, and back.
//!
//! Forums, mail and chats change what is posted: they put quote marks in front,
//! turn straight quotes into curly ones, wrap long lines, take `[` and `<` for
//! mark-up, escape or drop characters. So the text is written in a way that most
//! of this does no harm to ([`pack`]), the rest is undone as far as it can be
//! undone without doubt ([`undo`]), and a check sum tells what is left.
//!
//! ```text
//! Code book for the Faultleaf app: Orrery, version 1.0.0 (larkfield-orrery)
//! Licence: CC0-1.0. 56 codes, 16 steps, 3 boards, 1 layout.
//! To use it: ...
//! (begin code book)
//! { "format": 1, ... }
//! (end code book: 60123 characters, sum 1A2B3C4D)
//! ```
//!
//! The number is that of the characters between the two marks, blanks and line
//! ends not counted. The sum is the CRC-32 (that of ZIP files) of the book as
//! compact JSON with its keys in the order of their names.

mod pack;
mod undo;

use crate::model::{Check, CheckKind, Over};
use crate::{Book, MAX_BYTES, checksum, print};
use serde_json::Value;

const BEGIN: &str = "(begin code book)";
const END: &str = "(end code book:";
/// Longest text that is looked at: a book of the largest size, written in the
/// longest way.
const MOST: usize = 8 * MAX_BYTES;

/// A book taken out of a text. It is not checked yet.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Taken {
    /// Its JSON, for [`Book::load`].
    pub json: String,
    /// What a person should know of how it came through; empty when all is well.
    pub note: String,
}

/// The book as text to post.
#[must_use]
pub fn write(book: &Book) -> String {
    let m = &book.model;
    let doc = book.doc();
    let mut out = String::new();
    let mut put = |parts: &[&str]| parts.iter().for_each(|p| out.push_str(p));
    put(&["Code book for the Faultleaf app: ", &shown(&m.name)]);
    put(&[", version ", &shown(&m.version), " (", &shown(&m.id), ")\n"]);
    put(&["Licence: ", &shown(&m.licence), ". "]);
    let counts = [
        (m.codes.len(), "code"),
        (m.steps.len(), "step"),
        (m.boards.len(), "board"),
        (m.layouts.len(), "layout"),
    ];
    let mut between = "";
    for (n, what) in counts.into_iter().filter(|(n, _)| *n > 0) {
        put(&[
            between,
            &n.to_string(),
            " ",
            what,
            if n == 1 { "" } else { "s" },
        ]);
        between = ", ";
    }
    put(&[if between.is_empty() { "" } else { "." }, "\n"]);
    put(&["To use it: copy this whole text, from the first line to the last,\n"]);
    put(&["and paste it under Books in the app.\n", BEGIN, "\n"]);
    let body = pack::pack(doc);
    put(&[&body, "\n", END, " ", &length(&body).to_string()]);
    // Of what comes back from the text: a number may have been written in
    // another way.
    let back = serde_json::from_str(&unwrapped(&body)).unwrap_or_else(|_| doc.clone());
    put(&[" characters, sum ", &sum(&back), ")\n"]);
    out
}

/// Takes a book out of a text: a post made by [`write`] with anything around
/// it, or plain JSON. What was changed on the way is undone where there is no
/// doubt.
///
/// # Errors
/// When there is no book in it, or one that is too damaged to be read, in plain
/// words.
pub fn read(text: &str) -> Result<Taken, String> {
    let text = text.strip_prefix('\u{FEFF}').unwrap_or(text);
    if text.len() > MOST {
        return Err("This text is too long to be a code book.".to_owned());
    }
    if is_object(text.trim()) {
        return Ok(taken(text.to_owned(), ""));
    }
    let plain = undo::undo(text);
    match find(&plain, BEGIN) {
        Some((_, at)) => posted(plain.get(at..).unwrap_or("")),
        None => bare(text, &plain),
    }
}

/// Whether a text seems to hold a book. It is only looked over, which takes time
/// that grows with its length.
#[must_use]
pub fn is_book(text: &str) -> bool {
    if !text.contains('{') {
        return false;
    }
    let plain = undo::undo(text);
    let has = |word: &str| find(&plain, word).is_some();
    has(BEGIN) || (has("\"format\"") && has("\"layouts\""))
}

fn taken(json: String, note: &str) -> Taken {
    Taken {
        json,
        note: note.to_owned(),
    }
}

fn is_object(text: &str) -> bool {
    text.starts_with('{') && serde_json::from_str::<Value>(text).is_ok()
}

/// What stands behind the begin mark.
fn posted(text: &str) -> Result<Taken, String> {
    let Some((end, behind)) = find(text, END) else {
        let body = text.rfind('}').and_then(|at| text.get(..=at));
        let json = unwrapped(body.unwrap_or(text));
        return match serde_json::from_str::<Value>(&json) {
            Ok(doc) => Ok(taken(
                print(&doc),
                "The line that ends the book is missing, so it can't be told whether the text was changed on the way.",
            )),
            Err(_) => Err(
                "The end of the book is missing. Copy the whole post, down to the line that begins with \u{201c}(end code book\u{201d}."
                    .to_owned(),
            ),
        };
    };
    let mut body = text.get(..end).unwrap_or("");
    // A post may speak of the mark before it comes to it.
    while let Some((_, at)) = find(body, BEGIN) {
        body = body.get(at..).unwrap_or("");
    }
    let mark = text.get(behind..).unwrap_or("");
    let (told, rest) = mark.split_once(')').unwrap_or((mark, ""));
    let (should, sum_should) = numbers(told);
    let found = length(body);
    let json = unwrapped(body);
    let Ok(doc) = serde_json::from_str::<Value>(&json) else {
        let mut why = "The book was changed on the way and can't be read any more.".to_owned();
        if let Some(should) = should.filter(|n| *n != found) {
            why = why
                + " It should have "
                + &should.to_string()
                + " characters, and "
                + &found.to_string()
                + " are here.";
        }
        return Err(why + " Ask for the file itself, or for the text in a code block.");
    };
    let mut note = String::new();
    if sum_should.as_deref() != Some(&sum(&doc)) {
        note.push_str(
            "The text was changed on the way: its check sum is not right. Look at what would change before you take it.",
        );
    }
    if find(rest, BEGIN).is_some() {
        if !note.is_empty() {
            note.push(' ');
        }
        note.push_str("There is another book further down. This is the first one.");
    }
    Ok(taken(print(&doc), &note))
}

/// A text without marks: JSON with something around it, or JSON that was
/// changed on the way.
fn bare(text: &str, plain: &str) -> Result<Taken, String> {
    let inner = |t: &'_ str| -> Option<(usize, usize)> {
        let from = t.find('{')?;
        let to = t.rfind('}').filter(|to| *to > from)?;
        Some((from, to + 1))
    };
    let cut = |t: &str| {
        inner(t)
            .and_then(|(from, to)| t.get(from..to))
            .map(str::to_owned)
    };
    if let Some(json) = cut(text).filter(|t| is_object(t)) {
        return Ok(taken(json, ""));
    }
    if let Some(json) = cut(plain).filter(|t| is_object(t)) {
        return Ok(taken(
            json,
            "Quote marks or other characters were changed on the way. They were set right.",
        ));
    }
    // A file that is nearly right: loading it tells what is wrong, and where.
    let start = text.trim_start();
    if start.starts_with('{') && (start.contains("\"format\"") || start.contains("\"codes\"")) {
        return Ok(taken(text.to_owned(), ""));
    }
    Err("There is no code book in this text. A book begins with a line \u{201c}(begin code book)\u{201d}, or it is a JSON file."
        .to_owned())
}

/// Where a phrase begins and ends, in capitals or small letters, also with line
/// ends and quote marks between its words.
fn find(text: &str, phrase: &str) -> Option<(usize, usize)> {
    let t = text.as_bytes();
    let end = |from: usize| {
        let mut at = from;
        for p in phrase.bytes() {
            let here = |at: usize| t.get(at).copied().unwrap_or(0);
            if p == b' ' && is_blank(here(at).into()) {
                while is_blank(here(at).into()) {
                    at += 1;
                }
            } else if here(at).eq_ignore_ascii_case(&p) {
                at += 1;
            } else {
                return None;
            }
        }
        Some(at)
    };
    (0..t.len()).find_map(|from| Some((from, end(from)?)))
}

/// Characters that are not blanks, line ends or quote marks.
fn length(text: &str) -> usize {
    text.chars().filter(|c| !is_blank(*c)).count()
}

/// What stands for a blank. No `>` or `|` is ever written, so one that is there
/// is the mark of a quoted line.
fn is_blank(c: char) -> bool {
    c.is_whitespace() || c == '>' || c == '|'
}

/// The lines put together again: a line end stands for a blank, and several
/// blanks for one. Inside an escape they stand for nothing: that is where words
/// that are too long for a line are cut.
fn unwrapped(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    let mut blank = false;
    for c in text.chars() {
        if is_blank(c) {
            blank = true;
            continue;
        }
        if blank && !out.is_empty() && !undo::is_open_escape(&out) {
            out.push(' ');
        }
        blank = false;
        out.push(c);
    }
    out
}

/// The number and the sum in the end mark.
fn numbers(told: &str) -> (Option<usize>, Option<String>) {
    let mut words = told.split(|c: char| !c.is_ascii_alphanumeric());
    let count = words.find_map(|w| w.parse().ok());
    let mut sum = told.split(|c: char| !c.is_ascii_hexdigit());
    let sum = sum.rfind(|w| w.len() == 8);
    (count, sum.map(str::to_ascii_uppercase))
}

/// The CRC-32 of a document, eight hex digits.
fn sum(doc: &Value) -> String {
    let rule = Check {
        field: String::new(),
        kind: CheckKind::Crc,
        over: Over::default(),
        bits: 32,
        seed: 0,
        weights: Vec::new(),
        modulus: 0,
        poly: "04C11DB7".to_owned(),
        init: "FFFFFFFF".to_owned(),
        reflect_in: true,
        reflect_out: true,
        xorout: "FFFFFFFF".to_owned(),
    };
    let mut sum = checksum::compute_bytes(&rule, doc.to_string().as_bytes());
    let mut out = [b'0'; 8];
    for digit in out.iter_mut().rev() {
        *digit = pack::hex((sum & 15) as u8);
        sum >>= 4;
    }
    out.iter().map(|b| char::from(*b)).collect()
}

/// A text of the book for the lines above it: short, on one line, without what
/// a forum takes for mark-up or what turns other text around.
fn shown(text: &str) -> String {
    let mut out = String::new();
    for c in text.chars().take(80) {
        match c {
            '[' | '<' | '{' => out.push('('),
            ']' | '>' | '}' => out.push(')'),
            '*' | '_' | '`' | '~' | '#' | '|' | '\\' | '&' | '@' => out.push(' '),
            c if c.is_control() => out.push(' '),
            c if undo::is_hidden(c) => {}
            c => out.push(c),
        }
    }
    if find(&out, "code book").is_some() {
        // Nothing that looks like one of the marks.
        out = out.replace(['(', ')'], " ");
    }
    out
}
