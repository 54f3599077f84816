//! From a framed record to an item: repair of its hex digits, values.

use codebook::Book;
use codebook::model::{ByteLayout, Encoding, Field, Layout};
use serde_json::{Map, Value};
use std::collections::BTreeMap;

use crate::dump::Stream;
use crate::frame::{agrees, check_ok, field_number, fixed};
use crate::item::{Item, Kind, Replace, clean};
use crate::options::slip_words;
use crate::plan::plan_field;
use crate::result::{ChangeKind, Guess, Span};
use crate::slips;
use crate::text_item::finish_fields;
use crate::values::{Content, insert, joined, plain_text};
use crate::view::View;

/// A framed record with all that is needed to read it.
pub(crate) struct Record<'a> {
    /// The whole paste.
    pub text: &'a str,
    /// The stream.
    pub stream: &'a Stream,
    /// Its places in the stream, in reading order.
    pub places: &'a [usize],
    /// The view of each row's segment.
    pub view_of: &'a dyn Fn(usize) -> &'a View,
    /// The physical line of each segment.
    pub line_of: &'a dyn Fn(usize) -> usize,
    /// The book and its number.
    pub book: (&'a Book, usize),
    /// The layout, as it is in the book, and its number.
    pub layout: (&'a ByteLayout, &'a Layout, usize),
    /// The dump it is in.
    pub block: usize,
}

const HEX: &[u8] = b"0123456789ABCDEF";
/// Readings tried for one record.
const MOST: usize = 256;

/// One way to read the digits of a record: the digits in reading order, which
/// of them were changed, and the cost.
#[derive(Clone, Debug, Default)]
struct Digits {
    text: Vec<u8>,
    changed: Vec<usize>,
    cost: u32,
}

impl Digits {
    fn bytes(&self) -> Option<Vec<u8>> {
        self.text
            .chunks(2)
            .map(|c| u8::from_str_radix(std::str::from_utf8(c).ok()?, 16).ok())
            .collect()
    }
}

/// Reads a record.
pub(crate) fn record(r: &Record<'_>) -> Item {
    let layout = r.layout.0;
    let written: Vec<u8> = r
        .places
        .iter()
        .filter_map(|&i| r.stream.bytes.get(i))
        .flat_map(|b| b.text)
        .collect();
    let all = spell(&written);
    let ok = |d: &Digits| d.bytes().and_then(|b| agrees(layout, &b));
    let has_check = layout.check.is_some();
    let legal = all.first().is_some_and(|d| d.cost == 0);
    if all.is_empty() {
        return doubt(
            r,
            "a character here is no hex digit and looks like none".into(),
            &written,
            &[],
        );
    }
    if legal {
        let Some(first) = all.first() else {
            return loose(r, "nothing to read");
        };
        let odd = first.bytes().and_then(|b| fixed(layout, &b)) == Some(false);
        if odd && (!has_check || first.bytes().and_then(|b| check_ok(layout, &b)) == Some(true)) {
            return loose(
                r,
                "a value that never changes in this layout is another one here",
            );
        }
        if !has_check || ok(first) != Some(false) {
            return read(r, first, &written);
        }
        let (swaps, turns) = single(&written);
        let good = |list: Vec<Digits>| {
            list.into_iter()
                .filter(|d| ok(d) == Some(true))
                .collect::<Vec<_>>()
        };
        let mut found = good(swaps);
        if found.is_empty() {
            found = good(turns);
        }
        return match found.as_slice() {
            [] => read(r, first, &written),
            [one] => read(r, one, &written),
            more => doubt(
                r,
                "the check field does not fit, and more than one single slip would mend it".into(),
                &written,
                more,
            ),
        };
    }
    let passing: Vec<Digits> = all
        .iter()
        .filter(|d| ok(d) == Some(true))
        .cloned()
        .collect();
    let pool = if has_check {
        passing
    } else {
        all.iter()
            .filter(|d| ok(d) != Some(false))
            .cloned()
            .collect()
    };
    let score = |d: &Digits| {
        let known = d
            .bytes()
            .and_then(|b| code(r, &b))
            .is_some_and(|c| r.book.0.knows(&c, Some(layout.id.as_str())) == Some(0));
        i64::from(d.cost) - if known { 10 } else { 0 }
    };
    let mut ranked: Vec<(i64, &Digits)> = pool.iter().map(|d| (score(d), d)).collect();
    crate::sorted::sort_by_key(&mut ranked, |x| x.0);
    match ranked.as_slice() {
        [] if has_check => doubt(
            r,
            "no reading of the doubtful characters agrees with the check field".into(),
            &written,
            &all,
        ),
        [] => doubt(
            r,
            "no reading of the doubtful characters has the fixed values of the layout".into(),
            &written,
            &all,
        ),
        [(_, one)] => read(r, one, &written),
        [(a, one), (b, _), ..] if b - a >= 10 => read(r, one, &written),
        [(a, _), ..] => {
            let near: Vec<Digits> = ranked
                .iter()
                .filter(|x| x.0 < a + 10)
                .map(|x| x.1.clone())
                .collect();
            doubt(
                r,
                "the doubtful characters can be read in more than one way".into(),
                &written,
                &near,
            )
        }
    }
}

