//! How one part of a line is read: its way of writing, its width, its words.

use codebook::model::{Encoding, Field, Width, Word};

use crate::api::Role;
use crate::column::{Column, Form};
use crate::pieces::{Make, Piece};

/// Most different words of a word list.
const MOST_WORDS: usize = 40;

/// How a column is read in a role.
pub(crate) fn encode(
    c: &Column,
    role: Role,
    label: &str,
    decimal: Option<bool>,
) -> (Encoding, Option<bool>) {
    let either = c.form == Form::Digits;
    let encoding = match c.form {
        Form::Date => Encoding::Date,
        Form::Fraction => Encoding::Decimal,
        Form::Text => Encoding::Text,
        Form::Words => Encoding::Word,
        Form::Mixed => Encoding::Digits,
        Form::Hex => Encoding::Hex,
        Form::Digits => match (decimal, role) {
            (Some(true), _) => Encoding::Decimal,
            (Some(false), _) => Encoding::Hex,
            (None, Role::Code | Role::Step | Role::Check) => Encoding::Hex,
            (None, _) if matches!(label, "flag" | "flags" | "mask" | "bits") => Encoding::Hex,
            // A hex number reads both, and too few lines tell which it is.
            (None, Role::Count | Role::Keep) if c.padded && c.facts.n < 3 => Encoding::Hex,
            // Eight digits that could be hex, and too few lines to tell.
            (None, Role::Time) if c.width == (8, 8) && c.facts.n < 3 => Encoding::Hex,
            _ => Encoding::Decimal,
        },
    };
    (encoding, either.then_some(encoding == Encoding::Decimal))
}

pub(crate) fn width(c: &Column, encoding: Encoding, role: Role) -> Option<Width> {
    let n = |x: usize| u32::try_from(x.clamp(1, 1024)).unwrap_or(1);
    let (low, high) = c.width;
    match encoding {
        Encoding::Decimal if !c.padded && c.form == Form::Digits => {
            let room = match role {
                Role::Time => 10,
                Role::Seq => 6,
                Role::Code | Role::Step | Role::Check => high,
                _ => 5,
            };
            Some(Width::Range([1, n(high.max(room))]))
        }
        Encoding::Decimal if c.form == Form::Fraction => Some(Width::Range([1, 6])),
        Encoding::Hex | Encoding::Decimal | Encoding::Digits if low == high => {
            Some(Width::Exact(n(low)))
        }
        Encoding::Hex | Encoding::Decimal | Encoding::Digits => {
            Some(Width::Range([n(low), n(high)]))
        }
        Encoding::Text => Some(Width::Range([n(low.min(1)), 64])),
        _ => None,
    }
}

/// The alphabet of letters and digits that a column is written in.
pub(crate) fn alphabet(c: &Column) -> String {
    let all = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ";
    let digit = c
        .values
        .iter()
        .any(|v| v.bytes().any(|b| b.is_ascii_digit()));
    if digit {
        all.into()
    } else {
        all.get(10..).unwrap_or(all).into()
    }
}

/// What a field needs besides its width.
pub(crate) fn dress(c: &Column, p: &Piece, f: &mut Field) {
    match f.encoding {
        Encoding::Date => {
            if let Make::Date(pattern, _) = &p.make {
                f.pattern.clone_from(pattern);
            }
        }
        Encoding::Word => {
            let list = c.words();
            if list.len() > MOST_WORDS {
                f.encoding = Encoding::Text;
                f.width = Some(Width::Range([1, 64]));
                return;
            }
            f.words = list
                .into_iter()
                .map(|text| Word {
                    text,
                    value: None,
                    means: String::new(),
                })
                .collect();
        }
        Encoding::Digits => f.alphabet = alphabet(c),
        Encoding::Decimal if c.form == Form::Fraction => f.scale = Some(1.0),
        _ => {}
    }
}

/// Where a running number goes back to 0.
pub(crate) fn modulus(c: &Column, encoding: Encoding) -> Option<u64> {
    let (low, high) = c.width;
    let digits = u32::try_from(high).unwrap_or(64);
    let base: u64 = if encoding == Encoding::Hex { 16 } else { 10 };
    (low == high && (c.padded || encoding == Encoding::Hex))
        .then(|| base.checked_pow(digits))
        .flatten()
}
