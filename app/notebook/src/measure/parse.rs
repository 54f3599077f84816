//! Reads a value as people type it from a meter or a data sheet.
//!
//! One mark, point or comma, is always the decimal mark: meters show no marks
//! between thousands. A letter may stand in its place (`4k7`, `R47`), after the
//! marking code of IEC 60062 (letters from memory). What can be meant in two
//! ways is refused, in words.

use super::units::{cant_read, is_unit, not_a_unit, prefix_of, suffix};
use super::{QUANTITIES, Typed, Value, times_ten, unit};
use crate::timeline::cat;

/// Longest text that is looked at, in characters.
const LONGEST: usize = 60;

/// Reads a value.
///
/// # Errors
/// A sentence that says what can't be read, and what to write instead.
pub fn parse(text: &str, quantity: &str) -> Result<Typed, String> {
    let text = plain_signs(text)?;
    if is_over(&text) {
        return Ok(Typed::Over);
    }
    let (number, rest) = scan(&text, quantity)?;
    let (prefix, unit) = if quantity_is_known(quantity) {
        let prefix = match number.letter {
            Some(letter) => {
                if !rest.is_empty() && !is_unit(rest, quantity) {
                    return Err(not_a_unit(&text, rest, quantity));
                }
                prefix_of(letter, quantity)?
            }
            None => suffix(&text, rest, quantity)?,
        };
        (prefix, unit(quantity).to_owned())
    } else {
        if rest.chars().any(|c| c.is_ascii_digit()) || number.letter.is_some() {
            return Err(cant_read(rest));
        }
        (0, rest.to_owned())
    };
    let exp = prefix - number.places;
    let digits = number.digits;
    Ok(Typed::Number(Value {
        number: times_ten(digits as f64, exp),
        last_digit: times_ten(1.0, exp),
        unit,
        digits,
        exp,
        prefix,
        prefixed: !matches!(quantity, "temperature" | "other") && quantity_is_known(quantity),
    }))
}

/// Reads a number of a meter's data sheet, such as `0,8`, `0.8 %` or `3 digits`.
/// `None` for an empty text, anything else and numbers below zero.
pub fn plain(text: &str) -> Option<f64> {
    let text = plain_signs(text).ok()?;
    let text = text.trim_start_matches(['\u{B1}', '+', ' ']);
    let (number, rest) = scan(text, "other").ok()?;
    let known = matches!(
        rest,
        "" | "%" | "d" | "dgt" | "dgts" | "digit" | "digits" | "count" | "counts"
    );
    (known && number.digits >= 0 && number.letter.is_none())
        .then(|| times_ten(number.digits as f64, -number.places))
}

fn quantity_is_known(quantity: &str) -> bool {
    quantity != "other" && QUANTITIES.iter().any(|(q, _)| *q == quantity)
}

/// One sign for all that look the same, no space around it.
fn plain_signs(text: &str) -> Result<String, String> {
    let mut out = String::new();
    for (n, c) in text.trim().chars().enumerate() {
        if n == LONGEST {
            return Err("This is too long for one value. Write the rest into the note.".to_owned());
        }
        out.push(match c {
            '\u{2126}' => '\u{3A9}',
            '\u{3BC}' => '\u{B5}',
            '\u{2212}' | '\u{2010}'..='\u{2013}' => '-',
            '\u{BA}' | '\u{2DA}' => '\u{B0}',
            '\u{2019}' => '\'',
            c if c.is_whitespace() => ' ',
            c => c,
        });
    }
    if out.is_empty() {
        Err("No value is written here.".to_owned())
    } else {
        Ok(out)
    }
}

/// What meters show for "over the range", in the ways it is typed.
fn is_over(text: &str) -> bool {
    let mut short = String::new();
    for c in text.chars().filter(|c| !matches!(c, ' ' | '.' | '-' | '+')) {
        short.push(c.to_ascii_lowercase());
    }
    matches!(
        short.as_str(),
        "ol" | "0l"
            | "0fl"
            | "ofl"
            | "over"
            | "overload"
            | "overrange"
            | "open"
            | "inf"
            | "\u{221E}"
    )
}

