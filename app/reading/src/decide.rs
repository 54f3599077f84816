//! Phase 7: decide what a record with doubtful characters says.
//!
//! The check field decides where there is one. Else the cheapest reading wins
//! if it is clearly cheaper than the next one, where a code that the book knows
//! and a slot or sequence number that fits the line above count a little.
//! Otherwise nothing is decided: the person gets the choices.

use codebook::Book;
use codebook::checksum;
use codebook::model::{Check, Field, Layout, ReadAs};

use crate::options::{Candidate, single_slips};
use crate::plan::{FieldPlan, Piece};
use crate::values::{Content, joined, number};

/// How much cheaper the best reading must be than the next, in tenths.
const CLEAR: u32 = 10;
/// What a known code is worth.
const KNOWN: u32 = 10;
/// What a number is worth that goes on from the line above.
const RUNS_ON: u32 = 15;
/// Most combinations tried for one record.
const COMBINATIONS: usize = 600;

/// A field of a record with all its readings.
#[derive(Clone, Debug)]
pub(crate) struct Doubtful<'a> {
    /// The field.
    pub plan: &'a FieldPlan,
    /// Its readings, cheapest first; a single one without cost is certain.
    pub readings: Vec<Candidate>,
    /// Whether it is one of the field's special texts.
    pub special: bool,
}

/// What a decision needs to know besides the fields.
pub(crate) struct Context<'a> {
    /// The book.
    pub book: &'a Book,
    /// The layout.
    pub layout: &'a Layout,
    /// The pieces of the line, for checks over text.
    pub pieces: &'a [Piece],
    /// What the next `slot` or `seq` would be if the listing goes on.
    pub expected: [Option<u64>; 2],
}

/// The decision.
#[derive(Clone, Debug, PartialEq)]
pub(crate) enum Decision {
    /// One clear reading.
    Read {
        /// The reading chosen for each field.
        chosen: Vec<Candidate>,
        /// Whether the check field agrees; `None` without one.
        check_ok: Option<bool>,
    },
    /// Two or more plausible readings, or none.
    Doubt {
        /// Which field, by its place.
        at: usize,
        /// Why.
        why: String,
        /// What the field may read.
        choices: Vec<String>,
    },
}

/// Decides.
pub(crate) fn decide(fields: &[Doubtful<'_>], ctx: &Context<'_>) -> Decision {
    if let Some(at) = fields.iter().position(|f| f.readings.is_empty()) {
        let label = label(fields.get(at));
        return Decision::Doubt {
            at,
            why: format!("the {label} can't be read"),
            choices: Vec::new(),
        };
    }
    let certain = fields
        .iter()
        .all(|f| f.readings.first().is_some_and(|r| r.cost == 0));
    let first: Vec<&Candidate> = fields.iter().filter_map(|f| f.readings.first()).collect();
    let check = ctx.layout.check();
    if certain {
        return match check.map(|c| agrees(c, fields, &first, ctx)) {
            None | Some(None) => read(&first, None),
            Some(Some(true)) => read(&first, Some(true)),
            Some(Some(false)) => mend(fields, &first, ctx),
        };
    }
    let combos = combinations(fields);
    let mut scored: Vec<(i64, usize)> = Vec::new();
    let mut passing = 0;
    for (i, combo) in combos.iter().enumerate() {
        let agrees = check.and_then(|c| agrees(c, fields, combo, ctx));
        let cost: u32 = combo.iter().map(|c| c.cost).sum();
        let bonus = bonus(fields, combo, ctx);
        if agrees == Some(true) {
            passing += 1;
        }
        let penalty = if agrees == Some(false) { 1000 } else { 0 };
        scored.push((i64::from(cost) - i64::from(bonus) + penalty, i));
    }
    crate::sorted::sort(&mut scored);
    let has_check = check.is_some_and(|c| agrees(c, fields, &first, ctx).is_some());
    let pick = |n: usize| scored.get(n).and_then(|s| Some((s.0, combos.get(s.1)?)));
    let Some((best_score, best)) = pick(0) else {
        return read(&first, None);
    };
    if has_check && passing == 0 {
        let at = first_doubtful(fields);
        return doubt(
            at,
            &combos.iter().collect::<Vec<_>>(),
            "no reading of the doubtful characters agrees with the check field",
        );
    }
    let rivals: Vec<&Vec<&Candidate>> = scored
        .iter()
        .filter(|s| s.0 < best_score + i64::from(CLEAR))
        .filter_map(|s| combos.get(s.1))
        .collect();
    if rivals.len() > 1 {
        let at = (0..fields.len())
            .find(|&k| rivals.iter().any(|r| text_at(r, k) != text_at(best, k)))
            .unwrap_or(0);
        let why = format!(
            "the {} can be read in more than one way",
            label(fields.get(at))
        );
        return doubt(at, &rivals, &why);
    }
    read(best, if has_check { Some(true) } else { None })
}

fn label(field: Option<&Doubtful<'_>>) -> String {
    field.map_or_else(String::new, |f| {
        let f = &f.plan.field;
        if f.label.is_empty() {
            f.field.clone()
        } else {
            f.label.to_lowercase()
        }
    })
}

fn text_at<'c>(combo: &[&'c Candidate], k: usize) -> &'c str {
    combo.get(k).map_or("", |c| c.text.as_str())
}

