//! From a dump to a layout of a byte record.

use codebook::model::{
    ByteHeader, ByteLayout, Check, Encoding, Endian, Field, Layout, Part as Piece,
};
use reading::bare::Bare;

use crate::api::{Hints, Part, Role, Why};
use crate::column::Form;
use crate::draft::{self, Clock, Draft, hint};
use crate::facts::Facts;
use crate::records::{self, Record, Run};
use crate::roles::{Clue, Given, give};
use crate::runs::Runs;
use crate::slices::{Said, Slice, slices};
use crate::{around, byte_check, sums};

/// Records that a length needs to be believed without more.
const FEW: usize = 4;
/// Lengths whose check fields are tried.
const TRIED: usize = 6;

/// A way to see the dump, with its records.
struct Seen {
    length: usize,
    skip: usize,
    /// Each record once.
    records: Vec<Record>,
    /// Records with those that are there again.
    entries: usize,
    unused: usize,
    fill: Option<u8>,
    check: Option<(Slice, sums::Hit)>,
    turned: usize,
}

/// Proposes a layout for the dumps of a paste.
pub(crate) fn propose(bare: &Bare, lines: &[Runs], hints: &Hints) -> Result<Draft, Why> {
    let runs = records::runs(&bare.dumps);
    let all: usize = runs.iter().map(|r| r.bytes.len()).sum();
    if all < 2 {
        return Err(Why {
            what: "No dump was found in this.".into(),
            todo: "Paste the bytes as two hex digits each, or say that it is lines of text.".into(),
        });
    }
    let said = Said {
        roles: hints.roles.iter().map(|r| (r.0 / 3, r.1)).collect(),
        breaks: hints.breaks.iter().map(|b| b / 3).collect(),
        joins: hints.joins.iter().map(|b| b / 3).collect(),
        little: hints.little.iter().map(|l| (l.0 / 3, l.1)).collect(),
        skip: hints.skip,
    };
    let cuts = records::cuts(&runs, hints.record, hints.skip);
    let Some(seen) = choose(&runs, &cuts, &said) else {
        return Err(Why {
            what: "No record of that length is in the dump.".into(),
            todo: "Try another number of bytes.".into(),
        });
    };
    // A length that the person chose is not the end: the others stay on offer.
    let free = match hints.record {
        Some(_) => records::cuts(&runs, None, hints.skip),
        None => cuts,
    };
    let other: Vec<usize> = free
        .iter()
        .map(|c| c.length)
        .filter(|l| *l != seen.length)
        .take(5)
        .collect();
    Ok(draft(&seen, &said, bare, lines, hints, other))
}

/// The cut with a check that fits, else the simplest one.
fn choose(runs: &[Run], cuts: &[records::Cut], said: &Said) -> Option<Seen> {
    let group = runs.first().map_or(1, |r| r.group);
    let mut turns = vec![1];
    turns.extend([2, 4, 8].into_iter().filter(|t| *t == group));
    let least = cuts.first().map_or(0.0, |c| c.cost);
    let near = |c: &&records::Cut| c.cost.is_finite() && c.cost <= least * 1.3;
    let mut near: Vec<&records::Cut> = cuts.iter().take(TRIED).filter(near).collect();
    // Two records taken as one cost little more than each by itself.
    let twice = near.first().map_or(0, |c| c.length);
    near.extend(cuts.iter().skip(TRIED).filter(|c| c.length * 2 == twice));
    let first = near.first().map(|c| (c.length, c.skip));
    let plain = |c: &&records::Cut| c.skip > 0 && said.skip.is_none();
    let straight = near.iter().copied().filter(plain);
    let mut ways: Vec<records::Cut> = straight.map(records::Cut::straight).collect();
    ways.extend(near.into_iter().cloned());
    // Two records as one would have a check as well: the shorter one goes first.
    // So does the one with nothing in front, which is rare.
    reading::sorted::sort_by_key(&mut ways, |c| (c.length, c.skip));
    let mut best: Option<Seen> = None;
    for cut in ways {
        for &t in &turns {
            let turned: Vec<Run> = if t == 1 {
                runs.to_vec()
            } else {
                runs.iter().map(|r| records::turned(r, t)).collect()
            };
            let (all, unused, fill) = records::records(&turned, cut.length, cut.skip);
            let entries = all.len();
            let records = records::once(all);
            if records.is_empty() {
                continue;
            }
            let check = byte_check::find(&records, cut.length, said);
            let sure = check.as_ref().is_some_and(|c| c.1.chance < sums::SURE);
            let seen = Seen {
                length: cut.length,
                skip: cut.skip,
                records,
                entries,
                unused,
                fill,
                check,
                turned: t,
            };
            if sure {
                return Some(seen);
            }
            if best.is_none() || t == 1 && Some((cut.length, cut.skip)) == first {
                best = Some(seen);
            }
        }
    }
    best
}

