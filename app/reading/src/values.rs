//! Phase 6: what a field's text or bytes say, as JSON values.

use codebook::model::{Encoding, Endian, Field, Part, Zone};
use serde_json::{Map, Value};

use crate::calendar::{DateTime, read_utc, write_utc};
use crate::dates::read_date;
use crate::plan::FieldPlan;

/// A field's content before it is interpreted.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) enum Content {
    /// Nothing was there.
    Missing,
    /// Text as the layout writes it (upper case, full width).
    Text(String),
    /// One of the field's special texts.
    Special(String),
    /// A number with its width in hex digits.
    Number(u64, usize),
}

/// The fields that are numbers however they are written.
pub(crate) fn is_counting(name: &str) -> bool {
    matches!(name, "slot" | "seq" | "sequence" | "count" | "head")
}

/// The number a content stands for, if it is one.
pub(crate) fn number(field: &Field, content: &Content) -> Option<u64> {
    match content {
        Content::Number(n, _) => Some(*n),
        Content::Text(t) => match field.encoding {
            Encoding::Hex => u64::from_str_radix(&ordered(field, t), 16).ok(),
            Encoding::Decimal | Encoding::Bcd => t.parse().ok(),
            Encoding::Digits => t.bytes().try_fold(0_u64, |sum, b| {
                let base = field.alphabet.len() as u64;
                let digit = field
                    .alphabet
                    .bytes()
                    .position(|a| a.eq_ignore_ascii_case(&b))? as u64;
                sum.checked_mul(base)?.checked_add(digit)
            }),
            Encoding::Word => field
                .words
                .iter()
                .find(|w| w.text.eq_ignore_ascii_case(t))
                .and_then(|w| w.value),
            Encoding::Date | Encoding::Text => None,
        },
        Content::Special(_) | Content::Missing => None,
    }
}

/// Hex digits with the highest byte first.
fn ordered(field: &Field, text: &str) -> String {
    if field.endian == Endian::Big || !text.len().is_multiple_of(2) {
        return text.to_owned();
    }
    let mut pairs: Vec<&str> = (0..text.len() / 2)
        .filter_map(|i| text.get(2 * i..2 * i + 2))
        .collect();
    pairs.reverse();
    pairs.concat()
}

/// Puts a field's value (for the time: its five values) into `out`.
pub(crate) fn insert(plan: &FieldPlan, content: &Content, out: &mut Map<String, Value>) {
    let field = &plan.field;
    if field.field == "time" {
        insert_time(plan, content, out);
        return;
    }
    out.insert(field.field.clone(), value(field, content));
}

/// The JSON value of a content.
#[allow(
    clippy::cast_precision_loss,
    reason = "scaled readings are far below 2^52"
)]
fn value(field: &Field, content: &Content) -> Value {
    if let Content::Missing | Content::Special(_) = content {
        return Value::Null;
    }
    if let Some(n) = number(field, content) {
        if let Some(hex) = hex_form(content)
            && field.missing.iter().any(|m| m.eq_ignore_ascii_case(&hex))
        {
            return Value::Null;
        }
        if !field.flags.is_empty() {
            let set = field
                .flags
                .iter()
                .filter(|f| f.bit < 64 && n >> f.bit & 1 == 1);
            return set.map(|f| Value::from(f.name.clone())).collect();
        }
        if let Some(w) = field.words.iter().find(|w| w.value == Some(n)) {
            return Value::from(w.text.clone());
        }
        if field.signed || field.scale.is_some() || field.offset.is_some() {
            let signed = if field.signed {
                sign(field, content, n)
            } else {
                i64::try_from(n).unwrap_or(i64::MAX)
            };
            if field.scale.is_none() && field.offset.is_none() {
                return Value::from(signed);
            }
            return Value::from(
                signed as f64 * field.scale.unwrap_or(1.0) + field.offset.unwrap_or(0.0),
            );
        }
        let as_number = is_counting(&field.field)
            || matches!(field.encoding, Encoding::Decimal | Encoding::Bcd) && field.field != "code";
        if as_number {
            return Value::from(n);
        }
    }
    match content {
        Content::Number(n, digits) => Value::from(format!("{n:0digits$X}")),
        Content::Text(t) if field.encoding == Encoding::Decimal => match decimal(t) {
            Some(x) => Value::from(x * field.scale.unwrap_or(1.0) + field.offset.unwrap_or(0.0)),
            None => Value::from(t.clone()),
        },
        Content::Text(t) if field.encoding == Encoding::Hex => Value::from(ordered(field, t)),
        Content::Text(t) if matches!(field.field.as_str(), "code" | "step") => {
            Value::from(t.to_uppercase())
        }
        Content::Text(t) => Value::from(t.clone()),
        _ => Value::Null,
    }
}

fn hex_form(content: &Content) -> Option<String> {
    match content {
        Content::Number(n, digits) => Some(format!("{n:0digits$X}")),
        _ => None,
    }
}

fn decimal(text: &str) -> Option<f64> {
    text.replace(',', ".").parse().ok()
}