/// A stretch of bytes that makes no whole record.
pub(crate) fn loose(r: &Record<'_>, why: &str) -> Item {
    let mut item = item(r, &[]);
    item.kind = Kind::Doubt {
        why: why.into(),
        choices: Vec::new(),
        puts: Vec::new(),
        field: String::new(),
        doubt: None,
    };
    item
}

/// An unused slot or the header.
pub(crate) fn plain(r: &Record<'_>, kind: Kind) -> Item {
    let mut item = item(r, &[]);
    item.kind = kind;
    item
}

/// A record whose last bytes are missing, at the end of the paste: what is
/// there is read. `None` when the key fields are not whole.
pub(crate) fn cut(r: &Record<'_>) -> Option<Item> {
    let layout = r.layout.0;
    let written: Vec<u8> = r
        .places
        .iter()
        .filter_map(|&i| r.stream.bytes.get(i))
        .flat_map(|b| b.text)
        .collect();
    let digits = spell(&written).into_iter().next().filter(|d| d.cost == 0)?;
    let bytes = digits.bytes()?;
    let there = |f: &Field| {
        f.at.unwrap_or(0) + f.size.unwrap_or(1) <= u32::try_from(bytes.len()).unwrap_or(0)
    };
    let keys = ["slot", "seq", "code"];
    let whole = layout
        .fields
        .iter()
        .filter(|f| keys.contains(&f.field.as_str()))
        .all(there);
    let code_there = code(r, &bytes).is_some();
    (whole && code_there).then(|| {
        let mut item = read(r, &digits, &written);
        item.complete = false;
        item
    })
}

fn spell(written: &[u8]) -> Vec<Digits> {
    let mut out = vec![Digits::default()];
    for (k, &b) in written.iter().enumerate() {
        let readings = if b.is_ascii_hexdigit() {
            vec![(b.to_ascii_uppercase(), 0)]
        } else {
            slips::readings(b, HEX)
        };
        let single = readings.len() == 1 && readings.first().is_some_and(|r| r.1 == 0);
        if single {
            for d in &mut out {
                d.text.extend(readings.iter().map(|r| r.0));
            }
            continue;
        }
        let mut next = Vec::new();
        for d in &out {
            for &(c, cost) in &readings {
                let mut n = d.clone();
                n.text.push(c);
                n.changed.push(k);
                n.cost += cost;
                next.push(n);
            }
        }
        crate::sorted::sort_by(&mut next, |a, b| (a.cost, &a.text).cmp(&(b.cost, &b.text)));
        next.truncate(MOST);
        out = next;
    }
    out
}

/// Records one look-alike or one swap of neighbours away.
fn single(written: &[u8]) -> (Vec<Digits>, Vec<Digits>) {
    let base: Vec<u8> = written.to_ascii_uppercase();
    let (mut swaps, mut turns) = (Vec::new(), Vec::new());
    for (k, &b) in base.iter().enumerate() {
        for &c in HEX {
            if c != b
                && let Some(cost) = slips::cost(b, c).filter(|&x| x > 0 && x <= 25)
            {
                let mut text = base.clone();
                if let Some(x) = text.get_mut(k) {
                    *x = c;
                }
                swaps.push(Digits {
                    text,
                    changed: vec![k],
                    cost,
                });
            }
        }
        if base.get(k + 1).is_some_and(|&n| n != b) {
            let mut text = base.clone();
            text.swap(k, k + 1);
            turns.push(Digits {
                text,
                changed: vec![k, k + 1],
                cost: 15,
            });
        }
    }
    (swaps, turns)
}

fn content(field: &Field, bytes: &[u8]) -> Content {
    if matches!(field.encoding, Encoding::Text) {
        let at = field.at.unwrap_or(0) as usize;
        let part = bytes.get(at..at + field.size.unwrap_or(1) as usize);
        return part.map_or(Content::Missing, |p| {
            Content::Text(
                String::from_utf8_lossy(p)
                    .trim_end_matches(['\0', ' '])
                    .to_owned(),
            )
        });
    }
    field_number(field, bytes).map_or(Content::Missing, |(n, w)| Content::Number(n, w))
}

fn code(r: &Record<'_>, bytes: &[u8]) -> Option<String> {
    code_of(r.layout.0, bytes)
}

