//! What stands around the entries: heads of columns, unused slots, lines that
//! begin a dump, and values that are written otherwise when there is none.

use codebook::model::{
    Encoding, Field, Head, HeadMeans, Header, OrderBy, Part, TextLayout, TimeRule, Width, Zone,
};

use crate::api::Role;
use crate::family::{Family, Spot};
use crate::pieces::{Make, Piece};
use crate::roles::Given;
use crate::runs::{Class, Runs};

/// Lines above the first entry in which heads and headers are looked for.
const ABOVE: usize = 4;
/// Longest text that means "nothing here".
const MOST_SPECIAL: usize = 40;
/// Most words of a header.
const MOST_HEADER: usize = 12;

/// The heads of columns right above the first entry: as many words as pieces,
/// and none of them a word of the entry.
pub(crate) fn column_heads(lines: &[Runs], family: &Family, pieces: usize) -> Option<Vec<String>> {
    let first = family.found.first()?.at;
    let above = lines.get(first.saturating_sub(ABOVE)..first)?;
    let named = |w: &str| {
        family
            .spots
            .iter()
            .any(|s| matches!(s, Spot::Word(x) if x.eq_ignore_ascii_case(w)))
    };
    let head = above.iter().rev().find(|l| {
        let words = l.runs.iter().all(|r| r.class != Class::Value);
        let fits = l.runs.len() == pieces && pieces > 1 && words;
        // Talk may have as many words; it has no words of a log, and no columns.
        let known = (0..pieces)
            .filter(|&i| !crate::words::roles(l.text(i)).is_empty())
            .count();
        let apart = (1..pieces).all(|i| l.gap(i).contains(['|', ';', ',']) || l.gap(i).len() > 1);
        fits && (apart || known * 3 >= pieces.max(3)) && !(0..pieces).any(|i| named(l.text(i)))
    })?;
    Some((0..pieces).map(|i| head.text(i).to_owned()).collect())
}

/// The rule for a written date: local time, with the texts that mean "none".
pub(crate) fn written_rule(
    lines: &[Runs],
    family: &Family,
    pieces: &[Piece],
    i: usize,
) -> TimeRule {
    TimeRule {
        zone: Zone::Local,
        absent: specials(lines, family, pieces, i),
        ..TimeRule::default()
    }
}

/// Texts in the place of piece `i` in lines that fit the family in all else.
pub(crate) fn specials(lines: &[Runs], family: &Family, pieces: &[Piece], i: usize) -> Vec<String> {
    let mut out: Vec<String> = Vec::new();
    let Some(p) = pieces.get(i) else { return out };
    let (head, tail) = (p.from.run, p.to.run + 1);
    let whole = p.from.off == 0 && p.to.off == 0;
    if !whole || (head == 0 && tail == family.spots.len()) {
        return out;
    }
    let n = family.spots.len();
    let example = family.found.first();
    let sign = example
        .and_then(|m| lines.get(m.at).map(|l| l.gap(m.run + tail)))
        .unwrap_or("");
    for (at, line) in lines.iter().enumerate() {
        if family.found.iter().any(|m| m.at == at) || line.runs.len() + (tail - head) < n {
            continue;
        }
        let ends = n - tail;
        let found = (0..line.runs.len()).find(|&run| {
            let same = |spot: usize, r: usize| family.fits(line, spot, r);
            let front = (0..head).all(|k| same(k, run + k));
            front && (run + head + ends <= line.runs.len())
        });
        let Some(run) = found else { continue };
        // The rest of the entry follows the gap, wherever it begins.
        let back = (run + head..=line.runs.len().saturating_sub(ends)).find(|&r| {
            (0..ends).all(|k| family.fits(line, tail + k, r + k))
                && (ends > 0 || r == line.runs.len())
        });
        let Some(back) = back else { continue };
        let from = (run + head)
            .checked_sub(1)
            .and_then(|k| line.runs.get(k))
            .map_or(0, |r| r.to);
        let to = line.runs.get(back).map_or(line.text.len(), |r| r.from);
        let text = line.text.get(from..to).unwrap_or("").trim();
        let before = example
            .and_then(|m| lines.get(m.at).map(|l| l.gap(m.run + head).trim()))
            .unwrap_or("");
        let text = text.strip_prefix(before).unwrap_or(text).trim();
        let text = text.strip_suffix(sign.trim()).unwrap_or(text).trim();
        const NONE: &[&str] = &[
            "none", "n/a", "na", "nil", "null", "unset", "unknown", "invalid", "never", "absent",
            "empty", "not set",
        ];
        // Signs, perhaps with a word of the pattern between, or a word for none.
        let signs = text
            .bytes()
            .filter(|b| !b.is_ascii_alphanumeric() && *b != b' ')
            .count();
        let plain = text.is_ascii() && !text.bytes().any(|b| b.is_ascii_digit());
        let tells = signs * 2 > text.len() || NONE.contains(&text.to_lowercase().as_str());
        let sound = !text.is_empty() && text.len() <= MOST_SPECIAL && plain && tells;
        if sound && !out.iter().any(|o| o == text) && out.len() < 4 {
            out.push(text.to_owned());
        }
    }
    out
}

