//! Codes that a text talks about: mentions, not events.

use codebook::Book;
use std::rc::Rc;

use crate::view::{View, is_wordy};

const CUES: [&str; 6] = ["code", "codes", "error", "fault", "errors", "faults"];

/// Codes in a view that a book knows, as cells and upper-case text.
pub(crate) fn mentions(books: &[Rc<Book>], view: &View) -> Vec<(usize, usize, String)> {
    let mut words: Vec<(usize, usize, String)> = Vec::new();
    let mut i = 0;
    while i < view.len() {
        let from = i;
        while i < view.len() && is_wordy(view.byte(i)) {
            i += 1;
        }
        if i > from {
            let text = String::from_utf8_lossy(view.slice(from, i)).to_uppercase();
            words.push((from, i, text));
        } else {
            i += 1;
        }
    }
    let mut out: Vec<(usize, usize, String)> = Vec::new();
    for (k, (from, to, text)) in words.iter().enumerate() {
        if let Some((start, end, next)) = words.get(k + 1)
            && view
                .slice(*to, *start)
                .iter()
                .all(|&b| matches!(b, b' ' | b'-'))
        {
            let pair = format!("{text} {next}");
            if next.bytes().any(|b| b.is_ascii_digit()) && known(books, &pair).is_some() {
                out.push((*from, *end, pair));
                continue;
            }
        }
        let digits = text.bytes().filter(u8::is_ascii_digit).count();
        // Part of an order number, an address of bytes or a colour is no code.
        let glued = |at: usize| matches!(view.byte(at), b'/' | b'-' | b'.' | b'_' | b'&');
        let pair = |w: Option<&(usize, usize, String)>, at: usize| {
            view.byte(at) == b':'
                && w.is_some_and(|w| w.2.len() <= 2 && w.2.bytes().all(|b| b.is_ascii_hexdigit()))
        };
        let before = k
            .checked_sub(1)
            .and_then(|p| words.get(p))
            .filter(|w| w.1 + 1 == *from);
        let after = words.get(k + 1).filter(|w| w.0 == to + 1);
        let glued_before = *from > 0
            && (before.is_some() && glued(from - 1)
                || pair(before, from - 1)
                || view.byte(from - 1) == b'#' && text.len() > 4);
        let glued_after = after.is_some() && glued(*to) || pair(after, *to);
        let cue = k
            .checked_sub(1)
            .and_then(|p| words.get(p))
            .is_some_and(|w| CUES.contains(&w.2.to_lowercase().as_str()));
        let telling = digits > 0 && digits < text.len() || cue;
        let Some(wild) = known(books, text) else {
            continue;
        };
        if telling && !((glued_before || glued_after) && !cue) && (wild == 0 || text.len() > 2) {
            out.push((*from, *to, text.clone()));
        }
    }
    out
}

fn known(books: &[Rc<Book>], code: &str) -> Option<usize> {
    books.iter().filter_map(|b| b.knows(code, None)).min()
}
