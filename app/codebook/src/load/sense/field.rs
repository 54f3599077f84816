//! Checks one field: its name, its size and what its way of writing needs.

use super::names::filled;
use super::{few, pattern, time};
use crate::model::{Encoding, Field, Width};
use crate::problem::{Findings, key, place, short};
use std::collections::BTreeSet;

/// Most words of a field.
pub const MAX_WORDS: usize = 256;
/// Longest word, special value and pattern, in characters.
pub const MAX_VALUE: usize = 64;
/// Most special values of one sort.
pub const MAX_VALUES: usize = 64;

/// Names that the reading itself puts beside the fields.
const TAKEN: &[&str] = &[
    "time_raw",
    "time_utc",
    "time_local",
    "time_rel_s",
    "clock",
    "check_ok",
];

/// Where a field stands.
#[derive(Clone, Copy)]
pub(super) enum Stands {
    /// In a line; whether it is the last thing in it.
    InLine { last: bool },
    /// In a record or a header of this many bytes.
    InBytes(u32),
}

/// Lists what is wrong with a field by itself.
pub(super) fn check(field: &Field, stands: Stands, path: &str, found: &mut Findings) {
    name(field, path, found);
    match stands {
        Stands::InLine { last } => in_line(field, last, path, found),
        Stands::InBytes(length) => in_bytes(field, length, path, found),
    }
    words(field, stands, path, found);
    flags(field, path, found);
    if field.encoding == Encoding::Digits {
        alphabet(field, path, found);
    }
    if field.encoding == Encoding::Date {
        if field.pattern.chars().count() > MAX_VALUE {
            let message = format!("is longer than {MAX_VALUE} characters");
            found.problem(key(path, "pattern"), message, "date and time alone");
        } else if let Some(message) = pattern::complaint(&field.pattern) {
            found.problem(
                key(path, "pattern"),
                message,
                "such as `DD.MM.YYYY hh:mm:ss`",
            );
        }
    } else if !field.pattern.is_empty() {
        found.note(
            key(path, "pattern"),
            "is only used by `date` fields",
            "write `\"as\": \"date\"`",
        );
    }
    if let Some(rule) = &field.time {
        time::check(field, rule, &key(path, "time"), found);
    }
    if field.scale == Some(0.0) {
        found.problem(
            key(path, "scale"),
            "must not be 0",
            "every value would become the same",
        );
    }
    if field.modulus.is_some_and(|m| m < 2) {
        found.problem(
            key(path, "modulus"),
            "must be at least 2",
            "65536 for two bytes that count up",
        );
    }
    if let Some(only) = &field.equals {
        filled(
            &key(path, "equals"),
            only,
            "the value as the log writes it",
            found,
        );
        value(field, only, &key(path, "equals"), found);
    }
    let hint = "one for each way it is written";
    few(
        &key(path, "missing"),
        field.missing.len(),
        MAX_VALUES,
        hint,
        found,
    );
    for (i, text) in field.missing.iter().enumerate() {
        let path = place(&key(path, "missing"), i);
        filled(&path, text, "the value as the log writes it", found);
        value(field, text, &path, found);
    }
    if !field.join.is_empty() {
        found.problem(
            key(path, "join"),
            "is for fields under `derived`",
            "move the field there",
        );
    }
}

/// Lists a bad name.
pub(super) fn name(field: &Field, path: &str, found: &mut Findings) {
    let path = key(path, "field");
    let text = &field.field;
    let good = text.starts_with(|c: char| c.is_ascii_lowercase())
        && text.len() <= 32
        && text
            .bytes()
            .all(|b| b.is_ascii_lowercase() || b.is_ascii_digit() || b == b'_');
    if !good {
        found.problem(
            path,
            format!("`{}` is no field name", short(text)),
            "a lower-case letter, then lower-case letters, digits and underscores, at most 32",
        );
    } else if TAKEN.contains(&text.as_str()) {
        found.problem(
            path,
            format!("`{text}` is a name that the reading uses itself"),
            "the entry's time is called `time`, its check value `check`",
        );
    }
}