struct Number {
    digits: i64,
    /// Digits behind the decimal mark.
    places: i32,
    /// The letter that stood in place of the mark.
    letter: Option<char>,
}

/// Reads sign and digits; gives back what follows.
fn scan<'a>(text: &'a str, quantity: &str) -> Result<(Number, &'a str), String> {
    let unsigned = text.strip_prefix(['-', '+']).unwrap_or(text).trim_start();
    let (whole, rest) = digits(unsigned);
    let mut number = Number {
        digits: 0,
        places: 0,
        letter: None,
    };
    let mut part = "";
    let mut left = rest;
    if let Some(behind) = rest.strip_prefix(['.', ',']) {
        (part, left) = digits(behind);
        if left.starts_with(['.', ',', '\'']) {
            return Err(two_marks(text, whole, part, left));
        }
    } else if let Some(letter) = rest.chars().next().filter(|c| is_letter(*c)) {
        let behind = rest.get(letter.len_utf8()..).unwrap_or("");
        let (found, after) = digits(behind);
        if !found.is_empty() && quantity_is_known(quantity) {
            if letter.eq_ignore_ascii_case(&'e') {
                return Err(cat(&[
                    "\u{201c}",
                    text,
                    "\u{201d} can mean a power of ten or a decimal mark. Write it with a prefix, such as 4.7k.",
                ]));
            }
            (part, left) = (found, after);
            number.letter = Some(letter);
        }
    }
    if whole.is_empty() && part.is_empty() {
        return Err(if let Some(c) = unsigned.chars().next() {
            cat(&[
                "It begins with \u{201c}",
                c.encode_utf8(&mut [0; 4]),
                "\u{201d}, which is no digit. Write only what the meter shows, such as 0.42 or 4.7k.",
            ])
        } else {
            "There is a sign and no number. Write what the meter shows, such as -0.42.".to_owned()
        });
    }
    let trimmed = left.trim_start();
    if left.starts_with('\'') || (left.starts_with(' ') && !digits(trimmed).0.is_empty()) {
        return Err(cat(&[
            "After ",
            text.get(..text.len() - left.len()).unwrap_or(""),
            " more digits follow. Write the number without gaps, such as 1234.5; a second value goes into its own measurement.",
        ]));
    }
    if part.len() > 10 {
        return Err("There are more than 10 digits behind the decimal mark. Write fewer, with a prefix such as m or \u{B5}.".to_owned());
    }
    let all = cat(&[whole, part]);
    let all = all.trim_start_matches('0');
    if all.len() > 15 {
        return Err("There are more than 15 digits. Write what the meter shows.".to_owned());
    }
    let value = all.parse().unwrap_or(0_i64);
    number.digits = if text.starts_with('-') { -value } else { value };
    number.places = i32::try_from(part.len()).unwrap_or(0);
    Ok((number, trimmed.trim_end()))
}

/// The digits a text begins with, and the rest.
fn digits(text: &str) -> (&str, &str) {
    let end = text
        .bytes()
        .position(|b| !b.is_ascii_digit())
        .unwrap_or(text.len());
    text.split_at_checked(end).unwrap_or((text, ""))
}

fn is_letter(c: char) -> bool {
    c.is_ascii_alphabetic() || matches!(c, '\u{B5}' | '\u{3A9}')
}

fn two_marks(text: &str, whole: &str, part: &str, left: &str) -> String {
    let last = left.trim_start_matches(['.', ',', '\'']);
    cat(&[
        "\u{201c}",
        text,
        "\u{201d} has two marks, and it is not clear which is the decimal one. Write ",
        whole,
        part,
        ".",
        digits(last).0,
        " or ",
        whole,
        ".",
        part,
        digits(last).0,
        ".",
    ])
}
