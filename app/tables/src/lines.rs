//! The lines of a text, with their numbers, up to the limits.

use crate::MAX_TEXT;
use crate::sheet::Left;

/// One line.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Line<'a> {
    /// Its number, from 1.
    pub no: usize,
    /// Its text, as it is.
    pub text: &'a str,
}

impl Line<'_> {
    pub fn is_blank(&self) -> bool {
        self.text.trim().is_empty()
    }
}

/// The lines of the text, and what is beyond the limit.
pub(crate) fn lines(text: &str) -> (Vec<Line<'_>>, Option<Left>) {
    let mut end = text.len().min(MAX_TEXT);
    while !text.is_char_boundary(end) {
        end -= 1;
    }
    let (mut read, mut rest) = text.split_at(end);
    if !rest.is_empty()
        && let Some(at) = read.rfind('\n')
    {
        (read, rest) = text.split_at(at + 1);
    }
    let mut out = Vec::new();
    for text in read.split_inclusive('\n') {
        let text = text.strip_suffix('\n').unwrap_or(text);
        // A lone carriage return ends a line too.
        let text = text.strip_suffix('\r').unwrap_or(text);
        for text in text.split('\r') {
            out.push(Line {
                no: out.len() + 1,
                text,
            });
        }
    }
    let beyond = (!rest.is_empty()).then(|| {
        let first = rest.lines().next().unwrap_or("");
        Left {
            line: out.len() + 1,
            last: out.len() + rest.lines().count().max(1),
            text: first.chars().take(200).collect(),
            why: "the text is longer than 2 MiB; from here on it was not read".to_owned(),
        }
    });
    (out, beyond)
}
