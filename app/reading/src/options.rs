//! What a doubtful field may read: candidates with costs.

use codebook::model::Encoding;

use crate::matcher::How;
use crate::plan::{DatePiece, FieldPlan};
use crate::slips;

/// One way to read a field.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Candidate {
    /// The text, upper case and of full width.
    pub text: String,
    /// Its cost, in tenths.
    pub cost: u32,
    /// Why it may be so; empty for the text as written.
    pub why: String,
    /// Whether only leading zeros were added.
    pub zeros: bool,
}

/// Most candidates kept for one field.
const KEEP: usize = 16;

/// The text of a field in the form its value has: upper case where only letters
/// and digits of an alphabet count.
pub(crate) fn canonical(plan: &FieldPlan, written: &str) -> String {
    match plan.field.encoding {
        Encoding::Hex | Encoding::Digits => written.to_ascii_uppercase(),
        Encoding::Word => plan
            .field
            .words
            .iter()
            .find(|w| w.text.eq_ignore_ascii_case(written))
            .map_or_else(|| written.to_owned(), |w| w.text.clone()),
        // A comma inside a number is a decimal comma.
        Encoding::Decimal => written.replace(',', "."),
        Encoding::Date => {
            let same = |s: &&String| s.split_whitespace().eq(written.split_whitespace());
            plan.special
                .iter()
                .find(same)
                .cloned()
                .unwrap_or_else(|| written.to_owned())
        }
        _ => written.to_owned(),
    }
}

/// All ways to read a captured field, cheapest first. `known` lists texts that
/// a lost digit may be mended to (codes of the book); `any_digit` allows any
/// (when a check field will decide).
pub(crate) fn candidates(
    plan: &FieldPlan,
    written: &[u8],
    how: How,
    known: &dyn Fn(&str) -> bool,
    any_digit: bool,
) -> Vec<Candidate> {
    let text = String::from_utf8_lossy(written).into_owned();
    let plain = |text: String| Candidate {
        text,
        cost: 0,
        why: String::new(),
        zeros: false,
    };
    match how {
        How::Exact | How::Special => vec![plain(canonical(plan, &text))],
        How::Broken => Vec::new(),
        How::Short => short(plan, &text, known, any_digit),
        How::Slips => {
            let mut out = match plan.field.encoding {
                Encoding::Word => words(plan, written),
                Encoding::Date => date(plan, written),
                _ => digits(plan, written, known, any_digit),
            };
            crate::sorted::sort_by(&mut out, |a, b| (a.cost, &a.text).cmp(&(b.cost, &b.text)));
            out.dedup_by(|a, b| a.text == b.text);
            out.truncate(KEEP);
            out
        }
    }
}

/// The text with leading zeros, where the field's digits have a zero that one
/// leaves out. Check letters have none: each of theirs must be there.
fn pad(plan: &FieldPlan, text: &str) -> Option<String> {
    let zero = plan.legal.first() == Some(&b'0');
    zero.then(|| {
        format!(
            "{}{text}",
            "0".repeat(plan.width.0.saturating_sub(text.len()))
        )
    })
}

fn short(
    plan: &FieldPlan,
    text: &str,
    known: &dyn Fn(&str) -> bool,
    any_digit: bool,
) -> Vec<Candidate> {
    let up = text.to_ascii_uppercase();
    let low = plan.width.0;
    let mut out = Vec::new();
    out.extend(pad(plan, &up).map(|text| Candidate {
        text,
        cost: 10,
        why: "leading zeros are missing".into(),
        zeros: true,
    }));
    if up.len() + 1 == low {
        insertions(plan, &up, known, any_digit, 0, &mut out);
    }
    out.dedup_by(|a, b| a.text == b.text);
    out
}