fn hex(bytes: &[u8]) -> Vec<String> {
    let digit = |n: u8| {
        char::from_digit(u32::from(n), 16)
            .unwrap_or('0')
            .to_ascii_uppercase()
    };
    let two = |b: &u8| [digit(b >> 4), digit(b & 15)].iter().collect();
    bytes.iter().map(two).collect()
}

/// The slice's digits, highest byte first.
fn digits(s: Slice, bytes: &[u8]) -> String {
    let mut part = hex(bytes.get(s.at..s.end()).unwrap_or(&[]));
    if s.little {
        part.reverse();
    }
    part.concat()
}

/// The roles of all slices.
fn roles(seen: &Seen, cuts: &[Slice], facts: &[Facts], said: &Said) -> Vec<Given> {
    let found = seen.check.as_ref().map(|c| c.0);
    let mut clues = Vec::new();
    for (i, (s, f)) in cuts.iter().zip(facts).enumerate() {
        clues.push(Clue {
            facts: f,
            form: Form::Hex,
            label: String::new(),
            told: said.role(s.at),
            fixed: false,
            sum: found == Some(*s),
            first: i
                <= usize::from(
                    cuts.first() != Some(s) && facts.first().is_some_and(Facts::is_constant),
                ),
            bytes: true,
        });
    }
    let mut given = give(&clues);
    settle(cuts, facts, &mut given);
    for (s, g) in cuts.iter().zip(&mut given) {
        let open = g.role == Role::Check && g.margin != i32::MAX && g.doubt.is_empty();
        if let Some(c) = seen.check.as_ref().filter(|c| open && c.0 == *s) {
            g.doubt = byte_check::doubt(&seen.records, seen.length, *s, &c.1);
        }
    }
    given
}

/// The field of one slice, and what its clock means.
fn field(seen: &Seen, s: Slice, g: &Given, name: &str, hints: &Hints) -> (Field, Option<Clock>) {
    let place = s.at * 3;
    let label = draft::label(hint(&hints.names, place), "", g.role);
    let mut out = Field {
        at: u32::try_from(s.at).ok(),
        size: u32::try_from(s.size).ok(),
        endian: if s.little && s.size > 1 {
            Endian::Little
        } else {
            Endian::Big
        },
        ..draft::field(name, &label)
    };
    let mut clock = None;
    match g.role {
        Role::Seq | Role::Slot | Role::Count => out.encoding = Encoding::Decimal,
        Role::Same => {
            out.field = ["fixed_", &s.at.to_string()].concat();
            out.equals = seen.records.first().map(|r| digits(s, &r.bytes));
        }
        Role::Time => {
            let texts: Vec<String> = seen.records.iter().map(|r| digits(s, &r.bytes)).collect();
            let most = u64::MAX >> (64 - 8 * s.size.clamp(1, 8));
            let (rule, told) = draft::clock(&s.numbers(&seen.records), &texts, most, false, hints);
            (out.time, clock) = (rule, Some(told));
        }
        _ => {}
    }
    if g.role == Role::Seq {
        out.modulus = 1_u64.checked_shl(u32::try_from(s.size * 8).unwrap_or(64));
    }
    if let Some(d) = hint(&hints.decimal, place) {
        out.encoding = if d { Encoding::Decimal } else { Encoding::Hex };
    }
    (out, clock)
}

