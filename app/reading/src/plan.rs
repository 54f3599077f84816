//! Layouts made ready for matching: literals cut into words and gaps, optional
//! groups spelled out, field alphabets looked up.

use codebook::model::{Encoding, Field, Part, TextLayout, Width};

use crate::view::is_soft;

/// A piece of a text line, ready for matching.
#[derive(Clone, Debug, PartialEq)]
pub(crate) enum Piece {
    /// Fixed letters and digits; matched in either case.
    Word(Vec<u8>),
    /// White space and punctuation, loose.
    Gap(Vec<u8>),
    /// A field, by its place in [`LinePlan::fields`].
    Field(usize),
}

/// A field with its alphabet.
#[derive(Clone, Debug)]
pub(crate) struct FieldPlan {
    /// The field as the book has it.
    pub field: Field,
    /// Smallest and largest number of characters.
    pub width: (usize, usize),
    /// Characters a value may be made of, upper case; empty for words and text.
    pub legal: Vec<u8>,
    /// Values that mean "nothing here" and the like, as written.
    pub special: Vec<String>,
    /// The pattern of a written date.
    pub date: Vec<DatePiece>,
}

/// A piece of a date pattern.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) enum DatePiece {
    /// A number: which, and how many digits.
    Number(DatePart, usize),
    /// Text between the numbers.
    Text(Vec<u8>),
}

/// The numbers of a written date.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum DatePart {
    /// Year.
    Year,
    /// Month.
    Month,
    /// Day.
    Day,
    /// Hour.
    Hour,
    /// Minute.
    Minute,
    /// Second.
    Second,
}

/// A line, ready for matching.
#[derive(Clone, Debug, Default)]
pub(crate) struct LinePlan {
    /// All fields, each once, in the order of the layout.
    pub fields: Vec<FieldPlan>,
    /// The line with optional groups spelled out, fullest first.
    pub variants: Vec<Vec<Piece>>,
}

/// Plans a line.
pub(crate) fn plan_line(line: &[Part]) -> LinePlan {
    let mut plan = LinePlan::default();
    let mut variants: Vec<Vec<&Part>> = vec![Vec::new()];
    for part in line {
        match part {
            Part::Optional { optional } => {
                let without = variants.clone();
                for v in &mut variants {
                    v.extend(optional.iter());
                }
                if variants.len() <= 8 {
                    variants.extend(without);
                }
            }
            other => variants.iter_mut().for_each(|v| v.push(other)),
        }
    }
    for parts in variants {
        let mut pieces: Vec<Piece> = Vec::new();
        for part in parts {
            match part {
                Part::Text(t) => push_literal(&mut pieces, t),
                Part::Field(f) => {
                    let at = plan.fields.iter().position(|p| p.field.field == f.field);
                    let at = at.unwrap_or_else(|| {
                        plan.fields.push(plan_field(f));
                        plan.fields.len() - 1
                    });
                    pieces.push(Piece::Field(at));
                }
                Part::Optional { .. } => {}
            }
        }
        plan.variants.push(pieces);
    }
    plan
}

/// Cuts fixed text into words and gaps. Signs such as `#` count as gap.
fn push_literal(pieces: &mut Vec<Piece>, text: &str) {
    for b in crate::fold::fold(text, 0, text.len()).bytes {
        let wordy = crate::view::is_wordy(b);
        match pieces.last_mut() {
            Some(Piece::Word(w)) if wordy => w.push(b),
            Some(Piece::Gap(g)) if !wordy => g.push(b),
            _ if wordy => pieces.push(Piece::Word(vec![b])),
            _ => pieces.push(Piece::Gap(vec![b])),
        }
    }
}

