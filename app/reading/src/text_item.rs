//! From a matched line to an item: readings, decision, values.

use codebook::Book;
use codebook::model::{Encoding, Layout};
use serde_json::{Map, Value};
use std::collections::BTreeMap;

use crate::decide::{Context, Decision, Doubtful, decide, wrong_length};
use crate::item::{Item, Kind, Replace, clean};
use crate::matcher::{Hit, How};
use crate::options::{Candidate, candidates, canonical};
use crate::plan::{LinePlan, Piece};
use crate::result::{ChangeKind, Guess, Span};
use crate::values::{Content, insert, joined, plain_text};
use crate::view::View;

/// Most other readings told with a guess.
pub(crate) const OTHERS: usize = 6;

/// A matched line with all that is needed to read it.
pub(crate) struct Line<'a> {
    /// The whole paste.
    pub text: &'a str,
    /// The view it was found in.
    pub view: &'a View,
    /// The match.
    pub hit: &'a Hit,
    /// The plan that matched.
    pub plan: &'a LinePlan,
    /// The book and its number.
    pub book: (&'a Book, usize),
    /// The layout and its number.
    pub layout: (&'a Layout, usize),
    /// Physical lines.
    pub lines: Vec<usize>,
    /// Whether this layout's values are written without leading zeros in all of
    /// the paste.
    pub no_zeros: bool,
    /// The next `slot` and `seq` if the listing goes on.
    pub expected: [Option<u64>; 2],
}

/// Reads a matched line as an entry, an unused slot, or a doubtful stretch.
pub(crate) fn entry(line: &Line<'_>) -> Item {
    let layout = line.layout.0;
    let empty_when = match layout {
        Layout::Text(t) => &t.empty_when,
        Layout::Bytes(_) => return bare(line, Kind::Empty),
    };
    let fields = doubtful(line);
    let pieces = variant_of(line);
    let ctx = Context {
        book: line.book.0,
        layout,
        pieces,
        expected: line.expected,
    };
    match decide(&fields, &ctx) {
        Decision::Doubt { at, why, choices } => doubt(line, at, why, choices),
        Decision::Read { chosen, check_ok } => {
            let is_empty = !empty_when.is_empty()
                && empty_when.iter().all(|(name, want)| {
                    fields.iter().zip(&chosen).any(|(f, c)| {
                        f.plan.field.field == *name && c.text.eq_ignore_ascii_case(want)
                    })
                });
            if is_empty {
                return bare(line, Kind::Empty);
            }
            if line.hit.caps.len() == line.plan.fields.len()
                && let Some(at) = wrong_length(&fields, &chosen.iter().collect::<Vec<_>>())
            {
                return doubt(
                    line,
                    at,
                    "the line is shorter or longer than it says".into(),
                    Vec::new(),
                );
            }
            if let Some(at) = impossible_date(&fields, &chosen) {
                return doubt(line, at, "there is no such date".into(), Vec::new());
            }
            read(line, &fields, &chosen, check_ok)
        }
    }
}

/// An unused slot or a header: values as written.
pub(crate) fn bare(line: &Line<'_>, kind: Kind) -> Item {
    let fields = doubtful(line);
    let chosen: Vec<Candidate> = fields
        .iter()
        .filter_map(|f| f.readings.first().cloned())
        .collect();
    let mut item = read(line, &fields, &chosen, None);
    item.kind = kind;
    item
}

fn variant_of<'a>(line: &Line<'a>) -> &'a [Piece] {
    let places: Vec<usize> = line.hit.caps.iter().map(|c| c.field).collect();
    let fields_of = |v: &[Piece]| -> Vec<usize> {
        v.iter()
            .filter_map(|p| {
                if let Piece::Field(k) = p {
                    Some(*k)
                } else {
                    None
                }
            })
            .collect()
    };
    line.plan
        .variants
        .iter()
        .find(|v| fields_of(v) == places)
        .map_or(&[], Vec::as_slice)
}

fn impossible_date(fields: &[Doubtful<'_>], chosen: &[Candidate]) -> Option<usize> {
    fields.iter().zip(chosen).position(|(f, c)| {
        f.plan.field.encoding == Encoding::Date
            && !f.special
            && !crate::values::date_exists(f.plan, &c.text)
    })
}

fn doubtful<'a>(line: &Line<'a>) -> Vec<Doubtful<'a>> {
    let has_check = line.layout.0.check().is_some();
    let mut out = Vec::new();
    for cap in &line.hit.caps {
        let Some(plan) = line.plan.fields.get(cap.field) else {
            continue;
        };
        let written = line.view.slice(cap.from, cap.to);
        let is_code = plan.field.field == "code";
        let known =
            |code: &str| is_code && line.book.0.knows(code, Some(line.layout.0.id())) == Some(0);
        let mut readings = candidates(plan, written, cap.how, &known, has_check);
        if line.no_zeros && cap.how == How::Short && readings.first().is_some_and(|r| r.zeros) {
            readings.truncate(1);
            readings.iter_mut().for_each(|r| r.cost = 0);
        }
        if cap.how == How::Exact
            && plan.field.equals.as_ref().is_some_and(|want| {
                readings
                    .first()
                    .is_some_and(|r| !r.text.eq_ignore_ascii_case(want))
            })
        {
            readings.clear();
        }
        out.push(Doubtful {
            plan,
            readings,
            special: cap.how == How::Special,
        });
    }
    out
}

fn span(line: &Line<'_>, from: usize, to: usize) -> Span {
    let (a, b) = line.view.range(from, to);
    Span(a, b)
}