/// Adds unused slots, a header and special values to a layout. Gives the
/// physical lines of the unused slots.
pub(crate) fn surroundings(
    lines: &[Runs],
    family: &Family,
    pieces: &[Piece],
    given: &[Given],
    layout: &mut TextLayout,
    doubts: &mut Vec<String>,
) -> Vec<usize> {
    for (i, p) in pieces.iter().enumerate() {
        let role = given.get(i).map_or(Role::Same, |g| g.role);
        if p.make == Make::Fixed || matches!(role, Role::Same | Role::Time) {
            continue;
        }
        let texts = specials(lines, family, pieces, i);
        if texts.is_empty() {
            continue;
        }
        let mut value = 0;
        let nth = (0..i)
            .filter(|&k| given.get(k).is_some_and(|g| g.role != Role::Same))
            .count();
        for part in &mut layout.line {
            if let Part::Field(f) = part {
                if value == nth && !matches!(f.encoding, Encoding::Text | Encoding::Word) {
                    f.missing = texts.clone();
                }
                value += 1;
            }
        }
    }
    let seen = unused(lines, family, pieces, given, layout);
    header(lines, family, layout, doubts);
    seen
}

/// Lines that begin like an entry and go on with words only.
fn unused(
    lines: &[Runs],
    family: &Family,
    pieces: &[Piece],
    given: &[Given],
    layout: &mut TextLayout,
) -> Vec<usize> {
    let mut seen = Vec::new();
    // The entry up to its first value, which must be its place or number.
    let Some(first) = given.iter().position(|g| g.role != Role::Same) else {
        return seen;
    };
    if !matches!(
        given.get(first).map(|g| g.role),
        Some(Role::Slot | Role::Seq | Role::Keep)
    ) {
        return seen;
    }
    let upto = pieces.get(first).map_or(0, |p| p.to.run + 1);
    if pieces.get(first).is_none_or(|p| p.to.off > 0) {
        return seen;
    }
    let mut rests: Vec<(String, Vec<usize>)> = Vec::new();
    for (at, line) in lines.iter().enumerate() {
        if family.spoilt.contains(&at)
            || family.found.iter().any(|m| m.at == at)
            || line.runs.len() <= upto
            || line.runs.len() > upto + 4
        {
            continue;
        }
        let begins = (0..upto).all(|k| family.fits(line, k, k));
        let words = (upto..line.runs.len()).all(|k| line.class(k) != Some(Class::Value));
        if begins && words {
            let from = line.runs.get(upto - 1).map_or(0, |r| r.to);
            let rest = line.text.get(from..).unwrap_or("").to_lowercase();
            match rests.iter_mut().find(|r| r.0 == rest) {
                Some(r) => r.1.push(line.line),
                None => rests.push((rest, vec![line.line])),
            }
        }
    }
    for (rest, at) in rests.into_iter().take(4) {
        if at.len() < 2 && !crate::family::VACANT.iter().any(|t| rest.contains(t)) {
            continue;
        }
        let mut line: Vec<Part> = Vec::new();
        for part in &layout.line {
            line.push(part.clone());
            if matches!(part, Part::Field(_)) {
                break;
            }
        }
        line.push(Part::Text(rest));
        layout.empty.push(line);
        seen.extend(at);
    }
    seen
}

/// The line above the first entry, if it reads like the head of a dump.
fn header(lines: &[Runs], family: &Family, layout: &mut TextLayout, doubts: &mut Vec<String>) {
    let Some(first) = family.found.first().map(|m| m.at) else {
        return;
    };
    let above = lines.get(first.saturating_sub(ABOVE)..first).unwrap_or(&[]);
    let Some(line) = above.iter().rev().find(|l| !l.runs.is_empty()) else {
        return;
    };
    if let Some((header, head)) = header_of(line) {
        let again = lines
            .iter()
            .filter(|l| l.line != line.line && alike(l, line))
            .count();
        if again == 0 {
            doubts.push(
                [
                    "The line \u{201c}",
                    &line.text,
                    "\u{201d} is taken for the head of the log. If it is talk, it does no harm.",
                ]
                .concat(),
            );
        }
        layout.headers.push(header);
        if let (Some(order), Some(head)) = (
            layout.order.as_mut().filter(|o| o.by == OrderBy::Ring),
            head,
        ) {
            order.head = Some(head);
        }
    }
}