/// Looks up what a field may be written with.
pub(crate) fn plan_field(field: &Field) -> FieldPlan {
    let legal: Vec<u8> = match field.encoding {
        Encoding::Hex => b"0123456789ABCDEF".to_vec(),
        Encoding::Decimal | Encoding::Bcd | Encoding::Date => b"0123456789".to_vec(),
        Encoding::Digits => field.alphabet.to_ascii_uppercase().into_bytes(),
        Encoding::Word | Encoding::Text => Vec::new(),
    };
    let width = match field.width {
        Some(Width::Exact(n)) => (n as usize, n as usize),
        Some(Width::Range([a, b])) => (a as usize, b as usize),
        None => match field.encoding {
            Encoding::Hex | Encoding::Digits | Encoding::Bcd => (1, 64),
            Encoding::Decimal => (1, 20),
            _ => (1, 4096),
        },
    };
    let mut special = field.missing.clone();
    if let Some(rule) = &field.time {
        special.extend(rule.absent.iter().cloned());
        special.extend(rule.not_set.iter().cloned());
    }
    FieldPlan {
        width,
        legal,
        special,
        date: plan_date(&field.pattern),
        field: field.clone(),
    }
}

/// Cuts a date pattern into its pieces.
pub(crate) fn plan_date(pattern: &str) -> Vec<DatePiece> {
    let tokens: [(&str, DatePart); 7] = [
        ("YYYY", DatePart::Year),
        ("YY", DatePart::Year),
        ("MM", DatePart::Month),
        ("DD", DatePart::Day),
        ("hh", DatePart::Hour),
        ("mm", DatePart::Minute),
        ("ss", DatePart::Second),
    ];
    let mut out: Vec<DatePiece> = Vec::new();
    let mut rest = pattern;
    while let Some(c) = rest.chars().next() {
        if let Some((token, part)) = tokens.iter().find(|t| rest.starts_with(t.0)) {
            out.push(DatePiece::Number(*part, token.len()));
            rest = rest.get(token.len()..).unwrap_or("");
        } else {
            let b = if c.is_ascii() { c as u8 } else { b' ' };
            match out.last_mut() {
                Some(DatePiece::Text(t)) => t.push(b),
                _ => out.push(DatePiece::Text(vec![b])),
            }
            rest = rest.get(c.len_utf8()..).unwrap_or("");
        }
    }
    out
}

/// How much of a line's pieces is telling, as a rough number of bits.
pub(crate) fn weight(plan: &LinePlan, piece: &Piece) -> u32 {
    match piece {
        Piece::Word(w) => u32::try_from(w.len().min(8)).unwrap_or(8) * 3,
        Piece::Gap(g) => u32::from(g.iter().any(|&b| !is_soft(b))),
        Piece::Field(k) => plan.fields.get(*k).map_or(0, |f| match f.field.encoding {
            Encoding::Hex | Encoding::Digits | Encoding::Bcd | Encoding::Decimal => {
                u32::try_from(f.width.0.min(8)).unwrap_or(8) * 2
            }
            Encoding::Date => 24,
            Encoding::Word => 10,
            Encoding::Text => 1,
        }),
    }
}

/// Plans of a text layout: its entry line, its unused slots, its headers.
#[derive(Clone, Debug, Default)]
pub(crate) struct TextPlan {
    /// The entry.
    pub entry: LinePlan,
    /// Unused slots.
    pub empty: Vec<LinePlan>,
}

/// Plans a text layout.
pub(crate) fn plan_text(layout: &TextLayout) -> TextPlan {
    TextPlan {
        entry: plan_line(&layout.line),
        empty: layout.empty.iter().map(|l| plan_line(l)).collect(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_line_is_cut_into_words_gaps_and_fields() {
        let line: Vec<Part> = serde_json::from_str(
            r##"["#slot ", {"field":"slot","as":"decimal","width":2}, {"optional":[" n", {"field":"count"}]}]"##,
        )
        .unwrap();
        let plan = plan_line(&line);
        assert_eq!(plan.variants.len(), 2);
        assert_eq!(
            plan.variants[0],
            [
                Piece::Gap(b"#".to_vec()),
                Piece::Word(b"slot".to_vec()),
                Piece::Gap(b" ".to_vec()),
                Piece::Field(0),
                Piece::Gap(b" ".to_vec()),
                Piece::Word(b"n".to_vec()),
                Piece::Field(1),
            ]
        );
    }

    #[test]
    fn a_date_pattern_keeps_its_words() {
        let pieces = plan_date("DD.MM.YYYY at hh:mm:ss");
        assert_eq!(pieces.len(), 11);
        assert_eq!(pieces[5], DatePiece::Text(b" at ".to_vec()));
    }
}