fn draft(
    seen: &Seen,
    said: &Said,
    bare: &Bare,
    lines: &[Runs],
    hints: &Hints,
    others: Vec<usize>,
) -> Draft {
    let found = seen.check.as_ref().map(|c| c.0);
    let cuts = slices(&seen.records, seen.length, found, said, hints.latest);
    let facts: Vec<Facts> = cuts.iter().map(|s| s.facts(&seen.records)).collect();
    let mut given = roles(seen, &cuts, &facts, said);
    let told: Vec<Option<String>> = cuts.iter().map(|s| hint(&hints.names, s.at * 3)).collect();
    let names = draft::names(&given, &vec![String::new(); cuts.len()], &told);
    let first = seen.records.first().map(|r| hex(&r.bytes));
    let example = first.unwrap_or_default().join(" ");
    let (mut fields, mut parts) = (Vec::new(), Vec::new());
    let mut clock = Clock::default();
    for (i, s) in cuts.iter().enumerate() {
        let (Some(g), Some(f)) = (given.get_mut(i), facts.get(i)) else {
            continue;
        };
        let name = names.get(i).cloned().unwrap_or_default();
        let (field, told) = field(seen, *s, g, &name, hints);
        if let Some(told) = told {
            clock = told;
            if g.doubt.is_empty() {
                g.doubt.clone_from(&clock.doubt);
            }
        }
        let number = matches!(g.role, Role::Keep | Role::Seq | Role::Slot | Role::Count);
        let span = (s.at * 3, s.end() * 3 - 1);
        parts.push(Part {
            span,
            text: example.get(span.0..span.1).unwrap_or("").to_owned(),
            role: g.role,
            name,
            why: g.why.clone(),
            doubt: g.doubt.clone(),
            sample: sample(*s, &seen.records),
            can: g.can.clone(),
            little: (s.size > 1 && !f.is_constant()).then_some(s.little),
            decimal: number.then_some(field.encoding == Encoding::Decimal),
            told: g.margin == i32::MAX,
        });
        fields.push(field);
    }
    let check = seen.check.as_ref().and_then(|(s, hit)| {
        let i = cuts.iter().position(|c| c == s)?;
        given.get(i).filter(|g| g.role == Role::Check)?;
        let field = names.get(i)?.clone();
        Some(Check {
            field,
            ..hit.check.clone()
        })
    });
    let slots = (given.iter().zip(&cuts)).find(|(g, _)| g.role == Role::Slot);
    let slots = slots.map(|(_, s)| s.numbers(&seen.records));
    let mut doubts = Vec::new();
    let mut layout = ByteLayout {
        id: draft::id(hints),
        name: draft::title(hints, "log record"),
        length: u32::try_from(seen.length).unwrap_or(2),
        derived: derived(&given, &names),
        empty_byte: seen.fill.map(|b| hex(&[b]).concat()),
        header: head_bytes(bare, seen),
        order: draft::order(&given, slots),
        example: example.clone(),
        fields,
        check,
        ..ByteLayout::default()
    };
    headers(bare, lines, &mut layout, &mut doubts);
    doubts.extend(whole(seen, &given, &layout));
    let rows = bare
        .dumps
        .iter()
        .flat_map(|d| d.rows.iter().map(|r| r.line));
    Draft {
        example,
        parts,
        margins: given.iter().map(|g| g.margin).collect(),
        lines: rows.collect(),
        of: seen.entries + seen.unused,
        check: seen
            .check
            .clone()
            .map(|c| c.1)
            .filter(|_| layout.check.is_some()),
        layout: Layout::Bytes(layout),
        times: clock.times,
        epoch: clock.epoch,
        record: Some(seen.length),
        records: others,
        skip: seen.skip,
        others: Vec::new(),
        doubts,
    }
}

/// What bytes alone can't tell: a lone byte that stays at 0 is no mark.
fn settle(cuts: &[Slice], facts: &[Facts], given: &mut [Given]) {
    let roles: Vec<Role> = given.iter().map(|g| g.role).collect();
    for (i, ((s, f), g)) in cuts.iter().zip(facts).zip(given).enumerate() {
        let beside = [i.wrapping_sub(1), i + 1];
        let coded = roles.contains(&Role::Code);
        let moves = beside
            .iter()
            .any(|k| roles.get(*k).is_some_and(|r| *r != Role::Same));
        if g.margin == i32::MAX {
            continue;
        }
        // A mark stands at the start, and is no small number.
        let mark = s.at == 0 && f.n > 1 && f.high >= 0x50;
        if g.role == Role::Same && f.n < FEW && !mark {
            g.role = Role::Keep;
            g.why = String::new();
            g.doubt = String::new();
        } else if g.role == Role::Same && g.doubt.is_empty() && !coded {
            g.doubt = "no part looks like the code; it may be a part of that".into();
        } else if g.role == Role::Same && g.doubt.is_empty() && f.high < 0x80 && moves {
            g.doubt = "it may be the upper half of the value beside it".into();
        } else if g.role == Role::Same && g.doubt.is_empty() && (s.at > 0 || f.high < 0x50) {
            g.doubt = "it may be a value that did not change in these records".into();
        } else if g.doubt.is_empty() && s.size > 1 && matches!(g.role, Role::Code) {
            g.doubt = "the two bytes may be the other way round".into();
        }
    }
}