/// Whether two lines differ in their numbers only.
fn alike(a: &Runs, b: &Runs) -> bool {
    a.runs.len() == b.runs.len()
        && (0..a.runs.len()).all(|i| {
            let value = |r: &Runs| r.class(i) == Some(Class::Value);
            value(a) && value(b) || a.text(i).eq_ignore_ascii_case(b.text(i))
        })
}

/// A line as a header, and what it says about the head of a ring.
pub(crate) fn header_of(line: &Runs) -> Option<(Header, Option<Head>)> {
    const LOGGISH: &[&str] = &[
        "log", "logs", "ring", "slot", "slots", "entries", "entry", "records", "record", "dump",
        "fault", "faults", "error", "errors", "events", "event", "history", "journal", "first",
        "newest", "oldest", "head", "next", "buffer", "list", "trace",
    ];
    const TALK: &[&str] = &[
        "i", "you", "my", "it", "is", "the", "this", "that", "here", "was", "and", "what",
        "please", "me", "we", "have", "has", "got",
    ];
    let n = line.runs.len();
    let text = |i: usize| line.text(i).to_lowercase();
    let loggish = (0..n).any(|i| LOGGISH.contains(&text(i).as_str()));
    let talk = (0..n).filter(|&i| TALK.contains(&text(i).as_str())).count();
    let real = (0..n).any(|i| line.class(i) == Some(Class::Word) && line.text(i).len() > 2);
    if n == 0
        || n > MOST_HEADER
        || !loggish
        || talk > 0
        || line.text.starts_with(['$', '#', '>', '%'])
        || !real
        || line.text.contains('?')
        || !line.text.is_ascii()
    {
        return None;
    }
    let mut parts = Vec::new();
    let mut literal = line.gap(0).to_owned();
    let mut head = None;
    let mut numbers = 0;
    for i in 0..n {
        let t = line.text(i);
        let hex = t.bytes().all(|b| b.is_ascii_hexdigit());
        if line.class(i) == Some(Class::Value) && hex && t.len() <= 8 {
            numbers += 1;
            let before: Vec<String> = (0..i).rev().take(2).map(text).collect();
            let means = before.iter().find_map(|w| match w.as_str() {
                "next" | "head" => Some(HeadMeans::Next),
                "newest" | "last" | "latest" => Some(HeadMeans::Newest),
                "oldest" | "first" => Some(HeadMeans::Oldest),
                _ => None,
            });
            let name = if means.is_some() && head.is_none() {
                "head".to_owned()
            } else {
                ["number_", &numbers.to_string()].concat()
            };
            if let (Some(means), None) = (means, &head) {
                head = Some(Head {
                    field: name.clone(),
                    means,
                });
            }
            if !literal.is_empty() {
                parts.push(Part::Text(std::mem::take(&mut literal)));
            }
            let decimal = t.bytes().all(|b| b.is_ascii_digit());
            let width = u32::try_from(t.len()).unwrap_or(8);
            parts.push(Part::Field(Field {
                field: name,
                encoding: if decimal {
                    Encoding::Decimal
                } else {
                    Encoding::Hex
                },
                width: Some(if decimal {
                    Width::Range([1, width.max(4)])
                } else {
                    Width::Exact(width)
                }),
                ..Field::default()
            }));
        } else {
            literal.push_str(t);
        }
        literal.push_str(line.gap(i + 1));
    }
    let literal = literal.trim_end();
    if !literal.is_empty() {
        parts.push(Part::Text(literal.to_owned()));
    }
    // Two values side by side could not be told apart.
    let fixed = parts
        .iter()
        .any(|p| matches!(p, Part::Text(t) if t.chars().any(char::is_alphabetic)));
    fixed.then(|| {
        (
            Header {
                id: "head".into(),
                line: parts,
                starts: true,
            },
            head,
        )
    })
}

impl Family {
    /// Whether run `r` of a line could stand in spot `spot`.
    fn fits(&self, line: &Runs, spot: usize, r: usize) -> bool {
        let Some(class) = line.class(r) else {
            return false;
        };
        match self.spots.get(spot) {
            Some(Spot::Value) => class != Class::Word,
            Some(Spot::Words) => class != Class::Value,
            Some(Spot::Word(w)) => line.text(r).eq_ignore_ascii_case(w),
            None => false,
        }
    }
}
