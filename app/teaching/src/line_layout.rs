//! Parts and fields of a line put together: fixed texts and fields in turn, and
//! the code where it has several parts.

use codebook::model::{Encoding, Field, Part};

use crate::api::Role;
use crate::column::Form;
use crate::roles::Given;
use crate::text::Work;

/// Fixed texts and fields in turn.
pub(crate) fn assemble(w: &Work<'_>, fields: &[Option<Field>]) -> Vec<Part> {
    let mut out: Vec<Part> = Vec::new();
    let mut from = 0;
    let mut literal = String::new();
    for (p, f) in w.pieces.iter().zip(fields) {
        let (a, b) = w.span(p);
        literal.push_str(w.slice(from, a));
        match f {
            Some(f) => {
                let text = trimmed(&literal, f.encoding, out.is_empty());
                if !text.is_empty() {
                    out.push(Part::Text(text));
                }
                out.push(Part::Field(f.clone()));
                literal.clear();
            }
            None => literal.push_str(w.slice(a, b)),
        }
        from = b;
    }
    if literal.chars().any(char::is_alphanumeric) {
        out.push(Part::Text(trimmed(&literal, Encoding::Text, false)));
    }
    out
}

/// A fixed text without the 0x of the number behind it and the h of the one
/// before it.
fn trimmed(literal: &str, next: Encoding, first: bool) -> String {
    let mut t = literal;
    if next == Encoding::Hex {
        for sign in ["0x", "0X", "\\x", "$"] {
            t = t.strip_suffix(sign).unwrap_or(t);
        }
    }
    if !first
        && let Some(rest) = t.strip_prefix(['h', 'H'])
        && !rest.starts_with(char::is_alphanumeric)
    {
        t = rest;
    }
    t.chars().filter(|c| !c.is_control()).collect()
}

/// The code joined of its parts.
pub(crate) fn derived(w: &Work<'_>, given: &[Given], names: &[String]) -> Vec<Field> {
    let codes: Vec<usize> = (0..given.len())
        .filter(|&i| given.get(i).is_some_and(|g| g.role == Role::Code))
        .collect();
    if codes.len() < 2 {
        return Vec::new();
    }
    let mut join = Vec::new();
    for (k, &i) in codes.iter().enumerate() {
        let (Some(name), Some(c)) = (names.get(i), w.columns.get(i)) else {
            continue;
        };
        let before = k
            .checked_sub(1)
            .and_then(|k| codes.get(k))
            .and_then(|&p| w.columns.get(p).map(|c| (p, c)));
        if let Some((p, b)) = before {
            let numbers = matches!(c.form, Form::Digits | Form::Hex)
                && matches!(b.form, Form::Digits | Form::Hex);
            let touch = p + 1 == i
                && w.pieces
                    .get(p)
                    .zip(w.pieces.get(i))
                    .is_some_and(|(p, q)| w.span(p).1 == w.span(q).0);
            if !(numbers || touch) {
                join.push(Part::Text(" ".into()));
            }
        }
        join.push(Part::Field(Field {
            field: name.clone(),
            ..Field::default()
        }));
    }
    vec![Field {
        field: "code".into(),
        label: "code".into(),
        encoding: Encoding::Text,
        join,
        ..Field::default()
    }]
}
