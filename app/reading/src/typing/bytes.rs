//! How far a typed row of a hex dump fits a byte record.
//!
//! A row may begin in the middle of a record; then the named field is wrong,
//! but what may be typed is right all the same. A row that begins a record is
//! the usual thing to type.

use codebook::model::ByteLayout;

use super::Fit;
use crate::view::{View, is_soft};

const HEX: &[u8] = b"0123456789ABCDEF";

/// Whether the check fields of whole records in a row fit.
pub(super) fn check(layout: &ByteLayout, view: &View) -> Option<bool> {
    let digits = typed(view).0;
    let bytes: Option<Vec<u8>> = digits
        .chunks(2)
        .map(|pair| {
            let text = std::str::from_utf8(pair).ok()?;
            u8::from_str_radix(text, 16).ok()
        })
        .collect();
    let bytes = bytes?;
    let mut records = bytes.chunks_exact((layout.length as usize).max(1));
    records.try_fold(true, |all, record| {
        Some(all & crate::frame::check_ok(layout, record)?)
    })
}

/// The hex digits of a row, and the cell where they end.
fn typed(view: &View) -> (Vec<u8>, usize) {
    let mut at = offset_end(view);
    let mut digits: Vec<u8> = Vec::new();
    while at < view.len() {
        let b = view.byte(at);
        if b == b'|' {
            // The characters beside a dump say nothing new.
            at = view.len();
        } else if b.is_ascii_hexdigit() {
            digits.push(b);
            at += 1;
        } else if matches!(b, b'x' | b'X')
            && !digits.len().is_multiple_of(2)
            && digits.last() == Some(&b'0')
        {
            // The 0 of a written `0x`.
            digits.pop();
            at += 1;
        } else if is_soft(b) {
            at += 1;
        } else {
            break;
        }
    }
    (digits, at)
}

/// How far the view fits rows of this record.
pub(super) fn fit(layout: &ByteLayout, view: &View) -> Fit {
    let (digits, at) = typed(view);
    let digits = digits.len();
    let length = (layout.length as usize).max(1);
    let complete = digits > 0 && digits.is_multiple_of(2 * length);
    let mut fit = Fit {
        cells: at,
        complete,
        legal: HEX.to_vec(),
        ..Fit::default()
    };
    if complete && at >= view.len() {
        return fit;
    }
    let byte = digits / 2 % length;
    let more = if digits.is_multiple_of(2) {
        "2 hex digits"
    } else {
        "1 more hex digit"
    };
    fit.expected = format!("{more} (0-9, A-F), byte {} of {length}", byte + 1);
    let field = layout.fields.iter().find(|f| {
        let from = f.at.unwrap_or(0) as usize;
        (from..from + f.size.unwrap_or(1) as usize).contains(&byte)
    });
    if let Some(f) = field {
        fit.field.clone_from(&f.field);
        fit.label.clone_from(if f.label.is_empty() {
            &f.field
        } else {
            &f.label
        });
        let (from, size) = (f.at.unwrap_or(0) as usize, f.size.unwrap_or(1) as usize);
        fit.example = example(&layout.example, from, size);
    }
    fit
}

/// Where the bytes begin: behind an offset, if there is one. An offset has a
/// colon or a wide gap behind it.
fn offset_end(view: &View) -> usize {
    let start = (0..view.len())
        .find(|&i| !is_soft(view.byte(i)))
        .unwrap_or(view.len());
    let digits = (start..view.len())
        .take_while(|&i| view.byte(i).is_ascii_hexdigit())
        .count();
    let end = start + digits;
    let wide = view.slice(end, end + 2) == b"  ";
    match (digits, view.byte(end)) {
        (3..=8, b':') => end + 1,
        (4 | 6..=8, _) if wide => end + 2,
        _ => start,
    }
}

/// Bytes of the layout's example.
fn example(text: &str, from: usize, size: usize) -> String {
    let digits: Vec<char> = text.chars().filter(char::is_ascii_hexdigit).collect();
    let bytes: Vec<String> = digits
        .chunks(2)
        .skip(from)
        .take(size)
        .map(|c| c.iter().collect())
        .collect();
    bytes.join(" ")
}
