//! The check field of a line: which part, over which others, in which letters.

use codebook::model::{Check, Over, ReadAs};

use crate::api::Role;
use crate::column::Form;
use crate::draft::hint;
use crate::roles::Given;
use crate::sums::{self, Cover};
use crate::text::Work;
use crate::words;

/// A check that was found in a line.
pub(crate) struct Found {
    /// The piece that holds it.
    pub piece: usize,
    /// The rule.
    pub hit: sums::Hit,
    /// The digits of the field, lowest first.
    pub alphabet: String,
}

/// Most parts from which a check may begin.
const MOST_STARTS: usize = 8;

/// Alphabets of check letters. Which ones are usual is common practice, no
/// source: all letters, without those that look like digits, and so on.
const LETTERS: &[&str] = &[
    "ABCDEFGHIJKLMNOPQRSTUVWXYZ",
    "ACDEFGHJKLMNPQRTUVWXYZ",
    "ABCDEFGHJKLMNPQRSTUVWXYZ",
    "ABCDEFGHJKMNPQRSTVWXYZ",
    "BCDFGHJKLMNPQRSTVWXYZ",
    "BCDFGHJKMNPQRTVWXY",
    "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ",
    "0123456789ABCDEFGHJKMNPQRSTVWXYZ",
    "ABCDEFGHIJKLMNOPQRSTUVWXYZ234567",
];

/// Looks for a check.
pub(crate) fn find(w: &Work<'_>, given: &[Given]) -> Option<Found> {
    let mut best: Option<Found> = None;
    let last = w.columns.iter().rposition(|c| !c.fixed);
    let mut tried = 0.0;
    for i in (0..w.pieces.len()).rev() {
        let Some(c) = w.columns.get(i) else { continue };
        let by_word = words::roles(w.labels.get(i).map_or("", |l| l)).contains(&Role::Check);
        let told = hint(&w.hints.roles, w.pieces.get(i).map_or(0, |p| w.span(p).0));
        let wide = c.width.0 == c.width.1 && c.width.0 <= 8 && !c.fixed;
        let lively = c.facts.distinct * 2 > c.facts.n && !c.facts.is_counter();
        // A check stands at an end of the line, or has a name that says so.
        let ends = i == 0 || Some(i) == last;
        let clock = matches!(given.get(i).map(|g| g.role), Some(Role::Time));
        let may = match told {
            Some(r) => r == Role::Check && wide,
            None => wide && !clock && (by_word || lively && ends),
        };
        if !may {
            continue;
        }
        let covers = covers(w, given, i);
        let upper: Vec<String> = c.values.iter().map(|v| v.to_ascii_uppercase()).collect();
        let mut alphabets: Vec<&str> = match c.form {
            Form::Hex => vec!["0123456789ABCDEF"],
            Form::Digits => vec!["0123456789ABCDEF", "0123456789"],
            Form::Mixed | Form::Words => LETTERS.to_vec(),
            _ => continue,
        };
        alphabets.retain(|a| upper.iter().all(|v| v.chars().all(|x| a.contains(x))));
        for a in alphabets {
            let base = a.len() as u64;
            let Some(room) = base.checked_pow(u32::try_from(c.width.1).unwrap_or(64)) else {
                continue;
            };
            let want: Vec<u64> = upper
                .iter()
                .map(|v| {
                    v.chars()
                        .fold(0, |n, x| n * base + a.find(x).unwrap_or(0) as u64)
                })
                .collect();
            if let Some(hit) = sums::find(&want, room, true, &covers, &mut tried)
                && best.as_ref().is_none_or(|b| hit.chance < b.hit.chance)
            {
                let alphabet = a.to_owned();
                best = Some(Found {
                    piece: i,
                    hit,
                    alphabet,
                });
            }
        }
    }
    let best = best?;
    Some(Found {
        hit: sums::weigh(best.hit, tried)?,
        ..best
    })
}

