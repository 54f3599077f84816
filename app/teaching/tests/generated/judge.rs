//! What is wrong with a proposal, and what a person who knows would say next.

use super::truth::{Case, Entry, Value};
use codebook::Book;
use reading::Reader;
use serde_json::json;
use std::rc::Rc;
use teaching::{Hints, Kind, Part, Proposal, Role};

/// Something wrong, and the hint that mends it.
#[derive(Debug)]
pub struct Wrong {
    /// What.
    pub what: String,
    /// The hint.
    pub tap: Tap,
}

/// One hint.
#[derive(Clone, Debug, PartialEq)]
pub enum Tap {
    Kind(Kind),
    Entry(usize),
    Record(usize),
    Skip(usize),
    Break(usize),
    Join(usize),
    Role(usize, Role),
    Little(usize, bool),
    Decimal(usize, bool),
    Epoch(usize),
    None,
}

impl Tap {
    /// Adds the hint.
    pub fn give(&self, h: &mut Hints) {
        match *self {
            Tap::Kind(k) => h.kind = Some(k),
            Tap::Entry(l) => h.entry = Some(l),
            Tap::Record(n) => {
                h.record = Some(n);
                h.skip = Some(0);
            }
            Tap::Skip(n) => h.skip = Some(n),
            Tap::Break(at) => h.breaks.push(at),
            Tap::Join(at) => h.joins.push(at),
            Tap::Role(at, r) => h.roles.push((at, r)),
            Tap::Little(at, b) => h.little.push((at, b)),
            Tap::Decimal(at, b) => h.decimal.push((at, b)),
            Tap::Epoch(k) => h.epoch = Some(k),
            Tap::None => {}
        }
    }
}

/// The entry that the example is, and where it begins in it.
fn example<'a>(case: &'a Case, p: &Proposal) -> Option<(&'a Entry, usize)> {
    case.entries
        .iter()
        .find_map(|e| e.text.find(&p.example).map(|at| (e, at)))
}

/// True spans in the example.
fn spans(case: &Case, p: &Proposal) -> Option<Vec<(usize, usize)>> {
    let (e, at) = example(case, p)?;
    let inside = |s: &(usize, usize)| {
        Some((
            s.0.checked_sub(at)?,
            s.1.checked_sub(at).filter(|x| *x <= p.example.len())?,
        ))
    };
    e.spans.iter().map(inside).collect()
}

/// All that is wrong, the most basic first.
pub fn wrong(case: &Case, p: &Proposal) -> Vec<Wrong> {
    let mut out = Vec::new();
    let add = |out: &mut Vec<Wrong>, what: String, tap: Tap| out.push(Wrong { what, tap });
    if p.kind != case.kind {
        add(&mut out, "the kind".into(), Tap::Kind(case.kind));
        return out;
    }
    if case.kind == Kind::Bytes && p.record != Some(case.record) {
        add(
            &mut out,
            format!("a record of {:?} bytes, not {}", p.record, case.record),
            Tap::Record(case.record),
        );
        return out;
    }
    if case.kind == Kind::Bytes && p.skip != case.skip {
        add(&mut out, "bytes in front".into(), Tap::Skip(case.skip));
        return out;
    }
    let Some(spans) = spans(case, p) else {
        let good = case
            .entries
            .iter()
            .find(|e| e.clean && e.values.iter().all(Option::is_some));
        let line = good.or(case.entries.first()).map_or(1, |e| e.line);
        add(
            &mut out,
            format!("the example {:?}", p.example),
            Tap::Entry(line),
        );
        return out;
    };
    // Edges.
    for (s, part) in spans.iter().zip(&case.parts) {
        // Saying what the part is makes it as wide as such a part is.
        let starts = p
            .parts
            .iter()
            .any(|x| x.span.0 == s.0 && x.role != part.role);
        let inner = p.parts.iter().any(|x| x.span.0 > s.0 && x.span.0 < s.1);
        if case.kind == Kind::Bytes
            && starts
            && inner
            && matches!(part.role, Role::Time | Role::Code)
        {
            add(
                &mut out,
                format!("{s:?} is {:?}", part.role),
                Tap::Role(s.0, part.role),
            );
            continue;
        }
        let here = p.parts.iter().find(|x| x.span.0 <= s.0 && s.0 < x.span.1);
        if here.is_none_or(|x| x.span.0 < s.0) {
            add(
                &mut out,
                format!("no part begins at {}", s.0),
                Tap::Break(s.0),
            );
        }
        let end = p.parts.iter().find(|x| x.span.0 < s.1 && s.1 < x.span.1);
        if end.is_some() {
            let at = if case.kind == Kind::Bytes {
                s.1 + 1
            } else {
                s.1
            };
            add(&mut out, format!("no part ends at {}", s.1), Tap::Break(at));
        }
        for x in p.parts.iter().filter(|x| x.span.0 > s.0 && x.span.0 < s.1) {
            add(
                &mut out,
                format!("a part begins at {} inside one", x.span.0),
                Tap::Join(x.span.0),
            );
        }
    }
    if !out.is_empty() {
        return out;
    }
    for (k, (part, s)) in case.parts.iter().zip(&spans).enumerate() {
        match p.parts.iter().find(|x| x.span == *s) {
            None => add(&mut out, format!("no part at {s:?}"), Tap::None),
            Some(x) if x.role != part.role => add(
                &mut out,
                format!("{:?} {:?} is {:?}", x.text, x.role, part.role),
                Tap::Role(s.0, part.role),
            ),
            Some(x) => {
                if case.parts[k].role != Role::Same
                    && x.little.is_some_and(|l| l != part.little)
                    && case.kind == Kind::Bytes
                {
                    add(
                        &mut out,
                        format!("{:?} little end", x.text),
                        Tap::Little(s.0, part.little),
                    );
                }
                if part.role == Role::Time
                    && let (Some(first), Some(day)) = (x.little, case.day_first)
                    && first != day
                {
                    add(&mut out, "day and month".into(), Tap::Little(s.0, day));
                }
            }
        }
    }
    for x in &p.parts {
        if !spans.contains(&x.span) && x.role != Role::Same {
            out.push(Wrong {
                what: format!("{:?} {:?} is only a word", x.text, x.role),
                tap: Tap::Role(x.span.0, Role::Same),
            });
        }
    }
    if let (Some(e), true) = (case.epoch, out.is_empty() && !p.times.is_empty())
        && p.epoch != Some(e)
    {
        out.push(Wrong {
            what: format!("epoch {:?}, not {e}", p.epoch),
            tap: Tap::Epoch(e),
        });
    }
    if out.is_empty() {
        out.extend(values(case, p, &spans));
    }
    out
}