fn in_line(field: &Field, last: bool, path: &str, found: &mut Findings) {
    for (name, is_there) in [("at", field.at.is_some()), ("size", field.size.is_some())] {
        if is_there {
            found.problem(
                key(path, name),
                "is for byte records",
                "fields of a line have a `width`",
            );
        }
    }
    let width = key(path, "width");
    match field.width {
        None => {
            let needs = matches!(
                field.encoding,
                Encoding::Hex | Encoding::Decimal | Encoding::Bcd | Encoding::Digits
            );
            if needs && !last {
                found.problem(
                    width,
                    "is missing",
                    "number of characters, or the smallest and largest number, such as `[1, 4]`; \
                     only the last field of a line may go without",
                );
            }
        }
        Some(Width::Exact(n)) if n == 0 || n > 1024 => {
            found.problem(width, "must be 1 to 1024", "number of characters");
        }
        Some(Width::Range([low, high])) if low > high || high == 0 || high > 1024 => {
            found.problem(
                width,
                "must be the smallest and then the largest number, at most 1024",
                "such as `[1, 4]`",
            );
        }
        Some(_) => {}
    }
    if field.bits.is_some() {
        found.problem(
            key(path, "bits"),
            "is for byte records",
            "write two fields side by side, or `flags`",
        );
    }
}

fn in_bytes(field: &Field, length: u32, path: &str, found: &mut Findings) {
    if field.width.is_some() {
        found.problem(
            key(path, "width"),
            "is for lines of text",
            "fields of a byte record have `at` and `size`",
        );
    }
    let size = field.size.unwrap_or(1);
    let most = if field.encoding == Encoding::Text {
        256
    } else {
        8
    };
    if size == 0 || size > most {
        found.problem(
            key(path, "size"),
            format!("must be 1 to {most}"),
            "number of bytes",
        );
    }
    match field.at {
        None => found.problem(
            key(path, "at"),
            "is missing",
            "first byte of the field, counted from 0",
        ),
        Some(at) if u64::from(at) + u64::from(size) > u64::from(length) => {
            found.problem(
                key(path, "at"),
                format!("byte {at} and size {size} go past the end at {length} bytes"),
                "bytes count from 0",
            );
        }
        Some(_) => {}
    }
    if let Some(bits) = field.bits {
        self::bits(bits, size.saturating_mul(8), path, found);
    }
}

fn bits([high, low]: [u32; 2], all: u32, path: &str, found: &mut Findings) {
    if high < low || high >= all {
        found.problem(
            key(path, "bits"),
            format!(
                "must be the highest and then the lowest bit, within 0 to {}",
                all.saturating_sub(1)
            ),
            "such as `[7, 4]` for the upper half of a byte",
        );
    }
}

fn words(field: &Field, stands: Stands, path: &str, found: &mut Findings) {
    let path = key(path, "words");
    let by_value = field.encoding != Encoding::Word || matches!(stands, Stands::InBytes(_));
    if field.words.is_empty() {
        if field.encoding == Encoding::Word {
            found.problem(
                path,
                "is missing",
                "the words that may stand here, such as `[{\"text\": \"amber\"}]`",
            );
        }
        return;
    }
    few(
        &path,
        field.words.len(),
        MAX_WORDS,
        "only the words that the log has",
        found,
    );
    let (mut texts, mut values) = (BTreeSet::new(), BTreeSet::new());
    for (i, word) in field.words.iter().enumerate() {
        let path = place(&path, i);
        filled(
            &key(&path, "text"),
            &word.text,
            "the word as the log writes it",
            found,
        );
        if word.text.chars().count() > MAX_VALUE {
            let message = format!("is longer than {MAX_VALUE} characters");
            found.problem(key(&path, "text"), message, "one word as the log writes it");
        }
        // Two numbers may well have one name, but two words must differ.
        if !by_value && !texts.insert(word.text.to_ascii_lowercase()) {
            found.problem(
                key(&path, "text"),
                format!("`{}` is there twice", short(&word.text)),
                "",
            );
        }
        match word.value {
            None if by_value => {
                found.problem(
                    key(&path, "value"),
                    "is missing",
                    "the number that this word stands for",
                );
            }
            Some(v) if !values.insert(v) => {
                found.problem(
                    key(&path, "value"),
                    format!("{v} is there twice"),
                    "each number has one name",
                );
            }
            _ => {}
        }
    }
}