fn insertions(
    plan: &FieldPlan,
    text: &str,
    known: &dyn Fn(&str) -> bool,
    any_digit: bool,
    cost: u32,
    out: &mut Vec<Candidate>,
) {
    for at in 0..=text.len() {
        for &c in &plan.legal {
            let (Some(a), Some(b)) = (text.get(..at), text.get(at..)) else {
                continue;
            };
            let full = format!("{a}{}{b}", c as char);
            if (any_digit || known(&full)) && !out.iter().any(|o| o.text == full) {
                out.push(Candidate {
                    text: full,
                    cost: cost + 25,
                    why: "one digit is missing".into(),
                    zeros: false,
                });
            }
        }
    }
}

/// Digits with slips, with a digit too many or too few.
fn digits(
    plan: &FieldPlan,
    written: &[u8],
    known: &dyn Fn(&str) -> bool,
    any_digit: bool,
) -> Vec<Candidate> {
    let (low, high) = plan.width;
    let mut out = Vec::new();
    for (text, cost, why) in spell(written, &plan.legal) {
        if text.len() >= low && text.len() <= high {
            out.push(Candidate {
                text,
                cost,
                why,
                zeros: false,
            });
        } else if text.len() < low {
            let why_both = if why.is_empty() {
                String::new()
            } else {
                format!("{why}; ")
            };
            out.extend(pad(plan, &text).map(|text| Candidate {
                text,
                cost: cost + 10,
                why: format!("{why_both}leading zeros are missing"),
                zeros: false,
            }));
            if text.len() + 1 == low {
                insertions(plan, &text, known, any_digit, cost, &mut out);
            }
        } else if text.len() == high + 1 {
            for at in 0..text.len() {
                let (Some(a), Some(b)) = (text.get(..at), text.get(at + 1..)) else {
                    continue;
                };
                let here = text.as_bytes().get(at);
                let doubled = at > 0 && text.as_bytes().get(at - 1) == here;
                let full = format!("{a}{b}");
                if doubled || any_digit || known(&full) {
                    out.push(Candidate {
                        text: full,
                        cost: cost + if doubled { 15 } else { 30 },
                        why: "one character too many".into(),
                        zeros: false,
                    });
                }
            }
        }
    }
    out
}

/// All readings of a run of characters within an alphabet: text, cost, why.
fn spell(written: &[u8], legal: &[u8]) -> Vec<(String, u32, String)> {
    let mut out = vec![(String::new(), 0, String::new())];
    for &b in written {
        let mut next = Vec::new();
        let up = b.to_ascii_uppercase();
        let readings = if legal.contains(&up) {
            vec![(up, 0)]
        } else {
            slips::readings(b, legal)
        };
        for (text, cost, why) in &out {
            for (c, extra) in &readings {
                let mut text: String = text.clone();
                text.push(*c as char);
                let mut why: String = why.clone();
                if *extra > 0 {
                    if !why.is_empty() {
                        why.push_str("; ");
                    }
                    why.push_str(&slip_words(b, *c));
                }
                next.push((text, cost + extra, why));
            }
        }
        crate::sorted::sort_by(&mut next, |a: &(String, u32, String), b| {
            (a.1, &a.0).cmp(&(b.1, &b.0))
        });
        next.truncate(KEEP * 2);
        out = next;
    }
    out
}

/// Says in words which character was taken for which.
pub(crate) fn slip_words(written: u8, meant: u8) -> String {
    if slips::is_lost(written) {
        return format!("a character is lost where {} may stand", meant as char);
    }
    format!(
        "no {} can stand here; it looks like {}",
        written as char, meant as char
    )
}

fn words(plan: &FieldPlan, written: &[u8]) -> Vec<Candidate> {
    let shown = String::from_utf8_lossy(written);
    plan.field
        .words
        .iter()
        .filter_map(|w| {
            let most = if w.text.len() <= 2 { 15 } else { 40 };
            let cost = slips::word_distance(written, w.text.as_bytes(), most)?.max(5);
            Some(Candidate {
                text: w.text.clone(),
                cost,
                why: format!("the word {shown} can't stand here"),
                zeros: false,
            })
        })
        .collect()
}