/// The code that a record's bytes hold, read or derived.
pub(crate) fn code_of(layout: &ByteLayout, bytes: &[u8]) -> Option<String> {
    let text_of = |name: &str| {
        let f = layout.fields.iter().find(|f| f.field == name)?;
        plain_text(f, &content(f, bytes))
    };
    match layout.derived.iter().find(|d| d.field == "code") {
        Some(d) => joined(&d.join, &text_of),
        None => text_of("code"),
    }
}

/// Cell of digit `k`: view cells are found through the byte's row.
fn digit_range(r: &Record<'_>, k: usize) -> Option<(usize, usize)> {
    let byte = r.stream.bytes.get(*r.places.get(k / 2)?)?;
    let view = (r.view_of)(r.stream.rows.get(byte.row)?.segment);
    Some(view.range(byte.cell + k % 2, byte.cell + k % 2 + 1))
}

/// Text range of bytes `from..to` of the record, whatever their order.
fn bytes_range(r: &Record<'_>, from: usize, to: usize) -> Option<(usize, usize)> {
    let all = (2 * from..2 * to).filter_map(|k| digit_range(r, k));
    all.reduce(|a, b| (a.0.min(b.0), a.1.max(b.1)))
}

/// The field that byte `k` of the record belongs to.
fn field_at(layout: &ByteLayout, k: usize) -> Option<&Field> {
    layout.fields.iter().find(|f| {
        let at = f.at.unwrap_or(0) as usize;
        k >= at && k < at + f.size.unwrap_or(1) as usize
    })
}

/// First byte and byte behind the last of the field that byte `k` is in.
fn bytes_of(layout: &ByteLayout, k: usize) -> (usize, usize) {
    field_at(layout, k).map_or((k, k + 1), |f| {
        let at = f.at.unwrap_or(0) as usize;
        (at, at + f.size.unwrap_or(1) as usize)
    })
}

fn hex(digits: &[u8], from: usize, to: usize) -> String {
    digits
        .get(2 * from..2 * to)
        .map(|d| String::from_utf8_lossy(d).into_owned())
        .unwrap_or_default()
}

fn doubt(r: &Record<'_>, why: String, written: &[u8], ways: &[Digits]) -> Item {
    let mut out = item(r, &[]);
    let place = ways
        .iter()
        .flat_map(|w| w.changed.iter())
        .min()
        .copied()
        .or_else(|| written.iter().position(|b| !b.is_ascii_hexdigit()));
    let (mut field, mut range) = (String::new(), None);
    let (mut choices, mut puts) = (Vec::new(), Vec::new());
    if let Some(k) = place {
        let (from, to) = bytes_of(r.layout.0, k / 2);
        field = field_at(r.layout.0, k / 2)
            .map(|f| f.field.clone())
            .unwrap_or_default();
        range = bytes_range(r, from, to);
        choices = ways
            .iter()
            .take(32)
            .map(|w| hex(&w.text, from, to))
            .collect();
        crate::sorted::sort(&mut choices);
        choices.dedup();
        choices.truncate(8);
        puts = choices.iter().map(|c| put(r, from, to, c)).collect();
    }
    out.kind = Kind::Doubt {
        why,
        choices,
        puts,
        field,
        doubt: range,
    };
    out
}

/// The item without values: its text and lines.
fn item(r: &Record<'_>, replaces: &[(usize, u8)]) -> Item {
    let mut joined = View::default();
    let mut lines = Vec::new();
    let mut swap = Vec::new();
    let mut upper = Vec::new();
    let mut in_order: Vec<usize> = r.places.to_vec();
    crate::sorted::sort(&mut in_order);
    let mut i = 0;
    while let Some(&p) = in_order.get(i) {
        let Some(byte) = r.stream.bytes.get(p) else {
            break;
        };
        let Some(row) = r.stream.rows.get(byte.row) else {
            break;
        };
        let view = (r.view_of)(row.segment);
        let mut last = *byte;
        let mut k = i;
        while let Some(b) = in_order
            .get(k)
            .and_then(|&q| r.stream.bytes.get(q))
            .filter(|b| b.row == byte.row)
        {
            last = *b;
            for half in 0..2 {
                let place = r.places.iter().position(|&q| Some(&q) == in_order.get(k));
                let digit = place.map(|x| 2 * x + half);
                if let Some(&(_, c)) = replaces.iter().find(|x| Some(x.0) == digit) {
                    let cell = joined.len() + b.cell + half - byte.cell
                        + usize::from(!joined.bytes.is_empty());
                    swap.push(Replace {
                        from: cell,
                        to: cell + 1,
                        text: (c as char).to_string(),
                        kind: ChangeKind::Guess,
                    });
                }
            }
            k += 1;
        }
        if !joined.bytes.is_empty() {
            let end = joined.end(joined.len());
            let next = view.start(byte.cell);
            joined.push(
                b' ',
                end,
                u16::try_from(next.saturating_sub(end)).unwrap_or(u16::MAX),
            );
        }
        let from = joined.len();
        joined.extend_from(view, byte.cell, last.cell + 2);
        upper.push((from, joined.len()));
        let line = (r.line_of)(row.segment);
        if !lines.contains(&line) {
            lines.push(line);
        }
        i = k;
    }
    let whole = (0, joined.len());
    let (clean, changes) = clean(r.text, &joined, whole, &swap, &upper);
    Item {
        kind: Kind::Entry,
        book: r.book.1,
        layout: r.layout.2,
        lines,
        range: joined.range(0, joined.len()),
        fields: Map::new(),
        field_spans: BTreeMap::new(),
        guesses: Vec::new(),
        clean,
        changes,
        complete: true,
        block: Some(r.block),
    }
}

