//! What is expected next, in words.

use codebook::model::Encoding;

use crate::plan::{DatePiece, FieldPlan, LinePlan, Piece};
use crate::view::is_wordy;

/// What may come, when the first of these pieces has `typed` of it already.
/// Gaps and fixed words are told together with the field behind them.
pub(super) fn expected(plan: &LinePlan, rest: &[Piece], typed: &[u8]) -> String {
    let mut out: Vec<String> = Vec::new();
    for (k, piece) in rest.iter().enumerate() {
        let typed = if k == 0 { typed } else { &[] };
        match piece {
            Piece::Gap(_) if k == 0 => out.push("a space".into()),
            Piece::Gap(_) => {}
            Piece::Word(word) => {
                let left = word.get(typed.len()..).unwrap_or(word);
                out.push(format!("`{}`", String::from_utf8_lossy(left)));
            }
            Piece::Field(i) => {
                if let Some(f) = plan.fields.get(*i) {
                    out.push(field(f, typed));
                }
                break;
            }
        }
    }
    if out.is_empty() {
        return "nothing more".to_owned();
    }
    out.join(", then ")
}

fn field(plan: &FieldPlan, typed: &[u8]) -> String {
    let n = typed.len();
    let (least, most) = plan.width;
    let count = |unit: &str, which: &str| {
        let more = if n > 0 { " more" } else { "" };
        let (a, b) = (least.saturating_sub(n), most.saturating_sub(n));
        let digits = |n: usize| {
            if n == 1 {
                unit.to_owned()
            } else {
                format!("{unit}s")
            }
        };
        match (a, b) {
            _ if b >= 64 => format!("{unit}s{which}"),
            (a, b) if a == b => format!("{a}{more} {}{which}", digits(a)),
            (0 | 1, b) => format!("up to {b}{more} {}{which}", digits(b)),
            (a, b) => format!("{a} to {b}{more} {}{which}", digits(b)),
        }
    };
    match plan.field.encoding {
        Encoding::Hex => count("hex digit", " (0-9, A-F)"),
        Encoding::Decimal | Encoding::Bcd => count("digit", " (0-9)"),
        Encoding::Digits => count("character", &format!(" of {}", plan.field.alphabet)),
        Encoding::Word => {
            let words: Vec<&str> = fitting(plan, typed).collect();
            match words.as_slice() {
                [one] => format!("`{one}`"),
                more => format!("one of {}", more.join(", ")),
            }
        }
        Encoding::Date => format!("a date like {}", plan.field.pattern),
        Encoding::Text => "anything".to_owned(),
    }
}

/// The words that begin as typed.
fn fitting<'p>(plan: &'p FieldPlan, typed: &[u8]) -> impl Iterator<Item = &'p str> {
    plan.field
        .words
        .iter()
        .map(|w| w.text.as_str())
        .filter(move |text| {
            let start = text.as_bytes().get(..typed.len());
            start.is_some_and(|s| s.eq_ignore_ascii_case(typed))
        })
}

/// The characters that may stand next, in upper case.
pub(super) fn legal(plan: &LinePlan, rest: &[Piece], typed: &[u8]) -> Vec<u8> {
    let after = |text: &[u8]| text.get(typed.len()).map(u8::to_ascii_uppercase);
    match rest.first() {
        Some(Piece::Word(word)) => after(word).into_iter().collect(),
        Some(Piece::Field(i)) => match plan.fields.get(*i) {
            Some(f) if f.field.encoding == Encoding::Word => fitting(f, typed)
                .filter_map(|w| after(w.as_bytes()))
                .collect(),
            Some(f) => f.legal.clone(),
            None => Vec::new(),
        },
        _ => Vec::new(),
    }
}

/// A made-up value of the right form, for layouts without an example.
pub(super) fn example(plan: &FieldPlan) -> String {
    let run = |digits: &str| {
        digits
            .chars()
            .cycle()
            .take(plan.width.0.clamp(1, 16))
            .collect()
    };
    match plan.field.encoding {
        Encoding::Hex => run("0A1B2C3D4E5F6789"),
        Encoding::Decimal | Encoding::Bcd => run("0123456789"),
        Encoding::Digits => run(&plan.field.alphabet),
        Encoding::Word => plan
            .field
            .words
            .first()
            .map(|w| w.text.clone())
            .unwrap_or_default(),
        Encoding::Date => date(&plan.date),
        Encoding::Text => String::new(),
    }
}

fn date(pattern: &[DatePiece]) -> String {
    use crate::plan::DatePart::{Day, Hour, Minute, Month, Second, Year};
    let mut out = String::new();
    for piece in pattern {
        match piece {
            DatePiece::Number(Year, width) if *width > 2 => out.push_str("2007"),
            DatePiece::Number(part, _) => out.push_str(match part {
                Year => "07",
                Month => "11",
                Day => "03",
                Hour => "21",
                Minute => "40",
                Second => "15",
            }),
            DatePiece::Text(text) => {
                let plain = |&b: &u8| {
                    if is_wordy(b) || b.is_ascii_graphic() {
                        char::from(b)
                    } else {
                        ' '
                    }
                };
                out.extend(text.iter().map(plain));
            }
        }
    }
    out
}