fn flags(field: &Field, path: &str, found: &mut Findings) {
    let all = match (field.bits, field.size, field.width) {
        (Some([high, low]), _, _) => high.saturating_sub(low).saturating_add(1),
        (None, Some(size), _) => size.saturating_mul(8),
        (None, None, Some(Width::Exact(n))) => n.saturating_mul(4),
        (None, None, Some(Width::Range([_, n]))) => n.saturating_mul(4),
        (None, None, None) => 8,
    };
    let mut seen = BTreeSet::new();
    for (i, flag) in field.flags.iter().enumerate() {
        let path = place(&key(path, "flags"), i);
        filled(
            &key(&path, "name"),
            &flag.name,
            "what it means when the bit is 1",
            found,
        );
        if flag.bit >= all || flag.bit > 63 {
            found.problem(
                key(&path, "bit"),
                format!("must be below {}", all.min(64)),
                "bits count from 0, the lowest",
            );
        } else if !seen.insert(flag.bit) {
            found.problem(
                key(&path, "bit"),
                format!("bit {} is there twice", flag.bit),
                "",
            );
        }
    }
}

fn alphabet(field: &Field, path: &str, found: &mut Findings) {
    let path = key(path, "alphabet");
    let hint = "the digits, lowest first, such as `0123456789`";
    let mut seen = BTreeSet::new();
    let mut twice = None;
    for c in field.alphabet.chars() {
        if !c.is_ascii_alphanumeric() {
            found.problem(path, "may hold only ASCII letters and digits", hint);
            return;
        }
        if !seen.insert(c.to_ascii_uppercase()) {
            twice = Some(c);
        }
    }
    if let Some(c) = twice {
        found.problem(
            path,
            format!("`{c}` is there twice; upper and lower case are the same"),
            hint,
        );
    } else if seen.len() < 2 {
        found.problem(path, "must hold at least two characters", hint);
    }
}

/// Lists a special value that the field could never have.
pub(super) fn value(field: &Field, text: &str, path: &str, found: &mut Findings) {
    if text.chars().count() > MAX_VALUE {
        let message = format!("is longer than {MAX_VALUE} characters");
        found.problem(path, message, "the value as the log writes it");
    }
    if field.at.is_some() {
        byte_value(field, text, path, found);
        return;
    }
    let (good, what) = match field.encoding {
        Encoding::Hex => (text.bytes().all(|b| b.is_ascii_hexdigit()), "hex digits"),
        Encoding::Decimal | Encoding::Bcd => {
            (text.bytes().all(|b| b.is_ascii_digit()), "decimal digits")
        }
        _ => return,
    };
    // Dashes, dots or words in the place of digits are a usual way to write
    // "none", but digits of the wrong kind or number are a slip.
    let digits =
        text.bytes().all(|b| b.is_ascii_alphanumeric()) && text.bytes().any(|b| b.is_ascii_digit());
    if digits && !good {
        found.problem(
            path,
            format!("`{}` can't stand in this field", short(text)),
            &format!("the field holds {what}"),
        );
    }
    if let (true, Some(Width::Exact(n) | Width::Range([_, n]))) = (good, field.width)
        && text.len() > n as usize
    {
        let message = format!("`{}` is longer than the field", short(text));
        found.problem(path, message, &format!("the field has {n} characters"));
    }
}

/// In a record, special values are written as hex digits of the whole field.
fn byte_value(field: &Field, text: &str, path: &str, found: &mut Findings) {
    if matches!(field.encoding, Encoding::Text | Encoding::Bcd) || text.is_empty() {
        return;
    }
    let digits = match field.bits {
        Some([high, low]) => high.saturating_sub(low).saturating_add(1).div_ceil(4),
        None => field.size.unwrap_or(1).saturating_mul(2),
    };
    if text.len() != digits as usize || !text.bytes().all(|b| b.is_ascii_hexdigit()) {
        found.problem(
            path,
            format!("`{}` is no value of this field", short(text)),
            &format!("{digits} hex digits, highest byte first"),
        );
    }
}