/// Two's complement of the width the number was written in.
fn sign(field: &Field, content: &Content, n: u64) -> i64 {
    let bits = match (field.bits, content) {
        (Some([high, low]), _) => high.saturating_sub(low) + 1,
        (None, Content::Number(_, digits)) => u32::try_from(digits * 4).unwrap_or(64),
        (None, Content::Text(t)) if field.encoding == Encoding::Hex => {
            u32::try_from(t.len() * 4).unwrap_or(64)
        }
        _ => 64,
    };
    if bits >= 64 || bits == 0 {
        return n.cast_signed();
    }
    (n << (64 - bits)).cast_signed() >> (64 - bits)
}

/// How the clock stood.
const SET: &str = "set";
const NOT_SET: &str = "not set";
const ABSENT: &str = "absent";

/// Whether a written date exists.
pub(crate) fn date_exists(plan: &FieldPlan, text: &str) -> bool {
    read_date(&plan.date, text).is_some()
}

fn insert_time(plan: &FieldPlan, content: &Content, out: &mut Map<String, Value>) {
    let field = &plan.field;
    let mut put = |raw: Value, utc: Value, local: Value, rel: Value, clock: Value| {
        out.insert("time_raw".into(), raw);
        out.insert("time_utc".into(), utc);
        out.insert("time_local".into(), local);
        out.insert("time_rel_s".into(), rel);
        out.insert("clock".into(), clock);
    };
    let null = || Value::Null;
    let rule = field.time.clone().unwrap_or_default();
    let same = |list: &[String], text: &str| list.iter().any(|l| l.eq_ignore_ascii_case(text));
    let written = match content {
        Content::Missing => return put(null(), null(), null(), null(), null()),
        Content::Text(t) | Content::Special(t) => t.clone(),
        Content::Number(..) => hex_form(content).unwrap_or_default(),
    };
    let raw = Value::from(written.clone());
    if same(&rule.not_set, &written) {
        return put(raw, null(), null(), null(), NOT_SET.into());
    }
    if same(&rule.absent, &written) || matches!(content, Content::Special(_)) {
        return put(raw, null(), null(), null(), ABSENT.into());
    }
    if field.encoding == Encoding::Date {
        let Some(date) = read_date(&plan.date, &written) else {
            return put(raw, null(), null(), null(), null());
        };
        let at = date.seconds();
        if rule
            .not_set_before
            .as_deref()
            .and_then(read_utc)
            .is_some_and(|limit| at < limit)
        {
            let rel = read_utc(&rule.epoch).map(|e| at - e).filter(|s| *s >= 0);
            return put(
                raw,
                null(),
                null(),
                rel.map_or(Value::Null, Value::from),
                NOT_SET.into(),
            );
        }
        return match rule.zone {
            Zone::Local => put(raw, null(), date.to_string().into(), null(), SET.into()),
            Zone::Utc => put(raw, format!("{date}Z").into(), null(), null(), SET.into()),
        };
    }
    let Some(n) = number(field, content) else {
        return put(raw, null(), null(), null(), null());
    };
    let unit = rule.unit_seconds.filter(|u| *u > 0.0).unwrap_or(1.0);
    if rule.not_set_below.is_some_and(|limit| n < limit) || rule.epoch.is_empty() {
        return put(raw, null(), null(), seconds(n, unit), NOT_SET.into());
    }
    #[allow(
        clippy::cast_precision_loss,
        clippy::cast_possible_truncation,
        reason = "float casts saturate"
    )]
    let at = read_utc(&rule.epoch).map(|e| e.saturating_add((n as f64 * unit) as i64));
    match (at, rule.zone) {
        (Some(t), Zone::Utc) if DateTime::at(t).is_some() => {
            put(
                raw,
                write_utc(t).map_or(Value::Null, Value::from),
                null(),
                null(),
                SET.into(),
            );
        }
        (Some(t), Zone::Local) if DateTime::at(t).is_some() => {
            put(
                raw,
                null(),
                DateTime::at(t).map_or(Value::Null, |d| d.to_string().into()),
                null(),
                SET.into(),
            );
        }
        _ => put(raw, null(), null(), null(), null()),
    }
}

#[allow(
    clippy::cast_precision_loss,
    reason = "counts of seconds are far below 2^52"
)]
fn seconds(n: u64, unit: f64) -> Value {
    let s = n as f64 * unit;
    if s.fract() == 0.0 {
        Value::from(n.saturating_mul(unit as u64))
    } else {
        Value::from(s)
    }
}

/// The text a field adds to joined values and to checks: upper case.
pub(crate) fn joined(parts: &[Part], text_of: &dyn Fn(&str) -> Option<String>) -> Option<String> {
    let mut out = String::new();
    for part in parts {
        match part {
            Part::Text(t) => out.push_str(t),
            Part::Field(f) => out.push_str(&text_of(&f.field)?),
            Part::Optional { optional } => {
                if let Some(t) = joined(optional, text_of) {
                    out.push_str(&t);
                }
            }
        }
    }
    Some(out.to_uppercase())
}

/// The text of a value inside a joined one.
pub(crate) fn plain_text(field: &Field, content: &Content) -> Option<String> {
    match content {
        Content::Missing | Content::Special(_) => None,
        Content::Text(t) => Some(t.clone()),
        Content::Number(n, digits) => match field.words.iter().find(|w| w.value == Some(*n)) {
            Some(w) => Some(w.text.clone()),
            None if matches!(field.encoding, Encoding::Decimal | Encoding::Bcd) => {
                Some(n.to_string())
            }
            None => Some(format!("{n:0digits$X}")),
        },
    }
}