/// The pasted text of bytes `from..to` with other digits in it.
fn put(r: &Record<'_>, from: usize, to: usize, digits: &str) -> String {
    let mut places: Vec<(usize, usize, char)> = Vec::new();
    for (k, c) in (2 * from..2 * to).zip(digits.chars()) {
        if let Some((a, b)) = digit_range(r, k) {
            places.push((a, b, c));
        }
    }
    crate::sorted::sort_by_key(&mut places, |p| p.0);
    let mut out = String::new();
    let mut end = None;
    for (a, b, c) in places {
        out.push_str(r.text.get(end.unwrap_or(a)..a).unwrap_or(""));
        out.push(c);
        end = Some(b);
    }
    out
}

/// What else bytes `from..to` may read.
fn others(written: &[u8], chosen: &[u8], from: usize, to: usize) -> Vec<String> {
    let mut out: Vec<String> = Vec::new();
    for way in spell(written) {
        let text = hex(&way.text, from, to);
        if text != hex(chosen, from, to)
            && !out.contains(&text)
            && out.len() < crate::text_item::OTHERS
        {
            out.push(text);
        }
    }
    out
}

fn read(r: &Record<'_>, digits: &Digits, written: &[u8]) -> Item {
    let layout = r.layout.0;
    let replaces: Vec<(usize, u8)> = digits
        .changed
        .iter()
        .filter_map(|&k| Some((k, *digits.text.get(k)?)))
        .filter(|&(k, c)| written.get(k).is_some_and(|w| w.to_ascii_uppercase() != c))
        .collect();
    let mut out = item(r, &replaces);
    let Some(bytes) = digits.bytes() else {
        return out;
    };
    let check = if bytes.len() == layout.length as usize {
        check_ok(layout, &bytes)
    } else {
        None
    };
    let confirmed = (check == Some(true)).then(|| "check".to_owned());
    let mut done: Vec<(usize, usize)> = Vec::new();
    for &(k, c) in &replaces {
        let (from, to) = bytes_of(layout, k / 2);
        if done.contains(&(from, to)) {
            continue;
        }
        done.push((from, to));
        let w = written.get(k).copied().unwrap_or(b'?');
        let why = if w.is_ascii_hexdigit() {
            format!(
                "the check field does not fit; {} may be {}",
                w as char, c as char
            )
        } else {
            slip_words(w, c)
        };
        let span = bytes_range(r, from, to);
        let others = others(written, &digits.text, from, to);
        out.guesses.push(Guess {
            field: field_at(layout, k / 2)
                .map(|f| f.field.clone())
                .unwrap_or_default(),
            from: hex(written, from, to),
            to: hex(&digits.text, from, to),
            why,
            confirmed_by: confirmed.clone(),
            puts: others.iter().map(|o| put(r, from, to, o)).collect(),
            others,
            span: span.map_or(Span(0, 0), |(a, b)| Span(a, b)),
        });
    }
    let text_of = |name: &str| {
        let f = layout.fields.iter().find(|f| f.field == name)?;
        plain_text(f, &content(f, &bytes))
    };
    for f in &layout.fields {
        insert(&plan_field(f), &content(f, &bytes), &mut out.fields);
        let at = f.at.unwrap_or(0) as usize;
        let size = f.size.unwrap_or(1) as usize;
        if let Some((a, b)) = bytes_range(r, at, at + size) {
            out.field_spans.insert(f.field.clone(), Span(a, b));
        }
    }
    for d in &layout.derived {
        let value = joined(&d.join, &text_of);
        out.fields
            .insert(d.field.clone(), value.map_or(Value::Null, Value::from));
    }
    finish_fields(&mut out.fields, layout.check.is_some(), check);
    out
}
