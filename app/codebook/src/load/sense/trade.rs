//! Checks codes, steps, boards and the service port.

use super::names::{Names, filled, refer, refer_all};
use crate::load::is_hidden;
use crate::model::{CodeBook, CodePart, ServicePort};
use crate::problem::{Findings, key, place, short};
use std::collections::BTreeSet;

/// Longest code in characters.
const MAX_CODE: usize = 40;

/// Lists what is wrong with the code table.
pub(super) fn codes(book: &CodeBook, names: &Names, found: &mut Findings) {
    for (i, row) in book.codes.iter().enumerate() {
        let path = place("codes", i);
        code(&key(&path, "code"), &row.code, found);
        filled(
            &key(&path, "title"),
            &row.title,
            "a few words for a list",
            found,
        );
        if let Some(step) = &row.step {
            refer(&key(&path, "step"), step, &names.steps, "steps", found);
        }
        refer_all(
            &key(&path, "rails"),
            &row.rails,
            &names.rails,
            "rails",
            found,
        );
        refer_all(
            &key(&path, "layouts"),
            &row.layouts,
            &names.layouts,
            "layouts",
            found,
        );
        for board in row.boards.keys() {
            refer(
                &key(&key(&path, "boards"), board),
                board,
                &names.boards,
                "boards",
                found,
            );
        }
    }
    for (i, part) in book.code_parts.iter().enumerate() {
        let path = place("code_parts", i);
        code_part(part, &path, found);
        refer_all(
            &key(&path, "layouts"),
            &part.layouts,
            &names.layouts,
            "layouts",
            found,
        );
    }
}

/// Lists a code, or a pattern of codes, that no log could match.
pub(super) fn code(path: &str, text: &str, found: &mut Findings) {
    let hint = "as the log writes it, in upper case; `?` stands for any one character";
    let message = if text.trim().is_empty() || text.trim() != text {
        "must have text, without space at either end".to_owned()
    } else if text.bytes().any(|b| b.is_ascii_lowercase()) {
        format!("`{}` has lower-case letters", short(text))
    } else if text.chars().any(|c| c.is_control() || is_hidden(c)) {
        "has characters that do not show".to_owned()
    } else if text.chars().count() > MAX_CODE {
        format!("is longer than {MAX_CODE} characters")
    } else {
        return;
    };
    found.problem(path, message, hint);
}

fn code_part(part: &CodePart, path: &str, found: &mut Findings) {
    filled(
        &key(path, "name"),
        &part.name,
        "what these characters name, such as `subsystem`",
        found,
    );
    if part.from == 0 || part.to < part.from || part.to as usize > MAX_CODE {
        found.problem(
            key(path, "from"),
            "`from` and `to` must be the first and last character, counted from 1",
            "1 and 1 for the first character alone",
        );
        return;
    }
    let width = (part.to - part.from) as usize + 1;
    let mut seen = BTreeSet::new();
    if part.values.is_empty() {
        found.problem(
            key(path, "values"),
            "must not be empty",
            "what the values mean",
        );
    }
    for (i, value) in part.values.iter().enumerate() {
        let path = place(&key(path, "values"), i);
        code(&key(&path, "is"), &value.is, found);
        filled(
            &key(&path, "means"),
            &value.means,
            "what these characters say",
            found,
        );
        if value.is.chars().count() != width {
            found.problem(
                key(&path, "is"),
                format!("must have {width} characters, as `from` and `to` say"),
                "`?` stands for any one character",
            );
        } else if !seen.insert(&value.is) {
            found.problem(
                key(&path, "is"),
                format!("`{}` is there twice", short(&value.is)),
                "",
            );
        }
    }
}

/// Lists what is wrong with steps, rails, boards and the service port.
pub(super) fn steps_and_boards(book: &CodeBook, names: &Names, found: &mut Findings) {
    for (i, step) in book.steps.iter().enumerate() {
        let path = place("steps", i);
        if step.id.bytes().any(|b| b.is_ascii_lowercase()) {
            found.problem(
                key(&path, "id"),
                "must be upper case",
                "as the log writes it",
            );
        }
        filled(&key(&path, "name"), &step.name, "a few words", found);
        refer_all(
            &key(&path, "rails"),
            &step.rails,
            &names.rails,
            "rails",
            found,
        );
    }
    for (i, rail) in book.rails.iter().enumerate() {
        filled(
            &key(&place("rails", i), "name"),
            &rail.name,
            "what it feeds",
            found,
        );
    }
    for (i, board) in book.boards.iter().enumerate() {
        filled(
            &key(&place("boards", i), "name"),
            &board.name,
            "a few words",
            found,
        );
    }
    if let Some(port) = &book.service_port {
        service_port(port, found);
    }
}

fn service_port(port: &ServicePort, found: &mut Findings) {
    if !(port.logic_volts > 0.0 && port.logic_volts <= 15.0) {
        found.problem(
            "service_port.logic_volts",
            "must be above 0 and at most 15",
            "such as 3.3",
        );
    }
    if port.baud == 0 {
        found.problem(
            "service_port.baud",
            "must not be 0",
            "bits per second, such as 115200",
        );
    }
    let framing = port.framing.as_bytes();
    let good = matches!(framing, [b'5'..=b'9', b'N' | b'E' | b'O' | b'M' | b'S', stop @ ..]
        if matches!(stop, b"1" | b"1.5" | b"2"));
    if !good {
        found.problem(
            "service_port.framing",
            format!("`{}` is no framing", short(&port.framing)),
            "data bits, parity (N, E, O, M or S) and stop bits, such as `8N1`",
        );
    }
    for (i, pad) in port.pads.iter().enumerate() {
        let path = place("service_port.pads", i);
        filled(&key(&path, "id"), &pad.id, "as printed, or as drawn", found);
        filled(
            &key(&path, "is"),
            &pad.is,
            "ground, transmit or receive, seen from the board",
            found,
        );
    }
}
