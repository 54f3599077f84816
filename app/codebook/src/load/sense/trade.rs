//! Checks codes, steps, boards, the service port, symptoms, causes, checks,
//! repairs and cautions.

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
fn code(path: &str, text: &str, found: &mut Findings) {
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

/// Lists what is wrong with symptoms, causes, checks, repairs and cautions.
pub(super) fn faults(book: &CodeBook, names: &Names, found: &mut Findings) {
    for (i, one) in book.symptoms.iter().enumerate() {
        filled(
            &key(&place("symptoms", i), "title"),
            &one.title,
            "what one observes",
            found,
        );
    }
    for (i, one) in book.causes.iter().enumerate() {
        let path = place("causes", i);
        filled(&key(&path, "title"), &one.title, "a few words", found);
        for (j, text) in one.codes.iter().enumerate() {
            code(&place(&key(&path, "codes"), j), text, found);
        }
        refer_all(
            &key(&path, "steps"),
            &one.steps,
            &names.steps,
            "steps",
            found,
        );
        refer_all(
            &key(&path, "symptoms"),
            &one.symptoms,
            &names.symptoms,
            "symptoms",
            found,
        );
        refer_all(
            &key(&path, "repairs"),
            &one.repairs,
            &names.repairs,
            "repairs",
            found,
        );
        for (board, how) in &one.boards {
            let path = key(&key(&path, "boards"), board);
            refer(&path, board, &names.boards, "boards", found);
            one_of(
                &path,
                how,
                &["often", "sometimes", "seldom", "never"],
                found,
            );
        }
    }
    for (i, one) in book.checks.iter().enumerate() {
        let path = place("checks", i);
        filled(&key(&path, "title"), &one.title, "a few words", found);
        if one.how.is_empty() {
            found.problem(
                key(&path, "how"),
                "must not be empty",
                "how it is done, one step a line",
            );
        }
        effort(&path, one.minutes, one.money, found);
        if !one.risk.is_empty() {
            one_of(
                &key(&path, "risk"),
                &one.risk,
                &["none", "small", "real"],
                found,
            );
        }
        refer_all(
            &key(&path, "causes"),
            &one.causes,
            &names.causes,
            "causes",
            found,
        );
    }
    for (i, one) in book.repairs.iter().enumerate() {
        let path = place("repairs", i);
        filled(&key(&path, "title"), &one.title, "a few words", found);
        effort(&path, one.minutes, one.money, found);
        if !(1..=5).contains(&one.difficulty) {
            found.problem(
                key(&path, "difficulty"),
                "must be 1 to 5",
                "1 is a screwdriver, 5 is ball-grid parts",
            );
        }
    }
    for (i, one) in book.cautions.iter().enumerate() {
        let path = place("cautions", i);
        filled(&key(&path, "text"), &one.text, "what to do or leave", found);
        filled(
            &key(&path, "source"),
            &one.source,
            "a published guide, or `common practice`",
            found,
        );
    }
}

fn effort(path: &str, minutes: f64, money: f64, found: &mut Findings) {
    for (name, n) in [("minutes", minutes), ("money", money)] {
        if n < 0.0 {
            found.problem(key(path, name), "must not be negative", "");
        }
    }
}

fn one_of(path: &str, word: &str, words: &[&str], found: &mut Findings) {
    if !words.contains(&word) {
        found.problem(
            path,
            format!("`{}` is none of {}", short(word), words.join(", ")),
            "",
        );
    }
}
