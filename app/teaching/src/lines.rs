//! The lines of a paste that may be entries, without what other programs put in
//! front of them.

use reading::bare::{Bare, BareLine};

use crate::api::Role;
use crate::family::Match;
use crate::runs::Runs;
use crate::words;

/// Longest line that is looked at.
const LONGEST: usize = 600;

/// Where the example begins in its line: with the first run, or with a sign of
/// its own right before it.
pub(crate) fn begin(line: &Runs, found: Match) -> usize {
    let from = line.runs.get(found.run).map_or(0, |r| r.from);
    let before = line.text.get(..from).unwrap_or("");
    match before.chars().next_back() {
        Some(c @ ('#' | '$' | '@' | '!' | '%' | '+')) => from - c.len_utf8(),
        _ => from,
    }
}

/// The lines that are looked at, with the stamps of other programs off.
pub(crate) fn lines(bare: &Bare) -> Vec<Runs> {
    let stamped = bare.lines.iter().filter(|l| l.unstamped.is_some());
    // Without the first brackets a date may be left that is the log's own time:
    // then it stays, if nothing else in the line is one.
    let behind = |l: &BareLine| without_brackets(&l.text).to_owned();
    let own = |l: &&BareLine| {
        let rest = l.unstamped.as_deref().unwrap_or("");
        dated(&behind(l)) && !timely(rest)
    };
    let own = stamped.clone().filter(own).count() * 4 > stamped.count() * 3;
    let mut out = Vec::new();
    for l in bare.lines.iter().filter(|l| l.text.len() <= LONGEST) {
        out.push(match &l.unstamped {
            Some(_) if own => Runs::of(l.line, &behind(l)),
            Some(u) if !u.is_empty() => Runs::of(l.line, without_speaker(u)),
            _ => Runs::of(l.line, &l.text),
        });
    }
    out.truncate(crate::LIMITS.lines);
    out
}

/// A line without a stamp in brackets and a name in front of its own date.
fn without_brackets(text: &str) -> &str {
    if dated(text) {
        return text;
    }
    let rest = text.strip_prefix('[').and_then(|t| t.split_once(']'));
    rest.map_or(text, |r| without_speaker(r.1.trim_start()))
}

/// A line of a chat without the name of who speaks. A word that may be the name
/// of a value stays.
fn without_speaker(text: &str) -> &str {
    if let Some(rest) = text.strip_prefix('<').and_then(|t| t.split_once("> ")) {
        return rest.1;
    }
    let Some((name, rest)) = text.split_once(": ") else {
        return text;
    };
    let word =
        |b: u8| b.is_ascii_alphabetic() || matches!(b, b' ' | b'_' | b'-' | b'.') || b >= 0x80;
    let last = name.rsplit(' ').next().unwrap_or(name);
    let plain = !name.is_empty()
        && name.len() <= 24
        && name.bytes().all(word)
        && words::roles(last).is_empty();
    if plain { rest } else { text }
}

/// Whether a line without its stamp may have a time of its own.
fn timely(text: &str) -> bool {
    let r = Runs::of(0, text);
    (0..r.runs.len()).any(|i| {
        let t = r.text(i);
        let word = words::roles(t).first() == Some(&Role::Time) && t.len() > 2;
        word || (t.len() >= 8
            && t.bytes().all(|b| b.is_ascii_hexdigit())
            && t.bytes().any(|b| b.is_ascii_digit()))
    })
}

/// Whether a line begins with a stamp that has a date.
fn dated(text: &str) -> bool {
    let head = text.trim_start_matches(['[', '(', '{']);
    let d = head.bytes().take_while(u8::is_ascii_digit).count();
    matches!(head.as_bytes().get(d), Some(b'-' | b'.' | b'/'))
        && head.as_bytes().get(d + 1).is_some_and(u8::is_ascii_digit)
}