/// The person's book: the layout and the codes of the log.
fn book(case: &Case, p: &Proposal) -> Rc<Book> {
    let mut codes = case.codes.clone();
    codes.sort();
    codes.dedup();
    let codes: Vec<_> = codes
        .iter()
        .map(|c| json!({"code": c, "title": "some fault"}))
        .collect();
    let doc = json!({"format": 1, "id": "taught", "version": "1", "name": "x", "licence": "none",
        "layouts": [serde_json::to_value(&p.layout).unwrap()], "codes": codes});
    Rc::new(Book::of(doc).unwrap_or_else(|e| panic!("the layout does not load: {e:?}")))
}

/// What the reader says of each clean entry against the truth.
fn values(case: &Case, p: &Proposal, spans: &[(usize, usize)]) -> Vec<Wrong> {
    let reading = Reader::new(vec![book(case, p)]).read(case.paste.as_bytes());
    let mut out = Vec::new();
    let mut of_line = std::collections::BTreeMap::<usize, usize>::new();
    for e in case.entries.iter().filter(|e| e.clean) {
        let nth = *of_line.entry(e.line).and_modify(|n| *n += 1).or_insert(0);
        let Some(read) = reading.entries.iter().filter(|r| r.line == e.line).nth(nth) else {
            // The same record again is told as a repeat.
            if !reading.line_classes.duplicate.contains(&e.line) {
                out.push(Wrong {
                    what: format!("line {} is not read", e.line),
                    tap: Tap::None,
                });
            }
            continue;
        };
        for ((part, truth), span) in case.parts.iter().zip(&e.values).zip(spans) {
            let Some(shown) = p.parts.iter().find(|x| x.span == *span) else {
                continue;
            };
            let name = match shown.role {
                Role::Time => "time_raw",
                Role::Same => continue,
                _ => shown.name.as_str(),
            };
            let got = read.fields.get(name).cloned().unwrap_or_default();
            let same = match truth {
                // No time is told as absent.
                None => {
                    part.role != Role::Time || read.fields.get("clock") == Some(&json!("absent"))
                }
                // A value of no known meaning is shown as it is written.
                Some(v) => {
                    let shown = got.to_string();
                    let bare = v.text.trim_start_matches('0');
                    equal(&got, v) || part.role == Role::Keep && shown == bare
                }
            };
            if !same || read.guess {
                let tap = if shown.decimal.is_some_and(|d| d != part.decimal) {
                    Tap::Decimal(span.0, part.decimal)
                } else {
                    Tap::None
                };
                out.push(Wrong {
                    what: format!("{name}: {got}, not {truth:?} (guess {})", read.guess),
                    tap,
                });
            }
        }
    }
    out
}

fn equal(got: &serde_json::Value, v: &Value) -> bool {
    if let (Some(n), Some(m)) = (got.as_u64(), v.number) {
        return n == m;
    }
    let text = match got {
        serde_json::Value::String(s) => s.to_uppercase(),
        serde_json::Value::Number(n) => n.to_string(),
        _ => return false,
    };
    let number = || u64::from_str_radix(&text, 16).ok() == v.number && v.number.is_some();
    text == v.text
        || (text.len() == v.text.len() && number())
        || text
            .parse::<f64>()
            .ok()
            .is_some_and(|x| v.text.parse::<f64>() == Ok(x) && v.text.contains('.'))
}

/// Parts that are wrong with no word of doubt.
pub fn confident(case: &Case, p: &Proposal) -> Vec<String> {
    if p.kind != case.kind {
        return Vec::new();
    }
    // Parts of the entry that the example leaves out say nothing of the others.
    let places = example(case, p).map(|(e, at)| {
        let place = |s: &(usize, usize)| (s.0.wrapping_sub(at), s.1.wrapping_sub(at));
        e.spans.iter().map(place).collect::<Vec<_>>()
    });
    let bad = |x: &&Part| {
        if matches!(x.role, Role::Keep | Role::Skip) || x.told || !x.doubt.is_empty() {
            return false;
        }
        let Some(spans) = &places else {
            return x.role != Role::Same;
        };
        match spans.iter().position(|s| *s == x.span) {
            Some(k) => {
                case.parts[k].role != x.role
                    || (case.kind == Kind::Bytes
                        && x.little.is_some_and(|l| l != case.parts[k].little))
            }
            // A fixed word may be any word; a fixed value may not be a part of one.
            None => x.role != Role::Same || spans.iter().any(|s| s.0 < x.span.1 && x.span.0 < s.1),
        }
    };
    p.parts
        .iter()
        .filter(bad)
        .map(|x| format!("{:?} {:?}", x.text, x.role))
        .collect()
}