fn sample(s: Slice, records: &[Record]) -> Vec<String> {
    let mut out: Vec<String> = Vec::new();
    for r in records {
        let d = digits(s, &r.bytes);
        if !out.contains(&d) && out.len() < 4 {
            out.push(d);
        }
    }
    out
}

/// Bytes in front of the first record, known by their first ones.
fn head_bytes(bare: &Bare, seen: &Seen) -> Option<ByteHeader> {
    let first: Vec<u8> = bare
        .dumps
        .first()?
        .rows
        .iter()
        .flat_map(|r| r.bytes.iter())
        .take(seen.skip)
        .map(|b| b.unwrap_or(0))
        .collect();
    if seen.skip == 0 || first.len() < seen.skip {
        return None;
    }
    let size = seen.skip.min(4);
    let mark = Field {
        at: Some(0),
        size: u32::try_from(size).ok(),
        equals: Some(hex(first.get(..size).unwrap_or(&[])).concat()),
        ..draft::field("mark", "mark of the dump")
    };
    Some(ByteHeader {
        id: "head".into(),
        length: u32::try_from(seen.skip).unwrap_or(1),
        fields: vec![mark],
    })
}

/// A text line above the dump that reads like its head.
fn headers(bare: &Bare, lines: &[Runs], layout: &mut ByteLayout, doubts: &mut Vec<String>) {
    let Some(first) = bare
        .dumps
        .first()
        .and_then(|d| d.rows.first())
        .map(|r| r.line)
    else {
        return;
    };
    let above = lines
        .iter()
        .rev()
        .find(|l| l.line < first && l.line + 4 > first && !l.runs.is_empty());
    let Some((header, _)) = above.and_then(around::header_of) else {
        return;
    };
    if let Some(l) = above {
        doubts.push(
            [
                "The line \u{201c}",
                &l.text,
                "\u{201d} is taken for the head of the log. If it is talk, it does no harm.",
            ]
            .concat(),
        );
    }
    layout.headers.push(header);
}

/// The code joined of its parts.
fn derived(given: &[Given], names: &[String]) -> Vec<Field> {
    let codes: Vec<&String> = given
        .iter()
        .zip(names)
        .filter(|(g, _)| g.role == Role::Code)
        .map(|(_, n)| n)
        .collect();
    if codes.len() < 2 {
        return Vec::new();
    }
    let join = codes
        .into_iter()
        .map(|n| {
            Piece::Field(Field {
                field: n.clone(),
                ..Field::default()
            })
        })
        .collect();
    vec![Field {
        field: "code".into(),
        label: "code".into(),
        encoding: Encoding::Text,
        join,
        ..Field::default()
    }]
}

/// Doubts about the whole.
fn whole(seen: &Seen, given: &[Given], layout: &ByteLayout) -> Vec<String> {
    let mut out = Vec::new();
    let sure = seen.check.as_ref().is_some_and(|c| c.1.chance < sums::SURE);
    if !sure && seen.records.len() < FEW {
        out.push(
            [
                "That a record has ",
                &seen.length.to_string(),
                " bytes is a guess: there are few records.",
            ]
            .concat(),
        );
    }
    if layout.check.is_none() && !layout.fields.iter().any(|f| f.equals.is_some()) {
        out.push("No check field was found. Such a dump is known by its codes alone: the book needs them.".into());
    }
    if seen.turned > 1 {
        out.push("The dump is printed in words; their bytes were turned around.".into());
    }
    if !given.iter().any(|g| g.role == Role::Code) {
        out.push(draft::NO_CODE.into());
    }
    out
}