fn date(plan: &FieldPlan, written: &[u8]) -> Vec<Candidate> {
    let digits_at = digit_places(plan, written);
    let mut out = vec![(String::new(), 0_u32, String::new())];
    for (i, &b) in written.iter().enumerate() {
        let readings = if digits_at.contains(&i) && !b.is_ascii_digit() {
            slips::readings(b, b"0123456789")
        } else {
            vec![(b, 0)]
        };
        let mut next = Vec::new();
        for (text, cost, why) in &out {
            for (c, extra) in &readings {
                let mut text: String = text.clone();
                text.push(*c as char);
                let why = if *extra > 0 {
                    slip_words(b, *c)
                } else {
                    why.clone()
                };
                next.push((text, cost + extra, why));
            }
        }
        crate::sorted::sort_by(&mut next, |a: &(String, u32, String), b| {
            (a.1, &a.0).cmp(&(b.1, &b.0))
        });
        next.truncate(KEEP);
        out = next;
    }
    out.into_iter()
        .filter(|(text, ..)| crate::values::date_exists(plan, text))
        .map(|(text, cost, why)| Candidate {
            text,
            cost,
            why,
            zeros: false,
        })
        .collect()
}

/// The places of a written date that hold digits.
fn digit_places(plan: &FieldPlan, written: &[u8]) -> Vec<usize> {
    let mut out = Vec::new();
    let mut at = 0;
    for piece in &plan.date {
        match piece {
            DatePiece::Number(_, width) => {
                let mut n = 0;
                while n < *width
                    && written.get(at).is_some_and(|&b| {
                        b.is_ascii_digit() || slips::readable_as(b, b"0123456789").is_some()
                    })
                {
                    out.push(at);
                    at += 1;
                    n += 1;
                }
            }
            DatePiece::Text(t) => {
                let letters = t.iter().filter(|b| b.is_ascii_alphanumeric()).count();
                let mut seen = 0;
                while let Some(b) = written.get(at) {
                    if b.is_ascii_alphanumeric() {
                        if seen == letters {
                            break;
                        }
                        seen += 1;
                    } else if !t.contains(b) && (!crate::view::is_soft(*b) || *b == b'|') {
                        break;
                    }
                    at += 1;
                }
            }
        }
    }
    out
}

/// Legal texts one slip away: a look-alike swap or two neighbours swapped.
/// For text that is legal but fails its check.
pub(crate) fn single_slips(plan: &FieldPlan, text: &str) -> (Vec<Candidate>, Vec<Candidate>) {
    let mut swaps = Vec::new();
    let mut turns = Vec::new();
    let bytes = text.as_bytes();
    let legal = |b: u8| plan.legal.contains(&b.to_ascii_uppercase());
    if plan.field.encoding == Encoding::Word {
        return (Vec::new(), Vec::new());
    }
    for (i, &b) in bytes.iter().enumerate() {
        if !legal(b) {
            continue;
        }
        for &c in &plan.legal {
            if c != b
                && let Some(cost) = slips::cost(b, c).filter(|&k| k > 0 && k <= 25)
            {
                let mut t = bytes.to_vec();
                if let Some(x) = t.get_mut(i) {
                    *x = c;
                }
                swaps.push(Candidate {
                    text: String::from_utf8_lossy(&t).into_owned(),
                    cost,
                    why: format!(
                        "the check field does not fit; {} may be {}",
                        b as char, c as char
                    ),
                    zeros: false,
                });
            }
        }
        if let Some(&n) = bytes.get(i + 1)
            && n != b
            && legal(n)
        {
            let mut t = bytes.to_vec();
            t.swap(i, i + 1);
            turns.push(Candidate {
                text: String::from_utf8_lossy(&t).into_owned(),
                cost: 15,
                why: format!(
                    "the check field does not fit; {} and {} may be swapped",
                    b as char, n as char
                ),
                zeros: false,
            });
        }
    }
    (swaps, turns)
}