fn read(combo: &[&Candidate], check_ok: Option<bool>) -> Decision {
    Decision::Read {
        chosen: combo.iter().map(|c| (*c).clone()).collect(),
        check_ok,
    }
}

fn doubt(at: usize, combos: &[&Vec<&Candidate>], why: &str) -> Decision {
    let mut choices: Vec<String> = Vec::new();
    for combo in combos {
        let text = text_at(combo, at).to_owned();
        if !choices.contains(&text) && choices.len() < 8 {
            choices.push(text);
        }
    }
    crate::sorted::sort(&mut choices);
    Decision::Doubt {
        at,
        why: why.to_owned(),
        choices,
    }
}

fn first_doubtful(fields: &[Doubtful<'_>]) -> usize {
    fields
        .iter()
        .position(|f| f.readings.first().is_some_and(|r| r.cost > 0))
        .unwrap_or(0)
}

/// Text that is legal but fails its check: one single slip may mend it.
fn mend(fields: &[Doubtful<'_>], as_written: &[&Candidate], ctx: &Context<'_>) -> Decision {
    let Some(check) = ctx.layout.check() else {
        return read(as_written, None);
    };
    let mut good: [Vec<(usize, Candidate)>; 2] = [Vec::new(), Vec::new()];
    for (k, f) in fields.iter().enumerate() {
        let covered = covers(check, &f.plan.field) || f.plan.field.field == check.field;
        if f.special || !covered {
            continue;
        }
        let (swaps, turns) = single_slips(f.plan, text_at(as_written, k));
        for (list, kind) in [(swaps, 0_usize), (turns, 1)] {
            for c in list {
                let mut combo: Vec<&Candidate> = as_written.to_vec();
                if let Some(slot) = combo.get_mut(k) {
                    *slot = &c;
                }
                let date_ok = f.plan.date.is_empty() || crate::values::date_exists(f.plan, &c.text);
                if date_ok
                    && agrees(check, fields, &combo, ctx) == Some(true)
                    && let Some(g) = good.get_mut(kind)
                {
                    g.push((k, c.clone()));
                }
            }
        }
    }
    let [swaps, turns] = good;
    let found = if swaps.is_empty() { turns } else { swaps };
    match found.as_slice() {
        [] => read(as_written, Some(false)),
        [(k, only)] => {
            let mut combo: Vec<&Candidate> = as_written.to_vec();
            if let Some(slot) = combo.get_mut(*k) {
                *slot = only;
            }
            read(&combo, Some(true))
        }
        [(k, _), ..] => {
            let mut choices: Vec<String> = found
                .iter()
                .filter(|f| f.0 == *k)
                .map(|f| f.1.text.clone())
                .collect();
            crate::sorted::sort(&mut choices);
            choices.dedup();
            let why = "the check field does not fit, and more than one single slip would mend it";
            Decision::Doubt {
                at: *k,
                why: why.into(),
                choices,
            }
        }
    }
}

fn covers(check: &Check, field: &Field) -> bool {
    match (&check.over.bytes, &check.over.text) {
        (Some([from, count]), _) => field
            .at
            .is_some_and(|at| at >= *from && at + field.size.unwrap_or(1) <= from + count),
        (None, Some(_)) => true,
        (None, None) => check.over.fields.contains(&field.field),
    }
}

/// All combinations of readings, cheapest kept.
fn combinations<'a>(fields: &'a [Doubtful<'_>]) -> Vec<Vec<&'a Candidate>> {
    let mut out: Vec<(u32, Vec<&Candidate>)> = vec![(0, Vec::new())];
    for f in fields {
        let mut next = Vec::new();
        for (cost, combo) in &out {
            for r in &f.readings {
                let mut c = combo.clone();
                c.push(r);
                next.push((cost + r.cost, c));
            }
        }
        crate::sorted::sort_by_key(&mut next, |n| n.0);
        next.truncate(COMBINATIONS);
        out = next;
    }
    out.into_iter().map(|o| o.1).collect()
}

fn content(f: &Doubtful<'_>, text: &str) -> Content {
    if f.special {
        Content::Special(text.to_owned())
    } else {
        Content::Text(text.to_owned())
    }
}

fn bonus(fields: &[Doubtful<'_>], combo: &[&Candidate], ctx: &Context<'_>) -> u32 {
    let mut sum = 0;
    if let Some(code) = code_of(fields, combo, ctx.layout)
        && ctx.book.knows(&code, Some(ctx.layout.id())) == Some(0)
    {
        sum += KNOWN;
    }
    for (k, f) in fields.iter().enumerate() {
        let expected = match f.plan.field.field.as_str() {
            "slot" => ctx.expected[0],
            "seq" => ctx.expected[1],
            _ => None,
        };
        if f.readings.len() > 1
            && expected.is_some()
            && number(&f.plan.field, &content(f, text_at(combo, k))) == expected
        {
            sum += RUNS_ON;
        }
    }
    sum
}

/// The code that a combination gives, read or derived.
fn code_of(fields: &[Doubtful<'_>], combo: &[&Candidate], layout: &Layout) -> Option<String> {
    let text = |name: &str| {
        let k = fields.iter().position(|f| f.plan.field.field == name)?;
        Some(text_at(combo, k).to_uppercase())
    };
    match layout.derived().iter().find(|d| d.field == "code") {
        Some(d) => joined(&d.join, &text),
        None => text("code"),
    }
}

/// The first field that counts the bytes of others and does not fit them.
pub(crate) fn wrong_length(fields: &[Doubtful<'_>], combo: &[&Candidate]) -> Option<usize> {
    fields.iter().enumerate().position(|(k, f)| {
        let Some(rule) = &f.plan.field.length_of else {
            return false;
        };
        let Some(said) = number(&f.plan.field, &content(f, text_at(combo, k))) else {
            return false;
        };
        let digits: usize = (0..fields.len())
            .filter(|&i| {
                fields
                    .get(i)
                    .is_some_and(|o| rule.fields.contains(&o.plan.field.field))
            })
            .map(|i| text_at(combo, i).len())
            .sum();
        let bytes = i64::try_from(digits / 2)
            .unwrap_or(i64::MAX)
            .checked_add(rule.plus);
        digits % 2 == 1 || bytes.and_then(|b| u64::try_from(b).ok()) != Some(said)
    })
}

/// Whether the check field agrees with a combination; `None` when something
/// under it is missing.
fn agrees(
    check: &Check,
    fields: &[Doubtful<'_>],
    combo: &[&Candidate],
    ctx: &Context<'_>,
) -> Option<bool> {
    let find = |name: &str| fields.iter().position(|f| f.plan.field.field == name);
    let at = find(&check.field)?;
    if wrong_length(fields, combo).is_some() {
        return Some(false);
    }
    let want = number(
        &fields.get(at)?.plan.field,
        &Content::Text(text_at(combo, at).to_owned()),
    )?;
    let text = match &check.over.text {
        Some([from, to]) => canonical_line(ctx.pieces, find(from)?, find(to)?, combo)?,
        None => {
            let mut all = String::new();
            for name in &check.over.fields {
                all.extend(
                    text_at(combo, find(name)?)
                        .chars()
                        .filter(char::is_ascii_alphanumeric),
                );
            }
            all.to_ascii_uppercase()
        }
    };
    Some(compute(check, &text)? == want)
}

/// The check value of a text.
fn compute(check: &Check, text: &str) -> Option<u64> {
    match check.over.read_as {
        ReadAs::Ascii => Some(checksum::compute_bytes(check, text.as_bytes())),
        ReadAs::Bytes => {
            let bytes: Option<Vec<u8>> = (0..text.len().div_ceil(2))
                .map(|i| u8::from_str_radix(text.get(2 * i..2 * i + 2)?, 16).ok())
                .collect();
            Some(checksum::compute_bytes(check, &bytes?))
        }
        ReadAs::Digits => {
            let values: Option<Vec<u64>> = text
                .chars()
                .map(|c| c.to_digit(36).map(u64::from))
                .collect();
            Some(checksum::compute_values(check, &values?))
        }
    }
}

/// The line as the layout writes it, from one field to another.
fn canonical_line(
    pieces: &[Piece],
    from: usize,
    to: usize,
    combo: &[&Candidate],
) -> Option<String> {
    let mut out = String::new();
    let mut inside = false;
    let mut k = 0;
    for piece in pieces {
        match piece {
            Piece::Field(_) => {
                inside |= k == from;
                if inside {
                    out.push_str(text_at(combo, k));
                }
                if k == to {
                    return Some(out);
                }
                k += 1;
            }
            Piece::Word(w) | Piece::Gap(w) if inside => out.push_str(&String::from_utf8_lossy(w)),
            _ => {}
        }
    }
    None
}