fn doubt(line: &Line<'_>, at: usize, why: String, choices: Vec<String>) -> Item {
    let (replaces, upper) = (Vec::new(), Vec::new());
    let mut item = item(line, &replaces, &upper);
    let cap = line.hit.caps.get(at);
    let field = cap
        .and_then(|c| line.plan.fields.get(c.field))
        .map(|f| f.field.field.clone());
    item.kind = Kind::Doubt {
        why,
        puts: choices.clone(),
        choices,
        field: field.unwrap_or_default(),
        doubt: cap.map(|c| line.view.range(c.from, c.to)),
    };
    item
}

fn item(line: &Line<'_>, replaces: &[Replace], upper: &[(usize, usize)]) -> Item {
    let cells = (line.hit.from, line.hit.to);
    let (clean, changes) = clean(line.text, line.view, cells, replaces, upper);
    Item {
        kind: Kind::Entry,
        book: line.book.1,
        layout: line.layout.1,
        lines: line.lines.clone(),
        range: line.view.range(cells.0, cells.1),
        fields: Map::new(),
        field_spans: BTreeMap::new(),
        guesses: Vec::new(),
        clean,
        changes,
        complete: !line.hit.cut,
        block: None,
    }
}

fn read(
    line: &Line<'_>,
    fields: &[Doubtful<'_>],
    chosen: &[Candidate],
    check_ok: Option<bool>,
) -> Item {
    let mut replaces = Vec::new();
    let mut upper = Vec::new();
    let mut guesses = Vec::new();
    let mut contents: Vec<Option<Content>> = vec![None; line.plan.fields.len()];
    let confirmed = (check_ok == Some(true)).then(|| "check".to_owned());
    for ((cap, f), c) in line.hit.caps.iter().zip(fields).zip(chosen) {
        let written = String::from_utf8_lossy(line.view.slice(cap.from, cap.to)).into_owned();
        let as_written = canonical(f.plan, &written);
        let same = as_written == c.text;
        if !same {
            let kind = if c.zeros && line.no_zeros {
                ChangeKind::Zeros
            } else {
                ChangeKind::Guess
            };
            let (a, b) = line.view.range(cap.from, cap.to);
            if kind == ChangeKind::Guess {
                let others: Vec<String> = f
                    .readings
                    .iter()
                    .map(|r| r.text.clone())
                    .filter(|t| *t != c.text)
                    .take(OTHERS)
                    .collect();
                guesses.push(Guess {
                    field: f.plan.field.field.clone(),
                    from: line.text.get(a..b).unwrap_or("").to_owned(),
                    to: c.text.clone(),
                    why: c.why.clone(),
                    confirmed_by: confirmed.clone(),
                    puts: others.clone(),
                    others,
                    span: Span(a, b),
                });
            }
            replaces.push(Replace {
                from: cap.from,
                to: cap.to,
                text: c.text.clone(),
                kind,
            });
        } else if matches!(f.plan.field.encoding, Encoding::Hex | Encoding::Digits) {
            upper.push((cap.from, cap.to));
        }
        if let Some(slot) = contents.get_mut(cap.field) {
            *slot = Some(if f.special {
                Content::Special(c.text.clone())
            } else {
                Content::Text(c.text.clone())
            });
        }
    }
    for w in &line.hit.words {
        let (a, b) = line.view.range(w.from, w.to);
        let to = String::from_utf8_lossy(&w.to_be).into_owned();
        guesses.push(Guess {
            field: String::new(),
            from: line.text.get(a..b).unwrap_or("").to_owned(),
            to: to.clone(),
            why: format!("the layout has {to} here"),
            confirmed_by: confirmed.clone(),
            others: Vec::new(),
            puts: Vec::new(),
            span: Span(a, b),
        });
        replaces.push(Replace {
            from: w.from,
            to: w.to,
            text: to,
            kind: ChangeKind::Guess,
        });
    }
    crate::sorted::sort_by_key(&mut guesses, |g| g.span);
    let mut out = item(line, &replaces, &upper);
    out.guesses = guesses;
    for (plan, content) in line.plan.fields.iter().zip(&contents) {
        insert(
            plan,
            content.as_ref().unwrap_or(&Content::Missing),
            &mut out.fields,
        );
    }
    for cap in &line.hit.caps {
        if let Some(f) = line.plan.fields.get(cap.field) {
            out.field_spans
                .insert(f.field.field.clone(), span(line, cap.from, cap.to));
        }
    }
    let text_of = |name: &str| {
        let k = line
            .plan
            .fields
            .iter()
            .position(|f| f.field.field == name)?;
        plain_text(&line.plan.fields.get(k)?.field, contents.get(k)?.as_ref()?)
    };
    for d in line.layout.0.derived() {
        let value = joined(&d.join, &text_of);
        out.fields
            .insert(d.field.clone(), value.map_or(Value::Null, Value::from));
    }
    finish_fields(&mut out.fields, line.layout.0.check().is_some(), check_ok);
    out
}

/// Adds what every entry has.
pub(crate) fn finish_fields(
    fields: &mut Map<String, Value>,
    has_check: bool,
    check_ok: Option<bool>,
) {
    if !fields.contains_key("clock") {
        for key in ["time_raw", "time_utc", "time_local", "time_rel_s"] {
            fields.insert(key.into(), Value::Null);
        }
        fields.insert("clock".into(), "absent".into());
    }
    if has_check {
        fields.insert("check_ok".into(), check_ok.map_or(Value::Null, Value::from));
    }
}
