//! A paste that no book fits: still say what is true of it.

use std::collections::BTreeMap;

use crate::result::{UnknownColumn, UnknownShape};
use crate::view::{View, is_wordy};

/// Most distinct words counted for one column.
const MOST_WORDS: usize = 64;

/// The hex words of a line, with their letters in upper case.
fn hex_words(view: &View) -> Vec<String> {
    let mut out = Vec::new();
    let mut i = 0;
    while i < view.len() && out.len() < 64 {
        let from = i;
        while i < view.len() && is_wordy(view.byte(i)) {
            i += 1;
        }
        let mut word = view.slice(from, i);
        if let [b'0', b'x' | b'X', rest @ ..] = word {
            word = rest;
        }
        let hex = word.len() >= 2 && word.len() <= 32 && word.iter().all(u8::is_ascii_hexdigit);
        if hex && word.iter().any(u8::is_ascii_digit) {
            out.push(String::from_utf8_lossy(word).to_ascii_uppercase());
        }
        i = i.max(from + 1);
    }
    out
}

/// The commonest pattern of hex words, if at least two lines share it.
pub(crate) fn shape<'v>(lines: impl Iterator<Item = (usize, &'v View)>) -> Option<UnknownShape> {
    let mut by_shape: BTreeMap<Vec<usize>, Vec<(usize, Vec<String>)>> = BTreeMap::new();
    for (line, view) in lines {
        let words = hex_words(view);
        if !words.is_empty() {
            let shape = words.iter().map(String::len).collect();
            by_shape.entry(shape).or_default().push((line, words));
        }
    }
    let (widths, lines) = by_shape
        .into_iter()
        .max_by_key(|(w, l)| (l.len() * w.len(), l.len()))?;
    if lines.len() < 2 {
        return None;
    }
    let columns = widths
        .iter()
        .enumerate()
        .map(|(c, &width)| {
            let mut counts: BTreeMap<&str, usize> = BTreeMap::new();
            for (_, words) in &lines {
                if let Some(w) = words.get(c) {
                    *counts.entry(w).or_default() += 1;
                }
            }
            let mut words: Vec<(String, usize)> =
                counts.into_iter().map(|(w, n)| (w.to_owned(), n)).collect();
            crate::sorted::sort_by(&mut words, |a, b| b.1.cmp(&a.1).then(a.0.cmp(&b.0)));
            words.truncate(MOST_WORDS);
            UnknownColumn { width, words }
        })
        .collect();
    Some(UnknownShape {
        lines: lines.into_iter().map(|l| l.0 + 1).collect(),
        columns,
    })
}