/// The ways in which an entry may be covered by a check in piece `own`. Fields
/// are named by their piece, such as `#3`, until they have names.
fn covers(w: &Work<'_>, given: &[Given], own: usize) -> Vec<Cover> {
    let values: Vec<usize> = (0..w.pieces.len())
        .filter(|&k| {
            w.columns
                .get(k)
                .is_some_and(|c| !c.fixed && c.form != Form::Text)
                && given.get(k).is_some_and(|g| g.role != Role::Same)
        })
        .collect();
    let before: Vec<usize> = values.iter().copied().filter(|k| *k < own).collect();
    let behind: Vec<usize> = values.iter().copied().filter(|k| *k > own).collect();
    let name = |k: usize| ["#", &k.to_string()].concat();
    let mut out = Vec::new();
    let mut lists: Vec<Vec<usize>> = Vec::new();
    if !before.is_empty() && !behind.is_empty() {
        lists.push([before.clone(), behind.clone()].concat());
    }
    for from in 0..before.len().min(MOST_STARTS) {
        lists.push(before.get(from..).unwrap_or(&[]).to_vec());
    }
    if !behind.is_empty() {
        lists.push(behind);
    }
    for (n, list) in lists.iter().enumerate() {
        let said: Vec<&str> = list
            .iter()
            .map(|k| w.labels.get(*k).map_or("", |l| l))
            .map(|l| if l.is_empty() { "a value" } else { l })
            .collect();
        let said = said.join(", ");
        for (read_as, how) in [
            (ReadAs::Bytes, "as bytes"),
            (ReadAs::Digits, "digit by digit"),
            (ReadAs::Ascii, "as characters"),
        ] {
            let texts: Vec<String> = (0..w.family.found.len().min(sums::MOST_ENTRIES))
                .map(|e| {
                    list.iter()
                        .filter_map(|k| w.columns.get(*k)?.values.get(e))
                        .flat_map(|v| v.chars())
                        .filter(char::is_ascii_alphanumeric)
                        .collect::<String>()
                        .to_ascii_uppercase()
                })
                .collect();
            let Some(values) = numbers(&texts, read_as) else {
                continue;
            };
            let mut over = Over {
                fields: list.iter().map(|k| name(*k)).collect(),
                read_as,
                ..Over::default()
            };
            over.read_as = read_as;
            out.push(Cover {
                over,
                words: [&said, " ", how].concat(),
                values,
                odd: n > 0,
            });
        }
    }
    // The text itself, fixed words and signs in it.
    let firm = |k: usize| given.get(k).is_some_and(|g| g.role != Role::Same);
    let last = before.iter().copied().rfind(|k| firm(*k));
    for &from in before.iter().filter(|k| firm(**k)).take(MOST_STARTS) {
        let Some(last) = last.filter(|l| *l >= from) else {
            continue;
        };
        let texts: Vec<String> = w
            .family
            .found
            .iter()
            .take(sums::MOST_ENTRIES)
            .enumerate()
            .map(|(e, _)| stretch(w, from, last, e))
            .collect();
        if let Some(values) = numbers(&texts, ReadAs::Ascii) {
            let over = Over {
                text: Some([name(from), name(last)]),
                read_as: ReadAs::Ascii,
                ..Over::default()
            };
            out.push(Cover {
                over,
                words: "the text of the line before it".into(),
                values,
                odd: true,
            });
        }
    }
    out
}

/// The text from one piece to another as the layout writes it, with the values
/// of entry `e`.
fn stretch(w: &Work<'_>, from: usize, last: usize, e: usize) -> String {
    let mut out = String::new();
    let mut at = None;
    for k in from..=last {
        let (Some(p), Some(c)) = (w.pieces.get(k), w.columns.get(k)) else {
            continue;
        };
        let (a, b) = w.span(p);
        let mut literal = w.slice(at.unwrap_or(a), a);
        if c.form == Form::Hex || c.form == Form::Digits {
            literal = literal.strip_suffix("0x").unwrap_or(literal);
        }
        out.push_str(literal);
        match c.values.get(e) {
            Some(v) if !c.fixed && matches!(c.form, Form::Hex | Form::Mixed) => {
                out.push_str(&v.to_ascii_uppercase())
            }
            Some(v) if !c.fixed => out.push_str(v),
            _ => out.push_str(w.slice(a, b)),
        }
        at = Some(b);
    }
    out
}

/// Texts as the numbers under a check.
fn numbers(texts: &[String], read_as: ReadAs) -> Option<Vec<Vec<u64>>> {
    texts
        .iter()
        .map(|t| match read_as {
            ReadAs::Ascii => Some(t.bytes().map(u64::from).collect()),
            ReadAs::Digits => t.chars().map(|c| c.to_digit(36).map(u64::from)).collect(),
            ReadAs::Bytes => (0..t.len().div_ceil(2))
                .map(|i| u64::from_str_radix(t.get(2 * i..2 * i + 2)?, 16).ok())
                .collect(),
        })
        .collect()
}

/// The check rule with the names of the fields.
pub(crate) fn rule(hit: &sums::Hit, name: &str, names: &[String]) -> Option<Check> {
    let real = |n: &String| {
        n.strip_prefix('#')
            .and_then(|k| k.parse::<usize>().ok())
            .and_then(|k| names.get(k))
            .filter(|n| !n.is_empty())
            .cloned()
    };
    let mut check = Check {
        field: name.to_owned(),
        ..hit.check.clone()
    };
    for f in &mut check.over.fields {
        *f = real(f)?;
    }
    if let Some(ends) = &mut check.over.text {
        for f in ends {
            *f = real(f)?;
        }
    }
    Some(check)
}
